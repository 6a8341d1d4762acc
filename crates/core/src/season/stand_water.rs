//! The water of the stacks of a stand: each with its own air, bees and surfaces, and the heat it takes and gives.

use super::prepared_hive::PreparedHive;
use super::stand_air::Occupant;
use super::surroundings::HourlyForcing;
use crate::water::{Bees, HourAir, PreparedWater, StackWater, Streams};
use jiff::civil::Date;

impl PreparedHive {
    /// The water of all stacks as the winter begins.
    #[must_use]
    pub fn dry(&self) -> Vec<StackWater> {
        self.water.iter().map(StackWater::new).collect()
    }

    /// What water can gather on in each stack.
    #[must_use]
    pub fn water(&self) -> &[PreparedWater] {
        &self.water
    }

    /// Opens the books of the water anew.
    pub fn begin(&self, water: &mut [StackWater]) {
        for (state, stack) in water.iter_mut().zip(&self.water) {
            state.begin(stack);
        }
    }

    /// Lets the water of an hour come and go, by the temperatures at its start (of the ports, then of the surfaces, degC), and puts its heat
    /// into the hour's forcing.
    pub fn soak(
        &self,
        water: &mut [StackWater],
        now: &mut HourlyForcing,
        here: &[Occupant],
        ports_c: &[f64],
        surfaces_c: &[f64],
        date: Date,
    ) {
        now.warms.fill(0.0);
        let mut first = 0;
        for (i, (state, stack)) in water.iter_mut().zip(&self.water).enumerate() {
            let surfaces = &surfaces_c[first..first + stack.surfaces()];
            first += stack.surfaces();
            let (air, moving) = (&self.air[i], &now.air[i]);
            let hour = HourAir {
                streams: Streams {
                    channels: &moving.channels,
                    enters: &moving.enters,
                    mouths: &moving.mouths,
                    fanned: air.fanned(moving),
                },
                outside: now.vapour,
                pressure: self.pressure(),
                fresh: moving.fresh,
            };
            let occupant = here.iter().find(|o| o.place.stack == i).zip(moving.bees);
            let occupant = occupant.zip(moving.balls.first());
            let bees = occupant.map(|((o, space), ball)| Bees {
                rises: &moving.rises,
                space,
                water: o.water,
                carbon_dioxide: o.carbon_dioxide,
                centre: ball.seat,
                radius: ball.radius,
                around_c: o.around_c,
            });
            let ports = air.ports();
            state.hour(
                stack,
                &hour,
                bees.as_ref(),
                surfaces,
                |s| ports_c[ports[s]],
                date,
            );
            for (port, watts) in ports.iter().zip(&state.warms) {
                now.warms[*port] += watts;
            }
        }
    }
}
