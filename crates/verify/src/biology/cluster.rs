//! Checks of the single cluster, without hive and weather: heat by mass, size by temperature, creep.

use super::{BiologyError, Kept, row};
use crate::{Evidence, Row, Used};
use partywall_core::colony::ensemble::{Calibration, settled_heat};
use partywall_core::colony::movement;
use partywall_core::colony::parameters::Parameters;
use partywall_core::colony::size;
use partywall_core::colony::stores::{BoxCombs, Placement, Stores};

/// Masses of the clusters in the cabinet, kg.
const MASSES: [f64; 4] = [0.2, 0.6, 1.0, 1.2];
/// Temperature of the cabinet, degC.
const CABINET_C: f64 = 2.0;
const SOUTHWICK: &str = "Southwick 1985, J Comp Physiol B 156:143-149, abstract; units of its law inferred (mL O2 per g and \
    hour, grams, 21.1 J/mL)";
const SEVERSON: &str = "Severson & Erickson 1990, Apidologie 21:135-142, abstract";
const HANDOUT: &str = "beekeeping club handout, its own source not named";
const CREEP: &str = "working rule of European beekeeping texts, 1 mm a day";

/// C2: heat of clusters in a cabinet, and how it grows with mass.
pub(super) fn heat(kept: &Kept) -> Result<Vec<Row>, BiologyError> {
    let heats = kept.plain(|p| MASSES.map(|m| settled_heat(m, CABINET_C, p)))?;
    let [slope] = kept.plain(|p| [log_slope(&MASSES.map(|m| settled_heat(m, CABINET_C, p)))])?;
    let one = |i: usize, id, kg: &str, watts: f64, used| {
        let note = if used == Used::Yes {
            "; the range is that of the sets kept for agreeing with it"
        } else {
            ""
        };
        row(
            id,
            format!(
                "heat of a broodless cluster of {kg} kg settled in air of 2 degC, no hive{note}"
            ),
            (watts, 0.25 * watts, "W"),
            heats[i],
            SOUTHWICK,
            Evidence::Published,
            used,
        )
    };
    Ok(vec![
        one(0, "c2-heat-0.2", "0.2", 2.1, Used::Part),
        one(1, "c2-heat-0.6", "0.6", 3.7, Used::Part),
        one(2, "c2-heat-1.0", "1.0", 4.9, Used::Yes),
        one(3, "c2-heat-1.2", "1.2", 5.4, Used::Part),
        row(
            "c2-slope",
            "slope of log heat against log mass over these four (0.40 to 0.65 allowed)".into(),
            (0.525, 0.125, "-"),
            slope,
            SOUTHWICK,
            Evidence::Published,
            Used::No,
        ),
    ])
}

/// Least-squares slope of the logarithms of some heats against those of [`MASSES`].
fn log_slope(heats: &[f64; 4]) -> f64 {
    let x = MASSES.map(f64::ln);
    let y = heats.map(f64::ln);
    let mean = |v: &[f64; 4]| v.iter().sum::<f64>() / 4.0;
    let (mx, my) = (mean(&x), mean(&y));
    let (mut above, mut below) = (0.0, 0.0);
    for (x, y) in x.iter().zip(y) {
        above += (x - mx) * (y - my);
        below += (x - mx) * (x - mx);
    }
    above / below
}

/// Bees of "a strong colony": the top of the range of full-size colonies on 1 November.
const STRONG: f64 = 22_000.0;

/// C5 and C18: the cluster's size.
pub(super) fn size(kept: &Kept) -> Result<Vec<Row>, BiologyError> {
    let ratio =
        |bees: f64, p: &Parameters| size::volume(bees, -23.0, p) / size::volume(bees, 4.0, p);
    let [volume, surface] = kept.plain(|p| {
        let r = ratio(11_500.0, p);
        [r, r.powf(2.0 / 3.0)]
    })?;
    let diameter = |t: f64| {
        kept.plain(move |p| [200.0 * size::radius(size::volume(STRONG, t, p))])
            .map(|[d]| d)
    };
    let contraction = "of a cluster at -23 degC over that at +4 degC, the air around it";
    let mut rows = vec![
        row(
            "c5-volume",
            format!("volume {contraction}; the model's law of size is this measurement"),
            (0.45, 0.10, "-"),
            volume,
            SEVERSON,
            Evidence::Published,
            Used::Yes,
        ),
        row(
            "c5-surface",
            format!("surface {contraction}; follows from the volume for a sphere"),
            (0.60, 0.10, "-"),
            surface,
            SEVERSON,
            Evidence::Published,
            Used::Yes,
        ),
    ];
    for (id, t, cm) in [
        ("c18-warm", 10.0, 36.0),
        ("c18-cold", -7.0, 28.0),
        ("c18-deep-cold", -26.0, 25.0),
    ] {
        rows.push(row(
            id,
            format!(
                "cluster diameter of a strong colony (taken: 22,000 bees) at {t:+} degC, taken as the air around it"
            ),
            (cm, 0.2 * cm, "cm"),
            diameter(t)?,
            HANDOUT,
            Evidence::Published,
            Used::No,
        ));
    }
    Ok(rows)
}

/// Bees of check C1, the middle of 8-15,000, and its temperature, degC.
const SWEDEN: (f64, f64) = (11_500.0, 3.5);

/// C20: creep up the seams from what is eaten and what full combs hold.
pub(super) fn creep(kept: &Kept) -> Result<Vec<Row>, BiologyError> {
    let deep = BoxCombs::evenly([0.0, 0.35], 10, [0.0, 0.428], [0.0, 0.203], 2.7);
    let density = Stores::new(vec![deep], Placement::Natural(20.0), 0.0)?.density();
    let [got] = kept.plain(|p| {
        let kg = Calibration::of(p).c1_grams * 1e-3;
        let radius = size::radius(size::volume(SWEDEN.0, SWEDEN.1, p));
        [1e3 * movement::rise(kg, radius, density, p)]
    })?;
    Ok(vec![row(
        "c20-creep",
        "rise of the cluster from a day's use of 11,500 bees settled at 3.5 degC (no hive) and what full ten-frame \
         deep combs hold across its section (0.4 to 1.5 allowed; the rule is 1)"
            .into(),
        (0.95, 0.55, "mm/d"),
        got,
        CREEP,
        Evidence::Published,
        Used::Part,
    )])
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches a slope that is not the exponent (Southwick's own law: heat as mass to the power 0.521).
    #[test]
    fn slope_of_a_power_law() {
        let heats = MASSES.map(|m| 4.9 * m.powf(0.521));
        assert!((log_slope(&heats) - 0.521).abs() < 1e-12);
    }
}
