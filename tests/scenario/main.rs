//! Scenario files as keepers write them: what is refused and where, what is worked out, what is taken for granted.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod built_in;
mod documentation;
mod every_setting;
mod feeds;
mod messages;
mod mutations;
mod readings;
mod refusals;
mod slips;
mod variants;
mod warnings;
mod weights;

use partywall::problem::{Problem, Problems};
use partywall::scenario::{self, Loaded};

/// A good scenario of two hives; tests change one thing in it.
pub const PAIR: &str = r#"title = "Pair"
level = "9 in 10"
reserve = "3 kg"

[site]
climate = "champion"
shelter = "partly"

[season]
start = "1 Oct"
first_nectar = "19 May"

[every_hive]
cover = "flush"
top = "50 mm xps"

[[hive]]
name = "Left"
entrance = "75 x 9 mm"
boxes = [
  { pattern = "ten-frame deep", honey_frames = 5 },
  { pattern = "ten-frame medium", honey_frames = 9 },
]
[hive.colony]
frames_of_bees = 9
counted_at = "8 C"
pollen = "1.5 kg"

[[hive]]
name = "Right"
boxes = ["eight-frame deep"]
[hive.colony]
frames_of_bees = 5
counted_at = "8 C"
honey = "15 kg"

[[between]]
state = "touching"
"#;

/// The good scenario with one passage replaced; the passage must be there once.
pub fn pair_with(old: &str, new: &str) -> String {
    assert_eq!(
        PAIR.matches(old).count(),
        1,
        "\"{old}\" must stand once in the base"
    );
    PAIR.replace(old, new)
}

/// Reads a text that must be good.
pub fn good(text: &str) -> Loaded {
    scenario::parse(text, "hive.toml", None).unwrap_or_else(|p| {
        panic!(
            "refused:\n{}",
            partywall::report::problems::render(&p, false)
        )
    })
}

/// Reads a text that must be refused.
pub fn bad(text: &str) -> Problems {
    match scenario::parse(text, "hive.toml", None) {
        Ok(_) => panic!("taken, but should be refused:\n{text}"),
        Err(p) => {
            assert!(p.any_error(), "refused without an error");
            p
        }
    }
}

/// Takes the marks «» out of a text; gives the text and the line, column and width of what they enclose.
pub fn marked(text: &str) -> (String, (usize, usize, usize)) {
    let at = text.find('«').expect("a mark");
    let (before, rest) = text.split_at(at);
    let rest = &rest['«'.len_utf8()..];
    let (inside, after) = rest.split_once('»').expect("an end mark");
    let line = before.matches('\n').count() + 1;
    let column = before.rsplit('\n').next().unwrap_or("").chars().count() + 1;
    (
        format!("{before}{inside}{after}"),
        (line, column, inside.chars().count()),
    )
}

/// The problem that starts at a place.
pub fn at(problems: &Problems, place: (usize, usize, usize)) -> &Problem {
    problems
        .0
        .iter()
        .find(|p| {
            p.place
                .as_ref()
                .is_some_and(|q| (q.line, q.column) == (place.0, place.1))
        })
        .unwrap_or_else(|| panic!("no problem at {place:?}:\n{problems}"))
}
