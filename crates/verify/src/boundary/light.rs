//! Sun, faces and sky.

use crate::{Check, Evidence, Origin};
use jiff::civil::date;
use partywall_core::boundary::transposition::{Outlook, SkyState, face_sun, hay_davies};
use partywall_core::climate::{sky, solar};

pub(super) fn sun() -> Vec<Check> {
    let spa: Origin = (
        "Reda & Andreas, solar position algorithm report, worked example",
        Evidence::Published,
    );
    let reference: Origin = (
        "reference solar position algorithm, run independently",
        Evidence::Computed,
    );
    let at = solar::julian_day(date(2003, 10, 17), 19.0 + 30.5 / 60.0);
    let seen = solar::sun_position(at, 39.742_476, -105.1786);
    let refracted = seen.elevation_deg + solar::refraction_deg(seen.elevation_deg, 82_000.0, 11.0);
    let mut all = vec![
        Check::new(
            "sun-zenith",
            "refracted zenith, 2003-10-17",
            (50.11162, 90.0 - refracted, 0.01),
            "deg",
            spa,
        ),
        Check::new(
            "sun-azimuth",
            "azimuth, 2003-10-17",
            (194.34024, seen.azimuth_deg, 0.01),
            "deg",
            spa,
        ),
    ];
    for (elevation_id, azimuth_id, day, hour, lat, lon, elevation, azimuth) in [
        (
            "sun-elevation-45n",
            "sun-azimuth-45n",
            date(2024, 12, 21),
            12.0,
            45.0,
            0.0,
            21.5582,
            180.4214,
        ),
        (
            "sun-elevation-60n",
            "sun-azimuth-60n",
            date(2024, 1, 15),
            10.0,
            60.0,
            25.0,
            8.6000,
            173.1180,
        ),
        (
            "sun-elevation-50n",
            "sun-azimuth-50n",
            date(2024, 2, 1),
            8.5,
            50.0,
            8.0,
            10.6795,
            133.8747,
        ),
        (
            "sun-elevation-44n",
            "sun-azimuth-44n",
            date(2024, 3, 20),
            15.0,
            44.0,
            -79.0,
            35.8484,
            133.7811,
        ),
    ] {
        let s = solar::sun_position(solar::julian_day(day, hour), lat, lon);
        let what = format!("{lat} N {lon} E, {day}");
        all.push(Check::new(
            elevation_id,
            format!("elevation, {what}"),
            (elevation, s.elevation_deg, 0.02),
            "deg",
            reference,
        ));
        all.push(Check::new(
            azimuth_id,
            format!("azimuth, {what}"),
            (azimuth, s.azimuth_deg, 0.02),
            "deg",
            reference,
        ));
    }
    all
}

pub(super) fn faces_and_sky() -> Vec<Check> {
    let hd: Origin = (
        "Hay & Davies 1980, evaluated independently",
        Evidence::Computed,
    );
    let erbs: Origin = (
        "Erbs, Klein & Duffie 1982, evaluated independently",
        Evidence::Computed,
    );
    let bm: Origin = (
        "Berdahl & Martin 1984, evaluated independently",
        Evidence::Computed,
    );
    let state = SkyState::new(25.0, 200.0, 600.0, 80.0, 333.571, 0.2, 1.0);
    let south = Outlook::new(180.0, 90.0);
    let total = face_sun(&state, &south).total();
    let emissivity = sky::emissivity_berdahl_martin(-3.0, None);
    let mut all = vec![
        Check::new(
            "hay-davies",
            "diffuse on a vertical south face",
            (93.4376, hay_davies(&state, &south), 1e-3),
            "W/m2",
            hd,
        ),
        // 510.990 beam + 93.4376 sky + 33.357 ground.
        Check::new(
            "face-sun",
            "all sun on that face",
            (637.785, total, 1e-3),
            "W/m2",
            hd,
        ),
        Check::new(
            "sky-clark-allen",
            "clear sky, air 293 K, dew point 283 K",
            (
                340.6,
                sky::sky_longwave(293.0 - 273.15, 283.0 - 273.15, 0.0),
                0.5,
            ),
            "W/m2",
            (
                "Clark & Allen 1978 / Walton 1983, printed example of an engineering reference",
                Evidence::Published,
            ),
        ),
        Check::new(
            "sky-berdahl-martin",
            "clear-sky emissivity, dew point -3 degC",
            (0.69486, emissivity, 1e-4),
            "-",
            bm,
        ),
        Check::new(
            "sky-berdahl-martin-temperature",
            "sky temperature, air 0, dew point -3 degC",
            (
                -23.76,
                sky::sky_temperature(emissivity * sky::black_body(0.0)),
                0.01,
            ),
            "degC",
            bm,
        ),
    ];
    for (id, kt, share) in [
        ("erbs-3", 0.3, 0.9486),
        ("erbs-5", 0.5, 0.6591),
        ("erbs-7", 0.7, 0.2440),
    ] {
        all.push(Check::new(
            id,
            format!("diffuse share at clearness {kt}"),
            (share, solar::erbs(kt), 1e-4),
            "-",
            erbs,
        ));
    }
    all
}
