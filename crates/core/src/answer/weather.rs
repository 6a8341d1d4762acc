//! The weather behind an answer: the record, and what is told of it.

use super::AnswerError;
use crate::climate::{ClimateChoice, Record};
use crate::ensemble::winters::{Asked, Basis, check_season, choose};
use crate::stand::Scenario;
use serde::Serialize;

/// The weather behind a run.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Climate {
    /// Station.
    pub station: String,
    /// File or built-in record.
    pub source: String,
    /// Labels of the winters run.
    pub winters: Vec<String>,
    /// Whole winters in the record.
    pub available: usize,
    /// Whether they are real or made up, and from what.
    pub basis: Basis,
    /// What was replaced or assumed.
    pub notes: Vec<String>,
}

impl Climate {
    /// What is told of the record and of the winters chosen from it.
    pub(super) fn of(
        record: &Record,
        scenario: &Scenario,
        winters: Vec<String>,
        (available, basis): (usize, Basis),
        mut notes: Vec<String>,
    ) -> Self {
        notes.extend(record.notes.iter().cloned());
        if scenario.stress.colder != 0.0 {
            notes.insert(
                0,
                format!(
                    "made worse on purpose: every hour {:.1} C colder than measured; that can come out cheaper in honey, since brood then starts later and \
                     bees fly less: what it asks is whether the bees stand the cold and reach their honey",
                    scenario.stress.colder
                ),
            );
        }
        if scenario.stress.late_spring > 0 {
            notes.insert(
                0,
                format!(
                    "made worse on purpose: first nectar {} days later than given",
                    scenario.stress.late_spring
                ),
            );
        }
        Self {
            station: record.station.name.clone(),
            source: match &scenario.climate {
                ClimateChoice::BuiltIn(name) => format!("built-in record \"{name}\""),
                ClimateChoice::File(_) => record.source_name.clone(),
            },
            winters,
            available,
            basis,
            notes,
        }
    }
}

/// Whether a stand can be run under a record.
///
/// # Errors
/// A season that is summer there, or of which the record holds no whole winter.
pub fn suits(record: &Record, s: &Scenario) -> Result<(), AnswerError> {
    let (start, end) = (s.season.start, s.season.first_nectar);
    check_season(record, start, end, s.site.latitude_deg)?;
    choose(record, start, end, Asked::default())?;
    Ok(())
}

/// The record with what is to be said of a season on it, which must be winter there.
///
/// # Errors
/// A season that is summer where the weather was measured.
pub(super) fn for_season(mut record: Record, s: &Scenario) -> Result<Record, AnswerError> {
    let (start, end) = (s.season.start, s.season.first_nectar);
    let notes = check_season(&record, start, end, s.site.latitude_deg)?;
    record.notes.splice(0..0, notes);
    Ok(record)
}
