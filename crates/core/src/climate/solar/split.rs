//! Global irradiance into beam and diffuse.

/// Below this elevation, degrees, beam cannot be told from diffuse in an hourly mean and all is taken as diffuse
/// (common practice in splitting models: 2 to 5 degrees).
const BEAM_FLOOR_DEG: f64 = 3.0;

/// Share of diffuse in global irradiance, 0 to 1, from the clearness index.
///
/// Erbs, Klein & Duffie 1982: `1 - 0.09 kt` up to 0.22; `0.9511 - 0.1604 kt + 4.388 kt2 - 16.638 kt3 + 12.336 kt4` up to
/// 0.80; 0.165 above. Hourly values, mid-latitudes. kt is held to 0 to 1.
///
/// ```
/// use partywall_core::climate::solar::erbs;
/// assert!((erbs(0.5) - 0.6591).abs() < 1e-4);
/// ```
#[must_use]
pub fn erbs(clearness: f64) -> f64 {
    let kt = clearness.clamp(0.0, 1.0);
    if kt <= 0.22 {
        1.0 - 0.09 * kt
    } else if kt <= 0.80 {
        0.9511 + kt * (-0.1604 + kt * (4.388 + kt * (-16.638 + kt * 12.336)))
    } else {
        0.165
    }
}

/// Clearness index: global irradiance over extraterrestrial irradiance on the horizontal, both W/m2 (or both sums over
/// the same time). 0 when the sun is down, held to at most 1 (higher readings near the horizon are noise).
#[must_use]
pub fn clearness_index(global: f64, extraterrestrial_horizontal: f64) -> f64 {
    if extraterrestrial_horizontal < 1.0 {
        return 0.0;
    }
    (global / extraterrestrial_horizontal).clamp(0.0, 1.0)
}

/// Beam and diffuse parts of a global irradiance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BeamDiffuse {
    /// Direct normal irradiance, W/m2.
    pub dni: f64,
    /// Diffuse horizontal irradiance, W/m2.
    pub dhi: f64,
}

/// Highest direct normal irradiance believed at a sun elevation, W/m2.
///
/// `1.15 E 0.7^(AM^0.678)`, `AM = 1/(sin h + 0.50572 (h + 6.07995)^-1.6364)` (h degrees; Kasten & Young 1989); the beam
/// formula is Meinel's clear-sky fit, from memory, with 15 % allowed for clear mountain air (common practice, no
/// source). Never above the extraterrestrial E itself.
fn beam_ceiling(extraterrestrial_normal: f64, sin_elevation: f64) -> f64 {
    let sin_h = sin_elevation.clamp(0.0, 1.0);
    let h = sin_h.asin().to_degrees();
    let air_mass = 1.0 / (sin_h + 0.50572 * (h + 6.07995).powf(-1.6364));
    extraterrestrial_normal * (1.15 * 0.7_f64.powf(air_mass.powf(0.678))).min(1.0)
}

/// Direct normal irradiance from global and diffuse, with both kept consistent: `global = dni sin h + dhi` always holds.
///
/// `dni = (global - diffuse)/sin h`. Diffuse is held to 0 to global; below 3 degrees of elevation all is diffuse; beam
/// above the clear-sky ceiling (extraterrestrial irradiance through the cleanest air) is given to the diffuse part.
/// `sin_elevation` is that of the direction later used for the beam (mid-hour), and `global` the mean of the same hour.
#[must_use]
pub fn beam_from_diffuse(
    global: f64,
    diffuse: f64,
    sin_elevation: f64,
    extraterrestrial_normal: f64,
) -> BeamDiffuse {
    let global = global.clamp(0.0, f64::INFINITY);
    let diffuse = if diffuse > global {
        global
    } else {
        diffuse.clamp(0.0, f64::INFINITY)
    };
    if sin_elevation < BEAM_FLOOR_DEG.to_radians().sin() {
        return BeamDiffuse {
            dni: 0.0,
            dhi: global,
        };
    }
    let ceiling = beam_ceiling(extraterrestrial_normal, sin_elevation);
    let dni = (global - diffuse) / sin_elevation;
    let dni = if dni > ceiling { ceiling } else { dni };
    BeamDiffuse {
        dni,
        dhi: global - dni * sin_elevation,
    }
}

/// Splits an hourly global irradiance by [`erbs`] and [`beam_from_diffuse`].
///
/// `extraterrestrial_horizontal` is the hour's mean (see [`super::hour_mean_extraterrestrial`]); it sets the clearness index, so
/// that hours of sunrise and sunset are judged by the time the sun was up.
#[must_use]
pub fn split_global(
    global: f64,
    extraterrestrial_horizontal: f64,
    sin_elevation: f64,
    extraterrestrial_normal: f64,
) -> BeamDiffuse {
    let kt = clearness_index(global, extraterrestrial_horizontal);
    beam_from_diffuse(
        global,
        erbs(kt) * global.clamp(0.0, f64::INFINITY),
        sin_elevation,
        extraterrestrial_normal,
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches energy made or lost in the split, and a beam that explodes at the horizon.
    #[test]
    fn the_split_keeps_the_global_sum() {
        for global in [0.0, 1.0, 50.0, 400.0, 1500.0] {
            for h in [-5.0_f64, 0.0, 1.0, 3.1, 10.0, 45.0, 90.0] {
                let sin_h = h.to_radians().sin();
                for diffuse in [0.0, 0.5 * global, global, 2.0 * global] {
                    let s = beam_from_diffuse(global, diffuse, sin_h, 1361.0);
                    assert!(s.dni >= 0.0 && s.dni <= 1361.0 && s.dhi >= 0.0);
                    assert!((s.dni * sin_h.max(0.0) + s.dhi - global).abs() < 1e-9);
                }
            }
        }
    }

    /// Catches a panic on, or a number from, a missing reading.
    #[test]
    fn missing_readings_stay_missing() {
        let s = beam_from_diffuse(f64::NAN, 50.0, 0.5, 1361.0);
        assert!(s.dhi.is_nan());
        assert!(beam_from_diffuse(300.0, f64::NAN, 0.5, 1361.0).dhi.is_nan());
        assert!(split_global(f64::NAN, 600.0, 0.5, 1361.0).dhi.is_nan());
    }
}
