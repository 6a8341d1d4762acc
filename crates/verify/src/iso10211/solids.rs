//! Cases 3 and 4, in three dimensions.

use partywall_core::heat::{Edge, Film, Grid, HeatError, Medium, Role, graded_axis};

use super::super::{Check, Evidence};
use super::case::Case;
use super::{CASE_3, CASE_4, RULES, balance, flow, solid};

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

pub(super) fn case_3() -> Result<Vec<Check>, HeatError> {
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
    let area = |id, what: &str, expected, zone| {
        Check::new(
            id,
            what,
            (expected, film_area(zone), 1e-9),
            "m2",
            (CASE_3, Evidence::Computed),
        )
    };
    let corner = |id, what: &str, expected, z| {
        Check::new(
            id,
            what,
            (expected, case.vertex([0.20, 0.20, z]), 0.1),
            "degC",
            (CASE_3, Evidence::Published),
        )
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
            (46.09, -case.flow(1), 0.4609),
            "W",
            CASE_3,
        ),
        flow(
            "iso10211-3-flow-upper",
            "heat from the upper room",
            (13.89, -case.flow(2), 0.1389),
            "W",
            CASE_3,
        ),
        flow(
            "iso10211-3-flow-outside",
            "heat to the outside",
            (59.98, case.flow(0), 0.5998),
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
        Check::new(
            "iso10211-3-subdivision",
            "change of the sum of flows when the subdivision is doubled",
            (0.0, (sum(&case) - sum(&coarse)) / sum(&case), 0.01),
            "-",
            (RULES, Evidence::FromMemory),
        ),
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
        checks.push(Check::new(
            id,
            what,
            (expected, got, 0.01 * expected),
            "W/K",
            (CASE_3, Evidence::FromMemory),
        ));
    }
    checks.push(Check::new(
        "iso10211-3-reciprocity",
        "coupling of the rooms, there and back",
        (lower_upper, upper_lower, 1e-6),
        "W/K",
        ("symmetry of the conductance matrix", Evidence::Principle),
    ));
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

pub(super) fn case_4() -> Result<Vec<Check>, HeatError> {
    let (case, coarse) = (build_case_4(0.0025)?, build_case_4(0.005)?);
    Ok(vec![
        flow(
            "iso10211-4-flow",
            "heat flow through bar and plate",
            (0.540, 4.0 * case.flow(0), 0.0054),
            "W",
            CASE_4,
        ),
        Check::new(
            "iso10211-4-surface",
            "highest surface temperature on the cold side",
            (0.805, case.surface(0, [0.0, 0.0, 0.0]), 0.005),
            "degC",
            (CASE_4, Evidence::Published),
        ),
        balance("iso10211-4-balance", &case),
        Check::new(
            "iso10211-4-subdivision",
            "change of the flow when the subdivision is doubled",
            (0.0, (case.flow(0) - coarse.flow(0)) / case.flow(0), 0.01),
            "-",
            (RULES, Evidence::FromMemory),
        ),
    ])
}
