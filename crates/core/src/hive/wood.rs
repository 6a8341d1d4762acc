//! Conductivity and specific heat of wood with its moisture.

/// Conductivity of wood across the grain, W/mK, near 24 degC.
///
/// `k = G (B + C x) + A`, A 0.01864, B 0.1941, C 0.004064, G specific gravity (ovendry mass, volume at moisture x), x
/// moisture content %. USDA Wood Handbook (2010) eq. 4-15; G above 0.3, x below 25 %; good to 20 %. Along the grain 1.5 to
/// 2.8 times as much (mean 1.8). x is held to 0 to 25.
///
/// ```
/// use partywall_core::hive::wood::conductivity;
/// // Eastern white pine, G 0.37, at 12 %: 0.1085 W/mK.
/// assert!((conductivity(0.37, 12.0) - 0.1085).abs() < 1e-4);
/// ```
#[must_use]
pub fn conductivity(specific_gravity: f64, moisture_pct: f64) -> f64 {
    let x = moisture_pct.clamp(0.0, 25.0);
    specific_gravity.max(0.0) * (0.1941 + 0.004_064 * x) + 0.018_64
}

/// Specific heat of wood, J/kgK, at a temperature in K and a moisture content in %.
///
/// Dry `c0 = 103.1 + 3.867 T`; wet `(c0 + 0.01 x cw)/(1 + 0.01 x) + Ac`, cw 4180 J/kgK,
/// `Ac = 1000 x (-0.06191 + 2.36e-4 T - 1.33e-4 x)`. USDA Wood Handbook (2010) eq. 4-16 to 4-18; x below 25 %, about 280
/// to 420 K (used down to 240 K here). x is held to 0 to 25.
///
/// ```
/// use partywall_core::hive::wood::specific_heat;
/// // The handbook's table: 1.9 kJ/kgK at 12 % and 340 K.
/// assert!((specific_heat(12.0, 340.0) - 1910.0).abs() < 5.0);
/// ```
#[must_use]
pub fn specific_heat(moisture_pct: f64, kelvin: f64) -> f64 {
    let x = moisture_pct.clamp(0.0, 25.0);
    let dry = 103.1 + 3.867 * kelvin;
    let bound = 1000.0 * x * (-0.061_91 + 2.36e-4 * kelvin - 1.33e-4 * x);
    (dry + 0.01 * x * 4180.0) / (1.0 + 0.01 * x) + bound
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches the sign misprints that circulate for these formulas: values computed independently.
    #[test]
    fn wood_at_several_moistures() {
        for (g, x, k) in [
            (0.37, 0.0, 0.0905),
            (0.37, 20.0, 0.1205),
            (0.33, 0.0, 0.0827),
            (0.33, 12.0, 0.0988),
        ] {
            assert!((conductivity(g, x) - k).abs() < 1e-4, "G {g} x {x}");
        }
        for (x, t_c, c) in [
            (0.0, 20.0, 1237.0),
            (12.0, 20.0, 1620.0),
            (18.0, 20.0, 1774.0),
            (0.0, -20.0, 1082.0),
            (12.0, -20.0, 1369.0),
        ] {
            let got = specific_heat(x, t_c + 273.15);
            assert!((got - c).abs() < 2.0, "x {x} t {t_c}: {got}");
        }
    }
}
