//! The heat equation on a graded grid with air nodes; knows nothing of bees.
//!
//! `C dT/dt = -K T + f`: finite volumes on a rectilinear [`Grid`], series conductances between cell centres, lumped air
//! nodes inside the same symmetric M-matrix, outer faces gathered into affine groups so that weather only changes a
//! handful of numbers. One [`Network`] is assembled per body; a [`Drive`] says what acts on it during one step;
//! [`steady`] and [`Stepper`] solve it. A [`Shell`] is a sphere immersed in the network.

mod assembly;
mod balance;
mod drive;
mod error;
mod faces;
mod grid;
mod immersed;
mod links;
mod medium;
mod network;
mod operator;
pub mod reduced;
mod simd_layout;
mod solver;
mod steady;
mod stepper;
#[cfg(test)]
mod tests;

pub use balance::{Balance, Stats};
pub use drive::{Drive, Exchange, Film};
pub use error::HeatError;
pub use faces::{FaceGroup, Side};
pub use grid::{Grid, graded_axis};
pub use immersed::{Contact, Shell};
pub use medium::{AIR_HEAT_CAPACITY, AirNode, FillZone, Medium, Role, Solid};
pub use network::{Edge, ExtraLink, Network, NodeRef};
pub use solver::LinearSolver;
pub use steady::{Solution, net_heat, steady};
pub use stepper::{Scheme, Stepper};
