//! Exact solutions of the heat equation (textbook formulas, values computed independently of this program), through the
//! same grid, network and stepper as every hive.

use crate::heat::{
    AirNode, Drive, Edge, Exchange, ExtraLink, Film, Grid, HeatError, LinearSolver, Medium,
    Network, NodeRef, Role, Scheme, Shell, Solid, Stepper, graded_axis, steady,
};

use super::{Check, Evidence};

const SOLVER: LinearSolver = LinearSolver::PCG;
const TEXTBOOK: &str = "textbook formula, evaluated independently";
const ISO_13786: &str = "ISO 13786 transfer matrix, evaluated independently";
const PINE: Solid = Solid {
    k: [0.12; 3],
    rho_c: 450.0 * 1600.0,
};
const HELD: f64 = f64::INFINITY;

/// All analytic checks.
///
/// # Errors
/// A case that could not be built or solved.
pub fn checks() -> Result<Vec<Check>, HeatError> {
    let mut checks = half_space()?;
    checks.extend(half_space_film()?);
    checks.extend(board()?);
    checks.extend(brick()?);
    checks.extend(lumped()?);
    checks.extend(two_rooms()?);
    checks.extend(layered_wall()?);
    checks.extend(heated_slab()?);
    checks.extend(periodic()?);
    checks.extend(point_source()?);
    checks.extend(immersed()?);
    Ok(checks)
}

fn check(
    id: &'static str,
    what: &str,
    expected: f64,
    got: f64,
    tolerance: f64,
    unit: &'static str,
) -> Check {
    Check {
        id,
        what: what.into(),
        expected,
        got,
        tolerance,
        unit,
        source: TEXTBOOK,
        evidence: Evidence::Computed,
    }
}

/// A wall of layers across x with 1 m2 of face: zone 0 at small x, zone 1 at large x.
struct Wall {
    network: Network,
    grid: Grid,
}

impl Wall {
    /// Layers of (thickness m, material), cells of `h` (m).
    fn new(layers: &[(f64, Solid)], h: f64, edges: [Edge; 2]) -> Result<Self, HeatError> {
        let mut at = vec![0.0];
        for (d, _) in layers {
            at.push(at[at.len() - 1] + d);
        }
        let grid = Grid::new(
            graded_axis(&at, 2, h, 1.0, h),
            vec![0.0, 1.0],
            vec![0.0, 1.0],
        )?;
        let mut medium = Medium::uniform(&grid, layers.first().map_or(PINE, |l| l.1));
        for (pair, (_, solid)) in at.windows(2).zip(layers) {
            medium.fill_box(&grid, [pair[0], pair[1]], [-1.0, 2.0], [-1.0, 2.0], *solid);
        }
        let a = Edge::Adiabatic;
        let network = Network::build(
            &grid,
            &medium,
            &[],
            2,
            &[],
            &[],
            [edges[0], edges[1], a, a, a, a],
        )?;
        Ok(Self { network, grid })
    }

    fn drive(&self, zones: [Film; 2]) -> Drive {
        Drive::by_zone(&self.network, &zones)
    }

    /// Temperature at `x`, linear between cell centres.
    fn at(&self, t: &[f64], x: f64) -> f64 {
        let centre = |i: usize| 0.5 * (self.grid.x[i] + self.grid.x[i + 1]);
        let mut i = 0;
        while i + 2 < t.len() && centre(i + 1) < x {
            i += 1;
        }
        let f = (x - centre(i)) / (centre(i + 1) - centre(i));
        t[i] + f * (t[i + 1] - t[i])
    }

    /// Surface temperature towards a zone.
    fn surface(&self, t: &[f64], zone: u16, film: Film) -> f64 {
        let group = self.network.faces().iter().find(|g| g.zone == zone);
        group.map_or(f64::NAN, |g| g.surface(0, t, film.h, film.t))
    }

    /// Heat from the wall into a zone, W.
    fn flow(&self, t: &[f64], zone: u16, film: Film) -> f64 {
        let group = self.network.faces().iter().find(|g| g.zone == zone);
        group.map_or(f64::NAN, |g| {
            g.u(film.h) * g.areas[0] * (t[g.nodes[0]] - film.t)
        })
    }

    fn stepper(&self, dt: f64) -> Result<Stepper, HeatError> {
        Stepper::new(&self.network, Scheme::TrBdf2, dt, SOLVER)
    }
}

/// Steps from time `from` to `to`, s.
fn advance(
    stepper: &mut Stepper,
    t: &mut [f64],
    drive: &Drive,
    from: f64,
    to: f64,
) -> Result<(), HeatError> {
    let steps = ((to - from) / stepper.dt()).round() as usize;
    for _ in 0..steps {
        stepper.step(t, drive)?;
    }
    Ok(())
}

/// Semi-infinite pine, 20 degC, surface held at -10: `T = Ti + (Ts - Ti) erfc(x / 2 sqrt(a t))`.
fn half_space() -> Result<Vec<Check>, HeatError> {
    let wall = Wall::new(&[(0.6, PINE)], 0.0025, [Edge::Zone(0), Edge::Adiabatic])?;
    let film = Film { h: HELD, t: -10.0 };
    let drive = wall.drive([film, film]);
    let mut t = vec![20.0; wall.network.n()];
    let mut stepper = wall.stepper(60.0)?;
    advance(&mut stepper, &mut t, &drive, 0.0, 3600.0)?;
    let mut checks = vec![
        check(
            "half-space-20mm-1h",
            "held surface, 20 mm deep, 1 h",
            3.08891,
            wall.at(&t, 0.02),
            0.05,
            "degC",
        ),
        check(
            "half-space-50mm-1h",
            "held surface, 50 mm deep, 1 h",
            15.53256,
            wall.at(&t, 0.05),
            0.05,
            "degC",
        ),
        check(
            "half-space-flux-1h",
            "surface flux after 1 h",
            82.9186,
            wall.flow(&t, 0, film),
            0.4,
            "W/m2",
        ),
        check(
            "half-space-heat-1h",
            "heat drawn in 1 h",
            597.014e3,
            stepper.stats().balance.lost,
            3e3,
            "J/m2",
        ),
    ];
    advance(&mut stepper, &mut t, &drive, 3600.0, 6.0 * 3600.0)?;
    let got = wall.at(&t, 0.05);
    checks.push(check(
        "half-space-50mm-6h",
        "held surface, 50 mm deep, 6 h",
        3.32931,
        got,
        0.05,
        "degC",
    ));
    Ok(checks)
}

/// The same behind a film of 12 W/m2K: `theta = erfc e - exp(hx/k + h2 a t/k2) erfc(e + h sqrt(a t)/k)`.
fn half_space_film() -> Result<Vec<Check>, HeatError> {
    let wall = Wall::new(&[(0.6, PINE)], 0.0025, [Edge::Zone(0), Edge::Adiabatic])?;
    let film = Film { h: 12.0, t: -10.0 };
    let drive = wall.drive([film, film]);
    let mut t = vec![20.0; wall.network.n()];
    let mut stepper = wall.stepper(60.0)?;
    advance(&mut stepper, &mut t, &drive, 0.0, 3600.0)?;
    let surface = wall.surface(&t, 0, film);
    let mut checks = vec![
        check(
            "film-surface-1h",
            "behind a film, surface, 1 h",
            -3.56121,
            surface,
            0.05,
            "degC",
        ),
        check(
            "film-20mm-1h",
            "behind a film, 20 mm deep, 1 h",
            7.83948,
            wall.at(&t, 0.02),
            0.05,
            "degC",
        ),
    ];
    advance(&mut stepper, &mut t, &drive, 3600.0, 6.0 * 3600.0)?;
    let got = wall.at(&t, 0.05);
    checks.push(check(
        "film-50mm-6h",
        "behind a film, 50 mm deep, 6 h",
        5.52068,
        got,
        0.05,
        "degC",
    ));
    Ok(checks)
}

/// 40 mm pine board, film 6 on both faces (Bi = 1), 20 -> air -10: `sum C_n exp(-zeta_n^2 Fo) cos(zeta_n x/L)`.
fn board() -> Result<Vec<Check>, HeatError> {
    let wall = Wall::new(&[(0.04, PINE)], 0.00125, [Edge::Zone(0), Edge::Zone(1)])?;
    let film = Film { h: 6.0, t: -10.0 };
    let drive = wall.drive([film, film]);
    let mut t = vec![20.0; wall.network.n()];
    let mut stepper = wall.stepper(60.0)?;
    let mut checks = Vec::new();
    let mut from = 0.0;
    for (ids, to, centre, surface) in [
        (
            ["board-centre-600s", "board-surface-600s"],
            600.0,
            17.66020,
            8.42986,
        ),
        (
            ["board-centre-1800s", "board-surface-1800s"],
            1800.0,
            9.27068,
            2.56915,
        ),
        (
            ["board-centre-7200s", "board-surface-7200s"],
            7200.0,
            -6.35546,
            -7.62309,
        ),
    ] {
        advance(&mut stepper, &mut t, &drive, from, to)?;
        from = to;
        let what = format!("40 mm board after {to} s, centre");
        checks.push(check(
            ids[0],
            &what,
            centre,
            wall.at(&t, 0.02),
            0.03,
            "degC",
        ));
        let what = format!("40 mm board after {to} s, surface");
        checks.push(check(
            ids[1],
            &what,
            surface,
            wall.surface(&t, 0, film),
            0.03,
            "degC",
        ));
    }
    Ok(checks)
}

/// Honey-like brick 0.30 x 0.20 x 0.10 m, film 8 on all faces, 20 -> 0: product of three slabs. One eighth is solved.
fn brick() -> Result<Vec<Check>, HeatError> {
    let h = 0.00625;
    let planes = |n: usize| (0..=n).map(|i| i as f64 * h).collect::<Vec<_>>();
    let grid = Grid::new(planes(24), planes(16), planes(8))?;
    let solid = Solid {
        k: [0.5; 3],
        rho_c: 1420.0 * 2400.0,
    };
    let medium = Medium::uniform(&grid, solid);
    let (a, z) = (Edge::Adiabatic, Edge::Zone(0));
    let network = Network::build(&grid, &medium, &[], 1, &[], &[], [a, z, a, z, a, z])?;
    let drive = Drive::uniform(&network, Film { h: 8.0, t: 0.0 });
    let mut t = vec![20.0; network.n()];
    let mut stepper = Stepper::new(&network, Scheme::TrBdf2, 240.0, SOLVER)?;
    advance(&mut stepper, &mut t, &drive, 0.0, 4.0 * 3600.0)?;
    let corner = t[grid.index(23, 15, 7)];
    Ok(vec![
        check(
            "brick-centre-4h",
            "brick after 4 h, cell at the centre",
            11.80311,
            t[0],
            0.01,
            "degC",
        ),
        check(
            "brick-corner-4h",
            "brick after 4 h, cell at the corner",
            2.76351,
            corner,
            0.01,
            "degC",
        ),
    ])
}

/// A network of air nodes without cells.
fn rooms(air: &[AirNode], links: &[ExtraLink]) -> Result<Network, HeatError> {
    let unit = vec![0.0, 1.0];
    let grid = Grid::new(unit.clone(), unit.clone(), unit)?;
    let mut medium = Medium::uniform(&grid, PINE);
    medium.role.fill(Role::Outside(0));
    Network::build(&grid, &medium, air, 1, &[], links, [Edge::Adiabatic; 6])
}

fn room(name: &str, capacity: f64) -> AirNode {
    AirNode {
        name: name.into(),
        capacity,
        film_up: 10.0,
        film_side: 7.7,
        film_down: 5.9,
    }
}

/// One capacity of 20 kJ/K, 1.5 W/K to -10 degC, from 20 degC, 3 h.
fn lumped() -> Result<Vec<Check>, HeatError> {
    let network = rooms(&[room("room", 20e3)], &[])?;
    let mut checks = Vec::new();
    for (id, what, power, expected) in [
        ("lumped-3h", "lumped capacity after 3 h", 0.0, 3.34574),
        (
            "lumped-source-3h",
            "lumped capacity with a 10 W source after 3 h",
            10.0,
            7.04669,
        ),
    ] {
        let mut drive = Drive::uniform(&network, Film { h: 0.0, t: 0.0 });
        drive.exchange.push(Exchange {
            node: network.air_node(0),
            conductance: 1.5,
            t: -10.0,
        });
        drive.power[0] = power;
        let mut t = vec![20.0];
        let mut stepper = Stepper::new(&network, Scheme::TrBdf2, 60.0, SOLVER)?;
        advance(&mut stepper, &mut t, &drive, 0.0, 3.0 * 3600.0)?;
        checks.push(check(id, what, expected, t[0], 1e-3, "degC"));
    }
    Ok(checks)
}

/// Two rooms with a shared wall: `T1 = Te + (Q1 (U2 + Uw) + Q2 Uw) / (U1 U2 + Uw (U1 + U2))`.
fn two_rooms() -> Result<Vec<Check>, HeatError> {
    let network = |uw| {
        let link = ExtraLink {
            a: NodeRef::Air(0),
            b: NodeRef::Air(1),
            conductance: uw,
        };
        rooms(&[room("left", 30e3), room("right", 30e3)], &[link])
    };
    let drive = |n: &Network, u: [f64; 2], te, q: [f64; 2]| {
        let mut drive = Drive::uniform(n, Film { h: 0.0, t: 0.0 });
        for i in 0..2 {
            drive.exchange.push(Exchange {
                node: i,
                conductance: u[i],
                t: te,
            });
            drive.power[i] = q[i];
        }
        drive
    };
    let mut checks = Vec::new();
    for (ids, what, u, uw, te, q, expected) in [
        (
            ["rooms-one-1", "rooms-one-2"],
            "one heated",
            [1.2, 1.2],
            0.8,
            -10.0,
            [12.0, 0.0],
            [-2.857142857, -7.142857143],
        ),
        (
            ["rooms-both-1", "rooms-both-2"],
            "both heated",
            [1.2, 1.2],
            0.8,
            -10.0,
            [12.0, 8.0],
            [-0.952380952, -2.380952381],
        ),
        (
            ["rooms-apart-1", "rooms-apart-2"],
            "no wall",
            [1.2, 1.2],
            0.0,
            -10.0,
            [12.0, 8.0],
            [0.0, -3.333333333],
        ),
    ] {
        let n = network(uw)?;
        let t = steady(&n, &drive(&n, u, te, q), SOLVER)?.t;
        for i in 0..2 {
            let what = format!("two rooms, {what}, room {}", i + 1);
            checks.push(check(ids[i], &what, expected[i], t[i], 1e-6, "degC"));
        }
    }
    let n = network(0.5)?;
    let t = steady(&n, &drive(&n, [1.2, 0.9], -5.0, [10.0, 6.0]), SOLVER)?.t;
    checks.push(check(
        "rooms-unequal-1",
        "two unequal rooms, room 1",
        2.98122,
        t[0],
        1e-5,
        "degC",
    ));
    checks.push(check(
        "rooms-unequal-2",
        "two unequal rooms, room 2",
        2.13615,
        t[1],
        1e-5,
        "degC",
    ));
    let n = network(0.8)?;
    let d = drive(&n, [1.2, 1.2], -10.0, [12.0, 8.0]);
    let mut t = vec![20.0; 2];
    let mut stepper = Stepper::new(&n, Scheme::TrBdf2, 300.0, SOLVER)?;
    advance(&mut stepper, &mut t, &d, 0.0, 4.0 * 3600.0)?;
    checks.push(check(
        "rooms-4h-1",
        "two rooms cooling for 4 h, room 1",
        11.04109,
        t[0],
        0.01,
        "degC",
    ));
    checks.push(check(
        "rooms-4h-2",
        "two rooms cooling for 4 h, room 2",
        9.98509,
        t[1],
        0.01,
        "degC",
    ));
    Ok(checks)
}

/// 22 mm pine and 40 mm foam between films, 10 and -10 degC.
fn layered_wall() -> Result<Vec<Check>, HeatError> {
    let foam = Solid {
        k: [0.034; 3],
        rho_c: 30.0 * 1450.0,
    };
    let wall = Wall::new(
        &[(0.022, PINE), (0.04, foam)],
        0.002,
        [Edge::Zone(0), Edge::Zone(1)],
    )?;
    let (warm, cold) = (
        Film {
            h: 1.0 / 0.13,
            t: 10.0,
        },
        Film {
            h: 1.0 / 0.04,
            t: -10.0,
        },
    );
    let t = steady(&wall.network, &wall.drive([warm, cold]), SOLVER)?.t;
    let q = wall.flow(&t, 1, cold);
    // Interface: from the last pine cell outwards at the same flux.
    let i = wall.grid.x.iter().filter(|x| **x < 0.022 - 1e-9).count() - 1;
    let interface = t[i] - q * 0.5 * wall.grid.width(0, i) / PINE.k[0];
    Ok(vec![
        check(
            "layered-u",
            "U of pine and foam",
            0.653679,
            q / 20.0,
            1e-5,
            "W/m2K",
        ),
        check(
            "layered-inner",
            "inner surface of pine and foam",
            8.30044,
            wall.surface(&t, 0, warm),
            1e-5,
            "degC",
        ),
        check(
            "layered-interface",
            "between pine and foam",
            5.90361,
            interface,
            1e-5,
            "degC",
        ),
    ])
}

/// Slab 0.10 m, k 0.35, 1000 W/m3, film 8, air -5.
fn heated_slab() -> Result<Vec<Check>, HeatError> {
    let solid = Solid {
        k: [0.35; 3],
        rho_c: 1e6,
    };
    let wall = Wall::new(&[(0.10, solid)], 0.0005, [Edge::Zone(0), Edge::Zone(1)])?;
    let film = Film { h: 8.0, t: -5.0 };
    let mut drive = wall.drive([film, film]);
    for (i, p) in drive.power.iter_mut().enumerate() {
        *p = 1000.0 * wall.grid.width(0, i);
    }
    let t = steady(&wall.network, &drive, SOLVER)?.t;
    Ok(vec![
        check(
            "heated-slab-surface",
            "slab with source, surface",
            1.25,
            wall.surface(&t, 0, film),
            1e-3,
            "degC",
        ),
        check(
            "heated-slab-centre",
            "slab with source, centre",
            4.82143,
            wall.at(&t, 0.05),
            1e-3,
            "degC",
        ),
    ])
}

/// Periodic transmittance over 24 h: modulus (W/m2K) and time shift (h), films 0.13 and 0.04 m2K/W.
fn periodic() -> Result<Vec<Check>, HeatError> {
    let foam = Solid {
        k: [0.034; 3],
        rho_c: 30.0 * 1450.0,
    };
    let concrete = Solid {
        k: [1.8; 3],
        rho_c: 2400.0 * 1000.0,
    };
    let mut checks = Vec::new();
    for (ids, name, layers, modulus, shift) in [
        (
            ["periodic-pine22-y", "periodic-pine22-shift"],
            "22 mm pine",
            vec![(0.022, PINE)],
            2.824499,
            -0.32826,
        ),
        (
            ["periodic-pine-foam-y", "periodic-pine-foam-shift"],
            "22 mm pine and 40 mm foam",
            vec![(0.022, PINE), (0.04, foam)],
            0.641302,
            -0.95912,
        ),
        (
            ["periodic-pine100-y", "periodic-pine100-shift"],
            "100 mm pine",
            vec![(0.1, PINE)],
            0.829983,
            -3.55640,
        ),
        (
            ["periodic-concrete-y", "periodic-concrete-shift"],
            "200 mm concrete",
            vec![(0.2, concrete)],
            1.827071,
            -5.67569,
        ),
    ] {
        let [y, hours] = periodic_transmittance(&layers)?;
        let mut pair = [
            check(
                ids[0],
                &format!("periodic transmittance of {name}"),
                modulus,
                y,
                1e-3,
                "W/m2K",
            ),
            check(
                ids[1],
                &format!("time shift of {name}"),
                shift,
                hours,
                5e-3,
                "h",
            ),
        ];
        for c in &mut pair {
            c.source = ISO_13786;
        }
        checks.extend(pair);
    }
    Ok(checks)
}

/// Swings the outside by 1 K over 24 h and takes the first harmonic of the inner flux over the last of ten days.
fn periodic_transmittance(layers: &[(f64, Solid)]) -> Result<[f64; 2], HeatError> {
    const DAY: f64 = 86_400.0;
    const STEPS: usize = 288;
    let wall = Wall::new(layers, 0.001, [Edge::Zone(0), Edge::Zone(1)])?;
    let dt = DAY / STEPS as f64;
    let mut stepper = wall.stepper(dt)?;
    let mut t = vec![0.0; wall.network.n()];
    let inner = Film {
        h: 1.0 / 0.13,
        t: 0.0,
    };
    let omega = 2.0 * std::f64::consts::PI / DAY;
    let (mut cosine, mut sine) = (0.0, 0.0);
    for day in 0..10 {
        for i in 0..STEPS {
            let (middle, end) = ((i as f64 + 0.5) * dt, (i as f64 + 1.0) * dt);
            let outer = Film {
                h: 1.0 / 0.04,
                t: (omega * middle).cos(),
            };
            stepper.step(&mut t, &wall.drive([inner, outer]))?;
            if day == 9 {
                let q = wall.flow(&t, 0, inner);
                cosine += q * (omega * end).cos() * 2.0 / STEPS as f64;
                sine += q * (omega * end).sin() * 2.0 / STEPS as f64;
            }
        }
    }
    Ok([cosine.hypot(sine), -sine.atan2(cosine) / omega / 3600.0])
}

/// Continuous point source of 10 W in pine, 0.2 m away, after 24 h: `Q/(4 pi k r) erfc(r / 2 sqrt(a t))`.
fn point_source() -> Result<Vec<Check>, HeatError> {
    let h = 0.025;
    // Cells centred on the origin and on multiples of h, then graded to 1 m.
    let near = 13.5 * h;
    let mut planes: Vec<f64> = (-13..=14).map(|i| (f64::from(i) - 0.5) * h).collect();
    let (mut at, mut width) = (near, h);
    while at < 1.0 {
        width *= 1.2;
        at += width;
        planes.push(at);
        planes.push(-at);
    }
    planes.sort_by(f64::total_cmp);
    let grid = Grid::new(planes.clone(), planes.clone(), planes)?;
    let medium = Medium::uniform(&grid, PINE);
    let network = Network::build(&grid, &medium, &[], 1, &[], &[], [Edge::Adiabatic; 6])?;
    let mut drive = Drive::uniform(&network, Film { h: 0.0, t: 0.0 });
    let cell = |p| grid.locate(p).map_or(0, |c| grid.index(c[0], c[1], c[2]));
    drive.power[cell([0.0; 3])] = 10.0;
    let mut t = vec![0.0; network.n()];
    let mut stepper = Stepper::new(&network, Scheme::TrBdf2, 1800.0, SOLVER)?;
    advance(&mut stepper, &mut t, &drive, 0.0, 86_400.0)?;
    let got = t[cell([8.0 * h, 0.0, 0.0])];
    Ok(vec![check(
        "point-source-24h",
        "0.2 m from a 10 W point source after 24 h",
        7.91109,
        got,
        0.158,
        "K",
    )])
}

/// Resistance of an immersed sphere (K/W) in a uniform block of conductivity `k` (W/mK) with cells of `h` (m), without
/// the block's own outer resistance, which is eliminated by two block sizes (it goes with 1/size).
///
/// # Errors
/// A block that cannot be built or solved.
pub fn sphere_resistance(k: f64, radius: f64, h: f64, offset: [f64; 3]) -> Result<f64, HeatError> {
    let mut r = [0.0; 2];
    for (r, half) in r.iter_mut().zip([1.5, 3.0]) {
        let near = ((radius + 2.0 * h) / h).ceil() * h;
        let mut planes = graded_axis(&[-near, near], 2, h, 1.0, h);
        let (mut at, mut width) = (near, h);
        while at < half - 1e-9 {
            width *= 1.35;
            at = if at + 1.5 * width > half {
                half
            } else {
                at + width
            };
            planes.push(at);
            planes.push(-at);
        }
        planes.sort_by(f64::total_cmp);
        let grid = Grid::new(planes.clone(), planes.clone(), planes)?;
        let medium = Medium::uniform(
            &grid,
            Solid {
                k: [k; 3],
                rho_c: 1e6,
            },
        );
        let network = Network::build(&grid, &medium, &[], 1, &[], &[], [Edge::Zone(0); 6])?;
        let shell = Shell::sphere(&grid, &network, offset.map(|o| o * h), radius, None)?;
        let mut drive = Drive::uniform(&network, Film { h: HELD, t: 0.0 });
        shell.deposit(&mut drive.power, 1.0);
        *r = shell.sample(&steady(&network, &drive, SOLVER)?.t);
    }
    Ok(2.0 * r[1] - r[0])
}

/// Immersed spheres: unbounded block, and a ball with a film.
fn immersed() -> Result<Vec<Check>, HeatError> {
    let mut checks = Vec::new();
    for (id, radius, h) in [
        ("sphere-60-20", 0.06, 0.020),
        ("sphere-60-35", 0.06, 0.035),
        ("sphere-100-25", 0.10, 0.025),
        ("sphere-150-35", 0.15, 0.035),
    ] {
        let exact = 1.0 / (4.0 * std::f64::consts::PI * 0.12 * radius);
        let got = sphere_resistance(0.12, radius, h, [0.2, 0.35, -0.1])?;
        let what = format!("immersed sphere of {radius} m in cells of {h} m, times 4 pi k R");
        checks.push(check(id, &what, 1.0, got / exact, 0.02, "-"));
    }
    checks.push(ball_with_film()?);
    checks.push(reciprocity()?);
    Ok(checks)
}

/// Sphere of 0.10 m in a ball of 0.25 m, k 0.06, film 8 on the ball: `(1/a - 1/b)/(4 pi k) + 1/(4 pi b^2 h)`. The ball is
/// made of cells; its film is scaled to the true area.
fn ball_with_film() -> Result<Check, HeatError> {
    let h = 0.0125;
    let planes: Vec<f64> = (-21..=21).map(|i| f64::from(i) * h).collect();
    let grid = Grid::new(planes.clone(), planes.clone(), planes)?;
    let mut medium = Medium::uniform(
        &grid,
        Solid {
            k: [0.06; 3],
            rho_c: 1e5,
        },
    );
    for (cell, role) in medium.role.iter_mut().enumerate() {
        let [i, j, k] = grid.ijk(cell);
        let r2: f64 = grid.cell_centre(i, j, k).iter().map(|v| v * v).sum();
        if r2 > 0.0625 {
            *role = Role::Outside(0);
        }
    }
    let network = Network::build(&grid, &medium, &[], 1, &[], &[], [Edge::Adiabatic; 6])?;
    let stairs: f64 = network.faces().iter().map(|g| g.area()).sum();
    let ball = 4.0 * std::f64::consts::PI * 0.0625;
    let mut drive = Drive::uniform(
        &network,
        Film {
            h: 8.0 * ball / stairs,
            t: 0.0,
        },
    );
    let shell = Shell::sphere(&grid, &network, [0.0; 3], 0.10, None)?;
    shell.deposit(&mut drive.power, 1.0);
    let got = shell.sample(&steady(&network, &drive, SOLVER)?.t);
    Ok(check(
        "sphere-ball-film",
        "sphere in a ball with a film",
        8.11690,
        got,
        0.162,
        "K/W",
    ))
}

/// Two spheres in one block: the rise of each by 1 W in the other.
fn reciprocity() -> Result<Check, HeatError> {
    let axis = |half: f64| graded_axis(&[-half, -0.02, 0.02, half], 2, 0.01, 1.4, 0.03);
    let grid = Grid::new(axis(0.4), axis(0.3), axis(0.3))?;
    let mut medium = Medium::uniform(
        &grid,
        Solid {
            k: [0.08, 0.15, 0.1],
            rho_c: 1e5,
        },
    );
    medium.fill_box(&grid, [-0.02, 0.02], [-1.0, 1.0], [-1.0, 1.0], PINE);
    let network = Network::build(&grid, &medium, &[], 1, &[], &[], [Edge::Zone(0); 6])?;
    let left = [[-0.4, -0.02], [-0.3, 0.3], [-0.3, 0.3]];
    let right = [[0.02, 0.4], [-0.3, 0.3], [-0.3, 0.3]];
    let a = Shell::sphere(&grid, &network, [-0.08, 0.05, 0.0], 0.09, Some(left))?;
    let b = Shell::sphere(&grid, &network, [0.11, -0.03, 0.04], 0.07, Some(right))?;
    let mut rise = [0.0; 2];
    for (rise, (from, to)) in rise.iter_mut().zip([(&a, &b), (&b, &a)]) {
        let mut drive = Drive::uniform(&network, Film { h: 8.0, t: 0.0 });
        from.deposit(&mut drive.power, 1.0);
        *rise = to.sample(&steady(&network, &drive, SOLVER)?.t);
    }
    let mut c = check(
        "sphere-reciprocity",
        "rise of one sphere by 1 W in the other, both ways",
        rise[0],
        rise[1],
        1e-7,
        "K/W",
    );
    c.source = "symmetry of the conductance matrix";
    c.evidence = Evidence::Principle;
    Ok(c)
}
