//! Sparse Cholesky: faer factorises, own supernodal sweeps solve (one right-hand side, dense columns, no dispatch).

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
use super::super::lanes::{Field, LANES};
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
    gathered: Vec<f64>,
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
        let mut inverse = vec![0; n];
        for (i, &node) in order.iter().enumerate() {
            inverse[node] = i;
        }
        let params = CholeskySymbolicParams {
            supernodal_flop_ratio_threshold: SupernodalThreshold::FORCE_SUPERNODAL,
            ..Default::default()
        };
        let symbolic = factorize_symbolic_cholesky(
            SymbolicSparseColMatRef::new_checked(n, n, &columns, None, &rows),
            Side::Lower,
            SymmetricOrdering::Custom(PermRef::new_checked(&order, &inverse, n)),
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
            gathered: vec![0.0; n],
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
        stats.factorisations += 1;
        Ok(())
    }

    /// Adds the solution of `M y = r` to `x`.
    pub fn solve(&mut self, r: &Field, x: &mut Field, stats: &mut Stats) -> Result<(), HeatError> {
        let SymbolicCholeskyRaw::Supernodal(shape) = self.symbolic.raw() else {
            return Err(HeatError::Factorisation {
                what: "not supernodal".into(),
            });
        };
        stats.solves += 1;
        for (v, &s) in self.x.iter_mut().zip(&self.slots) {
            *v = r.get(s);
        }
        let count = shape.n_supernodes();
        let (begin, end) = (shape.supernode_begin(), shape.supernode_end());
        let (values, rows) = (shape.col_ptr_for_val(), shape.col_ptr_for_row_idx());
        for s in 0..count {
            let pattern = &shape.row_idx()[rows[s]..rows[s + 1]];
            let panel = &self.factor[values[s]..values[s + 1]];
            forward(
                panel,
                pattern,
                &mut self.x,
                begin[s]..end[s],
                &mut self.gathered,
            );
        }
        for s in (0..count).rev() {
            let pattern = &shape.row_idx()[rows[s]..rows[s + 1]];
            let panel = &self.factor[values[s]..values[s + 1]];
            backward(
                panel,
                pattern,
                &mut self.x,
                begin[s]..end[s],
                &mut self.gathered,
            );
        }
        for (v, &s) in self.x.iter().zip(&self.slots) {
            *x.at(s) += v;
        }
        Ok(())
    }
}

/// `x -= a v`.
#[inline]
fn subtract(a: f64, v: &[f64], x: &mut [f64]) {
    for (x, v) in x.iter_mut().zip(v) {
        *x -= a * v;
    }
}

/// Dot product in eight running sums.
#[inline]
fn dot(a: &[f64], b: &[f64]) -> f64 {
    let n = a.len().min(b.len());
    let (a8, a1) = a[..n].as_chunks::<LANES>();
    let (b8, b1) = b[..n].as_chunks::<LANES>();
    let mut sum = [0.0; LANES];
    for (a, b) in a8.iter().zip(b8) {
        for l in 0..LANES {
            sum[l] += a[l] * b[l];
        }
    }
    let tail: f64 = a1.iter().zip(b1).map(|(a, b)| a * b).sum();
    ((sum[0] + sum[4]) + (sum[1] + sum[5])) + ((sum[2] + sum[6]) + (sum[3] + sum[7])) + tail
}

/// Forward step of one supernode: dense triangle, then the rows below through a gathered sum.
fn forward(
    panel: &[f64],
    pattern: &[usize],
    x: &mut [f64],
    own: std::ops::Range<usize>,
    below: &mut [f64],
) {
    let size = own.len();
    let height = size + pattern.len();
    let below = &mut below[..pattern.len()];
    below.fill(0.0);
    let top = &mut x[own];
    for (j, column) in panel.chunks_exact(height).enumerate() {
        let (done, rest) = top[j..].split_at_mut(1);
        let v = done[0] / column[j];
        done[0] = v;
        subtract(v, &column[j + 1..size], rest);
        subtract(v, &column[size..], below);
    }
    for (&i, b) in pattern.iter().zip(&*below) {
        x[i] += b;
    }
}

/// Backward step of one supernode.
fn backward(
    panel: &[f64],
    pattern: &[usize],
    x: &mut [f64],
    own: std::ops::Range<usize>,
    below: &mut [f64],
) {
    let size = own.len();
    let height = size + pattern.len();
    let below = &mut below[..pattern.len()];
    for (&i, b) in pattern.iter().zip(below.iter_mut()) {
        *b = x[i];
    }
    let top = &mut x[own];
    for (j, column) in panel.chunks_exact(height).enumerate().rev() {
        let (here, rest) = top[j..].split_at_mut(1);
        here[0] =
            (here[0] - dot(&column[j + 1..size], rest) - dot(&column[size..], below)) / column[j];
    }
}
