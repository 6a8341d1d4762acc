//! Surface films: inside and outside, convection and radiation, by ISO 6946.

use crate::climate::sky::{STEFAN_BOLTZMANN, ZERO_CELSIUS};

/// Direction of heat flow through a horizontal or vertical layer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HeatFlow {
    /// Warm below: through a lid in winter.
    Upwards,
    /// Through a wall (and within 30 degrees of it).
    Horizontal,
    /// Warm above: through a floor in winter.
    Downwards,
}

/// Convective coefficient at an inside surface, W/m2K: 5.0 up, 2.5 horizontal, 0.7 down (ISO 6946:2017 annex C).
#[must_use]
pub fn convective_inside(flow: HeatFlow) -> f64 {
    match flow {
        HeatFlow::Upwards => 5.0,
        HeatFlow::Horizontal => 2.5,
        HeatFlow::Downwards => 0.7,
    }
}

/// Convective coefficient at an outside surface, W/m2K: `4 + 4 v`, v wind speed beside the surface, m/s (ISO 6946:2017
/// annex C). Against plate correlations for a body of 0.5 m it is within the laminar-to-turbulent band from 1 to 10 m/s.
#[must_use]
pub fn convective_outside(wind: f64) -> f64 {
    4.0 + 4.0 * wind.clamp(0.0, f64::INFINITY)
}

/// Radiative coefficient of a black surface, W/m2K: `hr0 = 4 sigma Tm^3`, Tm mean temperature of the surface and what it
/// sees (ISO 6946:2017 annex C).
///
/// ```
/// use partywall_core::boundary::film::radiative_black;
/// // Values of the standard's table: 4.6 at 0 degC, 5.1 at 10 degC.
/// assert!((radiative_black(0.0) - 4.622).abs() < 2e-3);
/// assert!((radiative_black(10.0) - 5.149).abs() < 2e-3);
/// ```
#[must_use]
pub fn radiative_black(mean_c: f64) -> f64 {
    4.0 * STEFAN_BOLTZMANN * (mean_c + ZERO_CELSIUS).powi(3)
}

/// Radiative coefficient between a surface of emissivity e and black surroundings, exact for the pair of temperatures,
/// W/m2K: `e sigma (T1^2 + T2^2)(T1 + T2)`. At equal temperatures it is `e` times [`radiative_black`].
#[must_use]
pub fn radiative_secant(emissivity: f64, one_c: f64, other_c: f64) -> f64 {
    let (a, b) = (one_c + ZERO_CELSIUS, other_c + ZERO_CELSIUS);
    emissivity * STEFAN_BOLTZMANN * (a * a + b * b) * (a + b)
}

/// Surface resistance, m2K/W: `1/(hc + e hr0)` (ISO 6946:2017 eq. C.1).
#[must_use]
pub fn resistance(convective: f64, emissivity: f64, mean_c: f64) -> f64 {
    1.0 / (convective + emissivity * radiative_black(mean_c))
}

/// Conventional inside surface resistance, m2K/W: emissivity 0.9 at 20 degC. ISO 6946:2017 table 7 rounds it to 0.10 up,
/// 0.13 horizontal, 0.17 down.
///
/// ```
/// use partywall_core::boundary::film::{HeatFlow, inside_resistance};
/// assert!((inside_resistance(HeatFlow::Horizontal) - 0.13).abs() < 0.005);
/// ```
#[must_use]
pub fn inside_resistance(flow: HeatFlow) -> f64 {
    resistance(convective_inside(flow), 0.9, 20.0)
}

/// Outside surface resistance, m2K/W, emissivity 0.9. ISO 6946:2017 table 7 rounds 4 m/s at 10 degC to 0.04.
///
/// ```
/// use partywall_core::boundary::film::outside_resistance;
/// assert!((outside_resistance(4.0, 10.0) - 0.04).abs() < 0.005);
/// ```
#[must_use]
pub fn outside_resistance(wind: f64, mean_c: f64) -> f64 {
    resistance(convective_outside(wind), 0.9, mean_c)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches a wrong coefficient or exponent: values computed independently from the standard's formulas.
    #[test]
    fn resistances_and_radiation() {
        for (flow, r) in [
            (HeatFlow::Upwards, 0.0987),
            (HeatFlow::Horizontal, 0.1309),
            (HeatFlow::Downwards, 0.1711),
        ] {
            assert!((inside_resistance(flow) - r).abs() < 5e-4, "{flow:?}");
        }
        for (v, r) in [(1.0, 0.0824), (2.0, 0.0620), (5.0, 0.0355), (10.0, 0.0208)] {
            // Those rest on the standard's hr0 rounded from 4.622 to 4.6.
            assert!((outside_resistance(v, 0.0) - r).abs() < 2e-4, "{v} m/s");
        }
        for (t, h) in [
            (-10.0, 4.133),
            (0.0, 4.622),
            (10.0, 5.149),
            (20.0, 5.714),
            (30.0, 6.319),
        ] {
            assert!((radiative_black(t) - h).abs() < 2e-3, "{t} degC");
        }
    }

    /// Catches a linearisation that does not carry the T^4 difference.
    #[test]
    fn secant_is_exact() {
        use crate::climate::sky::black_body;
        let h = radiative_secant(0.9, 5.0, -30.0);
        assert!((h * 35.0 - 0.9 * (black_body(5.0) - black_body(-30.0))).abs() < 1e-9);
        assert!((radiative_secant(1.0, 3.0, 3.0) - radiative_black(3.0)).abs() < 1e-12);
    }
}
