//! The weather of a scenario as `run` would find it.

use partywall_core::answer::weather::suits;
use partywall_core::climate::ClimateChoice;
use partywall_core::climate::Record;
use partywall_core::climate::raw::PartialStation;
use partywall_core::problem::{Problem, Severity};
use partywall_core::stand::Scenario;

/// Records that were read, so that the variants of a scenario do not read theirs again.
#[derive(Default)]
pub(super) struct Weather {
    read: Vec<(ClimateChoice, PartialStation, Option<Record>)>,
}

impl Weather {
    /// What is wrong with the weather of a scenario, or to be said of it, if a run would look at it; told once for scenarios that share it.
    pub(super) fn of(&mut self, s: &Scenario) -> (Option<&Record>, Vec<Problem>) {
        if s.colonies().next().is_none() {
            return (None, Vec::new());
        }
        let station = s.site.station();
        let mut told = Vec::new();
        let known = self
            .read
            .iter()
            .position(|(c, k, _)| *c == s.climate && *k == station);
        let i = known.unwrap_or_else(|| {
            let record = match crate::files::weather::load_at(&s.climate, &station) {
                Ok(record) => {
                    told.clone_from(&record.warnings);
                    Some(record)
                }
                Err(problems) => {
                    told = problems.0;
                    None
                }
            };
            self.read.push((s.climate.clone(), station, record));
            self.read.len() - 1
        });
        let record = self.read.get(i).and_then(|(_, _, r)| r.as_ref());
        if let Some(r) = record
            && let Err(e) = suits(r, s)
        {
            told.push(Problem {
                severity: Severity::Error,
                code: "weather_unsuited",
                file: r.source_name.clone(),
                place: None,
                what: e.to_string(),
                expected: None,
                help: None,
            });
        }
        (record, told)
    }
}
