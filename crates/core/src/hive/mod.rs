//! Stacks, boxes, frames and walls to material layers, grid and network.
//!
//! A checked scenario is placed in metres ([`layout`]), painted as boxes of material one over another (shell, inside), cut into
//! a graded grid and assembled into one heat network for the whole stand. Combs and seams are one anisotropic body at the
//! coarse and normal resolution and separate cells at the fine one; wider air spaces are lumped nodes that exchange with
//! each other through their open areas.
//!
//! Axes as in [`crate::stand`]: whoever stands behind the hives and looks the way the entrances face has stack 0
//! on the left, so faces towards larger x look 90 degrees clockwise from the entrances.

mod airways;
mod build;
mod check;
pub mod combs;
mod error;
mod faces;
pub mod gap;
mod inside;
pub mod layout;

mod parts;
mod planes;
mod raster;
mod resolution;
mod shell;
mod spaces;
pub mod wood;

pub use airways::{AirPort, AirSpace, Leak, StackAir, Vent};
pub use build::{Hive, OpenToAir, build, build_with};
pub use combs::{CombParameter, CombParameters, colony_overrides, comb_table};
pub use error::HiveError;
pub use faces::OuterFace;
pub use layout::Bounds;

pub use parts::Zone;
pub use resolution::Resolution;
pub use spaces::{BoxSpace, ResolvedOpening, StackSpace};
