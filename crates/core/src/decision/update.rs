//! From weighings in winter to when the stores run out.
//!
//! Many winters are run beforehand, each with its own weather, its own parameters within their ranges and its own count of bees:
//! the [`Member`]s. What a hive reads on day d in member i is
//!
//! `tare + pollen + bees_i(d) + brood_i(d) + stores + fed(d) - eaten_i(d) + delta + tau + e`
//!
//! with the error `delta` of the stores on the start date, `tau` of the tare (the same at every weighing) and `e` of the one
//! weighing, all normal and independent. With the residuals `r_k` of a member, `v = var(delta) + var(tau)` and the precisions
//! `w_k = 1/var(e_k)`, integrating `delta + tau` out gives the likelihood (a normal with covariance `diag(1/w) + v 1 1'`; Sherman and
//! Morrison 1950 for its inverse, the matrix determinant lemma for its determinant)
//!
//! `-2 ln L = sum(ln 1/w_k) + ln(1 + v W) + sum(w_k r_k^2) - (sum w_k r_k)^2 v/(1 + v W)`, `W = sum w_k`,
//!
//! and `delta + tau` is left with mean `v sum(w_k r_k)/(1 + v W)` and variance `v/(1 + v W)`, of which delta takes its share. The
//! days on which `eaten_i(d)` reaches the stores, weighed by L, are the answer.

mod course;

pub use course::{Seen, course, seen};

use crate::ensemble::members::Member;
use serde::Serialize;
use statrs::distribution::{ChiSquared, ContinuousCDF, Normal};

/// Points that stand for the error of the stores in each member (the middles of so many equally likely parts).
const NODES: usize = 15;
/// A plus-or-minus as keepers use it, in standard deviations: nine times in ten within (a choice).
pub const PLUS_MINUS: f64 = 1.645;

/// What is known of the hive before it is weighed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Known {
    /// Weight of the empty hive with pollen, kg.
    pub tare: f64,
    /// Stores on the start date, kg.
    pub stores: f64,
    /// Standard deviation of the tare, kg.
    pub tare_sd: f64,
    /// Standard deviation of the stores, kg.
    pub stores_sd: f64,
    /// Stores that must remain, kg.
    pub reserve: f64,
    /// Level asked for, share of winters.
    pub level: f64,
}

/// One weighing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weighed {
    /// Days since the start date.
    pub day: usize,
    /// The whole hive, kg.
    pub gross: f64,
    /// Standard deviation, kg.
    pub sd: f64,
}

/// A middle with four fifths of all cases around it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Range<T> {
    /// One case in ten lies before it.
    pub low: T,
    /// As many lie before as after it.
    pub middle: T,
    /// One case in ten lies after it.
    pub high: T,
}

/// What a set of weighings leaves to be expected.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Forecast {
    /// Day, counted from the start date, on which the stores run out; the day after the last of the season when they do not.
    pub out: Range<usize>,
    /// Days of the season.
    pub days: usize,
    /// Share of cases in which the stores run out before the end of the season.
    pub runs_out: f64,
    /// Share of cases in which the colony starves beside honey after the last weighing.
    pub starves_beside: f64,
    /// Stores on the day of the last weighing, kg.
    pub stores_now: Range<f64>,
    /// Honey still to be eaten from then on, kg.
    pub still_to_eat: Range<f64>,
    /// Stores missing at the level asked for, with the reserve, kg, and never more than is still to be eaten at it; 0 when none are.
    pub missing: f64,
    /// How many members the weights come to: few mean that the answer hangs on them.
    pub effective: f64,
    /// Members whose own misfit is no larger than the errors of readings, tare and stores make it in 99 of 100 cases: weights only
    /// compare members, this says whether any of them is right.
    pub fitting: usize,
    /// Error of the tare as the weighings see it, kg: mean.
    pub tare_off: f64,
}

/// What the model expected a weighing to read, kg, from the readings `before` it alone.
#[must_use]
pub fn expected(
    members: &[Member],
    known: &Known,
    before: &[Weighed],
    day: usize,
) -> Option<Range<f64>> {
    let fits: Vec<Fit> = members
        .iter()
        .map(|m| fit(m, known, before))
        .collect::<Option<_>>()?;
    let best = fits.iter().map(|f| f.log).fold(f64::NEG_INFINITY, f64::max);
    let (mut all, mut sum, mut squares) = (Vec::new(), 0.0, 0.0);
    for (m, f) in members.iter().zip(&fits) {
        let (middle, weight) = (base(m, known, day)? + f.delta + f.tau, (f.log - best).exp());
        all.extend(nodes().map(|z| (middle + f.both_sd * z, weight)));
        sum += weight;
        squares += weight * weight;
    }
    range(&mut all, sum * sum / squares)
}

/// Weighs the members by the readings; `None` when there are none, or when no member is left alive on the day of the last
/// weighing.
#[must_use]
pub fn forecast(members: &[Member], known: &Known, weighed: &[Weighed]) -> Option<Forecast> {
    let last = weighed.iter().map(|w| w.day).max();
    let now = last.unwrap_or(0);
    let days = members.iter().map(|m| m.eaten.len()).min()?;
    if now >= days {
        return None;
    }
    let (mut out, mut stores_now, mut to_eat, mut missing) =
        (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    let Weights {
        sum,
        squares,
        isolated,
        tare_off,
        fitting,
    } = weigh(members, known, weighed, days, |m, stores, day, weight| {
        let end = m.eaten[days - 1];
        let there = stores + m.fed[now] - m.eaten[now];
        out.push((day as f64, weight));
        stores_now.push((there, weight));
        to_eat.push((end - m.eaten[now], weight));
        missing.push((end + known.reserve - stores - m.fed[days - 1], weight));
    })?;
    let early: f64 = out
        .iter()
        .filter(|(d, _)| *d < days as f64)
        .map(|(_, w)| w)
        .sum();
    let effective = sum * sum / squares;
    let at = position(known.level, effective);
    // No more than can still be eaten: stores below nothing, by an odd reading, are no appetite, and nobody feeds the reserve to them.
    let most = quantile(&mut to_eat, at)?;
    let missing = quantile(&mut missing, at)?.clamp(0.0, most.max(0.0));
    let day = |v: f64| v.round() as usize;
    let range_out = range(&mut out, effective)?;
    Some(Forecast {
        out: Range {
            low: day(range_out.low),
            middle: day(range_out.middle),
            high: day(range_out.high),
        },
        days,
        runs_out: early / sum,
        starves_beside: isolated / sum,
        stores_now: range(&mut stores_now, effective)?,
        still_to_eat: range(&mut to_eat, effective)?,
        missing,
        effective,
        fitting,
        tare_off: tare_off / sum,
    })
}

/// What members weigh together after the readings.
#[derive(Default)]
struct Weights {
    sum: f64,
    /// Sum of the squares.
    squares: f64,
    /// Of those that starve beside honey.
    isolated: f64,
    /// Weight times error of the tare, kg.
    tare_off: f64,
    /// How many fit the readings.
    fitting: usize,
}

/// Goes through the stores that each member may have begun with: `each` gets the member, the stores, kg, the day on which they run out,
/// and their weight. `None` when nothing is left that weighs.
fn weigh<'a>(
    members: &'a [Member],
    known: &Known,
    weighed: &[Weighed],
    days: usize,
    mut each: impl FnMut(&'a Member, f64, usize, f64),
) -> Option<Weights> {
    let last = weighed.iter().map(|w| w.day).max();
    let fits: Vec<Fit> = members
        .iter()
        .map(|m| fit(m, known, weighed))
        .collect::<Option<_>>()?;
    let best = fits.iter().map(|f| f.log).fold(f64::NEG_INFINITY, f64::max);
    let mut all = Weights::default();
    let limit = largest_misfit(weighed.len());
    for (m, f) in members.iter().zip(&fits) {
        // A hive that was weighed is taken to live: what starved before does not count.
        if last.is_some_and(|d| m.isolated.is_some_and(|(day, _)| day <= d)) {
            continue;
        }
        let weight = (f.log - best).exp() / NODES as f64;
        let mut of_member = 0.0;
        for z in nodes() {
            let stores = known.stores + f.delta + f.delta_sd * z;
            let day = runs_out(m, stores, days);
            if last.is_none_or(|d| day > d) {
                of_member += weight;
                each(m, stores, day, weight);
            }
        }
        all.fitting += usize::from(of_member > 0.0 && f.misfit <= limit);
        all.sum += of_member;
        all.squares += of_member * of_member;
        all.tare_off += of_member * f.tau;
        if m.isolated.is_some() {
            all.isolated += of_member;
        }
    }
    (all.sum > 0.0 && all.sum.is_finite()).then_some(all)
}

/// How well a member fits, and what is left of the errors.
struct Fit {
    /// Logarithm of its likelihood.
    log: f64,
    /// Squared distance of the readings from it, in their standard deviations: chi-squared with as many degrees of freedom as readings.
    misfit: f64,
    /// Error of the stores: mean and standard deviation, kg.
    delta: f64,
    delta_sd: f64,
    /// Error of the tare: mean, kg.
    tau: f64,
    /// Standard deviation of both errors together, kg.
    both_sd: f64,
}

/// The misfit of so many readings that a true member exceeds once in a hundred times.
fn largest_misfit(readings: usize) -> f64 {
    ChiSquared::new(readings as f64).map_or(f64::INFINITY, |c| c.inverse_cdf(0.99))
}

/// Reading without errors, kg.
fn base(m: &Member, known: &Known, day: usize) -> Option<f64> {
    Some(known.tare + known.stores + m.bees.get(day)? + m.fed.get(day)? - m.eaten.get(day)?)
}

fn fit(m: &Member, known: &Known, weighed: &[Weighed]) -> Option<Fit> {
    let (mut w_sum, mut wr, mut wrr, mut log_variances) = (0.0, 0.0, 0.0, 0.0);
    for k in weighed {
        let r = k.gross - base(m, known, k.day)?;
        let w = 1.0 / (k.sd * k.sd);
        w_sum += w;
        wr += w * r;
        wrr += w * r * r;
        log_variances -= w.ln();
    }
    let (var_delta, var_tau) = (known.stores_sd.powi(2), known.tare_sd.powi(2));
    let v = var_delta + var_tau;
    let shrink = 1.0 + v * w_sum;
    let misfit = wrr - wr * wr * v / shrink;
    let minus_two_log = log_variances + shrink.ln() + misfit;
    let (mean, variance) = (v * wr / shrink, v / shrink);
    let share = if v > 0.0 { var_delta / v } else { 0.0 };
    let delta_var = share * (1.0 - share) * v + share * share * variance;
    Some(Fit {
        log: -0.5 * minus_two_log,
        misfit,
        delta: share * mean,
        delta_sd: delta_var.max(0.0).sqrt(),
        tau: (1.0 - share) * mean,
        both_sd: variance.max(0.0).sqrt(),
    })
}

/// First day at whose end the stores are eaten; `days` when they last.
fn runs_out(m: &Member, stores: f64, days: usize) -> usize {
    (0..days)
        .find(|&d| m.eaten[d] >= stores + m.fed[d])
        .unwrap_or(days)
}

/// Standard normal deviates at the middles of equally likely parts.
fn nodes() -> impl Iterator<Item = f64> {
    (0..NODES).map(|i| Normal::standard().inverse_cdf((i as f64 + 0.5) / NODES as f64))
}

/// Four fifths of all cases, from cases that count as `n` independent ones.
fn range(all: &mut [(f64, f64)], n: f64) -> Option<Range<f64>> {
    Some(Range {
        low: quantile(all, position(0.1, n))?,
        middle: quantile(all, 0.5)?,
        high: quantile(all, position(0.9, n))?,
    })
}

/// Where in the cumulated weight of `n` equal cases the rank p (n + 1) lies, at the middle of that case: the level that holds in
/// a new case with probability p, as for winters ([`crate::ensemble::levels`]). With n = 10 the plain one would hold only two
/// thirds of new cases between 0.1 and 0.9.
fn position(p: f64, n: f64) -> f64 {
    ((p * (n + 1.0) - 0.5) / n.max(1.0)).clamp(0.0, 1.0)
}

/// The value below which a share `p` of the weight lies; sorts. `None` without weight.
fn quantile(all: &mut [(f64, f64)], p: f64) -> Option<f64> {
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    let total: f64 = all.iter().map(|(_, w)| w).sum();
    let mut below = 0.0;
    for (v, w) in all.iter() {
        below += w;
        if below >= p * total {
            return Some(*v);
        }
    }
    all.last().map(|(v, _)| *v)
}

#[cfg(test)]
mod tests;
