//! The drift of winter temperatures over a record, and winters referred to its last years.
//!
//! Least squares on the mean temperature of each winter against its year, `T = a + b y`. Winters of a record of thirty years
//! lie fifteen years back on average, and winters have grown milder (own measurement on nine records: 0.2 to 0.45 K a decade).
//! Leaving the drift in overstates the need by some 4 to 5 % where it follows the cold, and understates it where it follows the
//! warmth; so it is no margin of safety. It stays in unless asked for.

use thiserror::Error;

use crate::climate::series::Winter;

/// Fewest winters a drift is taken from: below, chance is larger than any drift met (sd of winter means 1 to 2 K; common
/// practice, no source).
pub const FEWEST: usize = 20;

/// A drift.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trend {
    /// Warming, K a year.
    pub per_year: f64,
    /// Standard error of it, K a year.
    pub error: f64,
    /// Winters it is taken from.
    pub winters: usize,
    /// Year in which the first of them begins.
    pub first: i16,
    /// Year in which the last begins, which all are referred to.
    pub last: i16,
}

/// A drift asked of too few winters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[error(
    "the drift of the climate is asked to be taken out, but the record has only {0} whole winters: over fewer than {FEWEST} chance hides any drift"
)]
pub struct TooFew(pub usize);

/// Mean temperature of a winter, degC.
#[must_use]
pub fn mean_c(winter: &Winter) -> f64 {
    let n = winter.hours.len().max(1) as f64;
    winter.hours.iter().map(|h| h.outdoor_c).sum::<f64>() / n
}

/// The drift of the winters' means.
///
/// # Errors
/// Below [`FEWEST`] winters.
pub fn of(winters: &[Winter]) -> Result<Trend, TooFew> {
    let n = winters.len();
    let (Some(first), Some(last)) = (winters.first(), winters.last()) else {
        return Err(TooFew(n));
    };
    if n < FEWEST {
        return Err(TooFew(n));
    }
    let years: Vec<f64> = winters.iter().map(|w| f64::from(w.start.year())).collect();
    let means: Vec<f64> = winters.iter().map(mean_c).collect();
    let middle = |v: &[f64]| v.iter().sum::<f64>() / n as f64;
    let (year, mean) = (middle(&years), middle(&means));
    let spread: f64 = years.iter().map(|y| (y - year).powi(2)).sum();
    let pairs = || years.iter().zip(&means);
    let per_year = pairs().map(|(y, t)| (y - year) * (t - mean)).sum::<f64>() / spread;
    let rest: f64 = pairs()
        .map(|(y, t)| (t - mean - per_year * (y - year)).powi(2))
        .sum();
    Ok(Trend {
        per_year,
        error: (rest / (n as f64 - 2.0) / spread).sqrt(),
        winters: n,
        first: first.start.year(),
        last: last.start.year(),
    })
}

/// Refers every winter to the last of the record: `b (last - year)` is added to every hour, as
/// [`Winter::make_colder`] does it.
///
/// # Errors
/// Below [`FEWEST`] winters.
pub fn remove(winters: &mut [Winter]) -> Result<Trend, TooFew> {
    let trend = of(winters)?;
    for w in winters {
        w.make_colder(-trend.per_year * f64::from(trend.last - w.start.year()));
    }
    Ok(trend)
}

impl Trend {
    /// What was done, in words.
    #[must_use]
    pub fn note(&self) -> String {
        let decade = 10.0 * self.per_year;
        format!(
            "drift taken out: the {} winters from {} on grew {} by {:.1} C ({:.1} F) in ten years (give or take {:.1} C); each is \
             moved to what it would have been at the end of the record ({})",
            self.winters,
            self.first,
            if decade < 0.0 { "colder" } else { "milder" },
            decade.abs(),
            1.8 * decade.abs(),
            20.0 * self.error,
            self.last
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calendar::MonthDay;
    use crate::climate;
    use crate::climate::raw::PartialStation;

    fn champion() -> Vec<Winter> {
        let record = climate::built_in("champion", &PartialStation::default()).unwrap();
        let day = |month, day| MonthDay { month, day };
        record.winters(day(10, 1), day(3, 31)).unwrap()
    }

    /// Catches a drift with the wrong sign or referred to the wrong end: taken out once, none may be left, and the last winter
    /// must stay as it was.
    #[test]
    fn a_drift_put_in_comes_out() {
        let mut winters = champion();
        let own = of(&winters).unwrap().per_year;
        for w in &mut winters {
            let years = f64::from(w.start.year() - 1982);
            w.make_colder(-0.05 * years);
        }
        let last = winters.last().unwrap().clone();
        let trend = remove(&mut winters).unwrap();
        assert!((trend.per_year - own - 0.05).abs() < 1e-9, "{trend:?}");
        assert!(of(&winters).unwrap().per_year.abs() < 1e-9);
        let now = winters.last().unwrap();
        assert!((mean_c(now) - mean_c(&last)).abs() < 1e-9);
        let first = mean_c(&winters[0]) - mean_c(&champion()[0]);
        assert!((first - 35.0 * (own + 0.05)).abs() < 1e-9, "{first}");
    }

    /// Catches a drift drawn through a handful of winters.
    #[test]
    fn too_few_winters_are_refused() {
        let winters = &mut champion()[..19];
        assert_eq!(remove(winters), Err(TooFew(19)));
        assert_eq!(of(&[]), Err(TooFew(0)));
    }
}
