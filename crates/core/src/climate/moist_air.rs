//! Vapour pressure, dew point and frost point.
//!
//! Weather stations give relative humidity and dew point over *liquid water* at any temperature (the meteorological
//! convention), so [`dew_point_from_rh`], [`vapour_pressure`] and [`dew_point_over_water`] do too and undo each other.
//! Surfaces below 0 degC gather frost: compare with [`saturation_iso`] and [`dew_or_frost_point`], which change to ice.

/// Pressure over water or ice at 0 degC in ISO 13788, Pa (eq. E.7 and E.8).
const P_ZERO: f64 = 610.5;
/// ISO 13788 coefficients over water: (-, degC).
const WATER: (f64, f64) = (17.269, 237.3);
/// ISO 13788 coefficients over ice: (-, degC).
const ICE: (f64, f64) = (21.875, 265.5);
/// Lowest vapour pressure that the inverses accept, Pa: frost point about -79 degC. Drier readings are taken as this.
const P_FLOOR: f64 = 0.07;
/// Lowest temperature the forms are evaluated at, degC: the poles of the exponent lie lower.
const T_FLOOR_C: f64 = -100.0;

fn magnus(t_c: f64, (a, b): (f64, f64)) -> f64 {
    let t = t_c.clamp(T_FLOOR_C, f64::INFINITY);
    P_ZERO * (a * t / (b + t)).exp()
}

fn magnus_inverse(p: f64, (a, b): (f64, f64)) -> f64 {
    let ln = (p.max(P_FLOOR) / P_ZERO).ln();
    b * ln / (a - ln)
}

/// Saturation vapour pressure, Pa, over water from 0 degC up and over ice below.
///
/// ISO 13788:2012 eq. E.7, E.8: `610.5 exp(17.269 t/(237.3 + t))` for t >= 0, `610.5 exp(21.875 t/(265.5 + t))` below.
///
/// ```
/// use partywall_core::climate::moist_air::saturation_iso;
/// assert!((saturation_iso(20.0) - 2336.95).abs() < 0.01);
/// assert!((saturation_iso(-10.0) - 259.33).abs() < 0.01);
/// ```
#[must_use]
pub fn saturation_iso(t_c: f64) -> f64 {
    magnus(t_c, if t_c < 0.0 { ICE } else { WATER })
}

/// Dew point, or frost point when below 0 degC, of a vapour pressure (Pa), degC: the inverse of [`saturation_iso`]
/// (ISO 13788:2012 eq. E.9, E.10). Pressures below 0.07 Pa are taken as 0.07 Pa; NaN stays NaN.
///
/// ```
/// use partywall_core::climate::moist_air::{dew_or_frost_point, saturation_iso};
/// assert!((dew_or_frost_point(0.5 * saturation_iso(20.0)) - 9.269).abs() < 1e-3);
/// assert!((dew_or_frost_point(saturation_iso(-17.0)) + 17.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn dew_or_frost_point(pressure: f64) -> f64 {
    if pressure.is_nan() {
        return f64::NAN;
    }
    magnus_inverse(pressure, if pressure < P_ZERO { ICE } else { WATER })
}

/// Vapour pressure over liquid water, Pa: of a dew point as stations report it, or saturation at an air temperature.
///
/// The water branch of ISO 13788 at all temperatures; over supercooled water it is a Magnus form, good to about 1 %
/// down to -40 degC (from memory).
#[must_use]
pub fn vapour_pressure(dewpoint_c: f64) -> f64 {
    magnus(dewpoint_c, WATER)
}

/// Dew point over liquid water of a vapour pressure (Pa), degC: the inverse of [`vapour_pressure`].
#[must_use]
pub fn dew_point_over_water(pressure: f64) -> f64 {
    if pressure.is_nan() {
        return f64::NAN;
    }
    magnus_inverse(pressure, WATER)
}

/// Dew point over liquid water, degC, of air at `t_c` with relative humidity `rh` (0 to 1, over water as stations
/// report it; readings above 1 are taken as 1).
///
/// ```
/// use partywall_core::climate::moist_air::dew_point_from_rh;
/// assert!((dew_point_from_rh(20.0, 0.5) - 9.27).abs() < 0.01);
/// ```
#[must_use]
pub fn dew_point_from_rh(t_c: f64, rh: f64) -> f64 {
    if rh >= 1.0 {
        return t_c;
    }
    dew_point_over_water(rh * vapour_pressure(t_c))
}

/// Saturation vapour pressure of FAO-56 eq. 11, Pa: `610.8 exp(17.27 t/(t + 237.3))`, over water.
///
/// ```
/// use partywall_core::climate::moist_air::saturation_fao;
/// // FAO-56 example 3: 24.5 degC 3.075 kPa, 15 degC 1.705 kPa.
/// assert!((saturation_fao(24.5) - 3075.0).abs() < 1.0);
/// assert!((saturation_fao(15.0) - 1705.0).abs() < 1.0);
/// ```
#[must_use]
pub fn saturation_fao(t_c: f64) -> f64 {
    let t = t_c.clamp(T_FLOOR_C, f64::INFINITY);
    610.8 * (17.27 * t / (t + 237.3)).exp()
}

/// Saturation vapour pressure of Hyland & Wexler 1983 as printed in ASHRAE Fundamentals (ch. 1, eq. 5 and 6), Pa: over
/// ice from -100 to 0 degC, over water from 0 to 200 degC.
///
/// ```
/// use partywall_core::climate::moist_air::saturation_ashrae;
/// // ASHRAE table of moist air: 0.10326 kPa at -20 degC.
/// assert!((saturation_ashrae(-20.0) / 103.26 - 1.0).abs() < 2e-4);
/// ```
#[must_use]
pub fn saturation_ashrae(t_c: f64) -> f64 {
    let t = t_c.clamp(T_FLOOR_C, 200.0) + 273.15;
    let ln = if t_c < 0.0 {
        -5.674_535_9e3 / t
            + 6.392_524_7
            + t * (-9.677_843e-3 + t * (6.221_570_1e-7 + t * (2.074_782_5e-9 - t * 9.484_024e-13)))
            + 4.163_501_9 * t.ln()
    } else {
        -5.800_220_6e3 / t
            + 1.391_499_3
            + t * (-4.864_023_9e-2 + t * (4.176_476_8e-5 - t * 1.445_209_3e-8))
            + 6.545_967_3 * t.ln()
    };
    ln.exp()
}

/// Humidity ratio, kg vapour per kg dry air: `0.621945 pv/(p - pv)` (ASHRAE Fundamentals ch. 1). pv is held below p.
#[must_use]
pub fn humidity_ratio(vapour_pressure: f64, pressure: f64) -> f64 {
    let most = 0.99 * pressure;
    let pv = if vapour_pressure > most {
        most
    } else {
        vapour_pressure.clamp(0.0, f64::INFINITY)
    };
    0.621_945 * pv / (pressure - pv)
}

/// Enthalpy of moist air per kg of dry air, J/kg above dry air and liquid water at 0 degC:
/// `1006 t + W (2.501e6 + 1860 t)` (ASHRAE Fundamentals ch. 1).
#[must_use]
pub fn enthalpy(t_c: f64, humidity_ratio: f64) -> f64 {
    1006.0 * t_c + humidity_ratio * (2.501e6 + 1860.0 * t_c)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches a mistyped coefficient of the long polynomials: ASHRAE table values and independent evaluations.
    #[test]
    fn ashrae_saturation() {
        let rows = [
            (-40.0, 12.845),
            (-30.0, 38.016),
            (-20.0, 103.260),
            (-10.0, 259.903),
            (0.0, 611.21),
            (5.0, 872.49),
            (10.0, 1227.99),
            (20.0, 2338.80),
            (25.0, 3169.22),
            (30.0, 4246.03),
            (35.0, 5627.82),
        ];
        for (t, p) in rows {
            let got = saturation_ashrae(t);
            assert!((got / p - 1.0).abs() < 2e-5, "{t} degC: {got}, not {p}");
        }
    }

    /// Catches a wrong sign or reference state: 20 degC, 50 %, 101325 Pa.
    #[test]
    fn humidity_ratio_and_enthalpy() {
        let w = humidity_ratio(0.5 * saturation_ashrae(20.0), 101_325.0);
        assert!((w / 7.2617e-3 - 1.0).abs() < 1e-4, "{w}");
        assert!((enthalpy(20.0, w) / 38_552.0 - 1.0).abs() < 1e-4);
    }

    /// Catches NaN or values above air temperature from readings at the ends of the range.
    #[test]
    fn extremes_stay_finite() {
        for t in -60..=45 {
            for rh in [0.0, 0.01, 0.5, 1.0, 1.1] {
                let td = dew_point_from_rh(f64::from(t), rh);
                assert!(
                    td.is_finite() && td <= f64::from(t) + 1e-9,
                    "{t} {rh}: {td}"
                );
                let back = dew_point_over_water(vapour_pressure(td));
                assert!((back - td).abs() < 1e-6);
            }
        }
        assert!(dew_point_from_rh(10.0, f64::NAN).is_nan());
        assert!(dew_or_frost_point(-5.0).is_finite());
    }
}
