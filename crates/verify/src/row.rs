//! Rows of the table of outside checks, and the groups it is printed in.

use super::Check;
use partywall_core::ensemble::levels::middle;
use serde::Serialize;

/// Whether the default parameters already lean on a measured value: if they do, agreeing with it proves little.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Used {
    /// A default was chosen to meet it: passing proves nothing.
    Yes,
    /// It informed one range or default.
    Part,
    /// It was not used: an independent check.
    No,
}

impl Used {
    /// The word in the table.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Yes => "yes",
            Self::Part => "part",
            Self::No => "no",
        }
    }
}

/// What a value comes to over the accepted sets of parameters, in the check's unit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Range {
    /// Lowest.
    pub low: f64,
    /// Middle of all: as many sets above as below.
    pub middle: f64,
    /// Highest.
    pub high: f64,
    /// Number of sets.
    pub sets: usize,
}

impl Range {
    /// Of some values; `None` without any, or when one is not a number.
    #[must_use]
    pub fn of(values: &[f64]) -> Option<Self> {
        if values.is_empty() || values.iter().any(|v| !v.is_finite()) {
            return None;
        }
        let mut sorted = values.to_vec();
        sorted.sort_by(f64::total_cmp);
        let n = sorted.len();
        Some(Self {
            low: sorted[0],
            middle: middle(&sorted),
            high: sorted[n - 1],
            sets: n,
        })
    }
}

/// A check with what the table says beside it.
#[derive(Debug, Clone, Serialize)]
pub struct Row {
    /// The check.
    #[serde(flatten)]
    pub check: Check,
    /// Whether the defaults lean on the measured value; `None` where nothing is calibrated (heat, climate).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub used_for_calibration: Option<Used>,
    /// The value over the accepted sets of parameters, where it was worked out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub range: Option<Range>,
}

impl From<Check> for Row {
    fn from(check: Check) -> Self {
        Self {
            check,
            used_for_calibration: None,
            range: None,
        }
    }
}

/// Rows under one heading.
#[derive(Debug, Clone)]
pub struct Group {
    /// The heading, a few words.
    pub heading: &'static str,
    /// The rows, in a fixed order.
    pub rows: Vec<Row>,
}

impl Group {
    /// Checks without calibration under a heading.
    #[must_use]
    pub fn plain(heading: &'static str, checks: Vec<Check>) -> Self {
        Self {
            heading,
            rows: checks.into_iter().map(Row::from).collect(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches a middle that is not the middle, or a value that is no number hidden in a range.
    #[test]
    fn middle_of_few() {
        let r = Range::of(&[3.0, 1.0, 10.0, 2.0]).unwrap();
        assert_eq!((r.low, r.middle, r.high, r.sets), (1.0, 2.5, 10.0, 4));
        assert_eq!(Range::of(&[5.0, 1.0, 2.0]).unwrap().middle, 2.0);
        assert!(Range::of(&[]).is_none() && Range::of(&[1.0, f64::NAN]).is_none());
    }
}
