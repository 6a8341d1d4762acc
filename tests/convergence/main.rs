//! Answers that must not depend on how they are computed: grid, step, solver.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stderr,
    clippy::print_stdout
)]

mod order;
mod peer;
