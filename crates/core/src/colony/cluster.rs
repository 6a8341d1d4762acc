//! The wintering cluster as a radial body: shells of equal bee mass that conduct, store and make heat, and the
//! regulation that decides how much heat the bees make.
//!
//! The body sees its surroundings as one temperature, the mean over its own surface, and gives one heat flow back.
//! Everything is linear in that temperature and in the extra heat once the resting heat of the hour is fixed, so one
//! hour costs four tridiagonal solves, done side by side; the regulation then picks the extra heat from those responses.
//!
//! Regulation, from below and from above:
//! - the **mantle**: the surface is not let fall under `mantle_c`;
//! - the **core**: the centre is not let fall under what it needs (22 degC, 34.5 with brood);
//! - the **ceiling**: the centre is not driven over its ceiling: what the mantle still lacks
//!   is made by the outer half of the bees, and if resting heat alone is too much while the mantle is warm, the cluster
//!   airs itself and the surplus leaves the hive with that air;
//! - the **most** the bees can make, `heat_max`, bounds it all.

use super::parameters::Parameters;
use std::f64::consts::PI;
use std::sync::LazyLock;

/// Number of shells, each with the same mass of bees.
pub const SHELLS: usize = 12;

/// `1/(1/m_i - 1/m_o)` from the middle of each shell's mass to that of the next, and from the last one's to the surface: the
/// conductance of a hollow sphere over `4 pi k R`. The middles are at the cube root of `(i + 1/2)/12` of the cluster's radius.
static BETWEEN: LazyLock<[f64; SHELLS]> = LazyLock::new(|| {
    let middle = |i: usize| ((i as f64 + 0.5) / SHELLS as f64).cbrt();
    std::array::from_fn(|i| {
        let outer = if i + 1 < SHELLS { middle(i + 1) } else { 1.0 };
        1.0 / (1.0 / middle(i) - 1.0 / outer)
    })
});

/// The state of a cluster: one temperature per shell, centre first, degC.
#[derive(Debug, Clone, PartialEq)]
pub struct Cluster {
    /// Shell temperatures, centre first, degC.
    pub shell_c: [f64; SHELLS],
}

/// What the cluster is like during one hour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Condition {
    /// Mass of bees, kg.
    pub mass: f64,
    /// Radius, m.
    pub radius: f64,
    /// Share of the innermost bees that make extra heat, 0 to 1.
    pub core_share: f64,
    /// Core temperature to be held, degC.
    pub core_need_c: f64,
    /// Core temperature not to be driven over, degC.
    pub core_ceiling_c: f64,
}

/// What limits the heat of an hour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Regime {
    /// Resting heat is enough.
    Rest,
    /// Heat is made to hold the core.
    Core,
    /// Heat is made to hold the mantle.
    Mantle,
    /// The cluster airs itself to stay under its ceiling.
    Airing,
    /// The bees make all the heat they can and it is not enough.
    Exhausted,
}

/// One hour of a cluster in surroundings of a given temperature.
#[derive(Debug, Clone, PartialEq)]
pub struct ClusterHour {
    /// Shell temperatures at the end of the hour, degC.
    pub shell_c: [f64; SHELLS],
    /// Heat the bees make (metabolic), W.
    pub heat: f64,
    /// Sensible heat given to the surroundings through the surface, W.
    pub to_surroundings: f64,
    /// Sensible heat carried out of the hive by self-airing, W.
    pub aired: f64,
    /// Surface temperature, degC.
    pub surface_c: f64,
    /// Temperature of the innermost twelfth of the bees, degC.
    pub core_c: f64,
    /// What set the heat.
    pub regime: Regime,
}

/// The hour's linear responses of a cluster.
struct Responses {
    /// Temperature of each shell as the hour finds it (degC), and for a kelvin around, a watt in the core and a watt in the
    /// outer half (K).
    shells: [[f64; 4]; SHELLS],
    /// Conductance from the outermost shell's middle to the surface, W/K.
    g_skin: f64,
    /// Conductance of the surface film, W/K.
    g_film: f64,
}

impl Responses {
    fn shell(&self, i: usize, ambient: f64, core: f64, outer: f64) -> f64 {
        let [base, by_ambient, by_core, by_outer] = self.shells[i];
        base + by_ambient * ambient + by_core * core + by_outer * outer
    }

    /// Surface temperature with the outermost shell at `t`.
    fn surface(&self, t: f64, ambient: f64) -> f64 {
        (self.g_skin * t + self.g_film * ambient) / (self.g_skin + self.g_film)
    }
}

impl Cluster {
    /// A cluster of one temperature throughout, degC.
    #[must_use]
    pub fn uniform(t_c: f64) -> Self {
        Self {
            shell_c: [t_c; SHELLS],
        }
    }

    /// Lets `dt` seconds pass in surroundings of temperature `ambient_c` (degC) without changing the state: the answer is
    /// taken over with [`Cluster::commit`].
    #[must_use]
    pub fn hour(&self, ambient_c: f64, dt: f64, c: &Condition, p: &Parameters) -> ClusterHour {
        self.prepare(dt, c, p).at(ambient_c)
    }

    /// Does the work of an hour that does not depend on the surroundings' temperature.
    #[must_use]
    pub fn prepare<'a>(&self, dt: f64, c: &Condition, p: &'a Parameters) -> PreparedHour<'a> {
        let sensible = 1.0 - p.latent_share();
        let ceiling = c.core_ceiling_c;
        // Resting heat `r20 Q10^((t - 20)/10)` (Thermochim Acta 382:221-227, 2002), the logarithm taken once.
        let (each, per_k) = (c.mass / SHELLS as f64 * p.rest_heat_20, p.q10.ln() / 10.0);
        let rest: [f64; SHELLS] = self
            .shell_c
            .map(|t| each * (per_k * (t.min(ceiling) - 20.0)).exp());
        let r = self.responses(dt, c, p, &rest.map(|q| q * sensible));
        PreparedHour {
            responses: r,
            rest: rest.iter().sum(),
            condition: *c,
            parameters: p,
        }
    }

    /// Takes an hour's outcome over as the new state.
    pub fn commit(&mut self, hour: &ClusterHour) {
        self.shell_c = hour.shell_c;
    }

    fn responses(&self, dt: f64, c: &Condition, p: &Parameters, rest: &[f64; SHELLS]) -> Responses {
        let n = SHELLS as f64;
        let hollow = 4.0 * PI * p.cluster_conductivity * c.radius;
        let g = BETWEEN.map(|b| hollow * b);
        let g_skin = g[SHELLS - 1];
        let g_film = p.cluster_film * 4.0 * PI * c.radius * c.radius;
        let g_out = g_skin * g_film / (g_skin + g_film);
        let store = c.mass * p.bee_specific_heat / n / dt;

        let mut diagonal = [store; SHELLS];
        for i in 0..SHELLS - 1 {
            diagonal[i] += g[i];
            diagonal[i + 1] += g[i];
        }
        diagonal[SHELLS - 1] += g_out;
        // Shells 0.. fully inside the heating share, the last one in part.
        let heating = (c.core_share * n).clamp(1.0, n);
        let mut shells: [[f64; 4]; SHELLS] = std::array::from_fn(|i| {
            let in_core = (heating - i as f64).clamp(0.0, 1.0) / heating;
            let in_outer = if 2 * i >= SHELLS { 2.0 / n } else { 0.0 };
            [store * self.shell_c[i] + rest[i], 0.0, in_core, in_outer]
        });
        shells[SHELLS - 1][1] = g_out;
        solve(diagonal, &g, &mut shells);
        Responses {
            shells,
            g_skin,
            g_film,
        }
    }
}

/// One hour of a cluster, ready to be asked for any temperature of its surroundings.
pub struct PreparedHour<'a> {
    responses: Responses,
    rest: f64,
    condition: Condition,
    parameters: &'a Parameters,
}

/// Sensible heat made beyond resting heat, W, and what set it.
struct Extra {
    in_core: f64,
    outer: f64,
    regime: Regime,
}

impl PreparedHour<'_> {
    /// The hour in surroundings of `ambient_c` degC.
    #[must_use]
    pub fn at(&self, ambient_c: f64) -> ClusterHour {
        let (r, extra) = (&self.responses, self.extra(ambient_c));
        let (in_core, outer) = (extra.in_core, extra.outer);
        let shell_c: [f64; SHELLS] = std::array::from_fn(|i| r.shell(i, ambient_c, in_core, outer));
        let surface_c = r.surface(shell_c[SHELLS - 1], ambient_c);
        ClusterHour {
            core_c: shell_c[0],
            shell_c,
            heat: self.rest + (in_core.max(0.0) + outer) / (1.0 - self.parameters.latent_share()),
            to_surroundings: r.g_film * (surface_c - ambient_c),
            aired: (-in_core).max(0.0),
            surface_c,
            regime: extra.regime,
        }
    }

    /// Sensible heat given to surroundings of `ambient_c` degC, W: that of [`Self::at`].
    #[must_use]
    pub fn to_surroundings(&self, ambient_c: f64) -> f64 {
        let (r, extra) = (&self.responses, self.extra(ambient_c));
        let last = r.shell(SHELLS - 1, ambient_c, extra.in_core, extra.outer);
        r.g_film * (r.surface(last, ambient_c) - ambient_c)
    }

    fn extra(&self, ambient_c: f64) -> Extra {
        let (r, p, c) = (&self.responses, self.parameters, &self.condition);
        let sensible = 1.0 - p.latent_share();
        let floor = c.core_need_c;
        let ceiling = c.core_ceiling_c;
        let core_rest = r.shell(0, ambient_c, 0.0, 0.0);
        let skin_rest = r.surface(r.shell(SHELLS - 1, ambient_c, 0.0, 0.0), ambient_c);
        let skin = r.g_skin / (r.g_skin + r.g_film);
        let [_, _, core_c, core_o] = r.shells[0];
        let [skin_c, skin_o] = [2, 3].map(|k| skin * r.shells[SHELLS - 1][k]);

        let for_core = ((floor - core_rest) / core_c).max(0.0);
        let for_mantle = ((p.mantle_c - skin_rest) / skin_c).max(0.0);
        let (mut in_core, mut outer) = (for_core.max(for_mantle), 0.0);
        let mut regime = match () {
            () if core_rest > ceiling && for_mantle == 0.0 => Regime::Airing,
            () if in_core == 0.0 => Regime::Rest,
            () if for_core >= for_mantle => Regime::Core,
            () => Regime::Mantle,
        };
        if regime == Regime::Airing {
            // Down to the ceiling, but not so far that the mantle is chilled by it.
            in_core = ((ceiling - core_rest) / core_c).max((p.mantle_c - skin_rest) / skin_c);
        } else if core_rest + core_c * in_core > ceiling {
            // Core at its ceiling and mantle at its floor: two equations for two heats.
            let det = core_c * skin_o - core_o * skin_c;
            let (dc, ds) = (ceiling - core_rest, p.mantle_c - skin_rest);
            in_core = (dc * skin_o - ds * core_o) / det;
            outer = (core_c * ds - skin_c * dc) / det;
            if in_core < 0.0 {
                (in_core, outer) = (0.0, ds / skin_o);
            }
        }
        let room = (sensible * (c.mass * p.heat_max - self.rest)).max(0.0);
        if in_core + outer > room {
            let cut = room / (in_core + outer);
            in_core *= cut;
            outer *= cut;
            regime = Regime::Exhausted;
        }
        Extra {
            in_core,
            outer,
            regime,
        }
    }
}

/// Solves for four right-hand sides side by side with the symmetric tridiagonal matrix of diagonal `d` and off-diagonals `-g`,
/// the last of which is not used (Thomas algorithm; diagonally dominant).
fn solve(mut d: [f64; SHELLS], g: &[f64; SHELLS], b: &mut [[f64; 4]; SHELLS]) {
    for i in 1..SHELLS {
        let w = g[i - 1] / d[i - 1];
        d[i] -= w * g[i - 1];
        b[i] = std::array::from_fn(|k| b[i][k] + w * b[i - 1][k]);
    }
    let pivot = d.map(|d| 1.0 / d);
    b[SHELLS - 1] = b[SHELLS - 1].map(|b| b * pivot[SHELLS - 1]);
    for i in (0..SHELLS - 1).rev() {
        b[i] = std::array::from_fn(|k| (b[i][k] + g[i] * b[i + 1][k]) * pivot[i]);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn settled(ambient: f64, c: &Condition, p: &Parameters) -> ClusterHour {
        let mut cluster = Cluster::uniform(20.0);
        for _ in 0..400 {
            let h = cluster.hour(ambient, 3600.0, c, p);
            cluster.commit(&h);
        }
        cluster.hour(ambient, 3600.0, c, p)
    }

    fn condition(mass: f64, ambient: f64, p: &Parameters) -> Condition {
        let v = super::super::size::volume(mass / p.bee_mass, ambient, p);
        Condition {
            mass,
            radius: super::super::size::radius(v),
            core_share: p.core_share,
            core_need_c: p.core_c,
            core_ceiling_c: p.core_ceiling_c,
        }
    }

    /// Catches a wrong film, size or latent share: Southwick 1985 gives 4.9 W for 1.0 kg at 2 degC (the film was chosen
    /// to close this one, so it guards the code, not the biology).
    #[test]
    fn one_kilogram_at_two_degrees() {
        let p = Parameters::with(&[]).unwrap();
        let h = settled(2.0, &condition(1.0, 2.0, &p), &p);
        assert!((h.heat - 4.9).abs() < 0.6, "{} W", h.heat);
        assert_eq!(h.regime, Regime::Mantle);
    }

    /// Catches heat that is lost or invented between bees, surface and airing.
    #[test]
    fn settled_cluster_gives_away_what_it_makes() {
        let p = Parameters::with(&[]).unwrap();
        for ambient in [-30.0, -10.0, 0.0, 8.0, 15.0, 25.0, 33.0] {
            let h = settled(ambient, &condition(1.5, ambient, &p), &p);
            let made = h.heat * (1.0 - p.latent_share());
            assert!(
                (made - h.to_surroundings - h.aired).abs() < 1e-6 * made.max(1.0),
                "{ambient}"
            );
        }
    }

    /// Catches a thermal runaway in warm surroundings: the core stays at or under its ceiling.
    #[test]
    fn warm_surroundings_do_not_run_away() {
        let p = Parameters::with(&[]).unwrap();
        for ambient in [10.0, 20.0, 25.0, 29.0] {
            let h = settled(ambient, &condition(2.8, ambient, &p), &p);
            assert!(
                h.core_c <= p.core_ceiling_c + 1e-9,
                "{ambient}: core {}",
                h.core_c
            );
            assert!(h.heat < 25.0);
        }
    }

    /// Catches a regulator that lets the mantle sink while the bees have heat in hand.
    #[test]
    fn mantle_is_held_until_exhausted() {
        let p = Parameters::with(&[]).unwrap();
        let cold = settled(-20.0, &condition(1.5, -20.0, &p), &p);
        assert!((cold.surface_c - p.mantle_c).abs() < 1e-9);
        let tiny = settled(-45.0, &condition(0.03, -45.0, &p), &p);
        assert_eq!(tiny.regime, Regime::Exhausted);
        assert!(tiny.surface_c < p.chill_coma_c);
        assert!((tiny.heat - 0.03 * p.heat_max).abs() < 1e-9);
    }

    proptest! {
        /// Catches NaN, negative heat, or a heat flow that falls when it gets colder outside the cluster.
        #[test]
        fn any_hour_is_sane(start in -5.0..36.0f64, ambient in -60.0..40.0f64, mass in 0.02..5.0f64,
                            brood in any::<bool>(), share in 0.05..1.0f64) {
            let p = Parameters::with(&[]).unwrap();
            let radius = super::super::size::radius(super::super::size::volume(mass / p.bee_mass, ambient, &p));
            let c = Condition { mass, radius, core_share: share, core_need_c: if brood { 34.5 } else { 22.0 }, core_ceiling_c: if brood { 35.5 } else { 30.0 } };
            let h = Cluster::uniform(start).prepare(3600.0, &c, &p);
            let (a, b) = (h.at(ambient), h.at(ambient - 0.5));
            prop_assert!(a.shell_c.iter().all(|t| t.is_finite()));
            prop_assert!(a.heat >= 0.0 && a.heat <= (mass * p.heat_max).max(h.rest) + 1e-9);
            prop_assert!(b.to_surroundings >= a.to_surroundings - 1e-9);
        }
    }
}
