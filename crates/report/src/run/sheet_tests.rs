//! Tests of what page one, the sheet for the shed wall and the text answer tell alike.

use super::tests::{answer, demo, report};
use crate::jobs::{self, Jobs};
use crate::words::Units;
use crate::yard::document;
use crate::{feeding, margins};
use jiff::civil::date;
use partywall_core::decision::feeding::LastFeeding;
use partywall_core::ensemble::levels::Method;
use partywall_core::scenario;
use partywall_core::season::outcome::Starved;
use partywall_core::stand::plausible::capacity;

/// The sheets for the shed wall of it.
fn wall(text: &str, eaten: &[f64]) -> String {
    let (s, r) = answer(text, eaten);
    let jobs = Jobs {
        scenario: &s,
        winters: &[],
        units: Units::Metric,
    };
    unfolded(&document(&r, &jobs).text())
}

/// The text with its lines put together.
fn unfolded(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The demo with 4 kg of dry sugar planned for its left hive: 4.4 kg of stores.
fn planned() -> String {
    let feed =
        "[[hive.feed]]\ndate = \"3 Oct\"\nkind = \"dry sugar\"\namount = \"4 kg\"\n[hive.scale] ";
    demo().replacen("[hive.scale] ", feed, 1)
}

/// Catches a planned feed that the target counts on and the sheet or page one leaves out: whoever goes by it is short by so much.
#[test]
fn planned_feed_is_told_wherever_it_is_counted() {
    let sheet = wall(&planned(), &[32.0; 6]);
    assert!(
        sheet.contains("the feeding you plan adds 4.4 kg of stores"),
        "{sheet}"
    );
    assert!(sheet.contains("FEED besides what you plan:"), "{sheet}");
    assert!(!wall(&demo(), &[32.0; 6]).contains("you plan"));
    // 29.51 kg by the scale and 4.4 kg planned, less 32 kg.
    let page = report(&planned(), &[32.0; 6]).unwrap();
    let left = page.split("Left over").nth(1).unwrap();
    let left = &left[..left.find("</tr>").unwrap()];
    assert!(
        left.contains("with the feeding you plan") && left.contains("1.9 kg (4.2 lb) on 19 May"),
        "{left}"
    );
}

/// Catches a box to tick for what the hive has not, and one that stands on one of the two sheets only.
#[test]
fn both_sheets_tell_the_same_jobs() {
    let bare = scenario::built_in_text("single").unwrap().to_owned();
    for text in [demo(), bare] {
        let (s, r) = answer(&text, &[20.0; 6]);
        let jobs = Jobs {
            scenario: &s,
            winters: &[],
            units: Units::Both,
        };
        let sheet = unfolded(&document(&r, &jobs).text());
        let page = report(&text, &[20.0; 6]).unwrap();
        for (i, (stack, c)) in s.stacks.iter().zip(&r.colonies).enumerate() {
            for job in jobs::all(&jobs, i, stack, c) {
                assert!(
                    sheet.contains(&format!("[ ] {}", unfolded(&job))),
                    "{job}: {sheet}"
                );
                assert!(page.contains(&job), "{job}");
            }
            let sides = &stack.cladding;
            if [&sides.left, &sides.right, &sides.back, &sides.front]
                .iter()
                .all(|l| l.is_empty())
            {
                assert!(
                    !sheet.contains("Wrap ") && !sheet.contains("Around the sides"),
                    "{sheet}"
                );
            }
        }
        assert!(
            !sheet.contains("at once") && sheet.contains("tells by when"),
            "{sheet}"
        );
    }
}

/// Catches boards of foam told by the letters of their label alone on the sheet for the shed wall or in the report.
#[test]
fn foam_is_called_by_its_name() {
    let sheet = wall(&demo(), &[20.0; 6]);
    assert!(
        sheet.contains("in) foam board (XPS)") && !sheet.contains(" xps"),
        "{sheet}"
    );
    let white = demo().replacen("top = \"50 mm xps\"", "top = \"50 mm eps\"", 1);
    let page = report(&white, &[20.0; 6]).unwrap();
    let tasks = page.split("<ul class=\"tasks\">").nth(1).unwrap();
    let tasks = &tasks[..tasks.find("</ul>").unwrap()];
    assert!(
        tasks.contains("bead board (EPS)") && !tasks.contains(" eps"),
        "{tasks}"
    );
}

/// Catches a weight asked for that the hive cannot have, and feed told beyond the room in its combs.
#[test]
fn no_weight_is_asked_for_beyond_what_the_combs_hold() {
    let (s, r) = answer(&demo(), &[200.0; 6]);
    let room = capacity(&s.stacks[0].boxes) - s.stacks[0].colony.as_ref().unwrap().stores;
    let a = r.colonies[0].advice.as_ref().unwrap();
    let fed = a.feed.unwrap();
    assert!(fed.syrup_litres.fract() < 1e-9 && fed.stores <= room && fed.stores > room - 0.97);
    assert!(a.beyond_combs.unwrap() > 100.0);
    let text = unfolded(&super::document(&r, &s.season, Units::Metric).text());
    assert!(
        text.contains("LEFT: these combs cannot hold what it needs: 203 kg of stores needed"),
        "{text}"
    );
    assert!(!text.contains("the scale should read"), "{text}");
    let sheet = wall(&demo(), &[200.0; 6]);
    assert!(
        sheet.contains("cannot hold") && !sheet.contains("SCALE"),
        "{sheet}"
    );
    let page = report(&demo(), &[200.0; 6]).unwrap();
    assert!(
        page.contains("These combs cannot hold")
            && !page.contains("should read")
            && !page.contains("Must read")
    );
    let (_, r) = answer(&demo(), &[32.0; 6]);
    assert_eq!(r.colonies[0].advice.as_ref().unwrap().beyond_combs, None);
}

/// Catches syrup advised on a day after the last for it: part of it at once beside "never syrup" in the same answer.
#[test]
fn too_late_for_the_syrup_is_too_late_for_any() {
    let (_, mut r) = answer(&demo(), &[32.0; 6]);
    let a = r.colonies[0].advice.as_mut().unwrap();
    a.last_feeding = Some(LastFeeding {
        date: date(2020, 10, 29),
        litres: a.feed.unwrap().syrup_litres,
        not_below_c: 7.0,
        level: 0.9,
        method: Method::Rank,
        autumns: 30,
        earliest: date(2020, 10, 12),
        too_late: true,
        still_litres: 2.0,
    });
    let a = r.colonies[0].advice.as_ref().unwrap();
    for told in [
        feeding::line(a, "15 November", Units::Both).unwrap(),
        feeding::short(a, Units::Both),
        feeding::row(a, false, Units::Both),
    ] {
        assert!(
            !told.contains("at once") && !told.contains("2 litres"),
            "{told}"
        );
        assert!(told.contains("dry or as fondant"), "{told}");
    }
}

/// Catches "more weight does not cure that" told to a keeper whose hive is far short of stores.
#[test]
fn weight_is_called_no_cure_only_where_stores_suffice() {
    for (eaten, cure) in [(20.0, true), (40.0, false)] {
        let (_, mut r) = answer(&demo(), &[eaten; 6]);
        let c = &mut r.colonies[0];
        for w in &mut c.winters {
            w.starved = Some(Starved {
                date: date(1984, 2, 1),
                beside_honey: Some(0.6),
            });
        }
        let mut a = c.advice.clone().unwrap();
        a.margins.reach.value = 6.0;
        let lines = margins::lines(c, &a, Units::Both);
        let reach = &lines.iter().find(|l| l.what == "Reach").unwrap().words;
        assert_eq!(reach.contains("More weight does not cure"), cure, "{reach}");
    }
}
