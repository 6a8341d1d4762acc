//! Point sources and immersed spheres.

use partywall_core::heat::{
    Drive, Edge, Film, Grid, HeatError, Medium, Network, Role, Scheme, Shell, Solid, Stepper,
    graded_axis, steady,
};
use partywall_core::region::{Ball, Region};

use super::super::{Check, Evidence};
use super::{HELD, PINE, SOLVER, advance, check};

/// Continuous point source of 10 W in pine, 0.2 m away, after 24 h: `Q/(4 pi k r) erfc(r / 2 sqrt(a t))`.
pub(super) fn point_source() -> Result<Vec<Check>, HeatError> {
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
        (7.91109, got, 0.158),
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
        let shell = Shell::ball(
            &grid,
            &network,
            &Ball {
                seat: offset.map(|o| o * h),
                radius,
            },
            None,
        )?;
        let mut drive = Drive::uniform(&network, Film { h: HELD, t: 0.0 });
        shell.deposit(&mut drive.power, 1.0);
        *r = shell.sample(&steady(&network, &drive, SOLVER)?.t);
    }
    Ok(2.0 * r[1] - r[0])
}

/// Immersed spheres: unbounded block, and a ball with a film.
pub(super) fn immersed() -> Result<Vec<Check>, HeatError> {
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
        checks.push(check(id, &what, (1.0, got / exact, 0.02), "-"));
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
    let shell = Shell::ball(
        &grid,
        &network,
        &Ball {
            seat: [0.0; 3],
            radius: 0.10,
        },
        None,
    )?;
    shell.deposit(&mut drive.power, 1.0);
    let got = shell.sample(&steady(&network, &drive, SOLVER)?.t);
    Ok(check(
        "sphere-ball-film",
        "sphere in a ball with a film",
        (8.11690, got, 0.162),
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
    let a = Shell::ball(
        &grid,
        &network,
        &Ball {
            seat: [-0.08, 0.05, 0.0],
            radius: 0.09,
        },
        Some(&Region::one(left)),
    )?;
    let b = Shell::ball(
        &grid,
        &network,
        &Ball {
            seat: [0.11, -0.03, 0.04],
            radius: 0.07,
        },
        Some(&Region::one(right)),
    )?;
    let mut rise = [0.0; 2];
    for (rise, (from, to)) in rise.iter_mut().zip([(&a, &b), (&b, &a)]) {
        let mut drive = Drive::uniform(&network, Film { h: 8.0, t: 0.0 });
        from.deposit(&mut drive.power, 1.0);
        *rise = to.sample(&steady(&network, &drive, SOLVER)?.t);
    }
    let mut c = check(
        "sphere-reciprocity",
        "rise of one sphere by 1 W in the other, both ways",
        (rise[0], rise[1], 1e-7),
        "K/W",
    );
    c.source = "symmetry of the conductance matrix";
    c.evidence = Evidence::Principle;
    Ok(c)
}
