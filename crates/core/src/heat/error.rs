//! What can be wrong with a heat problem or its solution.

use thiserror::Error;

/// Errors of the heat room. Every one names the place and the numbers.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum HeatError {
    /// A grid axis has fewer than two planes.
    #[error("axis {axis} has {planes} planes; a cell needs two")]
    TooFewPlanes {
        /// 'x', 'y' or 'z'.
        axis: char,
        /// Planes given.
        planes: usize,
    },
    /// Grid planes must be finite and strictly increasing.
    #[error("axis {axis}: plane {index} at {value} m does not lie beyond the one before it")]
    PlanesNotIncreasing {
        /// 'x', 'y' or 'z'.
        axis: char,
        /// Index of the offending plane.
        index: usize,
        /// Its position, m.
        value: f64,
    },
    /// More cells than the program can number.
    #[error("the grid has {cells} cells; at most {most} are supported")]
    TooManyCells {
        /// Cells asked for.
        cells: usize,
        /// Limit.
        most: usize,
    },
    /// A field does not have the grid's shape.
    #[error("field {field} has shape {got:?}, the grid {expected:?}")]
    Shape {
        /// Which field.
        field: &'static str,
        /// Its shape.
        got: [usize; 3],
        /// The grid's shape.
        expected: [usize; 3],
    },
    /// A material value that no body can have.
    #[error("cell {cell}: {what} = {value} is not allowed")]
    Material {
        /// Cell index (C order).
        cell: usize,
        /// Which value.
        what: &'static str,
        /// The value.
        value: f64,
    },
    /// A cell names an air node that was not given.
    #[error("cell {cell} belongs to air node {index}, but only {count} were given")]
    UnknownAirNode {
        /// Cell index.
        cell: usize,
        /// Air node named.
        index: u16,
        /// Air nodes given.
        count: usize,
    },
    /// An air node with a value that makes no sense.
    #[error("air node {name:?}: {what} = {value} is not allowed")]
    AirNodeValue {
        /// Name of the node.
        name: String,
        /// Which value.
        what: &'static str,
        /// The value.
        value: f64,
    },
    /// A cell or edge names an outside zone that was not declared.
    #[error("outside zone {zone} is named, but only {zones} were declared")]
    UnknownZone {
        /// Zone named.
        zone: u16,
        /// Zones declared.
        zones: usize,
    },
    /// An extra link whose end or conductance is not usable.
    #[error("extra link {index}: {what}")]
    BadLink {
        /// Position in the list of links.
        index: usize,
        /// What is wrong.
        what: &'static str,
    },
    /// A fill zone with a cell that is not solid, or in another zone already.
    #[error("fill zone {name:?}: cell {cell} {what}")]
    BadFill {
        /// Name of the zone.
        name: String,
        /// Cell index.
        cell: usize,
        /// What is wrong.
        what: &'static str,
    },
    /// There is nothing to solve for.
    #[error("the body has no solid cell and no air node")]
    Empty,
    /// A list in the drive has the wrong length.
    #[error("drive: {what} has {got} entries, the network needs {expected}")]
    DriveLength {
        /// Which list.
        what: &'static str,
        /// Its length.
        got: usize,
        /// Length needed.
        expected: usize,
    },
    /// A value in the drive or a state that is not finite or has the wrong sign.
    #[error("drive: {what} number {index} is {value}")]
    DriveValue {
        /// Which list.
        what: &'static str,
        /// Position.
        index: usize,
        /// The value.
        value: f64,
    },
    /// A part of the body has no way to lose heat, so no steady state exists.
    #[error(
        "node {node} and what is joined to it has no path to the outside: no steady state exists"
    )]
    Unanchored {
        /// One node of that part.
        node: usize,
    },
    /// A node with neither capacity nor links.
    #[error("node {node} has neither heat capacity nor conductance")]
    LooseNode {
        /// The node.
        node: usize,
    },
    /// Step length or tolerance out of range.
    #[error("{what} = {value} is not allowed")]
    Setting {
        /// Which setting.
        what: &'static str,
        /// The value.
        value: f64,
    },
    /// The iterative solver did not reach its tolerance.
    #[error(
        "no convergence after {iterations} iterations: estimated error {error_k:.3e} K, wanted {wanted_k:.3e} K"
    )]
    NoConvergence {
        /// Iterations done.
        iterations: usize,
        /// Estimated largest error, K.
        error_k: f64,
        /// Tolerance, K.
        wanted_k: f64,
    },
    /// An immersed body that touches no cell of the body.
    #[error("a sphere of radius {radius} m at {centre:?} m touches no cell of the body")]
    NothingTouched {
        /// Centre, m.
        centre: [f64; 3],
        /// Radius, m.
        radius: f64,
    },
}
