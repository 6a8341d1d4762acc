//! What a hive must still weigh on a day of winter for its stores to last.

use crate::calendar::MonthDay;
use crate::calendar::days_after;
use crate::ensemble::levels::level;
use crate::season::outcome::ColonyOutcome;
use crate::stand::Lift;
use jiff::civil::Date;
use serde::Serialize;

/// A day on which to weigh, and the reading below which to act.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Heft {
    /// The day.
    pub day: MonthDay,
    /// Weight of the whole hive below which its stores do not last, in the level asked for, kg; `None` below five winters.
    pub gross: Option<f64>,
    /// The same for one lift, kg: the whole, the mean of front and back, or the one side.
    pub each: Option<f64>,
}

/// What stays as it is through the winter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fixed {
    /// Empty hive and pollen, kg.
    pub tare: f64,
    /// Bees on the first day, kg.
    pub bees: f64,
    /// Honey out of the bees' reach and the reserve, kg.
    pub kept: f64,
    /// How it is weighed.
    pub lift: Lift,
}

/// Weight of the hive on the morning of a day from which on the stores just last, in the level `p` of the winters: for each winter
/// `tare + kept + bees and brood of that day + honey it takes from that day on`, of these the level. On the first day that is the
/// target. `winters` are first days with what became of the colony; `None` below five of them, or for a day that one of them lacks.
#[must_use]
pub fn weight_to_last(
    winters: &[(Date, &ColonyOutcome)],
    day: MonthDay,
    p: f64,
    fixed: &Fixed,
) -> Option<f64> {
    let all: Option<Vec<f64>> = winters
        .iter()
        .map(|(start, o)| {
            let before = (days_after(*start, day) as usize).checked_sub(1);
            let at =
                |list: &[f64], first: f64| before.map_or(Some(first), |d| list.get(d).copied());
            let eaten = at(&o.eaten_by_day, 0.0)?;
            let bees = at(&o.bees_by_day, fixed.bees)?;
            Some(fixed.tare + fixed.kept + bees + o.eaten - eaten)
        })
        .collect();
    Some(level(&all?, p)?.value)
}

/// The days with their readings.
#[must_use]
pub fn readings(
    winters: &[(Date, &ColonyOutcome)],
    days: &[MonthDay],
    p: f64,
    fixed: &Fixed,
) -> Vec<Heft> {
    days.iter()
        .map(|day| {
            let gross = weight_to_last(winters, *day, p, fixed);
            Heft {
                day: *day,
                gross,
                each: gross.map(|g| g / fixed.lift.parts()),
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    /// A colony that eats `first` kg a day for 100 days and `then` kg a day for 100 more, and loses ten grams of bees a day.
    fn outcome(first: f64, then: f64) -> ColonyOutcome {
        let mut sum = 0.0;
        let eaten_by_day: Vec<f64> = (0..200)
            .map(|d| {
                sum += if d < 100 { first } else { then };
                sum
            })
            .collect();
        ColonyOutcome {
            eaten_by_day,
            bees_by_day: (1..=200).map(|d| 3.0 - 0.01 * f64::from(d)).collect(),
            ..ColonyOutcome::uneventful("Left", sum)
        }
    }

    const FIXED: Fixed = Fixed {
        tare: 26.0,
        bees: 3.0,
        kept: 4.0,
        lift: Lift::FrontAndBack,
    };
    const fn on(month: u8, day: u8) -> MonthDay {
        MonthDay { month, day }
    }

    /// Catches a reading on the first day other than the target, one that counts what is eaten already, bees as heavy in March as in
    /// October, a level taken of whole winters instead of what is still to come, and a 29 February that shifts the days.
    #[test]
    fn a_hive_must_weigh_what_it_still_needs() {
        // Nine winters; those that take most in all take least late.
        let all: Vec<ColonyOutcome> = (1..=9)
            .map(|i| outcome(0.2 - 0.01 * f64::from(i), 0.02 * f64::from(i)))
            .collect();
        let list =
            |start| -> Vec<(Date, &ColonyOutcome)> { all.iter().map(|o| (start, o)).collect() };
        let winters = list(date(1999, 10, 1));
        let need: Vec<f64> = all.iter().map(|o| o.eaten).collect();
        let target = 26.0 + 3.0 + 4.0 + level(&need, 0.9).unwrap().value;
        let first = weight_to_last(&winters, on(10, 1), 0.9, &FIXED).unwrap();
        assert!((first - target).abs() < 1e-9, "{first} {target}");
        // 28 January: 119 days gone, 81 to come at 0.18 kg in the ninth winter.
        let late = weight_to_last(&winters, on(1, 28), 0.9, &FIXED).unwrap();
        assert!(
            (late - (30.0 + 3.0 - 1.19 + 81.0 * 0.18)).abs() < 1e-9,
            "{late}"
        );
        // 10 March is day 161 of a leap year, 160 of another.
        let days = |start| weight_to_last(&list(start), on(3, 10), 0.9, &FIXED).unwrap();
        let (leap, plain) = (days(date(1999, 10, 1)), days(date(2000, 10, 1)));
        assert!((plain - leap - 0.01 - 0.18).abs() < 1e-9, "{plain} {leap}");
        let told = readings(&winters, &[on(1, 28)], 0.9, &FIXED);
        assert_eq!(told[0].each, told[0].gross.map(|g| g / 2.0));
    }

    /// Catches a reading told from too few winters, for a day after the last, or from what is no number.
    #[test]
    fn what_cannot_be_told_is_not() {
        let mut all = vec![outcome(0.1, 0.1); 6];
        let told = |all: &[ColonyOutcome], day| {
            let winters: Vec<_> = all.iter().map(|o| (date(1999, 10, 1), o)).collect();
            weight_to_last(&winters, day, 0.9, &FIXED)
        };
        assert!(told(&all, on(2, 1)).is_some());
        assert_eq!(told(&all[..4], on(2, 1)), None);
        assert_eq!(told(&all, on(9, 1)), None);
        all[3].eaten = f64::NAN;
        assert_eq!(told(&all, on(2, 1)), None);
    }
}
