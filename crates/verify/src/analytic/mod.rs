//! Exact solutions of the heat equation (textbook formulas, values computed independently of this program), through the
//! same grid, network and stepper as every hive.

use partywall_core::heat::{
    AirNode, Drive, Edge, Exchange, ExtraLink, Film, Grid, HeatError, LinearSolver, Medium,
    Network, NodeRef, Role, Scheme, Solid, Stepper, steady,
};

mod sphere;
mod wall;
mod walls;

pub use sphere::sphere_resistance;

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
    let mut checks = walls::half_space()?;
    checks.extend(walls::half_space_film()?);
    checks.extend(walls::board()?);
    checks.extend(brick()?);
    checks.extend(lumped()?);
    checks.extend(two_rooms()?);
    checks.extend(walls::layered_wall()?);
    checks.extend(walls::heated_slab()?);
    checks.extend(walls::periodic()?);
    checks.extend(sphere::point_source()?);
    checks.extend(sphere::immersed()?);
    Ok(checks)
}

fn check(id: &'static str, what: &str, numbers: (f64, f64, f64), unit: &'static str) -> Check {
    Check::new(id, what, numbers, unit, (TEXTBOOK, Evidence::Computed))
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
            (11.80311, t[0], 0.01),
            "degC",
        ),
        check(
            "brick-corner-4h",
            "brick after 4 h, cell at the corner",
            (2.76351, corner, 0.01),
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
        radiant: None,
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
        checks.push(check(id, what, (expected, t[0], 1e-3), "degC"));
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
            checks.push(check(ids[i], &what, (expected[i], t[i], 1e-6), "degC"));
        }
    }
    let n = network(0.5)?;
    let t = steady(&n, &drive(&n, [1.2, 0.9], -5.0, [10.0, 6.0]), SOLVER)?.t;
    checks.push(check(
        "rooms-unequal-1",
        "two unequal rooms, room 1",
        (2.98122, t[0], 1e-5),
        "degC",
    ));
    checks.push(check(
        "rooms-unequal-2",
        "two unequal rooms, room 2",
        (2.13615, t[1], 1e-5),
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
        (11.04109, t[0], 0.01),
        "degC",
    ));
    checks.push(check(
        "rooms-4h-2",
        "two rooms cooling for 4 h, room 2",
        (9.98509, t[1], 0.01),
        "degC",
    ));
    Ok(checks)
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
