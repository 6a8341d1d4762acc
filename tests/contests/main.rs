//! Hives held against each other, from outside: `compare` and `rank`.

#![allow(clippy::unwrap_used, clippy::expect_used)]

#[path = "../cli/program.rs"]
mod program;

mod contests;
