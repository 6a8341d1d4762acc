//! Tests of slips of the pen that have a likely cause: it is named, and nothing that only follows from it.

use super::parse;

fn demo() -> String {
    super::built_in_text("larch-flats").unwrap().to_owned()
}

/// What a changed demo is told, errors and warnings with their help.
fn told(from: &str, to: &str) -> String {
    let text = demo().replacen(from, to, 1);
    assert_ne!(text, demo(), "the demo changed");
    let problems = match parse(&text, "my.toml", None) {
        Ok(loaded) => loaded.warnings,
        Err(problems) => problems,
    };
    let all: Vec<String> = problems
        .0
        .iter()
        .map(|p| format!("{} | {}", p.what, p.help.as_deref().unwrap_or("")))
        .collect();
    all.join("\n")
}

/// Catches a keeper's word for the upper hole answered with the setting that only looks alike, and likeness no longer answered.
#[test]
fn other_names_of_settings_are_known() {
    for name in ["top_entrance", "upper_entrance"] {
        let said = told("[[hive]]\n", &format!("[[hive]]\n{name} = \"20 mm\"\n"));
        assert!(said.contains("did you mean \"upper_hole\"?"), "{said}");
        assert!(!said.contains("\"entrance\"?"), "{said}");
    }
    let said = told("[[hive]]\n", "[[hive]]\nentranse = \"20 mm\"\n");
    assert!(said.contains("did you mean \"entrance\"?"), "{said}");
}

/// Catches a second error that only follows from a usual day taken in place of one that could not be read, and one that is passed over
/// although it stands by itself.
#[test]
fn nothing_follows_from_a_day_that_could_not_be_read() {
    let feed = "[[hive.feed]]\ndate = \"20 Sep\"\nkind = \"dry sugar\"\namount = \"2 kg\"\n";
    let start = demo()
        .lines()
        .find(|l| l.starts_with("start"))
        .unwrap()
        .to_owned();
    let both = |start_to: &str| {
        let text = demo().replacen(&start, start_to, 1);
        let at = text.find("[hive.scale]").unwrap();
        let text = format!("{}\n{feed}\n{}", &text[..at], &text[at..]);
        let problems = parse(&text, "my.toml", None)
            .map(|l| l.warnings)
            .unwrap_or_else(|p| p);
        let errors = problems
            .0
            .iter()
            .filter(|p| p.severity == crate::problem::Severity::Error);
        errors.map(|p| p.what.clone()).collect::<Vec<_>>()
    };
    let only = both("start = \"1 Okember\"");
    assert!(
        only.len() == 1 && !only[0].contains("20 September"),
        "{only:?}"
    );
    let before = both("start = \"1 Oct\"");
    assert!(
        before
            .iter()
            .any(|w| w.contains("20 September is before the start")),
        "{before:?}"
    );
}

/// Catches a tare in the wrong unit that is told as a matter of dry wood, and a unit blamed where the tare agrees with the honey.
#[test]
fn a_tare_in_the_wrong_unit_is_named() {
    let tare = demo()
        .lines()
        .find(|l| l.starts_with("tare"))
        .map(str::to_owned);
    let honest = super::parse(&demo(), "my.toml", None).unwrap().scenario;
    let kg = honest.stacks[0].colony.as_ref().unwrap().scale.tare;
    let line = |unit: &str| format!("tare = \"{kg:.1} {unit}\"");
    let replace = |with: String| match &tare {
        Some(t) => told(t, &with),
        None => told("[hive.scale]\n", &format!("[hive.scale]\n{with}\n")),
    };
    let wrong = replace(line("lb"));
    assert!(
        wrong.contains("as kilograms it would make sense") && wrong.contains("tare"),
        "{wrong}"
    );
    let right = replace(line("kg"));
    assert!(!right.contains("make sense"), "{right}");
}
