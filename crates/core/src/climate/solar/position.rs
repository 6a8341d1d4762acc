//! Position and distance of the sun.

use jiff::civil::Date;
use std::f64::consts::PI;

/// Solar constant, W/m2 (total solar irradiance at 1 AU; Kopp & Lean 2011, from memory).
pub const SOLAR_CONSTANT: f64 = 1361.0;

/// Seconds in a day.
const DAY: f64 = 86_400.0;

/// Julian day of 1970-01-01 00:00 UTC, days.
const JULIAN_DAY_1970: f64 = 2_440_587.5;

/// Julian day of the epoch J2000.0, days.
const JULIAN_DAY_2000: f64 = 2_451_545.0;

/// Julian day (UTC) of a civil date and an hour of that date, which may lie outside 0 to 24.
///
/// ```
/// use partywall_core::climate::solar::julian_day;
/// // 2000-01-01 12:00 is the epoch J2000.0, Julian day 2451545.0 by definition.
/// assert_eq!(julian_day(jiff::civil::date(2000, 1, 1), 12.0), 2_451_545.0);
/// ```
#[must_use]
pub fn julian_day(date: Date, hour_utc_h: f64) -> f64 {
    let epoch = jiff::civil::date(1970, 1, 1);
    let seconds = date.duration_since(epoch).as_secs();
    // A date is a whole number of days from another: exact in f64.
    JULIAN_DAY_1970 + seconds as f64 / DAY + hour_utc_h / 24.0
}

/// The sun at one instant, independent of the place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ephemeris {
    /// Declination, rad.
    pub declination: f64,
    /// Equation of time as an angle (apparent minus mean sun), rad: 15 degrees are an hour.
    pub equation_of_time: f64,
    /// Eccentricity factor, (mean distance / distance) squared: about 1.034 in January, 0.967 in July.
    pub eccentricity: f64,
    /// Hour angle of the mean sun at Greenwich, rad.
    greenwich_hour_angle: f64,
}

impl Ephemeris {
    /// Low-order solar coordinates, good to about 0.005 degrees between 1950 and 2050.
    ///
    /// With T in Julian centuries from J2000.0, degrees:
    /// mean longitude `L = 280.46646 + 36000.76983 T + 0.0003032 T2`, mean anomaly
    /// `M = 357.52911 + 35999.05029 T - 0.0001537 T2`, equation of centre
    /// `C = (1.914602 - 0.004817 T - 0.000014 T2) sin M + (0.019993 - 0.000101 T) sin 2M + 0.000289 sin 3M`,
    /// apparent longitude `lambda = L + C - 0.00569 - 0.00478 sin(125.04 - 1934.136 T)`, obliquity
    /// `eps = 23.439291 - 0.013004 T + 0.00256 cos(125.04 - 1934.136 T)`, `sin delta = sin eps sin lambda`.
    /// Source: Meeus, Astronomical Algorithms, ch. 25 and 28 (from memory), the form in use at NOAA. The 67 s between
    /// terrestrial and universal time (0.0008 degrees of longitude) and the sun's parallax (0.0024 degrees) are left out.
    #[must_use]
    pub fn at(julian_day: f64) -> Self {
        let t = (julian_day - JULIAN_DAY_2000) / 36_525.0;
        let mean_longitude = 280.46646 + t * (36_000.769_83 + t * 0.000_303_2);
        let anomaly = (357.52911 + t * (35_999.050_29 - t * 0.000_153_7)).to_radians();
        let node = (125.04 - 1934.136 * t).to_radians();
        let centre = anomaly.sin() * (1.914_602 - t * (0.004_817 + t * 0.000_014))
            + (2.0 * anomaly).sin() * (0.019_993 - t * 0.000_101)
            + (3.0 * anomaly).sin() * 0.000_289;
        let longitude = (mean_longitude + centre - 0.00569 - 0.00478 * node.sin()).to_radians();
        let obliquity = (23.439_291 - t * 0.013_004 + 0.00256 * node.cos()).to_radians();
        let declination = (obliquity.sin() * longitude.sin()).asin();
        let right_ascension = (obliquity.cos() * longitude.sin()).atan2(longitude.cos());
        // Meeus eq. 28.1: L - 0.0057183 - alpha + (nutation in longitude) cos(obliquity).
        let equation_of_time = wrap(
            (mean_longitude - 0.005_718_3 - 0.00478 * node.sin() * obliquity.cos()).to_radians()
                - right_ascension,
        );
        let e = 0.016_708_634 - t * (0.000_042_037 + t * 0.000_000_126_7);
        let true_anomaly = anomaly + centre.to_radians();
        let distance = 1.000_001_018 * (1.0 - e * e) / (1.0 + e * true_anomaly.cos());
        // Julian days begin at noon, so the fraction is the mean sun's hour angle at Greenwich.
        let greenwich_hour_angle = 2.0 * PI * julian_day.rem_euclid(1.0);
        Self {
            declination,
            equation_of_time,
            eccentricity: 1.0 / (distance * distance),
            greenwich_hour_angle,
        }
    }

    /// Sun as seen from a place.
    ///
    /// `sin h = sin phi sin delta + cos phi cos delta cos w`, azimuth `= 180 + atan2(sin w, cos w sin phi - tan delta
    /// cos phi)`; phi latitude (north positive), w hour angle (afternoon positive). Textbook spherical trigonometry.
    #[must_use]
    pub fn seen_from(&self, latitude_deg: f64, longitude_deg: f64) -> SunPosition {
        let phi = latitude_deg.to_radians();
        let w = self.greenwich_hour_angle + longitude_deg.to_radians() + self.equation_of_time;
        let (sin_phi, cos_phi) = phi.sin_cos();
        let (sin_d, cos_d) = self.declination.sin_cos();
        let (sin_w, cos_w) = w.sin_cos();
        let sin_h = (sin_phi * sin_d + cos_phi * cos_d * cos_w).clamp(-1.0, 1.0);
        let azimuth = sin_w.atan2(cos_w * sin_phi - sin_d / cos_d * cos_phi);
        SunPosition {
            elevation_deg: sin_h.asin().to_degrees(),
            azimuth_deg: (azimuth.to_degrees() + 180.0).rem_euclid(360.0),
        }
    }

    /// Irradiance of a surface facing the sun above the air, W/m2.
    #[must_use]
    pub fn extraterrestrial_normal(&self) -> f64 {
        SOLAR_CONSTANT * self.eccentricity
    }
}

/// Angle brought into -pi to pi.
fn wrap(angle: f64) -> f64 {
    (angle + PI).rem_euclid(2.0 * PI) - PI
}

/// Direction of the sun, geometric (without refraction).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SunPosition {
    /// Elevation above the horizon, degrees.
    pub elevation_deg: f64,
    /// Azimuth, degrees clockwise from north.
    pub azimuth_deg: f64,
}

/// Direction of the sun at an instant; see [`Ephemeris::at`] for the method and its accuracy.
///
/// Worked example (Reda & Andreas, solar position algorithm report, 2003-10-17 12:30:30, UTC-7, 39.742476 N,
/// 105.1786 W): azimuth 194.34024.
/// ```
/// use partywall_core::climate::solar::{julian_day, sun_position};
/// let jd = julian_day(jiff::civil::date(2003, 10, 17), 19.0 + 30.5 / 60.0);
/// let sun = sun_position(jd, 39.742476, -105.1786);
/// assert!((sun.azimuth_deg - 194.34024).abs() < 0.01);
/// ```
#[must_use]
pub fn sun_position(julian_day: f64, latitude_deg: f64, longitude_deg: f64) -> SunPosition {
    Ephemeris::at(julian_day).seen_from(latitude_deg, longitude_deg)
}

/// Atmospheric refraction to be added to a geometric elevation, degrees.
///
/// `R = (p / 101000) (283 / (273 + t)) 1.02 / (60 tan(h + 10.3/(h + 5.11)))`, h and the argument in degrees; p Pa, t
/// degC. Saemundsson's form with the pressure and temperature factors used by Reda & Andreas 2003 (from memory). Valid
/// for elevations above about -0.8 degrees; 0 is returned below that, where the sun is set.
#[must_use]
pub fn refraction_deg(elevation_deg: f64, pressure: f64, outdoor_c: f64) -> f64 {
    if elevation_deg < -0.8333 {
        return 0.0;
    }
    let argument = (elevation_deg + 10.3 / (elevation_deg + 5.11)).to_radians();
    let r = pressure / 101_000.0 * 283.0 / (273.0 + outdoor_c) * 1.02 / (60.0 * argument.tan());
    r.max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    /// Catches a wrong epoch, sign of longitude, or equation of time: the reference algorithm's rows, winter sun.
    #[test]
    fn winter_sun_within_two_hundredths_of_a_degree() {
        let rows = [
            (date(2024, 12, 21), 12.0, 45.0, 0.0, 21.5582, 180.4214),
            (date(2024, 1, 15), 10.0, 60.0, 25.0, 8.6000, 173.1180),
            (date(2024, 2, 1), 8.5, 50.0, 8.0, 10.6795, 133.8747),
            (date(2024, 3, 20), 15.0, 44.0, -79.0, 35.8484, 133.7811),
        ];
        for (day, hour, lat, lon, elevation, azimuth) in rows {
            let sun = sun_position(julian_day(day, hour), lat, lon);
            assert!((sun.elevation_deg - elevation).abs() < 0.02, "{sun:?}");
            assert!((sun.azimuth_deg - azimuth).abs() < 0.02, "{sun:?}");
        }
    }
}
