//! Openings: the general exchange against the closed forms of the handbooks.

use partywall::boundary::air;
use partywall::boundary::ventilation::{
    VentOpening, VentParams, exchange, orifice_flow, series_area, stack_pressure, wind_pressure,
};

/// The handbooks' coefficients, without the caution for narrow slots and without gusts.
fn plain() -> VentParams {
    VentParams {
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

/// Flow by brute force: each opening cut into 2000 slices, the inside pressure found by plain halving.
fn brute_force(openings: &[VentOpening], t_in: f64, t_out: f64, wind: f64, discharge: f64) -> f64 {
    let p = air::STANDARD_PRESSURE;
    let (rho_in, rho_out) = (air::density(t_in, p), air::density(t_out, p));
    let flows = |p0: f64| {
        let (mut enters, mut leaves) = (0.0, 0.0);
        for o in openings {
            for i in 0..2000 {
                let z = o.z + o.height * ((f64::from(i) + 0.5) / 2000.0 - 0.5);
                let dp = p0 + stack_pressure(t_in, t_out, z, p)
                    - wind_pressure(o.wind_pressure, wind, t_out, p);
                let area = o.area / 2000.0;
                if dp > 0.0 {
                    leaves += rho_in * orifice_flow(discharge, area, dp, rho_in);
                } else {
                    enters += rho_out * orifice_flow(discharge, area, -dp, rho_out);
                }
            }
        }
        (enters, leaves)
    };
    let (mut low, mut high) = (-2000.0, 2000.0);
    for _ in 0..80 {
        let middle = 0.5 * (low + high);
        let (enters, leaves) = flows(middle);
        if enters > leaves {
            low = middle
        } else {
            high = middle
        }
    }
    let (enters, leaves) = flows(0.5 * (low + high));
    0.5 * (enters + leaves)
}

/// Catches a pressure search that stops short, and a wrong integral over an opening's height: three to five openings,
/// some two-way, in strong and weak wind, warm and cold inside.
#[test]
fn many_openings_by_brute_force() {
    let opening = |area, height, z, wind_pressure| VentOpening {
        area,
        height,
        z,
        wind_pressure,
    };
    let sets = [
        vec![
            opening(2e-3, 0.02, 0.02, 0.1),
            opening(3e-4, 0.02, 0.55, -0.3),
            opening(5e-4, 0.0, 0.6, -0.6),
        ],
        vec![
            opening(1e-2, 0.10, 0.05, 0.0),
            opening(1e-6, 0.01, 0.9, 0.0),
            opening(2e-4, 0.02, 0.3, 0.0),
        ],
        vec![
            opening(0.09, 0.0, 0.0, -0.1),
            opening(4e-4, 0.02, 0.1, 0.6),
            opening(4e-4, 0.02, 0.1, -0.3),
            opening(3e-4, 0.02, 0.4, 0.6),
            opening(1e-4, 0.05, 0.7, -0.6),
        ],
    ];
    for openings in &sets {
        for (t_in, t_out) in [(5.0, -20.0), (0.0, -0.01), (-3.0, 8.0)] {
            for wind in [0.0, 0.05, 1.0, 30.0] {
                let wanted = brute_force(openings, t_in, t_out, wind, 0.65);
                let got = exchange(openings, t_in, t_out, wind, &plain()).mass_flow;
                assert!(
                    (got - wanted).abs() <= 2e-3 * wanted,
                    "{t_in} {t_out} {wind}: {got}, by brute force {wanted}"
                );
            }
        }
    }
}
