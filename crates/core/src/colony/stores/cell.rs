//! A cell of comb, and what can be wrong with it.

/// Length of a cell along the comb, m (a choice: five bees long).
pub const CELL_ALONG: f64 = 0.05;
/// Height of a cell, m (a choice: the cluster rises about so far in three weeks).
pub const CELL_UP: f64 = 0.02;

/// One cell of comb, or part of a pat over the frames.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cell {
    /// Middle, m.
    pub at: [f64; 3],
    /// How far from its middle it can be touched in each direction, m.
    pub(super) half: [f64; 3],
    /// Honey in it, kg.
    pub left: f64,
    /// Honey it holds when full, kg.
    pub room: f64,
    /// Box and frame, both counted from 0; `None` for a pat over the frames.
    pub frame: Option<(u16, u16)>,
}

impl Cell {
    /// Distance from a point to where the cell is touched, m.
    pub(super) fn distance(&self, from: &[f64; 3]) -> f64 {
        self.distance_squared(from).sqrt()
    }

    /// Its square, m2.
    pub(super) fn distance_squared(&self, from: &[f64; 3]) -> f64 {
        let d: [f64; 3] =
            std::array::from_fn(|i| ((self.at[i] - from[i]).abs() - self.half[i]).max(0.0));
        d[0] * d[0] + d[1] * d[1] + d[2] * d[2]
    }
}

/// What can be wrong with a map of stores.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum StoresError {
    /// A size or an amount that is not a finite, fitting number.
    #[error("the combs or their honey have a value that cannot be: {0}")]
    Value(&'static str),
    /// More honey than the combs hold.
    #[error("{kg} kg of honey do not fit into combs that hold {room} kg")]
    TooMuch {
        /// Honey to be placed, kg.
        kg: f64,
        /// What the combs hold, kg.
        room: f64,
    },
    /// Amounts for another number of boxes or frames than there are.
    #[error("honey is given for {given} {of}, but there are {there}")]
    Count {
        /// "boxes" or "frames".
        of: &'static str,
        /// Number given.
        given: usize,
        /// Number there.
        there: usize,
    },
}
