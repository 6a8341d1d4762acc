//! Outside checks of films, airspaces, wood, moist air, ventilation, sun, sky and daily data.

use super::{Check, Evidence};
use crate::boundary::film::{self, HeatFlow};
use crate::boundary::transposition::{Outlook, SkyState, face_sun, hay_davies};
use crate::boundary::ventilation::{self, VentOpening, VentParams, exchange};
use crate::boundary::{air, cavity, condensation};
use crate::climate::parton_logan::{self, AIR_150_CM};
use crate::climate::{moist_air, sky, solar};
use crate::hive::wood;
use jiff::civil::date;

/// Where an expected value comes from and what kind of evidence that is.
type Origin = (&'static str, Evidence);

/// One check from its parts; `numbers` are expected, got, tolerance.
fn check(
    id: &'static str,
    what: impl Into<String>,
    numbers: (f64, f64, f64),
    unit: &'static str,
    origin: Origin,
) -> Check {
    let (expected, got, tolerance) = numbers;
    let (source, evidence) = origin;
    Check {
        id,
        what: what.into(),
        expected,
        got,
        tolerance,
        unit,
        source,
        evidence,
    }
}

/// All checks of this room.
#[must_use]
pub fn checks() -> Vec<Check> {
    let mut all = films();
    all.extend(airspaces());
    all.extend(wood_and_moist_air());
    all.extend(openings());
    all.extend(sun());
    all.extend(faces_and_sky());
    all.extend(daily_data());
    all
}

fn films() -> Vec<Check> {
    let iso: Origin = ("ISO 6946:2017 table 7 from annex C", Evidence::Published);
    let formula: Origin = (
        "ISO 6946:2017 annex C, evaluated independently",
        Evidence::Computed,
    );
    let inside = film::inside_resistance;
    let rows: [(&'static str, &str, f64, f64, f64, Origin, &'static str); 6] = [
        (
            "iso6946-rsi-up",
            "inside resistance, upwards",
            0.10,
            inside(HeatFlow::Upwards),
            0.005,
            iso,
            "m2K/W",
        ),
        (
            "iso6946-rsi-horizontal",
            "inside resistance, horizontal",
            0.13,
            inside(HeatFlow::Horizontal),
            0.005,
            iso,
            "m2K/W",
        ),
        (
            "iso6946-rsi-down",
            "inside resistance, downwards",
            0.17,
            inside(HeatFlow::Downwards),
            0.005,
            iso,
            "m2K/W",
        ),
        (
            "iso6946-rse",
            "outside resistance at 4 m/s, 10 degC",
            0.04,
            film::outside_resistance(4.0, 10.0),
            0.005,
            iso,
            "m2K/W",
        ),
        (
            "iso6946-hr0-0",
            "black radiative coefficient at 0 degC",
            4.622,
            film::radiative_black(0.0),
            2e-3,
            formula,
            "W/m2K",
        ),
        (
            "iso6946-hr0-10",
            "black radiative coefficient at 10 degC",
            5.149,
            film::radiative_black(10.0),
            2e-3,
            formula,
            "W/m2K",
        ),
    ];
    rows.into_iter()
        .map(|(id, what, expected, got, tol, origin, unit)| {
            check(id, what, (expected, got, tol), unit, origin)
        })
        .collect()
}

fn airspaces() -> Vec<Check> {
    let printed: Origin = (
        "ISO 6946:2017 table of airspace resistances",
        Evidence::Published,
    );
    let computed: Origin = (
        "ISO 6946:2017 annex D with hr0 5.1, evaluated independently",
        Evidence::Computed,
    );
    // The printed table rests on hr0 rounded to 5.1 W/m2K.
    let down =
        |d: f64| 1.0 / (cavity::convective(d, 5.0, HeatFlow::Downwards) + 5.1 / (2.0 / 0.9 - 1.0));
    vec![
        check(
            "iso6946-airspace-10",
            "airspace 10 mm, downwards",
            (0.15, down(0.010), 0.005),
            "m2K/W",
            printed,
        ),
        check(
            "iso6946-airspace-25",
            "airspace 25 mm, downwards",
            (0.19, down(0.025), 0.005),
            "m2K/W",
            printed,
        ),
        check(
            "iso6946-airspace-50",
            "airspace 50 mm, downwards",
            (0.21, down(0.050), 0.005),
            "m2K/W",
            printed,
        ),
        check(
            "iso6946-airspace-10-sharp",
            "the same to the third digit",
            (0.150, down(0.010), 1e-3),
            "m2K/W",
            computed,
        ),
        check(
            "iso6946-airspace-25-sharp",
            "the same to the third digit",
            (0.193, down(0.025), 1e-3),
            "m2K/W",
            computed,
        ),
        check(
            "iso6946-airspace-50-sharp",
            "the same to the third digit",
            (0.214, down(0.050), 1e-3),
            "m2K/W",
            computed,
        ),
        check(
            "iso6946-airspace-warm",
            "convection across 25 mm, horizontal, 10 K",
            (
                1.5727,
                cavity::convective(0.025, 10.0, HeatFlow::Horizontal),
                1e-3,
            ),
            "W/m2K",
            computed,
        ),
        check(
            "iso6946-small-void",
            "void of 20 x 20 mm, emissivity 0.9, hr0 5.1 (9.09 degC)",
            (
                0.2290,
                cavity::small_void_resistance(
                    0.02,
                    0.02,
                    3.0,
                    HeatFlow::Horizontal,
                    0.9,
                    0.9,
                    9.09,
                ),
                1e-4,
            ),
            "m2K/W",
            computed,
        ),
    ]
}

fn wood_and_moist_air() -> Vec<Check> {
    let handbook: Origin = (
        "USDA Wood Handbook eq. 4-15, evaluated independently",
        Evidence::Computed,
    );
    let table: Origin = (
        "USDA Wood Handbook, printed value at 12 % and 340 K",
        Evidence::Published,
    );
    let ashrae: Origin = (
        "Hyland & Wexler in ASHRAE Fundamentals ch. 1, evaluated independently",
        Evidence::Computed,
    );
    let ashrae_table: Origin = (
        "ASHRAE Fundamentals ch. 1, table of saturated air",
        Evidence::Published,
    );
    let iso: Origin = (
        "ISO 13788 annex E, evaluated independently",
        Evidence::Computed,
    );
    let mut all = vec![
        check(
            "wood-conductivity",
            "wood G 0.37 at 12 %",
            (0.1085, wood::conductivity(0.37, 12.0), 1e-4),
            "W/mK",
            handbook,
        ),
        check(
            "wood-specific-heat",
            "wood at 12 %, 340 K",
            (1910.0, wood::specific_heat(12.0, 340.0), 5.0),
            "J/kgK",
            table,
        ),
    ];
    for (id, t, p, origin) in [
        ("ashrae-psat-m20", -20.0, 103.26, ashrae_table),
        ("ashrae-psat-10", 10.0, 1227.99, ashrae),
        ("ashrae-psat-20", 20.0, 2338.80, ashrae),
        ("ashrae-psat-35", 35.0, 5627.82, ashrae),
    ] {
        let got = moist_air::saturation_ashrae(t);
        all.push(check(
            id,
            format!("saturation pressure at {t} degC"),
            (p, got, 2e-4 * p),
            "Pa",
            origin,
        ));
    }
    for (id, t, p) in [
        ("iso13788-psat-m10", -10.0, 259.33),
        ("iso13788-psat-0", 0.0, 610.5),
        ("iso13788-psat-20", 20.0, 2336.95),
    ] {
        let got = moist_air::saturation_iso(t);
        all.push(check(
            id,
            format!("saturation pressure at {t} degC"),
            (p, got, 0.01),
            "Pa",
            iso,
        ));
    }
    let w = moist_air::humidity_ratio(0.5 * moist_air::saturation_ashrae(20.0), 101_325.0);
    let dew =
        condensation::dew_rate(0.75 * moist_air::saturation_iso(10.0), 10.0, 0.0, 2.5) * 3.6e6;
    all.extend([
        check(
            "dew-point",
            "dew point of 20 degC, 50 %",
            (9.27, moist_air::dew_point_from_rh(20.0, 0.5), 0.01),
            "degC",
            iso,
        ),
        check(
            "humidity-ratio",
            "humidity ratio of 20 degC, 50 %",
            (7.2617e-3, w, 7.3e-6),
            "kg/kg",
            ashrae,
        ),
        check(
            "enthalpy",
            "enthalpy of 20 degC, 50 %",
            (38_550.0, moist_air::enthalpy(20.0, w), 38.6),
            "J/kg",
            ashrae,
        ),
        check(
            "dew-rate",
            "dew on a wall at 0 degC, air 10 degC 75 %, hc 2.5",
            (18.74, dew, 0.56),
            "g/m2h",
            (
                "Lewis relation with ISO 13788, evaluated independently",
                Evidence::Computed,
            ),
        ),
    ]);
    all
}

fn openings() -> Vec<Check> {
    let formula: Origin = (
        "orifice and stack equations, ASHRAE Fundamentals ch. 16, evaluated independently",
        Evidence::Computed,
    );
    let params = VentParams {
        discharge: 0.65,
        slot_factor: 1.0,
        two_way: 0.40,
        two_way_slope: 0.0045,
        pulsation: 0.0,
        pressure: air::STANDARD_PRESSURE,
    };
    let hole = |z: f64| VentOpening {
        area: 15e-4,
        height: 0.0,
        z,
        wind_pressure: 0.0,
    };
    let two = exchange(&[hole(0.0), hole(0.5)], 10.0, -10.0, 0.0, &params);
    let slot = VentOpening {
        area: 0.002,
        height: 0.02,
        z: 0.0,
        wind_pressure: 0.0,
    };
    let one = exchange(&[slot], 10.0, -10.0, 0.0, &params);
    let rho = air::density(0.0, air::STANDARD_PRESSURE);
    vec![
        check(
            "stack-flow",
            "two openings of 15 cm2, 0.5 m apart, 10 / -10 degC",
            (7.5545e-4, two.mass_flow, 7.6e-7),
            "kg/s",
            formula,
        ),
        check(
            "stack-pressure",
            "stack pressure over 0.5 m, 10 / -10 degC",
            (
                0.46457,
                ventilation::stack_pressure(10.0, -10.0, 0.5, air::STANDARD_PRESSURE),
                4.6e-4,
            ),
            "Pa",
            formula,
        ),
        check(
            "stack-neutral",
            "neutral level of the two openings over their distance",
            (0.4817, two.neutral_z.unwrap_or(f64::NAN) / 0.5, 1e-3),
            "-",
            formula,
        ),
        check(
            "series-area",
            "15 and 3 cm2 in series",
            (2.94174, 1e4 * ventilation::series_area(15e-4, 3e-4), 1e-4),
            "cm2",
            formula,
        ),
        check(
            "slot-two-way",
            "slot of 100 x 20 mm, 20 K at 273.15 K, each way",
            (
                0.039147,
                1e3 * ventilation::two_way_flow(0.49, 0.002, 0.02, 20.0, 273.15),
                3.9e-5,
            ),
            "L/s",
            (
                "Brown & Solvason 1962, evaluated independently",
                Evidence::Computed,
            ),
        ),
        check(
            "slot-general",
            "the same slot by the general exchange, two densities",
            (0.039147, 1e3 * one.mass_flow / rho, 2e-4),
            "L/s",
            (
                "Brown & Solvason 1962, evaluated independently",
                Evidence::Computed,
            ),
        ),
        check(
            "discharge-two-way",
            "discharge coefficient of a two-way opening at 20 K",
            (
                0.49,
                ventilation::two_way_discharge(10.0, -10.0, &params),
                1e-12,
            ),
            "-",
            ("ASHRAE Fundamentals ch. 16", Evidence::Published),
        ),
    ]
}

fn sun() -> Vec<Check> {
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
        check(
            "sun-zenith",
            "refracted zenith, 2003-10-17",
            (50.11162, 90.0 - refracted, 0.01),
            "deg",
            spa,
        ),
        check(
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
        all.push(check(
            elevation_id,
            format!("elevation, {what}"),
            (elevation, s.elevation_deg, 0.02),
            "deg",
            reference,
        ));
        all.push(check(
            azimuth_id,
            format!("azimuth, {what}"),
            (azimuth, s.azimuth_deg, 0.02),
            "deg",
            reference,
        ));
    }
    all
}

fn faces_and_sky() -> Vec<Check> {
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
        check(
            "hay-davies",
            "diffuse on a vertical south face",
            (93.4376, hay_davies(&state, &south), 1e-3),
            "W/m2",
            hd,
        ),
        // 510.990 beam + 93.4376 sky + 33.357 ground.
        check(
            "face-sun",
            "all sun on that face",
            (637.785, total, 1e-3),
            "W/m2",
            hd,
        ),
        check(
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
        check(
            "sky-berdahl-martin",
            "clear-sky emissivity, dew point -3 degC",
            (0.69486, emissivity, 1e-4),
            "-",
            bm,
        ),
        check(
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
        all.push(check(
            id,
            format!("diffuse share at clearness {kt}"),
            (share, solar::erbs(kt), 1e-4),
            "-",
            erbs,
        ));
    }
    all
}

fn daily_data() -> Vec<Check> {
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
        check(
            "fao56-ra",
            "extraterrestrial radiation, 20 S, J 246",
            (32.2, ra(-20.0, 246), 0.05),
            "MJ/m2d",
            fao("FAO-56 example 8"),
        ),
        check(
            "fao56-daylight",
            "daylight, 22.9 S, J 135",
            (10.9, daylight, 0.05),
            "h",
            fao("FAO-56 example 10"),
        ),
        check(
            "fao56-rs",
            "global from sunshine, 22.9 S, J 135",
            (14.5, rs, 0.05),
            "MJ/m2d",
            fao("FAO-56 example 10"),
        ),
        check(
            "fao56-hargreaves",
            "global from temperatures, Lyon, July",
            (22.3, lyon, 0.05),
            "MJ/m2d",
            fao("FAO-56 example 15"),
        ),
        check(
            "fao56-e-24",
            "saturation pressure at 24.5 degC",
            (3.075, moist_air::saturation_fao(24.5) / 1e3, 1e-3),
            "kPa",
            fao("FAO-56 example 3"),
        ),
        check(
            "fao56-e-15",
            "saturation pressure at 15 degC",
            (1.705, moist_air::saturation_fao(15.0) / 1e3, 1e-3),
            "kPa",
            fao("FAO-56 example 3"),
        ),
        check(
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
        check(
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
