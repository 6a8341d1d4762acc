//! Dew and frost on inner surfaces: mass transfer beside a film coefficient.

use super::air;
use crate::climate::moist_air::saturation_iso;
use crate::climate::sky::ZERO_CELSIUS;

/// Gas constant of water vapour, J/kgK (textbook).
pub const VAPOUR_GAS_CONSTANT: f64 = 461.5;
/// Lewis number of water vapour in air, thermal over mass diffusivity (0.80 to 0.87 near 0 degC; usual value).
pub const LEWIS: f64 = 0.865;
/// Heat of evaporation at 0 degC, J/kg (ASHRAE Fundamentals ch. 1, rounded).
pub const HEAT_OF_EVAPORATION: f64 = 2.50e6;
/// Heat of fusion of ice, J/kg (textbook).
pub const HEAT_OF_FUSION: f64 = 3.34e5;

/// Vapour transfer coefficient of a surface, kg/m2sPa, from its convective coefficient hc (W/m2K).
///
/// `beta = hm/(Rv T)`, `hm = hc/(rho cp Le^(2/3))` (Lewis relation, textbook), T film temperature. The building-physics
/// rule 7e-9 hc (from memory) is 4 % above it.
///
/// ```
/// use partywall_core::boundary::condensation::vapour_transfer;
/// assert!((vapour_transfer(2.5, 5.0) / 1.680e-8 - 1.0).abs() < 0.005);
/// ```
#[must_use]
pub fn vapour_transfer(convective: f64, film_c: f64) -> f64 {
    let capacity = air::density(film_c, air::STANDARD_PRESSURE) * air::SPECIFIC_HEAT;
    let hm = convective.max(0.0) / (capacity * LEWIS.powf(2.0 / 3.0));
    hm / (VAPOUR_GAS_CONSTANT * (film_c + ZERO_CELSIUS).max(100.0))
}

/// Rate at which dew (frost below 0 degC) forms on a surface, kg/m2s; negative where it dries, if it is wet.
///
/// `g = beta (pv - psat(Ts))`, pv vapour pressure of the air Pa, psat by ISO 13788 over ice or water at the surface's
/// temperature; the film's temperature is the mean of air and surface.
///
/// ```
/// use partywall_core::boundary::condensation::dew_rate;
/// use partywall_core::climate::moist_air::saturation_iso;
/// // Box air 10 degC, 75 %, wall at 0 degC, hc 2.5: 18.7 g/m2h.
/// let g = dew_rate(0.75 * saturation_iso(10.0), 10.0, 0.0, 2.5) * 3.6e6;
/// assert!((g / 18.7 - 1.0).abs() < 0.03);
/// ```
#[must_use]
pub fn dew_rate(vapour_pressure: f64, air_c: f64, surface_c: f64, convective: f64) -> f64 {
    vapour_transfer(convective, 0.5 * (air_c + surface_c))
        * (vapour_pressure - saturation_iso(surface_c))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches dew on a surface warmer than the dew point, and a sign error in drying.
    #[test]
    fn dew_only_below_the_dew_point() {
        let pv = saturation_iso(3.0);
        assert!(dew_rate(pv, 10.0, 2.9, 2.5) > 0.0);
        assert!(dew_rate(pv, 10.0, 3.1, 2.5) < 0.0);
        assert!(dew_rate(pv, 10.0, -5.0, 2.5) > dew_rate(pv, 10.0, 0.0, 2.5));
    }
}
