//! Flight on mild winter days: what it costs, and how often bees could go out.
//!
//! Daily weight loss in a mild winter rose with temperature and with light (Norrstrom et al. 2021, PLoS ONE 16:e0258398).
//! A cluster alone does the opposite: it saves as it gets warmer. What is spent outside closes part of the gap:
//!
//! `P = N f(T) L(I) W(v) p(T)`: N bees; f rises in a line from nothing at the first flights to `flight_share` at foraging
//! temperature; L = I / `flight_light` up to 1, I global irradiance; W falls in a line to nothing at `flight_wind`; p the power of
//! one bee out, 49.7 mW at 19 degC and 3.1 mW more per kelvin of colder air. That heat is left outside.

use super::parameters::Parameters;

/// Temperature at which the power of one bee out is stated, degC.
const STATED_AT: f64 = 19.0;
/// The line of power against temperature is not drawn on below this, degC (its measurements end in cool air; a choice).
const COLDEST: f64 = 4.0;
/// Power of a bee out in warm air falls no lower, W (a choice: a fifth of the stated power, a walking bee's).
const LEAST_POWER: f64 = 0.01;

/// Flight in one hour.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct FlightHour {
    /// Share of the bees on the wing, mean of the hour.
    pub share_out: f64,
    /// What they burn, W.
    pub power: f64,
    /// Whether cleansing flights were possible.
    pub cleansing: bool,
}

/// Flight of `bees` in air of `outdoor_c` degC, `ghi` W/m2 of global irradiance and `wind` m/s at the hives.
///
/// ```
/// use partywall_core::colony::{flights, parameters::Parameters};
/// let p = Parameters::with(&[]).unwrap();
/// let h = flights::hour(12.0, 500.0, 0.0, 10_000.0, &p);
/// assert_eq!((h.share_out, h.cleansing), (0.03, true));
/// assert!((h.power - 300.0 * 0.0714).abs() < 1e-9);
/// assert_eq!(flights::hour(12.0, 0.0, 0.0, 10_000.0, &p), flights::FlightHour::default());
/// ```
#[must_use]
pub fn hour(outdoor_c: f64, ghi: f64, wind: f64, bees: f64, p: &Parameters) -> FlightHour {
    let warm =
        ((outdoor_c - p.flight_first_c) / (p.flight_warm_c - p.flight_first_c)).clamp(0.0, 1.0);
    let light = (ghi / p.flight_light).clamp(0.0, 1.0);
    let calm = (1.0 - wind / p.flight_wind).clamp(0.0, 1.0);
    let share_out = p.flight_share * warm * light * calm;
    if !(share_out.is_finite() && share_out > 0.0) {
        return FlightHour::default();
    }
    let each = p.flyer_heat + p.flyer_slope * (STATED_AT - outdoor_c.max(COLDEST));
    FlightHour {
        share_out,
        power: bees * share_out * each.max(LEAST_POWER),
        // Half the light that no longer limits is sun enough (a choice).
        cleansing: outdoor_c >= p.flight_cleansing_c && light >= 0.5 && calm > 0.0,
    }
}

/// Flights of a winter, counted.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct FlightLog {
    /// Hours in which cleansing flights were possible.
    pub hours: u32,
    /// Days with at least one such hour.
    pub days: u32,
    /// Longest run of days without one.
    pub longest_shut_in: u32,
    shut_in: u32,
    out_today: bool,
}

impl FlightLog {
    /// Takes an hour in.
    pub fn hour(&mut self, h: &FlightHour) {
        if h.cleansing {
            self.hours += 1;
            self.out_today = true;
        }
    }

    /// Ends a day.
    pub fn end_day(&mut self) {
        if self.out_today {
            self.days += 1;
            self.shut_in = 0;
        } else {
            self.shut_in += 1;
            self.longest_shut_in = self.longest_shut_in.max(self.shut_in);
        }
        self.out_today = false;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Catches flight at night, in frost or in a storm, and a mild sunny day that costs nothing or a colony's month.
    #[test]
    fn flies_on_mild_bright_days() {
        let p = Parameters::with(&[]).unwrap();
        let w = |t, ghi, wind| hour(t, ghi, wind, 15_000.0, &p).power;
        assert_eq!(
            (w(15.0, 0.0, 0.0), w(-2.0, 600.0, 0.0), w(15.0, 600.0, 12.0)),
            (0.0, 0.0, 0.0)
        );
        // Six hours at 12 degC in the sun: about a day's food on top (scales show 30-100 g on flight days; from memory).
        let grams = 6.0 * 3600.0 * w(12.0, 500.0, 2.0) / p.honey_energy * 1e3;
        assert!((15.0..100.0).contains(&grams), "{grams} g");
        assert!(
            !hour(9.0, 500.0, 0.0, 1.0, &p).cleansing && hour(10.0, 500.0, 0.0, 1.0, &p).cleansing
        );
    }

    /// Catches days that are counted twice and a shut-in that is not ended by a flight.
    #[test]
    fn counts_hours_days_and_shut_ins() {
        let p = Parameters::with(&[]).unwrap();
        let mut log = FlightLog::default();
        for day in 0..30 {
            for h in 0..24 {
                let good = (day == 4 || day == 20) && (11..14).contains(&h);
                log.hour(&hour(if good { 13.0 } else { 0.0 }, 400.0, 0.0, 1e4, &p));
            }
            log.end_day();
        }
        assert_eq!((log.hours, log.days, log.longest_shut_in), (6, 2, 15));
    }

    proptest! {
        /// Catches a cost that falls with light or, up to foraging temperature, with warmth: the sign of check 1.11.
        #[test]
        fn rises_with_warmth_and_light(t in -20.0..11.0f64, ghi in 0.0..900.0f64, wind in 0.0..15.0f64) {
            let p = Parameters::with(&[]).unwrap();
            let power = |t, ghi| hour(t, ghi, wind, 1e4, &p).power;
            prop_assert!(power(t, ghi + 50.0) >= power(t, ghi));
            prop_assert!(power(t + 1.0, ghi) >= power(t, ghi) - 1e-12);
            prop_assert!(power(f64::NAN, ghi).is_finite());
        }
    }
}
