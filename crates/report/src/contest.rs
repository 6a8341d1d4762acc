//! What the documents of comparisons and rankings share.

use super::document::{Document, Figure, Line};
use super::network::NetworksWords;
use super::phrases::{self, size_kg_lb};
use super::pictures::{self, Bar, BarsPicture, Picture, PictureError};
use super::run::{cautions, first};
use crate::text;
use crate::texts::said;
use partywall_core::answer::head::Head;
use partywall_core::decision::gains::Difference;
use partywall_core::decision::uncertainty::UncertaintyBudget;

/// The words of a head.
pub trait HeadWords {
    /// What must be said before the answer, if anything.
    fn mind(&self) -> Option<String>;
}

impl HeadWords for Head {
    fn mind(&self) -> Option<String> {
        Some(text!("contest.mind", words = self.network.mind()?))
    }
}

/// A contest without its answers, from what it asks.
pub(super) fn document(head: &Head, question: &str) -> Document {
    Document {
        title: head.title.clone(),
        question: text!(
            "contest.from_first_dependable_nectar",
            question,
            start = head.start,
            first_nectar = head.first_nectar,
            words = said("contest.words")
        ),
        first: first().into_iter().chain(head.mind()).collect(),
        basis: phrases::basis(head),
        cautions: cautions(),
        ..Document::default()
    }
}

/// Where the doubts come from, if that is known.
pub(super) fn how_sure(doubts: Option<&UncertaintyBudget>, weighed: bool) -> Option<Line> {
    doubts.map(|d| Line::new(said("contest.how_sure"), phrases::doubts(d, weighed)))
}

/// A picture, and its place on the page.
pub type Drawn = (Picture, Figure);

/// Bars of one colony.
pub(super) struct Bars<'a> {
    pub head: &'a Head,
    pub title: String,
    pub groups: Vec<(&'a str, Vec<Bar>)>,
    pub caption: String,
}

/// Draws the bars of each colony that has any.
pub(super) fn bars<'a, C>(
    colonies: &'a [C],
    of: impl Fn(usize, &'a C) -> Bars<'a>,
) -> Result<Vec<Drawn>, PictureError> {
    let mut drawn = Vec::new();
    for (k, c) in colonies.iter().enumerate() {
        let b = of(k, c);
        let picture = pictures::bars(&BarsPicture {
            number: k + 1,
            title: &b.title,
            below: &text!(
                "contest.below_bars",
                title = b.head.title,
                station = b.head.climate.station
            ),
            groups: &b.groups,
        });
        match picture {
            Ok(p) => {
                let figure = Figure::captioned(&p, k, &b.caption, said("contest.bars"));
                drawn.push((p, figure));
            }
            Err(PictureError::Empty(_)) => {}
            Err(e) => return Err(e),
        }
    }
    Ok(drawn)
}

/// A bar for a difference of honey.
pub(super) fn bar(words: String, d: &Difference) -> Bar {
    let s = d.spread;
    let sign = match s.middle {
        m if m.abs() < 0.05 => "",
        m if m < 0.0 => "-",
        _ => "+",
    };
    Bar {
        words,
        spread: [s.low, s.middle, s.high],
        close: d.close,
        value: format!("{sign}{}", size_kg_lb(s.middle)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::comparison::{self};
    use crate::document::Made;
    use crate::ranking::{self};
    use partywall_core::answer::compare::CompareResult;
    use partywall_core::answer::head::{Drawn, WarningList};
    use partywall_core::answer::network::{Networks, REDUCED};
    use partywall_core::answer::rank::RankResult;
    use partywall_core::answer::weather::Climate;
    use partywall_core::ensemble::full_network_check::Held;
    use partywall_core::ensemble::winters::Basis;
    use partywall_core::problem::Severity;
    use partywall_core::problem::{Problem, Problems};

    /// Catches a warning without its variant, one said of two variants that comes twice, and one that loses its line in the result.
    #[test]
    fn warnings_name_their_hives() {
        let problem = |what: &str| Problem {
            severity: Severity::Warning,
            code: "slip",
            file: "hive.toml".to_owned(),
            place: None,
            what: what.to_owned(),
            expected: None,
            help: Some("look".to_owned()),
        };
        let mut told = WarningList::default();
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
            let made = Made {
                version: "",
                command: "",
                input: &[],
            };
            let said = [comparison::document(&compare), ranking::document(&rank)];
            let said = said.map(|d| [d.text(), d.page(made).unwrap()]);
            let said = said.as_flattened();
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
