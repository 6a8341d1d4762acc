//! Air gaps: closed airspaces of walls and lids by ISO 6946, and the narrow gaps between combs.

use super::film::{HeatFlow, radiative_black};

/// Thinnest airspace, m: thinner ones are held here so that a gap of nothing has no infinite coefficient.
const THINNEST: f64 = 1e-4;

/// Emissivities of airspace faces (ASHRAE Fundamentals ch. 26 table 2).
pub mod emissivity {
    /// Wood, paper, masonry, non-metal paint.
    pub const ORDINARY: f64 = 0.90;
    /// Bright aluminium foil, dry.
    pub const FOIL: f64 = 0.05;
    /// The same foil with dew just visible.
    pub const FOIL_DEWED: f64 = 0.30;
    /// The same foil with clear dew (more than 70 g/m2).
    pub const FOIL_WET: f64 = 0.70;
}

/// Conduction and convection coefficient ha of a closed airspace, W/m2K.
///
/// ISO 6946:2017 annex D; d thickness m, dT difference between its faces K. Up to 5 K: up max(1.95, 0.025/d),
/// horizontal max(1.25, 0.025/d), down max(0.12 d^-0.44, 0.025/d); above 5 K: up max(1.14 dT^(1/3), 0.025/d), horizontal
/// max(0.73 dT^(1/3), 0.025/d), down max(0.09 dT^0.187 d^-0.44, 0.025/d). Thickness to 0.3 m, faces at least ten times
/// as wide as the space is thick.
///
/// ```
/// use partywall_core::boundary::{cavity::convective, film::HeatFlow};
/// assert!((convective(0.025, 10.0, HeatFlow::Horizontal) - 1.5727).abs() < 1e-3);
/// ```
#[must_use]
pub fn convective(thickness: f64, difference: f64, flow: HeatFlow) -> f64 {
    let d = thickness.max(THINNEST);
    let dt = difference.abs();
    let still = 0.025 / d;
    let moving = match (flow, dt > 5.0) {
        (HeatFlow::Upwards, false) => 1.95,
        (HeatFlow::Horizontal, false) => 1.25,
        (HeatFlow::Downwards, false) => 0.12 * d.powf(-0.44),
        (HeatFlow::Upwards, true) => 1.14 * dt.cbrt(),
        (HeatFlow::Horizontal, true) => 0.73 * dt.cbrt(),
        (HeatFlow::Downwards, true) => 0.09 * dt.powf(0.187) * d.powf(-0.44),
    };
    still.max(moving)
}

/// Radiative coefficient across a wide airspace, W/m2K: `hr0/(1/e1 + 1/e2 - 1)` (ISO 6946:2017 annex D).
#[must_use]
pub fn radiative(emissivity_1: f64, emissivity_2: f64, mean_c: f64) -> f64 {
    radiative_black(mean_c) / (1.0 / held(emissivity_1) + 1.0 / held(emissivity_2) - 1.0)
}

fn held(emissivity: f64) -> f64 {
    emissivity.clamp(0.01, 1.0)
}

/// Resistance of a closed airspace, m2K/W: `1/(ha + hr)` (ISO 6946:2017 eq. D.1).
#[must_use]
pub fn resistance(
    thickness: f64,
    difference: f64,
    flow: HeatFlow,
    emissivity_1: f64,
    emissivity_2: f64,
    mean_c: f64,
) -> f64 {
    1.0 / (convective(thickness, difference, flow) + radiative(emissivity_1, emissivity_2, mean_c))
}

/// Resistance of a void whose width b is less than ten times its thickness d in the direction of heat flow, m2K/W.
///
/// ISO 6946:2017 annex D: radiation `hr0/(1/e1 + 1/e2 - 2 + 2/(1 + sqrt(1 + (d/b)^2) - d/b))`, convection as for a wide
/// airspace.
///
/// ```
/// use partywall_core::boundary::{cavity::small_void_resistance, film::HeatFlow};
/// // A void of 20 x 20 mm, emissivity 0.9, hr0 5.1 W/m2K (which is 9.09 degC): 0.2290 m2K/W.
/// let r = small_void_resistance(0.02, 0.02, 3.0, HeatFlow::Horizontal, 0.9, 0.9, 9.09);
/// assert!((r - 0.2290).abs() < 1e-4);
/// ```
#[must_use]
pub fn small_void_resistance(
    thickness: f64,
    width: f64,
    difference: f64,
    flow: HeatFlow,
    emissivity_1: f64,
    emissivity_2: f64,
    mean_c: f64,
) -> f64 {
    let ratio = thickness.max(THINNEST) / width.max(THINNEST);
    let shape = 2.0 / (1.0 + ratio.mul_add(ratio, 1.0).sqrt() - ratio);
    let hr = radiative_black(mean_c)
        / (1.0 / held(emissivity_1) + 1.0 / held(emissivity_2) - 2.0 + shape);
    1.0 / (convective(thickness, difference, flow) + hr)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::boundary::air;
    use HeatFlow::{Downwards, Horizontal, Upwards};

    /// Coefficient of a black airspace at 10 degC with the standard's rounded hr0 of 5.1.
    fn table_resistance(mm: f64, flow: HeatFlow) -> f64 {
        let hr = 5.1 / (2.0 / 0.9 - 1.0);
        1.0 / (convective(mm / 1000.0, 5.0, flow) + hr)
    }

    /// Catches any wrong branch: the standard's whole printed table of airspaces.
    #[test]
    fn iso_6946_table_of_airspaces() {
        let rows = [
            (5.0, 0.11, 0.11, 0.11),
            (7.0, 0.13, 0.13, 0.13),
            (10.0, 0.15, 0.15, 0.15),
            (15.0, 0.16, 0.17, 0.17),
            (25.0, 0.16, 0.18, 0.19),
            (50.0, 0.16, 0.18, 0.21),
            (100.0, 0.16, 0.18, 0.22),
            (300.0, 0.16, 0.18, 0.23),
        ];
        for (mm, up, horizontal, down) in rows {
            for (flow, r) in [(Upwards, up), (Horizontal, horizontal), (Downwards, down)] {
                let got = table_resistance(mm, flow);
                assert!((got - r).abs() <= 0.005, "{mm} mm {flow:?}: {got}, not {r}");
            }
        }
    }

    /// Catches a foil whose emissivity is not felt: one foil face, computed independently (hr0 5.1).
    #[test]
    fn one_foil_face() {
        let rows = [
            (10.0, 0.363, 0.363, 0.363),
            (25.0, 0.454, 0.665, 0.798),
            (50.0, 0.454, 0.665, 1.327),
        ];
        for (mm, up, horizontal, down) in rows {
            for (flow, r) in [(Upwards, up), (Horizontal, horizontal), (Downwards, down)] {
                let hr = 5.1 / (1.0 / 0.05 + 1.0 / 0.9 - 1.0);
                let got = 1.0 / (convective(mm / 1000.0, 3.0, flow) + hr);
                assert!((got - r).abs() < 2e-3, "{mm} mm {flow:?}: {got}, not {r}");
            }
        }
    }

    /// Catches a lost temperature: a black 25 mm airspace at 0 degC.
    #[test]
    fn cold_airspace() {
        for (flow, r) in [(Upwards, 0.174), (Horizontal, 0.199), (Downwards, 0.209)] {
            assert!(
                (resistance(0.025, 5.0, flow, 0.9, 0.9, 0.0) - r).abs() < 1e-3,
                "{flow:?}"
            );
        }
    }

    /// Nusselt number of a tall vertical slot with side walls at different temperatures.
    ///
    /// ElSherbiny, Raithby & Hollands 1982 (from memory): the largest of `0.0605 Ra^(1/3)`,
    /// `(1 + (0.104 Ra^0.293/(1 + (6310/Ra)^1.36))^3)^(1/3)`, `0.242 (Ra/A)^0.272` and 1; A height over width (5 to 110),
    /// Ra up to 1e7.
    fn nusselt_vertical_slot(rayleigh: f64, aspect: f64) -> f64 {
        let ra = rayleigh.max(0.0);
        if ra < 1.0 {
            return 1.0;
        }
        let onset = 0.104 * ra.powf(0.293) / (1.0 + (6310.0 / ra).powf(1.36));
        (0.0605 * ra.cbrt())
            .max((1.0 + onset.powi(3)).cbrt())
            .max(0.242 * (ra / aspect.max(1.0)).powf(0.272))
            .max(1.0)
    }

    /// Catches convection where there is none: gaps of 6 to 15 mm conduct and radiate only.
    #[test]
    fn comb_gaps_do_not_convect() {
        for (width, difference) in [(0.006, 1.0), (0.010, 5.0), (0.015, 5.0)] {
            let ra = air::rayleigh(difference, width, 5.0);
            let nu = nusselt_vertical_slot(ra, 0.25 / width);
            assert!(nu < 1.2, "{width} m: Ra {ra}, Nu {nu}");
        }
    }
}
