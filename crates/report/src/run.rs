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
use crate::text;
use crate::texts::{listed, said};

use crate::warnings;
pub(super) use colony::{act_below, at_the_start, too_few_combs};
use partywall_core::answer::run::RunResult;
use partywall_core::climate::series::Winter;
use partywall_core::decision::result::ColonyResult;
use partywall_core::ensemble::winters::Basis;
use partywall_core::hive::Hive;
use partywall_core::stand::{Scenario, Season};

/// The line about mites.
#[must_use]
pub fn mites() -> String {
    said("run.mites").to_owned()
}

/// What every answer begins with.
#[must_use]
pub fn first() -> [String; 2] {
    [mites(), said("run.losses").to_owned()]
}

/// What every answer ends with.
#[must_use]
pub fn cautions() -> Vec<String> {
    listed("run.cautions").to_vec()
}

/// The answer as a keeper reads it; `season` is that of the scenario.
#[must_use]
pub fn document(r: &RunResult, season: &Season, u: Units) -> Document {
    let minds = r.warnings.iter().map(|w| warnings::mind(w, u));
    Document {
        title: r.title.clone(),
        question: text!(
            "run.from_first_dependable_nectar",
            site = r.site,
            start = r.start,
            first_nectar = r.first_nectar
        ),
        first: first().into_iter().chain(minds).collect(),
        answers: r.colonies.iter().map(|c| answer(r, c, season, u)).collect(),
        basis: basis(r, u),
        cautions: cautions(),
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
    let mut lines = vec![text!(
        "run.weather",
        winters = match (r.climate.winters.first(), r.climate.winters.last()) {
            _ if r.climate.basis != Basis::Real => text!("run.winters_made_up", count = n),
            (Some(one), _) if n == 1 => text!("run.winter", one),
            (Some(first), Some(last)) => text!(
                "run.whole_winters",
                count = n,
                available = r.climate.available,
                first,
                last
            ),
            _ => text!("run.no_winters"),
        },
        station = r.climate.station,
        source = r.climate.source
    )];
    if n < r.climate.available && r.climate.basis == Basis::Real {
        lines.push(text!("run.chosen_stand_all_them"));
    }
    lines.extend(r.climate.notes.iter().cloned());
    lines.push(text!(
        "run.heat_hives_cut_into",
        unknowns = r.network.unknowns,
        grid = r.grid,
        model = match (r.network.kind, r.grid) {
            ("reduced", _) => text!(
                "run.followed_their_slowest_patterns",
                unknowns = r.solver.unknowns
            ),
            (_, "coarse") => text!("run.quick_steps"),
            _ => String::new(),
        }
    ));
    lines.extend(r.network.checked(units));
    lines.extend_from_slice(listed("run.limits"));
    lines
}

#[cfg(test)]
mod sheet_tests;
#[cfg(test)]
pub(crate) mod tests;
