//! What an answer must say of its input: a colony taken to die, honey without room, days that have passed; and scenarios to start from.

use crate::{file, folded, partywall, said};
use std::path::Path;

const QUICK: [&str; 6] = ["--winters", "5", "--grid", "coarse", "--check", "none"];

/// Catches an example that is not the file itself, one that is missing from the list, and a name that is passed over in silence.
#[test]
fn examples_are_the_files_themselves() {
    let list = said(&["example"]);
    for name in [
        "larch-flats",
        "larch-twelve",
        "cold-larch",
        "far-honey",
        "heater-box",
        "single",
    ] {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("scenarios/{name}.toml"));
        assert_eq!(
            said(&["example", name]).as_bytes(),
            std::fs::read(path).unwrap(),
            "{name}"
        );
        assert!(list.lines().any(|l| l.starts_with(name)), "{list}");
    }
    assert_eq!(list.lines().count(), 6, "{list}");
    let wrong = partywall(&["example", "singel"]);
    assert_eq!(wrong.status.code(), Some(2));
    assert!(wrong.stdout.is_empty());
    let err = String::from_utf8_lossy(&wrong.stderr).into_owned();
    assert!(err.contains("did you mean \"single\"?"), "{err}");
}

/// Catches a colony taken to die whose answer reads like that of a living one, and syrup fed into full combs that is credited.
#[test]
fn deaths_and_full_combs_are_told() {
    let folder = tempfile::tempdir().unwrap();
    let text = said(&["example", "larch-flats"])
        .replace("# dies = \"10 Jan\"", "dies = \"10 Jan\"\n#")
        .replace("honey_frames = 3 }", "honey_frames = 8 }")
        .replace("honey_frames = 7 }", "honey_frames = 8 }")
        .replace("front = \"21.4 kg\"", "front = \"29.6 kg\"")
        .replace("back = \"22.2 kg\"", "back = \"30.0 kg\"")
        .replace(
            "# What is between the two",
            "[[hive.feed]]\ndate = \"3 Oct\"\nkind = \"syrup\"\namount = \"10 L\"\n\n# What is between the two",
        );
    let path = file(folder.path(), "pair.toml", &text);
    let name = path.to_str().unwrap();
    let text = folded(&said(&[&["run", name], &QUICK[..]].concat()));
    for part in [
        "Mind: Left is taken to die on 10 January",
        "LEFT: taken to die on 10 January",
        "Mind: Right: of the feeding you plan, 9.8 kg (22 lb) of stores in all, 8 kg (18 lb) finds no room in the combs",
        "adds 1.7 kg (3.7 lb) of stores; the rest of its 9.8 kg (22 lb) finds no room in the combs",
    ] {
        assert!(text.contains(part), "{part}\nnot in\n{text}");
    }
}

/// Catches advice to feed syrup by a day that has passed on the day on which it is asked, a planned feed of a day that has passed that is
/// counted without a word, and a day outside the season that changes anything.
#[test]
fn days_that_have_passed_are_told() {
    let folder = tempfile::tempdir().unwrap();
    let feed = "feed = [{ date = \"3 Oct\", kind = \"syrup\", amount = \"2 L\" }]\n";
    let text = said(&["example", "single"]).replace("honey = \"65 lb\" }", "honey = \"30 lb\" }");
    let path = file(folder.path(), "light.toml", &format!("{text}{feed}"));
    let name = path.to_str().unwrap();
    let on = |more: &[&str]| folded(&said(&[&["run", name], &QUICK[..], more].concat()));
    let (plain, winter) = (on(&[]), on(&["--on", "2026-12-20"]));
    assert!(
        plain.contains("After that day give dry sugar or fondant"),
        "{plain}"
    );
    assert!(!plain.contains("has passed"), "{plain}");
    for part in [
        "the feed planned for 3 October has passed on 20 December",
        "it is too late for",
        "and it is 20 December. Give",
        "dry or as fondant",
    ] {
        assert!(winter.contains(part), "{part}\nnot in\n{winter}");
    }
    assert_eq!(on(&["--on", "1 Aug"]), plain);
    let yard = folded(&said(&[
        "yard",
        name,
        "--winters",
        "5",
        "--grid",
        "coarse",
        "--on",
        "20 Dec",
    ]));
    assert!(
        yard.contains("has passed on 20 December") && yard.contains("dry or as fondant"),
        "{yard}"
    );
    let bad = partywall(&["run", name, "--on", "32 Dec"]);
    assert_eq!(bad.status.code(), Some(2));
    let err = String::from_utf8_lossy(&bad.stderr).into_owned();
    assert!(
        err.contains("December has no day 32") || err.contains("no day 32"),
        "{err}"
    );
}
