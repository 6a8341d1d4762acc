//! Whole winters of the demo on the reduced network: what must come out of the coupling by itself.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod abilities;
mod books;
mod pairs;
mod reach;
mod snapshot;
mod yard;

use partywall::calendar::MonthDay;
use partywall::season::outcome::WinterOutcome;
use yard::{demo, winters};

/// How much nearer to the centre wall a cluster ends side by side than apart, winter by winter: mean and its standard
/// error, m. `sign` is +1 for the left stack.
fn gathered(pair: &[WinterOutcome], apart: &[WinterOutcome], colony: usize) -> (f64, f64) {
    let sign = if colony == 0 { 1.0 } else { -1.0 };
    let x = |o: &WinterOutcome| sign * o.colonies[colony].moved[0];
    let all: Vec<f64> = pair.iter().zip(apart).map(|(p, a)| x(p) - x(a)).collect();
    let n = all.len() as f64;
    let mean = all.iter().sum::<f64>() / n;
    let variance = all.iter().map(|d| (d - mean).powi(2)).sum::<f64>() / (n - 1.0);
    (mean, (variance / n).sqrt())
}

/// Catches a gathering that is written in, or one that does not come: nothing in the colony knows of the neighbour, yet over
/// all winters the clusters must end nearer to a thin shared wall than apart, by three standard errors, and most of all the weak
/// one, which has the warmer neighbour. (One winter says nothing: a cluster's way varies by 20 mm.)
#[test]
#[ignore = "long"]
fn clusters_gather_at_a_shared_wall() {
    let thin = demo(&[
        ("side_foam = \"25 mm xps\"", "# no foam at the sides"),
        ("gap = \"38 mm\"", "gap = \"3 mm\""),
    ]);
    let (pair, apart) = (winters(&thin, 36), winters(&thin.apart(), 36));
    let [(strong, strong_error), (weak, weak_error)] = [0, 1].map(|c| gathered(&pair, &apart, c));
    assert!(weak > 3.0 * weak_error, "weak {weak} +- {weak_error}");
    assert!(weak > strong, "weak {weak}, strong {strong}");
    let (both, error) = (strong + weak, strong_error.hypot(weak_error));
    assert!(both > 3.0 * error, "{both} +- {error}");
}

/// Catches a gathering that does not come from the neighbour's warmth, or that foam between does not stop: against the same hives with
/// the neighbour dead from the second day, each cluster ends nearer to a thin wall by two centimetres and three standard errors,
/// and behind 100 mm of foam by less than a third of that.
#[test]
#[ignore = "long"]
fn foam_between_ends_the_pull_of_a_neighbour() {
    let pulled = |wall: &str| {
        let centre = format!("state = \"touching\"\ncentre_wall = \"{wall}\"");
        let both = demo(&[
            ("state = \"taped\"\ngap = \"38 mm\"", &centre),
            ("side_foam = \"25 mm xps\"", "# no foam at the sides"),
        ]);
        let living = winters(&both, 24);
        [0, 1].map(|c| {
            let mut alone = both.clone();
            let neighbour = alone.stacks[1 - c].colony.as_mut().unwrap();
            neighbour.dies = Some(MonthDay { month: 10, day: 2 });
            gathered(&living, &winters(&alone, 24), c)
        })
    };
    let (thin, foam) = (pulled("6 mm plywood"), pulled("100 mm xps"));
    for ((near, error), (behind_foam, _)) in thin.into_iter().zip(foam) {
        assert!(near > 0.02 && near > 3.0 * error, "{thin:?}");
        assert!(behind_foam < near / 3.0, "{thin:?} {foam:?}");
    }
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

/// Catches a need that hangs on the stores there are: a light hive must not be told to be light. A colony that runs out in
/// January must need what it needs with full combs: within a twentieth over the winters, a tenth in each (its way differs).
#[test]
fn a_light_hive_needs_what_a_heavy_one_needs() {
    let light = demo(&[
        ("honey_frames = 9.5", "honey_frames = 0.5"),
        ("front = \"28.7 kg\"\nback = \"29.6 kg\"", "# not weighed"),
    ]);
    let (light, heavy) = (winters(&light, 8), winters(&demo(&[]), 8));
    let mut sums = [0.0; 2];
    for (l, h) in light.iter().zip(&heavy) {
        let (l, h) = (&l.colonies[0], &h.colonies[0]);
        assert!(l.starved.is_some());
        let ratio = l.eaten / h.eaten;
        assert!((0.9..1.1).contains(&ratio), "{} {}", l.eaten, h.eaten);
        sums[0] += l.eaten;
        sums[1] += h.eaten;
    }
    let ratio = sums[0] / sums[1];
    assert!((0.95..1.05).contains(&ratio), "{ratio}");
}
