//! What is made for which stand.

use super::*;
use crate::scenario::{self, Loaded, Source};

/// What the reader makes of a patch on a text.
fn patched(source: &Source) -> impl Fn(&str) -> Result<(Scenario, Problems), Problems> + use<'_> {
    |patch| source.with(patch).map(|l| (l.scenario, l.warnings))
}

fn of(name: &str, stock: &[Option<Stock>]) -> (Loaded, Changes) {
    of_source(&scenario::built_in_source(name).unwrap(), stock)
}

fn of_source(source: &Source, stock: &[Option<Stock>]) -> (Loaded, Changes) {
    let base = source.family().unwrap().base;
    let found = changes(
        &patched(source),
        (&base.scenario, &base.warnings),
        stock,
        base.scenario.season.start,
        &|_, _| None,
    )
    .unwrap();
    (base, found)
}

fn spare(kg: f64) -> Option<Stock> {
    Some(Stock {
        spare: kg,
        needed: None,
    })
}

fn has(found: &Changes, group: Group) -> usize {
    found.all.iter().filter(|(c, _)| c.group == group).count()
}

/// Catches changes that are missing, make no sense for a taped pair of equal boxes, or change nothing.
#[test]
fn the_demo_gets_what_makes_sense_for_it() {
    let (base, found) = of("larch-flats", &[spare(-1.0), spare(2.0)]);
    assert!(found.left_out.is_empty(), "{:?}", found.left_out);
    // Short by a kilogram, the left one is offered two litres beside the usual five and ten.
    let fed: Vec<&str> = found.all.iter().map(|(c, _)| c.words.as_str()).collect();
    assert!(
        fed.iter().any(|w| w.starts_with("feed Left 2 litres")),
        "{fed:?}"
    );
    assert!(!fed.iter().any(|w| w.starts_with("feed Right 2 litres")));
    for (group, count) in [
        (Group::TopFoam, 4),
        (Group::SideFoam, 2),
        (Group::Wrap, 1),
        (Group::Gap, 1),
        (Group::Lid, 0),
        (Group::Ledge, 0),
        (Group::Entrance, 2),
        (Group::UpperHole, 1),
        (Group::Floor, 1),
        (Group::Windbreak, 1),
        (Group::Space, 2),
        (Group::CentreWall, 2),
        (Group::Pairing, 1),
        (Group::Bees, 2),
        (Group::Honey, 1),
        (Group::Feed, 5),
    ] {
        assert_eq!(has(&found, group), count, "{group:?}");
    }
    for (c, s) in &found.all {
        assert_ne!(s, &base.scenario, "{}", c.words);
        assert_eq!(s.stacks.len(), 2);
    }
    let moved = found
        .all
        .iter()
        .find(|(c, _)| c.group == Group::Honey)
        .unwrap();
    assert!(
        moved.0.words.contains("from Right to Left"),
        "{}",
        moved.0.words
    );
    // The honey no longer agrees with the scale, which is what was asked for.
    assert!(moved.0.warnings.is_empty(), "{:?}", moved.0.warnings);
    assert_eq!(found.top_foam_now, Some(0.05));
}

/// Catches woodwork that changes stores or tare, which were weighed before: the demo's by count, a hive's by the scale with a
/// tare added up from its parts.
#[test]
fn woodwork_leaves_the_stores_alone() {
    let text = "[site]\nclimate = \"champion\"\n[[hive]]\nboxes = [\"ten-frame deep\", \"ten-frame medium\"]\n\
                    colony = { frames_of_bees = 8 }\nscale = { whole = \"50 kg\" }\n";
    let source = Source::new(text, "weighed", None);
    let base = source.family().unwrap().base;
    let before = base.scenario.stacks[0].colony.clone().unwrap();
    let found = changes(
        &patched(&source),
        (&base.scenario, &base.warnings),
        &[spare(1.0)],
        base.scenario.season.start,
        &|_, litres| (litres >= 8.0).then(|| "no room".to_owned()),
    )
    .unwrap();
    assert!(has(&found, Group::TopFoam) >= 4);
    for (c, s) in found.all.iter().filter(|(c, _)| c.group != Group::Feed) {
        let after = s.stacks[0].colony.as_ref().unwrap();
        assert!((after.stores - before.stores).abs() < 1e-3, "{}", c.words);
        assert!(
            (after.scale.tare - before.scale.tare).abs() < 1e-3,
            "{}",
            c.words
        );
    }
}

/// Catches pairs' changes for one hive, and a hive that stands apart with no way to be paired.
#[test]
fn one_hive_and_two_apart() {
    let (_, found) = of("single", &[spare(0.0)]);
    for group in [
        Group::Gap,
        Group::Pairing,
        Group::CentreWall,
        Group::Bees,
        Group::Honey,
    ] {
        assert_eq!(has(&found, group), 0, "{group:?}");
    }
    let text = scenario::built_in_text("larch-flats").unwrap();
    let (apart, _) = text.split_once("[[between]]").unwrap();
    let source = Source::new(apart, "apart", None);
    let (_, found) = of_source(&source, &[spare(0.0), spare(1.0)]);
    assert_eq!(has(&found, Group::Pairing), 2);
    assert!(found.left_out.is_empty(), "{:?}", found.left_out);
}

/// Catches a hive whose combs cannot hold what it needs that is offered no box, one offered to a hive with room, and a box that comes without its
/// honey.
#[test]
fn a_full_hive_is_offered_a_box() {
    let boxed = |needed| {
        let stock = Stock {
            spare: -5.0,
            needed,
        };
        let (base, found) = of("single", &[Some(stock)]);
        let mut all = found.all.into_iter().filter(|(c, _)| c.group == Group::Box);
        let first = all.next().map(|(_, s)| s);
        assert!(all.next().is_none() && found.left_out.is_empty());
        (base.scenario, first)
    };
    assert!(boxed(Some(20.0)).1.is_none() && boxed(None).1.is_none());
    let (before, after) = boxed(Some(90.0));
    let (old, new) = (&before.stacks[0], &after.unwrap().stacks[0]);
    assert_eq!(new.boxes.len(), old.boxes.len() + 1);
    let (below, top) = (old.boxes.last().unwrap(), new.boxes.last().unwrap());
    assert_eq!((&top.pattern, top.depth), (&below.pattern, below.depth));
    let more = new.colony.as_ref().unwrap().stores - old.colony.as_ref().unwrap().stores;
    assert!((more - f64::from(top.frames) * top.full_frame).abs() < 1e-3);
}

/// Catches a mesh floor that cannot be shut again, a floor table whose board stays in the way of the mesh, one hive's floor opened while the
/// other's is, and a space under the frames that the change alters.
#[test]
fn floors_are_opened_and_shut() {
    let text = |floor: &str| {
        format!(
            "[site]\nclimate = \"champion\"\n[[hive]]\nboxes = [\"ten-frame deep\"]\n\
             colony = {{ frames_of_bees = 8, honey = \"20 kg\" }}\nfloor = {floor}\n"
        )
    };
    let space = |s: &Scenario| match s.stacks[0].floor {
        crate::stand::Floor::Solid { space, .. } => (false, space),
        crate::stand::Floor::OpenMesh { space } => (true, space),
    };
    for floor in [
        "\"solid\"",
        "\"mesh\"",
        "{ kind = \"mesh\", space = \"30 mm\" }",
        "{ kind = \"solid\", board = \"25 mm pine\" }",
    ] {
        let (base, found) = of_source(&Source::new(&text(floor), "floor", None), &[spare(1.0)]);
        let mut all = found.all.iter().filter(|(c, _)| c.group == Group::Floor);
        let (change, after) = all.next().unwrap();
        let ((was, before), (is, then)) = (space(&base.scenario), space(after));
        assert!(was != is && (before - then).abs() < 1e-9, "{floor}");
        assert!(change.warnings.is_empty(), "{:?}", change.warnings);
    }
}
