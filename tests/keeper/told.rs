//! What an answer must say of its input: a colony taken to die, honey without room, days that have passed; and scenarios to start from.

use crate::program::{file, folded, partywall, said};
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
        "Taken to die on 10 January; the rest is told up to then",
        "Mind: Right: of the feeding you plan, 9.8 kg (22 lb) of stores in all, 8 kg (18 lb) finds no room in the combs",
        "adds 1.8 kg (4 lb) of stores; the rest of its 9.8 kg (22 lb) finds no room in the combs",
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

/// Catches an answer asked on a later day whose first number is still that of the start, in the text, on page one or on the sheet for the
/// shed wall; one that leaves the start's out; a row of that day missing; and an answer that changes where no day is said.
#[test]
fn the_day_on_which_it_is_asked_sets_the_first_number() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out");
    let json = |more: &[&str]| -> serde_json::Value {
        let args = [&["run", "single"], &QUICK[..], &["--format", "json"], more].concat();
        serde_json::from_str(&said(&args)).unwrap()
    };
    let plain = json(&[]);
    let asked = json(&["--on", "10 Oct", "--out", out.to_str().unwrap()]);
    let advice = |v: &serde_json::Value| v["colonies"][0]["advice"].clone();
    assert!(advice(&plain).get("asked").is_none());
    assert_eq!(
        json(&["--on", "1 Oct"])["colonies"][0]["advice"].get("asked"),
        None
    );
    assert_eq!(
        asked["colonies"][0]["target"],
        plain["colonies"][0]["target"]
    );
    let reading = &advice(&asked)["asked"]["reading"]["gross"];
    let then = reading.as_f64().unwrap();
    let target = plain["colonies"][0]["target"]["gross"].as_f64().unwrap();
    // Nine days of autumn take some hundred grams of honey and bees, not kilograms.
    assert!(then < target && target - then < 4.0, "{then} {target}");
    let days = |v: &serde_json::Value| advice(v)["hefts"].as_array().unwrap().clone();
    assert_eq!(days(&asked).len(), days(&plain).len() + 1);
    assert_eq!(&days(&asked)[1]["gross"], reading);
    let text = folded(&said(
        &[&["run", "single"], &QUICK[..], &["--on", "10 Oct"]].concat(),
    ));
    let first = text.find("the scale should read").unwrap();
    let line = &text[first..];
    assert!(line[..80].contains("on 10 October"), "{text}");
    assert!(
        text.contains("On 1 October, the day of the weighing, it should have read"),
        "{text}"
    );
    assert!(
        text.contains("On 1 October it weighed") && !text.contains("Now "),
        "{text}"
    );
    let page = std::fs::read_to_string(out.join("report.html")).unwrap();
    assert!(
        page.contains("</strong> on 10 October"),
        "no day on page one"
    );
    assert_eq!(page.matches("</strong> on 10 October").count(), 2);
    let yard = said(&[
        "yard",
        "single",
        "--winters",
        "5",
        "--grid",
        "coarse",
        "--on",
        "10 Oct",
    ]);
    let scale = yard.lines().find(|l| l.starts_with("  SCALE")).unwrap();
    assert!(scale.contains("on 10 October"), "{scale}");
    assert!(yard.lines().any(|l| l.starts_with("  10 Oct  ")), "{yard}");
}

/// Catches planned syrup in November, or more than the combs hold, of which `check` says nothing although `run` does, and a warning that
/// stops it.
#[test]
fn check_warns_of_feed_that_does_not_count() {
    let folder = tempfile::tempdir().unwrap();
    let feed = |date: &str, litres: u32| {
        format!("[[hive.feed]]\ndate = \"{date}\"\nkind = \"syrup\"\namount = \"{litres} L\"\n")
    };
    let text = said(&["example", "single"]);
    for (name, feed, part) in [
        (
            "late.toml",
            feed("20 Nov", 6),
            "syrup put on as late as 20 November is not taken whole in 9 autumns in 10",
        ),
        ("much.toml", feed("1 Oct", 60), "finds none"),
    ] {
        let path = file(folder.path(), name, &format!("{text}\n{feed}"));
        let checked = partywall(&["check", path.to_str().unwrap()]);
        assert_eq!(checked.status.code(), Some(0));
        let err = String::from_utf8_lossy(&checked.stderr).into_owned();
        assert!(err.starts_with("warning: ") && err.contains(part), "{err}");
        assert!(
            err.contains(&format!("{name}:")) && err.contains("date = "),
            "{err}"
        );
        let out = String::from_utf8_lossy(&checked.stdout).into_owned();
        assert!(folded(&out).contains("only `partywall run` tells"), "{out}");
    }
}
