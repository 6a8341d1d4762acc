//! Air through openings.

use crate::{Check, Evidence, Origin};
use partywall_core::boundary::air;
use partywall_core::boundary::ventilation::{self, VentOpening, VentParams, exchange};

pub(super) fn openings() -> Vec<Check> {
    let formula: Origin = (
        "orifice and stack equations, ASHRAE Fundamentals ch. 16, evaluated independently",
        Evidence::Computed,
    );
    let params = VentParams {
        discharge: 0.65,
        slot_factor: 1.0,
        crack_width: 0.0,
        two_way: 0.40,
        two_way_slope: 0.0045,
        pulsation: 0.0,
        carbon_dioxide: 0.02,
        fan_over: 34.5,
        fan_most: 0.0012,
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
        Check::new(
            "stack-flow",
            "two openings of 15 cm2, 0.5 m apart, 10 / -10 degC",
            (7.5545e-4, two.mass_flow, 7.6e-7),
            "kg/s",
            formula,
        ),
        Check::new(
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
        Check::new(
            "stack-neutral",
            "neutral level of the two openings over their distance",
            (0.4817, two.neutral_z.unwrap_or(f64::NAN) / 0.5, 1e-3),
            "-",
            formula,
        ),
        Check::new(
            "series-area",
            "15 and 3 cm2 in series",
            (2.94174, 1e4 * ventilation::series_area(15e-4, 3e-4), 1e-4),
            "cm2",
            formula,
        ),
        Check::new(
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
        Check::new(
            "slot-general",
            "the same slot by the general exchange, two densities",
            (0.039147, 1e3 * one.mass_flow / rho, 2e-4),
            "L/s",
            (
                "Brown & Solvason 1962, evaluated independently",
                Evidence::Computed,
            ),
        ),
        Check::new(
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
