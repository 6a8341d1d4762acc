//! The program from outside: what a user types, what comes back, which exit code.

#![allow(clippy::unwrap_used, clippy::expect_used)]

mod bad_input;
mod contests;
mod keeper;
mod main_job;
mod pages;
mod roundings;
mod told;
