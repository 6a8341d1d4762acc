//! The steady state: `K T = f`.

use super::balance::{Balance, Stats};
use super::drive::{Drive, check_finite};
use super::error::HeatError;
use super::network::Network;
use super::operator::Operator;
use super::simd_layout::Field;
use super::solver::{LinearSolver, Pcg};

/// Rounds of refinement after the first solve; they settle the last digits of the balance.
const REFINEMENTS: usize = 2;

/// A steady state.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    /// Temperature of each unknown, degC.
    pub t: Vec<f64>,
    /// What the solver did.
    pub stats: Stats,
    /// Heat supplied, stored (0) and lost, W.
    pub balance: Balance,
}

/// Solves for the steady state under a drive.
///
/// # Errors
/// A drive that does not fit, a part of the body with no way to lose heat, or a solver failure.
pub fn steady(
    network: &Network,
    drive: &Drive,
    solver: LinearSolver,
) -> Result<Solution, HeatError> {
    let mut op = Operator::new(network);
    op.load(network, drive)?;
    check_anchored(network, drive)?;
    let mut stats = Stats::default();
    let mut engine = Pcg::new(&op, solver)?;
    engine.prepare(&op, 0.0, &mut stats);
    let mut x = Field::zero(&op.layout);
    let mut r = Field::zero(&op.layout);
    for _ in 0..=REFINEMENTS {
        r.clear();
        op.add_residual(&op.source, &x, &mut r);
        engine.solve(&op, &mut r, &mut x, &mut stats)?;
    }
    let (lost, lost_abs) = op.lost(&x);
    let balance = Balance {
        supplied: op.power,
        stored: 0.0,
        lost,
        throughput: op.power_abs + lost_abs,
    };
    stats.balance = balance;
    let mut t = vec![0.0; network.n()];
    op.layout.scatter(&x, &mut t);
    Ok(Solution { t, stats, balance })
}

/// Heat into each unknown at temperatures `t` (degC) under a drive, W: by conduction, films, exchange and power; nothing in a
/// steady state. For checks, and for handing a network to another solver.
///
/// # Errors
/// A drive that does not fit, temperatures of another number than unknowns or that are not finite.
pub fn net_heat(network: &Network, drive: &Drive, t: &[f64]) -> Result<Vec<f64>, HeatError> {
    if t.len() != network.n() {
        return Err(HeatError::DriveLength {
            what: "state",
            got: t.len(),
            expected: network.n(),
        });
    }
    check_finite("temperature (degC)", t)?;
    let mut op = Operator::new(network);
    op.load(network, drive)?;
    let (mut u, mut out) = (Field::zero(&op.layout), Field::zero(&op.layout));
    op.layout.gather(t, &mut u);
    op.add_residual(&op.source, &u, &mut out);
    let mut heat = vec![0.0; t.len()];
    op.layout.scatter(&out, &mut heat);
    Ok(heat)
}

/// Every connected part needs a conductance to the outside.
fn check_anchored(network: &Network, drive: &Drive) -> Result<(), HeatError> {
    let mut anchored = vec![false; network.parts];
    for (group, film) in network.faces().iter().zip(&drive.faces) {
        if film.h > 0.0 {
            for &node in &group.nodes {
                anchored[network.part[node] as usize] = true;
            }
        }
    }
    for e in &drive.exchange {
        if e.conductance > 0.0 {
            anchored[network.part[e.node] as usize] = true;
        }
    }
    match network.part.iter().position(|p| !anchored[*p as usize]) {
        Some(node) => Err(HeatError::Unanchored { node }),
        None => Ok(()),
    }
}
