//! Sun on a tilted face from the beam and diffuse irradiance of a record.

use crate::climate::solar::SOLAR_CONSTANT;

/// Smallest cosine of the zenith angle used in the ratio of beam on the face to beam on the horizontal: that of 85
/// degrees (usual in transposition codes: 85 to 89), so that a setting sun does not multiply the diffuse sky.
pub const COS_ZENITH_FLOOR: f64 = 0.087_155_742_747_658_17;

/// The sun and sky of one instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SkyState {
    /// Unit vector to the sun: east, north, up.
    pub to_sun: [f64; 3],
    /// Direct normal irradiance, W/m2; 0 when the sun is below the horizon.
    pub dni: f64,
    /// Diffuse horizontal irradiance, W/m2.
    pub dhi: f64,
    /// Global horizontal irradiance, W/m2.
    pub ghi: f64,
    /// Solar reflectance of the ground, 0 to 1.
    pub reflectance: f64,
    /// Anisotropy index A of Hay & Davies, 0 to 1.
    pub anisotropy: f64,
}

impl SkyState {
    /// Sky of an hour. `eccentricity` is the sun's distance factor E0 (1 if unknown: at most 3.4 % off, on A only).
    /// Negative readings count as 0; beam with the sun below the horizon is dropped; NaN stays NaN.
    #[must_use]
    pub fn new(
        elevation_deg: f64,
        azimuth_deg: f64,
        dni: f64,
        dhi: f64,
        ghi: f64,
        reflectance: f64,
        eccentricity: f64,
    ) -> Self {
        let (sin_h, cos_h) = elevation_deg.to_radians().sin_cos();
        let (sin_a, cos_a) = azimuth_deg.to_radians().sin_cos();
        let dni = if sin_h <= 0.0 {
            0.0
        } else {
            dni.clamp(0.0, f64::INFINITY)
        };
        Self {
            to_sun: [cos_h * sin_a, cos_h * cos_a, sin_h],
            dni,
            dhi: dhi.clamp(0.0, f64::INFINITY),
            ghi: ghi.clamp(0.0, f64::INFINITY),
            reflectance: reflectance.clamp(0.0, 1.0),
            anisotropy: (dni / (SOLAR_CONSTANT * eccentricity.max(0.9))).clamp(0.0, 1.0),
        }
    }
}

/// A direction a face looks in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outlook {
    /// Unit normal: east, north, up.
    pub normal: [f64; 3],
    /// Share of the sky in its view, `(1 + cos tilt)/2`; the rest is ground.
    pub sky: f64,
}

impl Outlook {
    /// From azimuth (degrees clockwise from north) and tilt (0 facing up, 90 vertical, 180 facing down).
    #[must_use]
    pub fn new(azimuth_deg: f64, tilt_deg: f64) -> Self {
        let (sin_t, cos_t) = tilt_deg.to_radians().sin_cos();
        let (sin_a, cos_a) = azimuth_deg.to_radians().sin_cos();
        Self {
            normal: [sin_t * sin_a, sin_t * cos_a, cos_t],
            sky: 0.5 * (1.0 + cos_t),
        }
    }

    /// Cosine of the angle of incidence of the sun; negative behind the face.
    #[must_use]
    pub fn cos_incidence(&self, sky: &SkyState) -> f64 {
        self.normal.iter().zip(sky.to_sun).map(|(n, s)| n * s).sum()
    }
}

/// Sun on a face, in parts, W/m2 of the face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FaceSun {
    /// Direct beam.
    pub beam: f64,
    /// From the sky.
    pub sky: f64,
    /// Reflected by the ground.
    pub ground: f64,
}

impl FaceSun {
    /// Sum of the parts, W/m2.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.beam + self.sky + self.ground
    }
}

/// Ground-reflected irradiance of a face, W/m2: `rho GHI (1 - cos b)/2`.
#[must_use]
pub fn ground_reflected(sky: &SkyState, face: &Outlook) -> f64 {
    sky.reflectance * sky.ghi * (1.0 - face.sky)
}

/// Diffuse sky irradiance of a face by Hay & Davies 1980, W/m2: `D [A Rb + (1 - A)(1 + cos b)/2]`,
/// `A = DNI/(1361 E0)`, `Rb = max(0, cos i)/max(cos z, cos 85)`.
#[must_use]
pub fn hay_davies(sky: &SkyState, face: &Outlook) -> f64 {
    let rb =
        face.cos_incidence(sky).clamp(0.0, f64::INFINITY) / sky.to_sun[2].max(COS_ZENITH_FLOOR);
    sky.dhi * (sky.anisotropy * rb + (1.0 - sky.anisotropy) * face.sky)
}

/// Sun on a face: beam, [`hay_davies`] sky and [`ground_reflected`].
///
/// ```
/// use partywall_core::boundary::transposition::{Outlook, SkyState, face_sun};
/// // Vertical south face, sun at zenith 65 and azimuth 200 degrees, DNI 600, DHI 80, snow.
/// let sky = SkyState::new(25.0, 200.0, 600.0, 80.0, 333.571, 0.7, 1.0);
/// let sun = face_sun(&sky, &Outlook::new(180.0, 90.0));
/// assert!((sun.beam - 510.990).abs() < 1e-3);
/// assert!((sun.sky - 93.4376).abs() < 1e-3);
/// assert!((sun.ground - 116.750).abs() < 1e-3);
/// ```
#[must_use]
pub fn face_sun(sky: &SkyState, face: &Outlook) -> FaceSun {
    FaceSun {
        beam: sky.dni * face.cos_incidence(sky).clamp(0.0, f64::INFINITY),
        sky: hay_davies(sky, face),
        ground: ground_reflected(sky, face),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches east taken for west and a tilt counted from the wrong end.
    #[test]
    fn faces_look_where_they_should() {
        let morning = SkyState::new(20.0, 90.0, 500.0, 60.0, 231.0, 0.2, 1.0);
        let east = face_sun(&morning, &Outlook::new(90.0, 90.0));
        let west = face_sun(&morning, &Outlook::new(270.0, 90.0));
        assert!((east.beam - 500.0 * 20.0_f64.to_radians().cos()).abs() < 1e-9);
        assert_eq!(west.beam, 0.0);
        let up = face_sun(&morning, &Outlook::new(0.0, 0.0));
        assert!((up.total() - 231.0).abs() < 0.1, "{}", up.total());
        let down = face_sun(&morning, &Outlook::new(0.0, 180.0));
        assert!(down.beam < 1e-9 && down.sky < 1e-9 && (down.ground - 46.2).abs() < 1e-6);
    }

    /// Catches a Hay-Davies that is not the uniform sky when there is no beam, nor the whole diffuse on the flat.
    #[test]
    fn limits_of_hay_davies() {
        let overcast = SkyState::new(15.0, 200.0, 0.0, 90.0, 90.0, 0.2, 1.0);
        let face = Outlook::new(180.0, 60.0);
        assert!((hay_davies(&overcast, &face) - overcast.dhi * face.sky).abs() < 1e-12);
        let clear = SkyState::new(30.0, 200.0, 700.0, 70.0, 420.0, 0.2, 1.0);
        assert!((hay_davies(&clear, &Outlook::new(0.0, 0.0)) - 70.0).abs() < 1e-9);
        let night = SkyState::new(-3.0, 250.0, 20.0, 0.0, 0.0, 0.2, 1.0);
        assert_eq!(face_sun(&night, &Outlook::new(250.0, 90.0)).total(), 0.0);
    }
}
