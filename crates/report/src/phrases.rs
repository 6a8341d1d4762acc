//! Words and numbers that comparisons and rankings share.

use super::words::Units;
pub(super) use super::words::in_ten;
use crate::network::NetworksWords;
use crate::text;
use crate::texts::{either, said};
use partywall_core::answer::head::Head;
use partywall_core::decision::gains::{Difference, Gain};
use partywall_core::decision::uncertainty::{UncertaintyBudget, UncertaintySource};
use partywall_core::ensemble::winters::Basis;

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
        return text!(
            "contest.too_close_call_kg",
            kg = format!("{kg:+.1}"),
            low = format!("{:+.1}", d.spread.low),
            high = format!("{:+.1}", d.spread.high)
        )
        .replace("-0.0", "+0.0");
    }
    let litres = kg.abs() / partywall_core::decision::stores::STORES_PER_LITRE_SYRUP;
    let worth = if given {
        String::new()
    } else if litres < 0.95 {
        text!("contest.worth_less_than_litre")
    } else {
        let s = if litres < 1.5 { "" } else { "s" };
        text!(
            "contest.worth_litre_syrup",
            litres = format!("{litres:.0}"),
            s
        )
    };
    text!(
        "contest.honey_worth",
        kg = size_kg_lb(kg),
        more_or_less = either(kg > 0.0, "contest.more", "contest.less"),
        worth,
        range = range(d)
    )
}

/// Margins above this are told as "more than": nobody has seen a cluster in air so cold, K.
pub(super) const WIDE_MARGIN: f64 = 30.0;

/// What a difference of the weakest margin comes to; `None` when it is too close to call or wide both ways.
pub(super) fn margin(g: &Gain) -> Option<String> {
    let k = g.margin.spread.middle;
    let wide = g.heat_in_hand.iter().all(|h| *h > WIDE_MARGIN);
    (!g.margin.close && !wide).then(|| {
        text!(
            "contest.weakest_moment_safe",
            kelvins = kelvin(k.abs()),
            more_or_less = either(k > 0.0, "contest.more", "contest.less")
        )
    })
}

/// Days on which water drips: "no day", "1 day", "12 days".
pub(super) fn days(days: f64) -> String {
    match days.round() {
        d if d < 0.5 => text!("contest.no_day"),
        d if d < 1.5 => text!("contest.day"),
        d => text!("contest.days", count = d),
    }
}

/// Days of drip that are a difference worth telling (a choice: two or three days are one thaw more).
pub(super) const DRIP_TOLD: f64 = 4.0;

/// What a change does to the drip on the bees, if it is worth telling.
pub(super) fn drip(g: &Gain) -> Option<String> {
    let [before, after] = g.drip_days;
    ((before - after).abs() >= DRIP_TOLD).then(|| {
        text!(
            "contest.drip",
            after = days(after),
            before = format!("{before:.0}")
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
        (g.bees * kg < 0.0).then_some(either(
            kg < 0.0,
            "contest.more_bees_eat_more",
            "contest.fewer_bees_eat_less",
        ))
    } else if kg > 0.0 && g.flight_hours <= -FEWER_FLIGHTS {
        Some(said("contest.colder_air_saves_honey"))
    } else if kg < 0.0 && g.flight_hours >= FEWER_FLIGHTS {
        Some(said("contest.warmer_stiller_air_bees"))
    } else if kg < 0.0 && g.margin.spread.middle > 0.0 {
        Some(said("contest.warmer_stiller_air_costs"))
    } else {
        None
    }
}

/// Whether a count of draws is worth telling: a tenth of them, or more (a choice; one or two are chance).
pub(super) fn worth_telling(n: i64, draws: usize) -> bool {
    n != 0 && 10 * n.unsigned_abs() >= draws as u64
}

/// Other things that got worse or better in some of the draws.
pub(super) fn counts(g: &Gain, draws: usize) -> Vec<String> {
    let mut all = Vec::new();
    let mut say = |n: i64, [before, after]: [usize; 2], what: &str, clear: bool| {
        if clear || worth_telling(n, draws) {
            let sure = either(clear, "contest.more_than_chance", "");
            all.push(text!(
                "contest.instead_draws",
                what,
                after,
                before,
                draws,
                sure
            ));
        }
    };
    say(g.starved_fewer, g.starved, "starves", g.starving.clear);
    say(
        g.too_cold_fewer,
        g.too_cold,
        said("contest.killed_cold_alone"),
        false,
    );
    all
}

/// Where the doubts about a colony's honey to spare come from, apart, largest first.
pub(super) fn doubts(d: &UncertaintyBudget, weighed: bool) -> String {
    let named = |what: UncertaintySource| match what {
        UncertaintySource::Winters => said("contest.one_winter_next"),
        UncertaintySource::Colonies => said("contest.one_colony_next"),
        UncertaintySource::Bees => said("contest.your_count_bees"),
        UncertaintySource::Weighing if weighed => said("contest.tare_scale"),
        UncertaintySource::Weighing => said("contest.your_count_honey_frames"),
    };
    let list: Vec<String> = d
        .ranked
        .iter()
        .map(|(what, kg)| format!("{} {}", named(*what), size_kg_lb(*kg)))
        .collect();
    let mut text = text!("contest.give_take_eight_times", list = list.join(", "));
    if let Some((most, _)) = d.ranked.first() {
        text += &text!("contest.what_matters_most", source = named(*most));
    }
    if let Some(p) = d.parameters.first() {
        let eats = either(p.rho > 0.0, "contest.more", "contest.less");
        text += &text!("contest.what_makes_colonies_differ", name = p.name, eats);
    }
    text
}

/// What a comparison rests on, one paragraph each.
pub(super) fn basis(head: &Head) -> Vec<String> {
    let (c, drawn) = (&head.climate, head.drawn);
    let mut lines: Vec<String> = head
        .warnings
        .iter()
        .map(|w| {
            text!(
                "contest.look_at",
                hives = w.hives.join(", "),
                at = w.at,
                what = w.what
            )
        })
        .collect();
    lines.push(text!(
        "contest.weather_rests_on",
        winters = match (c.winters.first(), c.winters.last()) {
            _ if c.basis != Basis::Real =>
                text!("contest.winters_made_up", winters = c.winters.len()),
            (Some(a), Some(b)) => text!(
                "contest.whole_winters",
                winters = c.winters.len(),
                available = c.available,
                first = a,
                last = b
            ),
            _ => text!("contest.no_winter"),
        },
        station = c.station,
        source = c.source
    ));
    lines.extend(c.notes.iter().cloned());
    lines.push(text!(
        "contest.usual_colony_bees_counted",
        winters = drawn.winters,
        colonies = drawn.colonies,
        how_often = match drawn.colonies / drawn.winters.max(1) {
            1 => text!("contest.once"),
            n => text!("contest.times", count = n),
        }
    ));
    lines.push(text!("contest.difference_middle_draws_range"));
    lines.push(text!("contest.starving_more_than_chance"));
    lines.push(text!("contest.stores_needed_spare_usual"));
    lines.push(text!("contest.damp_of_a_poor_winter"));
    lines.push(head.network.basis(head.grid));
    lines.push(text!("contest.not_counted_nectar_before"));
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
                drip_days: [0.0; 2],
                dripped: [0; 2],
                lid_most: [0.0; 2],
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
