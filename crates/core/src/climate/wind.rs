//! Wind speed brought from one height to another over open ground.

/// Wind at 10 m from wind at 2 m, m/s, over short grass.
///
/// FAO-56 (Allen et al. 1998) eq. 47, `u2 = uz 4.87 / ln(67.8 z - 5.42)`, solved for uz at z = 10 m: `u10 = 1.337 u2`. For
/// open ground; not under trees or between buildings.
///
/// ```
/// use partywall_core::climate::wind::at_10_m;
/// // FAO-56 example 14: 3.2 m/s at 10 m is 2.4 m/s at 2 m.
/// assert!((at_10_m(2.4) - 3.2).abs() < 0.05);
/// ```
#[must_use]
pub fn at_10_m(wind_2m: f64) -> f64 {
    wind_2m * (67.8_f64 * 10.0 - 5.42).ln() / 4.87
}
