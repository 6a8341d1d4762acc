//! Openings: the general exchange against the closed forms of the handbooks.

use partywall::boundary::air;
use partywall::boundary::ventilation::{
    VentOpening, VentParams, exchange, orifice_flow, series_area, stack_pressure, wind_pressure,
};

fn plain() -> VentParams {
    VentParams {
        slot_factor: 1.0,
        ..VentParams::shipped().unwrap()
    }
}

/// Catches stack and wind combined as flows: with both pressures the same way, the closed form has their sum.
#[test]
fn stack_and_wind_add_as_pressures() {
    let openings = [
        VentOpening {
            area: 15e-4,
            height: 0.0,
            z: 0.0,
            wind_pressure: 0.6,
        },
        VentOpening {
            area: 5e-4,
            height: 0.0,
            z: 0.4,
            wind_pressure: -0.3,
        },
    ];
    let (t_in, t_out, wind) = (8.0, -15.0, 1.5);
    let p = air::STANDARD_PRESSURE;
    let drive = stack_pressure(t_in, t_out, 0.4, p) + wind_pressure(0.9, wind, t_out, p);
    let (rho_in, rho_out) = (air::density(t_in, p), air::density(t_out, p));
    // Mass through orifices in series: m = CD sqrt(2 dp)/sqrt(1/(rho_out A1^2) + 1/(rho_in A2^2)).
    let resistance = 1.0 / (rho_out * 15e-4_f64.powi(2)) + 1.0 / (rho_in * 5e-4_f64.powi(2));
    let closed = 0.65 * (2.0 * drive / resistance).sqrt();
    let got = exchange(&openings, t_in, t_out, wind, &plain()).mass_flow;
    assert!((got / closed - 1.0).abs() < 1e-6, "{got} {closed}");
    // And with one density it is the handbook's effective area, within the densities' spread.
    let handbook = orifice_flow(0.65, series_area(15e-4, 5e-4), drive, rho_in) * rho_in;
    assert!((got / handbook - 1.0).abs() < 0.01, "{got} {handbook}");
}

/// Catches a wrong exponent: flow through a tall slot grows with the height to the power 3/2 at constant width.
#[test]
fn tall_slots_breathe_by_the_three_halves_power() {
    let flow = |h: f64| {
        let slot = VentOpening {
            area: 0.1 * h,
            height: h,
            z: 0.0,
            wind_pressure: 0.0,
        };
        exchange(&[slot], 5.0, -5.0, 0.0, &plain()).mass_flow
    };
    assert!((flow(0.04) / flow(0.02) - 2.0_f64.powf(1.5)).abs() < 1e-6);
}

/// Catches openings whose height is forgotten when there are several: a second, far and tiny one changes a tall slot's
/// two-way flow only through the discharge coefficient of one-way flow.
#[test]
fn a_tall_slot_stays_two_way_beside_a_pinhole() {
    let slot = VentOpening {
        area: 0.004,
        height: 0.04,
        z: 0.0,
        wind_pressure: 0.0,
    };
    let pin = VentOpening {
        area: 1e-9,
        height: 0.0,
        z: 0.5,
        wind_pressure: 0.0,
    };
    let alone = exchange(&[slot], 5.0, -5.0, 0.0, &plain()).mass_flow;
    let both = exchange(&[slot, pin], 5.0, -5.0, 0.0, &plain()).mass_flow;
    let discharge_alone = 0.40 + 0.0045 * 10.0;
    assert!(
        (both / alone * discharge_alone / 0.65 - 1.0).abs() < 1e-4,
        "{alone} {both}"
    );
}

/// Catches an exchange that only works with a warm inside: with the temperatures swapped the dense air passes the lower
/// hole the other way, so flow and neutral level stay.
#[test]
fn swapped_temperatures_reverse_the_flow_only() {
    let openings = [
        VentOpening {
            area: 15e-4,
            height: 0.0,
            z: 0.0,
            wind_pressure: 0.0,
        },
        VentOpening {
            area: 15e-4,
            height: 0.0,
            z: 0.5,
            wind_pressure: 0.0,
        },
    ];
    let a = exchange(&openings, 10.0, -10.0, 0.0, &plain());
    let b = exchange(&openings, -10.0, 10.0, 0.0, &plain());
    assert!((a.mass_flow / b.mass_flow - 1.0).abs() < 1e-9);
    assert!((a.neutral_z.unwrap() - b.neutral_z.unwrap()).abs() < 1e-9);
}
