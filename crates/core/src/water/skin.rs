//! Wood that takes up water from the air and gives it back: its first millimetres, which answer within weeks.

use super::vapour::STILL_AIR;
use crate::climate::moist_air::saturation_iso;
use crate::materials::Material;
use std::sync::OnceLock;

/// Time over which a wall's inside is reckoned to answer, s: two weeks, which is the first 3.5 mm of softwood (a choice).
const ANSWERS_IN: f64 = 14.0 * 86_400.0;
/// Temperature at which wood's moisture is taken, degC: it changes little between 0 and 20.
const AT_C: f64 = 5.0;
/// Air that wood has come to terms with in autumn, relative humidity (common practice, no source: wood kept outdoors is at 12 to 15 %).
const IN_AUTUMN: f64 = 0.7;
/// Steps of the tabled isotherm.
const STEPS: usize = 64;

/// Moisture of wood in air of a relative humidity `h` (0 to 1) at `t` degC, kg a kilogram of dry wood: the two-hydrate sorption isotherm of
/// Hailwood and Horrobin with the coefficients of the USDA Wood Handbook (2010) eq. 4-5, in degC, as read in a secondary source.
///
/// ```
/// use partywall_core::water::moisture_at;
/// // Table 4-2 of the same book: 12.0 % at 21.1 degC and 65 % (from memory).
/// assert!((moisture_at(0.65, 21.1) - 0.120).abs() < 0.003);
/// ```
#[must_use]
pub fn moisture_at(h: f64, t: f64) -> f64 {
    let h = h.clamp(0.0, 1.0);
    let w = 349.0 + 1.29 * t + 0.0135 * t * t;
    let k = 0.805 + 0.000_736 * t - 0.000_002_73 * t * t;
    let k1 = 6.27 - 0.009_38 * t - 0.000_303 * t * t;
    let k2 = 1.91 + 0.0407 * t - 0.000_293 * t * t;
    let kh = k * h;
    let hydrates = (k1 * kh + 2.0 * k1 * k2 * kh * kh) / (1.0 + k1 * kh + k1 * k2 * kh * kh);
    18.0 / w * (kh / (1.0 - kh) + hydrates)
}

/// Humidity by moisture, in even steps up to what saturated air makes.
fn isotherm() -> &'static (f64, Vec<f64>) {
    static TABLE: OnceLock<(f64, Vec<f64>)> = OnceLock::new();
    TABLE.get_or_init(|| {
        let most = moisture_at(1.0, AT_C);
        let humidity = |i: usize| {
            let wanted = most * i as f64 / STEPS as f64;
            let (mut low, mut high) = (0.0, 1.0);
            for _ in 0..50 {
                let middle = 0.5 * (low + high);
                if moisture_at(middle, AT_C) < wanted {
                    low = middle;
                } else {
                    high = middle;
                }
            }
            high
        };
        (most, (0..=STEPS).map(humidity).collect())
    })
}

/// The part of a wooden surface that takes up water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Skin {
    /// Dry wood in it, kg/m2.
    dry: f64,
    /// Vapour from its surface to its middle, kg/(m2 s Pa).
    pub into: f64,
    /// Still air that resists as much as it, m.
    still: f64,
}

impl Skin {
    /// The skin of a layer `thickness` m thick; `None` if its material takes up no water.
    ///
    /// Its depth is how far a change of humidity reaches in two weeks, `sqrt(D t/pi)` with `D = delta psat/(rho dM/dphi)`, or the layer.
    #[must_use]
    pub fn of(material: &Material, thickness: f64) -> Option<Self> {
        let resists = material.vapour_resistance.filter(|_| material.absorbs)?;
        let slope = (moisture_at(0.85, AT_C) - moisture_at(0.4, AT_C)) / 0.45;
        let spreads = STILL_AIR / resists * saturation_iso(AT_C) / (material.density * slope);
        let depth = (spreads * ANSWERS_IN / std::f64::consts::PI)
            .sqrt()
            .min(thickness);
        Some(Self {
            dry: material.density * depth,
            into: 2.0 * STILL_AIR / (resists * depth),
            still: resists * depth,
        })
    }

    /// Still air that resists vapour as much as it does, m.
    #[must_use]
    pub fn still_air(&self) -> f64 {
        self.still
    }

    /// Water it holds in autumn, kg/m2.
    #[must_use]
    pub fn in_autumn(&self) -> f64 {
        self.dry * moisture_at(IN_AUTUMN, AT_C)
    }

    /// Most water it holds, kg/m2.
    #[must_use]
    pub fn most(&self) -> f64 {
        self.dry * isotherm().0
    }

    /// Relative humidity of air in balance with it when it holds `water`, kg/m2.
    #[must_use]
    pub fn humidity(&self, water: f64) -> f64 {
        let (most, table) = isotherm();
        let at = (water / (self.dry * most)).clamp(0.0, 1.0) * STEPS as f64;
        let i = (at as usize).min(STEPS - 1);
        table[i] + (table[i + 1] - table[i]) * (at - i as f64)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::materials::Materials;

    /// Catches a mistyped coefficient: table 4-2 of the Wood Handbook as kept from memory, 21.1 degC: 30 % 6.2, 50 % 9.2, 80 % 16.0, 90 % 20.5.
    #[test]
    fn isotherm_is_the_handbooks() {
        for (h, m) in [(0.3, 0.062), (0.5, 0.092), (0.8, 0.160), (0.9, 0.205)] {
            let got = moisture_at(h, 21.1);
            assert!((got - m).abs() < 0.004, "{h}: {got}, not {m}");
        }
    }

    /// Catches a table that does not undo the isotherm, and a skin of softwood that is not the 3 to 4 mm of the rule.
    #[test]
    fn skin_of_softwood() {
        let all = Materials::builtin().unwrap();
        let skin = Skin::of(all.get("softwood").unwrap(), 0.019).unwrap();
        let depth = skin.dry / 450.0;
        assert!((0.003..0.004).contains(&depth), "{depth}");
        for h in [0.1, 0.4, 0.7, 0.9, 0.99] {
            let back = skin.humidity(skin.dry * moisture_at(h, AT_C));
            assert!((back - h).abs() < 0.01, "{h}: {back}");
        }
        assert_eq!(Skin::of(all.get("xps").unwrap(), 0.05), None);
    }
}
