//! Winters made up: chained from months of real ones, or spread about a typical year.
//!
//! **Chained months.** Winters i = 1..N, months m = 1..M, anomalies `a_i(t)` of the day means from the mean over all winters of
//! that calendar day, `S_i(m)` their mean over all days up to [`WINDOW`] days before the end of month m. The first month is that of
//! a winter drawn evenly. Each next month, with all its fields, comes from a winter whose `S_i(m - 1)` is near to that of what has been
//! put together so far: its rank among all `S_i(m - 1)`, moved by an even draw from `-K/2` to `K/2`, `K = max(3, round(sqrt N))`, and
//! thrown back at both ends. So a winter that began cold goes on as real winters that began as cold did, and the spread of winter sums
//! survives (measured: 0.90 to 1.01 of the real one, where months drawn independently keep 0.72 to 0.91). A nearest-neighbour
//! resampling after Rajagopalan & Lall 1999, Water Resources Research 35:3089, with months for days and the winter so far for
//! yesterday (own method). Neighbours are taken by rank and not by distance, because by distance the extreme winters are
//! drawn too rarely, and the mean of degree days strayed by 2 in 100 at Wageningen.
//!
//! **Joins.** One winter does not give way to the next at the month's end but on that day within [`WINDOW`] of it at which the two come
//! nearest to each other: of which `|a_old - a_new|`, summed over the day before the join and the day after it, is least. Two courses of
//! weather cross somewhere in three weeks, so that the day's memory runs on across the join and a spell of cold is left to one
//! winter or the other instead of being cut (own method; figures in `tests/climate/synthetic.rs`). The sums leave those days out:
//! counted in, what the last days say of the next ones is handed on twice, and the spread of winter sums grew to 1.09.
//!
//! It adds smoothness, not knowledge: what N real winters do not tell of the worst, winters made of their months do not either.

use std::ops::Range;

use jiff::civil::Date;
use statrs::distribution::{ContinuousCDF, Normal};
use thiserror::Error;

use crate::climate::formats::typical::NOMINAL_YEAR;
use crate::climate::series::Winter;
use crate::random::Random;

/// Fewest real winters months are drawn from: with 8 the spread of winter sums shrinks to 0.86 of the real one, with 12 to
/// 0.91, with 20 to 0.93 (own measurement).
pub const FEWEST: usize = 15;
/// Fewest winters made up: fewer give no level.
pub const FEWEST_MADE: usize = 5;
/// Most winters made up: half a megabyte each.
pub const MOST_MADE: usize = 500;
/// Days before and after a month's end among which the join is looked for: with 5 the memory across joins is a tenth less (own
/// measurement).
pub const WINDOW: usize = 10;
/// Neighbours drawn from, at least.
const LEAST_NEIGHBOURS: f64 = 3.0;
/// Where the drawing begins; the same winters come out of the same record every time.
const SEED: u64 = 0x0077_696e_7465_7273;

/// Why no winter can be made up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum SyntheticError {
    /// Too few real ones.
    #[error(
        "winters can be made up from months of at least {FEWEST} real ones, but the record has {real}: run those as they are"
    )]
    TooFewReal {
        /// Whole winters of the record.
        real: usize,
    },
    /// A number out of bounds.
    #[error(
        "{asked} winters cannot be made up: from {FEWEST_MADE}, the fewest that give a level, to {MOST_MADE}"
    )]
    Number {
        /// As asked.
        asked: usize,
    },
}

/// The months of real winters, ready to be chained.
#[derive(Debug, Clone)]
pub struct Months {
    /// First day and day after the last of each month, counted in days of the season without a 29 February.
    bounds: Vec<(usize, usize)>,
    /// For each winter, which of its own days stands for each day of the season.
    days: Vec<Vec<usize>>,
    /// Anomaly of each day of each winter, K.
    anomalies: Vec<Vec<f64>>,
}

/// Part of a synthetic winter: days of one real winter, counted in days of the season without a 29 February.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Piece {
    /// Which of the winters given to [`Months::of`].
    pub winter: usize,
    /// Its days.
    pub days: Range<usize>,
}

impl Months {
    /// Looks at real winters of one season.
    ///
    /// # Errors
    /// Below [`FEWEST`] winters.
    pub fn of(winters: &[Winter]) -> Result<Self, SyntheticError> {
        let too_few = SyntheticError::TooFewReal {
            real: winters.len(),
        };
        let Some(first) = winters.first().filter(|_| winters.len() >= FEWEST) else {
            return Err(too_few);
        };
        let days: Vec<Vec<usize>> = winters.iter().map(without_leap_day).collect();
        let n = days.iter().map(Vec::len).min().unwrap_or(0);
        if n == 0 {
            return Err(too_few);
        }
        let day_means: Vec<Vec<f64>> = winters
            .iter()
            .zip(&days)
            .map(|(w, days)| days.iter().take(n).map(|d| day_mean(w, *d)).collect())
            .collect();
        let usual: Vec<f64> = (0..n)
            .map(|t| day_means.iter().map(|w| w[t]).sum::<f64>() / winters.len() as f64)
            .collect();
        let mut bounds: Vec<(usize, usize)> = Vec::new();
        let mut month = 0;
        for (t, day) in days[0].iter().take(n).enumerate() {
            let here = date(first.start, *day).map_or(month, Date::month);
            match bounds.last_mut() {
                Some(b) if here == month => b.1 = t + 1,
                _ => bounds.push((t, t + 1)),
            }
            month = here;
        }
        let anomalies = day_means
            .iter()
            .map(|w| w.iter().zip(&usual).map(|(t, u)| t - u).collect())
            .collect();
        Ok(Self {
            bounds,
            days,
            anomalies,
        })
    }

    /// Draws a winter: pieces of real ones, one for each month.
    fn draw(&self, random: &mut Random) -> Vec<Piece> {
        let n = self.anomalies.len();
        let neighbours = (n as f64).sqrt().round().max(LEAST_NEIGHBOURS);
        let season = self.anomalies.first().map_or(0, Vec::len);
        let mut pieces: Vec<Piece> = Vec::new();
        let mut now = Piece {
            winter: random.below(n),
            days: 0..season,
        };
        for &(_, end) in self.bounds.iter().rev().skip(1).rev() {
            // Sums up to where the join may lie: of every real winter, and of this one.
            let known = end - WINDOW.min(end / 2);
            let sum = |w: usize, days: Range<usize>| self.anomalies[w][days].iter().sum::<f64>();
            let real: Vec<f64> = (0..n).map(|w| sum(w, 0..known)).collect();
            let mine = pieces
                .iter()
                .map(|p| sum(p.winter, p.days.clone()))
                .sum::<f64>()
                + sum(now.winter, now.days.start.min(known)..known);
            let mut order: Vec<usize> = (0..n).collect();
            order.sort_by(|&a, &b| real[a].total_cmp(&real[b]).then(a.cmp(&b)));
            let moved = rank(&order, &real, mine) + neighbours * (random.unit() - 0.5);
            // Thrown back at both ends, so that no winter is drawn more often than another in the long run.
            let n = n as f64;
            let kept = if moved < 0.0 {
                -moved
            } else if moved >= n {
                2.0 * n - moved
            } else {
                moved
            };
            let place = (kept as usize).min(order.len() - 1);
            let next = order[place];
            let at = self.join(now.winter, next, end, now.days.start);
            pieces.push(Piece {
                winter: now.winter,
                days: now.days.start..at,
            });
            now = Piece {
                winter: next,
                days: at..season,
            };
        }
        pieces.push(now);
        pieces
    }

    /// The day on which winter `new` takes over from `old`: within [`WINDOW`] of `end`, later than `after`, and so that a day is left.
    fn join(&self, old: usize, new: usize, end: usize, after: usize) -> usize {
        let (a, b) = (&self.anomalies[old], &self.anomalies[new]);
        let apart = |t: usize| (a[t - 1] - b[t - 1]).abs() + (a[t] - b[t]).abs();
        let first = end.saturating_sub(WINDOW).max(after + 1);
        let last = (end + WINDOW).min(a.len().saturating_sub(1));
        if old == new || first > last {
            return end.max(after);
        }
        (first..=last)
            .min_by(|s, t| {
                let far = |t: &usize| t.abs_diff(end);
                apart(*s).total_cmp(&apart(*t)).then(far(s).cmp(&far(t)))
            })
            .unwrap_or(end)
    }

    /// The pieces of `count` synthetic winters; the same every time.
    #[must_use]
    pub fn recipes(&self, count: usize) -> Vec<Vec<Piece>> {
        let mut random = Random(SEED);
        (0..count).map(|_| self.draw(&mut random)).collect()
    }

    /// First day and day after the last of each month, counted in days of the season without a 29 February.
    #[must_use]
    pub fn bounds(&self) -> &[(usize, usize)] {
        &self.bounds
    }

    /// Which day of winter `i` stands for day `t` of the season without a 29 February.
    #[must_use]
    pub fn day_of(&self, i: usize, t: usize) -> usize {
        self.days[i][t]
    }

    /// Puts one winter together.
    fn chain(&self, winters: &[Winter], pieces: &[Piece], number: usize) -> Winter {
        let mut hours = Vec::new();
        let (mut filled_days, mut stuck_days) = (0, 0);
        for Piece { winter, days } in pieces {
            let i = *winter;
            for &day in &self.days[i][days.clone()] {
                hours.extend_from_slice(&winters[i].hours[24 * day..24 * day + 24]);
            }
            // Filled and stuck days are known by winter only: a synthetic one has its share of them.
            let share = days.len() as f64 / self.days[i].len().max(1) as f64;
            filled_days += (share * winters[i].filled_days as f64).round() as usize;
            stuck_days += (share * winters[i].stuck_days as f64).round() as usize;
        }
        let start = winters[0].start;
        Winter {
            label: format!("made up {number}"),
            // On a nominal calendar without a 29 February, as typical years are.
            start: Date::new(NOMINAL_YEAR, start.month(), start.day()).unwrap_or(start),
            hours,
            filled_days,
            stuck_days,
        }
    }
}

/// Where a value stands among others in rising `order`: i + 1/2 when it is that of place i, between in a line.
fn rank(order: &[usize], values: &[f64], value: f64) -> f64 {
    let below = order.partition_point(|&i| values[i] < value);
    let at = |place: usize| order.get(place).map(|&i| values[i]);
    let before = below.checked_sub(1).and_then(at);
    match (before, at(below)) {
        (Some(a), Some(b)) if b > a => below as f64 - 0.5 + (value - a) / (b - a),
        (_, Some(_)) => below as f64 + 0.5,
        _ => below as f64 - 0.5,
    }
}

/// Indices of a winter's days without 29 February.
fn without_leap_day(w: &Winter) -> Vec<usize> {
    (0..w.hours.len() / 24)
        .filter(|d| date(w.start, *d).is_some_and(|d| (d.month(), d.day()) != (2, 29)))
        .collect()
}

fn date(start: Date, day: usize) -> Option<Date> {
    let days = jiff::Span::new().try_days(i64::try_from(day).ok()?).ok()?;
    start.checked_add(days).ok()
}

fn day_mean(w: &Winter, day: usize) -> f64 {
    let hours = w.hours.get(24 * day..24 * day + 24).unwrap_or(&[]);
    hours.iter().map(|h| h.outdoor_c).sum::<f64>() / 24.0
}

fn bounded(count: usize) -> Result<(), SyntheticError> {
    if (FEWEST_MADE..=MOST_MADE).contains(&count) {
        Ok(())
    } else {
        Err(SyntheticError::Number { asked: count })
    }
}

/// Makes up `count` winters from months of real ones of one season.
///
/// # Errors
/// Too few real winters, or a number out of bounds.
pub fn from_months(winters: &[Winter], count: usize) -> Result<Vec<Winter>, SyntheticError> {
    bounded(count)?;
    let months = Months::of(winters)?;
    let recipes = months.recipes(count);
    Ok(recipes
        .iter()
        .enumerate()
        .map(|(k, pieces)| months.chain(winters, pieces, k + 1))
        .collect())
}

/// Makes up `count` winters about a typical year: every hour colder or warmer by the same amount, the amounts being those
/// that lie evenly in probability, `spread z(i / (count + 1))`, z the quantile of the normal distribution; so a level by rank is
/// that of the assumed spread itself. `spread` is the standard deviation of winter means, K.
///
/// # Errors
/// A number out of bounds.
pub fn about_typical(
    winter: &Winter,
    spread: f64,
    count: usize,
) -> Result<Vec<Winter>, SyntheticError> {
    bounded(count)?;
    let normal = Normal::standard();
    Ok((1..=count)
        .map(|i| {
            let z = normal.inverse_cdf(i as f64 / (count + 1) as f64);
            let warmer = spread * z;
            let mut made = winter.clone();
            made.make_colder(-warmer);
            let by = format!("{:.1} C", warmer.abs());
            made.label = match by.as_str() {
                "0.0 C" => format!("typical year {i}, as it is"),
                by if warmer < 0.0 => format!("typical year {i}, {by} colder"),
                by => format!("typical year {i}, {by} milder"),
            };
            made
        })
        .collect())
}
