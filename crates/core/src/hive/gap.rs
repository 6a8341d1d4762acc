//! Small air spaces inside a hive, rated by ISO 6946.

use crate::boundary::cavity::{emissivity, resistance};
pub use crate::boundary::film::HeatFlow;

/// Mean temperature at which air spaces of a wintering hive are rated, degC: between frost outside and a cluster.
const MEAN_TEMPERATURE: f64 = 5.0;
/// Temperature difference they are rated at, K: the branch of ISO 6946 for up to 5 K.
const DIFFERENCE: f64 = 3.0;
/// Thickness beyond which ISO 6946 no longer rates an airspace, m.
const THICKEST: f64 = 0.3;

/// Conventional surface resistance of a room-like space, m2K/W: 0.10 up, 0.13 sideways, 0.17 down (ISO 6946:2017 table 7).
#[must_use]
pub fn surface_resistance(flow: HeatFlow) -> f64 {
    match flow {
        HeatFlow::Upwards => 0.10,
        HeatFlow::Horizontal => 0.13,
        HeatFlow::Downwards => 0.17,
    }
}

/// Thermal resistance of an unventilated airspace between ordinary faces (emissivity 0.90) at 5 degC and up to 5 K, m2K/W;
/// thicker ones than 0.3 m are rated as 0.3 m. ISO 6946:2017 annex D, see [`resistance`].
#[must_use]
pub fn airspace_resistance(d: f64, flow: HeatFlow) -> f64 {
    let e = emissivity::ORDINARY;
    resistance(d.min(THICKEST), DIFFERENCE, flow, e, e, MEAN_TEMPERATURE)
}

/// Film of one face of an air space, W/m2K.
///
/// A flat space, thinner than a tenth of its smaller extent, is an ISO 6946 airspace: each of its two faces gets half the
/// airspace's resistance. Anything thicker is room-like and gets the conventional surface resistance.
#[must_use]
pub fn film(thickness: f64, extent: f64, flow: HeatFlow) -> f64 {
    if thickness < 0.1 * extent {
        2.0 / airspace_resistance(thickness, flow)
    } else {
        1.0 / surface_resistance(flow)
    }
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

    /// Would catch a flat head space rated as a room: two faces in series must make the airspace.
    #[test]
    fn flat_spaces_are_airspaces() {
        let f = film(0.008, 0.37, HeatFlow::Upwards);
        assert!((2.0 / f - airspace_resistance(0.008, HeatFlow::Upwards)).abs() < 1e-12);
        assert_eq!(film(0.21, 0.30, HeatFlow::Downwards), 1.0 / 0.17);
    }
}
