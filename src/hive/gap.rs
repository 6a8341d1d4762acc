//! Still air between two surfaces, by ISO 6946.

/// Stefan-Boltzmann constant, W/m2K4 (CODATA).
const STEFAN_BOLTZMANN: f64 = 5.670_374_419e-8;
/// Mean temperature at which air spaces of a wintering hive are rated, degC: between frost outside and a cluster.
const MEAN_TEMPERATURE: f64 = 5.0;
/// Emissivity of wood, wax and paint (ASHRAE Fundamentals, airspace table).
const EMISSIVITY: f64 = 0.90;
/// Thickness beyond which ISO 6946 no longer rates an airspace, m.
const THICKEST: f64 = 0.3;

/// Which way the heat goes through an airspace.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HeatFlow {
    /// Upwards: warm side below.
    Up,
    /// Sideways.
    Horizontal,
    /// Downwards: warm side above.
    Down,
}

impl HeatFlow {
    /// Surface resistance of a room-like space, m2K/W: 0.10 up, 0.13 sideways, 0.17 down (ISO 6946, table of
    /// conventional surface resistances).
    #[must_use]
    pub fn surface_resistance(self) -> f64 {
        match self {
            Self::Up => 0.10,
            Self::Horizontal => 0.13,
            Self::Down => 0.17,
        }
    }
}

/// Thermal resistance of an unventilated airspace, m2K/W.
///
/// `R = 1/(ha + hr)` with, for temperature differences up to 5 K, `ha = max(c, 0.025/d)`; `c` = 1.25 sideways, 1.95 up,
/// `0.12 d^-0.44` down (W/m2K, `d` in m), and `hr = 4 sigma Tm^3 / (1/e1 + 1/e2 - 1)`. ISO 6946, annex on airspaces; valid
/// for `d` up to 0.3 m (thicker spaces are rated as 0.3 m). Here `Tm` = 5 degC and both faces emit 0.90.
#[must_use]
pub fn airspace_resistance(d: f64, flow: HeatFlow) -> f64 {
    let d = d.min(THICKEST);
    let still = match flow {
        HeatFlow::Up => 1.95,
        HeatFlow::Horizontal => 1.25,
        HeatFlow::Down => 0.12 * d.powf(-0.44),
    };
    let convective = f64::max(still, 0.025 / d);
    let radiative =
        4.0 * STEFAN_BOLTZMANN * (MEAN_TEMPERATURE + 273.15).powi(3) / (2.0 / EMISSIVITY - 1.0);
    1.0 / (convective + radiative)
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
        1.0 / flow.surface_resistance()
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
            (0.025, HeatFlow::Up, 0.1683),
            (0.025, HeatFlow::Down, 0.2003),
            (0.050, HeatFlow::Down, 0.2226),
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
        let f = film(0.008, 0.37, HeatFlow::Up);
        assert!((2.0 / f - airspace_resistance(0.008, HeatFlow::Up)).abs() < 1e-12);
        assert_eq!(film(0.21, 0.30, HeatFlow::Down), 1.0 / 0.17);
    }
}
