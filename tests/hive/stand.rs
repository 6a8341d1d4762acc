//! Scenarios built in code: the demo pair, a lone box, and small edits of them.

use partywall::calendar::MonthDay;
use partywall::climate::ClimateChoice;
use partywall::stand::*;

pub fn layer(material: &str, thickness: f64) -> Layer {
    Layer {
        material: material.to_owned(),
        thickness,
    }
}

/// A box of the ten-frame pattern (`frames` 10) or the eight-frame one, deep or medium.
pub fn wooden_box(frames: u32, deep: bool) -> HiveBox {
    HiveBox {
        pattern: format!("{frames}-frame {}", if deep { "deep" } else { "medium" }),
        length: 0.505,
        width: if frames > 8 { 0.413 } else { 0.352 },
        depth: if deep { 0.244 } else { 0.168 },
        walls: vec![layer("softwood", 0.019)],
        frames,
        pitch: 0.035,
        comb_length: 0.430,
        comb_height: if deep { 0.203 } else { 0.130 },
        comb_thickness: 0.025,
        full_frame: if deep { 2.9 } else { 1.7 },
        frames_at: FramesAt::Centre,
        followers: 0,
        follower_thickness: 0.012,
        filler: None,
        honey_frames: 0.0,
    }
}

pub fn stack(name: &str, boxes: Vec<HiveBox>) -> Stack {
    Stack {
        name: name.to_owned(),
        floor: Floor::Solid {
            layers: vec![layer("softwood", 0.019)],
            space: 0.022,
        },
        boxes,
        top: vec![layer("plywood", 0.006), layer("xps", 0.050)],
        cover: Cover {
            layers: vec![layer("plywood", 0.012), layer("aluminium", 0.0005)],
            overhang: 0.019,
            skirt: 0.05,
            space: 0.0,
            absorptance: 0.3,
            emissivity: 0.12,
        },
        cladding: Cladding {
            wrapped: false,
            absorptance: 0.6,
            emissivity: 0.9,
            ..Cladding::default()
        },
        openings: Vec::new(),
        ledge: Ledge {
            shelf: true,
            shelf_thickness: 0.012,
            filler: None,
        },
        colony: None,
        heater: None,
    }
}

pub fn stand(stacks: Vec<Stack>, joints: Vec<Joint>) -> Scenario {
    let day = |month, day| MonthDay { month, day };
    Scenario {
        title: "test stand".to_owned(),
        site: Site {
            name: "nowhere".to_owned(),
            latitude_deg: Some(48.0),
            longitude_deg: None,
            elevation: None,
            shelter: Shelter::Partly,
            entrance_azimuth_deg: 180.0,
            stand_height: 0.45,
            snow_cover: true,
        },
        season: Season {
            start: day(10, 1),
            first_nectar: day(5, 19),
            brood_start: day(2, 1),
            brood_full: day(3, 15),
        },
        climate: ClimateChoice::BuiltIn("none".to_owned()),
        stacks,
        joints,
        materials: Vec::new(),
        parameters: Vec::new(),
        level: 0.9,
        reserve: 3.0,
        stress: partywall::stand::Stress::default(),
    }
}

pub fn adjoining(gap: f64, state: GapState, wall: CentreWall, one_cover: bool) -> Joint {
    Joint::Adjoining {
        gap,
        state,
        wall,
        one_cover,
    }
}

pub fn touching() -> Joint {
    adjoining(0.0, GapState::Touching, CentreWall::BoxWalls, true)
}

/// The demo pair: ten-frame deep and medium beside eight-frame deep and medium, with honey.
pub fn demo_pair(joint: Joint) -> Scenario {
    let filled = |frames, lower, upper| {
        let mut boxes = vec![wooden_box(frames, true), wooden_box(frames, false)];
        boxes[0].honey_frames = lower;
        boxes[1].honey_frames = upper;
        boxes
    };
    let opening = |place, area, height, z| Opening {
        place,
        area,
        height,
        z,
    };
    let mut left = stack("left", filled(10, 5.0, 9.5));
    left.openings = vec![
        opening(OpeningPlace::Floor, 0.075 * 0.009, 0.009, 0.024),
        opening(OpeningPlace::Box(1), 3.14e-4, 0.020, 0.38),
    ];
    let mut right = stack("right", filled(8, 3.0, 7.0));
    right.openings = vec![
        opening(OpeningPlace::Floor, 0.040 * 0.009, 0.009, 0.024),
        opening(OpeningPlace::Head, 3.14e-4, 0.020, 0.45),
    ];
    stand(vec![left, right], vec![joint])
}

/// A hive of its own, changed.
pub fn lone(edit: impl FnOnce(&mut Stack)) -> Scenario {
    let mut s = stack("one", vec![wooden_box(10, true), wooden_box(10, false)]);
    edit(&mut s);
    stand(vec![s], vec![])
}
