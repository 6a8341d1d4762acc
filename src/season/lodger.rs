//! One colony in its place through a winter, and what is to be remembered of it.

use super::outcome::{ColonyOutcome, Moment};
use super::place::Place;
use super::stand::Stand;
use crate::colony::Colony;
use crate::colony::cluster::ClusterHour;
use crate::colony::parameters::Parameters;
use crate::hive::StackSpace;
use crate::scenario::model::Scenario;
use jiff::civil::{Date, DateTime};

/// A colony in its place.
#[derive(Clone)]
pub(super) struct Lodger {
    pub stack: usize,
    pub colony: Colony,
    pub place: Place,
    /// How far it has crept up, m.
    risen: f64,
    /// Kelvins around the cluster per watt, all settled.
    pub settled_response: f64,
    stores: f64,
    eaten_by_day: Vec<f64>,
    ran_out: Option<Date>,
    weakest: Option<Moment>,
    coldest: Option<Moment>,
    warmth: (f64, usize),
}

impl Lodger {
    /// A colony at the foot of its combs; `probe` tells the temperature around a place, degC.
    pub fn settle<E>(
        stand: &Stand,
        stack: usize,
        bees: f64,
        stores: f64,
        days: usize,
        p: &Parameters,
        probe: impl Fn(Place) -> Result<f64, E>,
    ) -> Result<Self, E> {
        let space = &stand.hive.stacks[stack];
        let first = |radius| Place::nearest(stack, radius, centre(space, radius, 0.0));
        let around = probe(first(0.05))?;
        let colony = Colony::new(bees, around, space.comb_volume, p.clone());
        Ok(Self {
            stack,
            place: first(colony.radius()),
            risen: 0.0,
            settled_response: 0.0,
            stores,
            eaten_by_day: Vec::with_capacity(days),
            ran_out: None,
            weakest: None,
            coldest: None,
            warmth: (0.0, 0),
            colony,
        })
    }

    /// A place to move to, if the cluster has left the one it has.
    pub fn moves(&mut self, stand: &Stand) -> bool {
        let radius = self.colony.radius();
        let at = centre(&stand.hive.stacks[self.stack], radius, self.risen);
        let left = self.place.left_by(radius, at);
        if left {
            self.place = Place::nearest(self.stack, radius, at);
        }
        left
    }

    /// Begins a day: the cluster creeps up its combs.
    pub fn begin_day(&mut self) {
        self.risen += self.colony.creep_per_day();
    }

    /// Ends a day at `brood` of full brood rearing.
    pub fn end_day(&mut self, brood: f64, date: Date) {
        self.colony.end_day(brood);
        self.eaten_by_day.push(self.colony.eaten());
        if self.colony.eaten() > self.stores && self.ran_out.is_none() {
            self.ran_out = Some(date);
        }
    }

    /// Share of its stores still there, 0 to 1.
    pub fn stores_left(&self) -> f64 {
        if self.stores > 0.0 {
            (1.0 - self.colony.eaten() / self.stores).clamp(0.0, 1.0)
        } else {
            0.0
        }
    }

    /// The hour with its margins.
    pub fn moment(
        &self,
        time: DateTime,
        outside_c: f64,
        around_c: f64,
        hour: &ClusterHour,
        film: f64,
    ) -> Moment {
        let p = self.colony.parameters();
        let spare = (self.colony.heat_max() - hour.heat) * (1.0 - p.latent_share);
        // At rest both are warmer than they must be: that comes on top of the heat not made.
        let warmer = (hour.surface_c - p.mantle_c).min(hour.core_c - self.colony.core_need_c());
        Moment {
            time,
            outside_c,
            around_c,
            mantle_c: hour.surface_c,
            core_c: hour.core_c,
            mantle_margin: hour.surface_c - p.chill_coma_c,
            core_margin: hour.core_c - self.colony.core_need_c(),
            heat: hour.heat,
            heat_in_hand: warmer.max(0.0) + spare * (1.0 / film + self.settled_response),
            brood: self.colony.brood_cells() > 0.0,
        }
    }

    /// Keeps what the winter is to be remembered by.
    pub fn note(&mut self, m: Moment) {
        if self.weakest.is_none_or(|w| m.heat_in_hand < w.heat_in_hand) {
            self.weakest = Some(m);
        }
        if self.coldest.is_none_or(|c| m.outside_c < c.outside_c) {
            self.coldest = Some(m);
        }
        if matches!(m.time.month(), 12 | 1 | 2) {
            self.warmth.0 += m.around_c - m.outside_c;
            self.warmth.1 += 1;
        }
    }

    /// What the winter did to it; `None` before its first hour.
    pub fn outcome(self, scenario: &Scenario) -> Option<ColonyOutcome> {
        Some(ColonyOutcome {
            stack: scenario.stacks.get(self.stack)?.name.clone(),
            eaten: self.colony.eaten(),
            fed_to_brood: self.colony.fed_to_brood(),
            eaten_by_day: self.eaten_by_day,
            ran_out: self.ran_out,
            bees_left: self.colony.bees(),
            chilled_hours: self.colony.chilled_hours(),
            weakest: self.weakest?,
            coldest: self.coldest?,
            warmth_mid_winter: if self.warmth.1 == 0 {
                0.0
            } else {
                self.warmth.0 / self.warmth.1 as f64
            },
        })
    }
}

/// Centre of a cluster of `radius` m, `risen` m above where it first sat, from the low corner of the comb space: in the
/// middle of the combs, its foot on the lowest comb's edge at first, its head never above the highest.
fn centre(space: &StackSpace, radius: f64, risen: f64) -> [f64; 3] {
    let size = space.bounds.map(|b| b[1] - b[0]);
    let highest = (size[2] - radius).max(radius.min(0.5 * size[2]));
    [0.5 * size[0], 0.5 * size[1], (radius + risen).min(highest)]
}
