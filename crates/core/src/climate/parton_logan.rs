//! Hourly air temperature from daily minima and maxima: a sine by day, exponential cooling by night.
//!
//! Parton & Logan 1981, A model for diurnal variation in soil and air temperature, Agricultural Meteorology 23, 205-216:
//! day `T = Tn + (Tx - Tn) sin(pi m/(Y + 2a))`, m hours since the minimum (sunrise + c), Y day length; night
//! `T = Tn + (Ts - Tn) exp(-b n/Z)`, n hours since sunset, Z night length, Ts the value at sunset. Coefficients read in a
//! published copy; the equations from memory. Published mean error 1.2 to 2.6 K.

/// Coefficients of the model.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coefficients {
    /// Lag of the maximum after noon, h.
    pub max_lag_h: f64,
    /// Decay of the night leg, dimensionless.
    pub decay: f64,
    /// Lag of the minimum after sunrise, h.
    pub min_lag_h: f64,
}

/// Air at 150 cm (Parton & Logan 1981, table 1).
pub const AIR_150_CM: Coefficients = Coefficients {
    max_lag_h: 1.86,
    decay: 2.20,
    min_lag_h: -0.17,
};

/// Shortest and longest day length the model is run with, h: beyond the polar circles there is no day or night leg to
/// speak of, and the curve of the shortest or longest day stands in.
const DAY_LENGTH_H: (f64, f64) = (2.0, 22.0);

/// One day's extremes and light.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Day {
    /// Minimum, degC.
    pub tmin_c: f64,
    /// Maximum, degC.
    pub tmax_c: f64,
    /// Sunrise, h of the day.
    pub sunrise_h: f64,
    /// Sunset, h of the day.
    pub sunset_h: f64,
}

impl Day {
    /// The day with sunrise and sunset moved about their middle so that 2 to 22 h lie between them.
    fn with_light(self) -> Self {
        let noon = 0.5 * (self.sunrise_h + self.sunset_h);
        let half = 0.5 * (self.sunset_h - self.sunrise_h).clamp(DAY_LENGTH_H.0, DAY_LENGTH_H.1);
        Self {
            sunrise_h: noon - half,
            sunset_h: noon + half,
            ..self
        }
    }

    fn light_h(&self) -> f64 {
        self.sunset_h - self.sunrise_h
    }

    /// The sine leg at hour `h`.
    fn by_day(&self, h: f64, k: &Coefficients) -> f64 {
        let m = h - self.sunrise_h - k.min_lag_h;
        let angle = std::f64::consts::PI * m / (self.light_h() + 2.0 * k.max_lag_h);
        self.tmin_c + (self.tmax_c - self.tmin_c) * angle.sin()
    }
}

/// Temperature at hour `h` (0 to 24) of a day taken alone, degC, as published: the night leg is not scaled, so that it
/// has cooled only to `exp(-b)` of its way at sunrise and jumps there.
///
/// Worked example: 2 and -8 degC, sunrise 7.5, sunset 16.5 h.
/// ```
/// use partywall_core::climate::parton_logan::{AIR_150_CM, Day, published};
/// let day = Day { tmin_c: -8.0, tmax_c: 2.0, sunrise_h: 7.5, sunset_h: 16.5 };
/// assert!((published(12.0, &day, &AIR_150_CM) - 1.141).abs() < 0.005);
/// assert!((published(20.0, &day, &AIR_150_CM) + 3.399).abs() < 0.005);
/// ```
#[must_use]
pub fn published(h: f64, day: &Day, k: &Coefficients) -> f64 {
    let day = day.with_light();
    if h >= day.sunrise_h + k.min_lag_h && h <= day.sunset_h {
        return day.by_day(h, k);
    }
    let at_sunset = day.by_day(day.sunset_h, k);
    let n = (h - day.sunset_h).rem_euclid(24.0);
    day.tmin_c + (at_sunset - day.tmin_c) * (-k.decay * n / (24.0 - day.light_h())).exp()
}

/// Temperature at hour `h` (0 to 24) of `day`, degC, without jumps: each night runs from the value at sunset to the
/// *next* minimum and reaches it, by scaling the night leg with `(exp(-b n/Z) - exp(-b))/(1 - exp(-b))`, Z being the
/// time from sunset to the next minimum. For the first and last day of a record give the day itself as its neighbour.
#[must_use]
pub fn continuous(h: f64, before: &Day, day: &Day, after: &Day, k: &Coefficients) -> f64 {
    let day = day.with_light();
    if h < day.sunrise_h + k.min_lag_h {
        return night(h + 24.0, &before.with_light(), &day, k);
    }
    if h <= day.sunset_h {
        return day.by_day(h, k);
    }
    night(h, &day, &after.with_light(), k)
}

/// The scaled night leg between two days, `h` counted from midnight of the first.
fn night(h: f64, evening: &Day, morning: &Day, k: &Coefficients) -> f64 {
    let length = 24.0 + morning.sunrise_h + k.min_lag_h - evening.sunset_h;
    let n = (h - evening.sunset_h).max(0.0).min(length);
    let left = (-k.decay).exp();
    let share = ((-k.decay * n / length).exp() - left) / (1.0 - left);
    let at_sunset = evening.by_day(evening.sunset_h, k);
    morning.tmin_c + (at_sunset - morning.tmin_c) * share
}

#[cfg(test)]
mod tests {
    use super::*;

    const DAY: Day = Day {
        tmin_c: -8.0,
        tmax_c: 2.0,
        sunrise_h: 7.5,
        sunset_h: 16.5,
    };

    /// Catches b and c swapped (some published copies do): ten hours computed independently.
    #[test]
    fn published_form_hour_by_hour() {
        let rows = [
            (8.0, -6.353),
            (10.0, -1.873),
            (12.0, 1.141),
            (14.0, 1.971),
            (16.0, 0.416),
            (17.0, -0.857),
            (20.0, -3.399),
            (23.0, -5.037),
            (0.0, -5.441),
            (6.0, -6.939),
        ];
        for (h, t) in rows {
            let got = published(h, &DAY, &AIR_150_CM);
            assert!((got - t).abs() < 0.005, "{h} h: {got}, not {t}");
        }
    }

    /// Catches a jump anywhere in three unlike days, among them one whose minimum is above the sunset before it.
    #[test]
    fn continuous_form_has_no_jumps_and_keeps_the_extremes() {
        let days = [
            Day {
                tmin_c: -12.0,
                tmax_c: -3.0,
                ..DAY
            },
            Day {
                tmin_c: 1.0,
                tmax_c: 6.0,
                sunrise_h: 7.4,
                sunset_h: 16.6,
            },
            Day {
                tmin_c: -20.0,
                tmax_c: -9.0,
                sunrise_h: 7.3,
                sunset_h: 16.7,
            },
        ];
        let k = AIR_150_CM;
        let mut previous: Option<f64> = None;
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for i in 0..3 {
            let (before, after) = (&days[i.max(1) - 1], &days[(i + 1).min(2)]);
            for step in 0..2400 {
                let t = continuous(f64::from(step) / 100.0, before, &days[i], after, &k);
                if let Some(p) = previous {
                    assert!((t - p).abs() < 0.08, "day {i} step {step}: {p} to {t}");
                }
                previous = Some(t);
                if i == 1 && (723..1600).contains(&step) {
                    low = low.min(t);
                    high = high.max(t);
                }
            }
        }
        assert!(
            (low - 1.0).abs() < 0.01 && (high - 6.0).abs() < 0.01,
            "{low} {high}"
        );
    }

    /// Catches division by nothing when there is no night or no day.
    #[test]
    fn polar_light_gives_numbers_between_the_extremes() {
        for (rise, set) in [(12.0, 12.0), (0.0, 24.0), (-0.5, 23.5)] {
            let day = Day {
                sunrise_h: rise,
                sunset_h: set,
                ..DAY
            };
            for h in 0..=24 {
                let t = continuous(f64::from(h), &day, &day, &day, &AIR_150_CM);
                assert!((-8.01..=2.01).contains(&t), "{h} h: {t}");
            }
        }
    }
}
