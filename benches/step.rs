//! One hour of a body the size of a hive pair (about 9,000 unknowns, two air spaces each, films new every hour):
//! backward Euler, TR-BDF2, and the correction for two immersed spheres.

use criterion::{Criterion, criterion_group, criterion_main};
use partywall::heat::{
    AirNode, Drive, Edge, Exchange, Film, Grid, HeatError, LinearSolver, Medium, Network, Role,
    Scheme, Shell, Solid, Stepper, graded_axis,
};
use partywall::region::{Ball, Region};

const WOOD: Solid = Solid {
    k: [0.12; 3],
    rho_c: 0.72e6,
};
const FOAM: Solid = Solid {
    k: [0.034; 3],
    rho_c: 45e3,
};
const COMB: Solid = Solid {
    k: [0.07, 0.12, 0.12],
    rho_c: 0.15e6,
};
const METAL: Solid = Solid {
    k: [160.0; 3],
    rho_c: 2.4e6,
};

/// Two boxes with a shared wooden wall in a foam coat under a metal sheet.
fn pair() -> Result<(Grid, Network, [Shell; 2]), HeatError> {
    let grid = Grid::new(
        graded_axis(
            &[0.0, 0.04, 0.062, 0.44, 0.484, 0.862, 0.884, 0.924],
            2,
            0.011,
            3.0,
            0.038,
        ),
        graded_axis(&[0.0, 0.04, 0.062, 0.53, 0.552, 0.592], 2, 0.011, 3.0, 0.06),
        graded_axis(
            &[0.0, 0.022, 0.042, 0.28, 0.288, 0.31, 0.36, 0.361],
            2,
            0.011,
            3.0,
            0.04,
        ),
    )?;
    let mut medium = Medium::uniform(&grid, FOAM);
    let all = [-1.0, 2.0];
    medium.fill_box(&grid, [0.04, 0.884], [0.04, 0.552], [-1.0, 0.31], WOOD);
    for (i, x) in [[0.062, 0.44], [0.484, 0.862]].into_iter().enumerate() {
        let (floor, head) = (2 * i as u16, 2 * i as u16 + 1);
        medium.role_box(&grid, x, [0.062, 0.53], [0.022, 0.042], Role::Air(floor));
        medium.fill_box(&grid, x, [0.062, 0.53], [0.042, 0.28], COMB);
        medium.role_box(&grid, x, [0.062, 0.53], [0.28, 0.288], Role::Air(head));
    }
    medium.fill_box(&grid, all, all, [0.36, 0.5], METAL);
    let air: Vec<AirNode> = ["left floor", "left head", "right floor", "right head"]
        .map(|n| AirNode {
            name: n.into(),
            capacity: 0.0,
            film_up: 1.0 / 0.10,
            film_side: 1.0 / 0.13,
            film_down: 1.0 / 0.17,
            radiant: None,
        })
        .to_vec();
    let network = Network::build(&grid, &medium, &air, 1, &[], &[], [Edge::Zone(0); 6])?;
    let shell = |x: [f64; 2]| {
        let bounds = [x, [0.062, 0.53], [0.042, 0.28]];
        let seat = [0.5 * (x[0] + x[1]), 0.2, 0.14];
        let ball = Ball { seat, radius: 0.09 };
        Shell::ball(&grid, &network, &ball, Some(&Region::one(bounds)))
    };
    let shells = [shell([0.062, 0.44])?, shell([0.484, 0.862])?];
    Ok((grid, network, shells))
}

/// Weather of hour `n`.
fn drive(network: &Network, shells: &[Shell; 2], n: usize) -> Drive {
    let hour = n as f64;
    let air = -5.0 + 6.0 * (hour * 0.2618).sin() + 2.0 * (hour * 0.77).sin();
    let wind = 2.0 + 1.5 * (hour * 1.3).sin();
    let mut drive = Drive::uniform(
        network,
        Film {
            h: 9.0 + 4.0 * wind,
            t: air,
        },
    );
    for i in 0..4 {
        let conductance = 0.3 + 0.1 * (hour * 0.9).cos();
        drive.exchange.push(Exchange {
            node: network.air_node(i),
            conductance,
            t: air,
        });
    }
    for s in shells {
        s.deposit(&mut drive.power, 12.0);
    }
    drive
}

#[expect(
    clippy::print_stdout,
    clippy::expect_used,
    reason = "a bench of a fixed problem reports on the terminal"
)]
fn hours(c: &mut Criterion) {
    let (grid, network, shells) = pair().expect("the pair can be built");
    let shape = grid.shape();
    println!("grid {shape:?}, {} unknowns", network.n());
    let mut group = c.benchmark_group("one hour of a pair");
    for tolerance in [1e-3, 1e-6] {
        for (name, scheme) in [
            ("backward Euler", Scheme::BackwardEuler),
            ("TR-BDF2", Scheme::TrBdf2),
        ] {
            let solver = LinearSolver { tolerance };
            let mut stepper = Stepper::new(&network, scheme, 3600.0, solver).expect("a stepper");
            let mut t = vec![0.0; network.n()];
            let mut n = 0;
            let mut seconds = Vec::new();
            let mut hour = || {
                n += 1;
                let drive = drive(&network, &shells, n);
                stepper.step(&mut t, &drive)
            };
            for _ in 0..48 {
                let start = std::time::Instant::now();
                hour().expect("an hour");
                seconds.push(start.elapsed().as_secs_f64());
            }
            seconds.sort_by(f64::total_cmp);
            group.bench_function(format!("{name}, {tolerance:.0e} K"), |b| b.iter(&mut hour));
            let s = stepper.stats();
            println!(
                "{name}, {tolerance:.0e} K: {:.3} ms/hour (lower quartile of 48), {:.1} iterations a solve, balance {:.0e}",
                seconds[12] * 1e3,
                s.iterations as f64 / s.solves as f64,
                s.balance.relative()
            );
        }
    }
    group.finish();
}

criterion_group!(benches, hours);
criterion_main!(benches);
