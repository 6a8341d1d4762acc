//! Would catch a shipped scenario that no longer reads, or that is not the hive it says it is.

use partywall::climate::ClimateChoice;
use partywall::files::{load, open};
use partywall::scenario::{built_in, built_in_names};
use partywall::stand::{GapState, Joint};

#[test]
fn every_shipped_scenario_reads_without_a_warning() {
    assert_eq!(
        built_in_names(),
        [
            "larch-flats",
            "larch-twelve",
            "cold-larch",
            "far-honey",
            "heater-box",
            "single"
        ]
    );
    for name in built_in_names() {
        let loaded = built_in(name)
            .unwrap_or_else(|p| panic!("{}", partywall::report::problems::render(&p, false)));
        assert_eq!(loaded.warnings.0, vec![], "{name}");
        let file = format!("{}/scenarios/{name}.toml", env!("CARGO_MANIFEST_DIR"));
        assert_eq!(
            load(std::path::Path::new(&file)).unwrap().scenario,
            loaded.scenario
        );
    }
}

/// The demo hive: frames, stores, tare and readings add up to the gross weights 58.3 and 43.6 kg.
#[test]
fn the_demo_adds_up() {
    for name in ["larch-flats", "larch-twelve", "cold-larch"] {
        let s = built_in(name).unwrap().scenario;
        for (stack, gross) in s.stacks.iter().zip([58.3, 43.6]) {
            let c = stack.colony.clone().unwrap();
            let sum = c.scale.tare + c.bees + c.stores + c.pollen;
            assert!(
                (sum - gross).abs() < 0.2,
                "{name} {}: {sum}, weighed {gross}",
                stack.name
            );
            assert_eq!(
                c.scale.gross.map(|g| (g * 10.0).round() / 10.0),
                Some(gross)
            );
        }
        assert!(
            matches!(&s.joints[0], Joint::Adjoining { gap, state: GapState::Closed, one_cover: true, .. } if *gap == 0.038)
        );
    }
    assert_eq!(
        built_in("cold-larch").unwrap().scenario.climate,
        ClimateChoice::BuiltIn("baskatong".to_owned())
    );
}

#[test]
fn the_heater_box_is_empty_and_measures_what_was_measured() {
    let s = built_in("heater-box").unwrap().scenario;
    let h = &s.stacks[0];
    assert!(h.colony.is_none() && h.openings.is_empty());
    assert_eq!(
        h.heater.as_ref().map(|x| (x.power, x.in_box)),
        Some((12.5, 1))
    );
    assert!(h.boxes.iter().all(|b| b.frames == 0
        && (b.width - 0.35).abs() < 1e-12
        && b.walls[0].material == "larch"));
}

#[test]
fn apart_and_alone_leave_the_hives_as_they_are() {
    let s = built_in("larch-flats").unwrap().scenario;
    let apart = s.apart();
    assert_eq!(apart.stacks, s.stacks);
    assert_eq!(apart.joints, vec![Joint::Apart]);
    let right = s.alone(1).unwrap();
    assert_eq!((right.stacks.len(), right.joints.len()), (1, 0));
    assert_eq!(right.stacks[0], s.stacks[1]);
    assert_eq!(s.alone(2), None);
}

#[test]
fn files_are_looked_for_where_the_scenario_lies() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("mine.toml");
    let text = crate::pair_with("\"champion\"", "\"station.csv\"");
    std::fs::write(&file, &text).unwrap();
    let refused = load(&file).unwrap_err().to_string();
    assert!(
        refused.contains("there is no weather file \"station.csv\""),
        "{refused}"
    );
    std::fs::write(dir.path().join("station.csv"), "x").unwrap();
    let s = load(&file).unwrap().scenario;
    assert_eq!(
        s.climate,
        ClimateChoice::File(dir.path().join("station.csv"))
    );
    assert!(open(&file.display().to_string()).is_ok());
    std::fs::write(&file, [0x63, 0x0a, 0xb0]).unwrap();
    assert!(
        load(&file)
            .unwrap_err()
            .to_string()
            .contains("not UTF-8 text (line 2)")
    );
    assert!(load(dir.path()).is_err());
}
