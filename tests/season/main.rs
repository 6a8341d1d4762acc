//! Whole winters of the demo on the reduced network: what must come out of the coupling by itself.

#![allow(clippy::unwrap_used)]

use partywall::climate;
use partywall::colony::parameters::Parameters;
use partywall::hive::{Resolution, build};
use partywall::scenario::{self, model::Scenario};
use partywall::season::outcome::WinterOutcome;
use partywall::season::{Carrier, Course, Stand};
use std::sync::atomic::AtomicBool;

fn winters(scenario: &Scenario, count: usize) -> Vec<WinterOutcome> {
    let record = climate::load(&scenario.climate).unwrap();
    let season = &scenario.season;
    let winters = record.winters(season.start, season.first_nectar).unwrap();
    let hive = build(scenario, Resolution::Coarse).unwrap();
    let stand = Stand::new(scenario, hive, record.station.elevation).unwrap();
    let parameters = Parameters::with(&[]).unwrap();
    let stop = AtomicBool::new(false);
    winters
        .iter()
        .take(count)
        .map(|winter| {
            let course = Course {
                scenario,
                stand: &stand,
                winter,
                parameters: &parameters,
                stop: &stop,
            };
            course.run(Carrier::Reduced, None).unwrap()
        })
        .collect()
}

/// The demo with other lines in its scenario.
fn demo(changes: &[(&str, &str)]) -> Scenario {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/scenarios/larch-flats.toml");
    let mut text = std::fs::read_to_string(path).unwrap();
    for (from, to) in changes {
        assert!(text.contains(from), "{from}");
        text = text.replace(from, to);
    }
    scenario::parse(&text, "demo", None).unwrap().scenario
}

/// How much nearer to the centre wall the clusters end than they began, m, mean of both and of all winters.
fn towards_the_wall(outcomes: &[WinterOutcome]) -> f64 {
    let moved = outcomes
        .iter()
        .map(|o| 0.5 * (o.colonies[0].moved[0] - o.colonies[1].moved[0]));
    moved.sum::<f64>() / outcomes.len() as f64
}

/// Catches a gathering that is written in, or one that does not come: nothing in the colony knows of the neighbour, yet butted
/// together without foam at the sides the clusters must end nearer to the shared wall than apart.
#[test]
fn clusters_gather_at_a_shared_wall_between_cold_sides() {
    let bare = ("side_foam = \"25 mm xps\"", "# no foam at the sides");
    let thin = demo(&[bare, ("gap = \"38 mm\"", "gap = \"3 mm\"")]);
    let wall = towards_the_wall(&winters(&thin, 12));
    let apart = towards_the_wall(&winters(&thin.apart(), 12));
    assert!(wall > apart + 0.005, "{wall} {apart}");
}

/// Catches isolation that cannot happen or cannot be helped: a small cluster through a long cold with its honey two frames away
/// starves beside it; the same honey beside it carries it on.
#[test]
fn honey_out_of_reach_starves_and_beside_saves() {
    let hive = |frames: &str| {
        demo(&[
            (
                "{ pattern = \"eight-frame deep\", honey_frames = 3 }",
                &format!("{{ pattern = \"eight-frame deep\", honey_frames = [{frames}] }}"),
            ),
            (
                "{ pattern = \"eight-frame medium\", honey_frames = 7 },\n",
                "",
            ),
            ("frames_of_bees = 5", "frames_of_bees = 2.5"),
            (
                "front = \"21.4 kg\"\nback = \"22.2 kg\"\ntare = \"21.0 kg\"\n",
                "tare = \"21.0 kg\"\n",
            ),
            ("climate = \"champion\"", "climate = \"baskatong\""),
        ])
    };
    let away = winters(&hive("1, 0, 0, 0, 0, 0, 0, 1"), 6);
    let beside = winters(&hive("0, 0, 1, 1, 1, 1, 0, 0"), 6);
    let isolated = |all: &[WinterOutcome]| {
        let starved = all.iter().filter_map(|o| o.colonies[1].starved);
        starved
            .filter(|s| s.beside_honey.is_some())
            .map(|s| s.date)
            .collect::<Vec<_>>()
    };
    assert!(isolated(&away).len() >= 4, "{:?}", isolated(&away));
    assert!(isolated(&beside).len() <= 1, "{:?}", isolated(&beside));
}
