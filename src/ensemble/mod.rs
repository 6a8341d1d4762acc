//! Many winters, in parallel, in a fixed order.

pub mod draws;
pub mod held;
pub mod levels;
pub mod members;
pub mod runner;
pub mod winters;
