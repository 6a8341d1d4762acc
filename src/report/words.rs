//! Weights, temperatures and syrup in a keeper's words: the one place where texts choose their units.

use crate::scenario::model::MonthDay;
use clap::ValueEnum;

/// Kilograms in a pound, by definition of the pound.
const KG_PER_LB: f64 = 0.453_592_37;
/// Litres in a US gallon, by definition.
const LITRES_PER_US_GAL: f64 = 3.785_411_784;
/// Litres in an imperial gallon, by definition.
const LITRES_PER_IMPERIAL_GAL: f64 = 4.546_09;
/// Widest line of a text, characters.
pub const WIDTH: usize = 100;

/// Which units a text is told in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
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
    fn both(self, metric: String, us: String) -> String {
        match self {
            Self::Metric => metric,
            Self::Us => us,
            Self::Both => format!("{metric} ({us})"),
        }
    }

    /// A weight in whole kilograms and pounds, from kg.
    ///
    /// ```
    /// use partywall::report::words::Units;
    /// assert_eq!(Units::Both.mass(29.9), "30 kg (66 lb)");
    /// assert_eq!(Units::Us.mass(29.9), "66 lb");
    /// ```
    #[must_use]
    pub fn mass(self, kg: f64) -> String {
        self.both(
            format!("{} kg", whole(kg)),
            format!("{} lb", whole(kg / KG_PER_LB)),
        )
    }

    /// Two weights as a range, from kg: "27-33 kg (60-73 lb)".
    #[must_use]
    pub fn mass_range(self, low: f64, high: f64) -> String {
        let range = |unit: f64, word: &str| {
            let (a, b) = (whole(low / unit), whole(high / unit));
            if a == b {
                format!("{a} {word}")
            } else {
                format!("{a}-{b} {word}")
            }
        };
        self.both(range(1.0, "kg"), range(KG_PER_LB, "lb"))
    }

    /// The size of a difference of two weights, from the rounded ones, so that the sum on the page is right; kg.
    #[must_use]
    pub fn mass_between(self, a: f64, b: f64) -> String {
        let off = |unit: f64| ((a / unit).round() - (b / unit).round()).abs();
        self.both(
            format!("{:.0} kg", off(1.0)),
            format!("{:.0} lb", off(KG_PER_LB)),
        )
    }

    /// A small weight with one decimal, from kg.
    #[must_use]
    pub fn small_mass(self, kg: f64) -> String {
        self.both(format!("{kg:.1} kg"), format!("{:.1} lb", kg / KG_PER_LB))
    }

    /// A temperature, from degC.
    ///
    /// ```
    /// use partywall::report::words::Units;
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
    /// use partywall::report::words::Units;
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

    /// An amount of syrup, from litres: both gallons unless only one system is asked for.
    ///
    /// ```
    /// use partywall::report::words::Units;
    /// assert_eq!(Units::Both.syrup(10.0), "10 litres (2.6 US gal, 2.2 imperial gal)");
    /// assert_eq!(Units::Us.syrup(10.0), "2.6 US gal");
    /// assert_eq!(Units::Metric.syrup(0.8), "1 litre");
    /// ```
    #[must_use]
    pub fn syrup(self, litres: f64) -> String {
        let us = format!("{:.1} US gal", litres / LITRES_PER_US_GAL);
        let metric = match whole(litres).as_str() {
            "1" => "1 litre".to_owned(),
            n => format!("{n} litres"),
        };
        match self {
            Self::Metric => metric,
            Self::Us => us,
            Self::Both => format!(
                "{metric} ({us}, {:.1} imperial gal)",
                litres / LITRES_PER_IMPERIAL_GAL
            ),
        }
    }
}

/// A whole number, never "-0".
fn whole(v: f64) -> String {
    let v = v.round();
    format!("{:.0}", if v == 0.0 { 0.0 } else { v })
}

/// A count of frames to the half: "9-1/2", "10", "1/2".
///
/// ```
/// assert_eq!(partywall::report::words::frames(9.4), "9-1/2");
/// assert_eq!(partywall::report::words::frames(0.4), "1/2");
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
        format!("{ten:.0} winters in 10")
    } else {
        format!("{:.0} winters in 100", level * 100.0)
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
    let words = crate::scenario::dates::words(d);
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
    format!(
        "on a calm day above {} look under the lid, and lay sugar over the bees if they sit at the top",
        u.temperature(7.0)
    )
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
            |u: Units| u.mass_between(58.3, 59.6),
            |u: Units| u.small_mass(0.26),
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
        assert_eq!(Units::Both.mass_between(58.3, 59.6), "2 kg (2 lb)");
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
