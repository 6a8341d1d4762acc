//! Which heat network carries winters and how far it is checked: the same words for every command that runs some.

use super::Grid;
use clap::{Args, ValueEnum};
use partywall_core::answer::{CheckWindow, HeatOptions};

/// Which heat network, and its check, in `run`, `yard`, `update`, `compare` and `rank` alike.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Args)]
pub struct HeatArgs {
    /// Which heat network carries the winters
    #[arg(long, value_enum, default_value_t = NetworkKind::Reduced)]
    pub network: NetworkKind,
    /// How much of the winter that sets the answer is gone over with the full network, to check the reduced one
    #[arg(long, value_enum, default_value_t = Check::CheckWindow)]
    pub check: Check,
}

/// Which heat network.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum NetworkKind {
    /// By the slowest patterns of temperature: some hundred times faster
    Reduced,
    /// Every piece of the hives, hour by hour
    Full,
}

/// How much is checked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Check {
    /// Nothing
    None,
    /// Four weeks about the weakest moment
    CheckWindow,
    /// The whole winter
    Winter,
}

impl HeatArgs {
    /// What is asked for on a grid.
    #[must_use]
    pub fn on(self, grid: Grid) -> HeatOptions {
        HeatOptions {
            resolution: grid.into(),
            full: self.network == NetworkKind::Full,
            check: match self.check {
                Check::None => None,
                Check::CheckWindow => Some(CheckWindow::Weakest),
                Check::Winter => Some(CheckWindow::Winter),
            },
        }
    }
}
