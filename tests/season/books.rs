//! The books of heat, honey and bees over whole winters.

use crate::yard::{demo, traced};
use partywall::season::{HeatModel, Method};

/// Catches heat that is lost or made when clusters move, combs empty, syrup is fed or a neighbour dies. Over a winter with all of
/// it, on both networks: the hive's books and each colony's close to 1e-6 of what went through, what a colony gives is what the hive
/// is given (the coupling agrees), and the honey burnt is the heat made. Honey and bees close as well: put in is left or eaten, born is
/// dead or there.
#[test]
fn heat_books_close_over_a_winter_with_everything() {
    let all = demo(&[
        ("# dies = \"10 Jan\"", "dies = \"10 Jan\"\n#"),
        ("# [[hive.feed]]", "[[hive.feed]]\n#"),
        ("# date = \"3 Oct\"", "date = \"3 Oct\"\n#"),
        ("# kind = \"syrup\"", "kind = \"syrup\"\n#"),
        ("# strength = \"2:1\"", "strength = \"2:1\"\n#"),
        ("# amount = \"10 L\"", "amount = \"10 L\"\n#"),
    ]);
    for (model, count) in [
        (HeatModel::Reduced, 4),
        (HeatModel::Full(Method::HOURLY), 1),
    ] {
        for (outcome, trace) in traced(&all, model, 9, count) {
            let s = outcome.solver;
            assert!(s.energy_residual < 1e-6, "{model:?} {s:?}");
            assert!(s.coupling_residual < 0.05, "{model:?} {s:?}");
            let [dead, alive] = [&outcome.colonies[0], &outcome.colonies[1]];
            assert!(!dead.alive && alive.alive);
            assert!(alive.moved.iter().any(|m| m.abs() > 0.01));
            let (first, last) = (&trace.rows[0], &trace.rows[trace.rows.len() - 1]);
            for (c, colony) in outcome.colonies.iter().enumerate() {
                let (books, tally) = (last.colonies[c].books, last.colonies[c].tally);
                assert!(books.relative() < 1e-6, "{model:?} {books:?}");
                assert!(
                    books.made > 1e7 && books.given > 0.7 * books.made,
                    "{books:?}"
                );
                let burnt = 12.7e6 * (colony.eaten - colony.fed_to_brood - tally.flown);
                assert!((burnt / books.made - 1.0).abs() < 1e-6, "{burnt} {books:?}");
                // Booked as it was lived: the sum of the hours' heats.
                let sum: f64 = trace
                    .rows
                    .iter()
                    .map(|r| 3600.0 * r.colonies[c].moment.heat)
                    .sum();
                assert!((sum / books.made - 1.0).abs() < 1e-9);
            }
            for (c, colony) in outcome.colonies.iter().enumerate() {
                let (before, after) = (&first.colonies[c], &last.colonies[c]);
                // Honey: what was put in is left or was eaten by bees, brood and flyers; neither colony starved.
                assert_eq!(colony.starved, None);
                let missed = colony.put_in - colony.left - colony.eaten;
                // The last day's brood is fed after the last hour of the trace, and both are in the outcome.
                assert!(missed.abs() < 1e-6 * colony.put_in, "{missed} kg of honey");
                // Bees: those there were and those that emerged have died or are there, but for the last midnight.
                let (t0, t1) = (before.tally, after.tally);
                let counted = before.bees + (t1.emerged - t0.emerged) - (t1.died - t0.died);
                let missed = counted - after.bees;
                assert!(missed.abs() < 1e-6 * before.bees, "{missed} bees");
                assert!(
                    t1.died > 2_000.0 && (c == 0 || t1.emerged > 2_000.0),
                    "{t1:?}"
                );
            }
            // Syrup was fed: more honey was in the combs than at the start at some time.
            let most = trace
                .rows
                .iter()
                .map(|r| r.colonies[0].stores)
                .fold(0.0, f64::max);
            assert!(most > first.colonies[0].stores + 5.0);
        }
    }
}

/// Catches a feed that is given on the wrong day, in another amount than its sugar comes to, or that is lost between hand and comb: dry
/// sugar, fondant and honey frames into one hive. 1.10 kg of stores a kilogram of sugar, 0.87 of fondant is sugar.
#[test]
fn every_feed_is_in_the_books() {
    let one = |date: &str, kind: &str, amount: &str| {
        format!("[[hive.feed]]\ndate = \"{date}\"\nkind = \"{kind}\"\namount = \"{amount}\"\n")
    };
    let feeds = one("10 Feb", "dry sugar", "2 kg")
        + &one("20 Feb", "fondant", "1.5 kg")
        + &one("1 Mar", "honey frames", "2.7 kg");
    let fed = demo(&[("# [[hive.feed]]", &(feeds + "#"))]);
    for (outcome, trace) in traced(&fed, HeatModel::Reduced, 9, 4) {
        let c = &outcome.colonies[0];
        let before = trace.rows[0].colonies[0].stores + trace.rows[0].colonies[0].eaten;
        let mut given = before;
        for (month, day, kg) in [(2, 10, 2.2), (2, 20, 1.5 * 0.87 * 1.1), (3, 1, 2.7)] {
            let noon = trace
                .rows
                .iter()
                .position(|r| (r.time.month(), r.time.day(), r.time.hour()) == (month, day, 12));
            let noon = noon.unwrap();
            let [a, b] = [noon - 1, noon].map(|i| trace.rows[i].colonies[0].stores);
            // Half a day's meal may fall into the same hour.
            assert!((b - a - kg).abs() < 0.1, "{month}-{day}: {} kg", b - a);
            given += kg;
        }
        // What the crops held on the first day had not been fetched from the combs yet.
        assert!((c.put_in - given).abs() < 0.05, "{} of {given}", c.put_in);
        let crops = 0.01e-3 * trace.rows[0].colonies[0].bees;
        assert!((c.put_in - c.left - c.eaten).abs() < crops, "{c:?}");
    }
}
