//! Checks of the reduction itself on a small two-box body; hives are compared in `tests/reduced`.

use super::*;
use crate::heat::{
    AirNode, Edge, Exchange, FillZone, Film, Grid, LinearSolver, Medium, Role, Scheme, Solid,
    Stepper, graded_axis, steady,
};
use crate::region::{Ball, Region};

const HOUR: f64 = 3600.0;

struct Body {
    network: Network,
    nominal: Drive,
    ports: Ports,
    shell: Shell,
    reduced: ReducedNetwork,
}

/// A wooden box with combs, an air space under its lid with a vent, and a fill zone.
fn body() -> Body {
    let axis = |edges: &[f64]| graded_axis(edges, 1, 0.03, 2.0, 0.05);
    let grid = Grid::new(
        axis(&[0.0, 0.02, 0.32, 0.34]),
        axis(&[0.0, 0.02, 0.42, 0.44]),
        axis(&[0.0, 0.02, 0.26, 0.27, 0.29]),
    )
    .unwrap();
    let wood = Solid {
        k: [0.12; 3],
        rho_c: 0.7e6,
    };
    let comb = Solid {
        k: [0.1, 0.7, 2.0],
        rho_c: 0.2e6,
    };
    let honey = Solid {
        k: [0.2, 0.8, 2.0],
        rho_c: 1.4e6,
    };
    let mut medium = Medium::uniform(&grid, wood);
    let inside = [[0.02, 0.32], [0.02, 0.42], [0.02, 0.26]];
    medium.fill_box(&grid, inside[0], inside[1], inside[2], comb);
    medium.role_box(&grid, inside[0], inside[1], [0.26, 0.27], Role::Air(0));
    let cells = (0..grid.cells())
        .filter(|&c| {
            let [i, j, k] = grid.ijk(c);
            let at = grid.cell_centre(i, j, k);
            (0..3).all(|a| at[a] > inside[a][0] && at[a] < inside[a][1]) && at[2] > 0.14
        })
        .collect();
    let air = AirNode {
        name: "head".into(),
        capacity: 0.0,
        film_up: 10.0,
        film_side: 7.7,
        film_down: 5.9,
        radiant: None,
    };
    let zone = FillZone {
        name: "honey".into(),
        cells,
        full: honey,
    };
    let edges = [Edge::Zone(0); 6];
    let network = Network::build(&grid, &medium, &[air], 1, &[zone], &[], edges).unwrap();
    let node = network.air_node(0);
    let mut nominal = Drive::uniform(&network, Film { h: 12.0, t: 0.0 });
    nominal.fill = vec![0.5];
    nominal.exchange = vec![Exchange {
        node,
        conductance: 0.3,
        t: 0.0,
    }];
    let ports = Ports {
        patches: (0..network.faces().len()).map(|g| vec![g]).collect(),
        nodes: vec![node],
        regions: Vec::new(),
        // A corner, and a row of cells through walls and comb.
        readings: vec![
            vec![(0, 0.7), (1, 0.3)],
            (node / 2..node / 2 + 20).map(|n| (n, 0.05)).collect(),
        ],
    };
    let shell = |seat: [f64; 3], radius: f64| {
        Shell::ball(
            &grid,
            &network,
            &Ball { seat, radius },
            Some(&Region::one(inside)),
        )
        .unwrap()
    };
    let mut seeds = Vec::new();
    for x in [0.10, 0.17, 0.24] {
        for y in [0.12, 0.32] {
            for z in [0.09, 0.19] {
                seeds.extend([0.06, 0.1].map(|r| shell([x, y, z], r)));
            }
        }
    }
    let reduced = ReducedNetwork::build(&network, &nominal, &ports, &seeds, 96, HOUR).unwrap();
    Body {
        shell: shell([0.17, 0.22, 0.13], 0.08),
        network,
        nominal,
        ports,
        reduced,
    }
}

fn add(state: &mut ReducedState<'_>, reduced: &ReducedNetwork, shell: &Shell) {
    let near = reduced.near(shell).unwrap();
    state.add_body([(1.0, &reduced.place(shell))], [(1.0, &near)], &[]);
}

impl Body {
    fn hour(&self, film: Film, vent: f64) -> PortHour {
        let patches = self.ports.patches.len();
        let mut hour = PortHour {
            conductance: (0..patches)
                .map(|i| self.reduced.patch_conductance(i, film.h))
                .collect(),
            t: vec![film.t; patches + 1],
            power: vec![0.0; patches + 1],
            streams: Vec::new(),
        };
        hour.conductance.push(vent);
        hour
    }

    fn drive(&self, film: Film, vent: f64, watts: f64) -> Drive {
        let mut drive = self.nominal.clone();
        drive.faces.fill(film);
        drive.exchange[0].conductance = vent;
        drive.exchange[0].t = film.t;
        self.shell.deposit(&mut drive.power, watts);
        drive
    }
}

/// Catches a wrong static residual: at the nominal drive every steady temperature must be the full network's, for a body
/// that no seed stood for as well.
#[test]
fn steady_state_is_exact() {
    let b = body();
    let film = Film { h: 12.0, t: -7.0 };
    let mut state = ReducedState::steady(&b.reduced, &[0.5], &b.hour(film, 0.3)).unwrap();
    add(&mut state, &b.reduced, &b.shell);
    for _ in 0..2_000 {
        state.step(&b.hour(film, 0.3), &[9.0]).unwrap();
        state.correct(&[9.0]);
        state.commit();
    }
    let full = steady(&b.network, &b.drive(film, 0.3, 9.0), LinearSolver::PCG).unwrap();
    let exact = b.shell.sample(&full.t);
    assert!(
        (state.around(0) - exact).abs() < 2e-4,
        "{} {exact}",
        state.around(0)
    );
    let head = full.t[b.network.air_node(0)];
    let mut port = [0.0];
    state.ports(b.ports.patches.len(), &mut port);
    let [port] = port;
    assert!((port - head).abs() < 2e-4, "{port} {head}");
    let mut read = Vec::new();
    state.readings(&mut read);
    assert_eq!(read.len(), b.ports.readings.len());
    for (read, weights) in read.iter().zip(&b.ports.readings) {
        let exact: f64 = weights.iter().map(|(n, w)| w * full.t[*n]).sum();
        assert!((read - exact).abs() < 0.01, "{read} {exact}");
    }
}

/// Catches a wrong treatment of films and vents that differ from the nominal ones, of the fill, or of time: four days of
/// swinging weather, film 6 to 30 W/m2K, honey at four fifths, against the full network in steps of ten minutes.
#[test]
fn follows_the_full_network() {
    let b = body();
    let weather = |i: usize| {
        let swing = (i as f64 * 0.26).sin();
        let h = 18.0 + 12.0 * (i as f64 * 0.7).cos();
        (
            Film {
                h,
                t: -4.0 + 9.0 * swing,
            },
            0.3 + 0.25 * swing,
        )
    };
    let watts = |i: usize| 8.0 + 3.0 * (i as f64 * 0.11).sin();
    let (film, vent) = weather(0);
    let mut full_drive = b.drive(film, vent, 0.0);
    full_drive.fill = vec![0.8];
    let mut t = steady(&b.network, &full_drive, LinearSolver::PCG)
        .unwrap()
        .t;
    let mut stepper =
        Stepper::new(&b.network, Scheme::TrBdf2, HOUR / 6.0, LinearSolver::PCG).unwrap();
    let mut state = ReducedState::steady(&b.reduced, &[0.8], &b.hour(film, vent)).unwrap();
    add(&mut state, &b.reduced, &b.shell);
    let (mut worst, mut square, mut rise) = (0.0f64, 0.0, 0.0);
    for i in 0..96 {
        let (film, vent) = weather(i);
        let mut drive = b.drive(film, vent, watts(i));
        drive.fill = vec![0.8];
        for _ in 0..6 {
            stepper.step(&mut t, &drive).unwrap();
        }
        state.step(&b.hour(film, vent), &[watts(i)]).unwrap();
        state.correct(&[watts(i)]);
        state.commit();
        let off = (state.around(0) - b.shell.sample(&t)).abs();
        worst = worst.max(off);
        square += off * off / 96.0;
        rise += (state.around(0) - film.t) / 96.0;
    }
    // Whole faces of bare 20 mm boards as single patches, films from half to two and a half times the nominal: 0.36 K at most
    // and 0.16 K rms were found, and this keeps it so. What hives must keep to stands in `tests/reduced`.
    let rms = square.sqrt();
    assert!(worst < 0.4 && rms < 0.18, "{worst} {rms} {rise}");
    assert!(rise > 10.0, "the body is hardly warmed: {rise}");
    // The constant field is in the basis, so the modes cannot lose or invent heat.
    assert!(state.stats().balance.relative() < 1e-9);
    assert!(state.stats().balance.throughput > 1e6);
}

/// Catches a change of fill that moves temperatures.
#[test]
fn refilling_keeps_the_field() {
    let b = body();
    let film = Film { h: 12.0, t: 3.0 };
    let mut state = ReducedState::steady(&b.reduced, &[1.0], &b.hour(film, 2.0)).unwrap();
    add(&mut state, &b.reduced, &b.shell);
    for _ in 0..30 {
        state.step(&b.hour(film, 2.0), &[12.0]).unwrap();
        state.correct(&[12.0]);
        state.commit();
    }
    let before = state.field();
    state.refill(&[0.1]).unwrap();
    let worst = before
        .iter()
        .zip(state.field())
        .map(|(a, b)| (a - b).abs())
        .fold(0.0, f64::max);
    assert!(worst < 1e-8, "{worst}");
}

/// Catches two bodies that do not feel each other alike.
#[test]
fn bodies_are_reciprocal() {
    let b = body();
    let ball = Ball {
        seat: [0.10, 0.30, 0.18],
        radius: 0.05,
    };
    let inside = Region::one([[0.02, 0.32], [0.02, 0.42], [0.02, 0.26]]);
    let other = Shell::ball(b.network.grid(), &b.network, &ball, Some(&inside)).unwrap();
    let hour = b.hour(Film { h: 12.0, t: 0.0 }, 0.3);
    let mut state = ReducedState::steady(&b.reduced, &[0.5], &hour).unwrap();
    add(&mut state, &b.reduced, &b.shell);
    add(&mut state, &b.reduced, &other);
    assert!((state.response(0, 1) - state.response(1, 0)).abs() < 1e-12);
    assert!(state.response(0, 1) > 0.0 && state.response(0, 1) < state.response(1, 1));
}
