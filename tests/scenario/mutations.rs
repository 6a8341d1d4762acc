//! Would catch a panic, an endless walk, or a scenario out of bounds, on any damaged text.

use partywall::scenario::{built_in_names, built_in_text, parse};
use partywall::stand::Scenario;
use proptest::prelude::*;

const SPARE: &[&str] = &[
    "\"",
    "=",
    "[",
    "]",
    "{",
    "}",
    "[[hive]]",
    "-",
    "0",
    "999999999999",
    "1e308",
    "nan",
    "inf",
    "\"R-5\"",
    "\"60 lb\"",
    "\"-1 mm\"",
    "\"0 mm\"",
    "true",
    "false",
    "2024-01-01",
    "\n",
    "\u{0}",
    "\u{feff}",
    "é",
    "\"ten-frame deep\"",
    "''",
    "\"\"",
    "[]",
    "{}",
    "frames",
    "boxes",
    "\"1/0 in\"",
    "-0.0",
    "0x10",
    "1_000",
];

/// Every number of an accepted scenario is finite and every count agrees.
fn sound(s: &Scenario) {
    assert!((1..=4).contains(&s.stacks.len()) && s.joints.len() == s.stacks.len() - 1);
    assert!((0.5..=0.99).contains(&s.level) && s.reserve.is_finite());
    for h in &s.stacks {
        assert!(!h.boxes.is_empty());
        for b in &h.boxes {
            let wall: f64 = b.walls.iter().map(|l| l.thickness).sum();
            for v in [b.length, b.width, b.depth, b.pitch] {
                assert!(v.is_finite() && v > 0.0, "{b:?}");
            }
            assert!(b.width > 2.0 * wall && b.length > 2.0 * wall, "{b:?}");
            assert!(
                f64::from(b.frames) * b.pitch <= b.width - 2.0 * wall + 1e-5,
                "{b:?}"
            );
            assert!(
                (0.0..=f64::from(b.frames) + 1e-9).contains(&b.honey_frames),
                "{b:?}"
            );
        }
        for o in &h.openings {
            assert!(o.area > 0.0 && o.area.is_finite() && o.z.is_finite());
        }
        if let Some(c) = &h.colony {
            let hung: f64 = h.boxes.iter().map(|b| b.honey_frames * b.full_frame).sum();
            assert!(
                (hung - c.stores).abs() < 1e-6,
                "{hung} kg hang, {} kg are told",
                c.stores
            );
            let placed: f64 = c
                .placements
                .iter()
                .map(partywall::colony::stores::HoneyPlacement::kg)
                .sum();
            assert!((placed - c.stores).abs() < 1e-6 && c.placements.len() == h.boxes.len());
            assert!(c.bees > 0.0 && c.stores >= 0.0 && c.scale.tare > 0.0);
            assert!(h.heater.is_none());
        }
    }
}

fn try_one(text: &str) {
    match parse(text, "x.toml", None) {
        Ok(l) => sound(&l.scenario),
        Err(p) => {
            assert!(p.any_error());
            for q in p.0.iter().filter_map(|p| p.place.as_ref()) {
                assert!(q.line >= 1 && q.column >= 1 && q.width >= 1);
            }
            let _ = partywall::report::problems::render(&p, true);
        }
    }
}

fn boundary(text: &str, at: usize) -> usize {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1500))]

    #[test]
    fn a_damaged_scenario_never_panics(
        which in 0..4_usize,
        cuts in prop::collection::vec((0.0..1.0_f64, 0..12_usize, 0..SPARE.len()), 1..4),
    ) {
        let mut text = built_in_text(built_in_names()[which]).unwrap().to_owned();
        for (place, drop, spare) in cuts {
            let from = boundary(&text, (place * text.len() as f64) as usize);
            let to = boundary(&text, from + drop);
            text.replace_range(from..to.max(from), SPARE[spare]);
        }
        try_one(&text);
    }

    #[test]
    fn a_value_put_in_place_of_another_never_panics(which in 0..4_usize, line in 0..80_usize, spare in 0..SPARE.len()) {
        let text = built_in_text(built_in_names()[which]).unwrap();
        let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
        let i = line % lines.len();
        if let Some((key, _)) = lines[i].clone().split_once('=') {
            lines[i] = format!("{key}= {}", SPARE[spare]);
        }
        try_one(&lines.join("\n"));
    }

    #[test]
    fn two_lines_swapped_or_lost_never_panic(which in 0..4_usize, a in 0..80_usize, b in 0..80_usize, lose in any::<bool>()) {
        let text = built_in_text(built_in_names()[which]).unwrap();
        let mut lines: Vec<&str> = text.lines().collect();
        let n = lines.len();
        lines.swap(a % n, b % n);
        if lose {
            lines.remove(a % n);
        }
        try_one(&lines.join("\n"));
    }

    #[test]
    fn any_text_never_panics(text in "\\PC{0,200}") {
        try_one(&text);
    }
}

/// Would catch a recursive walk that runs out of stack.
#[test]
fn deep_nesting_is_refused() {
    try_one(&format!(
        "a = {}1{}",
        "[".repeat(20_000),
        "]".repeat(20_000)
    ));
    try_one(&format!("[{}]\nx = 1", vec!["a"; 5_000].join(".")));
    try_one(&"x".repeat(2 << 20));
}
