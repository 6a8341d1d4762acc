//! Steady states of a stand and means over its parts.

use partywall::heat::{Drive, LinearSolver, Solution, steady};
use partywall::hive::{Bounds, Hive, Resolution, build};
use partywall::stand::Scenario;

/// Film used where the weather does not matter, W/m2K (ISO 6946: 1/0.04).
pub const H: f64 = 25.0;

pub fn normal(s: &Scenario) -> Hive {
    build(s, Resolution::Normal).unwrap()
}

pub fn solve(hive: &Hive, drive: &Drive) -> Solution {
    let found = steady(&hive.network, drive, LinearSolver::TO_ROUNDING).unwrap();
    assert!(
        found.balance.residual().abs() < 1e-8 * found.balance.throughput.max(1e-3),
        "heat goes missing: {:?}",
        found.balance
    );
    found
}

/// (unknown, volume m3) of the solid cells whose centres lie within bounds.
pub fn cells_in(hive: &Hive, b: Bounds) -> Vec<(usize, f64)> {
    let g = &hive.grid;
    (0..g.cells())
        .filter_map(|cell| {
            let [i, j, k] = g.ijk(cell);
            let c = g.cell_centre(i, j, k);
            let inside = c.iter().zip(b).all(|(v, r)| r[0] < *v && *v < r[1]);
            hive.network
                .cell_node(cell)
                .filter(|_| inside)
                .map(|n| (n, g.volume(i, j, k)))
        })
        .collect()
}

/// Spreads `watts` evenly over the combs of a stack.
pub fn warm_combs(hive: &Hive, drive: &mut Drive, stack: usize, watts: f64) {
    let cells: Vec<_> = hive.stacks[stack]
        .boxes
        .iter()
        .filter_map(|b| b.column)
        .flat_map(|c| cells_in(hive, c))
        .collect();
    let volume: f64 = cells.iter().map(|c| c.1).sum();
    for (n, v) in cells {
        drive.power[n] += watts * v / volume;
    }
}

/// Volume mean over the combs of a stack, degC.
pub fn mean_combs(hive: &Hive, t: &[f64], stack: usize) -> f64 {
    let cells: Vec<_> = hive.stacks[stack]
        .boxes
        .iter()
        .filter_map(|b| b.column)
        .flat_map(|c| cells_in(hive, c))
        .collect();
    let volume: f64 = cells.iter().map(|c| c.1).sum();
    cells.iter().map(|(n, v)| t[*n] * v).sum::<f64>() / volume
}

/// Mean rise of the combs of each stack over the outside when `watts[i]` is released in the combs of stack i, K.
pub fn rises(s: &Scenario, resolution: Resolution, watts: &[f64]) -> Vec<f64> {
    let hive = build(s, resolution).unwrap();
    let mut drive = hive.drive(H, 0.0);
    for (i, w) in watts.iter().enumerate() {
        warm_combs(&hive, &mut drive, i, *w);
    }
    let found = solve(&hive, &drive);
    (0..watts.len())
        .map(|i| mean_combs(&hive, &found.t, i))
        .collect()
}

/// Rise of a lone stack's combs at 10 W, K.
pub fn rise(s: &Scenario) -> f64 {
    rises(s, Resolution::Normal, &[10.0])[0]
}
