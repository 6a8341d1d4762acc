//! What can be told of the feeding planned without running a winter: syrup against the record's autumns, and the room in the combs.

use partywall_core::calendar::words;
use partywall_core::climate::Record;
use partywall_core::decision::feeding_plan::{
    FeedingFindings, FeedingPlan, HeldAgainst, HiveFeeding, LateSyrup,
};
use partywall_core::decision::stores::STORES_PER_LITRE_SYRUP;
use partywall_core::problem::{Place, Problem, Severity};
use partywall_core::scenario::{FeedPlace, Loaded};
use partywall_core::stand::Scenario;
use partywall_report::text;
use partywall_report::words::{SyrupWords, Units, day, in_ten};

/// What is told of the feeding of a scenario.
#[derive(Debug, Default)]
pub(super) struct Held {
    /// Feed that comes too late or finds no room, at its place.
    pub warnings: Vec<Problem>,
    /// What it was held against, and what that cannot tell; `None` when nothing is fed.
    pub note: Option<String>,
}

/// Holds the feeding of all hives against the combs and, if it can be had, the weather.
pub(super) fn held(loaded: &Loaded, record: Option<&Record>) -> Held {
    let s = &loaded.scenario;
    let Some(plan) = FeedingPlan::of(s) else {
        return Held::default();
    };
    let mut warnings = Vec::new();
    let found = plan.against(record);
    for hive in &found.hives {
        let places: Vec<&FeedPlace> = loaded
            .feeds
            .iter()
            .filter(|f| f.hive == hive.hive)
            .collect();
        let at = |feed: Option<usize>| {
            let f = places.get(feed?)?;
            Some((f.file.clone(), f.place.clone()))
        };
        if let Some(late) = &hive.late {
            warnings.push(too_late(s, hive, late, at(late.feed)));
        }
        if let Some(feed) = hive.no_room {
            warnings.push(no_room(s, hive, at(feed)));
        }
    }
    Held {
        warnings,
        note: Some(note(&found, record, s)),
    }
}

fn too_late(
    s: &Scenario,
    hive: &HiveFeeding<'_>,
    late: &LateSyrup,
    at: Option<(String, Place)>,
) -> Problem {
    let u = Units::Both;
    let (counts, litres) = (&hive.planned, late.litres);
    // On its own, without the syrup before it.
    let by = late.last.as_ref().map_or_else(String::new, |l| {
        text!(
            "check.themselves_had",
            litres = u.syrup(litres),
            date = day(l.date)
        )
    });
    warning(
        at,
        text!(
            "check.feeding_you_plan_stores",
            name = hive.hive,
            given = u.mass(counts.given),
            counts = u.mass(counts.too_late()),
            late = words(late.date),
            level = in_ten(s.level).replace("winters", "autumns"),
            by
        ),
        text!("check.give_earlier_dry_fondant"),
    )
}

fn note(found: &FeedingFindings<'_>, record: Option<&Record>, s: &Scenario) -> String {
    let room = text!(
        "check.against_room_combs_have",
        start = words(s.season.start)
    );
    let held = match (record, found.against) {
        (Some(r), HeldAgainst::Autumns(n)) => text!(
            "check.syrup_autumn_was_held",
            autumns = n,
            name = r.station.name,
            room
        ),
        (Some(r), HeldAgainst::Winters(n)) => text!(
            "check.has_too_few_whole",
            name = r.station.name,
            winters = n,
            room
        ),
        _ => text!("check.without_weather_was_held", room),
    };
    text!(
        "check.feeding_planned_how_much",
        held,
        autumn = words(found.autumn_ends)
    )
}

fn no_room(s: &Scenario, hive: &HiveFeeding<'_>, at: Option<(String, Place)>) -> Problem {
    let u = Units::Both;
    warning(
        at,
        text!(
            "check.combs_have_room_feeding",
            name = hive.hive,
            room = u.mass(hive.room.max(0.0)),
            start = words(s.season.start),
            no_room = u.mass(hive.planned.no_room),
            syrup = u.syrup(hive.planned.no_room / STORES_PER_LITRE_SYRUP)
        ),
        text!("check.give_less_more_drawn"),
    )
}

fn warning(at: Option<(String, Place)>, what: String, help: String) -> Problem {
    let (file, place) = at.unzip();
    Problem {
        severity: Severity::Warning,
        code: "feeding",
        file: file.unwrap_or_default(),
        place,
        what,
        expected: None,
        help: Some(help),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use partywall_core::climate;
    use partywall_core::climate::raw::PartialStation;
    use partywall_core::colony::parameters::Parameters;
    use partywall_core::decision::reading::capacity;
    use partywall_core::scenario;

    /// What is told of the demo's left hive with these feeds.
    fn told(feeds: &[(&str, &str, &str)]) -> Held {
        let text = scenario::built_in_text("larch-flats").unwrap();
        let feeds: String = feeds
            .iter()
            .map(|(date, kind, amount)| {
                format!(
                    "[[hive.feed]]\ndate = \"{date}\"\nkind = \"{kind}\"\namount = \"{amount}\"\n"
                )
            })
            .collect();
        let text = text.replacen("[hive.scale] ", &format!("{feeds}[hive.scale] "), 1);
        let record = climate::built_in("champion", &PartialStation::default()).unwrap();
        held(
            &scenario::parse(&text, "my.toml", None).unwrap(),
            Some(&record),
        )
    }

    /// Catches syrup in November passed over until a run, a warning at another feed than the late one, and one for syrup that comes in
    /// time, for dry sugar, or for a feed of spring, of which nothing is known.
    #[test]
    fn syrup_that_comes_too_late_is_warned_of() {
        let late = told(&[("3 Oct", "syrup", "4 L"), ("20 Nov", "syrup", "6 L")]);
        let [w] = late.warnings.as_slice() else {
            panic!("{late:?}")
        };
        assert_eq!(w.severity, Severity::Warning);
        assert!(
            w.what.starts_with("Left: of the feeding you plan") && w.what.contains("20 November"),
            "{w:?}"
        );
        let place = w.place.as_ref().unwrap();
        assert_eq!(place.text, "date = \"20 Nov\"");
        assert_eq!((w.file.as_str(), place.column), ("my.toml", 8));
        let note = late.note.unwrap();
        assert!(
            note.contains("autumns of") && note.contains("only `partywall run` tells"),
            "{note}"
        );
        for good in [
            ("3 Oct", "syrup", "4 L"),
            ("20 Nov", "dry sugar", "4 kg"),
            ("10 Apr", "syrup", "2 L"),
        ] {
            let told = told(&[good]);
            assert!(told.warnings.is_empty() && told.note.is_some(), "{told:?}");
        }
        assert!(told(&[]).note.is_none());
    }

    /// Catches feed beyond what the combs hold passed over, sugar on the frames taken for it, and room reckoned otherwise than a run does,
    /// which knows what is eaten besides.
    #[test]
    fn feed_that_finds_no_room_is_warned_of() {
        let demo = scenario::built_in("larch-flats").unwrap().scenario;
        let left = &demo.stacks[0];
        let room = capacity(left) - left.colony.as_ref().unwrap().stores;
        let p = Parameters::with(&[]).unwrap();
        let litres = |kg: f64| {
            format!(
                "{:.1} L",
                kg / partywall_core::colony::feeding::SYRUPS[0]
                    .litres(1.0)
                    .stores(&p)
            )
        };
        let much = told(&[("1 Oct", "syrup", &litres(room + 5.0))]);
        let of_room = |h: &Held| {
            h.warnings
                .iter()
                .filter(|w| w.what.contains("finds none"))
                .count()
        };
        assert_eq!(of_room(&much), 1, "{much:?}");
        let w = much
            .warnings
            .iter()
            .find(|w| w.what.contains("finds none"))
            .unwrap();
        assert!(w.what.contains(&Units::Both.mass(room)), "{w:?}");
        assert_eq!(w.place.as_ref().unwrap().text, "date = \"1 Oct\"");
        assert_eq!(
            of_room(&told(&[("1 Oct", "syrup", &litres(room - 1.0))])),
            0
        );
        assert_eq!(
            of_room(&told(&[(
                "1 Oct",
                "dry sugar",
                &format!("{:.1} kg", room + 5.0)
            )])),
            0
        );
    }

    /// Catches feeding that is not looked at where the weather cannot be read.
    #[test]
    fn without_weather_the_room_is_still_looked_at() {
        let text = scenario::built_in_text("larch-flats").unwrap();
        let feed =
            "[[hive.feed]]\ndate = \"1 Oct\"\nkind = \"syrup\"\namount = \"60 L\"\n[hive.scale] ";
        let loaded =
            scenario::parse(&text.replacen("[hive.scale] ", feed, 1), "my.toml", None).unwrap();
        let told = held(&loaded, None);
        assert!(
            told.warnings.iter().any(|w| w.what.contains("finds none")),
            "{told:?}"
        );
        assert!(told.note.unwrap().contains("without weather"));
    }
}
