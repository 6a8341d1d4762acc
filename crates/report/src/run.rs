//! A run as a keeper reads it in a kitchen: the number asked for first, whole numbers, counts of winters.

mod appendix;
mod colony;
mod pictures;
mod sheet;

use super::document::{Answer, Document, PageError};
use super::jobs::Jobs;
use super::pictures::Picture;
use super::words::Units;
use super::yard;
use crate::network::NetworkWords;
use crate::warnings;
pub(super) use colony::{act_below, at_the_start, too_few_combs};
use partywall_core::answer::run::RunResult;
use partywall_core::climate::series::Winter;
use partywall_core::decision::result::ColonyResult;
use partywall_core::ensemble::winters::Basis;
use partywall_core::hive::Hive;
use partywall_core::stand::{Scenario, Season};

/// What every answer begins with: what kills more colonies than cold and hunger, and how many are lost in a usual winter
/// (keepers' surveys: 16.7 in 100 in 35 countries 2018/19, 9 to 34 in the United Kingdom over twelve years, 10 to 38 by province in
/// Canada 2014/15; one club's five-frame hives 60).
pub const FIRST: [&str; 2] = [
    "Count mites first: a warm, heavy hive with many mites usually dies. Here are heat and stores only.",
    "In a usual winter keepers lose one to three colonies in ten, and more of the small ones.",
];

/// The line about mites.
pub const MITES: &str = FIRST[0];

/// The answer as a keeper reads it; `season` is that of the scenario.
#[must_use]
pub fn document(r: &RunResult, season: &Season, u: Units) -> Document {
    let minds = r.warnings.iter().map(|w| warnings::mind(w, u));
    Document {
        title: r.title.clone(),
        question: format!(
            "{}, from {} to first dependable nectar on {}",
            r.site, r.start, r.first_nectar
        ),
        first: FIRST.map(str::to_owned).into_iter().chain(minds).collect(),
        answers: r.colonies.iter().map(|c| answer(r, c, season, u)).collect(),
        basis: basis(r, u),
        cautions: &CAUTIONS,
        ..Document::default()
    }
}

/// One colony: its headline, page one, and all of it at length.
fn answer(r: &RunResult, c: &ColonyResult, season: &Season, u: Units) -> Answer {
    let first = sheet::sheet(r, c, season, u);
    Answer {
        name: c.stack.clone(),
        long: colony::long(r, c, u),
        ..first
    }
}

/// What a page is made of beside the answer.
#[derive(Clone, Copy)]
pub struct Behind<'a> {
    /// The scenario as used.
    pub scenario: &'a Scenario,
    /// Its hive.
    pub hive: &'a Hive,
    /// The winters run.
    pub winters: &'a [Winter],
    /// All pictures, in any order.
    pub pictures: &'a [Picture],
}

/// The answer as a page has it: with pictures, a sheet for the yard for each colony, and by what it can be checked.
///
/// # Errors
/// A damaged table of the program.
pub fn page(r: &RunResult, b: &Behind<'_>) -> Result<Document, PageError> {
    let jobs = Jobs {
        scenario: b.scenario,
        winters: b.winters,
        units: Units::Both,
    };
    Ok(Document {
        figures: pictures::shown(b.pictures, r),
        sheets: yard::papers(r, &jobs),
        appendix: appendix::sections(r, b)?,
        ..document(r, &b.scenario.season, Units::Both)
    })
}

/// What the answer rests on, one paragraph each.
fn basis(r: &RunResult, units: Units) -> Vec<String> {
    let n = r.climate.winters.len();
    let mut lines = vec![format!(
        "Weather: {}, {} ({}).",
        match (r.climate.winters.first(), r.climate.winters.last()) {
            _ if r.climate.basis != Basis::Real => format!("{n} winters made up"),
            (Some(one), _) if n == 1 => format!("the winter {one}"),
            (Some(first), Some(last)) => format!(
                "{n} of {} whole winters, {first} to {last}",
                r.climate.available
            ),
            _ => "no winters".to_owned(),
        },
        r.climate.station,
        r.climate.source
    )];
    if n < r.climate.available && r.climate.basis == Basis::Real {
        lines.push(
            "Chosen to stand for all of them, from mild to cold; --winters all runs them all."
                .to_owned(),
        );
    }
    lines.extend(r.climate.notes.iter().cloned());
    lines.push(format!(
        "Heat: the hives cut into {} pieces ({} grid){}.",
        r.network.unknowns,
        r.grid,
        match (r.network.kind, r.grid) {
            ("reduced", _) => format!(
                ", followed by their {} slowest patterns of temperature",
                r.solver.unknowns
            ),
            (_, "coarse") => ", with quick steps".to_owned(),
            _ => String::new(),
        },
    ));
    lines.extend(r.network.checked(units));
    lines.extend(
        [
            "Not counted: nectar before first dependable nectar, robbing, damp and disease. The cluster is taken for one sphere that does not split.",
            "Only winters differ here. Colonies that look alike eat up to twice or half as much: your scale goes first.",
        ]
        .map(str::to_owned),
    );
    lines
}

/// Fixed lines every answer carries.
pub const CAUTIONS: [&str; 5] = [
    "Estimates from rough counts: your scale, local club, inspector or extension office go first where they differ, and so does the law.",
    "Do not open or take hives apart in the cold to get better inputs. Do not unpair in mid-winter.",
    "A full deep can be 40 kg (88 lb), a two-box hive 60 kg (132 lb): tilt, do not lift; two people; mind ice; strap against wind.",
    "Feed white sugar only, no honey of unknown origin, no syrup in frost.",
    "No figure here is a chance of survival.",
];

#[cfg(test)]
mod sheet_tests;
#[cfg(test)]
mod tests;
