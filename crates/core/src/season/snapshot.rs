//! One hour of a winter in all its detail: the temperature of every piece of the hive, and each cluster on its combs.

use super::calendar::halfway;
use super::colony_state::ColonyState;
use super::outcome::Moment;
use super::reduced_winter::ReducedWinter;
use super::stand_air::MovingAir;
use super::trace::Trace;
use super::winter_run::{Method, SeasonError, WinterRun};
use crate::colony::stores::{BoxCombs, Cell};
use crate::region::Ball;
use crate::water::StackWater;

/// Hours the full network runs before the hour that is wanted: it takes over a smoothed field, whose faults at the walls are
/// gone after three days (a choice; the slowest time constant of the shipped hives is 17 h).
const SETTLING: usize = 72;

/// The hive in one hour.
#[derive(Debug, Clone)]
pub struct Snapshot {
    /// "1982/83".
    pub winter: String,
    /// Temperature of every unknown of the full network at the end of the hour, degC.
    pub node_c: Vec<f64>,
    /// The colonies in that hour, left to right.
    pub colonies: Vec<Inside>,
    /// The colonies on the first day, before the first hour.
    pub at_start: Vec<Seated>,
    /// What the air of each stack does.
    pub air: Vec<MovingAir>,
    /// The water of each stack.
    pub water: Vec<StackWater>,
}

/// A cluster on its combs.
#[derive(Debug, Clone)]
pub struct Seated {
    /// Stack, 0 at the left.
    pub stack: usize,
    /// Centre of the cluster, m, in the axes of [`crate::stand`].
    pub centre: [f64; 3],
    /// How far the cluster reaches on foot, m; 0 when no bee is left.
    pub radius: f64,
    /// Combs, box by box, those without frames left out.
    pub combs: Vec<BoxCombs>,
    /// Honey, cell by cell.
    pub cells: Vec<Cell>,
}

/// A colony in the hour of a snapshot.
#[derive(Debug, Clone)]
pub struct Inside {
    /// Where it sits, and its honey.
    pub seated: Seated,
    /// Temperatures and margins.
    pub moment: Moment,
}

impl Seated {
    /// What the cluster takes up.
    #[must_use]
    pub fn ball(&self) -> Ball {
        Ball {
            seat: self.centre,
            radius: self.radius,
        }
    }

    fn of(colony_state: &ColonyState) -> Self {
        let (place, stores) = (
            colony_state.home.place(),
            &colony_state.home.foraging.stores,
        );
        let alive = colony_state.home.colony.alive();
        Self {
            stack: colony_state.stack,
            centre: place.centre,
            radius: if alive { place.radius } else { 0.0 },
            combs: stores.boxes().to_vec(),
            cells: stores.cells().to_vec(),
        }
    }
}

impl WinterRun<'_> {
    /// Runs the winter up to the end of an hour, counted from its start, the last three days of it on the full network.
    ///
    /// # Errors
    /// As [`WinterRun::run`].
    pub fn snapshot(&self, hour: usize) -> Result<Snapshot, SeasonError> {
        let hour = hour.min(self.winter.hours.len().saturating_sub(1));
        let from = hour.saturating_sub(SETTLING);
        let fill = self.first_fill();
        let mut reduced = ReducedWinter::new(self.stand, &self.first_hour(), &fill, self.rises())
            .map_err(|e| self.heat(e))?;
        let mut state = self.set_out(&mut reduced, fill)?;
        let at_start = state.colonies.iter().map(Seated::of).collect();
        self.advance(&mut state, &mut reduced, 0..from, None)?;
        let mut full = self.go_over(Method::CAREFUL, &reduced, &state)?;
        let mut trace = Trace::default();
        self.advance(&mut state, &mut full, from..hour + 1, Some(&mut trace))?;
        let hours = &self.winter.hours;
        let weather = hours.get(hour).zip(hours.get(hour + 1).or(hours.get(hour)));
        let weather = weather.map(|(now, next)| halfway(now, next));
        let mut here = Vec::new();
        state.occupy(self.parameters, &mut here);
        let air = weather.as_ref().map(|w| {
            let port_c = |i| self.stand.port_c(i, full.field());
            {
                let mut now = self.stand.nominal();
                now.vents = self.stand.vents(self.parameters);
                now.air.iter_mut().for_each(|a| *a = MovingAir::default());
                self.stand.drive(&mut now, w, &here, port_c);
                now.air
            }
        });
        let moments = trace.rows.last().map_or(&[][..], |r| &r.colonies);
        Ok(Snapshot {
            winter: self.winter.label.clone(),
            node_c: full.field().to_vec(),
            air: air.unwrap_or_default(),
            water: state.water,
            colonies: state
                .colonies
                .iter()
                .zip(moments)
                .map(|(colony_state, traced)| Inside {
                    seated: Seated::of(colony_state),
                    moment: traced.moment,
                })
                .collect(),
            at_start,
        })
    }
}
