//! The report as one HTML file that holds all it needs: no network, no script. Page one prints on one sheet.
//!
//! Everything a user typed goes through the template, which escapes it; the pictures are drawn by this program.

mod appendix;
mod pictures;
mod sheet;
mod yard;

use super::document::Figure;
use super::pictures::Picture;
use super::text;
use super::words::Units;
use crate::warnings;
use askama::Template;
use partywall_core::answer::run::RunResult;
use partywall_core::climate::series::Winter;
use partywall_core::hive::Hive;
use partywall_core::stand::Scenario;

/// What the report is made of.
pub struct Page<'a> {
    /// The answer.
    pub result: &'a RunResult,
    /// The scenario as used.
    pub scenario: &'a Scenario,
    /// Its hive.
    pub hive: &'a Hive,
    /// The winters run.
    pub winters: &'a [Winter],
    /// All pictures, in the order they are shown.
    pub pictures: &'a [Picture],
    /// What the scenario is called, and its text as read.
    pub input: (&'a str, &'a str),
    /// The command that gives this report again.
    pub command: &'a str,
}

/// Why a report was not made.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum PageError {
    /// The template failed.
    #[error("the report could not be written: {0}")]
    Template(#[from] askama::Error),
    /// A table of the program is damaged.
    #[error("a table of this program is damaged: {0}")]
    Table(String),
    /// A number that is not a number would have been printed.
    #[error("the report would have shown \"{0}\" as a number")]
    NotANumber(String),
}

#[derive(Template)]
#[template(path = "report.html")]
struct Report<'a> {
    result: &'a RunResult,
    mites: &'static str,
    warnings: Vec<String>,
    colonies: Vec<sheet::Colony>,
    pictures: Vec<Figure>,
    basis: Vec<String>,
    cautions: &'static [&'static str],
    yard: Vec<yard::Yard>,
    solver: Vec<(&'static str, String)>,
    parameters: Vec<appendix::Row>,
    materials: Vec<appendix::Row>,
    notes: &'a [String],
    input: (&'a str, &'a str),
    command: &'a str,
}

/// The report.
///
/// # Errors
/// A damaged table of the program, or a result that holds what is not a number.
pub fn html(p: &Page<'_>) -> Result<String, PageError> {
    sheet::finite(p.result)?;
    let colonies: Vec<sheet::Colony> = p
        .result
        .colonies
        .iter()
        .map(|c| sheet::colony(p.result, c, &p.scenario.season))
        .collect();
    let report = Report {
        result: p.result,
        mites: text::MITES,
        warnings: p
            .result
            .warnings
            .iter()
            .map(|w| warnings::words(w, Units::Both))
            .collect(),
        yard: yard::sheets(p),
        colonies,
        pictures: pictures::shown(p.pictures, p.result),
        basis: text::basis(p.result, Units::Both),
        cautions: &text::CAUTIONS,
        solver: appendix::solver(p.result),
        parameters: appendix::parameters(p.scenario)?,
        materials: appendix::materials(p.hive),
        notes: &p.hive.notes,
        input: p.input,
        command: p.command,
    };
    Ok(report.render()?)
}

#[cfg(test)]
mod sheet_tests;
#[cfg(test)]
mod tests;
