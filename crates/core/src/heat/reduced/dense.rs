//! Small dense algebra of the reduced network.

use super::super::drive::Drive;
use super::super::error::HeatError;
use super::super::immersed::Shell;
use super::super::network::Network;
use super::super::operator::Operator;
use super::super::simd_layout::{Field, wide};
use super::basis::Weights;
use super::minus_k;
use nalgebra::{DMatrix, DMatrixView, SymmetricEigen};

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

/// Sums of rows of a row-major matrix by a surface's weights: its mean, then its gradients. The rows lie far apart in memory,
/// so that each is fetched once for all four.
pub fn sample_surface(rows: &[f64], columns: usize, shell: &Shell) -> [Vec<f64>; 4] {
    let mut sums = [(); 4].map(|()| vec![0.0; columns]);
    wide!(<'a>(rows: &'a [f64] = rows, columns: usize = columns, shell: &'a Shell = shell, sums: &'a mut [Vec<f64>; 4] = &mut sums) -> () {
        let [m, x, y, z] = sums;
        for (&(node, w), slopes) in shell.nodes.iter().zip(&shell.slopes) {
            let row = &rows[node * columns..(node + 1) * columns];
            let into = m.iter_mut().zip(&mut *x).zip(&mut *y).zip(&mut *z);
            for ((((m, x), y), z), r) in into.zip(row) {
                *m += w * r;
                *x += slopes[0] * r;
                *y += slopes[1] * r;
                *z += slopes[2] * r;
            }
        }
    });
    sums
}

/// A basis, row-major, turned: each row times the matrix `q`, row-major.
pub fn turn(rows: &[f64], q: &[f64], modes: usize) -> Vec<f64> {
    // The library's matrices lie by columns, so that these are the transposed ones.
    let count = rows.len() / modes;
    let rows = DMatrixView::from_slice(rows, modes, count);
    Vec::from((DMatrixView::from_slice(q, modes, modes) * rows).data)
}

/// Turns of the eigenvalue search that a row may take (a choice): far more than it takes where there is an answer.
const MOST_TURNS: usize = 100;

/// Eigenvalues of a symmetric matrix, rising, and its unit eigenvectors, one a column. `None` where they cannot be found: numbers
/// that are not finite.
pub fn symmetric_eigen(a: DMatrix<f64>) -> Option<(Vec<f64>, DMatrix<f64>)> {
    if !a.iter().all(|v| v.is_finite()) {
        return None;
    }
    let n = a.nrows();
    let found = SymmetricEigen::try_new(a, f64::EPSILON, MOST_TURNS * n)?;
    let values = found.eigenvalues;
    let mut order: Vec<usize> = (0..n).collect();
    order.sort_by(|a, b| values[*a].total_cmp(&values[*b]));
    Some((
        order.iter().map(|i| values[*i]).collect(),
        found.eigenvectors.select_columns(&order),
    ))
}

/// Stiffness and capacity in coordinates of the basis at the nominal fill.
pub fn project_nominal(
    network: &Network,
    op: &Operator,
    rows: &[f64],
    modes: usize,
) -> (Vec<f64>, Vec<f64>) {
    let v = columns(network, rows, modes);
    let [stiffness, capacity, ..] = products(network, op, &v);
    (stiffness, capacity)
}

/// The basis as a matrix: node by mode.
fn columns(network: &Network, rows: &[f64], modes: usize) -> DMatrix<f64> {
    DMatrix::from_row_slice(network.n(), modes, rows)
}

/// `V^T K V`, `V^T C V`, and the sums of `C V` and of `K V` over all nodes.
fn products(network: &Network, op: &Operator, v: &DMatrix<f64>) -> [Vec<f64>; 4] {
    let (n, modes) = (network.n(), v.ncols());
    let mut capacity = vec![0.0; n];
    op.layout.scatter(&op.capacity, &mut capacity);
    let zero = Field::zero(&op.layout);
    let (mut u, mut out) = (zero.clone(), zero.clone());
    let columns: Vec<Vec<f64>> = (0..modes)
        .map(|j| minus_k(op, v.column(j).as_slice(), &mut u, &zero, &mut out))
        .collect();
    let kv = DMatrix::from_fn(n, modes, |i, j| -columns[j][i]);
    let cv = DMatrix::from_fn(n, modes, |i, j| capacity[i] * v[(i, j)]);
    let sums = |m: &DMatrix<f64>| m.column_iter().map(|c| c.iter().sum()).collect();
    let across = v.transpose();
    [
        symmetric(&(&across * &kv)),
        symmetric(&(&across * &cv)),
        sums(&cv),
        sums(&kv),
    ]
}

/// Stiffness and capacity in coordinates of the basis; the constant field's heat content and losses.
pub fn project(
    network: &Network,
    nominal: &Drive,
    rows: &[f64],
    modes: usize,
) -> Result<(Affine, Affine, Affine, Vec<f64>), HeatError> {
    let v = columns(network, rows, modes);
    let mut op = Operator::new(network);
    let mut drive = nominal.clone();
    let mut at = |zone: Option<usize>| -> Result<[Vec<f64>; 4], HeatError> {
        drive.fill.fill(0.0);
        if let Some(z) = zone {
            drive.fill[z] = 1.0;
        }
        op.load(network, &drive)?;
        Ok(products(network, &op, &v))
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

/// A square matrix made symmetric.
fn symmetric(m: &DMatrix<f64>) -> Vec<f64> {
    Vec::from((0.5 * (m + m.transpose())).data)
}

/// `a . b`, in eight partial sums whatever the machine.
#[inline(always)]
pub fn dot(a: &[f64], b: &[f64]) -> f64 {
    let (ac, ar) = a.as_chunks::<8>();
    let (bc, br) = b.as_chunks::<8>();
    let (mut low, mut high) = ([0.0; 4], [0.0; 4]);
    for (a, b) in ac.iter().zip(bc) {
        for l in 0..4 {
            low[l] += a[l] * b[l];
            high[l] += a[l + 4] * b[l + 4];
        }
    }
    let rest: f64 = ar.iter().zip(br).map(|(a, b)| a * b).sum();
    sum_of(low, high) + rest
}

/// Eight partial sums added up, halves first.
#[inline(always)]
fn sum_of(low: [f64; 4], high: [f64; 4]) -> f64 {
    let s: [f64; 4] = std::array::from_fn(|l| low[l] + high[l]);
    (s[0] + s[2]) + (s[1] + s[3])
}

/// `sum a b w` for lists of weights `w`, in eight partial sums whatever the machine.
#[inline(always)]
pub fn weighed_dots<const N: usize>(a: &[f64], b: &[f64], weights: [&[f64]; N]) -> [f64; N] {
    let (ac, ar) = a.as_chunks::<8>();
    let (bc, br) = b.as_chunks::<8>();
    let wide = weights.map(|w| &w.as_chunks::<8>().0[..ac.len()]);
    let (mut low, mut high) = ([[0.0; 4]; N], [[0.0; 4]; N]);
    for (i, (a, b)) in ac.iter().zip(bc).enumerate() {
        for l in 0..4 {
            let (p, q) = (a[l] * b[l], a[l + 4] * b[l + 4]);
            for k in 0..N {
                low[k][l] += p * wide[k][i][l];
                high[k][l] += q * wide[k][i][l + 4];
            }
        }
    }
    for (k, w) in weights.iter().enumerate() {
        for ((a, b), w) in ar.iter().zip(br).zip(w.as_chunks::<8>().1) {
            low[k][0] += a * b * w;
        }
    }
    std::array::from_fn(|k| sum_of(low[k], high[k]))
}

/// `sum a b w`.
pub fn weighed_dot(a: &[f64], b: &[f64], weights: &[f64]) -> f64 {
    let [sum] = wide!(<'a>(a: &'a [f64] = a, b: &'a [f64] = b, weights: &'a [f64] = weights) -> [f64; 1] {
        weighed_dots(a, b, [weights])
    });
    sum
}

/// `sum += share part`.
pub fn add(sum: &mut [f64], share: f64, part: &[f64]) {
    wide!(<'a>(sum: &'a mut [f64] = sum, share: f64 = share, part: &'a [f64] = part) -> () {
        for (s, p) in sum.iter_mut().zip(part) {
            *s += share * p;
        }
    });
}

/// `out = a b`, number by number.
pub fn each_times(a: &[f64], b: &[f64], out: &mut [f64]) {
    wide!(<'a>(a: &'a [f64] = a, b: &'a [f64] = b, out: &'a mut [f64] = out) -> () {
        for ((o, a), b) in out.iter_mut().zip(a).zip(b) {
            *o = a * b;
        }
    });
}

/// `out = M x`, `M` row-major.
pub fn times(m: &[f64], x: &[f64], out: &mut [f64]) {
    // Left to itself the compiler takes half the width for these sums.
    #[cfg(target_arch = "x86_64")]
    if let pulp::Arch::V3(simd) = pulp::Arch::new() {
        simd.vectorize(Times { simd, m, x, out });
        return;
    }
    for (o, row) in out.iter_mut().zip(m.chunks_exact(x.len())) {
        *o = dot(row, x);
    }
}

/// [`times`] with vectors of four.
#[cfg(target_arch = "x86_64")]
struct Times<'a> {
    simd: pulp::x86::V3,
    m: &'a [f64],
    x: &'a [f64],
    out: &'a mut [f64],
}

#[cfg(target_arch = "x86_64")]
impl pulp::NullaryFnOnce for Times<'_> {
    type Output = ();

    #[inline(always)]
    fn call(self) {
        let columns = self.x.len();
        // Four rows at a time, so that every number of `x` is fetched once for all.
        let (fours, rest) = self.out.as_chunks_mut::<4>();
        let (of_fours, of_rest) = self.m.split_at(4 * fours.len() * columns);
        for (out, rows) in fours.iter_mut().zip(of_fours.chunks_exact(4 * columns)) {
            *out = dots(
                self.simd,
                std::array::from_fn(|r| &rows[r * columns..(r + 1) * columns]),
                self.x,
            );
        }
        for (out, row) in rest.iter_mut().zip(of_rest.chunks_exact(columns)) {
            [*out] = dots(self.simd, [row], self.x);
        }
    }
}

/// For some rows the same sums as [`dot`], in two vectors of four each.
#[cfg(target_arch = "x86_64")]
#[inline(always)]
fn dots<const N: usize>(simd: pulp::x86::V3, rows: [&[f64]; N], x: &[f64]) -> [f64; N] {
    use pulp::Simd;
    let (xc, xr) = x.as_chunks::<8>();
    let eights = rows.map(|row| &row.as_chunks::<8>().0[..xc.len()]);
    let fours = |c: &[f64; 8]| -> [pulp::f64x4; 2] { pulp::cast(*c) };
    let mut sums = [[simd.splat_f64s(0.0); 2]; N];
    for (i, x) in xc.iter().enumerate() {
        let x = fours(x);
        for (sums, row) in sums.iter_mut().zip(&eights) {
            let row = fours(&row[i]);
            for h in 0..2 {
                sums[h] = simd.add_f64s(sums[h], simd.mul_f64s(row[h], x[h]));
            }
        }
    }
    std::array::from_fn(|r| {
        let of_rest = rows[r].as_chunks::<8>().1;
        let rest: f64 = of_rest.iter().zip(xr).map(|(a, b)| a * b).sum();
        let [low, high]: [[f64; 4]; 2] = sums[r].map(pulp::cast);
        sum_of(low, high) + rest
    })
}

/// `out += M^T y`, `M` row-major.
pub fn add_transposed(m: &[f64], y: &[f64], out: &mut [f64]) {
    wide!(<'a>(m: &'a [f64] = m, y: &'a [f64] = y, out: &'a mut [f64] = out) -> () {
        let columns = out.len();
        // Four rows at a time, so that every sum is fetched once for all.
        let (fours, rest) = y.as_chunks::<4>();
        let (of_fours, of_rest) = m.split_at(4 * fours.len() * columns);
        for (y, rows) in fours.iter().zip(of_fours.chunks_exact(4 * columns)) {
            let (r0, rows) = rows.split_at(columns);
            let (r1, rows) = rows.split_at(columns);
            let (r2, r3) = rows.split_at(columns);
            for ((((o, r0), r1), r2), r3) in out.iter_mut().zip(r0).zip(r1).zip(r2).zip(r3) {
                *o = (((*o + y[0] * r0) + y[1] * r1) + y[2] * r2) + y[3] * r3;
            }
        }
        for (y, row) in rest.iter().zip(of_rest.chunks_exact(columns)) {
            for (o, r) in out.iter_mut().zip(row) {
                *o += y * r;
            }
        }
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches a wide product whose sums run in another order than the plain one: machines would differ in their last digits.
    #[test]
    fn any_machine_gives_the_same_bytes() {
        for n in [1, 7, 8, 24, 37, 120] {
            let value = |i: usize| ((i * i) as f64 * 0.37).sin() * 10f64.powi((i % 7) as i32 - 3);
            let m: Vec<f64> = (0..5 * n).map(value).collect();
            let x: Vec<f64> = (0..n).map(|i| value(3 * i + 1)).collect();
            let mut out = [0.0; 5];
            times(&m, &x, &mut out);
            for (o, row) in out.iter().zip(m.chunks_exact(n)) {
                assert_eq!(o.to_bits(), dot(row, &x).to_bits(), "{n}");
            }
        }
    }
}
