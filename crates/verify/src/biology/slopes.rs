//! How a colony's daily use goes with the weather of the day.

use partywall_core::climate::series::Winter;

/// Mean weather of one day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Day {
    /// Month, 1 to 12.
    pub month: i8,
    /// Air, degC.
    pub outdoor_c: f64,
    /// Global irradiance, W/m2.
    pub ghi: f64,
}

/// The days of a winter.
pub(super) fn days(winter: &Winter) -> Vec<Day> {
    winter
        .hours
        .chunks_exact(24)
        .zip(winter.start.series(jiff::Span::new().days(1)))
        .map(|(hours, date)| Day {
            month: date.month(),
            outdoor_c: hours.iter().map(|h| h.outdoor_c).sum::<f64>() / 24.0,
            ghi: hours.iter().map(|h| h.ghi).sum::<f64>() / 24.0,
        })
        .collect()
}

/// Mean air of some days, degC.
pub(super) fn mean<'a>(days: impl Iterator<Item = &'a Day>) -> f64 {
    let (sum, n) = days.fold((0.0, 0.0), |(s, n), d| (s + d.outdoor_c, n + 1.0));
    sum / n
}

/// Months in which daily use rises with temperature, and with light: both slopes of one least-squares fit within each
/// month, so that neither the season's trend nor the growth of brood stands in for weather. The third number is how many
/// months there were.
pub(super) fn months_rising(days: &[Day], used: &[f64]) -> [f64; 3] {
    let mut months: Vec<i8> = days.iter().map(|d| d.month).collect();
    months.dedup();
    let mut count = [0.0, 0.0, months.len() as f64];
    for month in months {
        let of: Vec<[f64; 3]> = days
            .iter()
            .zip(used)
            .filter(|(d, _)| d.month == month)
            .map(|(d, u)| [d.outdoor_c, d.ghi, *u])
            .collect();
        for (c, slope) in count.iter_mut().zip(slopes(&of)) {
            if slope > 0.0 {
                *c += 1.0;
            }
        }
    }
    count
}

/// Slopes of the third against the first two, least squares with a constant; NaN where they cannot be told apart.
fn slopes(of: &[[f64; 3]]) -> [f64; 2] {
    let n = of.len() as f64;
    let mean: [f64; 3] = std::array::from_fn(|i| of.iter().map(|v| v[i]).sum::<f64>() / n);
    let cross = |i: usize, j: usize| {
        of.iter()
            .map(|v| (v[i] - mean[i]) * (v[j] - mean[j]))
            .sum::<f64>()
    };
    let (tt, tl, ll) = (cross(0, 0), cross(0, 1), cross(1, 1));
    let (tu, lu) = (cross(0, 2), cross(1, 2));
    let d = tt * ll - tl * tl;
    [(ll * tu - tl * lu) / d, (tt * lu - tl * tu) / d]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches slopes that mix temperature and light up: they go together here, and use depends on both with opposite signs.
    #[test]
    fn tells_warmth_from_light() {
        let of: Vec<[f64; 3]> = (0..30)
            .map(|i| {
                let t = f64::from(i % 7) - 2.0;
                let l = 10.0 * t + f64::from(i % 3);
                [t, l, 40.0 - 1.5 * t + 0.25 * l]
            })
            .collect();
        let [t, l] = slopes(&of);
        assert!((t + 1.5).abs() < 1e-9 && (l - 0.25).abs() < 1e-9, "{t} {l}");
    }

    /// Catches a trend over the season that passes for a rise with warmth: within each month use falls with warmth.
    #[test]
    fn season_is_not_weather() {
        let (mut days, mut used) = (Vec::new(), Vec::new());
        for (month, base) in [(1, 0.0), (2, 10.0)] {
            for i in 0..28 {
                let t = base + f64::from(i % 5);
                days.push(Day {
                    month,
                    outdoor_c: t,
                    ghi: f64::from(i % 4),
                });
                used.push(3.0 * base - 0.5 * f64::from(i % 5) + 0.1 * f64::from(i % 4));
            }
        }
        assert_eq!(months_rising(&days, &used), [0.0, 2.0, 2.0]);
    }
}
