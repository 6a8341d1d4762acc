//! What a keeper asks, from outside: the main job, the advice, one figure for one quantity on every sheet.

#![allow(clippy::unwrap_used, clippy::expect_used)]

#[path = "../cli/program.rs"]
mod program;

mod advice;
mod main_job;
mod roundings;
mod told;
