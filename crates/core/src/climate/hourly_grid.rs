//! Readings at any minute brought onto whole hours, and gaps filled.
//!
//! The clock is built here and never taken from the number of a line: absent hours are gaps.

use crate::climate::calendar::MINUTES_A_DAY;
use crate::climate::quantity::Quantity;
use crate::climate::raw::{HourValues, RadiationInterval};
use crate::climate::readings::Readings;

/// Longest run of missing hours filled by a straight line, h (common practice, no source).
pub const LINEAR_HOURS: usize = 6;
/// How many days before and after a longer gap lend their same hours (common practice, no source).
pub const LENDING_DAYS: usize = 3;
/// Readings at most this far apart, minutes, are read between without counting as a gap: stations that report at
/// other minutes than the full hour.
const BETWEEN: i64 = 90;

/// Instant values at `count` whole hours from minute `from` on.
pub fn at_hours(
    rows: &Readings<HourValues>,
    quantity: &Quantity<HourValues>,
    from: i64,
    count: usize,
) -> Vec<Option<f64>> {
    let mut out = Vec::with_capacity(count);
    let known = rows.known(quantity);
    let mut known = known.map(|(_, minute, v)| (minute, v)).peekable();
    let mut before: Option<(i64, f64)> = None;
    let mut minute = from;
    for _ in 0..count {
        while let Some(k) = known.next_if(|k| k.0 <= minute) {
            before = Some(k);
        }
        out.push(match (before, known.peek()) {
            (Some((m, v)), _) if m == minute => Some(v),
            (Some((m, v)), Some(&(n, w))) if n - m <= BETWEEN => {
                Some(v + (w - v) * (minute - m) as f64 / (n - m) as f64)
            }
            _ => None,
        });
        minute += 60;
    }
    out
}

/// Means over the hour that begins at each of `count` whole hours from minute `from` on. An hour less than half covered
/// is missing.
pub fn over_hours(
    rows: &Readings<HourValues>,
    quantity: &Quantity<HourValues>,
    interval: RadiationInterval,
    from: i64,
    count: usize,
) -> Vec<Option<f64>> {
    let mut sum = vec![0.0; count];
    let mut covered = vec![0_i64; count];
    // Rows without the value are passed over: another file of the same station may report at other minutes.
    let known: Vec<(i64, f64)> = rows
        .known(quantity)
        .map(|(_, minute, v)| (minute, v))
        .collect();
    for (i, &(minute, value)) in known.iter().enumerate() {
        let back = i
            .checked_sub(1)
            .map_or(60, |j| (minute - known[j].0).min(60));
        let ahead = known.get(i + 1).map_or(60, |r| (r.0 - minute).min(60));
        let (start, end) = match interval {
            RadiationInterval::Preceding => (minute - back, minute),
            RadiationInterval::Centred => (minute - back / 2, minute + ahead / 2),
            RadiationInterval::CentredAfter(late) => {
                (minute + late - back / 2, minute + late + ahead / 2)
            }
            RadiationInterval::Following => (minute, minute + ahead),
        };
        let mut at = start;
        while at < end {
            let bucket = (at - from).div_euclid(60);
            let stop = end.min(from + (bucket + 1) * 60);
            if let Ok(b) = usize::try_from(bucket)
                && b < count
            {
                sum[b] += value * (stop - at) as f64;
                covered[b] += stop - at;
            }
            at = stop;
        }
    }
    sum.iter()
        .zip(covered)
        .map(|(s, c)| (c >= 30).then(|| s / c as f64))
        .collect()
}

/// Fills runs of at most `most` missing values by a straight line. A run at the record's edge holds its only neighbour if it
/// may, and stays missing otherwise.
pub fn fill_runs(values: &mut [Option<f64>], most: usize, hold_at_edge: bool) {
    let mut i = 0;
    while i < values.len() {
        let start = i;
        while i < values.len() && values[i].is_none() {
            i += 1;
        }
        let left = start.checked_sub(1).and_then(|j| values[j]);
        let right = values.get(i).copied().flatten();
        let span = (i - start + 1) as f64;
        if (1..=most).contains(&(i - start)) {
            for (k, slot) in values[start..i].iter_mut().enumerate() {
                *slot = match (left, right) {
                    (Some(a), Some(b)) => Some(a + (b - a) * (k + 1) as f64 / span),
                    (a, b) => a.or(b).filter(|_| hold_at_edge),
                };
            }
        }
        i += 1;
    }
}

/// Fills what is still missing with the mean of the same hour on up to [`LENDING_DAYS`] days before and after; both
/// sides must lend.
pub fn fill_from_neighbour_days(values: &mut [Option<f64>]) {
    let known = values.to_vec();
    for (i, slot) in values.iter_mut().enumerate() {
        if slot.is_some() {
            continue;
        }
        let side = |sign: i64| -> (f64, usize) {
            let (mut sum, mut n) = (0.0, 0);
            for d in 1..=LENDING_DAYS {
                let j = i64::try_from(i)
                    .ok()
                    .map(|i| i + sign * 24 * i64::try_from(d).unwrap_or(0));
                let value = j
                    .and_then(|j| usize::try_from(j).ok())
                    .and_then(|j| known.get(j))
                    .copied()
                    .flatten();
                if let Some(v) = value {
                    (sum, n) = (sum + v, n + 1);
                }
            }
            (sum, n)
        };
        let ((before, nb), (after, na)) = (side(-1), side(1));
        if nb > 0 && na > 0 {
            *slot = Some((before + after) / (nb + na) as f64);
        }
    }
}

/// Minute a day begins at.
#[must_use]
pub fn midnight(day: i64) -> i64 {
    day * MINUTES_A_DAY
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::climate::quantity::hour;
    use crate::climate::raw::HourRow;

    fn rows(of: &[(i64, f64)]) -> Readings<HourValues> {
        let row = |&(minute, t): &(i64, f64)| HourRow {
            line: 1,
            minute,
            values: HourValues {
                outdoor_c: Some(t),
                ghi: Some(t),
                ..HourValues::default()
            },
        };
        of.iter().map(row).collect()
    }

    /// Catches the delay of radiation against its row going the wrong way: centred half an hour after the row is the hour
    /// that follows it, half an hour before is the hour that ends.
    #[test]
    fn a_delay_of_half_an_hour_is_the_hour_that_follows() {
        let r = rows(&[(0, 100.0), (60, 200.0), (120, 300.0), (180, 50.0)]);
        let of = |interval| over_hours(&r, &hour::GHI, interval, 0, 4);
        assert_eq!(
            of(RadiationInterval::CentredAfter(30)),
            of(RadiationInterval::Following)
        );
        assert_eq!(
            of(RadiationInterval::CentredAfter(-30)),
            of(RadiationInterval::Preceding)
        );
        // Ten minutes late: the hour from 0:00 has 40 minutes of the first image and 20 of the second.
        let late = of(RadiationInterval::CentredAfter(10));
        assert!((late[0].unwrap() - (100.0 * 40.0 + 200.0 * 20.0) / 60.0).abs() < 1e-9);
    }

    /// Catches rows without radiation, from another file of the station, cutting the hours of those with it.
    #[test]
    fn rows_between_without_the_value_do_not_count() {
        let mut r = rows(&[(28, 100.0), (60, 0.0), (88, 200.0), (120, 0.0)]);
        r.put(&hour::GHI, vec![100.0, f64::NAN, 200.0]);
        let got = over_hours(&r, &hour::GHI, RadiationInterval::Preceding, 0, 2);
        // 0:00 to 0:28 is the first reading's, 0:28 to 1:28 the second's; of the second hour 28 minutes are known.
        let first = (100.0 * 28.0 + 200.0 * 32.0) / 60.0;
        assert!((got[0].unwrap() - first).abs() < 1e-9);
        assert_eq!(got[1], None);
    }

    /// Catches indexing by line: the absent hour 2 must be a gap, and hour 3 must keep its own value.
    #[test]
    fn an_absent_hour_is_a_gap() {
        let got = at_hours(&rows(&[(0, 1.0), (60, 2.0), (180, 4.0)]), &hour::TEMP, 0, 5);
        assert_eq!(got, [Some(1.0), Some(2.0), None, Some(4.0), None]);
    }

    /// Catches reports at seven minutes to the hour being dropped or shifted.
    #[test]
    fn off_hour_reports_are_read_between() {
        let got = at_hours(
            &rows(&[(-7, 0.0), (53, 6.0), (113, 12.0)]),
            &hour::TEMP,
            0,
            2,
        );
        assert!((got[0].unwrap() - 0.7).abs() < 1e-12);
        assert!((got[1].unwrap() - 6.7).abs() < 1e-12);
    }

    /// Catches radiation landing in the wrong hour: the value at 13:00 of a preceding-hour file belongs to 12:00.
    #[test]
    fn radiation_belongs_to_its_own_hour() {
        let r = rows(&[(660, 0.0), (720, 10.0), (780, 20.0), (840, 30.0)]);
        let get = &hour::GHI;
        assert_eq!(
            over_hours(&r, get, RadiationInterval::Preceding, 720, 1),
            [Some(20.0)]
        );
        assert_eq!(
            over_hours(&r, get, RadiationInterval::Following, 720, 1),
            [Some(10.0)]
        );
        assert_eq!(
            over_hours(&r, get, RadiationInterval::Centred, 720, 1),
            [Some(15.0)]
        );
    }

    /// Catches half-hourly radiation being read as one of its two values.
    #[test]
    fn half_hours_are_averaged() {
        let r = rows(&[(690, 0.0), (720, 10.0), (750, 20.0), (780, 40.0)]);
        assert_eq!(
            over_hours(&r, &hour::GHI, RadiationInterval::Preceding, 720, 1),
            [Some(30.0)]
        );
    }

    /// Catches a seven-hour gap being bridged by a line, or a six-hour one not.
    #[test]
    fn short_gaps_are_straight_and_long_ones_wait() {
        let mut six = vec![Some(0.0), None, None, None, None, None, None, Some(7.0)];
        fill_runs(&mut six, LINEAR_HOURS, true);
        assert_eq!(six[3], Some(3.0));
        let mut seven = vec![
            Some(0.0),
            None,
            None,
            None,
            None,
            None,
            None,
            None,
            Some(7.0),
        ];
        fill_runs(&mut seven, LINEAR_HOURS, true);
        assert!(seven[1..8].iter().all(Option::is_none));
    }

    /// Catches a long gap filled from one side only, or not from the same hour.
    #[test]
    fn long_gaps_take_the_same_hour_of_both_sides() {
        let mut v: Vec<Option<f64>> = (0..96).map(|h| Some(f64::from(h))).collect();
        for slot in &mut v[30..40] {
            *slot = None;
        }
        fill_from_neighbour_days(&mut v);
        // Hour 35: 11 before; 59 and 83 after.
        assert!((v[35].unwrap() - (11.0 + 59.0 + 83.0) / 3.0).abs() < 1e-12);
        let mut end: Vec<Option<f64>> = vec![Some(1.0); 48];
        for slot in &mut end[30..] {
            *slot = None;
        }
        fill_from_neighbour_days(&mut end);
        assert!(end[30..].iter().all(Option::is_none));
    }
}
