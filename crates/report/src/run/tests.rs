use super::{Behind, page};
use crate::document::{Made, PageError};
use crate::pictures::Picture;
use crate::pictures::drawing::Drawing;
use partywall_core::answer::network::Network;
use partywall_core::answer::run::RunResult;
use partywall_core::answer::run::SCHEMA;
use partywall_core::answer::weather::Climate;
use partywall_core::colony::parameters::Parameters;
use partywall_core::decision::advise::AdviceInputs;
use partywall_core::decision::result::colonies;
use partywall_core::ensemble::winters::Basis;
use partywall_core::hive::{self, Resolution};
use partywall_core::scenario;
use partywall_core::season::outcome::{ColonyOutcome, SolverReport, WinterOutcome};
use partywall_core::stand::Scenario;

const EVIL: &str = "<script>alert(1)&\\\"'</script>";

/// The answer to a scenario text over winters in which so much was eaten, kg.
pub(crate) fn answer(text: &str, eaten: &[f64]) -> (Scenario, RunResult) {
    let s = scenario::parse(text, "my-hive.toml", None)
        .unwrap()
        .scenario;
    let solver = SolverReport {
        unknowns: 100,
        steps: 10,
        solves: 20,
        iterations: 30,
        energy_residual: 1e-12,
        coupling_residual: 1e-9,
    };
    let outcomes: Vec<WinterOutcome> = eaten
        .iter()
        .map(|e| WinterOutcome {
            winter: "1983/84".to_owned(),
            colonies: s
                .stacks
                .iter()
                .map(|k| ColonyOutcome::uneventful(&k.name, *e))
                .collect(),
            solver,
        })
        .collect();
    let mut told = colonies(&s, 48.0, &outcomes, Some(&outcomes));
    AdviceInputs {
        scenario: &s,
        parameters: &Parameters::with(&[]).unwrap(),
        autumn: partywall_core::decision::feeding::autumn(40.0),
        on: None,
        winters: &[],
        autumns: &[],
        outcomes: &outcomes,
        emptied: &[],
    }
    .complete(&mut told);
    let result = RunResult {
        schema: SCHEMA,
        version: "0.0.0",
        title: s.title.clone(),
        site: s.site.name.clone(),
        climate: Climate {
            station: EVIL.to_owned(),
            source: EVIL.to_owned(),
            winters: vec!["1983/84".to_owned()],
            available: 1,
            basis: Basis::Real,
            notes: vec![EVIL.to_owned()],
        },
        start: "1 October".to_owned(),
        first_nectar: "19 May".to_owned(),
        level: s.level,
        grid: "coarse",
        paired: true,
        colonies: told,
        warnings: vec![],
        network: Network {
            kind: "reduced",
            unknowns: 1000,
            check: None,
            refined: false,
            fell_back: false,
        },
        solver,
    };
    (s, result)
}

/// The report of it.
pub(super) fn report(text: &str, eaten: &[f64]) -> Result<String, PageError> {
    let (s, result) = answer(text, eaten);
    let hive = hive::build(&s, Resolution::Coarse).unwrap();
    let behind = Behind {
        scenario: &s,
        hive: &hive,
        winters: &[],
        pictures: &[Picture {
            name: "cutaway".to_owned(),
            wide: sheet(9.0),
            narrow: sheet(4.0),
        }],
    };
    page(&result, &behind)?.page(Made {
        version: result.version,
        command: EVIL,
        input: &[(EVIL, text)],
    })
}

/// An empty sheet.
fn sheet(width: f64) -> Drawing {
    Drawing {
        size: [width, 8.0],
        items: vec![],
    }
}

pub(crate) fn demo() -> String {
    scenario::built_in_text("larch-flats").unwrap().to_owned()
}

/// Catches anything a user typed that reaches the page as markup: title, hive, place, station, notes, file, text, command.
#[test]
fn what_a_user_typed_is_escaped() {
    let text = demo()
        .replace(
            "title = \"Larch Flats: strong and weak side by side\"",
            &format!("title = \"{EVIL}\""),
        )
        .replace("name = \"Left\"", &format!("name = \"{EVIL}\""));
    assert!(
        text.contains(&format!("title = \"{EVIL}")),
        "the demo changed"
    );
    let page = report(&text, &[20.0; 6]).unwrap();
    assert!(!page.contains("<script"), "a script got in");
    assert!(!page.contains("alert(1)&\\\""), "an ampersand got in");
    assert!(page.matches("&#60;script&#62;").count() + page.matches("&lt;script&gt;").count() > 8);
}

/// Catches a page without language, title, description of its pictures, input or version, and one that asks for anything outside.
#[test]
fn the_page_holds_all_it_needs() {
    let page = report(&demo(), &[20.0, 21.0, 22.0, 23.0, 24.0, 25.0]).unwrap();
    for words in [
        "<html lang=\"en\">",
        "<title>Larch Flats: strong and weak side by side</title>",
        crate::texts::said("run.mites"),
        "role=\"img\" aria-labelledby=\"picture-0\" width=\"9\" height=\"8\"",
        "<title id=\"picture-0\">Upright cut",
        "What this rests on",
        "partywall 0.0.0",
        "frames_of_bees = 9",
        "For the yard: Right",
        "Entrance 75 mm (2-15/16 in) wide, 9 mm (3/8 in) high",
        "Hole in box 2: as a round one of 20 mm (13/16 in)",
        "death_rate",
    ] {
        assert!(page.contains(words), "{words}");
    }
    for outside in ["src=", "href=\"http", "url(", "@import", "<script"] {
        assert!(!page.contains(outside), "{outside}");
    }
}

/// Catches stores left that do not follow from stores and need, and a shortage told as comfortable.
#[test]
fn what_is_left_and_the_word_for_it_follow_from_the_winters() {
    let page = report(&demo(), &[20.0; 6]).unwrap();
    // 29.51 kg on the scale's word less 20 kg eaten in any of these winters.
    assert!(page.contains("9.5 kg (21 lb) on 19 May"), "middling winter");
    assert!(page.contains(" to spare"), "stores");
    let page = report(&demo(), &[60.0; 6]).unwrap();
    assert!(page.contains("none on 19 May: 30.5 kg (67 lb) too little"));
    assert!(page.contains("<strong>act now</strong>: stores"));
    let page = report(&demo(), &[20.0, 28.0]).unwrap();
    assert!(page.contains("2 winters are too few for a target") && page.contains("hardest winter"));
}

/// Catches a weighing log without a row for the start date, for each day to heft (a long season has fifteen), and three to spare; and a log
/// with columns for a front and a back of a hive that is weighed whole, or lifted at one side.
#[test]
fn the_log_has_a_row_for_every_day_to_heft() {
    let long = demo().replace("first_dandelion = \"12 May\"", "first_nectar = \"1 Aug\"");
    assert_ne!(long, demo(), "the demo changed");
    for (text, days) in [(demo(), 7), (long, 12)] {
        let page = report(&text, &[20.0; 6]).unwrap();
        let logs: Vec<&str> = page
            .split("<table class=\"log")
            .skip(1)
            .map(|t| t.split("</table>").next().unwrap())
            .collect();
        assert_eq!(logs.len(), 2);
        for log in logs {
            assert_eq!(log.matches("<th scope=\"row\">").count(), 1 + days, "{log}");
            assert_eq!(log.matches("<tr><td></td><td></td>").count(), 3, "{log}");
            assert!(log.contains(">1 Oct</th>") && log.contains(">15 Feb</th>"));
            assert!(log.contains(">sum</th>"));
        }
    }
    for (lift, column) in [
        ("whole = \"58.3 kg\"", "weight"),
        ("one_side = \"28.7 kg\"", "that side"),
    ] {
        let text = demo().replace("front = \"28.7 kg\"\nback = \"29.6 kg\"", lift);
        let page = report(&text, &[20.0; 6]).unwrap();
        assert!(page.contains(&format!(">{column}</th>")), "{lift}");
    }
}

/// Catches a page that prints "NaN" or "inf" as if it were a weight.
#[test]
fn a_result_that_is_no_number_gives_an_error() {
    for bad in [f64::NAN, f64::INFINITY] {
        let told = report(&demo(), &[20.0, bad, 20.0]).unwrap_err();
        assert!(told.to_string().contains(&bad.to_string()), "{told}");
    }
}

/// Brightness of a colour after the web's contrast rules (WCAG 2, relative luminance).
fn luminance(hex: &str) -> f64 {
    let part = |i: usize| {
        let v = f64::from(u8::from_str_radix(&hex[i..i + 2], 16).unwrap()) / 255.0;
        if v <= 0.040_45 {
            v / 12.92
        } else {
            ((v + 0.055) / 1.055).powf(2.4)
        }
    };
    0.2126 * part(1) + 0.7152 * part(3) + 0.0722 * part(5)
}

/// Catches words that are hard to read on their ground: every ink of the stylesheet on every ground, light, dark and in print.
#[test]
fn inks_stand_out_from_their_grounds() {
    let css = include_str!("../../templates/report.css");
    let schemes: Vec<&str> = css
        .split(":root {")
        .skip(1)
        .map(|s| s.split('}').next().unwrap())
        .collect();
    assert_eq!(schemes.len(), 3, "light, dark, print");
    for scheme in schemes {
        let colour = |name: &str| {
            let at = scheme.split(&format!("--{name}: ")).nth(1).unwrap();
            luminance(&at[..7])
        };
        for ink in ["ink", "soft", "strong"] {
            for ground in ["paper", "shade"] {
                let (a, b) = (colour(ink), colour(ground));
                let contrast = (a.max(b) + 0.05) / (a.min(b) + 0.05);
                assert!(
                    contrast >= 4.5,
                    "{ink} on {ground}: {contrast:.2} in {scheme}"
                );
            }
        }
    }
    assert!(
        (1.05 / (luminance("#767676") + 0.05) - 4.54).abs() < 0.01,
        "the formula"
    );
}
