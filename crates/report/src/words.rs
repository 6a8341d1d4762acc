//! Syrup, frames, days and paragraphs in a keeper's words.

use crate::text;
use partywall_core::calendar::MonthDay;
use partywall_core::decision::feeding::STORES_PER_KG_SUGAR;
use partywall_core::decision::stores::STORES_PER_LITRE_SYRUP;
pub use partywall_core::units::spoken::Units;
use partywall_core::units::spoken::{up, whole};

/// Kilograms in a pound, by definition.
const KG_PER_LB: f64 = 0.453_592_37;
/// Litres in a US gallon, by definition.
const LITRES_PER_US_GAL: f64 = 3.785_411_784;
/// Litres in an imperial gallon, by definition.
const LITRES_PER_IMPERIAL_GAL: f64 = 4.546_09;
/// Widest line of a text, characters; a table of figures may be wider, since a folded figure cannot be read.
pub const WIDTH: usize = 100;

/// Syrup and sugar in the units of a text.
pub trait SyrupWords {
    /// An amount of syrup, from litres: whole litres, and the gallons of those, both kinds unless only one system is asked for.
    ///
    /// ```
    /// use partywall_report::words::{SyrupWords, Units};
    /// assert_eq!(Units::Both.syrup(10.0), "10 litres (2.6 US gal, 2.2 imperial gal)");
    /// assert_eq!(Units::Us.syrup(10.0), "2.6 US gal");
    /// assert_eq!(Units::Metric.syrup(0.8), "1 litre");
    /// ```
    #[must_use]
    fn syrup(self, litres: f64) -> String;
    /// An amount of syrup that is needed, from litres: as [`Self::syrup`], but rounded up.
    ///
    /// ```
    /// use partywall_report::words::{SyrupWords, Units};
    /// assert_eq!(Units::Metric.syrup_needed(9.2), "10 litres");
    /// ```
    #[must_use]
    fn syrup_needed(self, litres: f64) -> String;
    /// The sugar in as many litres of 2:1 syrup as [`Units::syrup_needed`] tells, kg in.
    ///
    /// ```
    /// use partywall_report::words::{SyrupWords, Units};
    /// assert_eq!(Units::Metric.sugar_needed(2.1), "2.7 kg");
    /// ```
    #[must_use]
    fn sugar_needed(self, litres: f64) -> String;
}

impl SyrupWords for Units {
    fn syrup(self, litres: f64) -> String {
        let litres = litres.round();
        let us = text!(
            "words.us_gal",
            litres = format!("{:.1}", litres / LITRES_PER_US_GAL)
        );
        let metric = match whole(litres).as_str() {
            "1" => text!("words.litre"),
            n => text!("words.litres", count = n),
        };
        match self {
            Self::Metric => metric,
            Self::Us => us,
            Self::Both => text!(
                "words.imperial_gal",
                metric,
                us,
                litres = format!("{:.1}", litres / LITRES_PER_IMPERIAL_GAL)
            ),
        }
    }

    fn syrup_needed(self, litres: f64) -> String {
        self.syrup(up(litres, 1.0))
    }

    fn sugar_needed(self, litres: f64) -> String {
        self.need(up(litres, 1.0) * STORES_PER_LITRE_SYRUP / STORES_PER_KG_SUGAR)
    }
}

/// Small weights in the units of a text.
pub trait LightWords {
    /// A weight of water, from kg: in grams and ounces up to a kilogram, then as any weight.
    ///
    /// ```
    /// use partywall_report::words::{LightWords, Units};
    /// assert_eq!(Units::Both.light(0.012), "12 g (0.4 oz)");
    /// assert_eq!(Units::Us.light(0.3), "10.6 oz");
    /// assert_eq!(Units::Metric.light(1.2), "1.2 kg");
    /// ```
    #[must_use]
    fn light(self, kg: f64) -> String;
}

impl LightWords for Units {
    fn light(self, kg: f64) -> String {
        if kg >= 0.9995 {
            return self.mass(kg);
        }
        self.both(
            format!("{:.0} g", 1e3 * kg),
            format!("{:.1} oz", ounces(kg)),
        )
    }
}

/// Ounces, from kg.
#[must_use]
pub fn ounces(kg: f64) -> f64 {
    16.0 * kg / KG_PER_LB
}

/// A count of frames to the half: "9-1/2", "10", "1/2".
///
/// ```
/// assert_eq!(partywall_report::words::frames(9.4), "9-1/2");
/// assert_eq!(partywall_report::words::frames(0.4), "1/2");
/// ```
#[must_use]
pub fn frames(n: f64) -> String {
    let halves = (2.0 * n).round().max(0.0);
    let whole = (halves / 2.0).floor();
    match (halves > 2.0 * whole, whole) {
        (false, w) => format!("{w:.0}"),
        (true, 0.0) => "1/2".to_owned(),
        (true, w) => format!("{w:.0}-1/2"),
    }
}

/// A level as a keeper says it: "9 winters in 10".
#[must_use]
pub fn in_ten(level: f64) -> String {
    let ten = level * 10.0;
    if (ten - ten.round()).abs() < 1e-9 {
        text!("words.winters_in_ten", ten = format!("{ten:.0}"))
    } else {
        text!(
            "words.winters_in_hundred",
            level = format!("{:.0}", level * 100.0)
        )
    }
}

/// A day without its year: "5 Oct".
#[must_use]
pub fn day(d: jiff::civil::Date) -> String {
    d.strftime("%-d %b").to_string()
}

/// "28 Jan", from a day of the year.
#[must_use]
pub fn day_of_year(d: MonthDay) -> String {
    let words = partywall_core::calendar::words(d);
    match words.split_once(' ') {
        Some((day, month)) => format!("{day} {}", month.get(..3).unwrap_or(month)),
        None => words,
    }
}

/// Writes a paragraph with its first line behind `indent` and the rest two further in, no line over [`WIDTH`].
pub fn para(t: &mut String, indent: &str, text: &str) {
    para_behind(t, indent, &format!("{indent}  "), text);
}

/// Writes a paragraph with its first line behind `first` and the others behind `rest`, no line over [`WIDTH`].
pub fn para_behind(t: &mut String, first: &str, rest: &str, text: &str) {
    let mut line = first.to_owned();
    let mut empty = true;
    for word in text.split_whitespace() {
        if !empty && line.chars().count() + 1 + word.chars().count() > WIDTH {
            t.push_str(&line);
            t.push('\n');
            line = rest.to_owned();
            empty = true;
        }
        if !empty {
            line.push(' ');
        }
        line.push_str(word);
        empty = false;
    }
    t.push_str(&line);
    t.push('\n');
}

/// What can be done in winter for bees that may starve beside honey (beekeeping texts: sugar on the top bars; no opening below some 7 degC,
/// common practice).
#[must_use]
pub fn sugar_over(u: Units) -> String {
    text!("words.calm_day_above_look", warmth = u.temperature(7.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches a unit that is told although the other was asked for, a minus zero, and a difference that does not fit its sum.
    #[test]
    fn each_system_tells_its_own_units_only() {
        for f in [
            |u: Units| u.mass(29.9),
            |u: Units| u.mass_range(20.0, 31.0),
            |u: Units| u.need(9.96),
            |u: Units| u.mass(0.26),
            |u: Units| u.temperature(-0.4),
            |u: Units| u.kelvin(12.0),
            |u: Units| u.syrup(9.6),
        ] {
            let (metric, us, both) = (f(Units::Metric), f(Units::Us), f(Units::Both));
            for word in ["lb", " F", "gal"] {
                assert!(!metric.contains(word), "{metric}");
            }
            for word in ["kg", " C", "litre"] {
                assert!(!us.contains(word), "{us}");
            }
            assert!(both.contains(&metric) && both.contains(&us), "{both}");
            assert!(!both.contains("-0"), "{both}");
        }
        assert_eq!(
            Units::Both.syrup_needed(3.01),
            "3 litres (0.8 US gal, 0.7 imperial gal)"
        );
        assert_eq!(Units::Both.mass_range(20.0, 20.1), "20 kg (44 lb)");
    }

    /// Catches lines wider than a page and words lost when a paragraph is folded.
    #[test]
    fn paragraphs_fold_between_words() {
        let text = "honey ".repeat(60);
        let mut out = String::new();
        para(&mut out, "  ", &text);
        assert!(out.lines().all(|l| l.chars().count() <= WIDTH));
        assert_eq!(out.split_whitespace().count(), 60);
        assert_eq!([0.0, 0.3, 9.75].map(frames), ["0", "1/2", "10"]);
        assert_eq!(in_ten(0.9), "9 winters in 10");
        assert_eq!(in_ten(0.95), "95 winters in 100");
    }
}
