//! The directions worth keeping: the network's answers to a watt at each port.

use super::super::balance::Stats;
use super::super::error::HeatError;
use super::super::network::Network;
use super::super::operator::Operator;
use super::super::simd_layout::Field;
use super::super::solver::{LinearSolver, Pcg};
use super::dense::symmetric_eigen;
use super::minus_k;
use crate::parallel::prelude::*;
use nalgebra::DMatrix;

/// Time scales of the moving answers, s: an hour and a half, and most of a day.
const SCALES: [f64; 2] = [5_400.0, 60_000.0];
/// Time scale of the inner product in which directions are compared, s.
const PRODUCT_SCALE: f64 = 10_800.0;
/// Directions weaker than this share of the strongest are rounding.
const WEAKEST: f64 = 1e-11;

/// Heat of a cluster that comes and goes, W, by which its answers count beside those of the weather (a choice).
const BODY_SWING: f64 = 3.0;

/// Error of a field of the basis per watt, K: far below what the modes leave.
const FINE: f64 = 1e-5;
/// The same for a body that is placed, on the safe side. Its own answer is off by far less, being what conjugate gradients
/// make best: with 0.001 whole winters of honey differ by 0.04 in 100.
pub const ROUGH: f64 = 1e-2;

/// Weights on nodes that sum to 1.
pub type Weights = [(usize, f64)];

/// A basis.
pub struct Basis {
    /// Row-major: node by mode.
    pub rows: Vec<f64>,
    /// Modes kept.
    pub modes: usize,
}

/// Steady fields of one watt at each input, K.
pub fn steady_fields(
    network: &Network,
    op: &Operator,
    inputs: &[Vec<(usize, f64)>],
) -> Result<Vec<Vec<f64>>, HeatError> {
    answers(network, op, inputs, 0.0)
}

/// Answers of the network to each input at the rate `m`, 1/s: `(K + m C) y = b`.
fn answers(
    network: &Network,
    op: &Operator,
    inputs: &[Vec<(usize, f64)>],
    m: f64,
) -> Result<Vec<Vec<f64>>, HeatError> {
    inputs
        .par_iter()
        .map_init(
            || Solver::new(op, m, FINE),
            |solver, w| match solver {
                Ok(s) => s.field(network, op, w),
                Err(e) => Err(e.clone()),
            },
        )
        .collect()
}

/// A solver at one rate, with its work space.
pub struct Solver {
    engine: Pcg,
    r: Field,
    x: Field,
    stats: Stats,
}

impl Solver {
    /// A solver of `(K + m C) y = b`, `m` in 1/s, to `tolerance` K.
    pub fn new(op: &Operator, m: f64, tolerance: f64) -> Result<Self, HeatError> {
        let mut engine = Pcg::new(op, LinearSolver { tolerance })?;
        let mut stats = Stats::default();
        engine.prepare(op, m, &mut stats);
        Ok(Self {
            engine,
            r: Field::zero(&op.layout),
            x: Field::zero(&op.layout),
            stats,
        })
    }

    /// Answer to one watt spread by `weights`, K.
    pub fn field(
        &mut self,
        network: &Network,
        op: &Operator,
        weights: &Weights,
    ) -> Result<Vec<f64>, HeatError> {
        self.r.clear();
        self.x.clear();
        for &(node, w) in weights {
            *self.r.at(op.layout.slot(node)) += w;
        }
        self.engine
            .solve(op, &mut self.r, &mut self.x, &mut self.stats)?;
        let mut t = vec![0.0; network.n()];
        op.layout.scatter(&self.x, &mut t);
        Ok(t)
    }
}

/// Spans the basis: the constant field, then the best directions of all answers in the product `K + C/10,800 s`.
pub fn build(
    network: &Network,
    op: &Operator,
    steady: &[Vec<f64>],
    inputs: &[Vec<(usize, f64)>],
    swings: &[f64],
    bodies: &[Vec<(usize, f64)>],
    modes: usize,
) -> Result<Basis, HeatError> {
    let all: Vec<Vec<(usize, f64)>> = inputs.iter().chain(bodies).cloned().collect();
    let mut fields = steady.to_vec();
    fields.extend(answers(network, op, bodies, 0.0)?);
    for scale in SCALES {
        fields.extend(answers(network, op, &all, 1.0 / scale)?);
    }
    let n = network.n();
    let mut capacity = vec![0.0; n];
    op.layout.scatter(&op.capacity, &mut capacity);
    let weigh = |t: &[f64], work: &mut (Field, Field, Field)| -> Vec<f64> {
        let mut w = minus_k(op, t, &mut work.0, &work.1, &mut work.2);
        for ((w, c), t) in w.iter_mut().zip(&capacity).zip(t) {
            *w = c * t / PRODUCT_SCALE - *w;
        }
        w
    };
    let zero = || Field::zero(&op.layout);
    let one = vec![1.0; n];
    let w_one = weigh(&one, &mut (zero(), zero(), zero()));
    let size: f64 = w_one.iter().sum();
    // Free of the constant, and as large as what drives it swings: so does each answer count.
    let swing = |i: usize| {
        let i = i % all.len();
        swings.get(i).copied().unwrap_or(BODY_SWING)
    };
    fields.par_iter_mut().enumerate().for_each(|(i, f)| {
        let share = f.iter().zip(&w_one).map(|(f, w)| f * w).sum::<f64>() / size;
        let by = swing(i);
        f.iter_mut().for_each(|v| *v = by * (*v - share));
    });
    let weighed: Vec<Vec<f64>> = fields
        .par_iter_mut()
        .map_init(|| (zero(), zero(), zero()), |work, f| weigh(f, work))
        .collect();
    let s = DMatrix::from_fn(n, fields.len(), |i, j| fields[j][i]);
    let ws = DMatrix::from_fn(n, fields.len(), |i, j| weighed[j][i]);
    let gram = s.transpose() * ws;
    let (values, vectors) = symmetric_eigen(gram).ok_or(HeatError::Setting {
        what: "directions of a reduced network",
        value: f64::NAN,
    })?;
    let strongest = values[fields.len() - 1];
    let kept: Vec<usize> = (0..fields.len())
        .rev()
        .take(modes.saturating_sub(1))
        .filter(|&j| values[j] > WEAKEST * strongest)
        .collect();
    let u = DMatrix::from_fn(fields.len(), kept.len(), |i, j| {
        vectors[(i, kept[j])] / values[kept[j]].sqrt()
    });
    let v = s * u;
    let modes = kept.len() + 1;
    let mut rows = Vec::with_capacity(n * modes);
    for i in 0..n {
        rows.push(1.0 / size.sqrt());
        rows.extend((0..kept.len()).map(|j| v[(i, j)]));
    }
    Ok(Basis { rows, modes })
}
