//! Dew and frost on inner surfaces: mass transfer beside a film coefficient, and the water balance of a closed space.

use super::air;
use crate::climate::moist_air::{dew_or_frost_point, humidity_ratio, saturation_iso};
use crate::climate::sky::ZERO_CELSIUS;

/// Gas constant of water vapour, J/kgK (textbook).
pub const VAPOUR_GAS_CONSTANT: f64 = 461.5;
/// Lewis number of water vapour in air, thermal over mass diffusivity (0.80 to 0.87 near 0 degC; usual value).
pub const LEWIS: f64 = 0.865;
/// Heat of evaporation at 0 degC, J/kg (ASHRAE Fundamentals ch. 1, rounded).
pub const HEAT_OF_EVAPORATION: f64 = 2.50e6;

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

/// A part of the inside of a space.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InnerSurface {
    /// Area, m2.
    pub area: f64,
    /// Temperature, degC.
    pub temp_c: f64,
    /// Convective coefficient there, W/m2K.
    pub convective: f64,
}

/// What becomes of the water given off into a space.
#[derive(Debug, Clone, PartialEq)]
pub struct WaterBalance {
    /// Vapour pressure of its air, Pa.
    pub pressure: f64,
    /// Dew point of its air, frost point below 0 degC, degC.
    pub dew_point_c: f64,
    /// Carried out by the air that passes through, kg/s.
    pub carried: f64,
    /// Gathers as dew or frost on each of the surfaces, kg/s.
    pub gathered: Vec<f64>,
}

/// Steady water balance of well-mixed air at `air_c`: what is `given` off, kg/s, leaves with `air` kg/s that enters with a vapour pressure
/// of `outside` Pa, or gathers on surfaces colder than its dew point:
/// `given = air (x(p) - x(outside)) + sum of A max(0, beta (p - psat(Ts)))`, x humidity ratio at the `total` pressure, beta of
/// [`vapour_transfer`]. Surfaces are dry otherwise (none dries back), and nothing is taken up by wood.
///
/// `None` where a value is no number or negative, or where there is neither air nor a surface to take the water.
///
/// ```
/// use partywall_core::boundary::condensation::balance;
/// use partywall_core::climate::moist_air::saturation_iso;
/// // 17 g of water a day, outside air of 0 degC and 90 %, 0.077 L/s of it (about 0.1 g/s): hive air as moist as saturated air of 5 degC.
/// let outside = 0.9 * saturation_iso(0.0);
/// let b = balance(17e-3 / 86_400.0, 0.077e-3 * 1.29, outside, 101_325.0, 5.0, &[]).unwrap();
/// assert!((b.dew_point_c - 5.0).abs() < 0.2);
/// ```
#[must_use]
pub fn balance(
    given: f64,
    air: f64,
    outside: f64,
    total: f64,
    air_c: f64,
    surfaces: &[InnerSurface],
) -> Option<WaterBalance> {
    let fine = |v: f64| v.is_finite() && v >= 0.0;
    let known = surfaces
        .iter()
        .all(|s| fine(s.area) && fine(s.convective) && s.temp_c.is_finite());
    if !(fine(given) && fine(air) && fine(outside) && air_c.is_finite() && known)
        || !(total.is_finite() && outside < MOST_VAPOUR * total)
    {
        return None;
    }
    let carried = |p: f64| air * (humidity_ratio(p, total) - humidity_ratio(outside, total));
    let on =
        |s: &InnerSurface, p: f64| s.area * dew_rate(p, air_c, s.temp_c, s.convective).max(0.0);
    let gone = |p: f64| carried(p) + surfaces.iter().map(|s| on(s, p)).sum::<f64>();
    let (mut low, mut high) = (outside, MOST_VAPOUR * total);
    if gone(high) < given {
        return None;
    }
    // Monotone in p; 60 halvings leave less than 1e-13 Pa.
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if gone(middle) < given {
            low = middle;
        } else {
            high = middle;
        }
    }
    // With nothing given off the air is as outside, whatever is colder than its dew point.
    let pressure = if given > 0.0 { high } else { outside };
    Some(WaterBalance {
        pressure,
        dew_point_c: dew_or_frost_point(pressure),
        carried: carried(pressure),
        gathered: surfaces.iter().map(|s| on(s, pressure)).collect(),
    })
}

/// Share of the air's pressure above which no balance is sought: that would be air of more than 45 degC, saturated.
const MOST_VAPOUR: f64 = 0.1;

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

    const AIR: f64 = 101_325.0;

    /// Catches water that is made or lost, dew on what is warmer than the dew point or missing on what is colder, and a dew point other than
    /// that of the humidity ratio the handbook gives: 10 degC and 80 % hold 6.0891 g/kg, dew point 6.713 degC (ASHRAE Fundamentals ch. 1,
    /// evaluated independently).
    #[test]
    fn all_water_is_accounted_for() {
        // Dry air comes in, 6.0891 g of water go into each kg of it.
        let b = balance(6.0891e-3 * 1e-4, 1e-4, 0.0, AIR, 10.0, &[]).unwrap();
        assert!((b.dew_point_c - 6.713).abs() < 0.02, "{}", b.dew_point_c);
        let surface = |area, temp_c| InnerSurface {
            area,
            temp_c,
            convective: 2.5,
        };
        let all = [surface(0.2, -12.0), surface(0.1, -2.0), surface(0.3, 9.0)];
        let outside = 0.8 * saturation_iso(-20.0);
        let mut last = f64::INFINITY;
        for air in [0.0, 2e-5, 1e-4, 4e-4, 1e-2] {
            let given = 3e-7;
            let b = balance(given, air, outside, AIR, 4.0, &all).unwrap();
            let sum = b.carried + b.gathered.iter().sum::<f64>();
            assert!((sum / given - 1.0).abs() < 1e-9, "{air}: {sum}");
            for (s, g) in all.iter().zip(&b.gathered) {
                assert_eq!(*g > 0.0, s.temp_c < b.dew_point_c, "{air}: {s:?}");
            }
            assert!(b.dew_point_c < last, "more air must leave it drier");
            last = b.dew_point_c;
        }
        let dry = balance(3e-7, 1e-2, outside, AIR, 4.0, &all).unwrap();
        assert_eq!(dry.gathered, [0.0; 3]);
    }

    /// Catches a dew point told from what is no number, and one without anything that could take the water.
    #[test]
    fn what_cannot_be_balanced_is_not() {
        let surface = InnerSurface {
            area: 0.1,
            temp_c: f64::NAN,
            convective: 2.5,
        };
        assert_eq!(balance(1e-7, 1e-4, 100.0, AIR, 5.0, &[surface]), None);
        for bad in [f64::NAN, f64::INFINITY, -1.0] {
            assert_eq!(balance(bad, 1e-4, 100.0, AIR, 5.0, &[]), None);
            assert_eq!(balance(1e-7, bad, 100.0, AIR, 5.0, &[]), None);
            assert_eq!(balance(1e-7, 1e-4, bad, AIR, 5.0, &[]), None);
        }
        assert_eq!(balance(1e-7, 0.0, 100.0, AIR, 5.0, &[]), None);
        let none = balance(0.0, 0.0, 100.0, AIR, 5.0, &[]).unwrap();
        assert_eq!(none.pressure, 100.0);
    }
}
