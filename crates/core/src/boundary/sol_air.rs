//! Weather of an hour to the film of each outer face: one coefficient and one equivalent temperature.

use super::film::{convective_outside, radiative_secant};
use super::shelter::SiteExposure;
use super::snow;
use super::transposition::{FaceSun, Outlook, SkyState, face_sun};
use crate::climate::series::Hour;
use crate::climate::sky::sky_temperature;

/// Faces tilted less than this keep their snow, degrees (a choice).
const LEVEL: f64 = 30.0;

/// What a face is exposed to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Exposure {
    /// Wind, sky and sun.
    Open,
    /// In a narrow gap open to the wind: no sky, no sun, and the wall opposite is as warm as the face itself.
    Shaded,
    /// Under a floor or an overhang: wind and shaded ground at air temperature, no sun.
    Underside,
}

/// An outer face, or a group of them that share direction, surface and height.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Face {
    /// Direction it looks in, degrees clockwise from north; of no matter when it is level.
    pub azimuth_deg: f64,
    /// Tilt, degrees: 0 facing up, 90 vertical, 180 facing down.
    pub tilt_deg: f64,
    /// Solar absorptance, 0 to 1.
    pub absorptance: f64,
    /// Thermal emissivity, 0 to 1.
    pub emissivity: f64,
    /// What it is exposed to.
    pub exposure: Exposure,
    /// Height of its middle above ground, m.
    pub z: f64,
}

/// A face with its direction worked out once.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PreparedFace {
    face: Face,
    outlook: Outlook,
}

impl PreparedFace {
    /// Works out the direction of a face.
    #[must_use]
    pub fn new(face: Face) -> Self {
        Self {
            face,
            outlook: Outlook::new(face.azimuth_deg, face.tilt_deg),
        }
    }

    /// The face.
    #[must_use]
    pub fn face(&self) -> &Face {
        &self.face
    }
}

/// Film of an outer face: flux into the surface is `h (t - T_surface)`, W/m2.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OuterFilm {
    /// Total coefficient, convection and radiation, W/m2K.
    pub h: f64,
    /// Equivalent temperature, degC: air, sky and absorbed sun in one.
    pub t: f64,
}

/// An hour's weather as every face of a stand sees it, worked out once an hour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HourSky {
    /// Air temperature, degC.
    pub air: f64,
    /// Temperature of the black sky, degC.
    pub sky: f64,
    /// Sun and sky light.
    pub light: SkyState,
    /// Snow depth, m.
    pub snow_depth: f64,
    wind: f64,
    site: SiteExposure,
}

impl HourSky {
    /// From a record's hour. The sun's distance is not in the record; the mean is taken (see [`SkyState::new`]).
    #[must_use]
    pub fn new(hour: &Hour, site: &SiteExposure) -> Self {
        let snow_depth = hour.snow_depth.clamp(0.0, f64::INFINITY);
        Self {
            air: hour.outdoor_c,
            sky: sky_temperature(hour.sky_longwave),
            light: SkyState::new(
                hour.sun_elevation_deg,
                hour.sun_azimuth_deg,
                hour.dni,
                hour.dhi,
                hour.ghi,
                site.reflectance(snow_depth),
                1.0,
            ),
            snow_depth,
            wind: hour.wind,
            site: *site,
        }
    }

    /// Wind beside a face at `z` m above ground, m/s.
    #[must_use]
    pub fn wind_at(&self, z: f64) -> f64 {
        self.site.wind_at(self.wind, z, self.snow_depth)
    }

    /// Snow over a face, m: to the surface of what lies on the ground, or what lies on a lid.
    fn cover(&self, face: &Face) -> f64 {
        let lid = face.exposure == Exposure::Open && face.tilt_deg < LEVEL;
        let on_lid = if lid {
            self.site.on_lid(self.snow_depth)
        } else {
            0.0
        };
        on_lid.max(self.snow_depth - face.z)
    }

    /// Sun on a face, W/m2, before absorption; none on faces that are shaded, underneath or under snow.
    #[must_use]
    pub fn sun_on(&self, face: &PreparedFace) -> FaceSun {
        if face.face.exposure == Exposure::Open && self.cover(&face.face) <= 0.0 {
            face_sun(&self.light, &face.outlook)
        } else {
            FaceSun {
                beam: 0.0,
                sky: 0.0,
                ground: 0.0,
            }
        }
    }

    /// Film of a face.
    ///
    /// `h = hc + hs + hg`, `t = (hc Ta + hs Tsky + hg Ta + a G)/h`: `hc = 4 + 4 v` with the wind beside the face (ISO 6946
    /// annex C), `hs = e F sigma (Ta2 + Tsky2)(Ta + Tsky)` to the share F of sky in view, `hg = 4 e (1 - F) sigma Ta3` to
    /// ground and neighbours at air temperature, absorbed sun a G. Linearised at a surface of air temperature: 3 K of
    /// difference change h by under 1 %. The record has no wind direction, so all open faces get the same wind.
    ///
    /// A face whose middle lies below the snow, or a lid that snow lies on, has no wind or sun of its own: it conducts through the snow
    /// above it to the snow's surface, which has a film of its own ([`snow::buried`]). A shaded gap exchanges no radiation, since the
    /// wall opposite is taken to be as warm as the face.
    #[must_use]
    pub fn film(&self, face: &PreparedFace) -> OuterFilm {
        let f = &face.face;
        let cover = self.cover(f);
        if cover > 0.0 {
            return self.buried(cover, f.z);
        }
        let wind = self.wind_at(f.z);
        match f.exposure {
            Exposure::Open => {
                let sun = face_sun(&self.light, &face.outlook).total();
                self.combine(wind, f.emissivity, face.outlook.sky, f.absorptance * sun)
            }
            Exposure::Underside => self.combine(
                wind * self.site.table.wind.underside,
                f.emissivity,
                0.0,
                0.0,
            ),
            Exposure::Shaded => OuterFilm {
                h: convective_outside(wind * self.site.table.wind.gap),
                t: self.air,
            },
        }
    }

    fn combine(&self, wind: f64, emissivity: f64, sky_view: f64, absorbed: f64) -> OuterFilm {
        let convective = convective_outside(wind);
        let to_sky = sky_view * radiative_secant(emissivity, self.air, self.sky);
        let to_ground = (1.0 - sky_view) * radiative_secant(emissivity, self.air, self.air);
        let h = convective + to_sky + to_ground;
        OuterFilm {
            h,
            t: self.air + (to_sky * (self.sky - self.air) + absorbed) / h,
        }
    }

    /// Film of a face at `z` m above ground under `cover` m of snow.
    fn buried(&self, cover: f64, z: f64) -> OuterFilm {
        let table = &self.site.table.snow;
        let up = Outlook::new(0.0, 0.0);
        let sun = table.absorptance * face_sun(&self.light, &up).total();
        let wind = self.wind_at(z.max(self.snow_depth));
        let surface = self.combine(wind, table.emissivity, 1.0, sun);
        // Snow is never warmer than melting; what would warm it further melts it.
        let t = surface.t.min(0.0);
        OuterFilm {
            h: snow::buried(cover, snow::conductivity(table.density), surface.h),
            t,
        }
    }
}

/// Film of one face in one hour; for many faces work out [`HourSky`] and [`PreparedFace`] once.
///
/// ```
/// use partywall_core::boundary::{Exposure, Face, SiteExposure, face_film};
/// use partywall_core::climate::series::Hour;
/// use partywall_core::stand::Shelter;
/// let night = Hour {
///     outdoor_c: -10.0, dewpoint_c: -14.0, wind: 4.0, ghi: 0.0, dni: 0.0, dhi: 0.0, sky_longwave: 200.0,
///     snow_depth: 0.0, sun_elevation_deg: -40.0, sun_azimuth_deg: 0.0,
/// };
/// let lid = Face { azimuth_deg: 0.0, tilt_deg: 0.0, absorptance: 0.7, emissivity: 0.9, exposure: Exposure::Open, z: 0.8 };
/// let film = face_film(&night, &lid, &SiteExposure::new(Shelter::Partly, false)?);
/// // A clear night sky of -29 degC cools the lid below the air.
/// assert!(film.t < -14.0 && film.h > 12.0);
/// # Ok::<(), partywall_core::boundary::BoundaryError>(())
/// ```
#[must_use]
pub fn face_film(hour: &Hour, face: &Face, site: &SiteExposure) -> OuterFilm {
    HourSky::new(hour, site).film(&PreparedFace::new(*face))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stand::Shelter;

    const NIGHT: Hour = Hour {
        outdoor_c: -10.0,
        dewpoint_c: -14.0,
        wind: 4.0,
        ghi: 0.0,
        dni: 0.0,
        dhi: 0.0,
        sky_longwave: 203.4,
        snow_depth: 0.0,
        sun_elevation_deg: -40.0,
        sun_azimuth_deg: 0.0,
    };

    fn face(tilt_deg: f64, exposure: Exposure) -> Face {
        Face {
            azimuth_deg: 180.0,
            tilt_deg,
            absorptance: 0.7,
            emissivity: 0.9,
            exposure,
            z: 0.5,
        }
    }

    /// Catches a flux that is not that of the parts: convection, exact T^4 radiation to sky and ground, absorbed sun, at a
    /// surface of air temperature.
    #[test]
    fn the_film_carries_the_sum_of_its_parts() {
        use crate::climate::sky::black_body;
        let day = Hour {
            ghi: 333.571,
            dni: 600.0,
            dhi: 80.0,
            sun_elevation_deg: 25.0,
            sun_azimuth_deg: 200.0,
            ..NIGHT
        };
        let site = SiteExposure::new(Shelter::Open, false).unwrap();
        let film = face_film(&day, &face(90.0, Exposure::Open), &site);
        let into = film.h * (film.t - day.outdoor_c);
        let longwave = 0.9 * 0.5 * (day.sky_longwave - black_body(day.outdoor_c));
        let sun = 0.7 * 637.785;
        assert!((into - (longwave + sun)).abs() < 1e-3, "{into}");
        // Wind at half a metre is 0.484 of 4 m/s; radiation at -10 degC about 0.9 x 4.
        let convective = 4.0 + 4.0 * 1.937;
        assert!(
            film.h > convective + 3.0 && film.h < convective + 3.8,
            "{film:?}"
        );
    }

    /// Catches an underside or a gap that sees sky or sun, and a lid that does not.
    #[test]
    fn who_sees_the_sky() {
        let site = SiteExposure::new(Shelter::Partly, false).unwrap();
        let t = |tilt, exposure| face_film(&NIGHT, &face(tilt, exposure), &site).t;
        assert!((t(180.0, Exposure::Underside) + 10.0).abs() < 1e-9);
        assert!((t(90.0, Exposure::Shaded) + 10.0).abs() < 1e-9);
        assert!(t(0.0, Exposure::Open) < t(90.0, Exposure::Open));
        assert!(t(90.0, Exposure::Open) < -10.5);
    }

    /// Catches a snow cover that is a film: at 0.3 m of settled snow over it, a wall loses below a third of a watt.
    #[test]
    fn buried_faces_conduct_through_snow() {
        let site = SiteExposure::new(Shelter::Open, false).unwrap();
        let film = face_film(
            &Hour {
                snow_depth: 0.8,
                ..NIGHT
            },
            &face(90.0, Exposure::Open),
            &site,
        );
        assert!(film.h > 0.25 && film.h < 0.31, "{film:?}");
        assert!(film.t < -10.0);
    }

    /// Catches snow that leaves lids bare or falls on walls above it: 0.2 m on the ground of a sheltered place are 0.19 m on the lid.
    #[test]
    fn snow_lies_on_lids() {
        let site = SiteExposure::new(Shelter::Sheltered, false).unwrap();
        let film = |tilt, snow_depth| {
            let hour = Hour {
                snow_depth,
                ..NIGHT
            };
            face_film(&hour, &face(tilt, Exposure::Open), &site)
        };
        let resistance = |f: OuterFilm| 1.0 / f.h;
        let more = resistance(film(0.0, 0.2)) - resistance(film(0.0, 0.0));
        assert!(
            (more - 0.192 / snow::conductivity(250.0)).abs() < 0.02,
            "{more}"
        );
        assert!((film(90.0, 0.2).h / film(90.0, 0.0).h - 1.0).abs() < 0.1);
    }

    /// Catches a missing reading that turns into a plausible film.
    #[test]
    fn not_a_number_stays_so() {
        let site = SiteExposure::new(Shelter::Open, false).unwrap();
        let lid = face(0.0, Exposure::Open);
        let day = Hour {
            ghi: 300.0,
            dni: 500.0,
            dhi: 90.0,
            sun_elevation_deg: 25.0,
            ..NIGHT
        };
        let nan = f64::NAN;
        for hour in [
            Hour {
                outdoor_c: nan,
                ..day
            },
            Hour { wind: nan, ..day },
            Hour {
                sky_longwave: nan,
                ..day
            },
            Hour { dni: nan, ..day },
            Hour { dhi: nan, ..day },
            Hour { ghi: nan, ..day },
            Hour {
                snow_depth: nan,
                ..day
            },
            Hour {
                sun_elevation_deg: nan,
                ..day
            },
        ] {
            let film = face_film(&hour, &lid, &site);
            assert!(film.h.is_nan() || film.t.is_nan(), "{hour:?}: {film:?}");
        }
    }
}
