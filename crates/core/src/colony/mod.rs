//! The wintering colony: a cluster that makes heat, bees that die, brood that must be fed and kept warm, honey that is
//! eaten. It knows nothing of grids: it is given the temperature around its surface and answers with its heat and size.

pub mod brood;
pub mod cluster;
pub mod colony_with_stores;
pub mod ensemble;
pub mod feeding;
pub mod flights;
pub mod movement;
pub mod parameters;
pub mod size;
pub mod stores;

use brood::{Brood, BroodDay};
use cluster::{Cluster, ClusterHour, Condition, PreparedHour};
use parameters::Parameters;
use std::f64::consts::PI;

/// Seconds over which a cluster settles to a new size (Peters, Peleg & Mahadevan 2022, JEB 225: still not settled after
/// five hours).
const SETTLING: f64 = 5.0 * 3600.0;

/// How far above its need a brood core may get before the cluster airs itself, K (a choice: brood stays within 33-36
/// degC, COLOSS BEEBOOK).
const BROOD_SLACK: f64 = 1.0;
/// How fast bees bring the core from its winter to its brood temperature or back, K/s (common practice, no source: a
/// day for the 12 K).
const CORE_DRIFT: f64 = 0.5 / 3600.0;

/// Fewer bees than this are no colony: they cannot hold together against the first cold night (a choice).
const FEWEST: f64 = 100.0;

/// What limits brood at the end of a day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DayEnd {
    /// Share of full brood by season, 0 to 1 ([`brood::BroodClock::day`]).
    pub brood_share: f64,
    /// Honey brood can count on, kg.
    pub honey: f64,
}

/// A colony on its way through a winter.
#[derive(Debug, Clone)]
pub struct Colony {
    parameters: Parameters,
    bees: f64,
    cluster: Cluster,
    brood: Brood,
    eaten: f64,
    fed_to_brood: f64,
    around_c: f64,
    room: f64,
    /// Radius of the thermal body, m.
    radius: f64,
    chilled: f64,
    core_need_c: f64,
    /// Bees of the thermal body: those that live, or the lump that died.
    body: f64,
    alive: bool,
    tally: Tally,
    books: HeatBooks,
}

/// Counts since the start, in bees and kg.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Tally {
    /// Bees that died, of age and of cold.
    pub died: f64,
    /// Of these, bees that died of cold.
    pub died_of_cold: f64,
    /// Bees that emerged.
    pub emerged: f64,
    /// Pollen that brood took, kg.
    pub pollen: f64,
    /// Honey flown off, kg.
    pub flown: f64,
}

/// Heat of the bees since the start, J: what they made and where it went.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct HeatBooks {
    /// Made from honey, water vapour included.
    pub made: f64,
    /// Left as vapour.
    pub latent: f64,
    /// Given to the hive through the cluster's surface.
    pub given: f64,
    /// Carried out of the hive by a cluster that aired itself.
    pub aired: f64,
    /// Taken up by the bees, each hour with the bees there were.
    pub stored: f64,
}

impl HeatBooks {
    /// What the books miss, as a share of what was made.
    #[must_use]
    pub fn relative(&self) -> f64 {
        let missed = self.made - self.latent - self.given - self.aired - self.stored;
        missed.abs() / self.made.abs().max(f64::MIN_POSITIVE)
    }
}

impl Colony {
    /// A colony of `mass` kg of bees in surroundings of `around_c` degC with `room` m3 of comb space.
    #[must_use]
    pub fn new(mass: f64, around_c: f64, room: f64, parameters: Parameters) -> Self {
        let mut colony = Self {
            bees: mass / parameters.bee_mass,
            cluster: Cluster::uniform(parameters.core_c.min(around_c.max(parameters.mantle_c))),
            brood: Brood::default(),
            eaten: 0.0,
            fed_to_brood: 0.0,
            around_c,
            room,
            radius: 0.0,
            chilled: 0.0,
            core_need_c: parameters.core_c,
            body: mass / parameters.bee_mass,
            alive: true,
            tally: Tally::default(),
            books: HeatBooks::default(),
            parameters,
        };
        colony.resize();
        colony
    }

    /// Adult bees.
    #[must_use]
    pub fn bees(&self) -> f64 {
        self.bees
    }

    /// Mass of adult bees, kg.
    #[must_use]
    pub fn mass(&self) -> f64 {
        self.bees * self.parameters.bee_mass
    }

    /// Honey eaten so far, kg, brood food included. It goes on after the stores are gone, so that the need is known.
    #[must_use]
    pub fn eaten(&self) -> f64 {
        self.eaten
    }

    /// Honey fed to brood so far, kg (part of [`Colony::eaten`]).
    #[must_use]
    pub fn fed_to_brood(&self) -> f64 {
        self.fed_to_brood
    }

    /// Hours the mantle has spent in chill coma so far.
    #[must_use]
    pub fn chilled_hours(&self) -> f64 {
        self.chilled / 3600.0
    }

    /// Brood cells in the nest.
    #[must_use]
    pub fn brood_cells(&self) -> f64 {
        self.brood.cells()
    }

    /// Radius of the cluster now, m; never larger than the comb space.
    #[must_use]
    pub fn radius(&self) -> f64 {
        self.radius
    }

    /// Works out the radius after the number of bees or the warmth around them has changed.
    fn resize(&mut self) {
        let volume = size::volume(self.body, self.around_c, &self.parameters);
        self.radius = size::radius(volume.min(self.room));
    }

    /// Whether it lives.
    #[must_use]
    pub fn alive(&self) -> bool {
        self.alive
    }

    /// What was counted since the start.
    #[must_use]
    pub fn tally(&self) -> Tally {
        self.tally
    }

    /// Heat since the start.
    #[must_use]
    pub fn heat_books(&self) -> &HeatBooks {
        &self.books
    }

    /// What all bees together can live on from their crops, kg.
    #[must_use]
    pub fn crops(&self) -> f64 {
        self.bees * self.parameters.crop
    }

    /// The colony dies now: no bees, no brood, no heat. Its dead stay where they sat and cool down.
    pub fn kill(&mut self) {
        if !self.alive {
            return;
        }
        self.tally.died += self.bees;
        self.bees = 0.0;
        self.alive = false;
        self.brood = Brood::default();
        self.parameters.rest_heat_20 = 0.0;
        self.parameters.heat_max = 0.0;
    }

    /// Honey spent on flight, kg: it goes into what was eaten, not into heat in the hive.
    pub fn fly(&mut self, kg: f64) {
        if self.alive && kg.is_finite() {
            self.eaten += kg.max(0.0);
            self.tally.flown += kg.max(0.0);
        }
    }

    /// Upward creep, m per day.
    #[must_use]
    pub fn creep_per_day(&self) -> f64 {
        self.parameters.creep_per_day
    }

    /// The colony's parameters.
    #[must_use]
    pub fn parameters(&self) -> &Parameters {
        &self.parameters
    }

    /// Conductance of the cluster's surface film, W/K.
    #[must_use]
    pub fn film_conductance(&self) -> f64 {
        self.parameters.cluster_film * 4.0 * PI * self.radius * self.radius
    }

    /// Most heat the bees can keep up now, W.
    #[must_use]
    pub fn heat_max(&self) -> f64 {
        self.mass() * self.parameters.heat_max
    }

    /// Core temperature that is needed now, degC.
    #[must_use]
    pub fn core_need_c(&self) -> f64 {
        if self.has_brood() {
            self.parameters.brood_c
        } else {
            self.parameters.core_c
        }
    }

    fn has_brood(&self) -> bool {
        self.brood.cells() > 0.0
    }

    fn condition(&self) -> Condition {
        let p = &self.parameters;
        let radius = self.radius();
        let cluster = 4.0 / 3.0 * std::f64::consts::PI * radius.powi(3);
        Condition {
            mass: self.body * p.bee_mass,
            radius,
            core_share: p.core_share.max((self.brood.volume(p) / cluster).min(0.9)),
            core_need_c: self.core_need_c,
            core_ceiling_c: p.core_ceiling_c.max(self.core_need_c + BROOD_SLACK),
        }
    }

    /// Readies the next `dt` seconds, to be asked for any surrounding temperature.
    #[must_use]
    pub fn prepare(&self, dt: f64) -> PreparedHour<'_> {
        self.cluster
            .prepare(dt, &self.condition(), &self.parameters)
    }

    /// Comes into balance with surroundings of `ambient_c` degC: nothing is counted, nobody dies.
    pub fn settle(&mut self, hour: &ClusterHour, ambient_c: f64) {
        self.cluster.commit(hour);
        self.around_c = ambient_c;
        self.resize();
    }

    /// Takes over `dt` seconds in surroundings of `ambient_c` degC.
    pub fn commit(&mut self, hour: &ClusterHour, ambient_c: f64, dt: f64) {
        let p = &self.parameters;
        let per_shell = self.body * p.bee_mass * p.bee_specific_heat / cluster::SHELLS as f64;
        let before: f64 = self.cluster.shell_c.iter().sum();
        self.cluster.commit(hour);
        let after: f64 = self.cluster.shell_c.iter().sum();
        self.books.made += hour.heat * dt;
        self.books.latent += p.latent_share() * hour.heat * dt;
        self.books.given += hour.to_surroundings * dt;
        self.books.aired += hour.aired * dt;
        self.books.stored += per_shell * (after - before);
        self.eaten += hour.heat * dt / self.parameters.honey_energy;
        if hour.surface_c < self.parameters.chill_coma_c {
            self.chilled += dt;
        }
        let goal = if self.has_brood() {
            self.parameters.brood_c
        } else {
            self.parameters.core_c
        };
        let drift = CORE_DRIFT * dt;
        self.core_need_c += (goal - self.core_need_c).clamp(-drift, drift);
        self.around_c += (ambient_c - self.around_c) * (1.0 - (-dt / SETTLING).exp());
        self.chill(dt);
        self.resize();
    }

    /// Bees die of cold, shell by shell: in chill coma as `1 - exp(-t/t_cc)`, most within `coma_hours`, below `cold_death` within the
    /// hour (Free & Spencer-Booth 1960).
    fn chill(&mut self, dt: f64) {
        if !self.alive {
            return;
        }
        let p = &self.parameters;
        let dead: f64 = self
            .cluster
            .shell_c
            .iter()
            .map(|&t| match () {
                () if t < p.cold_death_c => (dt / 3600.0).min(1.0),
                () if t < p.chill_coma_c => 1.0 - (-dt / (3600.0 * p.coma_lethal_h)).exp(),
                () => 0.0,
            })
            .sum::<f64>()
            * self.bees
            / cluster::SHELLS as f64;
        self.tally.died_of_cold += dead;
        self.lose(dead);
    }

    fn lose(&mut self, bees: f64) {
        let bees = bees.min(self.bees);
        self.bees -= bees;
        self.tally.died += bees;
        if self.bees < FEWEST {
            self.kill();
        } else {
            self.body = self.bees;
        }
    }

    /// Ends a day: bees die (the faster the more brood replaces them), brood is begun (`brood_share` of full, 0 to 1),
    /// emerges and is fed.
    pub fn end_day(&mut self, brood_share: f64) {
        self.end_day_within(&DayEnd {
            brood_share,
            honey: f64::INFINITY,
        });
    }

    /// Ends a day as [`Colony::end_day`], with brood held to the honey it can count on. Says what brood did. Brood has room
    /// within the cluster only (`brood_room` of its volume): bees cover what they keep warm, however warm the hive.
    pub fn end_day_within(&mut self, day: &DayEnd) -> BroodDay {
        if !self.alive {
            return BroodDay::default();
        }
        let p = self.parameters.clone();
        let food = (day.honey / p.brood_stores).clamp(0.0, 1.0);
        let share = day.brood_share.clamp(0.0, 1.0);
        let deaths =
            p.death_rate_per_day + share * (p.death_rate_brood_per_day - p.death_rate_per_day);
        self.lose(self.bees * deaths);
        if !self.alive {
            return BroodDay::default();
        }
        self.resize();
        let cluster = 4.0 / 3.0 * std::f64::consts::PI * self.radius().powi(3);
        let room = p.brood_room * cluster * p.brood_cells_per_m3;
        let done = self.brood.day_within(share * food, self.bees, room, &p);
        self.bees += done.emerged;
        self.body = self.bees;
        self.resize();
        self.eaten += done.fed;
        self.fed_to_brood += done.fed;
        self.tally.emerged += done.emerged;
        self.tally.pollen += done.pollen;
        done
    }
}

#[cfg(test)]
mod tests;
