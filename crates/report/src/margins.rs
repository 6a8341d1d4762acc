//! Margins in words: each with its number, its day, and what would change it.

use super::standing::off_target;
use super::words::{Units, day, day_of_year, frames, sugar_over};
use partywall_core::decision::advice::Advice;
use partywall_core::decision::margins::{FRAMES_COMFORTABLE, Margin, Margins, WORTH_FEEDING, Word};
use partywall_core::decision::result::ColonyResult;
use partywall_core::season::outcome::Moment;

/// One margin: what it is of, the word, and its number, day and what would change it.
pub(super) struct Line {
    pub what: &'static str,
    pub word: Word,
    pub words: String,
}

/// The four margins, a paragraph each.
pub(super) fn paragraphs(c: &ColonyResult, a: &Advice, u: Units) -> Vec<String> {
    let told = |l: Line| format!("{}: {} - {}", l.what, l.word.text().to_uppercase(), l.words);
    lines(c, a, u).into_iter().map(told).collect()
}

/// The margins: stores (not below five winters), reach, bees, cold.
pub(super) fn lines(c: &ColonyResult, a: &Advice, u: Units) -> Vec<Line> {
    let m = &a.margins;
    let n = c.winters.len();
    let line = |what, m: &Margin, words| Line {
        what,
        word: m.word,
        words,
    };
    let mut all = Vec::new();
    if let Some(stores) = &m.stores {
        all.push(line("Stores", stores, stores_words(c, a, stores, u)));
    }
    all.push(line("Reach", &m.reach, reach_words(c, a, n, u)));
    let size = format!(
        "{} deep frames of bees; {FRAMES_COMFORTABLE:.0} or more are wanted in cold places (common practice){}",
        frames(m.size.value),
        size_words(m)
    );
    all.push(line("Bees", &m.size, size));
    let chilled = if c.too_cold > 0 {
        format!(
            "; in {} of {n} winters the cold alone would have killed it",
            c.too_cold
        )
    } else {
        String::new()
    };
    let help = if m.cold.word == Word::Comfortable {
        ""
    } else {
        ". More bees, foam under the lid, or shelter from wind would help"
    };
    let cold = format!("weakest {}{chilled}{help}", weakest(c, u));
    all.push(line("Cold", &m.cold, cold));
    all
}

/// What combining a colony costs.
pub(super) const COMBINED: &str =
    "that costs a queen, and the one hive must then hold honey for both";

/// What to do about a small colony. Combining is advised on the grounds of [`partywall_core::decision::too_small`] only, as in `rank`.
fn size_words(m: &Margins) -> String {
    if m.size.word == Word::Comfortable {
        String::new()
    } else if m.cold.word == Word::ActNow {
        format!(
            ". It does not hold its warmth alone: combine it in autumn with a colony that has been seen to be healthy ({COMBINED})"
        )
    } else if m.size.word == Word::ActNow {
        format!(
            ". So few are marginal, though they stand the cold alone: combine it in autumn with a colony that has been seen to be healthy \
             ({COMBINED}), or look after it first in spring"
        )
    } else {
        ". It stands the cold alone, so that combining it would cost a queen without need: look after it first in spring".to_owned()
    }
}

fn stores_words(c: &ColonyResult, a: &Advice, m: &Margin, u: Units) -> String {
    let place = match &c.target {
        Some(g) if m.value.abs() >= WORTH_FEEDING => {
            let side = if m.value < 0.0 { "below" } else { "above" };
            format!("{} {side} the target", off_target(c, g, u))
        }
        _ => "on the target".to_owned(),
    };
    let ran_out = c
        .winters
        .iter()
        .filter(|w| w.starved.is_some_and(|s| s.beside_honey.is_none()))
        .count();
    let short = if ran_out == 0 {
        "in no winter would all of it have been eaten".to_owned()
    } else {
        format!(
            "in {ran_out} of {} winters all of it would have been eaten",
            c.winters.len()
        )
    };
    let late = a.last_feeding.as_ref().is_some_and(|l| l.too_late);
    let act = match (m.word, m.date, m.value <= -WORTH_FEEDING) {
        (Word::Comfortable, ..) => String::new(),
        (.., true) if a.beyond_combs.is_some() => {
            ". Give it more combs, or combine it: these cannot hold what it needs".to_owned()
        }
        (.., true) if late => {
            ". Feed now: dry sugar or fondant, it is too late for so much syrup".to_owned()
        }
        (_, Some(d), true) => format!(". Feed by {}", day(d)),
        _ => format!(". First heft on {}", day_of_year(a.first_heft)),
    };
    format!("{place}; {short}{act}")
}

/// Whether the bees could get at their honey in the winters as they were, with the honey that is there. What they leave behind of too
/// little honey is another matter, and told with the stores.
fn reach_words(c: &ColonyResult, a: &Advice, n: usize, u: Units) -> String {
    let (m, near) = (&a.margins.reach, a.near_starving);
    let hair = match near {
        0 => String::new(),
        1 => "in one winter it came within a day or so of starving beside honey".to_owned(),
        _ => format!("in {near} winters it came within a day or so of starving beside honey"),
    };
    if m.value < 0.5 {
        if near > 0 {
            return format!(
                "too close to call: in none of {n} winters did it starve with the honey it has now, but {hair}. While it is warm, hang full frames \
                 beside and above the cluster"
            );
        }
        return "with the honey it has now, in no winter did the cold keep the bees from it"
            .to_owned();
    }
    let most = c
        .winters
        .iter()
        .filter_map(|w| w.starved?.beside_honey)
        .fold(0.0, f64::max);
    let first = m
        .date
        .map_or_else(String::new, |d| format!(", the earliest on {}", day(d)));
    let (close, also) = match (m.close, near) {
        (true, _) => (
            "too close to call: ",
            "; some winters turned on a day".to_owned(),
        ),
        (false, 0) => ("", String::new()),
        (false, _) => ("", format!("; {hair}")),
    };
    // Where stores are far too small the bees starved beside a rest of them: there more weight is what is wanted first.
    let cure = if short_of_stores(a) {
        "It is short of stores first, see above; "
    } else {
        "More weight does not cure that: "
    };
    format!(
        "{close}in {:.0} of {n} winters it would have starved beside up to {} that it could not reach in the cold{first}{also}. \
         {cure}while it is warm, hang full frames beside and above the cluster; in mid-winter, {}",
        m.value,
        u.mass(most),
        sugar_over(u)
    )
}

/// Whether stores do not suffice, so that nothing can be said of more weight.
fn short_of_stores(a: &Advice) -> bool {
    let stores = a.margins.stores.as_ref();
    stores.is_some_and(|s| s.word != Word::Comfortable && s.value <= -WORTH_FEEDING)
}

/// The weakest moment: when, how cold, and how much colder it could have been.
pub(super) fn weakest(c: &ColonyResult, u: Units) -> String {
    let m = &c.weakest.moment;
    let brood = if m.brood {
        ", with brood to keep warm"
    } else {
        ""
    };
    let fed = c
        .winters
        .iter()
        .find(|w| w.winter == c.weakest.winter)
        .and_then(|w| w.starved)
        .filter(|s| s.date < m.time.date())
        .map_or_else(String::new, |s| {
            format!(" (as if fed: that winter it starved on {})", day(s.date))
        });
    format!(
        "on {} at {}{brood}{fed}: {}",
        m.time.strftime("%-d %b %Y"),
        u.temperature(m.outdoor_c),
        in_hand(m, u)
    )
}

/// The coldest hour: when, how cold, its margins; `None` where that was the weakest moment.
pub(super) fn coldest(c: &ColonyResult, u: Units) -> Option<String> {
    let cold = &c.coldest;
    (cold.time.date() != c.weakest.moment.time.date()).then(|| {
        format!(
            "on {} at {}: {}",
            cold.time.strftime("%-d %b %Y"),
            u.temperature(cold.outdoor_c),
            in_hand(cold, u)
        )
    })
}

/// Margins above this are told as "more than": nobody has seen a cluster in air so cold, K.
const WIDE_MARGIN: f64 = 30.0;

/// The margins of an hour, by heat alone: damp, draughts through leaks, mites and disease are not in it.
fn in_hand(m: &Moment, u: Units) -> String {
    // The bees hold their mantle, so that its temperature carries no news as long as there is heat in hand.
    let stiff = u.temperature(m.mantle_c - m.mantle_margin);
    let outer = if m.mantle_margin < 0.0 {
        format!(
            "its outermost bees were {} below the {stiff} that stiffens them",
            u.kelvin(-m.mantle_margin)
        )
    } else {
        format!(
            "it kept its outermost bees at {}, and they stiffen at {stiff}",
            u.temperature(m.mantle_c)
        )
    };
    if m.heat_in_hand > 0.5 {
        let more = if m.heat_in_hand > WIDE_MARGIN {
            format!("more than {}", u.kelvin(WIDE_MARGIN))
        } else {
            u.kelvin(m.heat_in_hand)
        };
        format!("fed and dry, it could have stood air {more} colder; {outer}")
    } else {
        format!("the bees were making all the heat they can; {outer}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;
    use partywall_core::calendar::MonthDay;
    use partywall_core::decision::margins::{Facts, margins};

    /// Catches combining that is advised to a colony that stands the cold alone with frames enough, or without what it costs; and a colony
    /// that cannot hold its warmth and is only told to wait for spring.
    #[test]
    fn combining_needs_a_ground() {
        let told = |frames: f64, in_hand: f64, too_cold: usize| {
            let facts = Facts {
                spare: None,
                last_syrup: None,
                bees: 0.31 * frames,
                start: MonthDay { month: 10, day: 1 },
                starved: &[None; 10],
                closest: &[None; 10],
                too_cold,
                level: 0.9,
                weakest: (in_hand, date(2020, 1, 10)),
            };
            size_words(&margins(&facts))
        };
        assert_eq!(told(9.0, 15.0, 0), "");
        let fair = told(5.5, 9.0, 0);
        assert!(fair.contains("without need") && !fair.contains("combine it"));
        for (words, ground) in [
            (told(4.0, 9.0, 0), "stand the cold alone"),
            (told(5.5, 1.0, 0), "does not hold its warmth"),
            (told(5.5, 9.0, 2), "does not hold its warmth"),
        ] {
            assert!(words.contains("combine it in autumn") && words.contains(COMBINED));
            assert!(words.contains(ground), "{words}");
        }
    }
}
