//! The weather of a run: the record, and what is told of it.

use super::Failure;
use crate::cli::{MadeUpArgs, WinterCount};
use partywall_core::calendar::MonthDay;
use partywall_core::climate::ClimateChoice;
use partywall_core::climate::series::Winter;
use partywall_core::climate::{self, Record};
use partywall_core::decision::feeding::autumn;
use partywall_core::ensemble::winters::{Asked, Basis, check_season};
use partywall_core::stand::Scenario;
use partywall_report::result::Climate;
use std::io::Write;

/// The weather record of a scenario, which may know better than the file where it was measured; its season must be winter there.
/// Warnings go to `err`.
pub(in crate::commands) fn record_of(
    scenario: &Scenario,
    err: &mut dyn Write,
    colour: bool,
) -> Result<Record, Failure> {
    // Some weather files do not say where they were measured; the scenario may.
    let known = climate::raw::PartialStation {
        latitude_deg: scenario.site.latitude_deg,
        longitude_deg: scenario.site.longitude_deg,
        elevation: scenario.site.elevation,
        ..climate::raw::PartialStation::default()
    };
    let mut record = climate::load_at(&scenario.climate, &known)?;
    write!(
        err,
        "{}",
        partywall_core::problem::render(
            &partywall_core::problem::Problems(record.warnings.clone()),
            colour
        )
    )?;
    let (start, end) = (scenario.season.start, scenario.season.first_nectar);
    let notes = check_season(&record, start, end, scenario.site.latitude_deg)?;
    record.notes.splice(0..0, notes);
    Ok(record)
}

/// The first and last day of an autumn where the record was measured, and its whole autumns: without a whole one there is no last day for
/// syrup.
pub(in crate::commands) fn autumns_of(record: &Record) -> ((MonthDay, MonthDay), Vec<Winter>) {
    let autumn = autumn(record.station.latitude_deg);
    let whole = record.cut(autumn.0, autumn.1);
    (autumn, whole.map_or_else(|_| Vec::new(), |c| c.whole))
}

/// Which winters are asked for.
pub(in crate::commands) fn asked(winters: Option<WinterCount>, made: MadeUpArgs) -> Asked {
    Asked {
        count: match winters {
            Some(WinterCount::Some(n)) => Some(n),
            Some(WinterCount::All) | None => None,
        },
        made_up: made.made_up,
        detrend: made.detrend,
    }
}

/// What is told of the record and of the winters chosen from it.
pub(in crate::commands) fn climate_of(
    record: &Record,
    scenario: &Scenario,
    winters: Vec<String>,
    (available, basis): (usize, Basis),
    mut notes: Vec<String>,
) -> Climate {
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
    Climate {
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
