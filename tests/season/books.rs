//! The heat books of hive and colonies over whole winters.

use crate::yard::{demo, traced};
use partywall::season::{Carrier, Method};

/// Catches heat that is lost or made when clusters move, combs empty, syrup is fed or a neighbour dies. Over a winter with all of
/// it, on both networks: the hive's books and each colony's close to 1e-6 of what went through, what a colony gives is what the hive
/// is given (the coupling agrees), and the honey burnt is the heat made.
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
    for (carrier, count) in [(Carrier::Reduced, 4), (Carrier::Full(Method::QUICK), 1)] {
        for (outcome, trace) in traced(&all, carrier, 9, count) {
            let s = outcome.solver;
            assert!(s.energy_residual < 1e-6, "{carrier:?} {s:?}");
            assert!(s.coupling_residual < 0.05, "{carrier:?} {s:?}");
            let [dead, alive] = [&outcome.colonies[0], &outcome.colonies[1]];
            assert!(!dead.alive && alive.alive);
            assert!(alive.moved.iter().any(|m| m.abs() > 0.01));
            let (first, last) = (&trace.rows[0], &trace.rows[trace.rows.len() - 1]);
            for (c, colony) in outcome.colonies.iter().enumerate() {
                let (books, tally) = (last.colonies[c].books, last.colonies[c].tally);
                assert!(books.relative() < 1e-6, "{carrier:?} {books:?}");
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
