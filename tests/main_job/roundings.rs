//! One quantity, one figure: in the answer, on the page, in its pictures and on the sheet for the shed.

use crate::program::{folded, said as answer};
use partywall::report::words::Units;
use serde_json::Value;

const U: Units = Units::Both;
const LB: f64 = 0.453_592_37;

/// All texts of the demo, blanks folded, and its data.
struct Told {
    text: String,
    page: String,
    sheet: String,
    json: Value,
}

fn demo() -> Told {
    let dir = tempfile::tempdir().unwrap();
    let out = dir.path().join("out");
    let said = |args: &[&str]| {
        let quick = ["--winters", "9", "--grid", "coarse"];
        folded(&answer(&[args, &quick[..]].concat()))
    };
    Told {
        text: said(&[
            "run",
            "larch-flats",
            "--check",
            "none",
            "--out",
            out.to_str().unwrap(),
        ]),
        sheet: said(&["yard", "larch-flats", "--check", "none"]),
        page: folded(&std::fs::read_to_string(out.join("report.html")).unwrap()),
        json: serde_json::from_slice(&std::fs::read(out.join("result.json")).unwrap()).unwrap(),
    }
}

/// What stands between two pieces of text, wherever both do with a weight between them, in order.
fn between(text: &str, before: &str, after: &str) -> Vec<String> {
    text.match_indices(before)
        .filter_map(|(i, m)| {
            let rest = &text[i + m.len()..];
            let words = &rest[..rest.find(after)?];
            (words.ends_with(" lb)") && words.len() < 24).then(|| words.to_owned())
        })
        .collect()
}

/// Catches a quantity that is told with two figures: rounded down in one place and up in another, to tenths here and whole there, or worked
/// out anew from figures already rounded. Each place is held against the rule for the exact value in the data.
#[test]
fn one_quantity_has_one_figure() {
    let t = demo();
    let colonies = t.json["colonies"].as_array().unwrap();
    let of = |f: &dyn Fn(&Value) -> String| -> Vec<String> { colonies.iter().map(f).collect() };
    let kg = |v: &Value| v.as_f64().unwrap();
    let target = of(&|c| U.need(kg(&c["target"]["gross"])));
    let each = of(&|c| U.need(kg(&c["advice"]["reading"]["each"])));
    let error = of(&|c| U.mass(kg(&c["advice"]["reading"]["error"])));
    let stores = of(&|c| U.need(kg(&c["target"]["stores"])));
    let reserve = of(&|c| U.mass(kg(&c["target"]["reserve"])));
    let poor = of(&|c| U.need(kg(&c["target"]["need_poor"])));
    let now = of(&|c| U.mass(kg(&c["gross"])));
    let off = of(&|c| U.mass(kg(&c["target"]["spare"]).abs()));
    let club = of(&|c| U.mass(kg(&c["club_stores"])));
    for (what, doc, before, after, expected) in [
        (
            "target",
            &t.text,
            "the scale should read ",
            " on 1 October",
            &target,
        ),
        (
            "target",
            &t.page,
            "The scale should read <strong>",
            "</strong>",
            &target,
        ),
        (
            "target",
            &t.page,
            "Must read <strong>",
            "</strong>",
            &target,
        ),
        ("target", &t.sheet, "SCALE ", " on 1 October", &target),
        ("lift", &t.text, "in turn and add: about ", " each", &each),
        (
            "lift",
            &t.page,
            "in turn and add: about ",
            " each, give",
            &each,
        ),
        ("lift", &t.page, "each lift about ", "</span>", &each),
        ("lift", &t.sheet, "(front about ", " + back", &each),
        ("error", &t.text, "Give or take ", " in all", &error),
        ("error", &t.page, "give or take ", "</span>", &error),
        ("error", &t.sheet, "give or take ", " TODAY", &error),
        ("stores", &t.text, "Stores needed ", ":", &stores),
        ("stores", &t.text, ", stores ", " Your club", &stores),
        ("reserve", &t.text, "nothing behind, ", " is kept", &reserve),
        ("poor", &t.text, "a poor winter takes ", " (enough", &poor),
        ("now", &t.text, " Now ", ": ", &now),
        ("club", &t.text, "Your club says ", " of stores", &club),
        ("club", &t.page, "s stores</th><td>", ": on", &club),
    ] {
        assert_eq!(&between(doc, before, after), expected, "{what}: {before}");
    }
    for (now, off) in now.iter().zip(&off) {
        let words = format!("Now {now}: {off} ");
        assert_eq!(t.text.matches(&words).count(), 1, "{words}");
        assert_eq!(
            t.page.matches(&words).count(),
            3,
            "card, length and sheet: {words}"
        );
        let margin = format!("- {off} above the target");
        assert_eq!(t.text.matches(&margin).count(), 1, "{margin}");
    }
    let drawn = between(&t.page, "reserve wanted at first nectar, ", "</text>");
    assert_eq!(drawn, vec![reserve[0].clone(); 4]);
    for c in colonies {
        let hefts = c["advice"]["hefts"].as_array().unwrap();
        assert!(hefts.len() > 5);
        for h in hefts {
            let (day, month) = h["day"].as_str().unwrap().split_once(' ').unwrap();
            let (day, below) = (format!("{day} {}", &month[..3]), U.need(kg(&h["gross"])));
            let row = format!(">{day}</th><td>{below}</td>");
            assert!(t.page.contains(&row), "{row}");
            assert!(
                t.sheet.contains(&format!("{day} {below} __")),
                "{day} {below}"
            );
        }
        // The planned course of the weight begins at the target.
        let first = kg(&hefts[0]["gross"]);
        let target = kg(&c["target"]["gross"]);
        assert!((first - target).abs() < 1e-6, "{first} {target}");
    }
}

/// Catches kilograms and pounds side by side that are not of one weight, beyond the last digit of the pounds.
#[test]
fn kilograms_and_pounds_are_of_one_weight() {
    let t = demo();
    for (name, text, least) in [
        ("text", &t.text, 40),
        ("page", &t.page, 50),
        ("sheet", &t.sheet, 20),
    ] {
        let mut found = 0;
        for (i, _) in text.match_indices(" kg (") {
            let before = text[..i].rsplit([' ', '(', '>', '-']).next().unwrap();
            let rest = &text[i + 5..];
            let Some(end) = rest.find(" lb)") else {
                continue;
            };
            let (Ok(kg), Ok(lb)) = (before.parse::<f64>(), rest[..end].parse::<f64>()) else {
                continue;
            };
            found += 1;
            let digit = if rest[..end].contains('.') || lb < 9.95 {
                0.1
            } else {
                1.0
            };
            let off = lb - kg / LB;
            assert!(
                off > -0.55 * digit && off < digit,
                "{name}: {kg} kg ({lb} lb)"
            );
        }
        assert!(found >= least, "{name}: only {found}");
    }
}
