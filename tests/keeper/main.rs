//! What a keeper is told, from outside: advice, and what the answer hangs on.

#![allow(clippy::unwrap_used, clippy::expect_used)]

#[path = "../cli/program.rs"]
mod program;

mod advice;
mod told;
