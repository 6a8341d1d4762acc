//! Published standards and worked examples, through the public interface.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stderr,
    clippy::print_stdout
)]

mod fao56;
mod iso10211;
mod iso6946;
mod outside_checks;
mod sun;
mod ventilation;
