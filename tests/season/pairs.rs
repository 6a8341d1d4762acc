//! Side by side against apart: what it saves.

use crate::yard::{shipped, winters};

/// Honey eaten apart less side by side, as a share of apart, mean over some winters: strong colony, weak colony.
fn saved(name: &str, count: usize) -> [f64; 2] {
    let pair = shipped(name, &[]);
    let (together, apart) = (winters(&pair, count), winters(&pair.apart(), count));
    [0, 1].map(|c| {
        let sum = |all: &[partywall::season::outcome::WinterOutcome]| {
            all.iter().map(|o| o.colonies[c].eaten).sum::<f64>()
        };
        1.0 - sum(&together) / sum(&apart)
    })
}

/// Catches a shared wall that saves more than its share of the outer envelope (a fifth; above a quarter is a fault of the
/// model until explained) or costs honey worth naming, on the high plain and in the deep cold.
#[test]
fn a_shared_wall_saves_within_its_bound() {
    for name in ["larch-flats", "cold-larch"] {
        let [strong, weak] = saved(name, 8);
        for share in [strong, weak] {
            assert!((-0.02..0.10).contains(&share), "{name}: {strong} {weak}");
        }
    }
}
