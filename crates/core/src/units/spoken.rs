//! Weights and temperatures in a keeper's words: the one place where texts choose their units.

use super::format::trimmed;

/// Kilograms in a pound, by definition of the pound.
const KG_PER_LB: f64 = 0.453_592_37;

/// Which units a text is told in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Units {
    /// Kilograms, degrees Celsius, litres
    Metric,
    /// Pounds, degrees Fahrenheit, US gallons
    Us,
    /// Both, the metric first
    #[default]
    Both,
}

impl Units {
    /// In the metric form, in the US form, or both.
    #[must_use]
    pub fn both(self, metric: String, us: String) -> String {
        match self {
            Self::Metric => metric,
            Self::Us => us,
            Self::Both => format!("{metric} ({us})"),
        }
    }

    /// A weight, from kg, here as in every picture. It is rounded once, in kilograms: to halves from ten up, to tenths below; the pounds
    /// are those kilograms, whole from ten up, so that the two are always of one weight, whichever is asked for.
    ///
    /// ```
    /// use partywall_core::units::spoken::Units;
    /// assert_eq!(Units::Both.mass(29.9), "30 kg (66 lb)");
    /// assert_eq!(Units::Both.mass(3.0), "3 kg (6.6 lb)");
    /// assert_eq!(Units::Us.mass(29.9), "66 lb");
    /// ```
    #[must_use]
    pub fn mass(self, kg: f64) -> String {
        let kg = shown(kg);
        let lb = kg / KG_PER_LB;
        self.both(
            format!("{} kg", plain(kg)),
            format!("{} lb", trimmed(lb, digits(lb))),
        )
    }

    /// A weight that is needed, from kg: as [`Self::mass`], but rounded up to the next step in kilograms, so that nobody who goes by the printed figure is short by a step.
    ///
    /// ```
    /// use partywall_core::units::spoken::Units;
    /// assert_eq!(Units::Both.need(29.1), "29.5 kg (65 lb)");
    /// assert_eq!(Units::Both.need(29.01), "29 kg (64 lb)");
    /// ```
    #[must_use]
    pub fn need(self, kg: f64) -> String {
        self.mass(up(kg, fineness(kg)))
    }

    /// Two weights as a range, from kg: "27-33 kg (60-73 lb)"; both rounded as the larger is in [`Self::mass`].
    #[must_use]
    pub fn mass_range(self, low: f64, high: f64) -> String {
        let steps = fineness(high);
        let [low, high] = [low, high].map(|kg| (kg * steps).round() / steps);
        let range = |unit: f64, digits: usize, word: &str| {
            let [a, b] = [low, high].map(|kg| trimmed(kg / unit, digits));
            if a == b {
                format!("{a} {word}")
            } else {
                format!("{a}-{b} {word}")
            }
        };
        self.both(
            range(1.0, 1, "kg"),
            range(KG_PER_LB, digits(high / KG_PER_LB), "lb"),
        )
    }

    /// A temperature, from degC; each unit rounded by itself, since a degree Celsius is nearly two of Fahrenheit.
    ///
    /// ```
    /// use partywall_core::units::spoken::Units;
    /// assert_eq!(Units::Both.temperature(-15.2), "-15 C (5 F)");
    /// assert_eq!(Units::Metric.temperature(-0.2), "0 C");
    /// ```
    #[must_use]
    pub fn temperature(self, c: f64) -> String {
        self.both(
            format!("{} C", whole(c)),
            format!("{} F", whole(c * 1.8 + 32.0)),
        )
    }

    /// A temperature without its unit, for tables, from degC.
    ///
    /// ```
    /// use partywall_core::units::spoken::Units;
    /// assert_eq!(Units::Both.degrees(-40.0), "-40 (-40)");
    /// ```
    #[must_use]
    pub fn degrees(self, c: f64) -> String {
        self.both(whole(c), whole(c * 1.8 + 32.0))
    }

    /// A difference of temperatures, from K.
    #[must_use]
    pub fn kelvin(self, k: f64) -> String {
        self.both(format!("{} C", whole(k)), format!("{} F", whole(k * 1.8)))
    }
}

/// Decimals of a number of pounds: none from ten up, one below.
pub fn digits(v: f64) -> usize {
    usize::from(v.abs() < 9.95)
}

/// Steps to a kilogram: halves from ten up, tenths below (a choice: a luggage scale shows tenths, and weighs to a kilogram or two).
fn fineness(kg: f64) -> f64 {
    if kg.abs() < 9.95 { 10.0 } else { 2.0 }
}

/// Kilograms as they are printed.
pub fn shown(kg: f64) -> f64 {
    (kg * fineness(kg)).round() / fineness(kg)
}

/// A twentieth of the last step is no reason to ask for one more: neither a scale nor a keeper can tell.
const NO_MORE: f64 = 0.05;

/// Rounded up to one of so many steps to the unit.
pub fn up(v: f64, steps: f64) -> f64 {
    (v * steps - NO_MORE).ceil() / steps
}

/// A number that is rounded already.
pub fn plain(v: f64) -> String {
    trimmed(v, 1)
}

/// A whole number, never "-0".
pub fn whole(v: f64) -> String {
    let v = v.round();
    format!("{:.0}", if v == 0.0 { 0.0 } else { v })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches a need rounded down, or up by more than its last step; a weight that strays further than half a step; and kilograms and
    /// pounds that are not of one weight, in one system or the other.
    #[test]
    fn weights_are_rounded_once_and_needs_up() {
        let numbers = |text: &str| -> Vec<f64> {
            let words = text.replace(['(', ')'], "");
            words.split(' ').filter_map(|w| w.parse().ok()).collect()
        };
        for i in 0..20_000 {
            let exact = 0.003 + 0.0037 * f64::from(i);
            let (near, need) = (Units::Both.mass(exact), Units::Both.need(exact));
            let step = if exact < 9.95 { 0.1 } else { 0.5 };
            for (text, below, above) in [(&near, 0.5, 0.5), (&need, NO_MORE, 1.0)] {
                let both = numbers(text);
                let (kg, lb) = (both[0], both[1]);
                assert!(kg >= exact - below * step - 1e-9, "{text} for {exact}");
                assert!(kg <= exact + above * step + 1e-9, "{text} for {exact}");
                let digit = if lb < 9.95 { 0.1 } else { 1.0 };
                let off = lb - kg / KG_PER_LB;
                assert!(off.abs() <= 0.5 * digit + 1e-9, "{text}");
                assert!(text.contains(&format!("{lb} lb")), "{text}");
            }
            assert!(
                near.contains(&Units::Us.mass(exact)) && near.contains(&Units::Metric.mass(exact))
            );
        }
        for (kg, near, need) in [
            (9.949, "9.9 kg (22 lb)", "10 kg (22 lb)"),
            (27.22, "27 kg (60 lb)", "27.5 kg (61 lb)"),
            (0.0, "0 kg (0 lb)", "0 kg (0 lb)"),
            (-2.43, "-2.4 kg (-5.3 lb)", "-2.4 kg (-5.3 lb)"),
        ] {
            assert_eq!(
                (Units::Both.mass(kg), Units::Both.need(kg)),
                (near.into(), need.into())
            );
        }
        assert_eq!(Units::Both.mass_range(8.44, 12.2), "8.5-12 kg (19-26 lb)");
    }
}
