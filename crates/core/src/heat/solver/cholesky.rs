//! Sparse Cholesky: faer factorises, own supernodal sweeps solve (one right-hand side, dense columns, no dispatch).

use std::ops::Range;

use faer::dyn_stack::{MemBuffer, MemStack};
use faer::linalg::cholesky::llt::factor::{LltParams, LltRegularization};
use faer::perm::PermRef;
use faer::sparse::linalg::SupernodalThreshold;
use faer::sparse::linalg::cholesky::{
    CholeskySymbolicParams, SymbolicCholesky, SymbolicCholeskyRaw, SymmetricOrdering,
    factorize_symbolic_cholesky,
};
use faer::sparse::{SparseColMatRef, SymbolicSparseColMat, SymbolicSparseColMatRef};
use faer::{Par, Side, Spec};

use super::super::balance::Stats;
use super::super::error::HeatError;
use super::super::lanes::{Field, LANES, wide};
use super::super::network::{NONE, Network};
use super::super::operator::Operator;
use super::dissection;

/// Factor of one network's matrix.
pub(in super::super) struct Cholesky {
    pattern: SymbolicSparseColMat<usize>,
    /// Position of each diagonal entry, and of each link in the order of [`each_entry`].
    diagonal: Vec<u32>,
    entries: Vec<u32>,
    symbolic: SymbolicCholesky<usize>,
    matrix: Vec<f64>,
    factor: Vec<f64>,
    scratch: MemBuffer,
    /// Slot of each unknown in elimination order.
    slots: Vec<u32>,
    version: u64,
    m: f64,
    x: Vec<f64>,
    work: Vec<f64>,
    inverse: Vec<f64>,
}

/// Calls `f(slot, slot, W/K)` for every link, always in the same order.
fn each_entry(op: &Operator, mut f: impl FnMut(usize, usize, f64)) {
    let layout = &op.layout;
    let (plane, row, n) = (layout.plane(), layout.row, layout.chunks());
    for (direction, back) in [plane, row, 1].into_iter().enumerate() {
        for (at, &g) in op.links.lower[direction].as_flattened().iter().enumerate() {
            if g > 0.0 {
                f(at, at - back * LANES, g);
            }
        }
    }
    for (i, w) in op.links.wrap.iter().enumerate() {
        for (l, &g) in w.iter().enumerate().filter(|(_, g)| **g > 0.0) {
            f((n + i) * LANES + l, (plane + i) * LANES + l + 1, g);
        }
    }
    let air = layout.padded() * LANES;
    for (a, star) in op.links.stars.iter().enumerate() {
        for (&s, &g) in star.slots.iter().zip(&star.g) {
            f(air + a, s as usize, g);
        }
    }
    for &(a, b, g) in &op.links.border {
        f(air + a as usize, air + b as usize, g);
    }
    for &(a, b, g) in &op.links.far {
        f(a as usize, b as usize, g);
    }
}

impl Cholesky {
    pub fn new(network: &Network, op: &Operator) -> Result<Self, HeatError> {
        let fail = |e: &dyn std::fmt::Debug| HeatError::Factorisation {
            what: format!("{e:?}"),
        };
        let n = network.n();
        let layout = &op.layout;
        let mut node_of_slot = vec![NONE; layout.padded() * LANES + layout.air];
        for (node, &slot) in layout.slots.iter().enumerate() {
            node_of_slot[slot as usize] = node as u32;
        }
        // Lower triangle, column by column.
        let mut list: Vec<(u32, u32)> = (0..n as u32).map(|i| (i, i)).collect();
        let mut ends = Vec::new();
        each_entry(op, |a, b, _| {
            let (a, b) = (node_of_slot[a], node_of_slot[b]);
            ends.push((a.min(b), a.max(b)));
        });
        list.extend(&ends);
        list.sort_unstable();
        list.dedup();
        let place = |key: (u32, u32)| list.partition_point(|e| *e < key) as u32;
        let diagonal = (0..n as u32).map(|i| place((i, i))).collect();
        let entries = ends.iter().map(|e| place(*e)).collect();
        let mut columns = vec![0usize; n + 1];
        for e in &list {
            columns[e.0 as usize + 1] += 1;
        }
        for i in 0..n {
            columns[i + 1] += columns[i];
        }
        let rows: Vec<usize> = list.iter().map(|e| e.1 as usize).collect();
        let order = dissection::order(network);
        let mut inverse_order = vec![0; n];
        for (i, &node) in order.iter().enumerate() {
            inverse_order[node] = i;
        }
        let params = CholeskySymbolicParams {
            supernodal_flop_ratio_threshold: SupernodalThreshold::FORCE_SUPERNODAL,
            ..Default::default()
        };
        let symbolic = factorize_symbolic_cholesky(
            SymbolicSparseColMatRef::new_checked(n, n, &columns, None, &rows),
            Side::Lower,
            SymmetricOrdering::Custom(PermRef::new_checked(&order, &inverse_order, n)),
            params,
        )
        .map_err(|e| fail(&e))?;
        let scratch = symbolic
            .factorize_numeric_llt_scratch::<f64>(Par::Seq, Spec::<LltParams, f64>::default());
        let slots = match symbolic.perm() {
            Some(p) => p.arrays().0.iter().map(|node| layout.slot(*node)).collect(),
            None => layout.slots.clone(),
        };
        Ok(Self {
            diagonal,
            entries,
            matrix: vec![0.0; list.len()],
            factor: vec![0.0; symbolic.len_val()],
            scratch: MemBuffer::try_new(scratch).map_err(|e| fail(&e))?,
            slots,
            version: 0,
            m: f64::NAN,
            x: vec![0.0; n],
            work: vec![0.0; n],
            inverse: vec![0.0; n],
            pattern: SymbolicSparseColMat::new_checked(n, n, columns, None, rows),
            symbolic,
        })
    }

    /// Factorises if the matrix has changed.
    pub fn prepare(&mut self, op: &Operator, m: f64, stats: &mut Stats) -> Result<(), HeatError> {
        if self.version == op.version && self.m.to_bits() == m.to_bits() {
            return Ok(());
        }
        self.matrix.fill(0.0);
        for (&at, &slot) in self.diagonal.iter().zip(&op.layout.slots) {
            self.matrix[at as usize] =
                m * op.capacity.get(slot) + op.outer.get(slot) + op.link_sum.get(slot);
        }
        let mut at = self.entries.iter();
        each_entry(op, |_, _, g| {
            if let Some(&at) = at.next() {
                self.matrix[at as usize] -= g;
            }
        });
        self.symbolic
            .factorize_numeric_llt(
                &mut self.factor,
                SparseColMatRef::new(self.pattern.as_ref(), &self.matrix),
                Side::Lower,
                LltRegularization::default(),
                Par::Seq,
                MemStack::new(&mut self.scratch),
                Spec::<LltParams, f64>::default(),
            )
            .map_err(|e| HeatError::Factorisation {
                what: format!("{e:?}"),
            })?;
        (self.version, self.m) = (op.version, m);
        self.invert_diagonal();
        stats.factorisations += 1;
        Ok(())
    }

    /// Adds the solution of `M y = r` to `x`.
    pub fn solve(&mut self, r: &Field, x: &mut Field, stats: &mut Stats) -> Result<(), HeatError> {
        if !matches!(self.symbolic.raw(), SymbolicCholeskyRaw::Supernodal(_)) {
            return Err(HeatError::Factorisation {
                what: "not supernodal".into(),
            });
        }
        stats.solves += 1;
        self.gather(r);
        wide!(<'a>(this: &'a mut Cholesky = self) -> () { this.sweep() });
        self.scatter(x);
        Ok(())
    }

    /// Right-hand side in elimination order.
    fn gather(&mut self, r: &Field) {
        let flat = r.cells.as_flattened();
        for (v, &s) in self.x.iter_mut().zip(&self.slots) {
            *v = match flat.get(s as usize) {
                Some(v) => *v,
                None => r.get(s),
            };
        }
    }

    fn scatter(&self, x: &mut Field) {
        for (v, &s) in self.x.iter().zip(&self.slots) {
            match x.cells.as_flattened_mut().get_mut(s as usize) {
                Some(x) => *x += v,
                None => *x.at(s) += v,
            }
        }
    }

    /// Both triangular sweeps over the supernodes.
    #[inline(always)]
    fn sweep(&mut self) {
        let SymbolicCholeskyRaw::Supernodal(shape) = self.symbolic.raw() else {
            return;
        };
        let count = shape.n_supernodes();
        let (begin, end) = (shape.supernode_begin(), shape.supernode_end());
        let (values, rows) = (shape.col_ptr_for_val(), shape.col_ptr_for_row_idx());
        let parts = |s: usize| {
            let own = begin[s]..end[s];
            (
                &self.factor[values[s]..values[s + 1]],
                &shape.row_idx()[rows[s]..rows[s + 1]],
                own,
            )
        };
        for s in 0..count {
            let (panel, pattern, own) = parts(s);
            forward(
                panel,
                pattern,
                &self.inverse[own.clone()],
                &mut self.x,
                own,
                &mut self.work,
            );
        }
        for s in (0..count).rev() {
            let (panel, pattern, own) = parts(s);
            backward(
                panel,
                pattern,
                &self.inverse[own.clone()],
                &mut self.x,
                own,
                &mut self.work,
            );
        }
    }

    /// Inverse diagonals of the factor, so that the sweeps need no division.
    fn invert_diagonal(&mut self) {
        let SymbolicCholeskyRaw::Supernodal(shape) = self.symbolic.raw() else {
            return;
        };
        let (begin, end) = (shape.supernode_begin(), shape.supernode_end());
        let (values, rows) = (shape.col_ptr_for_val(), shape.col_ptr_for_row_idx());
        for s in 0..shape.n_supernodes() {
            let size = end[s] - begin[s];
            let height = size + rows[s + 1] - rows[s];
            for j in 0..size {
                self.inverse[begin[s] + j] = 1.0 / self.factor[values[s] + j * height + j];
            }
        }
    }
}

/// Columns taken at once: each value of the vector is then loaded once for four products.
const BLOCK: usize = 4;

/// Forward step of one supernode: `work` holds its own unknowns, then what the rows below get.
#[inline(always)]
fn forward(
    panel: &[f64],
    pattern: &[usize],
    inverse: &[f64],
    x: &mut [f64],
    own: Range<usize>,
    work: &mut [f64],
) {
    let size = own.len();
    let height = size + pattern.len();
    let work = &mut work[..height];
    work[..size].copy_from_slice(&x[own.clone()]);
    work[size..].fill(0.0);
    let mut j = 0;
    let mut blocks = panel.chunks_exact(BLOCK * height);
    for block in blocks.by_ref() {
        let (c0, rest) = block.split_at(height);
        let (c1, rest) = rest.split_at(height);
        let (c2, c3) = rest.split_at(height);
        let v0 = work[j] * inverse[j];
        let v1 = (work[j + 1] - v0 * c0[j + 1]) * inverse[j + 1];
        let v2 = (work[j + 2] - v0 * c0[j + 2] - v1 * c1[j + 2]) * inverse[j + 2];
        let v3 = (work[j + 3] - v0 * c0[j + 3] - v1 * c1[j + 3] - v2 * c2[j + 3]) * inverse[j + 3];
        work[j..j + BLOCK].copy_from_slice(&[v0, v1, v2, v3]);
        j += BLOCK;
        let n = height - j;
        let (w, c0, c1, c2, c3) = (&mut work[j..], &c0[j..], &c1[j..], &c2[j..], &c3[j..]);
        let (c0, c1, c2, c3) = (&c0[..n], &c1[..n], &c2[..n], &c3[..n]);
        for i in 0..n {
            w[i] -= (v0 * c0[i] + v1 * c1[i]) + (v2 * c2[i] + v3 * c3[i]);
        }
    }
    for column in blocks.remainder().chunks_exact(height) {
        let v = work[j] * inverse[j];
        work[j] = v;
        j += 1;
        for (w, c) in work[j..].iter_mut().zip(&column[j..]) {
            *w -= v * c;
        }
    }
    x[own].copy_from_slice(&work[..size]);
    for (&i, w) in pattern.iter().zip(&work[size..]) {
        x[i] += w;
    }
}

/// Backward step of one supernode: `work` holds its own unknowns, then those of the rows below.
#[inline(always)]
fn backward(
    panel: &[f64],
    pattern: &[usize],
    inverse: &[f64],
    x: &mut [f64],
    own: Range<usize>,
    work: &mut [f64],
) {
    let size = own.len();
    let height = size + pattern.len();
    let work = &mut work[..height];
    work[..size].copy_from_slice(&x[own.clone()]);
    for (&i, w) in pattern.iter().zip(&mut work[size..]) {
        *w = x[i];
    }
    let whole = size / BLOCK * BLOCK;
    for j in (whole..size).rev() {
        let column = &panel[j * height..(j + 1) * height];
        work[j] = (work[j] - dot(&column[j + 1..], &work[j + 1..])) * inverse[j];
    }
    for j in (0..whole).step_by(BLOCK).rev() {
        let block = &panel[j * height..(j + BLOCK) * height];
        let (c0, rest) = block.split_at(height);
        let (c1, rest) = rest.split_at(height);
        let (c2, c3) = rest.split_at(height);
        let k = j + BLOCK;
        let s = dots([&c0[k..], &c1[k..], &c2[k..], &c3[k..]], &work[k..]);
        let v3 = (work[j + 3] - s[3]) * inverse[j + 3];
        let v2 = (work[j + 2] - s[2] - c2[j + 3] * v3) * inverse[j + 2];
        let v1 = (work[j + 1] - s[1] - c1[j + 2] * v2 - c1[j + 3] * v3) * inverse[j + 1];
        let v0 = (work[j] - s[0] - c0[j + 1] * v1 - c0[j + 2] * v2 - c0[j + 3] * v3) * inverse[j];
        work[j..k].copy_from_slice(&[v0, v1, v2, v3]);
    }
    x[own].copy_from_slice(&work[..size]);
}

/// Width of the running sums of a dot product.
const SUMS: usize = 4;

/// Dot product in four running sums.
#[inline(always)]
fn dot(a: &[f64], b: &[f64]) -> f64 {
    let n = a.len().min(b.len());
    let (a4, a1) = a[..n].as_chunks::<SUMS>();
    let (b4, b1) = b[..n].as_chunks::<SUMS>();
    let mut sum = [0.0; SUMS];
    for (a, b) in a4.iter().zip(b4) {
        for l in 0..SUMS {
            sum[l] += a[l] * b[l];
        }
    }
    let tail: f64 = a1.iter().zip(b1).map(|(a, b)| a * b).sum();
    (sum[0] + sum[2]) + (sum[1] + sum[3]) + tail
}

/// Four dot products with the same vector.
#[inline(always)]
fn dots(columns: [&[f64]; BLOCK], x: &[f64]) -> [f64; BLOCK] {
    let n = x.len();
    let (x4, x1) = x.as_chunks::<SUMS>();
    let m = x4.len();
    let chunked = columns.map(|c| &c[..n].as_chunks::<SUMS>().0[..m]);
    let mut sums = [[0.0; SUMS]; BLOCK];
    for i in 0..m {
        for (s, c) in sums.iter_mut().zip(&chunked) {
            for l in 0..SUMS {
                s[l] += c[i][l] * x4[i][l];
            }
        }
    }
    let first = n - x1.len();
    let mut out = [0.0; BLOCK];
    for ((o, s), c) in out.iter_mut().zip(&sums).zip(columns) {
        *o = (s[0] + s[2]) + (s[1] + s[3]);
        for (x, c) in x1.iter().zip(&c[first..]) {
            *o += c * x;
        }
    }
    out
}
