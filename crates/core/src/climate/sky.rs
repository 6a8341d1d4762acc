//! Longwave radiation of the sky and the cloud cover it needs. Dew points come from [`super::moist_air`].

/// Stefan-Boltzmann constant, W/m2K4 (CODATA).
pub const STEFAN_BOLTZMANN: f64 = 5.670_374_419e-8;

/// 0 degC in kelvins.
pub const ZERO_CELSIUS: f64 = 273.15;

/// Radiation of a black body at `t_c`, W/m2: `sigma T^4`.
#[must_use]
pub fn black_body(t_c: f64) -> f64 {
    STEFAN_BOLTZMANN * (t_c + ZERO_CELSIUS).powi(4)
}

/// Temperature of the black sky that would send `longwave` W/m2, degC: `(L/sigma)^(1/4)`.
///
/// ```
/// use partywall_core::climate::sky::sky_temperature;
/// // 230 W/m2 is a sky of -20.785 degC.
/// assert!((sky_temperature(230.0) + 20.785).abs() < 1e-3);
/// ```
#[must_use]
pub fn sky_temperature(longwave: f64) -> f64 {
    (longwave.clamp(0.0, f64::INFINITY) / STEFAN_BOLTZMANN)
        .sqrt()
        .sqrt()
        - ZERO_CELSIUS
}

/// Emissivity of the clear sky, 0 to 1, from the dew point (degC).
///
/// Clark & Allen 1978: `0.787 + 0.764 ln(Td/273)`, Td in K. Fitted between about -20 and 30 degC of dew point; held to
/// 0.5 to 1 outside.
///
/// ```
/// use partywall_core::climate::sky::emissivity_clark_allen;
/// // The printed example of a building-energy engineering reference: dew point 283 K, clear: 0.815 (unrounded 0.8145).
/// assert!((emissivity_clark_allen(283.0 - 273.15) - 0.815).abs() < 1e-3);
/// ```
#[must_use]
pub fn emissivity_clark_allen(dewpoint_c: f64) -> f64 {
    let td = (dewpoint_c + ZERO_CELSIUS).clamp(150.0, f64::INFINITY);
    (0.787 + 0.764 * (td / 273.0).ln()).clamp(0.5, 1.0)
}

/// Emissivity of the clear sky, 0 to 1, from the dew point (degC) and, if known, the solar hour.
///
/// Berdahl & Martin 1984: `0.711 + 0.56 (td/100) + 0.73 (td/100)^2 + 0.013 cos(2 pi h/24)`. Fitted for dew points of
/// about -20 to 30 degC; below the parabola's lowest point (-38.4 degC) the value there is kept.
#[must_use]
pub fn emissivity_berdahl_martin(dewpoint_c: f64, solar_hour_h: Option<f64>) -> f64 {
    let x = dewpoint_c.clamp(-50.0 * 0.56 / 0.73, f64::INFINITY) / 100.0;
    let daily = solar_hour_h.map_or(0.0, |h| 0.013 * (std::f64::consts::TAU * h / 24.0).cos());
    (0.711 + x * (0.56 + 0.73 * x) + daily).min(1.0)
}

/// Factor by which opaque cloud raises the sky's emissivity: `1 + 0.0224 N - 0.0035 N2 + 0.00028 N3`, N opaque cover in
/// tenths (Walton 1983). `cover` is a fraction, held to 0 to 1.
///
/// ```
/// use partywall_core::climate::sky::cloud_factor;
/// assert!((cloud_factor(0.5) - 1.0595).abs() < 1e-9);
/// assert!((cloud_factor(1.0) - 1.154).abs() < 1e-9);
/// ```
#[must_use]
pub fn cloud_factor(cover: f64) -> f64 {
    let n = 10.0 * cover.clamp(0.0, 1.0);
    1.0 + n * (0.0224 + n * (-0.0035 + n * 0.00028))
}

/// Downward longwave irradiance, W/m2, from air temperature, dew point (degC) and opaque cloud cover (0 to 1): Clark &
/// Allen's clear sky with Walton's cloud factor, emissivity at most 1.
///
/// ```
/// use partywall_core::climate::sky::sky_longwave;
/// // Printed example: air 293 K, dew point 283 K, clear: 340.6 W/m2.
/// assert!((sky_longwave(293.0 - 273.15, 283.0 - 273.15, 0.0) - 340.6).abs() < 0.5);
/// ```
#[must_use]
pub fn sky_longwave(outdoor_c: f64, dewpoint_c: f64, cover: f64) -> f64 {
    let dewpoint_c = if dewpoint_c > outdoor_c {
        outdoor_c
    } else {
        dewpoint_c
    };
    let emissivity = emissivity_clark_allen(dewpoint_c) * cloud_factor(cover);
    let emissivity = emissivity.clamp(0.0, 1.0);
    emissivity * black_body(outdoor_c)
}

/// Cloud cover, 0 to 1, from the ratio of measured to clear-sky global radiation (hour or day).
///
/// Kasten & Czeplak 1980 (from memory): `G/G0 = 1 - 0.75 N^3.4`, solved for N. Thin high cloud counts little, as it does
/// for the longwave. At low sun the ratio is noise: take it over the hours with the sun above about 5 degrees, or over
/// the day, and carry the value through the night. A ratio that is not a number gives 0.5.
#[must_use]
pub fn cloud_from_clear_ratio(ratio: f64) -> f64 {
    if ratio.is_nan() {
        return 0.5;
    }
    ((1.0 - ratio).clamp(0.0, 0.75) / 0.75).powf(1.0 / 3.4)
}

/// Cloud cover, 0 to 1, from a daily clearness index (global over extraterrestrial sum): the ratio to the clear day's
/// index `0.75 + 2e-5 z` of FAO-56 eq. 37 (z station height, m) goes into [`cloud_from_clear_ratio`].
#[must_use]
pub fn cloud_from_daily_clearness(clearness: f64, elevation: f64) -> f64 {
    cloud_from_clear_ratio(clearness / (0.75 + 2e-5 * elevation.clamp(-500.0, 9000.0)))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches a swapped coefficient: both clear-sky models at three dew points, computed independently.
    #[test]
    fn clear_skies_in_the_cold() {
        let rows = [
            (-10.0, -14.0, 0.6469, -37.15, 0.7468, -28.52),
            (0.0, -3.0, 0.6949, -23.76, 0.7786, -16.57),
            (10.0, 5.0, 0.7408, -10.46, 0.8009, -5.29),
        ];
        for (ta, td, bm, t_bm, ca, t_ca) in rows {
            let e = emissivity_berdahl_martin(td, None);
            assert!((e - bm).abs() < 1e-4, "{e}");
            assert!((sky_temperature(e * black_body(ta)) - t_bm).abs() < 0.01);
            let e = emissivity_clark_allen(td);
            // These rows were computed with 273.15 K in the logarithm, the printed formula has 273: 0.0004, 0.03 K.
            assert!((e - ca).abs() < 5e-4, "{e}");
            assert!((sky_temperature(sky_longwave(ta, td, 0.0)) - t_ca).abs() < 0.05);
        }
    }

    /// Catches an inverse that is not one, or cover outside 0 to 1.
    #[test]
    fn cloud_estimate_inverts_its_formula_and_stays_in_range() {
        for n in [0.0_f64, 0.2, 0.5, 0.9, 1.0] {
            let ratio = 1.0 - 0.75 * n.powf(3.4);
            assert!((cloud_from_clear_ratio(ratio) - n).abs() < 1e-9);
        }
        for ratio in [-1.0, 0.0, 2.0, f64::INFINITY, f64::NEG_INFINITY, f64::NAN] {
            assert!((0.0..=1.0).contains(&cloud_from_clear_ratio(ratio)));
        }
    }

    /// Catches a sky warmer than the air it belongs to, and numbers that run off in a cold or dry extreme.
    #[test]
    fn sky_never_exceeds_a_black_body_at_air_temperature() {
        for t in -60..=45 {
            for d in [0.0, 2.0, 10.0, 40.0] {
                for cover in [0.0, 0.3, 1.0] {
                    let l = sky_longwave(f64::from(t), f64::from(t) - d, cover);
                    assert!(l > 0.0 && l <= black_body(f64::from(t)) + 1e-9);
                }
            }
        }
    }
}
