//! Would catch a wrong conversion, a wrong default, and either of them used without being told.

use crate::{PAIR, good, pair_with};
use partywall::calendar::MonthDay;
use partywall::scenario::Kind;
use partywall::stand::{CentreWall, Floor, FramesAt, GapState, Joint, Layer, OpeningPlace};

pub fn near(got: f64, want: f64) {
    assert!(
        (got - want).abs() <= 1e-9 * want.abs().max(1.0),
        "{got}, expected {want}"
    );
}

#[test]
fn layers_are_read_in_every_form() {
    let layer = |material: &str, thickness: f64| Layer {
        material: material.to_owned(),
        thickness,
    };
    for (written, want) in [
        ("\"50 mm xps\"", layer("xps", 0.05)),
        ("\"2 in xps\"", layer("xps", 0.0508)),
        ("\"xps 2in\"", layer("xps", 0.0508)),
        ("\"1-1/2 in extruded polystyrene\"", layer("xps", 0.0381)),
        ("\"50 mm mineral wool\"", layer("mineral-wool", 0.05)),
        (
            "{ material = \"xps\", thickness = \"50 mm\" }",
            layer("xps", 0.05),
        ),
    ] {
        let s = good(&pair_with("\"50 mm xps\"", written)).scenario;
        assert_eq!(
            s.stacks[0].top,
            vec![layer("plywood", 0.008), want],
            "{written}"
        );
    }
    let none = good(&pair_with("\"50 mm xps\"", "false")).scenario;
    assert_eq!(none.stacks[0].top.len(), 1);
}

/// R-5 (US) is 0.8806 m2K/W; the thickness follows from the conductivity the tables give.
#[test]
fn an_r_value_becomes_a_thickness() {
    let k = partywall::materials::Materials::builtin()
        .unwrap()
        .get("xps")
        .unwrap()
        .conductivity;
    for written in [
        "\"R-5 xps\"",
        "\"xps R5\"",
        "\"RSI 0.88055 xps\"",
        "{ material = \"xps\", r_value = \"R-5\" }",
    ] {
        let loaded = good(&pair_with("\"50 mm xps\"", written));
        let got = loaded.scenario.stacks[0].top[1].thickness;
        assert!((got - 0.880_550_9 * k).abs() < 1e-6, "{written}: {got}");
        assert!(loaded.readings.iter().any(|r| r.kind == Kind::Converted && r.note.contains("W/mK of the material table")));
    }
    // A material of the scenario's own conducts as the scenario says.
    let own = pair_with("\"50 mm xps\"", "\"R-5 hemp\"").replace(
        "[every_hive]",
        "[[material]]\nname = \"Hemp\"\nconductivity = \"0.04 W/mK\"\ndensity = \"40 kg/m3\"\nspecific_heat = \"1500 J/kgK\"\n[every_hive]",
    );
    let s = good(&own).scenario;
    assert!((s.stacks[0].top[1].thickness - 0.880_550_9 * 0.04).abs() < 1e-6);
    assert_eq!(s.materials[0].key, "hemp");
}

#[test]
fn openings_sit_where_the_keeper_put_them() {
    let text = pair_with(
        "entrance = \"75 x 9 mm\"",
        "entrance = \"3 x 3/8 in\"\nupper_hole = \"20 mm\"\ntop_notch = \"75 x 6 mm\"",
    );
    let o = good(&text).scenario.stacks[0].openings.clone();
    assert_eq!(o[0].place, OpeningPlace::Floor);
    near(o[0].area, 0.0762 * 0.009525);
    // Floor board 19 mm, entrance on it.
    near(o[0].z, 0.019 + 0.009525 / 2.0);
    assert_eq!(o[1].place, OpeningPlace::Box(1));
    near(o[1].area, std::f64::consts::PI * 0.01 * 0.01);
    // Floor 19 + 20 mm, deep box 244 mm, half the medium box.
    near(o[1].z, 0.039 + 0.244 + 0.084);
    assert_eq!(o[2].place, OpeningPlace::Head);
    near(o[2].z, 0.039 + 0.244 + 0.168 + 0.003);
}

#[test]
fn joints_are_read_in_every_state() {
    let joint = |text: &str| {
        good(&pair_with("state = \"touching\"", text))
            .scenario
            .joints[0]
            .clone()
    };
    let adjoining = |gap, state, wall, one_cover| Joint::Adjoining {
        gap,
        state,
        wall,
        one_cover,
    };
    assert_eq!(joint("state = \"apart\""), Joint::Apart);
    assert_eq!(
        joint("state = \"touching\""),
        adjoining(0.0, GapState::Touching, CentreWall::BoxWalls, false)
    );
    assert_eq!(
        joint("state = \"taped\"\ngap = \"38 mm\"\none_cover = true"),
        adjoining(0.038, GapState::Closed, CentreWall::BoxWalls, true)
    );
    assert_eq!(
        joint("state = \"open\"\ngap = \"38 mm\""),
        adjoining(0.038, GapState::Open, CentreWall::BoxWalls, false)
    );
    assert_eq!(
        joint("state = \"foam\"\ngap = \"1 in\"\nfiller = \"eps\""),
        adjoining(
            0.0254,
            GapState::Filled("eps".to_owned()),
            CentreWall::BoxWalls,
            false
        )
    );
    let ply = CentreWall::Shared(vec![Layer {
        material: "plywood".to_owned(),
        thickness: 0.006,
    }]);
    assert_eq!(
        joint("state = \"touching\"\ncentre_wall = \"6 mm ply\""),
        adjoining(0.0, GapState::Touching, ply, false)
    );
}

#[test]
fn a_wide_box_on_a_narrow_one_gets_its_ledge() {
    let two = pair_with(
        "[\"eight-frame deep\"]",
        "[\"eight-frame deep\", \"ten-frame deep\"]",
    );
    let s = good(&two).scenario;
    assert!(s.stacks[1].ledge.shelf);
    near(s.stacks[1].ledge.shelf_thickness, 0.019);
    assert_eq!(s.stacks[1].ledge.filler, None);
    let filled = two.replace(
        "name = \"Right\"",
        "name = \"Right\"\nledge = { shelf = true, filler = \"eps\" }",
    );
    let l = good(&filled).scenario.stacks[1]
        .ledge
        .filler
        .clone()
        .unwrap();
    assert_eq!(l.material, "eps");
    near(l.thickness, 0.061);
    let none = two.replace(
        "name = \"Right\"",
        "name = \"Right\"\nledge = { shelf = false }",
    );
    assert!(!good(&none).scenario.stacks[1].ledge.shelf);
}

#[test]
fn other_counts_of_frames_get_their_width() {
    let s = good(
        &pair_with("[\"eight-frame deep\"]", "[\"six-frame deep\"]").replace("15 kg", "10 kg"),
    )
    .scenario;
    // 6 x 35 + 25 spare + two walls of 19 mm.
    near(s.stacks[1].boxes[0].width, 0.273);
    assert_eq!(s.stacks[1].boxes[0].frames, 6);
    let s = good(&pair_with(
        "[\"eight-frame deep\"]",
        "[{ pattern = \"ten-frame deep\", frames = 8, followers = 1, frames_at = \"left\", filler = \"wool\" }]",
    ))
    .scenario;
    let b = &s.stacks[1].boxes[0];
    assert_eq!(
        (b.frames, b.followers, b.frames_at, b.filler.as_deref()),
        (8, 1, FramesAt::Left, Some("wool"))
    );
    near(b.width, 0.413);
}

#[test]
fn defaults_are_those_of_the_trade_and_are_told() {
    let loaded = good(
        "[site]\nclimate = \"champion\"\n[[hive]]\nboxes = \"ten-frame deep\"\ncolony = { frames_of_bees = 8, honey = \"20 kg\" }\n",
    );
    let s = &loaded.scenario;
    assert_eq!(s.season.first_nectar, MonthDay { month: 5, day: 19 });
    assert_eq!(s.season.start, MonthDay { month: 10, day: 1 });
    assert_eq!((s.level, s.reserve), (0.9, 3.0));
    let h = &s.stacks[0];
    assert_eq!(
        h.boxes[0].walls,
        vec![Layer {
            material: "softwood".to_owned(),
            thickness: 0.019
        }]
    );
    assert!(matches!(&h.floor, Floor::Solid { space, .. } if *space == 0.02));
    near(h.openings[0].area, 0.075 * 0.009);
    near(h.cover.overhang, 0.019);
    for key in [
        "hive.Hive 1.walls",
        "hive.Hive 1.entrance",
        "hive.Hive 1.inner_cover",
        "hive.Hive 1.cover.kind",
        "hive.Hive 1.floor.kind",
        "hive.Hive 1.colony.pollen",
        "hive.Hive 1.scale.tare",
        "season.start",
        "season.first_nectar",
        "reserve",
        "level",
        "site.shelter",
        "site.stand_height",
    ] {
        let r = loaded
            .readings
            .iter()
            .find(|r| r.path == key)
            .unwrap_or_else(|| panic!("{key} is not told"));
        assert!(
            r.kind == Kind::Default && r.written.is_none() && !r.note.is_empty(),
            "{r:?}"
        );
    }
}

#[test]
fn a_later_hive_overrides_what_holds_for_every_hive() {
    let s = good(&pair_with(
        "name = \"Right\"",
        "name = \"Right\"\ntop = \"25 mm eps\"\nside_foam = { front = \"1 in eps\" }\nwrap = true",
    ))
    .scenario;
    assert_eq!(s.stacks[0].top[1].material, "xps");
    assert_eq!(s.stacks[1].top[1].material, "eps");
    let c = &s.stacks[1].cladding;
    assert_eq!((c.front.len(), c.back.len()), (2, 1));
    near(c.absorptance, 0.92);
    assert!(s.stacks[0].cladding.left.is_empty());
}

#[test]
fn compass_and_degrees() {
    for (written, want) in [
        ("\"40.4 N\"", 40.4),
        ("\"33.9° S\"", -33.9),
        ("\"47 deg\"", 47.0),
        ("47.2", 47.2),
    ] {
        let s = good(&pair_with(
            "shelter = \"partly\"",
            &format!("latitude = {written}"),
        ))
        .scenario;
        near(s.site.latitude_deg.unwrap(), want);
    }
    for (written, want) in [
        ("\"south-east\"", 135.0),
        ("\"North\"", 0.0),
        ("\"200 deg\"", 200.0),
    ] {
        let s = good(&pair_with(
            "shelter = \"partly\"",
            &format!("entrances_face = {written}"),
        ))
        .scenario;
        near(s.site.entrance_azimuth_deg, want);
    }
}

#[test]
fn a_byte_order_mark_and_foreign_line_ends_do_no_harm() {
    let text = format!("\u{feff}{}", PAIR.replace('\n', "\r\n"));
    assert_eq!(good(&text).scenario, good(PAIR).scenario);
}
