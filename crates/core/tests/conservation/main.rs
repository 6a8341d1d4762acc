//! Principles every network must obey: heat balance, symmetry, reciprocity, maximum principle, linearity.

#![allow(clippy::unwrap_used)] // a helper that fails fails the test

mod bodies;
mod direct;

use bodies::Body;
use partywall_core::heat::{LinearSolver, Scheme, Stepper, net_heat, steady};
use proptest::prelude::*;

const SOLVER: LinearSolver = LinearSolver { tolerance: 1e-8 };

fn close(a: &[f64], b: &[f64], tolerance: f64) {
    for (i, (a, b)) in a.iter().zip(b).enumerate() {
        assert!((a - b).abs() <= tolerance, "unknown {i}: {a} and {b}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn a_steady_state_balances_and_is_that_of_a_direct_solver(seed in any::<u64>()) {
        // Catches a link missing from the factor (air stars, wraps between lanes, far links, fill).
        let mut body = Body::new(seed);
        let drive = body.drive(true);
        let direct = direct::steady(&body.network, &drive);
        for (solver, off) in [(SOLVER, 1e-6), (LinearSolver::TO_ROUNDING, 1e-9)] {
            let found = steady(&body.network, &drive, solver).unwrap();
            close(&found.t, &direct, off);
            prop_assert!(found.balance.relative() < off, "{:?}", found.balance);
        }
    }

    #[test]
    fn at_rest_no_unknown_takes_heat_and_the_outside_takes_all_of_it_otherwise(seed in any::<u64>()) {
        // Catches heat into an unknown that leaves out a link, a film or a fill: nothing is left at rest, and what all take at one
        // temperature throughout is the power less what goes out.
        let mut body = Body::new(seed);
        let drive = body.drive(true);
        let rest = steady(&body.network, &drive, LinearSolver::TO_ROUNDING).unwrap();
        let left = net_heat(&body.network, &drive, &rest.t).unwrap();
        prop_assert!(left.iter().all(|q| q.abs() <= 1e-9 * rest.balance.throughput), "{left:?}");
        let even = vec![7.0; rest.t.len()];
        let all: f64 = net_heat(&body.network, &drive, &even).unwrap().iter().sum();
        let faces = body.network.faces().iter().zip(&drive.faces);
        let by_films: f64 = faces.map(|(g, f)| g.u(f.h) * g.area() * (f.t - 7.0)).sum();
        let by_exchange: f64 = drive.exchange.iter().map(|e| e.conductance * (e.t - 7.0)).sum();
        let sum = drive.power.iter().sum::<f64>() + by_films + by_exchange;
        prop_assert!((all - sum).abs() <= 1e-9 * rest.balance.throughput.max(1.0), "{all} {sum}");
        prop_assert!(net_heat(&body.network, &drive, &even[1..]).is_err());
    }

    #[test]
    fn stepping_balances_with_a_matrix_that_changes_every_hour(seed in any::<u64>()) {
        for scheme in [Scheme::BackwardEuler, Scheme::TrBdf2] {
            let mut body = Body::new(seed);
            let mut stepper = Stepper::new(&body.network, scheme, 3600.0, SOLVER).unwrap();
            let mut t = body.state();
            for _ in 0..12 {
                let drive = body.drive(true);
                stepper.step(&mut t, &drive).unwrap();
            }
            let b = stepper.stats().balance;
            prop_assert!(b.relative() < 1e-7, "{scheme:?} {b:?}");
        }
    }

    #[test]
    fn without_sources_backward_euler_stays_within_the_bounds(seed in any::<u64>()) {
        // Maximum principle of an M-matrix: catches a wrong sign or an unsymmetric link.
        let mut body = Body::new(seed);
        let mut t = body.state();
        let mut stepper = Stepper::new(&body.network, Scheme::BackwardEuler, 1800.0, SOLVER).unwrap();
        for _ in 0..6 {
            let drive = body.drive(false);
            let outside = drive.faces.iter().map(|f| f.t).chain(drive.exchange.iter().map(|e| e.t));
            let (mut lo, mut hi) = (f64::INFINITY, f64::NEG_INFINITY);
            for v in outside.chain(t.iter().copied()) {
                lo = lo.min(v);
                hi = hi.max(v);
            }
            stepper.step(&mut t, &drive).unwrap();
            for v in &t {
                prop_assert!((lo - 1e-6..=hi + 1e-6).contains(v), "{v} outside {lo}..{hi}");
            }
        }
    }

    #[test]
    fn heat_in_one_unknown_warms_another_as_much_as_the_other_way_round(seed in any::<u64>()) {
        let mut body = Body::new(seed);
        let mut drive = body.drive(false);
        drive.faces.iter_mut().for_each(|f| f.t = 0.0);
        drive.exchange.iter_mut().for_each(|e| e.t = 0.0);
        let n = body.network.n();
        let (a, b) = (body.pick(n), body.pick(n));
        let mut rise = |from: usize, to: usize| {
            drive.power.fill(0.0);
            drive.power[from] = 1.0;
            steady(&body.network, &drive, SOLVER).unwrap().t[to]
        };
        let (there, back) = (rise(a, b), rise(b, a));
        prop_assert!((there - back).abs() < 1e-6 * (1.0 + there.abs()), "{there} {back}");
        prop_assert!(there >= -1e-9);
    }
}

#[test]
fn the_same_input_gives_the_same_bytes() {
    let run = || {
        let mut body = Body::new(7);
        let mut t = body.state();
        let mut stepper =
            Stepper::new(&body.network, Scheme::TrBdf2, 3600.0, LinearSolver::PCG).unwrap();
        for _ in 0..5 {
            let drive = body.drive(true);
            stepper.step(&mut t, &drive).unwrap();
        }
        t.iter().map(|v| v.to_bits()).collect::<Vec<_>>()
    };
    let first = run();
    let others: Vec<_> = (0..3).map(|_| std::thread::spawn(run)).collect();
    for other in others {
        assert_eq!(first, other.join().unwrap());
    }
}
