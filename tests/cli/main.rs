//! The program from outside: what a user types, what comes back, which exit code.

#![allow(clippy::unwrap_used, clippy::expect_used)]

mod program;

mod bad_input;
mod checked;
mod log;
