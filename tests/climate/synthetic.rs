//! Winters chained from months must be like the winters they come from, in what a colony lives through: statistics over 2,000
//! of them, from the two shipped records with more than twenty winters and daily extremes.

use partywall::climate::series::Winter;
use partywall::climate::sums::Sums;
use partywall::climate::synthetic::{self, Months, Piece, SyntheticError, WINDOW};
use partywall::climate::trend;
use partywall::ensemble::levels::level;
use partywall::files::weather;

use crate::{CHICAGO_EPW, MARCH, OCTOBER, built_in, file};

/// Winters drawn.
const DRAWN: usize = 2000;

fn mean(v: &[f64]) -> f64 {
    v.iter().sum::<f64>() / v.len() as f64
}

fn sd(v: &[f64]) -> f64 {
    let m = mean(v);
    (v.iter().map(|x| (x - m).powi(2)).sum::<f64>() / (v.len() as f64 - 1.0)).sqrt()
}

/// What is looked at: of each winter its day means and the degree days of each day, without 29 February.
struct Statistics {
    day_means: Vec<Vec<f64>>,
    degree_days: Vec<f64>,
    bounds: Vec<(usize, usize)>,
    /// First days of pieces of another winter than the day before, winter by winter.
    joins: Vec<Vec<usize>>,
}

/// One winter's days for each month, all from the winters named.
fn by_months(months: &Months, from: &[usize]) -> Vec<Piece> {
    let pieces = from.iter().zip(months.bounds());
    pieces
        .map(|(&winter, &(a, b))| Piece { winter, days: a..b })
        .collect()
}

impl Statistics {
    /// Of real winters, or of winters put together from them by recipe: only days are looked up, so that thousands are cheap.
    fn of(winters: &[Winter], months: &Months, recipes: &[Vec<Piece>]) -> Self {
        let temps = |i: usize, t: usize| {
            let day = months.day_of(i, t);
            winters[i].hours[24 * day..24 * day + 24]
                .iter()
                .map(|h| h.outdoor_c)
        };
        let bounds = months.bounds().to_vec();
        let (mut day_means, mut degree_days) = (Vec::new(), Vec::new());
        let mut joins = Vec::new();
        for recipe in recipes {
            let days = || {
                recipe
                    .iter()
                    .flat_map(|p| p.days.clone().map(move |t| (p.winter, t)))
            };
            let changes = recipe.windows(2).filter(|p| p[0].winter != p[1].winter);
            joins.push(changes.map(|p| p[1].days.start).collect());
            day_means.push(
                days()
                    .map(|(i, t)| temps(i, t).sum::<f64>() / 24.0)
                    .collect(),
            );
            let below = |(i, t)| temps(i, t).map(|x| (10.0 - x).max(0.0)).sum::<f64>() / 24.0;
            degree_days.push(days().map(below).sum());
        }
        Self {
            day_means,
            degree_days,
            bounds,
            joins,
        }
    }

    /// Mean of each month in each winter, by month.
    fn month_means(&self) -> Vec<Vec<f64>> {
        let of = |&(a, b): &(usize, usize)| self.day_means.iter().map(|w| mean(&w[a..b])).collect();
        self.bounds.iter().map(of).collect()
    }

    /// Lag-1 correlation of day means about their usual course, over the days whose winter and number within the season pass.
    fn memory(&self, usual: &[f64], takes: impl Fn(usize, usize) -> bool) -> f64 {
        let (mut ab, mut aa, mut bb) = (0.0, 0.0, 0.0);
        for (i, w) in self.day_means.iter().enumerate() {
            for t in (1..w.len()).filter(|t| takes(i, *t)) {
                let (a, b) = (w[t - 1] - usual[t - 1], w[t] - usual[t]);
                (ab, aa, bb) = (ab + a * b, aa + a * a, bb + b * b);
            }
        }
        ab / (aa * bb).sqrt()
    }

    /// The coldest `n` days in a row of each winter.
    fn coldest(&self, n: usize) -> Vec<f64> {
        let of = |w: &Vec<f64>| w.windows(n).map(mean).fold(f64::INFINITY, f64::min);
        self.day_means.iter().map(of).collect()
    }

    /// The longest run of days with a mean below `limit` degC of each winter.
    fn longest_below(&self, limit: f64) -> Vec<f64> {
        let of = |w: &Vec<f64>| w.split(|t| *t >= limit).map(<[f64]>::len).max();
        let days = self.day_means.iter().map(of);
        days.map(|n| n.unwrap_or(0) as f64).collect()
    }

    /// Memory across the joins of winters.
    fn across_joins(&self, usual: &[f64]) -> f64 {
        self.memory(usual, |i, t| self.joins[i].contains(&t))
    }

    /// Memory across the months' ends, joined there or not.
    fn across_months(&self, usual: &[f64]) -> f64 {
        self.memory(usual, |_, t| self.bounds.iter().any(|b| b.0 == t))
    }
}

/// Catches seams that cut the winter's memory: a spread of winter sums that shrinks (months drawn independently keep 0.72 to 0.91 of
/// it), a level that promises too much, cold spells that are lost, months or days unlike real ones. The bounds are those of the study
/// the method comes from.
#[test]
fn two_thousand_winters_are_like_the_real_ones() {
    for name in ["champion", "wageningen"] {
        for without_drift in [false, true] {
            let mut winters = built_in(name).winters(OCTOBER, MARCH).unwrap();
            if without_drift {
                trend::remove(&mut winters).unwrap();
            }
            let n = winters.len();
            let months = Months::of(&winters).unwrap();
            let as_they_were: Vec<_> = (0..n)
                .map(|i| by_months(&months, &vec![i; months.bounds().len()]))
                .collect();
            let real = Statistics::of(&winters, &months, &as_they_were);
            let made = Statistics::of(&winters, &months, &months.recipes(DRAWN));
            let what = format!("{name}, drift taken out: {without_drift}");

            let ratio = mean(&made.degree_days) / mean(&real.degree_days);
            assert!(
                (ratio - 1.0).abs() < 0.01,
                "{what}: mean of winter sums {ratio}"
            );
            let ratio = sd(&made.degree_days) / sd(&real.degree_days);
            assert!(
                (0.9..1.1).contains(&ratio),
                "{what}: spread of winter sums {ratio}"
            );
            println!("{what}: spread of winter sums {ratio:.3}");
            for (m, (a, b)) in made
                .month_means()
                .iter()
                .zip(&real.month_means())
                .enumerate()
            {
                let ratio = sd(a) / sd(b);
                assert!(
                    (0.85..1.15).contains(&ratio),
                    "{what}: spread of month {m} {ratio}"
                );
            }
            let usual: Vec<f64> = (0..real.day_means[0].len())
                .map(|t| mean(&real.day_means.iter().map(|w| w[t]).collect::<Vec<_>>()))
                .collect();
            let difference = made.memory(&usual, |_, _| true) - real.memory(&usual, |_, _| true);
            assert!(difference.abs() < 0.02, "{what}: memory {difference}");
            println!(
                "{what}: memory from day to day {:.3} made, {:.3} real; across months' ends {:.3} and {:.3}; across the joins {:.3}",
                made.memory(&usual, |_, _| true),
                real.memory(&usual, |_, _| true),
                made.across_months(&usual),
                real.across_months(&usual),
                made.across_joins(&usual),
            );
            let difference = made.across_months(&usual) - real.across_months(&usual);
            assert!(
                difference.abs() < 0.05,
                "{what}: across months {difference}"
            );
            // Where weather is joined it remembers nearly as much as it does elsewhere.
            let lost = real.memory(&usual, |_, _| true) - made.across_joins(&usual);
            assert!(lost < 0.1, "{what}: lost across the joins {lost}");
            let promised = level(&made.degree_days, 0.9).unwrap().value;
            let held =
                real.degree_days.iter().filter(|d| **d <= promised).count() as f64 / n as f64;
            assert!(
                (0.84..=0.96).contains(&held),
                "{what}: nine in ten held in {held}"
            );
            let spell = mean(&made.coldest(30)) - mean(&real.coldest(30));
            assert!(spell.abs() < 0.5, "{what}: coldest month {spell}");
            let spell = mean(&made.coldest(10)) - mean(&real.coldest(10));
            assert!(spell.abs() < 0.5, "{what}: coldest ten days {spell}");
            println!(
                "{what}: coldest ten days {spell:+.2} K against real, nine in ten held in {held:.2}"
            );
            let tenths = |v: &[f64]| [0.1, 0.5, 0.9].map(|p| level(v, p).unwrap().value);
            println!(
                "{what}: coldest ten days by tenths 1, 5, 9: {:.1?} made, {:.1?} real",
                tenths(&made.coldest(10)),
                tenths(&real.coldest(10))
            );
            for limit in [0.0, -5.0] {
                let (a, b) = (made.longest_below(limit), real.longest_below(limit));
                println!(
                    "{what}: longest below {limit} C {:.1} days made, {:.1} real; {:.1?} and {:.1?}",
                    mean(&a),
                    mean(&b),
                    tenths(&a),
                    tenths(&b)
                );
                // Chance over 22 or 36 real winters: the standard error of their mean is a day to a day and a half.
                let error = sd(&b) / (n as f64).sqrt();
                assert!(
                    (mean(&a) - mean(&b)).abs() < error,
                    "{what}: longest below {limit}: {} made, {} real, {error}",
                    mean(&a),
                    mean(&b)
                );
            }
        }
    }
}

/// Catches a check above that passes whatever is drawn: months drawn independently of one another must fail it.
#[test]
fn months_drawn_independently_would_be_found_out() {
    let winters = built_in("wageningen").winters(OCTOBER, MARCH).unwrap();
    let months = Months::of(&winters).unwrap();
    let n = winters.len();
    let real: Vec<_> = (0..n)
        .map(|i| by_months(&months, &vec![i; months.bounds().len()]))
        .collect();
    // Every month from another winter, in all shifts: no winter's beginning decides how it goes on.
    let apart: Vec<Vec<Piece>> = (0..n * n)
        .map(|k| {
            let from: Vec<usize> = (0..months.bounds().len())
                .map(|m| (k % n + m * (1 + k / n)) % n)
                .collect();
            by_months(&months, &from)
        })
        .collect();
    let of = |recipes: &[Vec<Piece>]| sd(&Statistics::of(&winters, &months, recipes).degree_days);
    let ratio = of(&apart) / of(&real);
    assert!(ratio < 0.9, "{ratio}");
}

/// Catches a check of the joins that passes wherever they lie: the same winters joined at the months' ends must fail it. Also joins out of
/// their window, pieces that leave days out, and joins that lie where they would have without looking.
#[test]
fn joins_at_the_months_ends_would_be_found_out() {
    for name in ["champion", "wageningen"] {
        let winters = built_in(name).winters(OCTOBER, MARCH).unwrap();
        let months = Months::of(&winters).unwrap();
        let recipes = months.recipes(500);
        let stiff: Vec<Vec<Piece>> = recipes
            .iter()
            .map(|r| by_months(&months, &r.iter().map(|p| p.winter).collect::<Vec<_>>()))
            .collect();
        let n = winters.len();
        let real: Vec<_> = (0..n)
            .map(|i| by_months(&months, &vec![i; months.bounds().len()]))
            .collect();
        let real = Statistics::of(&winters, &months, &real);
        let usual: Vec<f64> = (0..real.day_means[0].len())
            .map(|t| mean(&real.day_means.iter().map(|w| w[t]).collect::<Vec<_>>()))
            .collect();
        let stiff = Statistics::of(&winters, &months, &stiff);
        assert!(real.memory(&usual, |_, _| true) - stiff.across_joins(&usual) > 0.5);
        assert!(real.across_months(&usual) - stiff.across_months(&usual) > 0.5);
        println!(
            "{name}: joined at months' ends: across months' ends {:.3}, across joins {:.3}; longest below 0 C {:.1} days; coldest ten days {:+.2} K",
            stiff.across_months(&usual),
            stiff.across_joins(&usual),
            mean(&stiff.longest_below(0.0)),
            mean(&stiff.coldest(10)) - mean(&real.coldest(10))
        );
        let mut moved = 0;
        for recipe in &recipes {
            assert_eq!((recipe[0].days.start, recipe[5].days.end), (0, 182));
            for (p, bound) in recipe.windows(2).zip(months.bounds()) {
                assert_eq!(p[0].days.end, p[1].days.start);
                let by = p[1].days.start.abs_diff(bound.1);
                assert!(by <= WINDOW, "{by}");
                moved += usize::from(by > 0);
            }
        }
        assert!(moved > 1500, "{moved} of 2500");
    }
}

/// Catches hours lost or shifted at the seams, winters that differ from run to run, and a leap day left in.
#[test]
fn chained_winters_are_whole_and_repeat() {
    let winters = built_in("champion").winters(OCTOBER, MARCH).unwrap();
    let made = synthetic::from_months(&winters, 7).unwrap();
    assert_eq!(made, synthetic::from_months(&winters, 7).unwrap());
    let more = synthetic::from_months(&winters, 30).unwrap();
    assert_eq!(made[..], more[..7]);
    for (w, from) in made.iter().zip(Months::of(&winters).unwrap().recipes(7)) {
        assert_eq!(
            (w.hours.len(), w.start.to_string().as_str()),
            (182 * 24, "2001-10-01")
        );
        // 15 October noon, from the winter the recipe names; 31 March too, in leap years one day further on.
        let (first, last) = (from[0].winter, from[5].winter);
        assert_eq!(w.hours[24 * 14 + 12], winters[first].hours[24 * 14 + 12]);
        assert_eq!(w.hours.last(), winters[last].hours.last());
    }
    let names: std::collections::HashSet<_> = more.iter().map(|w| &w.label).collect();
    assert_eq!(names.len(), 30);
}

/// Catches too few winters chained, and numbers that fill memory or give no level.
#[test]
fn too_few_winters_are_not_chained() {
    let winters = built_in("champion").winters(OCTOBER, MARCH).unwrap();
    assert_eq!(
        synthetic::from_months(&winters[..14], 20).unwrap_err(),
        SyntheticError::TooFewReal { real: 14 }
    );
    assert!(synthetic::from_months(&winters[..15], 20).is_ok());
    for n in [0, 4, 501] {
        assert_eq!(
            synthetic::from_months(&winters, n).unwrap_err(),
            SyntheticError::Number { asked: n }
        );
        assert_eq!(
            synthetic::about_typical(&winters[0], 1.0, n).unwrap_err(),
            SyntheticError::Number { asked: n }
        );
    }
}

/// Catches a spread about a typical year that is not the one asked for: by rank, the level must be the normal one, and the middle
/// winter the year itself.
#[test]
fn a_typical_year_is_spread_as_stated() {
    let year = weather::load(&file(CHICAGO_EPW))
        .unwrap()
        .winters(OCTOBER, MARCH)
        .unwrap();
    let made = synthetic::about_typical(&year[0], 1.2, 19).unwrap();
    let usual = trend::mean_c(&year[0]);
    let colder: Vec<f64> = made.iter().map(|w| usual - trend::mean_c(w)).collect();
    // The normal quantile at 0.9 is 1.2816.
    assert!((level(&colder, 0.9).unwrap().value - 1.2 * 1.2816).abs() < 1e-3);
    assert!(level(&colder, 0.5).unwrap().value.abs() < 1e-9);
    assert!(
        made[0].label.ends_with("2.0 C colder") && made[9].label.ends_with("as it is"),
        "{}",
        made[0].label
    );
    assert!(Sums::of(&made[0]).unwrap().hdd10 > Sums::of(&year[0]).unwrap().hdd10 + 200.0);
}

/// Catches an assumed spread that real records contradict: the shipped ones with more than twenty winters must lie within its range.
#[test]
fn the_assumed_spread_is_that_of_real_records() {
    let spread = partywall::climate::defaults::Defaults::embedded()
        .unwrap()
        .typical_year_spread;
    for name in ["champion", "wageningen", "baskatong"] {
        let winters = built_in(name).winters(OCTOBER, MARCH).unwrap();
        let means: Vec<f64> = winters.iter().map(trend::mean_c).collect();
        println!("{name}: {:.2} K", sd(&means));
        assert!(
            (spread.low..=spread.high).contains(&sd(&means)),
            "{name}: {}",
            sd(&means)
        );
    }
}
