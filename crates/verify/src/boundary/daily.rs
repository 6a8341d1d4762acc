//! Daily data: FAO-56 and the daily curve of temperature.

use crate::{Check, Evidence, Origin};
use partywall_core::climate::parton_logan::{self, AIR_150_CM};
use partywall_core::climate::{moist_air, solar};

pub(super) fn daily_data() -> Vec<Check> {
    let fao: fn(&'static str) -> Origin = |example| (example, Evidence::Published);
    let day = parton_logan::Day {
        tmin_c: -8.0,
        tmax_c: 2.0,
        sunrise_h: 7.5,
        sunset_h: 16.5,
    };
    let parton: Origin = (
        "Parton & Logan 1981 (equations from memory), evaluated independently",
        Evidence::Computed,
    );
    let ra = |lat: f64, doy: u16| solar::extraterrestrial_daily(lat, doy) / 1e6;
    let daylight = solar::daylight_h(-22.9, 135);
    let rs = solar::angstrom_global(
        solar::extraterrestrial_daily(-22.9, 135),
        220.0 / 31.0,
        daylight,
    ) / 1e6;
    let lyon = solar::hargreaves_global(
        solar::extraterrestrial_daily(45.72, 196),
        14.8,
        26.6,
        solar::HARGREAVES_INLAND,
        200.0,
    ) / 1e6;
    vec![
        Check::new(
            "fao56-ra",
            "extraterrestrial radiation, 20 S, J 246",
            (32.2, ra(-20.0, 246), 0.05),
            "MJ/m2d",
            fao("FAO-56 example 8"),
        ),
        Check::new(
            "fao56-daylight",
            "daylight, 22.9 S, J 135",
            (10.9, daylight, 0.05),
            "h",
            fao("FAO-56 example 10"),
        ),
        Check::new(
            "fao56-rs",
            "global from sunshine, 22.9 S, J 135",
            (14.5, rs, 0.05),
            "MJ/m2d",
            fao("FAO-56 example 10"),
        ),
        Check::new(
            "fao56-hargreaves",
            "global from temperatures, Lyon, July",
            (22.3, lyon, 0.05),
            "MJ/m2d",
            fao("FAO-56 example 15"),
        ),
        Check::new(
            "fao56-e-24",
            "saturation pressure at 24.5 degC",
            (3.075, moist_air::saturation_fao(24.5) / 1e3, 1e-3),
            "kPa",
            fao("FAO-56 example 3"),
        ),
        Check::new(
            "fao56-e-15",
            "saturation pressure at 15 degC",
            (1.705, moist_air::saturation_fao(15.0) / 1e3, 1e-3),
            "kPa",
            fao("FAO-56 example 3"),
        ),
        Check::new(
            "parton-logan-noon",
            "air at 12 h",
            (
                1.141,
                parton_logan::published(12.0, &day, &AIR_150_CM),
                0.005,
            ),
            "degC",
            parton,
        ),
        Check::new(
            "parton-logan-evening",
            "air at 20 h",
            (
                -3.399,
                parton_logan::published(20.0, &day, &AIR_150_CM),
                0.005,
            ),
            "degC",
            parton,
        ),
    ]
}
