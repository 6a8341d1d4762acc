//! Observed orders in time and space, and no ringing in thin metal.

use partywall::heat::{
    Drive, Edge, Film, Grid, LinearSolver, Medium, Network, Scheme, Solid, Stepper, graded_axis,
};

const PINE: Solid = Solid {
    k: [0.12; 3],
    rho_c: 450.0 * 1600.0,
};
const SOLVER: LinearSolver = LinearSolver { tolerance: 1e-10 };

fn wall(layers: &[(f64, Solid)], cells: usize) -> Network {
    let mut at = vec![0.0];
    for (d, _) in layers {
        at.push(at[at.len() - 1] + d);
    }
    let grid = Grid::new(
        graded_axis(&at, cells, 1.0, 1.0, 1.0),
        vec![0.0, 1.0],
        vec![0.0, 1.0],
    )
    .unwrap();
    let mut medium = Medium::uniform(&grid, layers[0].1);
    for (pair, (_, solid)) in at.windows(2).zip(layers) {
        medium.fill_box(&grid, [pair[0], pair[1]], [-1.0, 2.0], [-1.0, 2.0], *solid);
    }
    let a = Edge::Adiabatic;
    Network::build(
        &grid,
        &medium,
        &[],
        1,
        &[],
        &[],
        [Edge::Zone(0), Edge::Zone(0), a, a, a, a],
    )
    .unwrap()
}

/// A 40 mm board whose outside temperature jumps four times, every `span` seconds.
fn run(network: &Network, scheme: Scheme, dt: f64, span: f64) -> Vec<f64> {
    let mut t = vec![20.0; network.n()];
    let mut stepper = Stepper::new(network, scheme, dt, SOLVER).unwrap();
    for air in [-10.0, 4.0, -2.0, -12.0] {
        let drive = Drive::uniform(network, Film { h: 6.0, t: air });
        for _ in 0..(span / dt).round() as usize {
            stepper.step(&mut t, &drive).unwrap();
        }
    }
    t
}

fn worst(a: &[f64], b: &[f64]) -> f64 {
    a.iter()
        .zip(b)
        .map(|(a, b)| (a - b).abs())
        .fold(0.0, f64::max)
}

#[test]
fn orders_in_time() {
    // Catches a wrong stage weight: TR-BDF2 would fall to first order and still look plausible.
    let network = wall(&[(0.04, PINE)], 16);
    let exact = run(&network, Scheme::TrBdf2, 1.0, 1800.0);
    for (scheme, expected) in [(Scheme::TrBdf2, 2.0), (Scheme::BackwardEuler, 1.0)] {
        let [a, b] = [100.0, 50.0].map(|dt| worst(&run(&network, scheme, dt, 1800.0), &exact));
        let order = (a / b).log2();
        eprintln!("{scheme:?}: {a:.2e} {b:.2e} order {order:.3}");
        assert!((order - expected).abs() < 0.15, "{scheme:?}: order {order}");
    }
}

#[test]
fn halving_the_step_under_hourly_jumps_lowers_the_error_as_it_should() {
    // Steps as long as hives use; the error is the mean square over the board, as stiff modes of single cells have not
    // yet reached their order there.
    let network = wall(&[(0.04, PINE)], 16);
    let exact = run(&network, Scheme::TrBdf2, 2.0, 3600.0);
    let mean = |t: Vec<f64>| {
        (t.iter()
            .zip(&exact)
            .map(|(a, b)| (a - b).powi(2))
            .sum::<f64>()
            / 16.0)
            .sqrt()
    };
    for (scheme, lo, hi) in [
        (Scheme::TrBdf2, 3.0, 6.0),
        (Scheme::BackwardEuler, 1.7, 2.1),
    ] {
        let [a, b, c] = [1800.0, 900.0, 450.0].map(|dt| mean(run(&network, scheme, dt, 3600.0)));
        eprintln!(
            "{scheme:?} 1800 s {a:.4} K, 900 s {b:.4} K, 450 s {c:.4} K: {:.2} {:.2}",
            a / b,
            b / c
        );
        assert!(
            (lo..hi).contains(&(a / b)) && (lo..hi).contains(&(b / c)),
            "{scheme:?}"
        );
    }
}

#[test]
fn order_in_space() {
    // Middle cell faces of ever finer boards against a very fine one; smooth initial state, so that only space matters.
    let centre = |cells: usize| {
        let t = run(&wall(&[(0.04, PINE)], cells), Scheme::TrBdf2, 10.0, 1800.0);
        0.5 * (t[cells / 2 - 1] + t[cells / 2])
    };
    let values = [8, 16, 32, 64].map(centre);
    // Three successive grids give the order without an exact value.
    for v in values.windows(3) {
        let order = ((v[0] - v[1]) / (v[1] - v[2])).log2();
        eprintln!("order in space {order:.3}");
        assert!((order - 2.0).abs() < 0.1, "order {order} from {values:?}");
    }
}

#[test]
fn thin_metal_does_not_ring() {
    // 1 mm aluminium on foam, film and air jump, hourly steps: Crank-Nicolson would ring for days.
    let metal = Solid {
        k: [230.0; 3],
        rho_c: 2800.0 * 880.0,
    };
    let foam = Solid {
        k: [0.035; 3],
        rho_c: 30.0 * 1450.0,
    };
    let network = wall(&[(0.001, metal), (0.05, foam)], 2);
    for scheme in [Scheme::TrBdf2, Scheme::BackwardEuler] {
        let mut stepper = Stepper::new(&network, scheme, 3600.0, SOLVER).unwrap();
        let mut t = vec![20.0; network.n()];
        let drive = Drive::uniform(&network, Film { h: 20.0, t: -10.0 });
        let mut off = vec![t[0] + 10.0];
        for _ in 0..12 {
            stepper.step(&mut t, &drive).unwrap();
            off.push(t[0] + 10.0);
        }
        eprintln!("{scheme:?} {off:.3?}");
        // Backward Euler never overshoots. TR-BDF2 overshoots by an eighth and is damped at least fourfold a step;
        // Crank-Nicolson keeps 0.87 of it from step to step.
        let (least, share) = match scheme {
            Scheme::TrBdf2 => (-0.15 * 30.0, 0.25),
            Scheme::BackwardEuler => (0.0, 0.5),
        };
        assert!(
            off.iter().all(|v| *v > least - 1e-6),
            "{scheme:?} overshoots: {off:?}"
        );
        assert!(
            off.windows(2)
                .all(|w| w[1].abs() < share * w[0].abs() + 1e-6),
            "{scheme:?} rings: {off:?}"
        );
    }
}
