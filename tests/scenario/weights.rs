//! Would catch bees, honey or tare that come out wrong from what was counted, weighed or left unsaid.

use crate::readings::near;
use crate::{PAIR, good, pair_with};
use partywall::scenario::Kind;
use partywall::stand::{Lift, TareSource};

#[test]
fn frames_become_kilograms_by_comb_area() {
    let s = good(PAIR).scenario;
    let left = s.stacks[0].colony.clone().unwrap();
    near(left.bees, 9.0 * 0.31);
    near(left.stores, 5.0 * 2.7 + 9.0 * 1.7);
    assert_eq!(left.frames_of_bees, Some(9.0));
    // The same count in a medium box: 133 of 203 mm of comb height.
    let medium = pair_with("[\"eight-frame deep\"]", "[\"eight-frame medium\"]")
        .replace("\"15 kg\"", "\"10 kg\"");
    near(
        good(&medium).scenario.stacks[1]
            .colony
            .clone()
            .unwrap()
            .bees,
        5.0 * 0.31 * 133.0 / 203.0,
    );
    // A National-type brood comb: 343 x 203 mm of 428 x 203; honey as listed, 2.1 kg.
    let national = pair_with(
        "[\"eight-frame deep\"]",
        "[{ pattern = \"National-type brood\", honey_frames = 4 }]",
    )
    .replace("honey = \"15 kg\"\n", "");
    let right = good(&national).scenario.stacks[1].clone();
    near(
        right.colony.clone().unwrap().bees,
        5.0 * 0.31 * 343.0 / 428.0,
    );
    near(right.colony.unwrap().stores, 4.0 * 2.1);
    // Own comb sizes: 0.30 kg per dm2.
    let own = pair_with(
        "[\"eight-frame deep\"]",
        "[{ pattern = \"eight-frame deep\", comb_height = \"200 mm\", honey_frames = 4 }]",
    )
    .replace("honey = \"15 kg\"\n", "");
    near(
        good(&own).scenario.stacks[1].colony.clone().unwrap().stores,
        4.0 * 30.0 * 0.428 * 0.2,
    );
}

#[test]
fn honey_by_weight_is_hung_from_the_top() {
    let text = pair_with(
        "[\"eight-frame deep\"]",
        "[\"eight-frame deep\", \"eight-frame medium\"]",
    );
    let s = good(&text).scenario;
    // 15 kg: eight medium frames hold 13.6, the rest hangs below.
    near(s.stacks[1].boxes[1].honey_frames, 8.0);
    near(s.stacks[1].boxes[0].honey_frames, 1.4 / 2.7);
    near(s.stacks[1].colony.clone().unwrap().stores, 15.0);
}

#[test]
fn honey_by_weight_keeps_the_counted_places() {
    let text = pair_with(
        "[hive.colony]\nframes_of_bees = 9",
        "[hive.colony]\nhoney = \"30 kg\"\nframes_of_bees = 9",
    );
    let s = good(&text).scenario;
    let counted = 5.0 * 2.7 + 9.0 * 1.7;
    near(s.stacks[0].boxes[0].honey_frames, 5.0 * 30.0 / counted);
    near(s.stacks[0].boxes[1].honey_frames, 9.0 * 30.0 / counted);
}

#[test]
fn a_reading_less_tare_gives_stores() {
    for (scale, lift, gross) in [
        ("{ whole = \"30 kg\", tare = \"14 kg\" }", Lift::Whole, 30.0),
        (
            "{ front = \"14 kg\", back = \"16 kg\", tare = \"14 kg\" }",
            Lift::FrontAndBack,
            30.0,
        ),
        (
            "{ one_side = \"15 kg\", tare = \"14 kg\" }",
            Lift::OneSide,
            30.0,
        ),
    ] {
        let text = pair_with(
            "boxes = [\"eight-frame deep\"]",
            &format!("boxes = [\"eight-frame deep\"]\nscale = {scale}"),
        )
        .replace("honey = \"15 kg\"\n", "");
        let c = good(&text).scenario.stacks[1].colony.clone().unwrap();
        near(c.stores, gross - 14.0 - 5.0 * 0.31 - 1.0);
        assert_eq!((c.scale.lift, c.scale.gross), (lift, Some(gross)));
        assert_eq!(c.scale.tare_source, TareSource::OwnWeighing);
    }
}

/// Published parts: two ten-frame deeps, floor, both covers come to about 19 kg with frames but no comb and 24-27 kg with drawn comb.
#[test]
fn tare_from_parts_agrees_with_the_weighed_hive() {
    let text = r#"
[site]
climate = "champion"
[season]
first_nectar = "19 May"
[[hive]]
walls = "19 mm softwood"
boxes = ["ten-frame deep", "ten-frame deep"]
colony = { frames_of_bees = 10, honey = "30 kg" }
"#;
    let loaded = good(text);
    let c = loaded.scenario.stacks[0].colony.clone().unwrap();
    assert_eq!(c.scale.tare_source, TareSource::Parts);
    let with_wax = c.scale.tare;
    let without = with_wax - 20.0 * 0.25;
    assert!(
        (18.0..=20.0).contains(&without),
        "{without} kg without comb, published about 19"
    );
    assert!(
        (23.5..=27.0).contains(&with_wax),
        "{with_wax} kg with comb, published 24-27"
    );
    let said = loaded
        .readings
        .iter()
        .find(|r| r.path == "hive.Hive 1.scale.tare")
        .unwrap();
    assert!(
        said.note.contains("+/- 4 kg (3-5)") && said.kind == Kind::Default,
        "{said:?}"
    );
}

/// Catches a box that by rounding holds a hair more frames of honey than it has frames, which the hive's own checks refuse: all frames full,
/// counted or weighed, and fewer frames than before.
#[test]
fn full_boxes_hold_no_more_than_their_frames() {
    for frames in 1..=8 {
        for counted in [true, false] {
            let count = if counted {
                format!(", honey_frames = {frames}")
            } else {
                String::new()
            };
            let text = |honey: f64| {
                format!(
                    "[site]\nclimate = \"champion\"\n[[hive]]\nboxes = [{{ pattern = \"eight-frame deep\" }}, \
                     {{ pattern = \"eight-frame deep\", frames = {frames}{count} }}]\n\
                     colony = {{ frames_of_bees = 6, honey = \"{honey:.4} kg\" }}\n"
                )
            };
            let full = good(&text(1.0)).scenario.stacks[0].boxes[1].full_frame;
            let s = good(&text(full * f64::from(frames))).scenario;
            let b = &s.stacks[0].boxes[1];
            assert!(
                b.honey_frames <= f64::from(b.frames),
                "{frames} {}",
                b.honey_frames
            );
            assert!(b.honey_frames > f64::from(b.frames) - 1e-3);
        }
    }
}
