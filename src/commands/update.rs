//! `partywall update`: from weighings in winter to when the stores run out.

use super::{Failure, files, run};
use crate::cli::{Format, UpdateArgs};
use crate::colony::parameters::ParameterError;
use crate::decision::feeding::feed;
use crate::decision::reading::{COUNT_ERROR, POLLEN_ERROR, WET, lift_error, tare_error};
use crate::decision::update::{Forecast, Known, PLUS_MINUS, Range, Weighed, expected, forecast};
use crate::diagnostic::{Problem, Problems, Severity};
use crate::ensemble::members::{self, Member};
use crate::ensemble::winters::{Asked, Basis, choose};
use crate::hive;
use crate::report::update::{Compared, HiveUpdate, Note, SCHEMA, UpdateResult, text};
use crate::scenario::dates;
use crate::scenario::log::{self, Row, Weighing};
use crate::scenario::model::{Colony, Joint, Lift, MonthDay, Scenario};
use crate::season::Stand;
use indicatif::{ProgressBar, ProgressStyle};
use jiff::civil::Date;
use std::io::Write;
use std::path::{Path, PathBuf};

/// Seed of the draws: the same question gets the same answer.
const SEED: u64 = 20_261;
/// Days before the earliest day of running out by which to feed (a choice: two weeks, since bees must find it and a cold spell may
/// come between).
const AHEAD: i64 = 14;
/// Less than this is not fed for, kg (a choice).
const LEAST_FEED: f64 = 0.5;
/// Fewer runs than these say little (a choice).
const FEW: f64 = 15.0;

/// Weighs many winters by the readings and writes the answer to `out`; adds a weighing given here to the log.
///
/// # Errors
/// Input that cannot be used, a log that cannot be read or written, a failed run.
pub fn run(
    args: &UpdateArgs,
    out: &mut dyn Write,
    err: &mut dyn Write,
    colour: bool,
) -> Result<(), Failure> {
    super::threads(args.threads);
    let scenario = super::scenario_with(&args.scenario, args.climate.as_deref(), err, colour)?;
    let names: Vec<&str> = scenario
        .stacks
        .iter()
        .filter(|s| s.colony.is_some())
        .map(|s| s.name.as_str())
        .collect();
    if names.is_empty() {
        return Err(Failure::Input(
            "this scenario has no colony: there is nothing to weigh".into(),
        ));
    }
    let weighings = weighings(args, &names)?;
    let season = Season::of(&weighings.all, &scenario)?;
    heavier_than_empty(&season.within, &scenario)?;
    let record = run::record_of(&scenario, err, colour)?;
    let asked = Asked {
        count: None,
        made_up: args.made.made_up,
        detrend: args.made.detrend,
    };
    let chosen = choose(
        &record,
        scenario.season.start,
        scenario.season.first_nectar,
        asked,
    )?;
    let mut winters = chosen.winters;
    let colder = scenario.stress.colder;
    if colder != 0.0 {
        winters.iter_mut().for_each(|w| w.make_colder(colder));
    }
    let hive = hive::build(&scenario, run::resolution(args.grid)).map_err(Failure::input)?;
    let elevation = scenario.site.elevation.unwrap_or(record.station.elevation);
    let stand = Stand::new(&scenario, hive, elevation).map_err(Failure::fault)?;
    let parameter = |e: ParameterError| Failure::Input(e.to_string());
    let runs = match chosen.basis {
        Basis::Real => args.runs as usize,
        // Winters about a typical year come from cold to mild: each must be drawn as often as the others.
        Basis::Months | Basis::Typical => {
            (args.runs as usize).next_multiple_of(winters.len().max(1))
        }
    };
    let draws = members::draws(
        winters.len(),
        runs,
        SEED,
        &run::colony_overrides(&scenario)?,
    )
    .map_err(parameter)?;
    let bar = ProgressBar::new(draws.len() as u64);
    if let Ok(style) = ProgressStyle::with_template("{bar:30} {pos} of {len} runs, {eta} left") {
        bar.set_style(style);
    }
    let stop = run::stop_on_interrupt();
    let members = members::run(&scenario, &stand, &winters, &draws, &|| bar.inc(1), &stop);
    bar.finish_and_clear();
    let members = members?;
    let mut hives = Vec::new();
    let colonies = scenario.stacks.iter().enumerate();
    let colonies = colonies.filter_map(|(i, s)| Some((i, s, s.colony.as_ref()?)));
    for ((i, stack, colony), members) in colonies.zip(&members) {
        let mine: Vec<&Weighing> = season
            .within
            .iter()
            .filter(|w| w.hive == stack.name)
            .collect();
        if mine.is_empty() {
            continue;
        }
        hives.push(season.hive(&scenario, i, colony, members, &mine)?);
    }
    let result = UpdateResult {
        schema: SCHEMA,
        version: env!("CARGO_PKG_VERSION"),
        title: scenario.title.clone(),
        station: record.station.name.clone(),
        winters: winters.len(),
        basis: chosen.basis,
        weather_notes: if asked == Asked::default() {
            Vec::new()
        } else {
            chosen.notes
        },
        runs: draws.len(),
        start: season.start,
        first_nectar: season.nectar,
        hives,
        of_earlier_winters: weighings.all.len() - season.within.len(),
    };
    if let Some((path, text)) = &weighings.to_write {
        put_log(path, text)?;
    }
    match args.format {
        Format::Text => write!(out, "{}", text(&result, args.units))?,
        Format::Json => {
            serde_json::to_writer_pretty(&mut *out, &result).map_err(Failure::fault)?;
            writeln!(out)?;
        }
        Format::Csv => out.write_all(&as_csv(&result)?)?,
    }
    Ok(())
}

/// The weighings, and the log as it is to be after this.
struct Weighings {
    all: Vec<Weighing>,
    to_write: Option<(PathBuf, String)>,
}

/// Reads the log and the weighing on the command line.
fn weighings(args: &UpdateArgs, names: &[&str]) -> Result<Weighings, Failure> {
    let field = |v: &Option<String>| v.clone().unwrap_or_default();
    let row: Option<Row> = args.date.as_ref().map(|date| {
        [
            date.clone(),
            field(&args.hive),
            field(&args.front),
            field(&args.back),
            field(&args.whole),
            field(&args.one_side),
            field(&args.note),
        ]
    });
    let given = row
        .as_ref()
        .map(|r| log::one(r, "the command line", names))
        .transpose()?;
    let Some(path) = &args.log else {
        let Some(given) = given else {
            return Err(Failure::Input(
                "no weighing is given\ntry --hive NAME --date 2027-01-15 --front \"24.9 kg\" --back \"25.7 kg\", or --log FILE".into(),
            ));
        };
        return Ok(Weighings {
            all: vec![given],
            to_write: None,
        });
    };
    let shown = path.display().to_string();
    let text = match std::fs::read(path) {
        Ok(bytes) => String::from_utf8(bytes)
            .map_err(|_| Failure::Input(format!("{shown}: the file is not UTF-8 text")))?,
        // A first weighing begins the log.
        Err(e) if e.kind() == std::io::ErrorKind::NotFound && row.is_some() => String::new(),
        Err(e) => {
            return Err(Failure::Input(format!(
                "{shown}: the log cannot be read: {e}\ntry --date, --hive and a reading to begin it"
            )));
        }
    };
    let (text, to_write) = match (&row, &given) {
        (Some(row), Some(given)) => {
            let mut row = row.clone();
            row[1].clone_from(&given.hive);
            let text = log::with_row(&text, &row);
            // Found out before the long run.
            files::writable(folder_of(path))?;
            (text.clone(), Some((path.clone(), text)))
        }
        _ => (text, None),
    };
    let all = log::parse(&text, &shown, names)?;
    if all.is_empty() {
        return Err(Failure::Input(format!(
            "{shown}: the log holds no weighing"
        )));
    }
    Ok(Weighings { all, to_write })
}

fn folder_of(path: &Path) -> &Path {
    path.parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."))
}

/// Writes the log whole or not at all; where it is a link, to what it leads to.
fn put_log(path: &Path, text: &str) -> Result<(), Failure> {
    let path = std::fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    let name = path.file_name().map(|n| n.to_string_lossy().into_owned());
    let Some(name) = name else {
        return Err(Failure::Input(format!(
            "{}: this is no file",
            path.display()
        )));
    };
    files::put(folder_of(&path), &name, text.as_bytes())
}

/// Refuses readings below the empty hive's own weight, its error allowed for: stores cannot be less than nothing.
fn heavier_than_empty(all: &[Weighing], s: &Scenario) -> Result<(), Failure> {
    let problems: Vec<Problem> = all
        .iter()
        .filter_map(|w| {
            let stack = s.stacks.iter().find(|k| k.name == w.hive)?;
            let scale = &stack.colony.as_ref()?.scale;
            let error = tare_error(scale.tare_source);
            (w.gross < scale.tare - error).then(|| Problem {
                severity: Severity::Error,
                file: "weighings".into(),
                place: None,
                what: format!(
                    "{} on {}: {:.1} kg is less than the empty hive weighs, {:.1} kg",
                    w.hive, w.date, w.gross, scale.tare
                ),
                expected: Some(
                    "the weight of the hive with bees and stores, front and back added".into(),
                ),
                help: Some(
                    "look at the reading, at how it was lifted, and at the tare in the scenario"
                        .into(),
                ),
            })
        })
        .collect();
    if problems.is_empty() {
        Ok(())
    } else {
        Err(Failure::Problems(Problems(problems)))
    }
}

/// The winter the weighings belong to.
struct Season {
    start: Date,
    nectar: Date,
    within: Vec<Weighing>,
}

impl Season {
    /// The winter of the latest weighing, which must lie between the scenario's start and first nectar.
    fn of(all: &[Weighing], s: &Scenario) -> Result<Self, Failure> {
        let latest = all.iter().map(|w| w.date).max();
        let Some(latest) = latest else {
            return Err(Failure::Input("no weighing is given".into()));
        };
        let start = before(latest, s.season.start);
        let length = dates::days_between(s.season.start, s.season.first_nectar);
        let nectar = start.and_then(|d| {
            let nectar = in_year(d.year(), s.season.first_nectar)?;
            if nectar > d {
                Some(nectar)
            } else {
                in_year(d.year().checked_add(1)?, s.season.first_nectar)
            }
        });
        match start.zip(nectar) {
            Some((start, nectar)) if latest < nectar => Ok(Self {
                start,
                nectar,
                within: {
                    let mut within: Vec<Weighing> =
                        all.iter().filter(|w| w.date >= start).cloned().collect();
                    within.sort_by_key(|w| w.date);
                    within
                },
            }),
            _ => Err(Failure::Problems(Problems(vec![Problem {
                severity: Severity::Error,
                file: "weighings".into(),
                place: None,
                what: format!("{latest} is not within the season of {length} days"),
                expected: Some(format!(
                    "a day from {} to the day before {}",
                    dates::words(s.season.start),
                    dates::words(s.season.first_nectar)
                )),
                help: Some("the season runs from its start (the weighing in autumn) to first nectar, under [season]".into()),
            }]))),
        }
    }

    fn day(&self, date: Date) -> usize {
        self.start
            .until(date)
            .ok()
            .and_then(|s| usize::try_from(s.get_days()).ok())
            .unwrap_or(0)
    }

    fn date(&self, day: usize, days: usize) -> Option<Date> {
        if day >= days {
            return None;
        }
        let span = jiff::Span::new().days(i64::try_from(day).ok()?);
        self.start
            .checked_add(span)
            .ok()
            .filter(|d| *d < self.nectar)
    }

    fn hive(
        &self,
        scenario: &Scenario,
        stack: usize,
        colony: &Colony,
        members: &[Member],
        mine: &[&Weighing],
    ) -> Result<HiveUpdate, Failure> {
        let (known, autumn) = known(scenario, colony);
        let autumn: Vec<Weighed> = autumn
            .into_iter()
            // The keeper's own weighing of that day is the same one.
            .filter(|_| mine.iter().all(|w| w.date != self.start))
            .collect();
        let before = forecast(members, &known, &autumn)
            .ok_or_else(|| Failure::Fault("no winter could be run for this hive".into()))?;
        let mut weighed = autumn.clone();
        let mut weighings = Vec::new();
        let mut notes = Vec::new();
        for w in mine {
            let day = self.day(w.date);
            let sd = reading_sd(w, colony.stores);
            let expected = expected(members, &known, day);
            if let Some(e) = expected {
                let by =
                    (w.gross - e.high - 2.0 * sd).max(0.0) + (w.gross - e.low + 2.0 * sd).min(0.0);
                if by != 0.0 {
                    notes.push(Note::FarOff { date: w.date, by });
                }
            }
            weighed.push(Weighed {
                day,
                gross: w.gross,
                sd,
            });
            weighings.push(Compared {
                weighing: (*w).clone(),
                expected,
                error: PLUS_MINUS * sd,
            });
        }
        for pair in mine.windows(2) {
            let by = pair[1].gross - pair[0].gross;
            if by > 0.5 {
                notes.push(Note::Gained {
                    date: pair[1].date,
                    by,
                });
            }
        }
        let after = forecast(members, &known, &weighed);
        self.notes(scenario, stack, mine, after.as_ref(), &mut notes);
        let missing = after.as_ref().map_or(0.0, |f| f.missing);
        let feed = (missing >= LEAST_FEED).then(|| feed(missing));
        let last = mine.last().map_or(self.start, |w| w.date);
        let feed_by = after.as_ref().filter(|_| feed.is_some()).map(|f| {
            let out = self.date(f.out.low, f.days).unwrap_or(self.nectar);
            let by = out
                .checked_sub(jiff::Span::new().days(AHEAD))
                .unwrap_or(out);
            by.max(last)
        });
        let as_dates = |f: &Forecast| Range {
            low: self.date(f.out.low, f.days),
            middle: self.date(f.out.middle, f.days),
            high: self.date(f.out.high, f.days),
        };
        Ok(HiveUpdate {
            hive: mine.first().map_or_else(String::new, |w| w.hive.clone()),
            weighings,
            before: as_dates(&before),
            after: after.as_ref().map(as_dates),
            forecast: after,
            feed,
            feed_by,
            notes,
        })
    }

    fn notes(
        &self,
        scenario: &Scenario,
        stack: usize,
        mine: &[&Weighing],
        after: Option<&Forecast>,
        notes: &mut Vec<Note>,
    ) {
        if mine.iter().any(|w| w.lift == Lift::OneSide) {
            let joint = |i: Option<usize>| i.and_then(|i| scenario.joints.get(i));
            let butted = [joint(stack.checked_sub(1)), joint(Some(stack))]
                .into_iter()
                .flatten()
                .any(|j| matches!(j, Joint::Butted { .. }));
            notes.push(Note::OneSide { butted });
        }
        if mine.iter().any(|w| cold_month(w.date)) {
            notes.push(Note::WetOrIcy);
        }
        match after {
            None => notes.insert(0, Note::NothingFits),
            Some(f) => {
                if f.effective < FEW {
                    notes.push(Note::FewFit { runs: f.effective });
                }
                if f.tare_off.abs() >= 1.0 {
                    notes.push(Note::Tare { by: f.tare_off });
                }
                if f.starves_beside >= 0.1 {
                    notes.push(Note::Reach {
                        share: f.starves_beside,
                    });
                }
            }
        }
    }
}

fn in_year(year: i16, d: MonthDay) -> Option<Date> {
    Date::new(year, d.month as i8, d.day as i8).ok()
}

/// The last such day of the year not after `date`.
fn before(date: Date, d: MonthDay) -> Option<Date> {
    let this = in_year(date.year(), d)?;
    if this <= date {
        Some(this)
    } else {
        in_year(date.year().checked_sub(1)?, d)
    }
}

/// Months in which wood is wet, lids ice over and frost lies inside.
fn cold_month(date: Date) -> bool {
    matches!(date.month(), 11 | 12 | 1..=4)
}

/// Standard deviation of one weighing, kg.
fn reading_sd(w: &Weighing, stores: f64) -> f64 {
    let (scale, side) = lift_error(w.lift, stores);
    let wet = if cold_month(w.date) { WET } else { 0.0 };
    scale.hypot(side).hypot(wet) / PLUS_MINUS
}

/// What is known in autumn, and the weighing then if there was one. Stores worked out from that weighing alone are left open, so
/// that it counts once.
fn known(scenario: &Scenario, colony: &Colony) -> (Known, Option<Weighed>) {
    let scale = &colony.scale;
    let autumn = scale.gross.map(|gross| {
        let (reading, side) = lift_error(scale.lift, colony.stores);
        Weighed {
            day: 0,
            gross,
            sd: reading.hypot(side) / PLUS_MINUS,
        }
    });
    let by_scale = scale.gross.is_some_and(|g| {
        let left = g - scale.tare - colony.bees - colony.pollen;
        (left - colony.stores).abs() < 1e-6
    });
    let stores_sd = if by_scale {
        // As good as nothing beside a scale.
        10.0 * tare_error(scale.tare_source).max(1.0)
    } else {
        (COUNT_ERROR * colony.stores).max(0.5) / PLUS_MINUS
    };
    let known = Known {
        tare: scale.tare + colony.pollen,
        stores: colony.stores,
        tare_sd: tare_error(scale.tare_source).hypot(POLLEN_ERROR) / PLUS_MINUS,
        stores_sd,
        reserve: scenario.reserve,
        level: scenario.level,
    };
    (known, autumn)
}

fn as_csv(r: &UpdateResult) -> Result<Vec<u8>, Failure> {
    let rows: Vec<serde_json::Value> = r
        .hives
        .iter()
        .map(|h| {
            let f = h.forecast.as_ref();
            let number = |get: fn(&Forecast) -> f64| f.map(|f| (get(f) * 1000.0).round() / 1000.0);
            let after = h.after.unwrap_or(Range { low: None, middle: None, high: None });
            serde_json::json!({
                "hive": h.hive,
                "weighed": h.weighings.last().map(|w| w.weighing.date.to_string()),
                "gross_kg": h.weighings.last().map(|w| w.weighing.gross),
                "out_before_low": h.before.low, "out_before_middle": h.before.middle, "out_before_high": h.before.high,
                "out_low": after.low, "out_middle": after.middle, "out_high": after.high,
                "stores_low_kg": number(|f| f.stores_now.low),
                "stores_middle_kg": number(|f| f.stores_now.middle),
                "stores_high_kg": number(|f| f.stores_now.high),
                "missing_kg": number(|f| f.missing),
                "runs_out_share": number(|f| f.runs_out),
                "sugar_kg": h.feed.map(|f| (f.sugar * 10.0).round() / 10.0),
                "feed_by": h.feed_by,
            })
        })
        .collect();
    let columns = [
        "hive",
        "weighed",
        "gross_kg",
        "out_before_low",
        "out_before_middle",
        "out_before_high",
        "out_low",
        "out_middle",
        "out_high",
        "stores_low_kg",
        "stores_middle_kg",
        "stores_high_kg",
        "missing_kg",
        "runs_out_share",
        "sugar_kg",
        "feed_by",
    ];
    crate::report::csv::table(&columns, &rows).map_err(Failure::fault)
}
