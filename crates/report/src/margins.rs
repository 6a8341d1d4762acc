//! Margins in words: each with its number, its day, and what would change it.

use super::phrases;
use super::standing::off_target;
use super::words::{LightWords, Units, day, day_of_year, frames, sugar_over};
use crate::text;
use crate::texts::{either, said};
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

/// The margins, a paragraph each.
pub(super) fn paragraphs(c: &ColonyResult, a: &Advice, u: Units) -> Vec<String> {
    let told = |l: Line| format!("{}: {} - {}", l.what, l.word.text().to_uppercase(), l.words);
    lines(c, a, u).into_iter().map(told).collect()
}

/// The margins: stores (not below five winters), reach, bees, cold, damp.
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
    let size = text!(
        "margins.deep_frames_bees_more",
        frames = frames(m.size.value),
        wanted = format!("{FRAMES_COMFORTABLE:.0}"),
        advice = size_words(m)
    );
    all.push(line("Bees", &m.size, size));
    let chilled = if c.too_cold > 0 {
        text!(
            "margins.winters_cold_alone_would",
            too_cold = c.too_cold,
            winters = n
        )
    } else {
        String::new()
    };
    let help = if m.cold.word == Word::Comfortable {
        ""
    } else {
        said("margins.more_bees_foam_under")
    };
    let cold = text!("margins.weakest", moment = weakest(c, u), chilled, help);
    all.push(line("Cold", &m.cold, cold));
    all.push(line("Damp", &m.damp, damp_words(c, &m.damp, u)));
    all
}

/// What to do about a small colony. Combining is advised on the grounds of [`partywall_core::decision::too_small`] only, as in `rank`.
fn size_words(m: &Margins) -> String {
    if m.size.word == Word::Comfortable {
        String::new()
    } else if m.cold.word == Word::ActNow {
        text!(
            "margins.does_not_hold_warmth",
            combined = said("margins.combined")
        )
    } else if m.size.word == Word::ActNow {
        text!(
            "margins.so_few_marginal_though",
            combined = said("margins.combined")
        )
    } else {
        text!("margins.stands_cold_alone_so")
    }
}

/// How often water drips on the bees, how much lies under the lid at the worst, and what would change it.
fn damp_words(c: &ColonyResult, m: &Margin, u: Units) -> String {
    let water = &c.water.summary;
    let (wet, winters) = (water.winters_dripped, c.winters.len());
    let lid = match water.lid_worst_on {
        Some(on) if water.lid_worst >= WORTH_SEEING => text!(
            "margins.most_under_lid",
            most = u.light(water.lid_worst),
            on = on.strftime("%-d %b %Y")
        ),
        _ => text!("margins.lid_stays_dry"),
    };
    let most = c.winters.iter().map(|w| w.water.drip_days).max();
    let days = phrases::days(m.value);
    // Below five winters the worst of them.
    let worst = c.winters.iter().map(|w| w.water.on_bees);
    let worst = worst.fold(0.0, f64::max);
    let on_bees = u.light(water.on_bees.poor.unwrap_or(worst));
    let first = m
        .date
        .map_or_else(String::new, |d| text!("margins.earliest", day = day(d)));
    let drip = match (wet, m.word) {
        (0, _) => text!("margins.no_water_drips", winters),
        (_, Word::Comfortable) => text!(
            "margins.drips_seldom",
            wet,
            winters,
            most = phrases::days(f64::from(most.unwrap_or_default()))
        ),
        _ => text!("margins.drips", wet, winters, days, on_bees, first),
    };
    let help = either(
        m.word == Word::Comfortable,
        "",
        "margins.foam_first_then_hole",
    );
    format!("{drip}{lid}{help}")
}

fn stores_words(c: &ColonyResult, a: &Advice, m: &Margin, u: Units) -> String {
    let place = match &c.target {
        Some(g) if m.value.abs() >= WORTH_FEEDING => {
            let side = either(m.value < 0.0, "margins.below", "margins.above");
            text!("margins.off_target", off_target = off_target(c, g, u), side)
        }
        _ => text!("margins.on_target"),
    };
    let ran_out = c
        .winters
        .iter()
        .filter(|w| w.starved.is_some_and(|s| s.beside_honey.is_none()))
        .count();
    let short = if ran_out == 0 {
        text!("margins.no_winter_would_all")
    } else {
        text!(
            "margins.winters_all_would_have",
            ran_out,
            winters = c.winters.len()
        )
    };
    let late = a.last_feeding.as_ref().is_some_and(|l| l.too_late);
    let act = match (m.word, m.date, m.value <= -WORTH_FEEDING) {
        (Word::Comfortable, ..) => String::new(),
        (.., true) if a.beyond_combs.is_some() => {
            text!("margins.give_more_combs_combine")
        }
        (.., true) if late => {
            text!("margins.feed_now_dry_sugar")
        }
        (_, Some(d), true) => text!("margins.feed", day = day(d)),
        _ => text!("margins.first_heft", first_heft = day_of_year(a.first_heft)),
    };
    format!("{place}; {short}{act}")
}

/// Whether the bees could get at their honey in the winters as they were, with the honey that is there. What they leave behind of too
/// little honey is another matter, and told with the stores.
fn reach_words(c: &ColonyResult, a: &Advice, n: usize, u: Units) -> String {
    let (m, near) = (&a.margins.reach, a.near_starving);
    let hair = match near {
        0 => String::new(),
        1 => text!("margins.one_winter_came_within"),
        _ => text!("margins.winters_came_within_day", near),
    };
    if m.value < 0.5 {
        if near > 0 {
            return text!("margins.too_close_call_none", winters = n, hair);
        }
        return text!("margins.honey_has_now_no");
    }
    let most = c
        .winters
        .iter()
        .filter_map(|w| w.starved?.beside_honey)
        .fold(0.0, f64::max);
    let first = m
        .date
        .map_or_else(String::new, |d| text!("margins.earliest", day = day(d)));
    let (close, also) = match (m.close, near) {
        (true, _) => (
            said("margins.too_close_call"),
            text!("margins.some_winters_turned_day"),
        ),
        (false, 0) => ("", String::new()),
        (false, _) => ("", format!("; {hair}")),
    };
    // Where stores are far too small the bees starved beside a rest of them: there more weight is what is wanted first.
    let cure = either(
        short_of_stores(a),
        "margins.short_stores_first_see",
        "margins.more_weight_does_not",
    );
    text!(
        "margins.winters_would_have_starved",
        close,
        count = format!("{:.0}", m.value),
        winters = n,
        most = u.mass(most),
        first,
        also,
        cure,
        sugar_over = sugar_over(u)
    )
}

/// Less dew or ice under the lid than this goes unseen, kg (a choice).
const WORTH_SEEING: f64 = 0.002;

/// Whether stores do not suffice, so that nothing can be said of more weight.
fn short_of_stores(a: &Advice) -> bool {
    let stores = a.margins.stores.as_ref();
    stores.is_some_and(|s| s.word != Word::Comfortable && s.value <= -WORTH_FEEDING)
}

/// The weakest moment: when, how cold, and how much colder it could have been.
pub(super) fn weakest(c: &ColonyResult, u: Units) -> String {
    let m = &c.weakest.moment;
    let brood = either(m.brood, "margins.brood_keep_warm", "");
    let fed = c
        .winters
        .iter()
        .find(|w| w.winter == c.weakest.winter)
        .and_then(|w| w.starved)
        .filter(|s| s.date < m.time.date())
        .map_or_else(String::new, |s| {
            text!("margins.if_fed_winter_starved", date = day(s.date))
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
        text!(
            "margins.outermost_bees_were_below",
            mantle_margin = u.kelvin(-m.mantle_margin),
            stiff
        )
    } else {
        text!(
            "margins.kept_outermost_bees_at",
            mantle_c = u.temperature(m.mantle_c),
            stiff
        )
    };
    if m.heat_in_hand > 0.5 {
        let more = if m.heat_in_hand > WIDE_MARGIN {
            text!("margins.more_than", wide_margin = u.kelvin(WIDE_MARGIN))
        } else {
            u.kelvin(m.heat_in_hand)
        };
        text!("margins.fed_dry_could_have", more, outer)
    } else {
        text!("margins.bees_were_making_all", outer)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::run::tests::{answer, demo};
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
                drips: &[(0, None); 10],
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
            assert!(
                words.contains("combine it in autumn") && words.contains(said("margins.combined"))
            );
            assert!(words.contains(ground), "{words}");
        }
    }

    /// Catches a wet hive without what would help, a way out before the lid, opening advised in the cold, and a dry hive that is told to do
    /// something.
    #[test]
    fn a_wet_lid_is_told_what_helps() {
        let told = |days: u32| {
            let (_, mut r) = answer(&demo(), &[20.0; 6]);
            let c = &mut r.colonies[0];
            for w in &mut c.winters {
                w.water.drip_days = days;
            }
            let s = &mut c.water.summary;
            (s.lid_worst, s.lid_worst_on) = (0.34, Some(date(1984, 2, 3)));
            s.winters_dripped = if days > 0 { 6 } else { 0 };
            s.on_bees.poor = Some(0.13);
            let mut a = c.advice.clone().unwrap();
            let word = match days {
                0 => Word::Comfortable,
                _ => Word::ActNow,
            };
            (a.margins.damp.word, a.margins.damp.value) = (word, f64::from(days));
            a.margins.damp.date = (days > 0).then(|| date(1983, 12, 12));
            let lines = lines(c, &a, Units::Both);
            lines.into_iter().find(|l| l.what == "Damp").unwrap().words
        };
        let wet = told(12);
        for words in [
            "in 6 of 6 winters water drips on the bees, on 12 days of a poor one; 130 g (4.6 oz) in all then, the earliest on 12 Dec",
            "340 g (12.0 oz), on 3 Feb 1984",
            "Do not open the hive for it in the cold",
        ] {
            assert!(wet.contains(words), "{wet}");
        }
        assert!(wet.find("oam").unwrap() < wet.find("upper hole").unwrap());
        let dry = told(0);
        assert!(
            dry.starts_with("in none of 6 winters") && !dry.contains("oam"),
            "{dry}"
        );
    }
}
