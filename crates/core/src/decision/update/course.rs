//! The stores day by day as a picture shows them: expected, weighed, and expected since.

use super::{Known, NODES, PLUS_MINUS, Range, Weighed, Weights, range, weigh};
use crate::ensemble::members::Member;

/// Stores as a weighing shows them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seen {
    /// Days since the start date.
    pub day: usize,
    /// The reading less the empty hive, pollen, and what the members' bees and brood weigh that day, kg.
    pub stores: f64,
    /// How far that may be off, kg: the reading, the tare and the bees together, nine times in ten.
    pub error: f64,
}

/// What a weighing shows; `None` without a member on that day.
#[must_use]
pub fn seen(members: &[Member], known: &Known, w: &Weighed) -> Option<Seen> {
    let bees: Option<Vec<f64>> = members.iter().map(|m| m.bees.get(w.day).copied()).collect();
    let bees = bees.filter(|b| !b.is_empty())?;
    let n = bees.len() as f64;
    let mean = bees.iter().sum::<f64>() / n;
    let spread = (bees.iter().map(|b| (b - mean).powi(2)).sum::<f64>() / n).sqrt();
    Some(Seen {
        day: w.day,
        stores: w.gross - known.tare - mean,
        error: PLUS_MINUS * w.sd.hypot(known.tare_sd).hypot(spread),
    })
}

/// Stores at the end of each day, never below nothing, weighed by the readings as [`super::forecast`] does; on the day of the last
/// weighing they are its `stores_now`. `None` where that is `None`.
#[must_use]
pub fn course(members: &[Member], known: &Known, weighed: &[Weighed]) -> Option<Vec<Range<f64>>> {
    let last = weighed.iter().map(|w| w.day).max();
    let days = members.iter().map(|m| m.eaten.len()).min()?;
    if last.unwrap_or(0) >= days {
        return None;
    }
    // Member, its stores on the start date, its weight.
    let mut cases: Vec<(&Member, f64, f64)> = Vec::new();
    let Weights { sum, squares, .. } =
        weigh(members, known, weighed, days, |m, stores, _, weight| {
            cases.push((m, stores, weight));
        })?;
    // What weighs next to nothing only costs time.
    cases.retain(|(_, _, w)| *w > 1e-9 / NODES as f64);
    (0..days)
        .map(|day| {
            let mut there: Vec<(f64, f64)> = cases
                .iter()
                .map(|(m, stores, w)| ((stores + m.fed[day] - m.eaten[day]).max(0.0), *w))
                .collect();
            range(&mut there, sum * sum / squares)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::forecast;
    use super::*;

    fn members() -> Vec<Member> {
        (0..12)
            .map(|i| Member {
                eaten: (0..200)
                    .map(|d| f64::from(d) * (0.06 + 0.005 * f64::from(i)))
                    .collect(),
                bees: vec![2.0 + 0.05 * f64::from(i); 200],
                fed: (0..200).map(|d| if d < 20 { 0.0 } else { 2.0 }).collect(),
                isolated: None,
            })
            .collect()
    }

    const KNOWN: Known = Known {
        tare: 22.0,
        stores: 15.0,
        tare_sd: 1.0,
        stores_sd: 1.2,
        reserve: 3.0,
        level: 0.9,
    };

    /// Catches a picture that says other than the forecast on the day of the last weighing, a band that leaves the weighing out, and
    /// stores below nothing.
    #[test]
    fn the_course_is_the_forecasts() {
        let all = members();
        let weighed = [Weighed {
            day: 100,
            gross: 32.0,
            sd: 0.6,
        }];
        let told = forecast(&all, &KNOWN, &weighed).unwrap();
        let since = course(&all, &KNOWN, &weighed).unwrap();
        assert_eq!(since.len(), 200);
        let now = since[100];
        for (a, b) in [
            (now.low, told.stores_now.low),
            (now.middle, told.stores_now.middle),
            (now.high, told.stores_now.high),
        ] {
            assert!((a - b).abs() < 1e-9, "{now:?} {:?}", told.stores_now);
        }
        let before = course(&all, &KNOWN, &[]).unwrap();
        assert!(before[100].high - before[100].low > now.high - now.low);
        assert!(
            since
                .iter()
                .all(|r| r.low >= 0.0 && r.low <= r.middle && r.middle <= r.high)
        );
        let dot = seen(&all, &KNOWN, &weighed[0]).unwrap();
        assert!((dot.stores - (32.0 - 22.0 - 2.275)).abs() < 1e-9, "{dot:?}");
        assert!(dot.error > PLUS_MINUS * 1.16 && dot.error < PLUS_MINUS * 1.2);
        assert!(
            course(
                &all,
                &KNOWN,
                &[Weighed {
                    day: 200,
                    gross: 30.0,
                    sd: 1.0
                }]
            )
            .is_none()
        );
        assert!(seen(&[], &KNOWN, &weighed[0]).is_none());
    }
}
