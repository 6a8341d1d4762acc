//! The four validation cases of ISO 10211 (2007 annex A, the 2017 edition keeps them), through the same grid, network
//! and solver as every hive.

use partywall_core::heat::{Edge, Film, Grid, HeatError, Medium, Solid, graded_axis};

mod case;
mod solids;

use case::{Case, nearest};
use solids::{case_3, case_4};

use super::{Check, Evidence};

const CASE_1: &str = "ISO 10211:2007 annex A, case 1; exact series of the same problem";
const CASE_2: &str = "ISO 10211:2007 annex A, case 2";
const CASE_3: &str = "ISO 10211:2007 annex A, case 3";
const CASE_4: &str = "ISO 10211:2007 annex A, case 4";
const RULES: &str = "ISO 10211:2007, rules for subdivision and heat balance (from memory)";
/// No volume of heat matters in a steady state; J/m3K.
const ANY_CAPACITY: f64 = 1e6;

/// All checks of the four cases.
///
/// # Errors
/// A case that could not be built or solved.
pub fn checks() -> Result<Vec<Check>, HeatError> {
    let mut checks = case_1()?;
    checks.extend(case_2()?);
    checks.extend(case_3()?);
    checks.extend(case_4()?);
    Ok(checks)
}

fn solid(k: f64) -> Solid {
    Solid {
        k: [k; 3],
        rho_c: ANY_CAPACITY,
    }
}

/// The 28 temperatures of case 1, degC: rows away from the hot side, columns from the cold side to the axis; the exact
/// series `20 sum_odd 4/(n pi) sin(n pi x/L) sinh(n pi y/L)/sinh(n pi)`, which rounds to the published list everywhere.
const CASE_1_EXACT: [[f64; 4]; 7] = [
    [9.6582, 13.3791, 14.7289, 15.0854],
    [5.2517, 8.6406, 10.3155, 10.8106],
    [3.1887, 5.6090, 7.0142, 7.4651],
    [2.0142, 3.6406, 4.6582, 5.0000],
    [1.2625, 2.3086, 2.9858, 3.2185],
    [0.7396, 1.3594, 1.7668, 1.9083],
    [0.3418, 0.6296, 0.8199, 0.8863],
];

/// Largest error of the 28 points of case 1 with cells of `L/n`, K.
///
/// # Errors
/// A grid that cannot be built or solved.
pub fn case_1_error(n: usize) -> Result<f64, HeatError> {
    let planes = |count: usize| (0..=count).map(|i| i as f64 / n as f64).collect::<Vec<_>>();
    let grid = Grid::new(planes(n / 2), vec![0.0, 1.0], planes(n))?;
    let medium = Medium::uniform(&grid, solid(1.0));
    let held = |t| Film {
        h: f64::INFINITY,
        t,
    };
    // x = 0 cold side, x = L/2 symmetry, z = 0 cold side, z = L hot side.
    let edges = [
        Edge::Zone(0),
        Edge::Adiabatic,
        Edge::Adiabatic,
        Edge::Adiabatic,
        Edge::Zone(0),
        Edge::Zone(1),
    ];
    let case = Case::solve(grid, medium, &[held(0.0), held(20.0)], edges)?;
    let mut worst: f64 = 0.0;
    for (row, values) in CASE_1_EXACT.iter().enumerate() {
        for (column, exact) in values.iter().enumerate() {
            let point = [(column + 1) as f64 / 8.0, 0.5, 1.0 - (row + 1) as f64 / 8.0];
            let at = nearest(case.grid.planes(1), 0.0);
            let got = case.vertex([point[0], case.grid.y[at], point[2]]);
            worst = worst.max((got - exact).abs());
        }
    }
    Ok(worst)
}

fn case_1() -> Result<Vec<Check>, HeatError> {
    Ok(vec![Check::new(
        "iso10211-1-points",
        "largest error of the 28 temperatures, cells of L/32",
        (0.0, case_1_error(32)?, 0.02),
        "K",
        (CASE_1, Evidence::Computed),
    )])
}

fn case_2() -> Result<Vec<Check>, HeatError> {
    let mm = 1e-3;
    let axis = |at: &[f64]| {
        graded_axis(
            &at.iter().map(|v| v * mm).collect::<Vec<_>>(),
            2,
            0.75 * mm,
            1.3,
            20.0 * mm,
        )
    };
    let grid = Grid::new(
        axis(&[0.0, 1.5, 15.0, 500.0]),
        vec![0.0, 1.0],
        axis(&[0.0, 1.5, 35.0, 36.5, 41.5, 47.5]),
    )?;
    let mut medium = Medium::uniform(&grid, solid(0.029));
    let mut layer = |x: [f64; 2], z: [f64; 2], k| {
        medium.fill_box(
            &grid,
            x.map(|v| v * mm),
            [-1.0, 2.0],
            z.map(|v| v * mm),
            solid(k),
        );
    };
    layer([-1.0, 501.0], [41.5, 48.0], 1.15);
    layer([-1.0, 15.0], [36.5, 41.5], 0.12);
    layer([-1.0, 501.0], [-1.0, 1.5], 230.0);
    layer([-1.0, 1.5], [-1.0, 36.5], 230.0);
    layer([-1.0, 15.0], [35.0, 36.5], 230.0);
    let (cold, warm) = (
        Film {
            h: 1.0 / 0.06,
            t: 0.0,
        },
        Film {
            h: 1.0 / 0.11,
            t: 20.0,
        },
    );
    let a = Edge::Adiabatic;
    let case = Case::solve(
        grid,
        medium,
        &[cold, warm],
        [a, a, a, a, Edge::Zone(1), Edge::Zone(0)],
    )?;
    let inner = |x: f64, z: f64| case.vertex([x * mm, 0.0, z * mm]);
    let outer = |zone, x: f64, z: f64| case.surface(zone, [x * mm, 0.5, z * mm]);
    let mut checks = vec![
        flow(
            "iso10211-2-flow",
            "heat flow per metre",
            (9.5, -case.flow(1), 0.1),
            "W/m",
            CASE_2,
        ),
        Check::new(
            "iso10211-2-flow-fine",
            "heat flow per metre against an independent finite-volume run with 38,760 cells",
            (9.4907, -case.flow(1), 0.03),
            "W/m",
            (CASE_2, Evidence::Computed),
        ),
        balance("iso10211-2-balance", &case),
    ];
    let points = [
        ("iso10211-2-A", 7.1, outer(0, 0.0, 47.5)),
        ("iso10211-2-B", 0.8, outer(0, 500.0, 47.5)),
        ("iso10211-2-C", 7.9, inner(0.0, 41.5)),
        ("iso10211-2-D", 6.3, inner(15.0, 41.5)),
        ("iso10211-2-E", 0.8, inner(500.0, 41.5)),
        ("iso10211-2-F", 16.4, inner(0.0, 36.5)),
        ("iso10211-2-G", 16.3, inner(15.0, 36.5)),
        ("iso10211-2-H", 16.8, outer(1, 0.0, 0.0)),
        ("iso10211-2-I", 18.3, outer(1, 500.0, 0.0)),
    ];
    for (id, expected, got) in points {
        checks.push(Check::new(
            id,
            format!("temperature at point {}", &id[id.len() - 1..]),
            (expected, got, 0.1),
            "degC",
            (CASE_2, Evidence::Published),
        ));
    }
    Ok(checks)
}

/// A published flow.
fn flow(
    id: &'static str,
    what: &str,
    numbers: (f64, f64, f64),
    unit: &'static str,
    source: &'static str,
) -> Check {
    Check::new(id, what, numbers, unit, (source, Evidence::Published))
}

/// The heat balance of a case: off by less than 1e-4 of the flow by the standard, 1e-6 here.
fn balance(id: &'static str, case: &Case) -> Check {
    Check::new(
        id,
        "heat balance residual as a share of the flow",
        (0.0, case.imbalance, 1e-6),
        "-",
        (RULES, Evidence::Principle),
    )
}
