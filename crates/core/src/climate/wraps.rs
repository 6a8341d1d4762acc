//! When a place's winters ask for the wrap, and when they no longer do.

use super::series::Winter;
use jiff::civil::Date;

/// Nights as cold as this mean that bees hardly fly any more, degC (common practice on the prairies and in the upper Midwest).
pub const COLD_NIGHT_C: f64 = -10.0;
/// Highs beyond this, day after day, mean that the wrap may go, degC (the same).
pub const WARM_DAY_C: f64 = 10.0;
/// So many such days running (a choice for "day after day").
pub const WARM_DAYS: usize = 5;

/// The usual days, in a year without a 29 February.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wraps {
    /// By then the air had been at [`COLD_NIGHT_C`] in half of the winters; `None` when it was so in fewer.
    pub on: Option<Date>,
    /// By then [`WARM_DAYS`] days running had passed [`WARM_DAY_C`] in half of the winters, after the last night at [`COLD_NIGHT_C`] and
    /// in the second half of the season; `None` when that came before the season's end in fewer.
    pub off: Option<Date>,
}

/// The usual days of these winters, which all begin on one day of the year.
#[must_use]
pub fn usual(winters: &[Winter]) -> Wraps {
    let found = |first: &dyn Fn(&[[f64; 2]]) -> Option<usize>| -> Option<Date> {
        let mut days: Vec<usize> = winters
            .iter()
            .map(|w| first(&days(w)).unwrap_or(usize::MAX))
            .collect();
        days.sort_unstable();
        let day = *days.get(days.len().checked_sub(1)? / 2)?;
        let start = winters.first()?.start;
        // 2001 to 2002 have no 29 February.
        let start = Date::new(2001, start.month(), start.day()).ok()?;
        let span = jiff::Span::new().try_days(i64::try_from(day).ok()?).ok()?;
        start.checked_add(span).ok()
    };
    Wraps {
        on: found(&|d| d.iter().position(|[low, _]| *low <= COLD_NIGHT_C)),
        off: found(&|d| {
            let cold = d.iter().rposition(|[low, _]| *low <= COLD_NIGHT_C);
            let from = cold.map_or(0, |last| last + 1).max(d.len() / 2);
            let run = |w: &[[f64; 2]]| w.iter().all(|[_, high]| *high > WARM_DAY_C);
            let first = d[from..].windows(WARM_DAYS).position(run)?;
            Some(from + first + WARM_DAYS - 1)
        }),
    }
}

/// Least and greatest temperature of each whole day.
fn days(w: &Winter) -> Vec<[f64; 2]> {
    w.hours
        .chunks_exact(24)
        .map(|day| {
            let all = || day.iter().map(|h| h.outdoor_c);
            [
                all().fold(f64::INFINITY, f64::min),
                all().fold(f64::NEG_INFINITY, f64::max),
            ]
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    /// A winter of 240 days in mild air, with one cold hour on day `cold` and highs of 12 degC from day `warm` on.
    fn winter(year: i16, cold: Option<usize>, warm: usize) -> Winter {
        let outdoor_c = |i: usize| {
            if cold == Some(i / 24) && i % 24 == 5 {
                -10.0
            } else if i / 24 >= warm && i % 24 == 14 {
                12.0
            } else {
                2.0
            }
        };
        Winter::dark(
            &year.to_string(),
            date(year, 10, 1),
            (0..240 * 24).map(outdoor_c),
        )
    }

    /// Catches a day taken from one winter instead of the middle one, a warm spell in autumn or before the last cold night taken for
    /// spring, and a day told where most winters have none.
    #[test]
    fn half_of_the_winters_set_the_day() {
        let day = |n: i64| {
            let span = jiff::Span::new().days(n);
            Some(date(2001, 10, 1).checked_add(span).unwrap())
        };
        let three = [
            winter(1990, Some(50), 200),
            winter(1991, Some(60), 210),
            winter(1992, None, 190),
        ];
        let found = usual(&three);
        assert_eq!((found.on, found.off), (day(60), day(204)));
        let rare = [
            winter(1990, Some(50), 300),
            winter(1991, None, 300),
            winter(1992, None, 300),
        ];
        assert_eq!(
            usual(&rare),
            Wraps {
                on: None,
                off: None
            }
        );
        // Warm from the first day on: only the second half counts.
        assert_eq!(usual(&[winter(1990, None, 0)]).off, day(124));
        assert_eq!(usual(&[winter(1990, Some(150), 130)]).off, day(155));
        assert_eq!(
            usual(&[]),
            Wraps {
                on: None,
                off: None
            }
        );
    }
}
