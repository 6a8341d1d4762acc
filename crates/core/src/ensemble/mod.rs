//! Many winters, in parallel, in a fixed order.

mod check;
pub mod draws;
pub mod full_network_check;
pub mod levels;
pub mod members;
pub mod runner;
pub mod winters;

pub use check::{CheckWindow, sets_the_answer};
