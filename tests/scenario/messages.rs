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
    insta::assert_snapshot!(partywall::report::problems::render(&problems, false));
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

/// Catches errors that come in waves: slips of values and settings that are told only once the syntax is right; those of the colony, its
/// scale and its feeds only once the boxes, or the scale, can be read. And the noise that a reader makes up about what it could not read.
#[test]
fn no_second_wave_after_the_first_is_mended() {
    let told = |text: &str| -> Vec<usize> {
        let lines = |p: &partywall::problem::Problem| p.place.as_ref().map(|q| q.line);
        bad(text).0.iter().filter_map(lines).collect()
    };
    let line = |text: &str, part: &str| text.lines().position(|l| l.contains(part)).unwrap() + 1;
    // A line without quotes, a unit that is none, a setting that is none.
    let text = pair_with("reserve = \"3 kg\"", "reserve = 3 kg")
        .replace("pollen = \"1.5 kg\"", "pollen = \"1.5 kgg\"")
        .replace("shelter =", "sheltr =");
    let wanted = ["3 kg", "sheltr", "kgg"].map(|p| line(&text, p));
    assert_eq!(told(&text), wanted);
    // The line that is lost is not missed, nor what hangs on it: no boxes, no complaint about bees.
    let text = pair_with(
        "boxes = [\"eight-frame deep\"]",
        "boxes = [eight-frame deep]",
    );
    let wrong = told(&text);
    let at = line(&text, "[eight-frame deep]");
    assert!(
        !wrong.is_empty() && wrong.iter().all(|l| *l == at),
        "{wrong:?}"
    );
    // Under a heading that is broken nothing is called unknown.
    let text = pair_with("[site]", "[site");
    let at = line(&text, "[site");
    assert!(told(&text).iter().all(|l| l.abs_diff(at) <= 1), "{text}");
    // Boxes that are none, with slips in everything that hangs on them.
    let text = pair_with("\"eight-frame deep\"", "\"eight-frame dep\"")
        .replace(
            "honey = \"15 kg\"",
            "honey = \"15 kgx\"\ndies = \"40 Jan\"\n[hive.scale]\nfront = \"20 k\"\nback = \"20 kg\"\n[[hive.feed]]\ndate = \"45 Oct\"\n\
             kind = \"syrup\"\namount = \"4 L\"",
        );
    let wanted = ["frame dep\"", "15 kgx", "40 Jan", "20 k\"", "45 Oct"].map(|p| line(&text, p));
    assert_eq!(told(&text), wanted);
    // A scale that cannot be read does not hide the feeds.
    let text = text.replace("frame dep\"", "frame deep\"");
    let wanted = ["15 kgx", "40 Jan", "20 k\"", "45 Oct"].map(|p| line(&text, p));
    assert_eq!(told(&text), wanted);
}

/// Would catch a file that steers the terminal through a message.
#[test]
fn control_characters_never_reach_a_message() {
    let text = pair_with("\"partly\"", "\"\\u001b[2Jpartly\"");
    let shown = partywall::report::problems::render(&bad(&text), false);
    assert!(!shown.contains('\u{1b}'), "{shown:?}");
}
