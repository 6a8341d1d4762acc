//! What comparisons and rankings begin with.

use super::network::Networks;
use super::weather::Climate;
use crate::problem::{Problem, Problems};
use serde::Serialize;

/// What was drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Drawn {
    /// Winters.
    pub winters: usize,
    /// Kinds of colony (parameter sets): each goes through one winter.
    pub colonies: usize,
}

/// The head of a comparison or a ranking.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Head {
    /// Shape of the document.
    pub schema: &'static str,
    /// Program version.
    pub version: &'static str,
    /// Title of the (first) scenario.
    pub title: String,
    /// Weather record.
    pub climate: Climate,
    /// Start of the count.
    pub start: String,
    /// First dependable nectar of the scenario that the others are held against.
    pub first_nectar: String,
    /// Level asked for, share of winters.
    pub level: f64,
    /// Stores that must be left, kg.
    pub reserve: f64,
    /// Grid used.
    pub grid: &'static str,
    /// Which heat network carried it, and how that was checked.
    pub network: Networks,
    /// What was drawn.
    pub drawn: Drawn,
    /// What to look at in the input.
    pub warnings: Vec<Warning>,
}

/// Something in the input to look at.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Warning {
    /// Hives or variants it is said of.
    pub hives: Vec<String>,
    /// File, with line and column if it has a place.
    pub at: String,
    /// What there is to see.
    pub what: String,
    /// What to try.
    pub help: Option<String>,
}

/// Warnings as they come up, each once with the names of all hives it is said of.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WarningList(Vec<(Vec<String>, Problem)>);

impl WarningList {
    /// Adds what is said of one hive.
    pub fn add(&mut self, hive: &str, problems: &Problems) {
        for p in &problems.0 {
            match self.0.iter_mut().find(|(_, known)| known == p) {
                Some((hives, _)) => hives.push(hive.to_owned()),
                None => self.0.push((vec![hive.to_owned()], p.clone())),
            }
        }
    }

    /// For the terminal: each begins with the hives it is said of.
    #[must_use]
    pub fn problems(&self) -> Problems {
        let named = |(hives, p): &(Vec<String>, Problem)| Problem {
            what: format!("{}: {}", hives.join(", "), p.what),
            ..p.clone()
        };
        Problems(self.0.iter().map(named).collect())
    }

    /// For the result.
    #[must_use]
    pub fn warnings(&self) -> Vec<Warning> {
        let warning = |(hives, p): &(Vec<String>, Problem)| Warning {
            hives: hives.clone(),
            at: match &p.place {
                Some(place) => format!("{}:{}:{}", p.file, place.line, place.column),
                None => p.file.clone(),
            },
            what: p.what.clone(),
            help: p.help.clone(),
        };
        self.0.iter().map(warning).collect()
    }
}
