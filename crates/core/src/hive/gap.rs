//! Small air spaces inside a hive, rated by ISO 6946.

use crate::boundary::cavity::{convective, emissivity, resistance};
pub use crate::boundary::film::HeatFlow;
use crate::boundary::film::{convective_inside, radiative_black};

/// Mean temperature at which air spaces of a wintering hive are rated, degC: between frost outside and a cluster.
const MEAN_TEMPERATURE: f64 = 5.0;
/// Temperature difference they are rated at, K: the branch of ISO 6946 for up to 5 K.
const DIFFERENCE: f64 = 3.0;
/// Thickness beyond which ISO 6946 no longer rates an airspace, m.
const THICKEST: f64 = 0.3;

/// Thermal resistance of an unventilated airspace between ordinary faces (emissivity 0.90) at 5 degC and up to 5 K, m2K/W;
/// thicker ones than 0.3 m are rated as 0.3 m. ISO 6946:2017 annex D, see [`resistance`].
#[must_use]
pub fn airspace_resistance(d: f64, flow: HeatFlow) -> f64 {
    let e = emissivity::ORDINARY;
    resistance(d.min(THICKEST), DIFFERENCE, flow, e, e, MEAN_TEMPERATURE)
}

/// Convective film of one face of an air space, W/m2K.
///
/// A flat space, thinner than a tenth of its smaller extent, is an ISO 6946 airspace: each of its two faces gets twice the coefficient of
/// conduction and convection across it. Anything thicker is room-like and gets the coefficient of an inside surface.
#[must_use]
pub fn convective_film(thickness: f64, extent: f64, flow: HeatFlow) -> f64 {
    if thickness < 0.1 * extent {
        2.0 * convective(thickness.min(THICKEST), DIFFERENCE, flow)
    } else {
        convective_inside(flow)
    }
}

/// What black surfaces on either side of an opening radiate to each other through it, W/m2K.
#[must_use]
pub fn opening_radiates() -> f64 {
    radiative_black(MEAN_TEMPERATURE)
}

/// Radiative film between one face of an air space and the space's mean radiant temperature, W/m2K: `hr0/((1 - e)/e + b)`, where
/// `b = 1 - f - 3.54 (f^2 - f/2) + 5.03 (f^3 - f/4)` and `f` is the face's share of all faces of a box (two-star network, Davies 1983, from
/// memory: its coefficients give the two faces of a flat space back exactly, and a cube within 1 in 100).
#[must_use]
pub fn radiative_film(share: f64) -> f64 {
    let (e, f) = (emissivity::ORDINARY, share);
    let b = 1.0 - f - 3.54 * (f * f - 0.5 * f) + 5.03 * (f * f * f - 0.25 * f);
    radiative_black(MEAN_TEMPERATURE) / ((1.0 - e) / e + b)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Would catch a wrong branch or radiative term: values computed by hand at 5 degC, both faces 0.90
    /// (hr = 4.881 x 0.8182 = 3.993): 10 mm 1/(2.5 + 3.993); 25 mm sideways 1/(1.25 + 3.993), up 1/(1.95 + 3.993),
    /// down 0.12 x 0.025^-0.44 = 0.6083, less than 0.025/0.025 = 1.0; 50 mm down 0.4484, less than 0.5.
    #[test]
    fn resistances_match_hand_values() {
        for (d, flow, want) in [
            (0.010, HeatFlow::Horizontal, 0.1540),
            (0.025, HeatFlow::Horizontal, 0.1907),
            (0.025, HeatFlow::Upwards, 0.1683),
            (0.025, HeatFlow::Downwards, 0.2003),
            (0.050, HeatFlow::Downwards, 0.2226),
        ] {
            let r = airspace_resistance(d, flow);
            assert!((r - want).abs() < 2e-4, "{d} {flow:?}: {r}");
        }
    }

    /// Would catch a seam that conducts like still air alone: 10 mm between black-ish combs is 0.064 W/mK
    /// (conduction 0.0245 and radiation 0.040), here 0.065.
    #[test]
    fn seam_between_combs() {
        let k = 0.010 / airspace_resistance(0.010, HeatFlow::Horizontal);
        assert!((k - 0.064).abs() < 0.002, "{k}");
    }

    /// Would catch a flat head space rated as a room, and radiation lost or counted twice: two faces in series must make the airspace.
    #[test]
    fn flat_spaces_are_airspaces() {
        let whole = convective_film(0.008, 0.37, HeatFlow::Upwards) + radiative_film(0.5);
        let airspace = airspace_resistance(0.008, HeatFlow::Upwards);
        assert!((2.0 / whole / airspace - 1.0).abs() < 1e-12);
        assert_eq!(convective_film(0.21, 0.30, HeatFlow::Downwards), 0.7);
    }

    /// Would catch a mistyped coefficient: between one black face of a cube and its other five all of that face's radiation is exchanged
    /// (`1/(b/A + b/5A) = A hr0`, so `b = 5/6`), on the formula's word within 1.3 in 100.
    #[test]
    fn a_face_sees_the_rest_of_a_cube() {
        let e = emissivity::ORDINARY;
        let b = radiative_black(MEAN_TEMPERATURE) / radiative_film(1.0 / 6.0) - (1.0 - e) / e;
        assert!((b / (5.0 / 6.0) - 1.0).abs() < 0.013, "{b}");
    }
}
