//! Films and airspaces.

use crate::{Check, Evidence, Origin};
use partywall_core::boundary::cavity;
use partywall_core::boundary::film::{self, HeatFlow};

pub(super) fn films() -> Vec<Check> {
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
            Check::new(id, what, (expected, got, tol), unit, origin)
        })
        .collect()
}

pub(super) fn airspaces() -> Vec<Check> {
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
        Check::new(
            "iso6946-airspace-10",
            "airspace 10 mm, downwards",
            (0.15, down(0.010), 0.005),
            "m2K/W",
            printed,
        ),
        Check::new(
            "iso6946-airspace-25",
            "airspace 25 mm, downwards",
            (0.19, down(0.025), 0.005),
            "m2K/W",
            printed,
        ),
        Check::new(
            "iso6946-airspace-50",
            "airspace 50 mm, downwards",
            (0.21, down(0.050), 0.005),
            "m2K/W",
            printed,
        ),
        Check::new(
            "iso6946-airspace-10-sharp",
            "the same to the third digit",
            (0.150, down(0.010), 1e-3),
            "m2K/W",
            computed,
        ),
        Check::new(
            "iso6946-airspace-25-sharp",
            "the same to the third digit",
            (0.193, down(0.025), 1e-3),
            "m2K/W",
            computed,
        ),
        Check::new(
            "iso6946-airspace-50-sharp",
            "the same to the third digit",
            (0.214, down(0.050), 1e-3),
            "m2K/W",
            computed,
        ),
        Check::new(
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
        Check::new(
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
