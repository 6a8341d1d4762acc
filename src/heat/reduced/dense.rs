//! Small dense algebra of the reduced network.

use super::super::drive::Drive;
use super::super::error::HeatError;
use super::super::immersed::Shell;
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
    let count = rows.len() / modes;
    let rows = faer::MatRef::from_row_major_slice(rows, count, modes);
    let turned = rows * faer::MatRef::from_row_major_slice(q, modes, modes);
    (0..count * modes)
        .map(|k| turned[(k / modes, k % modes)])
        .collect()
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
fn columns(network: &Network, rows: &[f64], modes: usize) -> Mat<f64> {
    Mat::from_fn(network.n(), modes, |i, j| rows[i * modes + j])
}

/// `V^T K V`, `V^T C V`, and the sums of `C V` and of `K V` over all nodes.
fn products(network: &Network, op: &Operator, v: &Mat<f64>) -> [Vec<f64>; 4] {
    let (n, modes) = (network.n(), v.ncols());
    let mut capacity = vec![0.0; n];
    op.layout.scatter(&op.capacity, &mut capacity);
    let zero = Field::zero(&op.layout);
    let (mut u, mut out) = (zero.clone(), zero.clone());
    let columns: Vec<Vec<f64>> = (0..modes)
        .map(|j| {
            let t: Vec<f64> = (0..n).map(|i| v[(i, j)]).collect();
            minus_k(op, &t, &mut u, &zero, &mut out)
        })
        .collect();
    let kv = Mat::from_fn(n, modes, |i, j| -columns[j][i]);
    let cv = Mat::from_fn(n, modes, |i, j| capacity[i] * v[(i, j)]);
    let sums = |m: &Mat<f64>| -> Vec<f64> {
        (0..modes)
            .map(|j| (0..n).map(|i| m[(i, j)]).sum())
            .collect()
    };
    [
        symmetric(&(v.transpose() * &kv)),
        symmetric(&(v.transpose() * &cv)),
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

/// `sum a b w` for two lists of weights `w`, in eight partial sums whatever the machine.
#[inline(always)]
pub fn weighed_dots(a: &[f64], b: &[f64], weights: [&[f64]; 2]) -> [f64; 2] {
    let (ac, ar) = a.as_chunks::<8>();
    let (bc, br) = b.as_chunks::<8>();
    let (uc, ur) = weights[0].as_chunks::<8>();
    let (vc, vr) = weights[1].as_chunks::<8>();
    let mut low = [[0.0; 4]; 2];
    let mut high = [[0.0; 4]; 2];
    for (((a, b), u), v) in ac.iter().zip(bc).zip(uc).zip(vc) {
        for l in 0..4 {
            let (p, q) = (a[l] * b[l], a[l + 4] * b[l + 4]);
            low[0][l] += p * u[l];
            high[0][l] += q * u[l + 4];
            low[1][l] += p * v[l];
            high[1][l] += q * v[l + 4];
        }
    }
    for (((a, b), u), v) in ar.iter().zip(br).zip(ur).zip(vr) {
        low[0][0] += a * b * u;
        low[1][0] += a * b * v;
    }
    [sum_of(low[0], high[0]), sum_of(low[1], high[1])]
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
        for (o, row) in self.out.iter_mut().zip(self.m.chunks_exact(self.x.len())) {
            *o = dot_of_fours(self.simd, row, self.x);
        }
    }
}

/// The same sums as [`dot`], in two vectors of four.
#[cfg(target_arch = "x86_64")]
#[inline(always)]
fn dot_of_fours(simd: pulp::x86::V3, a: &[f64], b: &[f64]) -> f64 {
    use pulp::Simd;
    let (ac, ar) = a.as_chunks::<8>();
    let (bc, br) = b.as_chunks::<8>();
    let fours = |c: &[f64; 8]| -> [pulp::f64x4; 2] { pulp::cast(*c) };
    let mut sums = [simd.splat_f64s(0.0); 2];
    for (a, b) in ac.iter().zip(bc) {
        let (a, b) = (fours(a), fours(b));
        for h in 0..2 {
            sums[h] = simd.add_f64s(sums[h], simd.mul_f64s(a[h], b[h]));
        }
    }
    let rest: f64 = ar.iter().zip(br).map(|(a, b)| a * b).sum();
    let [low, high]: [[f64; 4]; 2] = sums.map(pulp::cast);
    sum_of(low, high) + rest
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
