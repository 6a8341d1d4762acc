//! The wintering colony: a cluster that makes heat, bees that die, brood that must be fed and kept warm, honey that is
//! eaten. It knows nothing of grids: it is given the temperature around its surface and answers with its heat and size.

pub mod brood;
pub mod cluster;
pub mod movement;
pub mod parameters;
pub mod size;
pub mod stores;

use brood::Brood;
use cluster::{Cluster, ClusterHour, Condition, PreparedHour};
use parameters::Parameters;

/// Seconds over which a cluster settles to a new size (Peters, Peleg & Mahadevan 2022, JEB 225: still not settled after
/// five hours).
const SETTLING: f64 = 5.0 * 3600.0;

/// How far above its need a brood core may get before the cluster airs itself, K (a choice: brood stays within 33-36
/// degC, COLOSS BEEBOOK).
const BROOD_SLACK: f64 = 1.0;
/// How fast bees bring the core from its winter to its brood temperature or back, K/s (common practice, no source: a
/// day for the 12 K).
const CORE_DRIFT: f64 = 0.5 / 3600.0;

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
    chilled: f64,
    core_need_c: f64,
}

impl Colony {
    /// A colony of `mass` kg of bees in surroundings of `around_c` degC with `room` m3 of comb space.
    #[must_use]
    pub fn new(mass: f64, around_c: f64, room: f64, parameters: Parameters) -> Self {
        Self {
            bees: mass / parameters.bee_mass,
            cluster: Cluster::uniform(parameters.core_c.min(around_c.max(parameters.mantle_c))),
            brood: Brood::default(),
            eaten: 0.0,
            fed_to_brood: 0.0,
            around_c,
            room,
            chilled: 0.0,
            core_need_c: parameters.core_c,
            parameters,
        }
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
        size::radius(size::volume(self.bees, self.around_c, &self.parameters).min(self.room))
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
            mass: self.mass(),
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

    /// Takes over `dt` seconds in surroundings of `ambient_c` degC.
    pub fn commit(&mut self, hour: &ClusterHour, ambient_c: f64, dt: f64) {
        self.cluster.commit(hour);
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
    }

    /// Ends a day: bees die (the faster the more brood replaces them), brood is begun (`brood_share` of full, 0 to 1), emerges and is fed.
    pub fn end_day(&mut self, brood_share: f64) {
        let p = &self.parameters;
        let deaths = p.death_rate_per_day
            + brood_share * (p.death_rate_brood_per_day - p.death_rate_per_day);
        self.bees *= 1.0 - deaths;
        let day = self.brood.day(brood_share, self.bees, p);
        self.bees += day.emerged;
        self.eaten += day.fed;
        self.fed_to_brood += day.fed;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn winter(mass: f64, ambient: f64, days: i32, brood_from: i32) -> Colony {
        let p = Parameters::with(&[]).unwrap();
        let mut c = Colony::new(mass, ambient, 0.05, p);
        for day in 0..days {
            for _ in 0..24 {
                let h = c.prepare(3600.0).at(ambient);
                c.commit(&h, ambient, 3600.0);
            }
            c.end_day(brood::share(day, brood_from, brood_from + 40));
        }
        c
    }

    /// Catches a population that does not decay at the given rate.
    #[test]
    fn bees_die_at_the_stated_rate() {
        let c = winter(1.7, 3.0, 120, 1000);
        let expected = 1.7 / 0.113e-3 * 0.997f64.powi(120);
        assert!((c.bees() - expected).abs() < 1e-6 * expected);
    }

    /// Catches brood that costs nothing: the same weather with brood must cost clearly more honey.
    #[test]
    fn brood_costs_honey() {
        let without = winter(1.7, 6.0, 60, 1000);
        let with = winter(1.7, 6.0, 60, 0);
        assert!(
            with.eaten() > 1.4 * without.eaten(),
            "{} {}",
            with.eaten(),
            without.eaten()
        );
        assert!(with.fed_to_brood() > 0.0 && with.bees() > without.bees());
    }

    /// Catches a cluster that outgrows its combs.
    #[test]
    fn cluster_stays_in_its_room() {
        let p = Parameters::with(&[]).unwrap();
        let c = Colony::new(5.0, 18.0, 0.02, p);
        assert!(4.0 / 3.0 * std::f64::consts::PI * c.radius().powi(3) <= 0.02 + 1e-12);
    }
}
