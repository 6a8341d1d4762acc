//! Properties that must hold over the whole plausible range of weather.

use proptest::prelude::*;

use super::cavity;
use super::film::HeatFlow;
use super::ventilation::{VentOpening, VentParams, exchange};
use super::{Exposure, Face, HourSky, PreparedFace, SiteExposure};
use crate::climate::series::Hour;
use crate::climate::sky::{black_body, sky_longwave};
use crate::stand::Shelter;

prop_compose! {
    fn any_hour()(
        outdoor_c in -60.0..45.0_f64,
        spread in 0.0..30.0_f64,
        wind in 0.0..40.0_f64,
        ghi in 0.0..1400.0_f64,
        diffuse_share in 0.0..1.0_f64,
        dni in 0.0..1361.0_f64,
        cover in 0.0..1.0_f64,
        snow_depth in prop_oneof![Just(0.0), 0.0..2.0_f64],
        elevation in -90.0..90.0_f64,
        azimuth in 0.0..360.0_f64,
    ) -> Hour {
        Hour {
            outdoor_c,
            dewpoint_c: outdoor_c - spread,
            wind,
            ghi,
            dni,
            dhi: ghi * diffuse_share,
            sky_longwave: sky_longwave(outdoor_c, outdoor_c - spread, cover),
            snow_depth,
            sun_elevation_deg: elevation,
            sun_azimuth_deg: azimuth,
        }
    }
}

prop_compose! {
    fn any_face()(
        azimuth_deg in 0.0..360.0_f64,
        tilt_deg in 0.0..=180.0_f64,
        absorptance in 0.0..=1.0_f64,
        emissivity in 0.0..=1.0_f64,
        exposure in prop_oneof![Just(Exposure::Open), Just(Exposure::Shaded), Just(Exposure::Underside)],
        z in 0.0..2.5_f64,
    ) -> Face {
        Face { azimuth_deg, tilt_deg, absorptance, emissivity, exposure, z }
    }
}

fn any_site() -> impl Strategy<Value = SiteExposure> {
    (
        prop_oneof![
            Just(Shelter::Open),
            Just(Shelter::Partly),
            Just(Shelter::Sheltered)
        ],
        any::<bool>(),
    )
        .prop_map(|(shelter, snow)| SiteExposure::new(shelter, snow).unwrap())
}

proptest! {
    /// Catches NaN, a coefficient of nothing, a face colder than everything it sees, and negative sun.
    #[test]
    fn films_are_finite_and_bounded(hour in any_hour(), face in any_face(), site in any_site()) {
        let sky = HourSky::new(&hour, &site);
        let face = PreparedFace::new(face);
        let film = sky.film(&face);
        prop_assert!(film.h.is_finite() && film.h > 0.0 && film.h < 250.0, "{film:?}");
        let coldest = sky.sky.min(hour.outdoor_c).min(0.0);
        prop_assert!(film.t.is_finite() && film.t >= coldest - 1e-9, "{film:?}");
        let sun = sky.sun_on(&face);
        prop_assert!(sun.beam >= 0.0 && sun.sky >= 0.0 && sun.ground >= 0.0, "{sun:?}");
    }

    /// Catches a sign error: more wind, more coefficient; warmer air, warmer film; a darker face, a warmer film.
    #[test]
    fn films_are_monotone(hour in any_hour(), face in any_face(), site in any_site(), more in 0.1..5.0_f64) {
        let hour = Hour { snow_depth: 0.0, ..hour };
        let face = Face { absorptance: 0.5 * face.absorptance, ..face };
        let film = |h: &Hour, f: &Face| HourSky::new(h, &site).film(&PreparedFace::new(*f));
        let base = film(&hour, &face);
        let windy = Hour { wind: hour.wind + more, ..hour };
        prop_assert!(film(&windy, &face).h > base.h);
        let black = black_body(hour.outdoor_c + more) - black_body(hour.outdoor_c);
        let warm = Hour { outdoor_c: hour.outdoor_c + more, sky_longwave: hour.sky_longwave + black, ..hour };
        prop_assert!(film(&warm, &face).t > base.t);
        let dark = Face { absorptance: face.absorptance + 0.5, ..face };
        prop_assert!(film(&hour, &dark).t >= base.t);
    }

    /// Catches deeper snow that lets more heat out, and sun felt through it.
    #[test]
    fn deeper_snow_covers_better(hour in any_hour(), face in any_face(), site in any_site(), more in 0.01..1.0_f64) {
        let under = Hour { snow_depth: face.z + 0.05, ..hour };
        let deeper = Hour { snow_depth: face.z + 0.05 + more, ..hour };
        let prepared = PreparedFace::new(face);
        let a = HourSky::new(&under, &site).film(&prepared);
        let b = HourSky::new(&deeper, &site).film(&prepared);
        prop_assert!(b.h < a.h && a.t <= 0.0 && b.t <= 0.0);
        prop_assert_eq!(HourSky::new(&under, &site).sun_on(&prepared).total(), 0.0);
    }

    /// Catches a flow that falls with a larger opening or a larger difference, or is not a number.
    #[test]
    fn exchange_is_finite_and_monotone(
        t_in in -60.0..45.0_f64,
        t_out in -60.0..45.0_f64,
        wind in 0.0..40.0_f64,
        parts in prop::collection::vec((0.0..0.05_f64, 0.0..0.1_f64, 0.0..1.0_f64, -1.0..1.0_f64), 1..6),
    ) {
        let params = VentParams::shipped().unwrap();
        let openings: Vec<VentOpening> = parts
            .iter()
            .map(|&(area, height, z, wind_pressure)| VentOpening { area, height, z, wind_pressure })
            .collect();
        let flow = exchange(&openings, t_in, t_out, wind, &params).mass_flow;
        prop_assert!(flow.is_finite() && flow >= 0.0);
        let wider: Vec<VentOpening> =
            openings.iter().map(|o| VentOpening { area: 1.5 * o.area, ..*o }).collect();
        let more = exchange(&wider, t_in, t_out, wind, &params).mass_flow;
        prop_assert!((more - 1.5 * flow).abs() <= 1e-6 * more + 1e-15, "{flow} {more}");
        let calm = exchange(&openings, t_in, t_out, 0.0, &params).mass_flow;
        let apart = exchange(&openings, t_in + (t_in - t_out).signum(), t_out, 0.0, &params).mass_flow;
        prop_assert!(apart >= calm * (1.0 - 1e-6), "{calm} {apart}");
    }

    /// Catches a gap that loses more when it is wider than conduction alone allows, or is not a number.
    #[test]
    fn airspaces_are_finite(d in 0.0..0.3_f64, dt in 0.0..60.0_f64, e in 0.0..1.0_f64, t in -60.0..45.0_f64) {
        for flow in [HeatFlow::Upwards, HeatFlow::Horizontal, HeatFlow::Downwards] {
            let r = cavity::resistance(d, dt, flow, e, 0.9, t);
            prop_assert!(r.is_finite() && r > 0.0);
            prop_assert!(cavity::resistance(d, dt, flow, 0.5 * e, 0.9, t) >= r);
        }
    }
}
