//! Many winters, in parallel, in a fixed order.

pub mod levels;
pub mod runner;
pub mod winters;
