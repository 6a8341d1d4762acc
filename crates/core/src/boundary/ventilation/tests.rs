use super::*;

fn plain() -> VentParams {
    VentParams {
        slot_factor: 1.0,
        pulsation: 0.0,
        ..VentParams::shipped().unwrap()
    }
}

fn hole(area: f64, z: f64, wind_pressure: f64) -> VentOpening {
    VentOpening {
        area,
        height: 0.0,
        z,
        wind_pressure,
    }
}

/// Catches a wrong series rule or density: 15 cm2 low and high, 0.5 m apart, 10 inside, -10 outside.
#[test]
fn two_openings() {
    let x = exchange(
        &[hole(15e-4, 0.0, 0.0), hole(15e-4, 0.5, 0.0)],
        10.0,
        -10.0,
        0.0,
        &plain(),
    );
    assert!((x.mass_flow / 7.5545e-4 - 1.0).abs() < 1e-3, "{x:?}");
    assert!((x.neutral_z.unwrap() / 0.5 - 0.4817).abs() < 1e-3, "{x:?}");
    assert!((x.conductance() * 20.0 - 15.2).abs() < 0.05);
    let x = exchange(
        &[hole(15e-4, 0.0, 0.0), hole(3e-4, 0.5, 0.0)],
        10.0,
        -10.0,
        0.0,
        &plain(),
    );
    // The handbook's single density (0 degC) gives 0.1621 L/s; the small hole passes warm air, so a little less.
    let rho = air::density(0.0, air::STANDARD_PRESSURE);
    let stack = stack_pressure(10.0, -10.0, 0.5, air::STANDARD_PRESSURE);
    let handbook = orifice_flow(0.65, series_area(15e-4, 3e-4), stack, rho);
    assert!((handbook / 0.1621e-3 - 1.0).abs() < 1e-3, "{handbook}");
    let ratio = x.mass_flow / (handbook * rho);
    assert!(ratio < 1.0 && ratio > 0.98, "{ratio}");
}

/// Catches wind that is squared twice or not at all: 3 m/s, difference of coefficients 0.9, equal temperatures.
#[test]
fn wind_alone() {
    let x = exchange(
        &[hole(15e-4, 0.0, 0.6), hole(15e-4, 0.0, -0.3)],
        0.0,
        0.0,
        3.0,
        &plain(),
    );
    let litres = x.mass_flow / air::density(0.0, air::STANDARD_PRESSURE) * 1000.0;
    assert!((litres / 1.962 - 1.0).abs() < 1e-3, "{litres}");
    assert_eq!(x.neutral_z, None);
}

/// Catches a two-way integral that is not Brown & Solvason's: they use one density, we two (0.5 %).
#[test]
fn one_slot_carries_both_ways() {
    let slot = VentOpening {
        area: 0.002,
        height: 0.02,
        z: 0.1,
        wind_pressure: 0.4,
    };
    let x = exchange(&[slot], 10.0, -10.0, 0.0, &plain());
    let q = two_way_flow(0.49, 0.002, 0.02, 20.0, 273.15);
    let rho = air::density(0.0, air::STANDARD_PRESSURE);
    assert!((x.mass_flow / (q * rho) - 1.0).abs() < 5e-3, "{x:?}");
    assert!((x.neutral_z.unwrap() - 0.1).abs() < 0.001);
    // A steady wind on the only opening raises the pressure inside and moves nothing; gusts do.
    let windy = exchange(&[slot], 10.0, -10.0, 5.0, &plain());
    assert!((windy.mass_flow / x.mass_flow - 1.0).abs() < 1e-6);
    let gusty = VentParams {
        pulsation: 0.001,
        ..plain()
    };
    assert!(exchange(&[slot], 10.0, -10.0, 5.0, &gusty).mass_flow > x.mass_flow);
    // However many openings there are: with a hole beside it in the same face gusts pass both.
    let two = [slot, hole(3e-4, 0.4, 0.4)];
    let calm = exchange(&two, 10.0, 10.0, 5.0, &plain()).mass_flow;
    let gusts = exchange(&two, 10.0, 10.0, 5.0, &gusty).mass_flow;
    let one = exchange(&[slot], 10.0, 10.0, 5.0, &gusty).mass_flow;
    assert!(calm < 1e-12 && gusts > one, "{calm} {gusts} {one}");
}

/// Catches stack and wind added as flows: with opposing pressures of equal size they cancel.
#[test]
fn wind_can_stop_the_stack() {
    let stack = stack_pressure(10.0, -10.0, 0.5, air::STANDARD_PRESSURE);
    let per_cp = wind_pressure(1.0, 2.0, -10.0, air::STANDARD_PRESSURE);
    let openings = [hole(15e-4, 0.0, 0.0), hole(15e-4, 0.5, stack / per_cp)];
    let x = exchange(&openings, 10.0, -10.0, 2.0, &plain());
    assert!(x.mass_flow < 1e-8, "{x:?}");
}

/// Catches a rule that treats openings by number: one opening cut in halves stays the same opening.
#[test]
fn cutting_an_opening_changes_nothing() {
    let whole = [
        hole(10e-4, 0.0, 0.1),
        hole(4e-4, 0.3, -0.1),
        hole(2e-4, 0.6, 0.0),
    ];
    let cut = [
        hole(5e-4, 0.0, 0.1),
        hole(5e-4, 0.0, 0.1),
        hole(4e-4, 0.3, -0.1),
        hole(2e-4, 0.6, 0.0),
    ];
    let a = exchange(&whole, 8.0, -20.0, 2.0, &plain()).mass_flow;
    let b = exchange(&cut, 8.0, -20.0, 2.0, &plain()).mass_flow;
    assert!((a / b - 1.0).abs() < 1e-9, "{a} {b}");
}

/// Catches a NaN turned into a number and a division by nothing.
#[test]
fn edges() {
    assert_eq!(exchange(&[], 10.0, 0.0, 1.0, &plain()), AirExchange::NONE);
    let closed = [hole(0.0, 0.0, 0.0)];
    assert_eq!(
        exchange(&closed, 10.0, 0.0, 1.0, &plain()),
        AirExchange::NONE
    );
    assert!(
        exchange(&[hole(1e-4, 0.0, 0.0)], f64::NAN, 0.0, 1.0, &plain())
            .mass_flow
            .is_nan()
    );
    let level = exchange(&[hole(1e-4, 0.0, 0.0)], 0.0, 0.0, 0.0, &plain());
    assert_eq!(level.mass_flow, 0.0);
    assert!(
        exchange(&[hole(1e-4, f64::NAN, 0.0)], 5.0, 0.0, 1.0, &plain())
            .mass_flow
            .is_nan()
    );
    assert!(
        exchange(&[hole(1e-4, 0.1, f64::INFINITY)], 5.0, 0.0, 1.0, &plain())
            .mass_flow
            .is_nan()
    );
}
