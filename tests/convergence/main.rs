//! Answers that must not depend on how they are computed: grid, step, solver.

mod order;
mod peer;
