//! Wood and moist air.

use crate::{Check, Evidence, Origin};
use partywall_core::boundary::condensation;
use partywall_core::climate::moist_air;
use partywall_core::hive::wood;

pub(super) fn wood_and_moist_air() -> Vec<Check> {
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
        Check::new(
            "wood-conductivity",
            "wood G 0.37 at 12 %",
            (0.1085, wood::conductivity(0.37, 12.0), 1e-4),
            "W/mK",
            handbook,
        ),
        Check::new(
            "wood-specific-heat",
            "wood at 12 %, 340 K",
            (1910.0, wood::specific_heat(12.0, 340.0), 5.0),
            "J/kgK",
            table,
        ),
    ];
    for (id, t, p, origin) in [
        ("ashrae-psat-m20", -20.0, 103.26, ashrae_table),
        ("ashrae-psat-0", 0.0, 611.15, ashrae_table),
        ("ashrae-psat-10", 10.0, 1227.99, ashrae),
        ("ashrae-psat-20", 20.0, 2338.80, ashrae),
        ("ashrae-psat-35", 35.0, 5627.82, ashrae),
    ] {
        let got = moist_air::saturation_ashrae(t);
        all.push(Check::new(
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
        all.push(Check::new(
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
        Check::new(
            "dew-point",
            "dew point of 20 degC, 50 %",
            (9.27, moist_air::dew_point_from_rh(20.0, 0.5), 0.01),
            "degC",
            iso,
        ),
        Check::new(
            "humidity-ratio",
            "humidity ratio of 20 degC, 50 %",
            (7.2617e-3, w, 7.3e-6),
            "kg/kg",
            ashrae,
        ),
        Check::new(
            "enthalpy",
            "enthalpy of 20 degC, 50 %",
            (38_550.0, moist_air::enthalpy(20.0, w), 38.6),
            "J/kg",
            ashrae,
        ),
        Check::new(
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
