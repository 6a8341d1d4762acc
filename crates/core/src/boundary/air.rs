//! Dry air at the pressures and temperatures of a hive stand.

use crate::climate::sky::ZERO_CELSIUS;

/// Standard pressure at sea level, Pa.
pub const STANDARD_PRESSURE: f64 = 101_325.0;
/// Specific heat of air at constant pressure, J/kgK (ASHRAE Fundamentals ch. 1).
pub const SPECIFIC_HEAT: f64 = 1006.0;
/// Gas constant of dry air, J/kgK (textbook).
pub const GAS_CONSTANT: f64 = 287.05;
/// Standard gravity, m/s2.
pub const GRAVITY: f64 = 9.806_65;
/// Carbon dioxide of outside air, by volume (0.04 %, rounded; from memory).
pub const OUTSIDE_CO2: f64 = 0.0004;
/// Kilograms of air a kilogram of carbon dioxide takes the room of (molar masses).
pub const AIR_PER_CO2: f64 = 28.96 / 44.01;
/// Lowest temperature the properties are evaluated at, degC.
const FLOOR_C: f64 = -120.0;

fn kelvin(t_c: f64) -> f64 {
    t_c.max(FLOOR_C) + ZERO_CELSIUS
}

/// Density, kg/m3: `p/(287.05 T)`, p Pa, T K (ideal gas).
///
/// ```
/// use partywall_core::boundary::air::density;
/// assert!((density(0.0, 101_325.0) - 1.2923).abs() < 1e-4);
/// ```
#[must_use]
pub fn density(t_c: f64, pressure: f64) -> f64 {
    pressure / (GAS_CONSTANT * kelvin(t_c))
}

/// Pressure at a height above the sea, Pa: `101325 (1 - 2.25577e-5 z)^5.2559` (standard atmosphere, ASHRAE Fundamentals
/// ch. 1 eq. 3), z m, -500 to 11000 m.
#[must_use]
pub fn pressure_at(elevation: f64) -> f64 {
    let z = elevation.clamp(-500.0, 11_000.0);
    STANDARD_PRESSURE * (1.0 - 2.255_77e-5 * z).powf(5.2559)
}

/// Dynamic viscosity, Pa s: `1.458e-6 T^1.5/(T + 110.4)` (Sutherland, from memory), T K.
#[must_use]
pub fn viscosity(t_c: f64) -> f64 {
    let t = kelvin(t_c);
    1.458e-6 * t * t.sqrt() / (t + 110.4)
}

/// Conductivity, W/mK: `2.646e-3 T^1.5/(T + 245.4 10^(-12/T))` (Sutherland form of the standard atmosphere, from
/// memory), T K.
#[must_use]
pub fn conductivity(t_c: f64) -> f64 {
    let t = kelvin(t_c);
    2.646e-3 * t * t.sqrt() / (t + 245.4 * 10.0_f64.powf(-12.0 / t))
}

/// Kinematic viscosity, m2/s, at a pressure in Pa.
#[must_use]
pub fn kinematic_viscosity(t_c: f64, pressure: f64) -> f64 {
    viscosity(t_c) / density(t_c, pressure)
}

/// Thermal diffusivity, m2/s, at a pressure in Pa.
#[must_use]
pub fn diffusivity(t_c: f64, pressure: f64) -> f64 {
    conductivity(t_c) / (density(t_c, pressure) * SPECIFIC_HEAT)
}

/// Rayleigh number of a gap: `g beta dT L3/(nu alpha)`, beta = 1/T (K); dT K, L m, at standard pressure.
#[must_use]
pub fn rayleigh(difference: f64, length: f64, mean_c: f64) -> f64 {
    GRAVITY * difference.abs() * length.powi(3)
        / (kelvin(mean_c)
            * kinematic_viscosity(mean_c, STANDARD_PRESSURE)
            * diffusivity(mean_c, STANDARD_PRESSURE))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches a mistyped constant: values computed independently.
    #[test]
    fn properties_at_four_temperatures() {
        let p = STANDARD_PRESSURE;
        for (t, rho) in [
            (-10.0, 1.3414),
            (0.0, 1.2923),
            (10.0, 1.2466),
            (20.0, 1.2041),
        ] {
            assert!((density(t, p) - rho).abs() < 1e-4);
        }
        assert!((viscosity(0.0) - 1.7161e-5).abs() < 1e-9);
        assert!((conductivity(0.0) - 0.02413).abs() < 1e-5);
        assert!((conductivity(-20.0) - 0.02252).abs() < 1e-5);
        assert!((conductivity(20.0) - 0.02571).abs() < 1e-5);
        assert!((kinematic_viscosity(0.0, p) - 1.328e-5).abs() < 1e-8);
        assert!((diffusivity(0.0, p) - 1.856e-5).abs() < 1e-8);
    }

    /// Catches a pressure that rises with height; 84.56 kPa at 1500 m (ASHRAE table 1, from memory).
    #[test]
    fn pressure_falls_with_height() {
        assert!((pressure_at(1500.0) - 84_556.0).abs() < 10.0);
        assert!((pressure_at(0.0) - STANDARD_PRESSURE).abs() < 1e-9);
    }
}
