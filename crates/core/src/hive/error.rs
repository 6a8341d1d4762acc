//! What can keep a scenario from becoming a heat network.

use thiserror::Error;

use crate::heat::HeatError;
use crate::materials::MaterialError;

/// Errors of the hive room. Each names the stack (and box, counted from 1 at the bottom) and the numbers.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum HiveError {
    /// No stack, or more than the program handles.
    #[error("a stand has 1 to {most} stacks, this one has {got}")]
    StackCount {
        /// Stacks given.
        got: usize,
        /// Most accepted.
        most: usize,
    },
    /// Joints do not match stacks.
    #[error("{stacks} stacks have {} joints between them, {joints} are given", .stacks.saturating_sub(1))]
    JointCount {
        /// Stacks.
        stacks: usize,
        /// Joints given.
        joints: usize,
    },
    /// A stack without boxes.
    #[error("stack \"{stack}\" has no box")]
    NoBox {
        /// Stack name.
        stack: String,
    },
    /// A stack with neither top layers nor a cover.
    #[error("stack \"{stack}\" has nothing on top: neither inner cover, foam nor outer cover")]
    NoLid {
        /// Stack name.
        stack: String,
    },
    /// A number out of bounds.
    #[error("stack \"{stack}\": {what} is {value}, not within {low} to {high}")]
    OutOfBounds {
        /// Stack name.
        stack: String,
        /// What, with its unit.
        what: String,
        /// The value.
        value: f64,
        /// Least accepted.
        low: f64,
        /// Most accepted.
        high: f64,
    },
    /// Walls leave no room inside a box.
    #[error("stack \"{stack}\", box {number}: walls leave {inside} m inside {across}")]
    NoRoom {
        /// Stack name.
        stack: String,
        /// Box number, 1 at the bottom.
        number: usize,
        /// Direction.
        across: &'static str,
        /// What is left, m.
        inside: f64,
    },
    /// Frames that do not fit their box.
    #[error("stack \"{stack}\", box {number}: {what} needs {needs} m, there is {has} m")]
    DoesNotFit {
        /// Stack name.
        stack: String,
        /// Box number, 1 at the bottom.
        number: usize,
        /// What does not fit.
        what: &'static str,
        /// Length needed, m.
        needs: f64,
        /// Length there is, m.
        has: f64,
    },
    /// The state of the gap and its width contradict each other.
    #[error("joint {joint}: the gap is {gap} m wide but said to be {state}")]
    GapContradiction {
        /// Joint number, 1 = between the first and second stack.
        joint: usize,
        /// Width, m.
        gap: f64,
        /// What it is said to be.
        state: &'static str,
    },
    /// A heater outside any empty box.
    #[error("stack \"{stack}\": the heater stands in box {number}, which {why}")]
    HeaterPlace {
        /// Stack name.
        stack: String,
        /// Box number, 1 at the bottom.
        number: usize,
        /// Why that cannot be.
        why: &'static str,
    },
    /// An opening that leads nowhere.
    #[error("stack \"{stack}\": opening {opening} leads to {what}")]
    OpeningPlace {
        /// Stack name.
        stack: String,
        /// Opening number, from 1.
        opening: usize,
        /// What is missing.
        what: String,
    },
    /// The table of comb and seam values is damaged.
    #[error("the comb table cannot be read: {message}")]
    CombTable {
        /// What the reader said.
        message: String,
    },
    /// A comb or seam value set by the scenario lies outside its range.
    #[error("{key} = {value} {unit} is outside its range {low} to {high}")]
    CombValue {
        /// Key in the table.
        key: &'static str,
        /// The value.
        value: f64,
        /// Its unit.
        unit: String,
        /// Least accepted.
        low: f64,
        /// Most accepted.
        high: f64,
    },
    /// A material is unknown or impossible.
    #[error(transparent)]
    Material(#[from] MaterialError),
    /// The heat room refused the grid or the network.
    #[error(transparent)]
    Heat(#[from] HeatError),
}
