//! What comparisons and rankings begin with, as data and as text.

use super::network::Networks;
use super::phrases::Drawn;
use super::result::Climate;
use partywall_core::problem::{Problem, Problems};
use serde::Serialize;
use std::fmt::Write;

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
pub struct Told(Vec<(Vec<String>, Problem)>);

impl Told {
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

impl Head {
    /// What must be said before the answer, if anything.
    #[must_use]
    pub fn mind(&self) -> Option<String> {
        Some(format!("Mind: {}", self.network.mind()?))
    }

    /// What a page begins with: what every answer does, and what must be said before this one.
    pub(super) fn first(mind: Option<&str>) -> Vec<&str> {
        super::text::FIRST.into_iter().chain(mind).collect()
    }

    /// The lines that come first.
    pub(super) fn opening(&self, t: &mut String) {
        let _ = writeln!(t, "{}", self.title);
        for line in super::text::FIRST {
            super::words::para(t, "", line);
        }
        if let Some(mind) = self.mind() {
            super::words::para(t, "", &mind);
        }
        super::words::para(t, "", super::phrases::WORDS);
        let _ = writeln!(t);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::comparison::{self, CompareResult};
    use crate::network::REDUCED;
    use crate::page;
    use crate::ranking::{self, RankResult};
    use partywall_core::ensemble::held::Held;
    use partywall_core::ensemble::winters::Basis;
    use partywall_core::problem::Severity;
    use partywall_core::season::Comparison;

    /// Catches a warning without its variant, one said of two variants that comes twice, and one that loses its line in the result.
    #[test]
    fn warnings_name_their_hives() {
        let problem = |what: &str| Problem {
            severity: Severity::Warning,
            file: "hive.toml".to_owned(),
            place: None,
            what: what.to_owned(),
            expected: None,
            help: Some("look".to_owned()),
        };
        let mut told = Told::default();
        told.add("thin", &Problems(vec![problem("a"), problem("b")]));
        told.add("thick", &Problems(vec![problem("b")]));
        let said: Vec<String> = told.problems().0.into_iter().map(|p| p.what).collect();
        assert_eq!(said, ["thin: a", "thin, thick: b"]);
        let all = told.warnings();
        assert_eq!((all.len(), all[1].hives.len()), (2, 2));
        assert_eq!(
            (all[0].at.as_str(), all[0].what.as_str()),
            ("hive.toml", "a")
        );
    }

    fn head(around_k: f64) -> Head {
        let check = Comparison::strayed(around_k);
        let held = Held {
            hives: vec!["thick foam".to_owned()],
            unknowns: 900,
            holds: check.holds(),
            check: Some(check),
        };
        Head {
            schema: "",
            version: "",
            title: "Two hives".to_owned(),
            climate: Climate {
                station: String::new(),
                source: String::new(),
                winters: Vec::new(),
                available: 0,
                basis: Basis::Real,
                notes: Vec::new(),
            },
            start: String::new(),
            first_nectar: String::new(),
            level: 0.9,
            reserve: 3.0,
            grid: "coarse",
            network: Networks::new(REDUCED, 1, vec![held]),
            drawn: Drawn {
                winters: 5,
                colonies: 5,
            },
            warnings: Vec::new(),
        }
    }

    /// Catches a comparison or a ranking that hides that the quick heat model strays: in the text before the first colony, on the page, in the
    /// data; and one that warns of a model that does not.
    #[test]
    fn an_excess_stands_before_the_answer() {
        for (off, around_k) in [(false, 0.2), (true, 0.42)] {
            let compare = CompareResult {
                head: head(around_k),
                against: String::new(),
                colonies: Vec::new(),
            };
            let rank = RankResult {
                head: head(around_k),
                changes: Vec::new(),
                left_out: Vec::new(),
                colonies: Vec::new(),
            };
            let said = [
                comparison::text(&compare),
                ranking::text(&rank),
                page::comparison::html(&compare, &[], "", &[]).unwrap(),
                page::ranking::html(&rank, &[], "", &[]).unwrap(),
            ];
            for text in said {
                let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
                let (top, _) = text.split_once("What this rests on").unwrap();
                let warned = [
                    "Mind: the quick heat model",
                    "thick foam",
                    "by up to 0.42 C",
                ];
                assert!(warned.iter().all(|w| top.contains(w) == off), "{text}");
            }
            let json = serde_json::to_value(&rank).unwrap();
            assert_eq!(json["network"]["checks"][0]["holds"], !off);
            assert_eq!(json["network"]["check"]["around_k"], around_k);
        }
    }
}
