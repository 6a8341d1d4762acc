//! Words and numbers that comparisons and rankings share.

use super::words::Units;
pub(super) use super::words::in_ten;
use crate::network::NetworksWords;
use partywall_core::answer::head::Head;
use partywall_core::decision::gains::{Difference, Gain};
use partywall_core::decision::uncertainty::{UncertaintyBudget, UncertaintySource};
use partywall_core::ensemble::winters::Basis;
use std::fmt::Write;

pub(super) fn kg_lb(kg: f64) -> String {
    Units::Both.mass(kg)
}

/// The size of a difference.
pub(super) fn size_kg_lb(kg: f64) -> String {
    Units::Both.mass(kg.abs())
}

/// With a capital letter at its start.
#[must_use]
pub fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().collect::<String>() + letters.as_str()
    })
}

pub(super) fn kelvin(k: f64) -> String {
    Units::Both.kelvin(k)
}

/// From and to, in the middle eight of ten draws: "0.3 to 1.4 kg".
pub(super) fn range(d: &Difference) -> String {
    let s = d.spread;
    let (a, b) = if s.middle < 0.0 {
        (-s.high, -s.low)
    } else {
        (s.low, s.high)
    };
    format!("{a:.1} to {b:.1} kg").replace("-0.0", "0.0")
}

/// What a difference of honey comes to, in words; and what syrup it is worth, unless it is honey or syrup that is given.
pub(super) fn honey(d: &Difference, given: bool) -> String {
    let kg = d.spread.middle;
    if d.close {
        return format!(
            "too close to call ({:+.1} kg of honey; {:+.1} to {:+.1})",
            kg, d.spread.low, d.spread.high
        )
        .replace("-0.0", "+0.0");
    }
    let litres = kg.abs() / partywall_core::decision::stores::STORES_PER_LITRE_SYRUP;
    let worth = if given {
        String::new()
    } else if litres < 0.95 {
        ", worth less than 1 litre of syrup".to_owned()
    } else {
        let s = if litres < 1.5 { "" } else { "s" };
        format!(", worth {litres:.0} litre{s} of syrup")
    };
    format!(
        "{} {} honey{worth} ({})",
        size_kg_lb(kg),
        if kg > 0.0 { "more" } else { "less" },
        range(d)
    )
}

/// Margins above this are told as "more than": nobody has seen a cluster in air so cold, K.
pub(super) const WIDE_MARGIN: f64 = 30.0;

/// What a difference of the weakest margin comes to; `None` when it is too close to call or wide both ways.
pub(super) fn margin(g: &Gain) -> Option<String> {
    let k = g.margin.spread.middle;
    let wide = g.heat_in_hand.iter().all(|h| *h > WIDE_MARGIN);
    (!g.margin.close && !wide).then(|| {
        format!(
            "its weakest moment is {} {} safe",
            kelvin(k.abs()),
            if k > 0.0 { "more" } else { "less" }
        )
    })
}

/// Hours of flight that are a difference worth a reason (a choice: some four sunny days).
const FEWER_FLIGHTS: f64 = 24.0;

/// A colony whose bees differ by more is another one, kg: a tenth of a frame of them.
const OTHER_BEES: f64 = 0.03;

/// Why warmth costs honey, or cold saves it, where it does: what was found by trials on the demo pair. Of 3.7 kg that four kelvins of
/// colder air save the strong colony, 1.9 go once brood starts as early as without them (`brood_onset` at -5 degC in both), 1.1 to 1.6 with the
/// flights (`flight_share`), and the rest is a cluster that burns less at rest in cooler air; of 1.5 kg that a sheltered place costs it
/// against an open one, 1.3 are flights (18 winters, coarse grid).
pub(super) fn odd(g: &Gain) -> Option<&'static str> {
    let kg = g.honey.spread.middle;
    if g.honey.close {
        None
    } else if g.bees.abs() > OTHER_BEES {
        (g.bees * kg < 0.0).then_some(if kg < 0.0 {
            "more bees eat more"
        } else {
            "fewer bees eat less"
        })
    } else if kg > 0.0 && g.flight_hours <= -FEWER_FLIGHTS {
        Some(
            "colder air saves honey here because brood starts later and bees fly less, not because they are better off: look at heat in hand and reach",
        )
    } else if kg < 0.0 && g.flight_hours >= FEWER_FLIGHTS {
        Some(
            "in warmer or stiller air bees fly more, which costs honey; they are not worse off for it, but must have it",
        )
    } else if kg < 0.0 && g.margin.spread.middle > 0.0 {
        Some(
            "warmer or stiller air costs honey here because bees fly more, brood earlier and sit looser; what it buys is heat in hand",
        )
    } else {
        None
    }
}

/// Words that `compare` and `rank` use in every line, told before the first.
pub(super) const WORDS: &str = "A draw is one kind of colony in one of the winters; every hive goes through the same draws. Heat in hand is how \
     much colder the air could be in the weakest hour, and stay so, before the bees make all the heat they can.";

/// Whether a count of draws is worth telling: a tenth of them, or more (a choice; one or two are chance).
pub(super) fn worth_telling(n: i64, draws: usize) -> bool {
    n != 0 && 10 * n.unsigned_abs() >= draws as u64
}

/// Other things that got worse or better in some of the draws.
pub(super) fn counts(g: &Gain, draws: usize) -> Vec<String> {
    let mut all = Vec::new();
    let mut say = |n: i64, [before, after]: [usize; 2], what: &str, clear: bool| {
        if clear || worth_telling(n, draws) {
            let sure = if clear { ", more than chance" } else { "" };
            all.push(format!(
                "{what} in {after} instead of {before} of {draws} draws{sure}"
            ));
        }
    };
    say(g.starved_fewer, g.starved, "starves", g.starving.clear);
    say(g.too_cold_fewer, g.too_cold, "killed by cold alone", false);
    all
}

/// Where the doubts about a colony's honey to spare come from, apart, largest first.
pub(super) fn doubts(d: &UncertaintyBudget, weighed: bool) -> String {
    let named = |what: UncertaintySource| match what {
        UncertaintySource::Winters => "one winter and the next",
        UncertaintySource::Colonies => "one colony and the next",
        UncertaintySource::Bees => "your count of bees",
        UncertaintySource::Weighing if weighed => "tare and scale",
        UncertaintySource::Weighing => "your count of honey frames",
    };
    let list: Vec<String> = d
        .ranked
        .iter()
        .map(|(what, kg)| format!("{} {}", named(*what), size_kg_lb(*kg)))
        .collect();
    let mut text = format!("Give or take, eight times in ten: {}", list.join(", "));
    if let Some((most, _)) = d.ranked.first() {
        let _ = write!(text, ". What matters most: {}", named(*most));
    }
    if let Some(p) = d.parameters.first() {
        let _ = write!(
            text,
            ". Of what makes colonies differ, this counts most: {} (more of it eats {})",
            p.name,
            if p.rho > 0.0 { "more" } else { "less" }
        );
    }
    text
}

/// What a comparison rests on, one paragraph each.
pub(super) fn basis(head: &Head) -> Vec<String> {
    let (c, drawn) = (&head.climate, head.drawn);
    let mut lines: Vec<String> = head
        .warnings
        .iter()
        .map(|w| format!("Look at {} ({}): {}", w.hives.join(", "), w.at, w.what))
        .collect();
    lines.push(format!(
        "Weather: {}, {} ({}).",
        match (c.winters.first(), c.winters.last()) {
            _ if c.basis != Basis::Real => format!("{} winters made up", c.winters.len()),
            (Some(a), Some(b)) => format!(
                "{} of {} whole winters, {a} to {b}",
                c.winters.len(),
                c.available
            ),
            _ => "no winter".to_owned(),
        },
        c.station,
        c.source
    ));
    lines.extend(c.notes.iter().cloned());
    lines.push(format!(
        "The usual colony: bees as counted and eaters as `partywall parameters` has them, in each of the {} winters. Draws: {} kinds of \
         colony, drawn within the ranges of `partywall parameters` and kept where they agree with \
         measurements, each in one of those winters, every winter {}. All hives went through the same draws, so that \
         differences are of the hives.",
        drawn.winters,
        drawn.colonies,
        match drawn.colonies / drawn.winters.max(1) {
            1 => "once".to_owned(),
            n => format!("{n} times"),
        }
    ));
    lines.push(
        "A difference is the middle of the draws, with the range of eight draws in ten behind it; it is too close to call when \
         less than nine draws in ten agree which is better, or when a scale would not show it (a quarter of a kilogram, half a pound)."
            .to_owned(),
    );
    lines.push(
        "Starving is more than chance when the draws in which the colony starves in one hive only lie so unevenly to one side as fair coins \
         do once in twenty times or less; six to none do, five to none do not. Of twenty changes one may pass by chance."
            .to_owned(),
    );
    lines.push(
        "Stores needed and to spare are the usual colony's, reckoned as in `partywall run`, with what stays out of the bees' reach (each \
         winter run again with just the honey it takes). Differences are over the draws, of honey eaten and put in."
            .to_owned(),
    );
    lines.push(head.network.basis(head.grid));
    lines.push(
        "Not counted: nectar before first dependable nectar, robbing, damp and disease. Queens, luck and your way of \
         keeping bees differ more than many of these changes do."
            .to_owned(),
    );
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use partywall_core::decision::gains::Spread;
    use partywall_core::decision::starving::Starving;

    /// Catches a reason that is not given where warmth costs honey or cold saves it, and one given where nothing is odd.
    #[test]
    fn what_looks_odd_gets_its_reason() {
        let difference = |middle: f64, close| Difference {
            spread: Spread {
                low: middle - 0.1,
                middle,
                high: middle + 0.1,
            },
            better: 0,
            worse: 0,
            close,
        };
        let told_of = |bees, honey, close, margin, flight_hours| {
            odd(&Gain {
                bees,
                honey: difference(honey, close),
                honey_by_winters: None,
                margin: difference(margin, false),
                starved: [0, 0],
                starved_fewer: 0,
                starving: Starving::default(),
                too_cold: [0, 0],
                too_cold_fewer: 0,
                flight_hours,
                heat_in_hand: [10.0, 10.0 + margin],
            })
        };
        let told = |honey, close, margin, flights| told_of(0.0, honey, close, margin, flights);
        assert_eq!(
            told_of(0.3, -1.9, false, 4.0, 0.0),
            Some("more bees eat more")
        );
        assert_eq!(
            told_of(-0.3, 1.9, false, -1.0, -200.0),
            Some("fewer bees eat less")
        );
        assert_eq!(told_of(-0.3, -1.9, false, 4.0, 0.0), None);
        assert!(
            told(2.2, false, -4.0, -200.0)
                .unwrap()
                .contains("colder air saves")
        );
        assert!(
            told(-0.6, false, 3.0, 0.0)
                .unwrap()
                .contains("stiller air costs")
        );
        assert_eq!(told(2.2, true, -4.0, -200.0), None);
        assert_eq!(told(0.6, false, 3.0, 0.0), None);
        assert_eq!(told(-0.6, false, -3.0, 0.0), None);
    }
}
