//! The reduced network at one fill, in its own modes.

use super::super::error::HeatError;
use super::super::simd_layout::wide;
use super::dense::{Affine, dot, each_times, symmetric_eigen, times, weighed_dot, weighed_dots};
use nalgebra::{Cholesky, DMatrix};

/// Modes of a reduced network at one fill: `x' = -lambda x + inputs`.
#[derive(Debug, Clone, PartialEq)]
pub struct Modal {
    /// Decay rates, 1/s, slowest first.
    rate: Vec<f64>,
    /// One over them: what a constant watt leads to in each mode, all settled.
    settled: Vec<f64>,
    /// Share of each mode left after a step.
    pub(super) decay: Vec<f64>,
    /// Mean of each mode over a step without heat, as a share of what it is at the start.
    pub(super) mean_left: Vec<f64>,
    /// What a constant watt adds to each mode in a step.
    pub(super) gain: Vec<f64>,
    /// What a constant watt adds to the mean of each mode over a step.
    pub(super) mean_gain: Vec<f64>,
    /// Basis coordinates to modes (`Q^T C`) and back (`Q`), row-major.
    from_basis: Vec<f64>,
    to_basis: Vec<f64>,
    /// `Q^T`, for surfaces given in coordinates of the basis.
    surface: Vec<f64>,
    /// Ports in modes, row-major: port by mode.
    pub(super) ports: Vec<f64>,
    /// Readings in modes, row-major: reading by mode.
    pub(super) readings: Vec<f64>,
    /// Kelvins at a port, mean of a step, per watt at a port during it; static residual included.
    pub(super) response: Vec<f64>,
    /// The same when all has settled.
    pub(super) steady: Vec<f64>,
    /// Heat content of the modes, J per unit.
    content: Vec<f64>,
    /// What a step loses by what a mode is at its start, J per unit, and by a constant watt, J/W.
    lost_of_state: Vec<f64>,
    lost_of_watts: Vec<f64>,
}

impl Modal {
    #[expect(
        clippy::too_many_arguments,
        reason = "the pieces of one reduced network"
    )]
    pub(super) fn new(
        stiffness: &Affine,
        capacity: &Affine,
        content: &Affine,
        loss: &[f64],
        [ports, readings]: [&[f64]; 2],
        residual: &[f64],
        fill: &[f64],
        dt: f64,
    ) -> Result<Self, HeatError> {
        let n = loss.len();
        let Eigen { rate, q, qtc } = eigen(&stiffness.at(fill), &capacity.at(fill), n, fill)?;
        let to_basis = row_major(&q);
        let surface = q.as_slice().to_vec();
        let decay: Vec<f64> = rate.iter().map(|r| (-r * dt).exp()).collect();
        let gain: Vec<f64> = rate.iter().map(|r| -(-r * dt).exp_m1() / r).collect();
        let integral_gain: Vec<f64> = rate.iter().zip(&gain).map(|(r, g)| (dt - g) / r).collect();
        let turn = |v: &[f64]| {
            let mut out = vec![0.0; n];
            times(&surface, v, &mut out);
            out
        };
        let loss = turn(loss);
        let by_loss = |v: &[f64]| loss.iter().zip(v).map(|(l, v)| l * v).collect();
        let [ports, readings] =
            [ports, readings].map(|rows| rows.chunks_exact(n).flat_map(turn).collect::<Vec<f64>>());
        let count = ports.len() / n;
        let matrix = |weight: &dyn Fn(usize) -> f64| -> Vec<f64> {
            let mut m = vec![0.0; count * count];
            let scaled: Vec<f64> = ports
                .iter()
                .enumerate()
                .map(|(i, v)| v * weight(i % n))
                .collect();
            for p in 0..count {
                for q in 0..count {
                    let r = residual.get(p * count + q).copied().unwrap_or(0.0);
                    m[p * count + q] =
                        dot(&ports[p * n..(p + 1) * n], &scaled[q * n..(q + 1) * n]) + r;
                }
            }
            m
        };
        Ok(Self {
            response: matrix(&|i| integral_gain[i] / dt),
            steady: matrix(&|i| 1.0 / rate[i]),
            content: turn(&content.at(fill)),
            lost_of_state: by_loss(&gain),
            lost_of_watts: by_loss(&integral_gain),
            from_basis: row_major(&qtc),
            to_basis,
            ports,
            readings,
            surface,
            decay,
            mean_left: gain.iter().map(|g| g / dt).collect(),
            gain,
            settled: rate.iter().map(|r| 1.0 / r).collect(),
            mean_gain: integral_gain.iter().map(|g| g / dt).collect(),
            rate,
        })
    }

    /// Ends a step: `free`, the modes without its heat, becomes what they are with the forcing (W). Gives what was stored and
    /// what was lost since they were `x`, J. `change` is work space.
    pub(super) fn end_step(
        &self,
        x: &[f64],
        free: &mut [f64],
        force: &[f64],
        change: &mut [f64],
    ) -> [f64; 2] {
        let books = [&*self.content, &*self.lost_of_state, &*self.lost_of_watts];
        wide!(<'a>(
            gain: &'a [f64] = &self.gain, books: [&'a [f64]; 3] = books, x: &'a [f64] = x,
            free: &'a mut [f64] = free, force: &'a [f64] = force, change: &'a mut [f64] = change,
        ) -> [f64; 2] {
            for ((end, f), g) in free.iter_mut().zip(force).zip(gain) {
                *end += g * f;
            }
            for ((c, end), x) in change.iter_mut().zip(&*free).zip(x) {
                *c = end - x;
            }
            [dot(books[0], change), dot(books[1], x) + dot(books[2], force)]
        })
    }

    /// Number of modes.
    #[must_use]
    pub fn len(&self) -> usize {
        self.rate.len()
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.rate.is_empty()
    }

    /// Decay rates, 1/s, slowest first.
    #[must_use]
    pub fn rates(&self) -> &[f64] {
        &self.rate
    }

    /// A surface given in coordinates of the basis, in modes.
    pub(super) fn body(&self, rows: &[f64], out: &mut Vec<f64>) {
        out.resize(self.len(), 0.0);
        times(&self.surface, rows, out);
    }

    /// Modes in coordinates of the basis.
    pub(super) fn to_basis(&self, x: &[f64], out: &mut Vec<f64>) {
        out.resize(x.len(), 0.0);
        times(&self.to_basis, x, out);
    }

    /// The state of other modes `x` in these.
    pub(super) fn take_over(&self, other: &Self, x: &mut [f64]) {
        let mut y = Vec::new();
        other.to_basis(x, &mut y);
        times(&self.from_basis, &y, x);
    }

    /// Steady answers between the ports by the modes and what residual the set was made with, K/W.
    pub(super) fn steady_matrix(&self) -> &[f64] {
        &self.steady
    }

    /// Steady answer between two surfaces by the modes alone, K/W.
    pub(super) fn steady_between(&self, a: &[f64], b: &[f64]) -> f64 {
        weighed_dot(a, b, &self.settled)
    }

    /// The modes that a steady watt over a surface, given in these modes, leads to.
    pub(super) fn rest(&self, surface: &[f64], out: &mut Vec<f64>) {
        out.resize(surface.len(), 0.0);
        each_times(surface, &self.settled, out);
    }

    /// Answers between every port and a surface, K/W, at the end of a step and as its mean: by the modes, and what the
    /// basis lacks.
    pub(super) fn to_ports(
        &self,
        surface: &[f64],
        lacks: &[f64],
        end: &mut Vec<f64>,
        mean: &mut Vec<f64>,
    ) {
        end.clear();
        end.extend_from_slice(lacks);
        mean.clear();
        mean.extend_from_slice(lacks);
        let gains = [&*self.gain, &*self.mean_gain];
        let (ports, out) = (&*self.ports, [&mut **end, &mut **mean]);
        wide!(<'a>(ports: &'a [f64] = ports, surface: &'a [f64] = surface, gains: [&'a [f64]; 2] = gains, out: [&'a mut [f64]; 2] = out) -> () {
            let [end, mean] = out;
            for ((end, mean), port) in end.iter_mut().zip(mean).zip(ports.chunks_exact(surface.len())) {
                let [e, m] = weighed_dots(port, surface, gains);
                *end += e;
                *mean += m;
            }
        });
    }

    /// Answer between two surfaces at the end of one step by the modes alone, K/W.
    pub(super) fn step_between(&self, a: &[f64], b: &[f64]) -> f64 {
        weighed_dot(a, b, &self.gain)
    }
}

/// The modes of a stiffness and a capacity.
struct Eigen {
    /// Decay rates, 1/s, slowest first.
    rate: Vec<f64>,
    /// `Q`, basis by mode, `Q^T C Q = 1`.
    q: DMatrix<f64>,
    /// `Q^T C`.
    qtc: DMatrix<f64>,
}

/// Modes of stiffness and capacity, row-major.
fn eigen(stiffness: &[f64], capacity: &[f64], n: usize, fill: &[f64]) -> Result<Eigen, HeatError> {
    let bad = || HeatError::Setting {
        what: "fill of a reduced network",
        value: fill.iter().copied().fold(f64::NAN, f64::max),
    };
    let square = |m: &[f64]| DMatrix::from_row_slice(n, n, m);
    let c = square(capacity);
    let l = Cholesky::new(c.clone()).ok_or_else(bad)?.unpack();
    // A = L^-1 K L^-T.
    let mut a = square(stiffness);
    l.solve_lower_triangular_mut(&mut a);
    let mut a = a.transpose();
    l.solve_lower_triangular_mut(&mut a);
    let (rate, mut q) = symmetric_eigen(a).ok_or_else(bad)?;
    if !rate.iter().all(|r| *r > 0.0) {
        return Err(bad());
    }
    // Q = L^-T U.
    l.tr_solve_lower_triangular_mut(&mut q);
    let qtc = q.transpose() * c;
    Ok(Eigen { rate, q, qtc })
}

/// The modes of a stiffness and capacity, row-major: coordinate by mode.
///
/// # Errors
/// Matrices that are not positive.
pub(super) fn turn(
    stiffness: &[f64],
    capacity: &[f64],
    n: usize,
    fill: &[f64],
) -> Result<Vec<f64>, HeatError> {
    eigen(stiffness, capacity, n, fill).map(|e| row_major(&e.q))
}

fn row_major(m: &DMatrix<f64>) -> Vec<f64> {
    Vec::from(m.transpose().data)
}
