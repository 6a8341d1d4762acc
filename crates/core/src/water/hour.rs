//! The water of a stack, hour by hour.
//!
//! Vapour of all spaces and what every surface does are solved together: `made + brought - carried = sum A g`, with
//! `g = beta (p - psat(Ts))` where a surface is wet or its air oversaturated, and `g = (p - phi psat(Ts))/(1/beta + 1/k)` into wood where it
//! is dry. Which surfaces are wet is found by trying. Pools, wood and the air's balance close to rounding.

use super::balance::{Bees, HourAir, Place, PreparedWater};
use super::books::{Gathered, MonthOfWater, WaterBooks};
use super::surface::{Patch, Wall};
use super::vapour::{Carried, PER_SHARE, SpaceSystem};
use crate::boundary::air;
use crate::boundary::condensation::{HEAT_OF_EVAPORATION, HEAT_OF_FUSION};
use crate::climate::moist_air::saturation_iso;
use jiff::civil::Date;

/// Length of a step, s.
const STEP: f64 = 3600.0;
/// Most tries at which surfaces are wet.
const MOST_TRIES: usize = 8;
/// How still air spreads carbon dioxide, against [`super::vapour::STILL_AIR`]: `rho D` with D = 1.5e-5 m2/s (from memory).
const CO2_SPREADS: f64 = 1.9e-5 / super::vapour::STILL_AIR;

/// Hours from one look at the carbon dioxide to the next.
const CO2_HOURS: u32 = 6;

/// Heat that reaches ice or water on a surface per kelvin, W/m2K (the film of ISO 6946, convection and radiation).
const FILM: f64 = 7.7;
/// Water on the bees in a day that counts, kg: a teaspoon (a choice).
const DRIP_DAY: f64 = 0.005;

/// What a surface does in an hour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum Doing {
    /// Nothing gathers; wood takes up or gives back.
    #[default]
    Dry,
    /// Dew or ice comes or goes.
    Wet,
    /// All that is on it goes within the hour.
    Drained,
}

/// Water on one place.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct Pool {
    /// Dew and ice, kg/m2.
    on: f64,
    /// The part of it that is ice, and what that was at the hour's start, kg/m2.
    ice: f64,
    iced: f64,
    /// In its wood, kg/m2.
    within: f64,
    doing: Doing,
    /// Of this hour: temperature, degC; saturation pressure, Pa; humidity of the wood; what goes from the surface into wood, kg/(m2 s).
    t: f64,
    saturation: f64,
    humidity: f64,
    soaks: f64,
}

impl Pool {
    /// Flow from the air as `a p - c`, kg/s.
    fn flow(&self, at: &Place, outside: f64) -> (f64, f64) {
        match (self.doing, &at.skin) {
            (Doing::Wet, _) => {
                let a = at.area * at.transfer;
                (a, a * self.saturation)
            }
            (Doing::Drained, _) => (0.0, at.area * (self.on / STEP - self.soaks)),
            (Doing::Dry, Some(skin)) => {
                let a = at.area / (1.0 / at.transfer + 1.0 / skin.into);
                (a, a * self.humidity * self.saturation)
            }
            (Doing::Dry, None) => {
                let a = at.area * at.outwards;
                (a, a * outside)
            }
        }
    }

    /// What it does where the air has a vapour pressure of `here`, Pa.
    fn does(&self, at: &Place, here: f64, outside: f64) -> Doing {
        let wet = at.transfer * (here - self.saturation);
        match self.doing {
            Doing::Dry => {
                let (a, c) = self.flow(at, outside);
                let into = if at.skin.is_some() {
                    (a * here - c) / at.area
                } else {
                    0.0
                };
                // What the air has at the surface itself.
                if here - into / at.transfer > self.saturation * (1.0 + 1e-9) {
                    Doing::Wet
                } else {
                    Doing::Dry
                }
            }
            Doing::Wet | Doing::Drained if self.on + STEP * (wet - self.soaks) >= 0.0 => Doing::Wet,
            _ if self.on > 0.0 => Doing::Drained,
            _ => Doing::Dry,
        }
    }

    /// Water that a place cannot hold, kg/m2; ice stays.
    fn over(&self, holds: f64) -> f64 {
        (self.on - holds).min(self.on - self.ice).max(0.0)
    }
}

/// The water of one stack on its way through a winter.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct StackWater {
    pools: Vec<Pool>,
    /// Vapour pressure of each space, Pa.
    pub pressures: Vec<f64>,
    /// Heat set free in each space, W.
    pub warms: Vec<f64>,
    /// Dew and ice that lie in the hive, kg.
    pub lies: Gathered,
    /// What became of it.
    pub books: WaterBooks,
    /// Wood's water and pools at the start, kg.
    at_start: f64,
    /// What dripped on the bees today, kg.
    on_bees_today: f64,
    system: SpaceSystem,
    carbon: SpaceSystem,
}

impl StackWater {
    /// Dry surfaces, and wood as it is in autumn.
    #[must_use]
    pub fn new(stack: &PreparedWater) -> Self {
        let pools: Vec<Pool> = stack
            .places
            .iter()
            .map(|p| Pool {
                within: p.skin.map_or(0.0, |s| s.in_autumn()),
                ..Pool::default()
            })
            .collect();
        let mut this = Self {
            carbon: SpaceSystem {
                right: vec![air::OUTSIDE_CO2; stack.air.spaces.len()],
                ..SpaceSystem::default()
            },
            pressures: vec![0.0; stack.air.spaces.len()],
            warms: vec![0.0; stack.air.spaces.len()],
            pools,
            ..Self::default()
        };
        this.begin(stack);
        this
    }

    /// Opens the books: no dew lies in the hive yet, and wood is as it has come to be.
    pub fn begin(&mut self, stack: &PreparedWater) {
        self.pools
            .iter_mut()
            .for_each(|p| (p.on, p.ice) = (0.0, 0.0));
        self.lies = Gathered::default();
        self.on_bees_today = 0.0;
        self.books = WaterBooks::default();
        self.at_start = self.held(stack);
    }

    /// Dew and ice that lie on a part of an inner surface, kg/m2.
    #[must_use]
    pub fn on(&self, stack: &PreparedWater, patch: &Patch) -> f64 {
        let within = |at: &Place| {
            [patch.along, patch.up].iter().zip(at.bounds).all(|(p, b)| {
                let middle = 0.5 * (p[0] + p[1]);
                middle > b[0] && middle < b[1]
            })
        };
        let mut all = self.pools.iter().zip(&stack.places);
        let found = all.find(|(_, at)| at.wall == Some(patch.wall) && within(at));
        found.map_or(0.0, |(pool, _)| pool.on)
    }

    fn held(&self, stack: &PreparedWater) -> f64 {
        let pools = self.pools.iter().zip(&stack.places);
        pools.map(|(p, at)| at.area * (p.on + p.within)).sum()
    }

    /// Lets an hour pass: `surfaces_c` and `spaces_c` are the temperatures of surfaces and air spaces, degC.
    pub fn hour(
        &mut self,
        stack: &PreparedWater,
        air: &HourAir<'_>,
        bees: Option<&Bees<'_>>,
        surfaces_c: &[f64],
        spaces_c: impl Fn(usize) -> f64,
        date: Date,
    ) {
        if stack.air.spaces.is_empty() {
            return;
        }
        self.warms.fill(0.0);
        let made = bees.map_or(0.0, |b| b.water);
        for (i, (pool, at)) in self.pools.iter_mut().zip(&stack.places).enumerate() {
            let t = match at.space {
                Some(s) => spaces_c(s),
                None => surfaces_c[i],
            };
            pool.saturation = saturation_iso(t);
            pool.t = t;
            pool.iced = pool.ice;
            // Ice thaws, and water freezes, as fast as heat comes or goes.
            let turns = FILM * t * STEP / HEAT_OF_FUSION;
            pool.ice = (pool.ice - turns).clamp(0.0, pool.on);
            if let Some(skin) = &at.skin {
                pool.humidity = skin.humidity(pool.within);
                pool.soaks = skin.into * pool.saturation * (1.0 - pool.humidity);
            }
            pool.doing = if pool.on > 0.0 {
                Doing::Wet
            } else {
                Doing::Dry
            };
        }
        self.settle(stack, air, bees);
        let taken = self.take(stack, air.outside);
        let mut month = MonthOfWater {
            month: date.month(),
            hours: 1,
            made: made * STEP,
            carried: made * STEP - taken.from_air,
            dew: taken.dew,
            air: air.fresh / air::density(FRESH_C, air.pressure) * 1e3,
            ..MonthOfWater::default()
        };
        self.books.sums.carried += month.carried;
        self.books.sums.made += month.made;
        self.run(stack, bees);
        if let Some(b) = bees {
            if self.books.hours.is_multiple_of(CO2_HOURS) {
                let co2 = Carried {
                    per: 1.0,
                    outside: air::OUTSIDE_CO2,
                    spreads: CO2_SPREADS,
                };
                self.carbon.load(&stack.air, &air.streams, &co2);
                for (s, w) in b.rises {
                    self.carbon.right[*s] += w * b.carbon_dioxide * air::AIR_PER_CO2;
                }
                self.carbon.solve();
            }
            let among = self.pressures[b.space];
            month.carbon_dioxide = self.carbon.right[b.space];
            month.excess = among - air.outside;
            month.humidity = (among / saturation_iso(b.around_c)).min(1.0);
        }
        self.books.hours += 1;
        let sums = &mut self.books.sums;
        sums.air += (month.air - sums.air) / f64::from(self.books.hours);
        self.note(&month);
        self.lies = Gathered::default();
        for (pool, at) in self.pools.iter().zip(&stack.places) {
            self.lies.add(at.wall, at.area * pool.on);
        }
        if self.lies.lid > self.books.sums.lid_most {
            self.books.sums.lid_most = self.lies.lid;
            self.books.sums.lid_most_on = Some(date);
        }
        self.books.sums.left = self.lies.sum();
        self.books.sums.in_wood = self.held(stack) - self.books.sums.left - self.at_start;
    }

    /// Finds which surfaces are wet, with the vapour of all spaces.
    fn settle(&mut self, stack: &PreparedWater, air: &HourAir<'_>, bees: Option<&Bees<'_>>) {
        let n = stack.air.spaces.len();
        let vapour = Carried {
            per: PER_SHARE / air.pressure,
            outside: air.outside,
            spreads: 1.0,
        };
        // What the last hour's vapour makes of them is mostly right.
        self.turn(stack, air.outside);
        for _ in 0..MOST_TRIES {
            self.system.load(&stack.air, &air.streams, &vapour);
            if let Some(b) = bees {
                let right = &mut self.system.right;
                b.rises.iter().for_each(|(s, w)| right[*s] += w * b.water);
            }
            for (pool, at) in self.pools.iter().zip(&stack.places) {
                let (a, c) = pool.flow(at, air.outside);
                for (s, w) in &at.meets {
                    self.system.right[*s] += w * c;
                    for (m, v) in &at.meets {
                        self.system.matrix[s * n + m] += a * w * v;
                    }
                }
            }
            self.system.solve();
            self.pressures.copy_from_slice(&self.system.right);
            if !self.turn(stack, air.outside) {
                break;
            }
        }
    }

    /// Turns surfaces to what the vapour that is makes them do; tells whether any has turned.
    fn turn(&mut self, stack: &PreparedWater, outside: f64) -> bool {
        let mut turned = false;
        for (pool, at) in self.pools.iter_mut().zip(&stack.places) {
            let here: f64 = at.meets.iter().map(|(s, w)| w * self.pressures[*s]).sum();
            let doing = pool.does(at, here, outside);
            turned |= doing != pool.doing;
            pool.doing = doing;
        }
        turned
    }

    /// Takes the hour's water over into pools and wood.
    fn take(&mut self, stack: &PreparedWater, outside: f64) -> Taken {
        let mut taken = Taken::default();
        for (pool, at) in self.pools.iter_mut().zip(&stack.places) {
            let here: f64 = at.meets.iter().map(|(s, w)| w * self.pressures[*s]).sum();
            let (a, c) = pool.flow(at, outside);
            let mut flow = (a * here - c) / at.area;
            let before = pool.on;
            match pool.doing {
                Doing::Dry if at.skin.is_some() => pool.within += STEP * flow,
                // Through a foam without a skin it goes at once, as vapour: no heat is set free.
                Doing::Dry => {
                    taken.through += at.area * STEP * flow;
                    taken.from_air += at.area * STEP * flow;
                    continue;
                }
                Doing::Wet | Doing::Drained => {
                    pool.within += STEP * pool.soaks;
                    pool.on += STEP * (flow - pool.soaks);
                    if pool.on < 0.0 || pool.doing == Doing::Drained {
                        // Not more than there was.
                        flow -= pool.on / STEP;
                        pool.on = 0.0;
                    }
                }
            }
            if let Some(skin) = &at.skin {
                let out = at.outwards * (pool.humidity * pool.saturation - outside);
                pool.within -= STEP * out;
                taken.through += at.area * STEP * out;
                let over = pool.within - skin.most();
                if over > 0.0 {
                    pool.within -= over;
                    pool.on += over;
                } else if pool.within < 0.0 {
                    // Bone dry: what was taken too much came from the air.
                    flow -= pool.within / STEP;
                    pool.within = 0.0;
                }
            }
            let wet = (pool.on - before).max(0.0);
            if pool.t < 0.0 {
                pool.ice += wet;
            }
            pool.ice = pool.ice.min(pool.on);
            taken.dew.add(at.wall, at.area * wet);
            taken.from_air += at.area * STEP * flow;
            let fusion = HEAT_OF_FUSION * (pool.ice - pool.iced) / STEP;
            let heat = at.area * (flow * HEAT_OF_EVAPORATION + fusion);
            warm(&mut self.warms, at, heat);
        }
        self.books.sums.through += taken.through;
        taken
    }

    /// Lets run off and drip what surfaces cannot hold.
    fn run(&mut self, stack: &PreparedWater, bees: Option<&Bees<'_>>) {
        let mut falls = 0.0;
        let mut on_bees = 0.0;
        for (pool, at) in self.pools.iter_mut().zip(&stack.places) {
            let holds = match at.wall {
                Some(Wall::Floor) => continue,
                Some(Wall::Lid) => stack.lid_holds,
                _ => stack.run_off,
            };
            let over = pool.over(holds);
            if over > 0.0 {
                pool.on -= over;
                falls += at.area * over;
                if at.wall == Some(Wall::Lid) {
                    self.books.sums.dripped += at.area * over;
                    if bees.is_some_and(|b| over_bees(at.bounds, b)) {
                        on_bees += at.area * over;
                    }
                }
            }
        }
        self.books.sums.on_bees += on_bees;
        self.on_bees_today += on_bees;
        match stack.floor {
            Some(f) => {
                let (pool, at) = (&mut self.pools[f], &stack.places[f]);
                pool.on += falls / at.area;
                let over = pool.over(stack.run_off);
                if over > 0.0 && stack.drained {
                    pool.on -= over;
                    self.books.sums.run_off += at.area * over;
                }
            }
            None => self.books.sums.run_off += falls,
        }
    }

    /// Adds an hour to its month.
    fn note(&mut self, hour: &MonthOfWater) {
        let months = &mut self.books.months;
        let Some(m) = months.last_mut().filter(|m| m.month == hour.month) else {
            months.push(*hour);
            return;
        };
        m.hours += 1;
        let share = 1.0 / f64::from(m.hours);
        m.made += hour.made;
        m.carried += hour.carried;
        for (sum, more) in [
            (&mut m.dew.lid, hour.dew.lid),
            (&mut m.dew.walls, hour.dew.walls),
            (&mut m.dew.floor, hour.dew.floor),
            (&mut m.dew.combs, hour.dew.combs),
        ] {
            *sum += more;
        }
        for (mean, value) in [
            (&mut m.air, hour.air),
            (&mut m.excess, hour.excess),
            (&mut m.humidity, hour.humidity),
            (&mut m.carbon_dioxide, hour.carbon_dioxide),
        ] {
            *mean += share * (value - *mean);
        }
    }

    /// Ends a day.
    pub fn end_day(&mut self, date: Date) {
        if self.on_bees_today >= DRIP_DAY {
            self.books.sums.drip_days += 1;
            self.books.sums.first_drip.get_or_insert(date);
        }
        self.on_bees_today = 0.0;
    }
}

/// Temperature at which outside air is counted in litres, degC.
const FRESH_C: f64 = 0.0;

/// Water taken in an hour, kg.
#[derive(Default)]
struct Taken {
    dew: Gathered,
    from_air: f64,
    through: f64,
}

/// Puts heat set free on a place into the spaces it meets.
fn warm(warms: &mut [f64], at: &Place, watts: f64) {
    let heat = at.inward * watts;
    at.meets.iter().for_each(|(s, w)| warms[*s] += w * heat);
}

/// Whether a part of the lid lies over the bees.
fn over_bees(plan: [[f64; 2]; 2], bees: &Bees<'_>) -> bool {
    let off = |a: usize| {
        let at = bees.centre[a];
        at - at.clamp(plan[a][0], plan[a][1])
    };
    off(0).hypot(off(1)) < bees.radius
}

#[cfg(test)]
mod tests;
