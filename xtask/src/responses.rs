//! What a hive answers to cold, wind, foam and openings, and a pair to its neighbour, in weather that stays as it is: no sun, no brood, no
//! flights, 1.7 kg of bees in two ten-frame deeps of 19 mm pine on the coarse grid, the mean of the last two days of twenty.

use partywall_core::climate;
use partywall_core::climate::raw::PartialStation;
use partywall_core::climate::record::Record;
use partywall_core::climate::series::{Hour, Winter};
use partywall_core::colony::parameters::Parameters;
use partywall_core::hive::{AirPort, Resolution, build};
use partywall_core::scenario;
use partywall_core::season::outcome::ColonyOutcome;
use partywall_core::season::trace::Trace;
use partywall_core::season::{HeatModel, PreparedHive, WinterRun};
use std::error::Error;
use std::fmt::Write;
use std::sync::atomic::AtomicBool;

/// Days until bees and hive have settled, and the last hours of them that are told.
const DAYS: usize = 20;
const TOLD: usize = 48;

/// What a colony does there.
struct Response {
    /// Honey, g a day.
    honey: f64,
    /// Kelvins colder that it could stand.
    margin: f64,
    /// Outside air through its hive, L a minute.
    air: f64,
    /// Over outside air, K: over the floor, around the cluster, over the frames.
    over: [f64; 3],
    /// Of the water the bees gave off in twenty days the part that air carried out, in 100, and what lies under the lid in the end, g.
    out: f64,
    lid: f64,
}

/// The stands' weather, of which only the dates are used.
pub(crate) struct Bench {
    record: Record,
    parameters: Parameters,
}

impl Bench {
    pub(crate) fn new() -> Result<Self, Box<dyn Error>> {
        Ok(Self {
            record: climate::built_in("champion", &PartialStation::default())?,
            // No brood before its season, which these days are not in.
            parameters: Parameters::with(&[])?,
        })
    }

    fn colonies(
        &self,
        hives: &str,
        every: &str,
        t: f64,
        wind: f64,
    ) -> Result<Vec<Response>, Box<dyn Error>> {
        let text = format!(
            "title = \"Responses\"\n[site]\nclimate = \"champion\"\n[season]\nfirst_dandelion = \"12 May\"\n[every_hive]\n{every}\n{hives}"
        );
        let scenario = scenario::parse(&text, "responses", None)
            .map_err(|e| format!("{e:?}"))?
            .scenario;
        let hive = build(&scenario, Resolution::Coarse)?;
        let stand = PreparedHive::new(&scenario, hive, self.record.station.elevation)?;
        let winters = self
            .record
            .winters(scenario.season.start, scenario.season.first_nectar)?;
        let first = winters.first().ok_or("no winter")?;
        let hours = first
            .hours
            .iter()
            .take(24 * DAYS)
            .map(|h| still(h, t, wind));
        let winter = Winter {
            hours: hours.collect(),
            ..first.clone()
        };
        let stop = AtomicBool::new(false);
        let run = WinterRun {
            scenario: &scenario,
            stand: &stand,
            winter: &winter,
            parameters: &self.parameters,
            stop: &stop,
        };
        let mut trace = Trace::default();
        run.run(HeatModel::Reduced, Some(&mut trace))?;
        let told = &trace.rows[trace.rows.len() - TOLD..];
        let there = run.snapshot(24 * DAYS - 2)?;
        let hive = &stand.hive;
        let mut found = Vec::new();
        for (c, seated) in there.colonies.iter().enumerate() {
            let i = seated.seated.stack;
            let mean = |f: &dyn Fn(&partywall_core::season::trace::TraceColony) -> f64| {
                told.iter().map(|r| f(&r.colonies[c])).sum::<f64>() / TOLD as f64
            };
            let (air, moving) = (&hive.stacks[i].air, &there.air[i]);
            let port_c = |p: AirPort| match p {
                AirPort::Node(n) => there.node_c[n],
                AirPort::Region(r) => hive.regions[r]
                    .iter()
                    .map(|(n, w)| w * there.node_c[*n])
                    .sum(),
            };
            let by_height = |a: &&partywall_core::hive::AirSpace,
                             b: &&partywall_core::hive::AirSpace| {
                a.middle().total_cmp(&b.middle())
            };
            let end = |s: Option<&partywall_core::hive::AirSpace>| {
                s.map_or(f64::NAN, |s| port_c(s.port) - t)
            };
            found.push(Response {
                honey: 1e3 * 86_400.0 * mean(&|x| x.moment.heat) / self.parameters.honey_energy,
                margin: mean(&|x| x.moment.heat_in_hand),
                air: 60e3 * moving.fresh / AIR,
                over: [
                    end(air.spaces.iter().min_by(by_height)),
                    mean(&|x| x.moment.around_c) - t,
                    end(air.spaces.iter().max_by(by_height)),
                ],
                out: 100.0 * there.water[i].books.sums.carried / there.water[i].books.sums.made,
                lid: 1e3 * there.water[i].lies.lid,
            });
        }
        Ok(found)
    }

    fn one(&self, every: &str, t: f64, wind: f64) -> Result<Response, Box<dyn Error>> {
        let hive = "[[hive]]\nboxes = [\"ten-frame deep\", \"ten-frame deep\"]\ncolony = { bees = \"1.7 kg\", honey = \"80 lb\" }\n";
        let mut all = self.colonies(hive, every, t, wind)?;
        all.pop().ok_or_else(|| "no colony".into())
    }
}

/// Density by which litres of cold air are told, kg/m3.
const AIR: f64 = 1.3;

/// An hour without sun under a clouded sky.
fn still(h: &Hour, t: f64, wind: f64) -> Hour {
    Hour {
        outdoor_c: t,
        dewpoint_c: t - 3.0,
        wind,
        ghi: 0.0,
        dni: 0.0,
        dhi: 0.0,
        sky_longwave: 5.670_374e-8 * (t + 273.15).powi(4),
        snow_depth: 0.0,
        sun_elevation_deg: -10.0,
        ..*h
    }
}

const FOAM: [(&str, &str); 4] = [
    ("50 mm of foam on the lid", "top = \"50 mm xps\""),
    ("50 mm under the floor", "floor = { under = \"50 mm xps\" }"),
    ("50 mm on the walls", "side_foam = \"50 mm xps\""),
    (
        "50 mm all round",
        "top = \"50 mm xps\"\nside_foam = \"50 mm xps\"\nfloor = { under = \"50 mm xps\" }",
    ),
];

/// The tables.
pub(crate) fn table(bench: &Bench) -> Result<String, Box<dyn Error>> {
    let mut t = String::from(
        "Two ten-frame deeps of 19 mm pine, 1.7 kg of bees, no sun, brood or flights, coarse grid. Honey in g a day; `margin`: how many kelvin colder \
         it could be; air: outside air through the hive, L a minute; over outside, K: over the floor, around the cluster, over the frames; out: water carried out \
         by air of a hundred the bees gave off in twenty days; lid: dew and ice under the lid in the end, g.\n\n",
    );
    let cold = [-25.0, -15.0, -10.0, -5.0, 0.0, 5.0, 10.0, 15.0];
    t.push_str("| honey by outside air, degC, wind 1 m/s |");
    for c in cold {
        let _ = write!(t, " {c:.0} |");
    }
    t.push_str("\n|---|---|---|---|---|---|---|---|---|\n");
    for (name, every) in [("bare", ""), FOAM[3], ("mesh floor", "floor = \"mesh\"")] {
        let _ = write!(t, "| {name} |");
        for c in cold {
            let _ = write!(t, " {:.1} |", bench.one(every, c, 1.0)?.honey);
        }
        t.push('\n');
    }
    t.push_str("\n| at -15 degC, wind 1 m/s | honey | margin | air | floor | around | over | out | lid |\n|---|---|---|---|---|---|---|---|---|\n");
    let mut rows = vec![("bare", "")];
    rows.extend(FOAM);
    rows.extend([
        ("wrap of 1 mm bitumen felt", "wrap = \"1 mm bitumen-felt\""),
        ("mesh floor", "floor = \"mesh\""),
        ("upper hole of 25 mm", "upper_hole = \"25 mm\""),
        (
            "the same under 50 mm of foam",
            "upper_hole = \"25 mm\"\ntop = \"50 mm xps\"",
        ),
        ("entrance of 300 x 18 mm", "entrance = \"300 x 18 mm\""),
        ("entrance of 20 x 8 mm", "entrance = \"20 x 8 mm\""),
    ]);
    for (name, every) in rows {
        row(&mut t, name, &bench.one(every, -15.0, 1.0)?);
    }
    t.push_str("\n| at -15 degC, by where the cluster sits | honey | margin | air | floor | around | over | out | lid |\n|---|---|---|---|---|---|---|---|---|\n");
    for (place, boxes, honey) in [
        (
            "high, 20 lb left",
            "\"ten-frame deep\", \"ten-frame deep\"",
            20,
        ),
        ("one deep, 40 lb", "\"ten-frame deep\"", 40),
    ] {
        for (name, every) in [("bare", ""), FOAM[0], FOAM[1]] {
            let hive = format!(
                "[[hive]]\nboxes = [{boxes}]\ncolony = {{ bees = \"1.7 kg\", honey = \"{honey} lb\" }}\n"
            );
            for r in bench.colonies(&hive, every, -15.0, 1.0)? {
                row(&mut t, &format!("{place}: {name}"), &r);
            }
        }
    }
    t.push_str("\n| at -15 degC, bare, by wind | honey | margin | air | floor | around | over | out | lid |\n|---|---|---|---|---|---|---|---|---|\n");
    for wind in [0.0, 1.0, 5.0, 10.0, 20.0] {
        row(
            &mut t,
            &format!("{wind:.0} m/s"),
            &bench.one("", -15.0, wind)?,
        );
    }
    t.push_str(
        "\n| two hives at -15 degC, wind 1 m/s, apart or touching | honey | margin | air | floor | around | over | out | lid |\n|---|---|---|---|---|---|---|---|---|\n",
    );
    for [a, b] in [[2.0, 0.8], [1.9, 1.9]] {
        for (name, joint) in [("apart", "apart"), ("touching", "touching")] {
            let hive = |kg: f64| {
                format!(
                    "[[hive]]\nboxes = [\"ten-frame deep\", \"ten-frame deep\"]\ncolony = {{ bees = \"{kg} kg\", honey = \"80 lb\" }}\n"
                )
            };
            let both = bench.colonies(
                &format!("{}{}[[between]]\nstate = \"{joint}\"\n", hive(a), hive(b)),
                "",
                -15.0,
                1.0,
            )?;
            for (kg, r) in [a, b].iter().zip(&both) {
                row(&mut t, &format!("{kg} kg, {name}"), r);
            }
        }
    }
    let thick = "inner_cover = \"75 mm pine\"\ncover = { kind = \"flush\", layers = [\"75 mm pine\"] }\nfloor = { board = \"150 mm pine\" }";
    let walls = |honey: &str| {
        format!(
            "{{ inside_length = \"465 mm\", inside_width = \"375 mm\", depth = \"244 mm\", frames = 10, comb_length = \"428 mm\", comb_height = \
             \"205 mm\", full_frame = \"2.8 kg\", walls = \"150 mm pine\"{honey} }}"
        )
    };
    t.push_str("\n| walls, lid and floor of 150 mm pine, -21 degC, wind 1 m/s | honey | margin | air | floor | around | over | out | lid |\n|---|---|---|---|---|---|---|---|---|\n");
    for (name, below, above, honey) in [
        (
            "cluster low, upper box full",
            ", honey_frames = 0",
            ", honey_frames = 10",
            "",
        ),
        ("cluster high, 20 lb left", "", "", ", honey = \"20 lb\""),
    ] {
        let hive = format!(
            "[[hive]]\nboxes = [ {}, {} ]\ncolony = {{ bees = \"1.7 kg\"{honey} }}\n",
            walls(below),
            walls(above)
        );
        for r in bench.colonies(&hive, thick, -21.0, 1.0)? {
            row(&mut t, name, &r);
        }
    }
    climates(&mut t)?;
    Ok(t)
}

/// Hives that are held against each other in whole winters.
const LIDS: [(&str, &str); 5] = [
    ("hole, bare lid", "upper_hole = \"20 mm\"\ntop = false"),
    ("sealed, bare lid", "upper_hole = false\ntop = false"),
    (
        "hole, 50 mm of foam",
        "upper_hole = \"20 mm\"\ntop = \"50 mm xps\"",
    ),
    (
        "sealed, 50 mm of foam",
        "upper_hole = false\ntop = \"50 mm xps\"",
    ),
    (
        "mesh floor, bare lid",
        "upper_hole = false\ntop = false\nfloor = \"mesh\"",
    ),
];
/// Days after 1 October on which midwinter begins, 30 November, and ends, 28 February.
const MIDWINTER: [usize; 2] = [60, 150];
/// Winters of each record.
const WINTERS: usize = 9;

/// The same hive, bees and dates in three climates, with holes and lids: first winters of each record.
fn climates(t: &mut String) -> Result<(), Box<dyn Error>> {
    t.push_str(
        "\n| first 9 winters, 1 October to 19 May, 1.7 kg of bees | honey, kg | December to February | least margin | made, kg | out | run off, kg | most under the lid, g | days of drip |\n|---|---|---|---|---|---|---|---|---|\n",
    );
    for record_name in ["baskatong", "champion", "wageningen"] {
        let record = climate::built_in(record_name, &PartialStation::default())?;
        for (name, every) in LIDS {
            let text = format!(
                "title = \"Responses\"\n[site]\nclimate = \"{record_name}\"\n[season]\nfirst_dandelion = \"12 May\"\n[[hive]]\n\
                 boxes = [\"ten-frame deep\", \"ten-frame deep\"]\ncolony = {{ bees = \"1.7 kg\", honey = \"80 lb\" }}\n{every}\n"
            );
            let scenario = scenario::parse(&text, "responses", None)
                .map_err(|e| format!("{e:?}"))?
                .scenario;
            let hive = build(&scenario, Resolution::Coarse)?;
            let stand = PreparedHive::new(&scenario, hive, record.station.elevation)?;
            let (parameters, stop) = (Parameters::with(&[])?, AtomicBool::new(false));
            let mut all = Vec::new();
            let winters = record.winters(scenario.season.start, scenario.season.first_nectar)?;
            for winter in winters.iter().take(WINTERS) {
                let run = WinterRun {
                    scenario: &scenario,
                    stand: &stand,
                    winter,
                    parameters: &parameters,
                    stop: &stop,
                };
                all.extend(run.run(HeatModel::Reduced, None)?.colonies);
            }
            let mean = |f: &dyn Fn(&ColonyOutcome) -> f64| {
                all.iter().map(f).sum::<f64>() / all.len() as f64
            };
            let most = |f: &dyn Fn(&ColonyOutcome) -> f64| all.iter().map(f).fold(0.0, f64::max);
            let margins = all.iter().map(|c| c.weakest.heat_in_hand);
            let _ = writeln!(
                t,
                "| {record_name}: {name} | {:.1} | {:.1} | {:.0} | {:.1} | {:.0} | {:.1} | {:.0} | {:.0} |",
                mean(&|c| c.eaten),
                mean(&|c| c.eaten_by_day[MIDWINTER[1]] - c.eaten_by_day[MIDWINTER[0]]),
                margins.fold(f64::INFINITY, f64::min),
                mean(&|c| c.water.sums.made),
                100.0 * mean(&|c| c.water.sums.carried) / mean(&|c| c.water.sums.made),
                mean(&|c| c.water.sums.run_off),
                1e3 * most(&|c| c.water.sums.lid_most),
                mean(&|c| f64::from(c.water.sums.drip_days)),
            );
        }
    }
    Ok(())
}

fn row(t: &mut String, name: &str, r: &Response) {
    let [floor, around, over] = r.over.map(crate::tenths);
    let _ = writeln!(
        t,
        "| {name} | {:.1} | {:.1} | {:.2} | {floor:.1} | {around:.1} | {over:.1} | {:.0} | {:.0} |",
        r.honey, r.margin, r.air, r.out, r.lid
    );
}
