//! Small dense algebra of the reduced network.

use super::super::drive::Drive;
use super::super::error::HeatError;
use super::super::lanes::{Field, wide};
use super::super::network::Network;
use super::super::operator::Operator;
use super::basis::Weights;
use super::minus_k;
use faer::Mat;

/// Values that depend on the fills of the zones in a straight line.
#[derive(Debug, Clone, PartialEq)]
pub struct Affine {
    /// At fill 0.
    pub base: Vec<f64>,
    /// What each zone adds at fill 1.
    pub zones: Vec<Vec<f64>>,
}

impl Affine {
    /// Values at a fill.
    pub fn at(&self, fill: &[f64]) -> Vec<f64> {
        let mut sum = self.base.clone();
        for (zone, f) in self.zones.iter().zip(fill) {
            for (s, z) in sum.iter_mut().zip(zone) {
                *s += f * z;
            }
        }
        sum
    }
}

/// Sum of rows of a row-major matrix by weight.
pub fn sample_rows(rows: &[f64], columns: usize, weights: &Weights) -> Vec<f64> {
    let mut sum = vec![0.0; columns];
    for &(node, w) in weights {
        for (s, r) in sum.iter_mut().zip(&rows[node * columns..]) {
            *s += w * r;
        }
    }
    sum
}

/// Stiffness and capacity in coordinates of the basis; the constant field's heat content and losses.
pub fn project(
    network: &Network,
    nominal: &Drive,
    rows: &[f64],
    modes: usize,
) -> Result<(Affine, Affine, Affine, Vec<f64>), HeatError> {
    let n = network.n();
    let v = Mat::from_fn(n, modes, |i, j| rows[i * modes + j]);
    let mut op = Operator::new(network);
    let mut drive = nominal.clone();
    let mut at = |zone: Option<usize>| -> Result<[Vec<f64>; 4], HeatError> {
        drive.fill.fill(0.0);
        if let Some(z) = zone {
            drive.fill[z] = 1.0;
        }
        op.load(network, &drive)?;
        let mut capacity = vec![0.0; n];
        op.layout.scatter(&op.capacity, &mut capacity);
        let zero = Field::zero(&op.layout);
        let (mut u, mut out) = (zero.clone(), zero.clone());
        let columns: Vec<Vec<f64>> = (0..modes)
            .map(|j| {
                let t: Vec<f64> = (0..n).map(|i| v[(i, j)]).collect();
                minus_k(&op, &t, &mut u, &zero, &mut out)
            })
            .collect();
        let kv = Mat::from_fn(n, modes, |i, j| -columns[j][i]);
        let cv = Mat::from_fn(n, modes, |i, j| capacity[i] * v[(i, j)]);
        let loss = (0..modes)
            .map(|j| (0..n).map(|i| kv[(i, j)]).sum())
            .collect();
        let content = (0..modes)
            .map(|j| (0..n).map(|i| cv[(i, j)]).sum())
            .collect();
        Ok([
            symmetric(&(v.transpose() * &kv)),
            symmetric(&(v.transpose() * &cv)),
            content,
            loss,
        ])
    };
    let [stiffness, capacity, content, loss] = at(None)?;
    let mut affine = [stiffness, capacity, content].map(|base| Affine {
        base,
        zones: Vec::new(),
    });
    for z in 0..network.fill_zones() {
        let full = at(Some(z))?;
        for (a, full) in affine.iter_mut().zip(full) {
            a.zones
                .push(full.iter().zip(&a.base).map(|(f, b)| f - b).collect());
        }
    }
    let [stiffness, capacity, content] = affine;
    Ok((stiffness, capacity, content, loss))
}

/// A square matrix made symmetric, row-major.
fn symmetric(m: &Mat<f64>) -> Vec<f64> {
    let n = m.nrows();
    (0..n * n)
        .map(|k| 0.5 * (m[(k / n, k % n)] + m[(k % n, k / n)]))
        .collect()
}

/// `a . b`, in eight partial sums whatever the machine.
#[inline(always)]
pub fn dot(a: &[f64], b: &[f64]) -> f64 {
    let (ac, ar) = a.as_chunks::<8>();
    let (bc, br) = b.as_chunks::<8>();
    let mut sums = [0.0; 8];
    for (a, b) in ac.iter().zip(bc) {
        for l in 0..8 {
            sums[l] += a[l] * b[l];
        }
    }
    let rest: f64 = ar.iter().zip(br).map(|(a, b)| a * b).sum();
    ((sums[0] + sums[4]) + (sums[2] + sums[6])) + ((sums[1] + sums[5]) + (sums[3] + sums[7])) + rest
}

/// `out = M x`, `M` row-major.
pub fn times(m: &[f64], x: &[f64], out: &mut [f64]) {
    wide!(<'a>(m: &'a [f64] = m, x: &'a [f64] = x, out: &'a mut [f64] = out) -> () {
        for (o, row) in out.iter_mut().zip(m.chunks_exact(x.len())) {
            *o = dot(row, x);
        }
    });
}

/// `out += M^T y`, `M` row-major.
pub fn add_transposed(m: &[f64], y: &[f64], out: &mut [f64]) {
    wide!(<'a>(m: &'a [f64] = m, y: &'a [f64] = y, out: &'a mut [f64] = out) -> () {
        for (y, row) in y.iter().zip(m.chunks_exact(out.len())) {
            for (o, r) in out.iter_mut().zip(row) {
                *o += y * r;
            }
        }
    });
}
