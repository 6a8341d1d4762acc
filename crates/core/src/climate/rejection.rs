//! Winters that a record touches but that cannot be used.

/// Why a winter cannot be used.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum Rejection {
    /// The record starts inside this winter.
    #[error("the record begins on {0}, inside this winter")]
    BeginsInside(String),
    /// The record stops inside this winter.
    #[error("the record ends on {0}, inside this winter")]
    EndsInside(String),
    /// A typical year that lacks part of the winter.
    #[error("the file does not hold this part of the year")]
    YearNotWhole,
    /// No reading at all.
    #[error("no readings in this winter")]
    NoReadings,
    /// A gap in hourly readings.
    #[error("{count} hours missing in gaps too long to fill; the first begins on {first}")]
    HoursMissing {
        /// Hours missing.
        count: usize,
        /// Where the first gap begins.
        first: String,
    },
    /// A gap in daily readings.
    #[error("{count} days missing in gaps of more than two days; the first begins on {first}")]
    DaysMissing {
        /// Days missing.
        count: usize,
        /// Where the first gap begins.
        first: String,
    },
    /// An instrument that repeats itself for longer than any weather does.
    #[error(
        "{days} days in a row from {first} on repeat the same readings: the instrument was stuck"
    )]
    Stuck {
        /// Days in the longest run.
        days: usize,
        /// Its first day.
        first: String,
    },
}
