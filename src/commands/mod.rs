//! One file per subcommand; the only place that prints.

pub mod climate;

pub mod check;
