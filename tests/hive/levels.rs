//! What the resolutions cost and how far they agree.

use crate::solve::*;
use crate::stand::*;
use partywall::hive::{Resolution, build};

const ALL: [Resolution; 4] = [
    Resolution::Coarse,
    Resolution::Normal,
    Resolution::Halved,
    Resolution::Fine,
];

/// Would catch a rule that lets a grid grow or shrink out of its class for the demo pair.
#[test]
fn unknowns_of_the_demo_pair() {
    for (resolution, [low, high]) in ALL.into_iter().zip([
        [1_500, 3_000],
        [5_000, 9_000],
        [20_000, 40_000],
        [40_000, 60_000],
    ]) {
        let n = build(&demo_pair(touching()), resolution)
            .unwrap()
            .network
            .n();
        assert!((low..=high).contains(&n), "{resolution:?}: {n} unknowns");
    }
}

/// Would catch a wall too coarsely cut (coarse, normal against halved: same medium, smaller cells) and a homogenised comb that
/// carries heat unlike comb and seam taken apart (fine against halved; the comb's own resistance to the seam makes the
/// combs some 6 % warmer there).
#[test]
fn levels_agree_on_the_steady_state() {
    let s = demo_pair(touching());
    let [coarse, normal, halved, fine] = ALL.map(|r| rises(&s, r, &[12.0, 6.0]));
    for i in 0..2 {
        let off = |a: &[f64]| a[i] / halved[i] - 1.0;
        let all = [off(&coarse), off(&normal), off(&fine)];
        assert!(
            all[0].abs() < 0.05 && all[1].abs() < 0.02,
            "stack {i}: {all:?}"
        );
        assert!((0.0..0.08).contains(&all[2]), "stack {i}: {all:?}");
    }
}
