//! Where a record has no temperature.

use crate::climate::calendar::{self, MINUTES_A_DAY};
use crate::climate::quantity::hour;
use crate::climate::raw::Rows;
use crate::climate::record::Record;

/// Steps of hourly readings up to this long are no gap, minutes: stations that report off the full hour.
const HOURLY_STEP: i64 = 90;

/// A run of missing temperatures between two known ones.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Gap {
    /// First missing hour or day, in words.
    pub from: String,
    /// Last missing hour or day, in words.
    pub to: String,
    /// Missing hours of an hourly record, missing days of a daily one.
    pub missing: i64,
}

impl Record {
    /// Every gap between the first and last known temperature, in order.
    #[must_use]
    pub fn gaps(&self) -> Vec<Gap> {
        let (known, step, longest): (Vec<i64>, i64, i64) = match &self.rows {
            Rows::Hours(rows) => {
                let known = rows.known(&hour::TEMP);
                (known.map(|k| k.1).collect(), 60, HOURLY_STEP)
            }
            Rows::Days(rows) => {
                let has = |v: &crate::climate::raw::DayValues| {
                    (v.tmin_c.is_some() && v.tmax_c.is_some()) || v.tmean_c.is_some()
                };
                let known = rows.iter().filter(|r| has(&r.values));
                let day = MINUTES_A_DAY;
                (known.map(|r| r.minute).collect(), day, day)
            }
        };
        let text = |minute: i64| {
            if step == MINUTES_A_DAY {
                calendar::date_text(minute.div_euclid(MINUTES_A_DAY))
            } else {
                calendar::time_text(minute)
            }
        };
        known
            .windows(2)
            .filter(|w| w[1] - w[0] > longest)
            .map(|w| Gap {
                from: text(w[0] + step),
                to: text(w[1] - step),
                missing: (w[1] - w[0]) / step - 1,
            })
            .filter(|g| g.missing > 0)
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use crate::climate::from_bytes;

    /// Catches a gap's ends or length off by one, absent and empty rows alike.
    #[test]
    fn gaps_are_told_from_their_first_to_their_last_missing_day() {
        let text = "# latitude: 45\ndate,tmin_c,tmax_c\n2014-01-01,1,2\n2014-01-02,1,2\n2014-01-05,1,2\n2014-01-06,,\n2014-01-07,0,1\n";
        let gaps = from_bytes("t", text.into()).unwrap().gaps();
        let told: Vec<_> = gaps
            .iter()
            .map(|g| (g.from.as_str(), g.to.as_str(), g.missing))
            .collect();
        assert_eq!(
            told,
            [
                ("2014-01-03", "2014-01-04", 2),
                ("2014-01-06", "2014-01-06", 1)
            ]
        );
        let text = "# latitude: 45\ntime,temp_c\n2014-01-01T22:00,1\n2014-01-02T01:00,1\n2014-01-02T02:10,1\n";
        let gaps = from_bytes("t", text.into()).unwrap().gaps();
        assert_eq!(gaps.len(), 1);
        assert_eq!(
            (gaps[0].from.as_str(), gaps[0].to.as_str(), gaps[0].missing),
            ("2014-01-01 23:00", "2014-01-02 00:00", 2)
        );
    }
}
