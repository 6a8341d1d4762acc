//! The main job from outside: the answer, its files, and one figure for one quantity on every sheet.

#![allow(clippy::unwrap_used, clippy::expect_used)]

#[path = "../cli/program.rs"]
mod program;

mod job;
mod roundings;
