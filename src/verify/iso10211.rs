//! The four validation cases of ISO 10211 (2007 annex A, the 2017 edition keeps them), through the same grid, network
//! and solver as every hive.

use crate::heat::{
    Drive, Edge, Film, Grid, HeatError, LinearSolver, Medium, Network, Role, Solid, graded_axis,
    steady,
};

use super::{Check, Evidence};

const SOLVER: LinearSolver = LinearSolver::PCG;
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

/// A solved case: everything needed to read temperatures and flows off it.
struct Case {
    grid: Grid,
    medium: Medium,
    network: Network,
    drive: Drive,
    t: Vec<f64>,
    /// Share of the flow the heat balance is off by.
    imbalance: f64,
}

impl Case {
    fn solve(
        grid: Grid,
        medium: Medium,
        zones: &[Film],
        edges: [Edge; 6],
    ) -> Result<Self, HeatError> {
        let network = Network::build(&grid, &medium, &[], zones.len(), &[], &[], edges)?;
        let drive = Drive::by_zone(&network, zones);
        let mut case = Self {
            grid,
            medium,
            network,
            drive,
            t: Vec::new(),
            imbalance: 0.0,
        };
        case.again(zones)?;
        Ok(case)
    }

    /// Solves again with other zone films and temperatures.
    fn again(&mut self, zones: &[Film]) -> Result<(), HeatError> {
        self.drive = Drive::by_zone(&self.network, zones);
        let solution = steady(&self.network, &self.drive, SOLVER)?;
        self.imbalance = solution.balance.relative();
        self.t = solution.t;
        Ok(())
    }

    /// Heat from the body into a zone, W.
    fn flow(&self, zone: u16) -> f64 {
        let mut sum = 0.0;
        for (group, film) in self.network.faces().iter().zip(&self.drive.faces) {
            if group.zone == zone {
                let u = group.u(film.h);
                sum += group
                    .nodes
                    .iter()
                    .zip(&group.areas)
                    .map(|(n, a)| u * a * (self.t[*n] - film.t))
                    .sum::<f64>();
            }
        }
        sum
    }

    /// Temperature at a grid vertex: mean of the solid cells around it, weighted by their conductances
    /// `k (dy dz/dx + dx dz/dy + dx dy/dz)`, so that a metal corner counts as metal.
    fn vertex(&self, point: [f64; 3]) -> f64 {
        let at: [usize; 3] = std::array::from_fn(|a| nearest(self.grid.planes(a), point[a]));
        let shape = self.grid.shape();
        let (mut sum, mut weights) = (0.0, 0.0);
        for corner in 0..8_usize {
            let cell: [usize; 3] =
                std::array::from_fn(|a| (at[a] + (corner >> a & 1)).wrapping_sub(1));
            if (0..3).any(|a| cell[a] >= shape[a]) {
                continue;
            }
            let Some(node) = self
                .network
                .cell_node(self.grid.index(cell[0], cell[1], cell[2]))
            else {
                continue;
            };
            let volume = self.grid.volume(cell[0], cell[1], cell[2]);
            let weight: f64 = (0..3)
                .map(|a| self.medium.k[a][cell] * volume / self.grid.width(a, cell[a]).powi(2))
                .sum();
            sum += weight * self.t[node];
            weights += weight;
        }
        sum / weights
    }

    /// Temperature of the outer surface of a zone nearest to a point.
    fn surface(&self, zone: u16, point: [f64; 3]) -> f64 {
        let mut best = (f64::INFINITY, f64::NAN);
        for (group, film) in self.network.faces().iter().zip(&self.drive.faces) {
            for (i, c) in group
                .centroids
                .iter()
                .enumerate()
                .filter(|_| group.zone == zone)
            {
                let d: f64 = (0..3).map(|a| (c[a] - point[a]).powi(2)).sum();
                if d < best.0 {
                    best = (d, group.surface(i, &self.t, film.h, film.t));
                }
            }
        }
        best.1
    }
}

fn nearest(planes: &[f64], v: f64) -> usize {
    (0..planes.len()).fold(0, |b, i| {
        if (planes[i] - v).abs() < (planes[b] - v).abs() {
            i
        } else {
            b
        }
    })
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
    Ok(vec![Check {
        id: "iso10211-1-points",
        what: "largest error of the 28 temperatures, cells of L/32".into(),
        expected: 0.0,
        got: case_1_error(32)?,
        tolerance: 0.02,
        unit: "K",
        source: CASE_1,
        evidence: Evidence::Computed,
    }])
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
            9.5,
            -case.flow(1),
            0.1,
            "W/m",
            CASE_2,
        ),
        Check {
            id: "iso10211-2-flow-fine",
            what: "heat flow per metre against an independent finite-volume run with 38,760 cells"
                .into(),
            expected: 9.4907,
            got: -case.flow(1),
            tolerance: 0.03,
            unit: "W/m",
            source: CASE_2,
            evidence: Evidence::Computed,
        },
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
        checks.push(Check {
            id,
            what: format!("temperature at point {}", &id[id.len() - 1..]),
            expected,
            got,
            tolerance: 0.1,
            unit: "degC",
            source: CASE_2,
            evidence: Evidence::Published,
        });
    }
    Ok(checks)
}

/// Case 3 on a graded grid with cells of `h` (m) at the interfaces. Zones: 0 outside, 1 lower room, 2 upper room.
fn build_case_3(h: f64, growth: f64) -> Result<Case, HeatError> {
    let axis = |at: &[f64]| graded_axis(at, 2, h, growth, 0.2);
    let grid = Grid::new(
        axis(&[-0.10, 0.0, 0.05, 0.20, 1.20]),
        axis(&[-0.70, -0.10, 0.0, 0.05, 0.20, 1.20]),
        axis(&[0.0, 1.00, 1.15, 1.20, 2.15]),
    )?;
    let mut medium = Medium::uniform(&grid, solid(1.0));
    let (all, far) = ([-9.0, 9.0], 9.0);
    medium.role_box(&grid, all, all, all, Role::Outside(0));
    for (lo, hi, k) in [(-0.10, 0.0, 1.0), (0.0, 0.05, 0.04), (0.05, 0.20, 0.7)] {
        medium.fill_box(&grid, [lo, hi], [lo, far], all, solid(k));
        medium.fill_box(&grid, [lo, far], [lo, hi], all, solid(k));
    }
    medium.fill_box(&grid, [0.05, far], [-0.70, far], [1.00, 1.15], solid(2.5));
    medium.role_box(
        &grid,
        [0.20, far],
        [0.20, far],
        [-far, 1.00],
        Role::Outside(1),
    );
    medium.fill_box(&grid, [0.20, far], [0.20, far], [1.15, 1.20], solid(1.0));
    medium.role_box(
        &grid,
        [0.20, far],
        [0.20, far],
        [1.20, far],
        Role::Outside(2),
    );
    let a = Edge::Adiabatic;
    Case::solve(
        grid,
        medium,
        &case_3_zones([0.0, 20.0, 15.0]),
        [Edge::Zone(0), a, Edge::Zone(0), a, a, a],
    )
}

fn case_3_zones(t: [f64; 3]) -> [Film; 3] {
    [
        Film { h: 20.0, t: t[0] },
        Film { h: 5.0, t: t[1] },
        Film { h: 5.0, t: t[2] },
    ]
}

fn case_3() -> Result<Vec<Check>, HeatError> {
    let coarse = build_case_3(0.0125, 1.4)?;
    let mut case = build_case_3(0.00625, 1.3)?;
    let film_area = |zone: u16| {
        case.network
            .faces()
            .iter()
            .filter(|g| g.zone == zone)
            .map(|g| g.area())
            .sum::<f64>()
    };
    let area = |id, what: &str, expected, zone| Check {
        id,
        what: what.into(),
        expected,
        got: film_area(zone),
        tolerance: 1e-9,
        unit: "m2",
        source: CASE_3,
        evidence: Evidence::Computed,
    };
    let corner = |id, what: &str, expected, z| Check {
        id,
        what: what.into(),
        expected,
        got: case.vertex([0.20, 0.20, z]),
        tolerance: 0.1,
        unit: "degC",
        source: CASE_3,
        evidence: Evidence::Published,
    };
    let sum = |c: &Case| (0..3).map(|z| c.flow(z).abs()).sum::<f64>();
    let mut checks = vec![
        area(
            "iso10211-3-area-lower",
            "film area of the lower room",
            3.00,
            1,
        ),
        area(
            "iso10211-3-area-upper",
            "film area of the upper room",
            2.90,
            2,
        ),
        area("iso10211-3-area-outside", "film area outside", 7.06, 0),
        flow(
            "iso10211-3-flow-lower",
            "heat from the lower room",
            46.09,
            -case.flow(1),
            0.4609,
            "W",
            CASE_3,
        ),
        flow(
            "iso10211-3-flow-upper",
            "heat from the upper room",
            13.89,
            -case.flow(2),
            0.1389,
            "W",
            CASE_3,
        ),
        flow(
            "iso10211-3-flow-outside",
            "heat to the outside",
            59.98,
            case.flow(0),
            0.5998,
            "W",
            CASE_3,
        ),
        corner(
            "iso10211-3-corner-lower",
            "lowest surface temperature of the lower room",
            11.32,
            1.00,
        ),
        corner(
            "iso10211-3-corner-upper",
            "lowest surface temperature of the upper room",
            11.11,
            1.20,
        ),
        balance("iso10211-3-balance", &case),
        Check {
            id: "iso10211-3-subdivision",
            what: "change of the sum of flows when the subdivision is doubled".into(),
            expected: 0.0,
            got: (sum(&case) - sum(&coarse)) / sum(&case),
            tolerance: 0.01,
            unit: "-",
            source: RULES,
            evidence: Evidence::FromMemory,
        },
    ];
    case.again(&case_3_zones([0.0, 1.0, 0.0]))?;
    let (lower_out, lower_upper) = (case.flow(0), case.flow(2));
    case.again(&case_3_zones([0.0, 0.0, 1.0]))?;
    let (upper_out, upper_lower) = (case.flow(0), case.flow(1));
    for (id, what, expected, got) in [
        (
            "iso10211-3-coupling-lower-outside",
            "coupling of lower room and outside",
            1.781,
            lower_out,
        ),
        (
            "iso10211-3-coupling-lower-upper",
            "coupling of the rooms",
            2.094,
            lower_upper,
        ),
        (
            "iso10211-3-coupling-upper-outside",
            "coupling of upper room and outside",
            1.624,
            upper_out,
        ),
    ] {
        checks.push(Check {
            id,
            what: what.into(),
            expected,
            got,
            tolerance: 0.01 * expected,
            unit: "W/K",
            source: CASE_3,
            evidence: Evidence::FromMemory,
        });
    }
    checks.push(Check {
        id: "iso10211-3-reciprocity",
        what: "coupling of the rooms, there and back".into(),
        expected: lower_upper,
        got: upper_lower,
        tolerance: 1e-6,
        unit: "W/K",
        source: "symmetry of the conductance matrix",
        evidence: Evidence::Principle,
    });
    Ok(checks)
}

/// Case 4, a quarter of the model, with cells of `h` (m) at the interfaces.
fn build_case_4(h: f64) -> Result<Case, HeatError> {
    let axis = |at: &[f64]| graded_axis(at, 2, h, 1.3, 0.1);
    let grid = Grid::new(
        axis(&[0.0, 0.05, 0.5]),
        axis(&[0.0, 0.025, 0.5]),
        axis(&[0.0, 0.2, 0.6]),
    )?;
    let mut medium = Medium::uniform(&grid, solid(0.1));
    let all = [-9.0, 9.0];
    medium.role_box(&grid, all, all, [0.2, 9.0], Role::Outside(1));
    medium.fill_box(&grid, [-1.0, 0.05], [-1.0, 0.025], all, solid(50.0));
    let zones = [Film { h: 10.0, t: 0.0 }, Film { h: 10.0, t: 1.0 }];
    let a = Edge::Adiabatic;
    Case::solve(
        grid,
        medium,
        &zones,
        [a, a, a, a, Edge::Zone(0), Edge::Zone(1)],
    )
}

fn case_4() -> Result<Vec<Check>, HeatError> {
    let (case, coarse) = (build_case_4(0.0025)?, build_case_4(0.005)?);
    Ok(vec![
        flow(
            "iso10211-4-flow",
            "heat flow through bar and plate",
            0.540,
            4.0 * case.flow(0),
            0.0054,
            "W",
            CASE_4,
        ),
        Check {
            id: "iso10211-4-surface",
            what: "highest surface temperature on the cold side".into(),
            expected: 0.805,
            got: case.surface(0, [0.0, 0.0, 0.0]),
            tolerance: 0.005,
            unit: "degC",
            source: CASE_4,
            evidence: Evidence::Published,
        },
        balance("iso10211-4-balance", &case),
        Check {
            id: "iso10211-4-subdivision",
            what: "change of the flow when the subdivision is doubled".into(),
            expected: 0.0,
            got: (case.flow(0) - coarse.flow(0)) / case.flow(0),
            tolerance: 0.01,
            unit: "-",
            source: RULES,
            evidence: Evidence::FromMemory,
        },
    ])
}

/// A published flow.
fn flow(
    id: &'static str,
    what: &str,
    expected: f64,
    got: f64,
    tolerance: f64,
    unit: &'static str,
    source: &'static str,
) -> Check {
    Check {
        id,
        what: what.into(),
        expected,
        got,
        tolerance,
        unit,
        source,
        evidence: Evidence::Published,
    }
}

/// The heat balance of a case: off by less than 1e-4 of the flow by the standard, 1e-6 here.
fn balance(id: &'static str, case: &Case) -> Check {
    Check {
        id,
        what: "heat balance residual as a share of the flow".into(),
        expected: 0.0,
        got: case.imbalance,
        tolerance: 1e-6,
        unit: "-",
        source: RULES,
        evidence: Evidence::Principle,
    }
}
