//! Feeding, honey frame by frame and winters made worse: how they are read, told and refused.

use crate::{at, bad, good, marked, pair_with};
use partywall::calendar::MonthDay;
use partywall::colony::feeding::Feed;
use partywall::colony::stores::HoneyPlacement;

/// The pair with something more said of the second hive.
fn with_feed(feed: &str) -> String {
    pair_with(
        "honey = \"15 kg\"\n",
        &format!("honey = \"15 kg\"\n[[hive.feed]]\n{feed}\n"),
    )
}

fn fed(feed: &str) -> (Feed, String) {
    let loaded = good(&with_feed(feed));
    let c = loaded.scenario.stacks[1].colony.clone().unwrap();
    let told = loaded
        .readings
        .iter()
        .filter(|r| r.path.contains("feed 1") && !r.used.is_empty())
        .map(|r| format!("{}: {} ({})\n", r.path, r.used, r.note))
        .collect();
    (c.feeds[0].feed, told)
}

fn sugar_of(feed: Feed) -> f64 {
    match feed {
        Feed::Syrup { sugar, .. } => sugar,
        other => panic!("{other:?} is no syrup"),
    }
}

/// Catches a gallon taken for the other gallon, a weight of sugar for a weight of syrup, a conversion that is not told.
#[test]
fn syrup_is_read_in_every_measure() {
    for (amount, sugar) in [
        ("amount = \"10 L\"", 8.867),
        ("amount = \"2 US gal\"", 6.713),
        ("amount = \"2 imp gal\"", 8.062),
        ("amount = \"10 kg\"", 6.667),
        ("amount = \"20 lb\"", 6.048),
        ("sugar = \"10 kg\"", 10.0),
        ("strength = \"1:1\"\namount = \"10 L\"", 6.15),
        ("strength = \"2:1 by volume\"\namount = \"10 L\"", 8.125),
    ] {
        let (feed, told) = fed(&format!("date = \"5 Oct\"\nkind = \"syrup\"\n{amount}"));
        assert!((sugar_of(feed) - sugar).abs() < 2e-3, "{amount}: {feed:?}");
        assert!(
            told.contains("of stores once taken and cured") && told.contains("after handling"),
            "{told}"
        );
    }
    let (_, told) = fed("date = \"5 Oct\"\nkind = \"syrup\"\namount = \"10 L\"");
    for part in [
        "10 L (2.6 US gal, 2.2 imp gal)",
        "13.3 kg",
        "8.87 kg",
        "9.75 kg",
        "0.89 kg of sugar a litre",
    ] {
        assert!(told.contains(part), "{part} is not told: {told}");
    }
}

/// Catches fondant that counts as honey, a frame counted from the wrong side, or a date that is lost.
#[test]
fn other_feeds() {
    let (feed, told) = fed("date = \"20 Jan\"\nkind = \"fondant\"\namount = \"2.5 kg\"");
    assert_eq!(feed, Feed::Fondant(2.5));
    assert!(told.contains("2.39 kg (5.3 lb) of stores"), "{told}");
    let (feed, told) = fed("date = \"20 Jan\"\nkind = \"dry sugar\"\namount = \"2 kg\"");
    assert_eq!(feed, Feed::DrySugar(2.0));
    assert!(told.contains("2.2 kg"), "{told}");
    let (feed, _) =
        fed("date = \"20 Feb\"\nkind = \"honey frames\"\namount = \"2 kg\"\nbox = 1\nframe = 3");
    assert_eq!(
        feed,
        Feed::Frames {
            honey: 2.0,
            at: Some((0, 2))
        }
    );
    let (feed, told) = fed("date = \"20 Feb\"\nkind = \"honey frames\"\namount = \"4 kg\"");
    assert_eq!(
        feed,
        Feed::Frames {
            honey: 4.0,
            at: None
        }
    );
    assert!(told.contains("beside the cluster"), "{told}");
    let s = good(&with_feed(
        "date = \"20 Feb\"\nkind = \"fondant\"\namount = \"2 kg\"",
    ))
    .scenario;
    let event = s.stacks[1].colony.clone().unwrap().feeds[0];
    assert_eq!(event.date, MonthDay { month: 2, day: 20 });
}

/// Catches a feed that is taken although it cannot be meant, or refused at the wrong place.
#[test]
fn bad_feeds_are_refused_where_they_stand() {
    for (feed, what, help) in [
        (
            "date = \"5 Oct\"\nkind = \"syrup\"\namount = «\"2 gal\"»",
            "can mean US gal",
            "choose one of",
        ),
        (
            "date = \"5 Oct\"\nkind = \"syrup\"\namount = «10»",
            "bare number",
            "10 L",
        ),
        (
            "date = \"5 Oct\"\nkind = «\"sirup\"»\namount = \"10 L\"",
            "not a choice",
            "did you mean \"syrup\"?",
        ),
        (
            "date = «\"5 Jul\"»\nkind = \"syrup\"\namount = \"10 L\"",
            "5 July is not within the season",
            "weighing",
        ),
        (
            "date = «\"20 Sep\"»\nkind = \"syrup\"\namount = \"10 L\"",
            "20 September is before the start of the season, 1 October",
            "is in the scale reading and the frames already: leave this feed out; or move start",
        ),
        (
            "date = \"5 Oct\"\nkind = \"syrup\"\n«amonut» = \"10 L\"",
            "not a setting",
            "did you mean \"amount\"?",
        ),
        (
            "date = \"5 Oct\"\nkind = \"syrup\"\namount = «\"500 L\"»",
            "outside what is plausible",
            "limits",
        ),
        (
            "date = \"5 Oct\"\nkind = \"syrup\"\namount = \"10 L\"\nsugar = «\"9 kg\"»",
            "not both",
            "",
        ),
        (
            "date = \"5 Oct\"\nkind = \"syrup\"\nstrength = «\"2:2\"»\namount = \"10 L\"",
            "not a choice",
            "",
        ),
        (
            "date = \"5 Oct\"\nkind = \"fondant\"\namount = «\"2 L\"»",
            "is a volume, but a weight is needed",
            "",
        ),
        (
            "date = \"5 Oct\"\nkind = \"fondant\"\namount = \"2 kg\"\nframe = «2»",
            "nothing about",
            "",
        ),
        (
            "date = \"5 Oct\"\nkind = \"honey frames\"\namount = \"1 kg\"\nbox = 1\nframe = «9»",
            "no frame 9",
            "",
        ),
        (
            "date = \"5 Oct\"\nkind = \"honey frames\"\namount = «\"4 kg\"»\nbox = 1\nframe = 2",
            "do not fit into one frame",
            "",
        ),
        (
            "date = \"5 Oct\"\nkind = \"honey frames\"\namount = \"1 kg\"\nbox = «1»",
            "without a frame",
            "",
        ),
    ] {
        let (text, place) = marked(&with_feed(feed));
        let problems = bad(&text);
        let p = at(&problems, place);
        assert!(p.what.contains(what), "{feed}: {}", p.what);
        assert!(
            p.help.as_deref().unwrap_or("").contains(help),
            "{feed}: {:?}",
            p.help
        );
    }
    for (feed, what) in [
        ("kind = \"syrup\"\namount = \"10 L\"", "no date"),
        ("date = \"5 Oct\"\namount = \"10 L\"", "no kind"),
        ("date = \"5 Oct\"\nkind = \"syrup\"", "no amount"),
        (
            "date = \"5 Oct\"\nkind = \"honey frames\"\namount = \"1 kg\"\nframe = 2",
            "without its box",
        ),
    ] {
        let problems = bad(&with_feed(feed));
        assert!(
            problems.0.iter().any(|p| p.what.contains(what)),
            "{feed}: {problems}"
        );
    }
    let no_colony = pair_with(
        "[hive.colony]\nframes_of_bees = 5\ncounted_at = \"8 C\"\nhoney = \"15 kg\"\n",
        "[[hive.feed]]\ndate = \"5 Oct\"\nkind = \"fondant\"\namount = \"1 kg\"\n",
    );
    assert!(
        bad(&no_colony)
            .0
            .iter()
            .any(|p| p.what.contains("without a colony"))
    );
}

/// Catches honey counted frame by frame that ends up elsewhere, or a list that does not match the box.
#[test]
fn honey_frame_by_frame() {
    let list = "honey_frames = [1, 1, 0.5, 0, 0, 0, 0, 0.5, 1, 1]";
    let loaded = good(&pair_with("honey_frames = 5", list));
    let c = loaded.scenario.stacks[0].colony.clone().unwrap();
    let full = loaded.scenario.stacks[0].boxes[0].full_frame;
    match &c.placements[0] {
        HoneyPlacement::InFrames(kg) => {
            assert_eq!(kg.len(), 10);
            assert!(
                (kg[0] - full).abs() < 1e-9 && (kg[2] - 0.5 * full).abs() < 1e-9 && kg[4] == 0.0
            );
        }
        other => panic!("{other:?}"),
    }
    assert!(matches!(c.placements[1], HoneyPlacement::InBox(_)));
    assert!((c.placements.iter().map(HoneyPlacement::kg).sum::<f64>() - c.stores).abs() < 1e-9);
    // The same weight of stores as a count of five full frames.
    let counted = good(crate::PAIR).scenario.stacks[0].colony.clone().unwrap();
    assert!((counted.stores - c.stores).abs() < 1e-9);
    for (list, what) in [
        (
            "honey_frames = «[1, 1, 0.5]»",
            "has 3 frames, but the box has 10",
        ),
        (
            "honey_frames = [1, 1, «1.5», 0, 0, 0, 0, 0.5, 1, 1]",
            "outside what is plausible",
        ),
        (
            "honey_frames = [1, 1, «\"half\"», 0, 0, 0, 0, 0.5, 1, 1]",
            "plain number",
        ),
    ] {
        let (text, place) = marked(&pair_with("honey_frames = 5", list));
        let problems = bad(&text);
        assert!(
            at(&problems, place).what.contains(what),
            "{list}: {problems}"
        );
    }
}

/// Catches a stress that is read and changes nothing, or one that is beyond sense.
#[test]
fn stresses() {
    let stress = |text: &str| pair_with("[every_hive]", &format!("[stress]\n{text}\n[every_hive]"));
    let plain = good(crate::PAIR).scenario;
    assert_eq!((plain.stress.colder, plain.stress.late_spring), (0.0, 0));
    let loaded = good(&stress("colder = \"3 C\"\nlate_spring = \"14 days\""));
    let s = &loaded.scenario;
    assert_eq!((s.stress.colder, s.stress.late_spring), (3.0, 14));
    assert_eq!(s.season.first_nectar, MonthDay { month: 6, day: 2 });
    assert!(
        loaded
            .readings
            .iter()
            .any(|r| r.used == "first nectar on 2 June" && r.note.contains("14 days after 19 May"))
    );
    assert!((good(&stress("colder = \"9 F\"")).scenario.stress.colder - 5.0).abs() < 1e-9);
    for (text, what) in [
        ("colder = «\"-3 C\"»", "outside what is plausible"),
        ("colder = «3»", "bare number"),
        ("late_spring = «\"36 h\"»", "whole days"),
        ("late_spring = «\"200 days\"»", "outside what is plausible"),
        ("«coldr» = \"3 C\"", "not a setting"),
    ] {
        let (text, place) = marked(&stress(text));
        let problems = bad(&text);
        assert!(
            at(&problems, place).what.contains(what),
            "{text}: {problems}"
        );
    }
    let dies = good(&pair_with(
        "honey = \"15 kg\"\n",
        "honey = \"15 kg\"\ndies = \"10 Jan\"\n",
    ));
    assert_eq!(
        dies.scenario.stacks[1].colony.clone().unwrap().dies,
        Some(MonthDay { month: 1, day: 10 })
    );
    let (text, place) = marked(&pair_with(
        "honey = \"15 kg\"\n",
        "honey = \"15 kg\"\ndies = «\"10 Aug\"»\n",
    ));
    assert!(
        at(&bad(&text), place)
            .what
            .contains("not within the season")
    );
}
