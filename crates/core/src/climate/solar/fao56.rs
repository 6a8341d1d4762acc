//! Daily radiation by FAO-56 (Allen et al. 1998), for records without hourly sun.

use std::f64::consts::PI;

/// Seconds in a day.
const DAY: f64 = 86_400.0;

/// Solar constant of FAO-56, W/m2: 0.0820 MJ/m2 min (Allen et al. 1998, eq. 21).
pub const FAO_SOLAR_CONSTANT: f64 = 0.0820e6 / 60.0;

/// Declination of FAO-56 eq. 24, rad, from the day of the year (1 to 366).
fn fao_declination(day_of_year: u16) -> f64 {
    0.409 * (2.0 * PI * f64::from(day_of_year) / 365.0 - 1.39).sin()
}

/// Sunset hour angle of FAO-56 eq. 25, rad, 0 in polar night and pi in polar day.
fn fao_sunset(latitude_deg: f64, day_of_year: u16) -> f64 {
    let x = -latitude_deg.to_radians().tan() * fao_declination(day_of_year).tan();
    x.clamp(-1.0, 1.0).acos()
}

/// Extraterrestrial radiation of a day on the horizontal, J/m2.
///
/// FAO-56 (Allen et al. 1998) eq. 21: `Ra = (86400/pi) Gsc dr [ws sin phi sin d + cos phi cos d sin ws]`,
/// `dr = 1 + 0.033 cos(2 pi J/365)`, Gsc [`FAO_SOLAR_CONSTANT`]; ws is clamped for polar days.
///
/// ```
/// use partywall_core::climate::solar::extraterrestrial_daily;
/// // FAO-56 example 8: 20 S, 3 September (J 246): 32.2 MJ/m2 day.
/// assert!((extraterrestrial_daily(-20.0, 246) / 1e6 - 32.2).abs() < 0.05);
/// ```
#[must_use]
pub fn extraterrestrial_daily(latitude_deg: f64, day_of_year: u16) -> f64 {
    let dr = 1.0 + 0.033 * (2.0 * PI * f64::from(day_of_year) / 365.0).cos();
    let d = fao_declination(day_of_year);
    let ws = fao_sunset(latitude_deg, day_of_year);
    let phi = latitude_deg.to_radians();
    let bracket = ws * phi.sin() * d.sin() + phi.cos() * d.cos() * ws.sin();
    (DAY / PI * FAO_SOLAR_CONSTANT * dr * bracket).max(0.0)
}

/// Daylight hours, `24 ws/pi` (FAO-56 eq. 34), 0 to 24 h.
///
/// ```
/// use partywall_core::climate::solar::daylight_h;
/// // FAO-56 example 9: 20 S, J 246: 11.7 h.
/// assert!((daylight_h(-20.0, 246) - 11.7).abs() < 0.05);
/// ```
#[must_use]
pub fn daylight_h(latitude_deg: f64, day_of_year: u16) -> f64 {
    24.0 / PI * fao_sunset(latitude_deg, day_of_year)
}

/// Daily global radiation from sunshine hours, J/m2: `(0.25 + 0.50 n/N) Ra` (Angstrom form, FAO-56 eq. 35 with its
/// default coefficients). n is held to 0 to N; a day without daylight gives `0.25 Ra`, which is then 0.
#[must_use]
pub fn angstrom_global(extraterrestrial: f64, sunshine_h: f64, daylight_h: f64) -> f64 {
    let share = if daylight_h > 0.0 {
        (sunshine_h / daylight_h).clamp(0.0, 1.0)
    } else {
        0.0
    };
    (0.25 + 0.50 * share) * extraterrestrial
}

/// Daily global radiation under a clear sky, J/m2: `(0.75 + 2e-5 z) Ra`, z station height m (FAO-56 eq. 37).
#[must_use]
pub fn clear_sky_daily(extraterrestrial: f64, elevation: f64) -> f64 {
    ((0.75 + 2e-5 * elevation) * extraterrestrial).clamp(0.0, f64::INFINITY)
}

/// Textbook coefficient of [`hargreaves_global`] inland, K^-0.5 (FAO-56 eq. 50; 0.19 on coasts).
pub const HARGREAVES_INLAND: f64 = 0.16;

/// Daily global radiation from the day's range of temperature, J/m2.
///
/// `Rs = k sqrt(Tmax - Tmin) Ra`, at most the clear-sky value (FAO-56 eq. 50 with eq. 37 as cap). `coefficient` k is
/// [`HARGREAVES_INLAND`] by the book; winters over snow measure lower (0.137). Tmax below Tmin gives 0.
///
/// ```
/// use partywall_core::climate::solar::{HARGREAVES_INLAND, extraterrestrial_daily, hargreaves_global};
/// // FAO-56 example 15, Lyon, July, 26.6 and 14.8 degC: 22.3 MJ/m2 day.
/// let rs = hargreaves_global(extraterrestrial_daily(45.72, 196), 14.8, 26.6, HARGREAVES_INLAND, 200.0);
/// assert!((rs / 1e6 - 22.3).abs() < 0.05);
/// ```
#[must_use]
pub fn hargreaves_global(
    extraterrestrial: f64,
    tmin_c: f64,
    tmax_c: f64,
    coefficient: f64,
    elevation: f64,
) -> f64 {
    let range = (tmax_c - tmin_c).clamp(0.0, f64::INFINITY);
    (coefficient * range.sqrt() * extraterrestrial)
        .min(clear_sky_daily(extraterrestrial, elevation))
}
