//! How unknowns lie in memory while solving: eight cells side by side, so that the recurrences of the incomplete
//! factorisation run in eight vector lanes at once.
//!
//! The longest axis `a` is cut into eight blocks of `slabs` slabs. Chunk `(ia, jb, kc)` holds the cells at `ia`, `ia +
//! slabs`, `ia + 2 slabs`, ... of that axis in its eight lanes. Walking the chunks in order is an elimination order like
//! any other: every link of the grid is kept, also the ones between the last slab of one lane and the first of the next
//! (the *wrap*). One plane of zero chunks lies before and after, so no sweep needs a branch. Air nodes come last.

use super::network::Network;

/// Lanes in a chunk.
pub(super) const LANES: usize = 8;
/// One value in each lane.
pub(super) type Chunk = [f64; LANES];
/// A chunk of zeros.
pub(super) const ZERO: Chunk = [0.0; LANES];

/// Runs a sweep compiled for the widest vector unit this machine has. Only the width differs: products and sums are
/// the same, none are fused, so every machine gives the same bytes.
///
/// `wide!(<'a>(name: type = value, ...) -> result { body })`; the body sees the names only and must be inlined as a
/// whole, which closures are not.
macro_rules! wide {
    (<$life:lifetime>($($name:ident: $type:ty = $value:expr),+ $(,)?) -> $result:ty $body:block) => {{
        struct Sweep<$life> {
            $($name: $type,)+
        }
        impl<$life> pulp::NullaryFnOnce for Sweep<$life> {
            type Output = $result;
            #[inline(always)]
            fn call(self) -> $result {
                let Sweep { $($name),+ } = self;
                $body
            }
        }
        pulp::Arch::new().dispatch(Sweep { $($name: $value),+ })
    }};
}
pub(super) use wide;

/// A value per unknown: chunks of cells (with zero padding), then air nodes.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Field {
    pub cells: Vec<Chunk>,
    pub air: Vec<f64>,
}

impl Field {
    pub fn zero(layout: &Layout) -> Self {
        Self {
            cells: vec![ZERO; layout.padded()],
            air: vec![0.0; layout.air],
        }
    }

    pub fn clear(&mut self) {
        self.cells.fill(ZERO);
        self.air.fill(0.0);
    }

    /// Value at a slot (see [`Layout::slot`]).
    pub fn get(&self, slot: u32) -> f64 {
        let s = slot as usize;
        let chunk = s / LANES;
        match self.cells.get(chunk) {
            Some(c) => c[s % LANES],
            None => self.air[s - self.cells.len() * LANES],
        }
    }

    /// Mutable value at a slot.
    pub fn at(&mut self, slot: u32) -> &mut f64 {
        let s = slot as usize;
        let cells = self.cells.len();
        match self.cells.get_mut(s / LANES) {
            Some(c) => &mut c[s % LANES],
            None => &mut self.air[s - cells * LANES],
        }
    }

    /// self += a x.
    pub fn add(&mut self, a: f64, x: &Self) {
        wide!(<'a>(this: &'a mut Field = self, a: f64 = a, x: &'a Field = x) -> () { this.add_wide(a, x) });
    }

    #[inline(always)]
    fn add_wide(&mut self, a: f64, x: &Self) {
        for (s, x) in self.cells.iter_mut().zip(&x.cells) {
            for l in 0..LANES {
                s[l] += a * x[l];
            }
        }
        for (s, x) in self.air.iter_mut().zip(&x.air) {
            *s += a * x;
        }
    }

    pub fn copy_from(&mut self, x: &Self) {
        self.cells.copy_from_slice(&x.cells);
        self.air.copy_from_slice(&x.air);
    }
}

/// Where each node lies.
#[derive(Debug, Clone)]
pub(super) struct Layout {
    /// Slabs per lane along the cut axis, at least 2.
    pub slabs: usize,
    /// Rows per slab.
    pub rows: usize,
    /// Chunks per row.
    pub row: usize,
    /// Air nodes.
    pub air: usize,
    /// Slot of each node: 8 * chunk + lane counted with padding; air nodes follow the cells.
    pub slots: Vec<u32>,
    /// Grid axis of (cut, row, chunk) directions.
    pub axes: [usize; 3],
}

impl Layout {
    pub fn new(network: &Network) -> Self {
        let grid = network.grid();
        let shape = grid.shape();
        let mut axes = [0, 1, 2];
        axes.sort_by_key(|a| (std::cmp::Reverse(shape[*a]), *a));
        // Longest is cut, second longest runs along the row.
        let axes = [axes[0], axes[2], axes[1]];
        let slabs = shape[axes[0]].div_ceil(LANES).max(2);
        let (rows, row) = (shape[axes[1]], shape[axes[2]]);
        let air = network.air_nodes().len();
        let mut layout = Self {
            slabs,
            rows,
            row,
            air,
            slots: Vec::with_capacity(network.n()),
            axes,
        };
        for &cell in &network.cell_of_node {
            let at = grid.ijk(cell as usize);
            let slot = layout.slot_of(at);
            layout.slots.push(slot);
        }
        let first = (layout.padded() * LANES) as u32;
        layout.slots.extend((0..air as u32).map(|i| first + i));
        layout
    }

    fn slot_of(&self, at: [usize; 3]) -> u32 {
        let [a, b, c] = self.axes.map(|x| at[x]);
        let chunk = self.plane() + ((a % self.slabs) * self.rows + b) * self.row + c;
        (chunk * LANES + a / self.slabs) as u32
    }

    /// Chunks in a slab.
    pub fn plane(&self) -> usize {
        self.rows * self.row
    }

    /// Chunks without padding.
    pub fn chunks(&self) -> usize {
        self.slabs * self.plane()
    }

    /// Chunks with padding.
    pub fn padded(&self) -> usize {
        self.chunks() + 2 * self.plane()
    }

    /// Slot of a node.
    pub fn slot(&self, node: usize) -> u32 {
        self.slots[node]
    }

    /// Copies node values into a field; padding and unused lanes stay as they are.
    pub fn gather(&self, t: &[f64], field: &mut Field) {
        let cells = t.len() - self.air;
        let flat = field.cells.as_flattened_mut();
        for (v, &s) in t[..cells].iter().zip(&self.slots) {
            flat[s as usize] = *v;
        }
        field.air.copy_from_slice(&t[cells..]);
    }

    /// Copies a field back into node order.
    pub fn scatter(&self, field: &Field, t: &mut [f64]) {
        let cells = t.len() - self.air;
        let flat = field.cells.as_flattened();
        for (v, &s) in t[..cells].iter_mut().zip(&self.slots) {
            *v = flat[s as usize];
        }
        t[cells..].copy_from_slice(&field.air);
    }
}

/// Where the link of a cell to the next one along a grid axis is kept.
#[derive(Debug, Clone, Copy)]
pub(super) struct LinkPlace {
    /// 0: along the cut axis, 1: to the next row, 2: along the row, 3: wrap.
    pub kind: u8,
    /// Flat index (8 * chunk + lane) in that array.
    pub at: u32,
}

impl Layout {
    /// Place of the link from `cell` to the next cell along grid `axis`: held at the later of the two chunks, the wrap
    /// at the position within its plane and the lane of the last slab.
    pub fn link_place(&self, network: &Network, axis: usize, cell: usize) -> LinkPlace {
        let mut at = network.grid().ijk(cell);
        let last_slab = axis == self.axes[0] && at[axis] % self.slabs == self.slabs - 1;
        if last_slab {
            let slot = self.slot_of(at) as usize;
            let first = (self.plane() * LANES) * self.slabs;
            return LinkPlace {
                kind: 3,
                at: (slot - first) as u32,
            };
        }
        at[axis] += 1;
        let kind = self.axes.iter().position(|a| *a == axis).unwrap_or(0) as u8;
        LinkPlace {
            kind,
            at: self.slot_of(at),
        }
    }
}

/// Value of the next lane in each lane; 0 in the last.
#[inline(always)]
pub(super) fn next_lane(c: &Chunk) -> Chunk {
    [c[1], c[2], c[3], c[4], c[5], c[6], c[7], 0.0]
}

/// Value of the lane before in each lane; 0 in the first.
#[inline(always)]
pub(super) fn lane_before(c: &Chunk) -> Chunk {
    [0.0, c[0], c[1], c[2], c[3], c[4], c[5], c[6]]
}
