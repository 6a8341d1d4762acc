//! One colony in its place through a winter, and what is to be remembered of it.

use super::calendar::BroodDates;
use super::margin::Reserve;
use super::outcome::{BROOD_CELL, Closest, ColonyOutcome, Moment, Starved};
use super::place::Place;
use super::winter_run::{SeasonError, WinterRun};
use crate::calendar::days_after;
use crate::colony::Colony;
use crate::colony::brood::BroodClock;
use crate::colony::cluster::ClusterHour;
use crate::colony::colony_with_stores::{ColonyWithStores, Outside};
use crate::colony::feeding::Feed;
use crate::colony::movement::Around;
use crate::colony::stores::{BoxCombs, Lack, Placement, Stores};
use crate::heat::HeatError;
use crate::hive::StackSpace;
use crate::stand::{self, Scenario};
use crate::water::WaterBooks;
use jiff::civil::{Date, DateTime};

/// A colony in its place.
#[derive(Clone)]
pub(super) struct ColonyState {
    pub stack: usize,
    pub home: ColonyWithStores,
    pub place: Place,
    /// Low corner of the comb space, m.
    corner: [f64; 3],
    /// Kelvins around the cluster per watt, all settled.
    pub settled_response: f64,
    /// What the cluster felt of the hive at the last look.
    gradient: [f64; 3],
    /// Feeds still to come: hour of the winter, latest first.
    feeds: Vec<(usize, Feed)>,
    /// Hour of the winter in which it is to die.
    dies: Option<usize>,
    eaten_by_day: Vec<f64>,
    stores_by_day: Vec<f64>,
    in_contact_by_day: Vec<f64>,
    bees_by_day: Vec<f64>,
    starved: Option<Starved>,
    closest: Option<Closest>,
    /// What it needed up to yesterday, and had to do without up to the last day with food, kg.
    needed: f64,
    done_without: f64,
    weakest: Option<Moment>,
    coldest: Option<Moment>,
    warmth: (f64, usize),
    outside: (f64, usize),
    path: [f64; 3],
}

/// Weather as bees outside meet it.
#[derive(Clone, Copy)]
pub(super) struct Weather {
    pub outdoor_c: f64,
    pub ghi: f64,
    pub wind: f64,
}

impl ColonyState {
    /// A colony on its combs; `probe` tells the temperature around a place, degC.
    pub fn settle(
        winter_run: &WinterRun<'_>,
        stack: usize,
        c: &stand::Colony,
        dates: BroodDates,
        probe: impl Fn(Place) -> Result<f64, HeatError>,
    ) -> Result<Self, SeasonError> {
        let (stand, p, winter) = (winter_run.stand, winter_run.parameters, winter_run.winter);
        let space = &stand.hive.stacks[stack];
        let corner = space.bounds.map(|b| b[0]);
        let middle: [f64; 3] =
            std::array::from_fn(|a| 0.5 * (space.bounds[a][1] - space.bounds[a][0]));
        let around = probe(Place {
            stack,
            radius: FIRST_LOOK.min(middle[0]),
            centre: middle,
        })
        .map_err(|e| winter_run.heat(e))?;
        let colony = Colony::new(c.bees, around, space.comb_volume, p.clone());
        let stores = Stores::new(
            combs(space),
            Placement::PerBoxOrFrame(&c.placements),
            p.contact_reach,
        )
        .map_err(|e| winter_run.stores(e))?;
        let clock = BroodClock::new(dates.start, dates.full);
        let home = ColonyWithStores::new(colony, stores, clock, space.region.clone());
        let hour = |md, of_day| 24 * days_after(winter.start, md) as usize + of_day;
        let mut feeds: Vec<(usize, Feed)> =
            c.feeds.iter().map(|f| (hour(f.date, 12), f.feed)).collect();
        // The sort keeps the order of feeds of one day; the last is taken first.
        feeds.sort_by_key(|f| f.0);
        feeds.reverse();
        let days = winter.hours.len() / 24 + 1;
        let seat = home.place().centre;
        Ok(Self {
            stack,
            place: place_of(stack, &home, corner),
            home,
            corner,
            settled_response: 0.0,
            gradient: [0.0; 3],
            feeds,
            dies: c.dies.map(|d| hour(d, 0)),
            eaten_by_day: Vec::with_capacity(days),
            stores_by_day: Vec::with_capacity(days),
            in_contact_by_day: Vec::with_capacity(days),
            bees_by_day: Vec::with_capacity(days),
            starved: None,
            closest: None,
            needed: 0.0,
            done_without: 0.0,
            weakest: None,
            coldest: None,
            warmth: (0.0, 0),
            outside: (0.0, 0),
            path: seat,
        })
    }

    /// The bees.
    pub fn colony(&self) -> &Colony {
        &self.home.colony
    }

    /// Whether the cluster has left its place; it then has the place it went to, or the one it is `led` to.
    pub fn moves(&mut self, led: Option<Place>) -> bool {
        let now = led.unwrap_or_else(|| place_of(self.stack, &self.home, self.corner));
        let left = match led {
            Some(there) => {
                let centre = std::array::from_fn(|a| there.centre[a] + self.corner[a]);
                self.home.put(centre);
                self.place != there
            }
            None => self.place.left_by(&now),
        };
        if left {
            self.place = now;
        }
        left
    }

    /// What is done to the hive at the start of hour `i` of the winter.
    pub fn keeper(&mut self, i: usize) {
        while let Some((_, feed)) = self.feeds.pop_if(|(hour, _)| *hour <= i) {
            self.home.feed(&feed);
        }
        if self.dies.is_some_and(|hour| hour <= i) {
            self.home.colony.kill();
        }
    }

    /// Feels which way it is warmer, K/m, `dt` seconds after the last time. What counts is the mean of some days: bees
    /// that follow the sun to a wall in the afternoon are back for the night.
    pub fn feel(&mut self, gradient: [f64; 3], dt: f64) {
        let share = 1.0 - (-dt / FELT_OVER).exp();
        for (g, new) in self.gradient.iter_mut().zip(gradient) {
            *g += share * (new - *g);
        }
    }

    /// Lives an hour: `flow` W given to the hive at `around_c` degC.
    pub fn live(&mut self, hour: &ClusterHour, around_c: f64, weather: Weather, dt: f64) {
        // Without the cluster's own warmth it would be so cold; one comb further on a sphere's warmth has fallen by R/(R + d).
        let own = self.settled_response * hour.to_surroundings.max(0.0);
        let radius = self.place.radius;
        let around = Around {
            air_c: around_c - own * (1.0 - radius / (radius + NEXT_COMB)),
            gradient: self.gradient,
        };
        let outside = Outside {
            outdoor_c: weather.outdoor_c,
            ghi: weather.ghi,
            wind: weather.wind,
        };
        self.home.hour(hour, around_c, &around, &outside, dt);
        self.outside.0 += weather.outdoor_c;
        self.outside.1 += 1;
    }

    /// Ends day number `day`.
    pub fn end_day(&mut self, day: i32, date: Date) {
        let mean = self.outside.0 / self.outside.1.max(1) as f64;
        self.outside = (0.0, 0);
        self.home.end_day(day, mean);
        let foraging = &self.home.foraging;
        self.eaten_by_day.push(foraging.need());
        self.stores_by_day.push(foraging.stores.total());
        self.in_contact_by_day
            .push(self.home.reachable_stores().contact);
        let (colony, p) = (&self.home.colony, self.home.colony.parameters());
        self.bees_by_day
            .push(p.bee_mass * (colony.bees() + BROOD_CELL * colony.brood_cells()));
        let today = foraging.need() - self.needed;
        self.needed = foraging.need();
        if foraging.hunger() <= 0.0 {
            self.done_without = foraging.shadow();
        } else if today > 0.0
            && foraging.stores.total() > NO_HONEY
            && foraging.starved() != Some(Lack::RanOut)
        {
            let crops = self.home.colony.crops();
            let left = crops - foraging.hunger() - (foraging.shadow() - self.done_without);
            let (days, share) = (left / today, left / crops);
            if crops > 0.0 && self.closest.is_none_or(|c| share < c.share) {
                self.closest = Some(Closest { date, days, share });
            }
        }
        if let (None, Some(lack)) = (self.starved, foraging.starved()) {
            self.starved = Some(Starved {
                date,
                beside_honey: match lack {
                    Lack::Isolated { left } => Some(left),
                    Lack::None | Lack::RanOut => None,
                },
            });
        }
    }

    /// How full the combs of box `b` are, 0 to 1.
    pub fn fullness(&self, b: usize) -> f64 {
        self.home.foraging.stores.fullness(b)
    }

    /// What it has left in an hour.
    pub fn reserve(&self, hour: &ClusterHour) -> Reserve {
        let colony = &self.home.colony;
        let p = colony.parameters();
        // At rest both are warmer than they must be: that comes on top of the heat not made.
        let warmer = (hour.surface_c - p.mantle_c).min(hour.core_c - colony.core_need_c());
        let warmer = warmer.max(0.0);
        let sensible = 1.0 - p.latent_share();
        // Bees that make all they can may be over it by a rounding.
        let spare = (colony.heat_max() - hour.heat).max(0.0) * sensible;
        Reserve {
            warmer,
            spare,
            film: colony.film_conductance(),
        }
    }

    /// The hour with its margins; it could stand air `colder` by so many kelvin.
    pub fn moment(
        &self,
        time: DateTime,
        outdoor_c: f64,
        around_c: f64,
        hour: &ClusterHour,
        colder: f64,
    ) -> Moment {
        let p = self.home.colony.parameters();
        Moment {
            time,
            outdoor_c,
            around_c,
            mantle_c: hour.surface_c,
            core_c: hour.core_c,
            mantle_margin: hour.surface_c - p.chill_coma_c,
            core_margin: hour.core_c - self.home.colony.core_need_c(),
            heat: hour.heat,
            heat_in_hand: colder,
            brood: self.home.colony.brood_cells() > 0.0,
        }
    }

    /// Keeps what the winter is to be remembered by.
    pub fn note(&mut self, m: Moment) {
        if !self.home.colony.alive() {
            return;
        }
        if self.weakest.is_none_or(|w| m.heat_in_hand < w.heat_in_hand) {
            self.weakest = Some(m);
        }
        if self.coldest.is_none_or(|c| m.outdoor_c < c.outdoor_c) {
            self.coldest = Some(m);
        }
        if matches!(m.time.month(), 12 | 1 | 2) {
            self.warmth.0 += m.around_c - m.outdoor_c;
            self.warmth.1 += 1;
        }
    }

    /// What the winter did to it; `None` before its first hour.
    pub fn outcome(self, scenario: &Scenario, water: WaterBooks) -> Option<ColonyOutcome> {
        let (colony, foraging) = (&self.home.colony, &self.home.foraging);
        let end = self.home.place().centre;
        Some(ColonyOutcome {
            stack: scenario.stacks.get(self.stack)?.name.clone(),
            eaten: foraging.need(),
            fed_to_brood: colony.fed_to_brood(),
            flown: colony.tally().flown,
            put_in: foraging.stores.put_in(),
            left: foraging.stores.total(),
            starved: self.starved,
            closest: self.closest,
            alive: colony.alive(),
            bees_left: colony.bees(),
            died_of_cold: colony.tally().died_of_cold,
            chilled_hours: colony.chilled_hours(),
            flight_hours: self.home.flights().hours,
            moved: std::array::from_fn(|a| end[a] - self.path[a]),
            weakest: self.weakest?,
            coldest: self.coldest?,
            warmth_mid_winter: if self.warmth.1 == 0 {
                0.0
            } else {
                self.warmth.0 / self.warmth.1 as f64
            },
            eaten_by_day: self.eaten_by_day,
            stores_by_day: self.stores_by_day,
            in_contact_by_day: self.in_contact_by_day,
            bees_by_day: self.bees_by_day,
            water,
        })
    }
}

/// Less honey than this in the hive is none to starve beside, kg (a choice: half a day's food).
const NO_HONEY: f64 = 0.02;
/// Time over which warmth at one side counts, s (a choice: three days).
const FELT_OVER: f64 = 3.0 * 86_400.0;
/// How far from its surface the air is that a cluster must cross to the next comb, m: one comb pitch.
const NEXT_COMB: f64 = 0.036;
/// Radius of the sphere that finds out how warm a colony will have it, m.
const FIRST_LOOK: f64 = 0.05;

fn place_of(stack: usize, home: &ColonyWithStores, corner: [f64; 3]) -> Place {
    let at = home.place();
    Place {
        stack,
        radius: home.colony.radius(),
        centre: std::array::from_fn(|a| at.centre[a] - corner[a]),
    }
}

/// The combs of a stack, box by box.
fn combs(space: &StackSpace) -> Vec<BoxCombs> {
    space
        .boxes
        .iter()
        .filter_map(|b| {
            let (column, comb) = (b.column?, b.comb?);
            let full = b.honey_capacity / f64::from(b.frames.max(1));
            Some(BoxCombs::evenly(
                column[0], b.frames, comb[1], comb[2], full,
            ))
        })
        .collect()
}
