//! The values options take.

use clap::ValueEnum;
use partywall_core::calendar::{self, MonthDay};
use partywall_core::hive::Resolution;

/// What a comparison prints.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Print {
    /// For reading
    Text,
    /// For programs
    Json,
    /// For spreadsheets
    Csv,
}

/// What a command prints.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// For reading
    Text,
    /// For programs, everything
    Json,
    /// For spreadsheets, one row a winter, weighing, value or check
    Csv,
}

/// What `yard` prints.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum YardFormat {
    /// For the shed wall
    Text,
    /// For programs: as `run --format json`
    Json,
}

/// How finely the hive is divided.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Grid {
    /// Fastest
    Coarse,
    /// One cell per frame
    Normal,
    /// Combs and gaps apart, for checking
    Fine,
}

/// How many winters to run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WinterCount {
    /// Every whole winter of the record.
    All,
    /// So many, spread evenly from the mildest to the coldest.
    Some(usize),
}

/// A whole number from `LOW` to `HIGH`.
pub(super) fn count<T: TryFrom<u32>, const LOW: u32, const HIGH: u32>(
    text: &str,
) -> Result<T, String> {
    let n = text.trim().parse().ok();
    let n = n.filter(|n| (LOW..=HIGH).contains(n));
    n.and_then(|n| T::try_from(n).ok())
        .ok_or_else(|| format!("a whole number from {LOW} to {HIGH} is wanted"))
}

/// A day of the year, with or without its year.
pub(super) fn day(text: &str) -> Result<MonthDay, String> {
    let text = text.trim();
    if let Ok(date) = text.parse::<jiff::civil::Date>() {
        return Ok(calendar::of(date));
    }
    calendar::parse(text).map_err(|e| format!("{e}: write \"15 Nov\" or 2026-11-15"))
}

impl std::str::FromStr for WinterCount {
    type Err = String;
    fn from_str(s: &str) -> Result<Self, String> {
        if s.eq_ignore_ascii_case("all") {
            return Ok(Self::All);
        }
        match s.parse() {
            Ok(0) => Err("at least one winter is needed".into()),
            Ok(n) => Ok(Self::Some(n)),
            Err(_) => Err("a number of winters, or `all`".into()),
        }
    }
}

impl From<Grid> for Resolution {
    fn from(grid: Grid) -> Self {
        match grid {
            Grid::Coarse => Self::Coarse,
            Grid::Normal => Self::Normal,
            Grid::Fine => Self::Fine,
        }
    }
}
