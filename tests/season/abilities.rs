//! What a scenario can ask for: a warm box, two colonies combined, follower boards, a neighbour that dies.

use crate::yard::{demo, traced, winters};
use partywall::colony::parameters::Parameters;
use partywall::scenario;
use partywall::season::HeatModel;
use partywall::season::trace::{Trace, TraceRow};
use partywall::stand::Scenario;
use std::fmt::Write;

/// A record of `days` days from 20 September at `mean` degC with a small daily swing, dim and calm.
fn steady_weather(mean: f64, days: usize) -> std::path::PathBuf {
    let mut text = String::from(
        "# station: Steady\n# latitude: 45\n# longitude: 0\n# elevation_m: 100\n# utc_offset_h: 0\n# source: made up\n\
         # licence: none\ntime,temp_c,rh_pct,wind_ms,ghi_w_m2,cloud_okta\n",
    );
    let start = jiff::civil::date(2001, 9, 20).at(0, 0, 0, 0);
    for hour in 0..24 * days {
        let time = start
            .checked_add(jiff::Span::new().hours(hour as i64))
            .unwrap();
        let swing = (std::f64::consts::TAU * (hour as f64 - 9.0) / 24.0).sin();
        let sun = (std::f64::consts::TAU * (hour as f64 - 6.0) / 24.0)
            .sin()
            .max(0.0);
        writeln!(
            text,
            "{},{:.2},80,1.5,{:.0},8",
            time.strftime("%Y-%m-%dT%H:%M"),
            // A little more swing each day: days that repeat each other are refused as a stuck instrument.
            mean + (2.0 + 0.01 * (hour / 24) as f64) * swing,
            60.0 * sun
        )
        .unwrap();
    }
    let path = std::env::temp_dir().join(format!(
        "partywall-steady-{mean}-{}.csv",
        std::process::id()
    ));
    std::fs::write(&path, text).unwrap();
    path
}

fn of(trace: &Trace, colony: usize, f: impl Fn(&TraceRow, usize) -> f64) -> Vec<f64> {
    trace.rows.iter().map(|r| f(r, colony)).collect()
}

fn largest(v: &[f64]) -> f64 {
    v.iter().copied().fold(f64::NEG_INFINITY, f64::max)
}

/// Catches a thermal runaway: 22,000 bees in a box with 100 mm of foam on every side through a winter of +10 degC must neither
/// pass their ceiling nor burn more per kilogram than bees asleep in summer (4.7 W/kg) while they have no brood.
#[test]
fn no_runaway_in_an_insulated_box() {
    let path = steady_weather(10.0, 150);
    let text = format!(
        r#"
title = "warm box"
[site]
climate = "{}"
[season]
start = "1 Oct"
first_nectar = "1 Feb"
brood_start = "20 Jan"
brood_full = "31 Jan"
[[hive]]
walls = "19 mm pine"
side_foam = "100 mm xps"
top = "100 mm xps"
boxes = ["ten-frame deep", "ten-frame medium"]
colony = {{ bees = "2.5 kg", honey = "30 kg" }}
"#,
        path.display()
    );
    let warm = scenario::parse(&text, "warm box", None).unwrap().scenario;
    let all = traced(&warm, HeatModel::Reduced, 1, 1);
    std::fs::remove_file(path).unwrap();
    let (outcome, trace) = &all[0];
    assert!(outcome.colonies[0].alive);
    // Three days to settle: the cluster sets out cold.
    let settled = trace.rows.iter().skip(72);
    let broodless: Vec<_> = settled
        .filter(|r| r.colonies[0].brood_cells == 0.0)
        .collect();
    assert!(broodless.len() > 24 * 100);
    let p = Parameters::with(&[]).unwrap();
    let at_rest = p.rest_heat_20 * p.q10.powf((p.core_ceiling_c - 20.0) / 10.0);
    for row in broodless {
        let c = &row.colonies[0];
        assert!(
            c.moment.core_c < 30.5,
            "{} at {}",
            c.moment.core_c,
            row.time
        );
        let per_kg = c.moment.heat / (c.bees * 0.113e-3);
        // Bees at rest make no more at the warmth that the core is not driven over.
        assert!(per_kg < at_rest, "{per_kg} W/kg at {}", row.time);
    }
    // Not by sitting in the cold: foam all round keeps it well above the air.
    let warmth = of(trace, 0, |r, c| r.colonies[c].moment.around_c - r.outdoor_c);
    assert!(warmth.iter().sum::<f64>() / warmth.len() as f64 > 2.0);
}

/// One hive alone with so many frames of bees and so much honey.
fn alone(frames: f64, honey: f64, boxes: &str) -> Scenario {
    let text = format!(
        r#"
title = "alone"
[site]
climate = "champion"
[season]
first_dandelion = "12 May"
[[hive]]
walls = "19 mm pine"
boxes = [{boxes}]
colony = {{ frames_of_bees = {frames}, honey = "{honey} kg" }}
"#
    );
    scenario::parse(&text, "alone", None).unwrap().scenario
}

/// Catches combining that gains nothing or that makes food out of nothing: two weak colonies in one hive, bees and honey summed, eat
/// less than the two apart and more than one of them, and are left with the sum of the honey less what they eat.
#[test]
fn combining_two_colonies_saves_honey() {
    let two = "\"ten-frame deep\", \"ten-frame deep\"";
    let one = winters(&alone(4.0, 17.0, two), 6);
    let both = winters(&alone(8.0, 34.0, two), 6);
    let mean = |all: &[partywall::season::outcome::WinterOutcome]| {
        all.iter().map(|o| o.colonies[0].eaten).sum::<f64>() / all.len() as f64
    };
    let (one, both) = (mean(&one), mean(&both));
    assert!(both < 0.95 * 2.0 * one, "{both} {one}");
    assert!(both > one, "{both} {one}");
}

/// Catches follower boards that shrink nothing: the same bees on eight of ten frames between two boards have less comb room and
/// no more frames of honey than these, and the cluster stays between the boards.
#[test]
fn followers_shrink_the_space() {
    let wide = "\"ten-frame deep\"";
    let narrow = "{ pattern = \"ten-frame deep\", frames = 6, followers = 2 }";
    let run = |boxes: &str| traced(&alone(4.0, 12.0, boxes), HeatModel::Reduced, 12, 2);
    let (wide, narrow) = (run(wide), run(narrow));
    for ((_, w), (o, n)) in wide.iter().zip(&narrow) {
        let x = of(n, 0, |r, c| r.colonies[c].centre[0]);
        let radius = of(n, 0, |r, c| r.colonies[c].radius);
        let span = largest(&x) + largest(&x.iter().map(|x| -x).collect::<Vec<_>>());
        // Six combs of 35 mm leave the centre 0.21 m less what the cluster needs at its sides.
        assert!(span < 0.21 - 1.4 * 0.05, "{span}");
        assert!(largest(&radius) <= largest(&of(w, 0, |r, c| r.colonies[c].radius)) + 1e-9);
        assert!(o.colonies[0].eaten > 3.0);
    }
}

/// Catches a death that has no date, warms on, or leaves its neighbour as it was: until the date nothing differs to the last
/// digit; afterwards the dead colony makes no heat and the neighbour, with a cold wall beside it, finds it colder.
#[test]
fn a_neighbour_dies_on_its_date() {
    let thin = [
        ("side_foam = \"25 mm xps\"", "# no foam at the sides"),
        ("gap = \"38 mm\"", "gap = \"3 mm\""),
    ];
    let mut dying = thin.to_vec();
    dying.push(("# dies = \"10 Jan\"", "dies = \"10 Jan\"\n#"));
    let lives = traced(&demo(&thin), HeatModel::Reduced, 12, 3);
    let dies = traced(&demo(&dying), HeatModel::Reduced, 12, 3);
    for ((_, lives), (outcome, dies)) in lives.iter().zip(&dies) {
        assert!(!outcome.colonies[0].alive && outcome.colonies[1].alive);
        let at = dies
            .rows
            .iter()
            .position(|r| (r.time.month(), r.time.day()) == (1, 10))
            .unwrap();
        for (a, b) in lives.rows[..at].iter().zip(&dies.rows[..at]) {
            assert_eq!(a.colonies[1].moment, b.colonies[1].moment);
        }
        assert!(
            dies.rows[at + 1..]
                .iter()
                .all(|r| r.colonies[0].moment.heat == 0.0)
        );
        assert_eq!(
            dies.rows[at..]
                .iter()
                .map(|r| r.colonies[0].bees)
                .sum::<f64>(),
            0.0
        );
        // Four weeks after it the neighbour has it colder on average.
        let weeks = at..at + 28 * 24;
        let mean = |t: &Trace| {
            t.rows[weeks.clone()]
                .iter()
                .map(|r| r.colonies[1].moment.around_c)
                .sum::<f64>()
                / weeks.len() as f64
        };
        assert!(
            mean(dies) < mean(lives) - 0.05,
            "{} {}",
            mean(dies),
            mean(lives)
        );
    }
}

/// Catches a hard winter that is not as much colder as it says, or in which clusters have it no colder or make no more heat
/// in its coldest hour. (Heat in hand need not fall: a cluster that draws together loses less for each kelvin.)
#[test]
fn a_hard_winter_is_colder_by_so_much() {
    let hard = demo(&[
        ("# [stress] ", "[stress] #"),
        ("# colder = \"3 C\"", "colder = \"3 C\""),
    ]);
    let usual = traced(&demo(&[]), HeatModel::Reduced, 12, 3);
    let hard = traced(&hard, HeatModel::Reduced, 12, 3);
    for ((u, usual), (h, hard)) in usual.iter().zip(&hard) {
        for (a, b) in usual.rows.iter().zip(&hard.rows) {
            assert!((a.outdoor_c - b.outdoor_c - 3.0).abs() < 1e-9, "{}", a.time);
        }
        for (a, b) in u.colonies.iter().zip(&h.colonies) {
            let (a, b) = (&a.coldest, &b.coldest);
            assert!(b.around_c < a.around_c - 1.0, "{a:?} {b:?}");
            assert!(b.heat > a.heat, "{a:?} {b:?}");
        }
    }
}

/// Catches a late spring that changes what comes before it, or that costs no honey: until the usual first nectar nothing differs to the
/// last digit, and the days after it are eaten through at no less than half of April's 4 to 5 kg a month.
#[test]
fn a_late_spring_goes_on_eating() {
    let late = demo(&[
        ("# [stress] ", "[stress] #"),
        ("# late_spring = \"14 days\"", "late_spring = \"14 days\""),
    ]);
    let usual = traced(&demo(&[]), HeatModel::Reduced, 12, 3);
    let late = traced(&late, HeatModel::Reduced, 12, 3);
    for ((u, _), (l, _)) in usual.iter().zip(&late) {
        assert_eq!(u.winter, l.winter);
        for (a, b) in u.colonies.iter().zip(&l.colonies) {
            let (a, b) = (&a.eaten_by_day, &b.eaten_by_day);
            assert_eq!(b.len(), a.len() + 14);
            // The last hour leads towards the next one, which only the longer winter has.
            let last = a.len() - 1;
            assert_eq!(a[..last], b[..last]);
            assert!((a[last] - b[last]).abs() < 1e-3);
            let more = b[b.len() - 1] - a[a.len() - 1];
            assert!(more > 14.0 * 2.0 / 30.0, "{more} kg in 14 days");
        }
    }
}

/// Catches a spring that runs away: on every shipped record, in every shipped scenario, no colony grows beyond 40,000 bees before first
/// nectar (the top of the range of full-size colonies, Farrar) nor beyond twice its autumn, eats more than 9 kg in a month (twice April's
/// 4-5 kg), and none dies out.
#[test]
#[ignore = "long"]
fn spring_does_not_run_away_anywhere() {
    for name in ["larch-flats", "cold-larch", "single"] {
        for record in ["champion", "baskatong", "chicago", "northway", "wageningen"] {
            let mut s = crate::yard::shipped(name, &[]);
            s.climate = partywall::climate::choose(record);
            for (outcome, trace) in traced(&s, HeatModel::Reduced, 12, 2) {
                for (c, colony) in outcome.colonies.iter().enumerate() {
                    let bees = of(&trace, c, |r, c| r.colonies[c].bees);
                    assert!(
                        largest(&bees) < 40_000.0 && largest(&bees) < 2.0 * bees[0],
                        "{name} {record} {}",
                        largest(&bees)
                    );
                    let days = &colony.eaten_by_day;
                    let month =
                        largest(&days.windows(31).map(|w| w[30] - w[0]).collect::<Vec<_>>());
                    assert!(
                        month < 9.0,
                        "{name} {record} {}: {month} kg in 30 days",
                        outcome.winter
                    );
                    assert!(
                        colony.alive || record == "northway",
                        "{name} {record} {}",
                        outcome.winter
                    );
                }
            }
        }
    }
}
