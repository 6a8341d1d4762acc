//! What the texts of comparisons and rankings begin with.

use super::network::NetworksWords;
use partywall_core::answer::head::Head;
use std::fmt::Write;

/// The words of a head.
pub trait HeadWords {
    /// What must be said before the answer, if anything.
    fn mind(&self) -> Option<String>;
    /// The lines that come first.
    fn opening(&self, t: &mut String);
}

/// What a page begins with: what every answer does, and what must be said before this one.
pub(super) fn first(mind: Option<&str>) -> Vec<&str> {
    super::text::FIRST.into_iter().chain(mind).collect()
}

impl HeadWords for Head {
    fn mind(&self) -> Option<String> {
        Some(format!("Mind: {}", self.network.mind()?))
    }

    fn opening(&self, t: &mut String) {
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
    use crate::comparison::{self};
    use crate::page;
    use crate::ranking::{self};
    use partywall_core::answer::compare::CompareResult;
    use partywall_core::answer::head::{Drawn, Told};
    use partywall_core::answer::network::{Networks, REDUCED};
    use partywall_core::answer::rank::RankResult;
    use partywall_core::answer::weather::Climate;
    use partywall_core::ensemble::held::Held;
    use partywall_core::ensemble::winters::Basis;
    use partywall_core::problem::Severity;
    use partywall_core::problem::{Problem, Problems};

    /// Catches a warning without its variant, one said of two variants that comes twice, and one that loses its line in the result.
    #[test]
    fn warnings_name_their_hives() {
        let problem = |what: &str| Problem {
            severity: Severity::Warning,
            code: partywall_core::problem::Code::Other,
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
        let check = crate::network::tests::strayed(around_k);
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
