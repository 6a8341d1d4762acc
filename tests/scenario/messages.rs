//! What every message has in common: all problems at once, in file order, placed, and harmless to a terminal.

use crate::{bad, marked, pair_with};

/// Would catch a reader that stops at the first problem, or tells them out of order.
#[test]
fn all_problems_come_at_once_in_file_order() {
    let text = pair_with("reserve = \"3 kg\"", "reserve = 3")
        .replace("\"champion\"", "\"champoin\"")
        .replace("frames_of_bees = 5", "frames_of_bees = 14")
        .replace("entrance =", "entrence =")
        .replace("\"touching\"", "\"touchin\"");
    let problems = bad(&text);
    assert_eq!(problems.0.len(), 5, "{problems}");
    let lines: Vec<usize> = problems
        .0
        .iter()
        .filter_map(|p| p.place.as_ref().map(|q| q.line))
        .collect();
    assert!(lines.is_sorted(), "{lines:?}");
    insta::assert_snapshot!(partywall::diagnostic::render(&problems, false));
}

#[test]
fn broken_toml_is_placed_and_helped() {
    let (text, place) = marked(&pair_with("reserve = \"3 kg\"", "reserve = 3« kg»"));
    let problems = bad(&text);
    let first = &problems.0[0];
    assert!(first.what.contains("not valid TOML"), "{problems}");
    assert_eq!(first.place.as_ref().map(|p| p.line), Some(place.0));
    assert!(
        first
            .help
            .as_deref()
            .is_some_and(|h| h.contains("in quotes: \"3 kg\"")),
        "{first:?}"
    );
    let twice = bad(&pair_with(
        "reserve = \"3 kg\"",
        "reserve = \"3 kg\"\nreserve = \"4 kg\"",
    ));
    assert_eq!(
        twice.0[0].place.as_ref().map(|p| p.line),
        Some(4),
        "{twice}"
    );
    bad(&pair_with("[site]", "[site"));
}

/// Would catch a file that steers the terminal through a message.
#[test]
fn control_characters_never_reach_a_message() {
    let text = pair_with("\"partly\"", "\"\\u001b[2Jpartly\"");
    let shown = partywall::diagnostic::render(&bad(&text), false);
    assert!(!shown.contains('\u{1b}'), "{shown:?}");
}
