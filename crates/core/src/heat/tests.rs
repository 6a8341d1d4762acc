//! Conductances by hand, face groups, fill, refusals, immersed contact.

use super::*;
use crate::region::{Ball, Region};

fn axis(n: usize, d: f64) -> Vec<f64> {
    (0..=n).map(|i| i as f64 * d).collect()
}

const SOLID: Solid = Solid {
    k: [0.1, 0.2, 0.4],
    rho_c: 1e6,
};
const ADIABATIC: [Edge; 6] = [Edge::Adiabatic; 6];

fn room(name: &str) -> AirNode {
    AirNode {
        name: name.into(),
        capacity: 5.0,
        film_up: 10.0,
        film_side: 7.0,
        film_down: 6.0,
        radiant: None,
    }
}

fn links(network: &Network) -> Vec<(usize, usize, f64)> {
    let mut list = Vec::new();
    network.each_link(|a, b, g| list.push((a, b, g)));
    list
}

#[test]
fn solid_links_are_series_conductances_along_each_axis() {
    // Catches mixed-up axes, widths or areas.
    for (a, k) in SOLID.k.into_iter().enumerate() {
        let mut planes = [axis(1, 0.3), axis(1, 0.5), axis(1, 0.7)];
        planes[a] = vec![0.0, 0.02, 0.05];
        let [x, y, z] = planes;
        let grid = Grid::new(x, y, z).unwrap();
        let mut medium = Medium::uniform(&grid, SOLID);
        let mut second = [0; 3];
        second[a] = 1;
        medium.k[a][second] = 2.0 * k;
        let net = Network::build(&grid, &medium, &[], 0, &[], &[], ADIABATIC).unwrap();
        let area = [0.35, 0.21, 0.15][a];
        let expected = area / (0.01 / k + 0.015 / (2.0 * k));
        let found = links(&net);
        assert_eq!(found.len(), 1);
        assert!(
            (found[0].2 - expected).abs() < 1e-12,
            "{found:?} instead of {expected}"
        );
    }
}

#[test]
fn air_takes_the_film_of_the_surface_it_touches_and_stores_its_volume() {
    // Air in the middle of three cells upwards: warm air meets film_up above, film_down below.
    let grid = Grid::new(axis(1, 1.0), axis(1, 1.0), axis(3, 0.1)).unwrap();
    let mut medium = Medium::uniform(&grid, SOLID);
    medium.role[[0, 0, 1]] = Role::Air(0);
    let net = Network::build(&grid, &medium, &[room("air")], 0, &[], &[], ADIABATIC).unwrap();
    assert_eq!(net.n(), 3);
    assert_eq!(net.air_node(0), 2);
    let surfaces = net.air_surfaces(0);
    let expected = |film: f64| 1.0 / (0.05 / 0.4 + 1.0 / film);
    assert_eq!(surfaces.len(), 2);
    assert!(
        (surfaces[0].1 - expected(6.0)).abs() < 1e-12,
        "below: {surfaces:?}"
    );
    assert!(
        (surfaces[1].1 - expected(10.0)).abs() < 1e-12,
        "above: {surfaces:?}"
    );
    assert!((net.capacity()[2] - (5.0 + 0.1 * AIR_HEAT_CAPACITY)).abs() < 1e-9);
    assert_eq!(net.node_at(1), Some(2));
    assert_eq!(net.cell_node(1), None);
}

#[test]
fn outer_faces_are_grouped_by_zone_side_and_inner_resistance() {
    let grid = Grid::new(axis(4, 0.1), axis(2, 0.1), axis(2, 0.1)).unwrap();
    let mut medium = Medium::uniform(&grid, SOLID);
    medium.k[2][[1, 0, 1]] = 0.8;
    medium.role_box(
        &grid,
        [0.3, 0.4],
        [-1.0, 1.0],
        [-1.0, 1.0],
        Role::Outside(1),
    );
    let edges = [
        Edge::Adiabatic,
        Edge::Zone(0),
        Edge::Adiabatic,
        Edge::Adiabatic,
        Edge::Adiabatic,
        Edge::Zone(0),
    ];
    let net = Network::build(&grid, &medium, &[], 2, &[], &[], edges).unwrap();
    let found: Vec<_> = net
        .faces()
        .iter()
        .map(|g| (g.zone, g.side, g.cells.len()))
        .collect();
    // The top in two resistances, and the face towards the outside cells; nothing of those cells themselves.
    let expected = [
        (0, Side::ZPlus, 1),
        (0, Side::ZPlus, 5),
        (1, Side::XPlus, 4),
    ];
    assert_eq!(found, expected);
    let top = &net.faces()[1];
    assert!((top.r_inner - 0.05 / 0.4).abs() < 1e-12);
    assert!((top.u(f64::INFINITY) - 8.0).abs() < 1e-12 && top.u(0.0) == 0.0);
    assert!((top.centroids[0][2] - 0.2).abs() < 1e-12 && (top.area() - 0.05).abs() < 1e-12);
}

#[test]
fn fill_reaches_the_full_medium_at_both_ends() {
    // A half-full zone lies between; at 1 it must equal a body built of the full medium.
    let grid = Grid::new(axis(6, 0.02), axis(3, 0.03), axis(4, 0.02)).unwrap();
    let full = Solid {
        k: [0.5; 3],
        rho_c: 3e6,
    };
    let mut empty = Medium::uniform(&grid, SOLID);
    empty.role[[2, 1, 2]] = Role::Air(0);
    let mut filled = empty.clone();
    filled.fill_box(&grid, [0.02, 0.08], [-1.0, 1.0], [-1.0, 0.05], full);
    let zone = |name: &str, range: std::ops::Range<usize>| FillZone {
        name: name.into(),
        cells: range
            .flat_map(|i| (0..6).map(move |jk| (i, jk / 2, jk % 2)))
            .map(|(i, j, k)| grid.index(i, j, k))
            .collect(),
        full,
    };
    let zones = [zone("left", 1..3), zone("right", 3..4)];
    let edges = [Edge::Zone(0); 6];
    let build = |m: &Medium, z: &[FillZone]| {
        Network::build(&grid, m, &[room("air")], 1, z, &[], edges).unwrap()
    };
    // Outer faces keep the base medium, so hold the cells that touch them out of the comparison by closing the edges.
    let closed = |m: &Medium, z: &[FillZone]| {
        Network::build(&grid, m, &[room("air")], 1, z, &[], ADIABATIC).unwrap()
    };
    let run = |net: &Network, fill: Vec<f64>| {
        let mut drive = Drive::uniform(net, Film { h: 10.0, t: 0.0 });
        drive.fill = fill;
        drive.exchange.push(Exchange {
            node: 0,
            conductance: 0.1,
            t: 0.0,
        });
        drive.power[net.n() - 1] = 2.0;
        let mut t = vec![0.0; net.n()];
        let mut stepper =
            Stepper::new(net, Scheme::TrBdf2, 3600.0, LinearSolver::TO_ROUNDING).unwrap();
        stepper.step(&mut t, &drive).unwrap();
        stepper.step(&mut t, &drive).unwrap();
        t
    };
    let expected = run(&closed(&filled, &[]), vec![]);
    let got = run(&closed(&empty, &zones), vec![1.0, 1.0]);
    for (e, g) in expected.iter().zip(&got) {
        assert!((e - g).abs() < 1e-9, "{e} {g}");
    }
    let base = run(&build(&empty, &[]), vec![]);
    let got = run(&build(&empty, &zones), vec![0.0, 0.0]);
    assert_eq!(base, got);
}

#[test]
fn a_body_that_makes_no_sense_is_refused() {
    let grid = Grid::new(axis(2, 0.1), axis(2, 0.1), axis(2, 0.1)).unwrap();
    let medium = Medium::uniform(&grid, SOLID);
    let build =
        |m: &Medium, air: &[AirNode], zones, fills: &[FillZone], links: &[ExtraLink], edges| {
            Network::build(&grid, m, air, zones, fills, links, edges)
        };
    let mut bad = medium.clone();
    bad.k[1][[0, 0, 0]] = 0.0;
    assert!(matches!(
        build(&bad, &[], 1, &[], &[], ADIABATIC),
        Err(HeatError::Material { cell: 0, .. })
    ));
    bad = medium.clone();
    bad.rho_c[[1, 1, 1]] = f64::NAN;
    assert!(matches!(
        build(&bad, &[], 1, &[], &[], ADIABATIC),
        Err(HeatError::Material { cell: 7, .. })
    ));
    bad = medium.clone();
    bad.role[[0, 0, 0]] = Role::Air(0);
    assert!(matches!(
        build(&bad, &[], 1, &[], &[], ADIABATIC),
        Err(HeatError::UnknownAirNode { .. })
    ));
    let zone = build(&medium, &[], 1, &[], &[], [Edge::Zone(1); 6]);
    assert!(matches!(
        zone,
        Err(HeatError::UnknownZone { zone: 1, zones: 1 })
    ));
    let fill = FillZone {
        name: "twice".into(),
        cells: vec![3, 3],
        full: SOLID,
    };
    assert!(matches!(
        build(&medium, &[], 1, &[fill], &[], ADIABATIC),
        Err(HeatError::BadFill { cell: 3, .. })
    ));
    let link = ExtraLink {
        a: NodeRef::Cell(0),
        b: NodeRef::Cell(0),
        conductance: 1.0,
    };
    assert!(matches!(
        build(&medium, &[], 1, &[], &[link], ADIABATIC),
        Err(HeatError::BadLink { index: 0, .. })
    ));
    let mut film = room("still");
    film.film_up = 0.0;
    assert!(matches!(
        build(&medium, &[film], 1, &[], &[], ADIABATIC),
        Err(HeatError::AirNodeValue { .. })
    ));
}

#[test]
fn a_drive_that_makes_no_sense_is_refused() {
    let grid = Grid::new(axis(2, 0.1), axis(2, 0.1), axis(2, 0.1)).unwrap();
    let medium = Medium::uniform(&grid, SOLID);
    let net = Network::build(&grid, &medium, &[], 1, &[], &[], [Edge::Zone(0); 6]).unwrap();
    let good = Drive::uniform(&net, Film { h: 10.0, t: 0.0 });
    let mut stepper = Stepper::new(&net, Scheme::TrBdf2, 3600.0, LinearSolver::PCG).unwrap();
    let mut t = vec![1.0; net.n()];
    let changes: [fn(&mut Drive); 6] = [
        |d| d.faces[0].h = -1.0,
        |d| d.faces[0].t = f64::NAN,
        |d| d.power[3] = f64::INFINITY,
        |d| d.power.clear(),
        |d| d.fill.push(0.5),
        |d| {
            d.exchange.push(Exchange {
                node: 99,
                conductance: 1.0,
                t: 0.0,
            })
        },
    ];
    for change in changes {
        let mut bad = good.clone();
        change(&mut bad);
        assert!(stepper.step(&mut t, &bad).is_err());
        assert!(steady(&net, &bad, LinearSolver::PCG).is_err());
        assert!(
            t.iter().all(|v| *v == 1.0),
            "a refused step has changed the state"
        );
    }
    assert!(stepper.step(&mut t[..2], &good).is_err());
    t[0] = f64::NAN;
    assert!(stepper.step(&mut t, &good).is_err());
    for dt in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(Stepper::new(&net, Scheme::TrBdf2, dt, LinearSolver::PCG).is_err());
    }
    let loose = LinearSolver { tolerance: 0.0 };
    assert!(Stepper::new(&net, Scheme::TrBdf2, 1.0, loose).is_err());
}

#[test]
fn a_part_that_cannot_lose_heat_has_no_steady_state() {
    // Two halves that do not touch; only one of them reaches the outside.
    let grid = Grid::new(axis(3, 0.1), axis(1, 0.1), axis(1, 0.1)).unwrap();
    let mut medium = Medium::uniform(&grid, SOLID);
    medium.role[[1, 0, 0]] = Role::Air(0);
    medium.role[[1, 0, 0]] = Role::Outside(1);
    let mut edges = ADIABATIC;
    edges[0] = Edge::Zone(0);
    let net = Network::build(&grid, &medium, &[], 2, &[], &[], edges).unwrap();
    let mut drive = Drive::by_zone(&net, &[Film { h: 10.0, t: 0.0 }]);
    let found = steady(&net, &drive, LinearSolver::TO_ROUNDING);
    assert_eq!(found, Err(HeatError::Unanchored { node: 1 }));
    drive.exchange.push(Exchange {
        node: 1,
        conductance: 0.1,
        t: 4.0,
    });
    let t = steady(&net, &drive, LinearSolver::TO_ROUNDING).unwrap().t;
    assert!((t[1] - 4.0).abs() < 1e-9 && t[0].abs() < 1e-9);
}

/// Catches a surface that is lost between the films of air and radiation: what sees nothing but one surface has its temperature. A watt from the air
/// through 2.5 W/m2K and half a cell of 0.1 x 0.1 x 0.02 m: 0.01/k over the area for the surface above the cell, 1/(2.5 A) for the air above that.
#[test]
fn radiation_has_the_temperature_of_what_it_sees() {
    let grid = Grid::new(vec![0.0, 0.02, 0.05], vec![0.0, 0.1], vec![0.0, 0.1]).unwrap();
    let mut medium = Medium::uniform(&grid, SOLID);
    let all = [-1.0, 1.0];
    medium.role_box(&grid, [0.02, 0.05], all, all, Role::Air(0));
    let mut air = [room("air"), room("radiation")];
    (air[0].film_side, air[0].radiant, air[1].film_side) = (2.5, Some(1), 4.9);
    let mut edges = [Edge::Adiabatic; 6];
    edges[0] = Edge::Zone(0);
    let net = Network::build(&grid, &medium, &air, 1, &[], &[], edges).unwrap();
    let mut drive = Drive::uniform(&net, Film { h: 10.0, t: 0.0 });
    drive.power[net.air_node(0)] = 1.0;
    let t = steady(&net, &drive, LinearSolver::TO_ROUNDING).unwrap().t;
    let surface = t[0] + 0.01 / SOLID.k[0] / 0.01;
    assert!(
        (t[net.air_node(1)] - surface).abs() < 1e-9,
        "{t:?} {surface}"
    );
    assert!(
        (t[net.air_node(0)] - surface - 1.0 / (2.5 * 0.01)).abs() < 1e-9,
        "{t:?}"
    );
    // One that stands for radiation itself has none of its own.
    air[1].radiant = Some(0);
    let refused = Network::build(&grid, &medium, &air, 1, &[], &[], edges);
    assert!(matches!(refused, Err(HeatError::AirNodeValue { .. })));
}

#[test]
fn a_sphere_pressed_against_a_wall_lies_flat_on_its_first_cells() {
    let grid = Grid::new(
        graded_axis(&[-0.02, 0.0, 0.3], 2, 0.01, 1.5, 0.03),
        axis(10, 0.03),
        axis(10, 0.03),
    )
    .unwrap();
    let medium = Medium::uniform(&grid, SOLID);
    let net = Network::build(&grid, &medium, &[], 1, &[], &[], [Edge::Zone(0); 6]).unwrap();
    let bounds = [[0.0, 0.3], [0.0, 0.3], [0.0, 0.3]];
    let (radius, depth) = (0.08, 0.05);
    let shell = Shell::ball(
        &grid,
        &net,
        &Ball {
            seat: [depth, 0.15, 0.15],
            radius,
        },
        Some(&Region::one(bounds)),
    )
    .unwrap();
    // Cap of height R - d: disc pi (R2 - d2); the rest of the sphere 4 pi R2 - 2 pi R (R - d).
    let pi = std::f64::consts::PI;
    let disc = pi * (radius * radius - depth * depth);
    let area = 4.0 * pi * radius * radius - 2.0 * pi * radius * (radius - depth) + disc;
    assert!(
        (shell.area / area - 1.0).abs() < 2e-3,
        "{} instead of {area}",
        shell.area
    );
    assert_eq!(shell.contact.len(), 1);
    assert_eq!(shell.contact[0].side, Side::XMinus);
    assert!(
        (shell.contact[0].share - disc / area).abs() < 2e-3,
        "{:?}",
        shell.contact
    );
    let sum: f64 = shell.nodes.iter().map(|n| n.1).sum();
    assert!((sum - 1.0).abs() < 1e-12);
    // The share on the wall is exactly what lies beyond the bound.
    let wall: f64 = shell
        .nodes
        .iter()
        .filter(|(n, _)| {
            let [i, j, k] = grid.ijk(net.node_cell(*n).unwrap());
            grid.cell_centre(i, j, k)[0] < 0.0
        })
        .map(|n| n.1)
        .sum();
    assert!(
        (wall - shell.contact[0].share).abs() < 1e-12,
        "{wall} {:?}",
        shell.contact
    );
    // Sampling and depositing are one and the same set of weights.
    let mut power = vec![0.0; net.n()];
    shell.deposit(&mut power, 3.0);
    let t: Vec<f64> = (0..net.n()).map(|i| (i % 17) as f64).collect();
    let work: f64 = power.iter().zip(&t).map(|(p, t)| p * t).sum();
    assert!((work - 3.0 * shell.sample(&t)).abs() < 1e-9);
}

#[test]
fn a_sphere_that_touches_nothing_is_refused() {
    let grid = Grid::new(axis(4, 0.1), axis(4, 0.1), axis(4, 0.1)).unwrap();
    let medium = Medium::uniform(&grid, SOLID);
    let net = Network::build(&grid, &medium, &[], 1, &[], &[], [Edge::Zone(0); 6]).unwrap();
    let at = |seat, radius| Shell::ball(&grid, &net, &Ball { seat, radius }, None);
    assert!(matches!(
        at([9.0; 3], 0.1),
        Err(HeatError::NothingTouched { .. })
    ));
    assert!(matches!(at([0.2; 3], 0.0), Err(HeatError::Setting { .. })));
    assert!(matches!(
        at([f64::NAN, 0.0, 0.0], 0.1),
        Err(HeatError::Setting { .. })
    ));
}

#[test]
fn the_solver_works_no_harder_than_it_used_to() {
    // A thin metal sheet over foam and a body of wood: catches a preconditioner that has lost its grip (the pivot
    // guard once turned 39 iterations into 400).
    let grid = Grid::new(
        axis(40, 0.02),
        axis(20, 0.03),
        graded_axis(&[0.0, 0.2, 0.24, 0.241], 2, 0.02, 1.3, 0.03),
    )
    .unwrap();
    let mut medium = Medium::uniform(
        &grid,
        Solid {
            k: [0.12; 3],
            rho_c: 0.7e6,
        },
    );
    let all = [-9.0, 9.0];
    medium.fill_box(
        &grid,
        all,
        all,
        [0.2, 0.24],
        Solid {
            k: [0.035; 3],
            rho_c: 45e3,
        },
    );
    medium.fill_box(
        &grid,
        all,
        all,
        [0.24, 0.3],
        Solid {
            k: [160.0; 3],
            rho_c: 2.4e6,
        },
    );
    let net = Network::build(&grid, &medium, &[], 1, &[], &[], [Edge::Zone(0); 6]).unwrap();
    let mut stepper =
        Stepper::new(&net, Scheme::BackwardEuler, 3600.0, LinearSolver::HOURLY).unwrap();
    let mut t = vec![0.0; net.n()];
    for hour in 0..10 {
        let hour = f64::from(hour);
        let film = Film {
            h: 10.0 + hour,
            t: (hour * 0.3).sin(),
        };
        stepper.step(&mut t, &Drive::uniform(&net, film)).unwrap();
    }
    let stats = stepper.stats();
    assert_eq!(
        (stats.steps, stats.solves, stats.factorisations),
        (10, 10, 10)
    );
    assert!(stats.iterations < 10 * 45, "{stats:?}");
}
