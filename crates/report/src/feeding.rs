//! What to feed and until when, in words; syrup only as long as bees still take it.

use super::phrases::capital;
use super::words::{Units, day};
use crate::words::SyrupWords;
use partywall_core::calendar::words;
use partywall_core::decision::advice::Advice;
use partywall_core::decision::feeding::{Feed, LastFeeding};

/// What is given instead when it is too late for that much syrup on the day it is told; `None` when there is still time for all of it. One
/// rule: syrup is told only on a day on which all that is wanted is still taken in as many autumns as the last day asks for; else none of it.
fn too_late(f: &Feed, l: &LastFeeding, u: Units) -> Option<String> {
    l.too_late.then(|| {
        format!(
            "{} of sugar, dry or as fondant, laid on the frames over the bees",
            u.sugar_needed(f.syrup_litres)
        )
    })
}

/// Whether the combs cannot hold what is needed and are as good as full.
fn full(a: &Advice) -> bool {
    a.beyond_combs.is_some() && a.feed.is_none()
}

/// Said then.
const NO_ROOM: &str =
    "feed nothing now: there is no room for it in these combs until there are more of them";

/// The line of the long answer: what makes up for what is short, or until when that could be done. `start` is the day of the weighing.
pub(super) fn line(a: &Advice, start: &str, u: Units) -> Option<String> {
    if full(a) {
        return Some(capital(NO_ROOM));
    }
    let to = if a.beyond_combs.is_some() {
        "To fill these combs"
    } else {
        "To make it up"
    };
    match (&a.feed, &a.last_feeding) {
        (Some(f), Some(l)) => Some(match too_late(f, l, u) {
            Some(sugar) => format!(
                "{to} it is too late for {} of syrup: bees take all of it in {} of the record's {} autumns only if it is on by {}, and \
                 {}. Give {}",
                u.syrup_needed(f.syrup_litres),
                l.autumns - missed(l),
                l.autumns,
                day(l.date),
                a.on.map_or_else(
                    || format!("you weigh on {start}"),
                    |on| format!("it is {}", words(on))
                ),
                sugar
            ),
            None => format!(
                "{to}: {} of 2:1 syrup (by weight), that is {} of sugar, on the hive by {}: bees take it only while it is warmer than \
                 {}, and put on later some of it was left in {} of the record's {} autumns. After that day give dry sugar or fondant, never \
                 syrup",
                u.syrup_needed(f.syrup_litres),
                u.sugar_needed(f.syrup_litres),
                day(l.date),
                u.temperature(l.not_below_c),
                missed(l),
                l.autumns
            ),
        }),
        (Some(f), None) => Some(format!(
            "{to}: {} of 2:1 syrup (by weight), that is {} of sugar. No last day can be told: the weather record has too few whole \
             autumns, or none in which bees would take so much",
            u.syrup_needed(f.syrup_litres),
            u.sugar_needed(f.syrup_litres)
        )),
        (None, Some(l)) => Some(if l.too_late {
            format!(
                "Should it turn out short: give dry sugar or fondant. For {} of syrup it is too late, they had to be on by {}",
                u.syrup(l.litres),
                day(l.date)
            )
        } else {
            format!(
                "Should it turn out short: {} of 2:1 syrup must be on by {}",
                u.syrup(l.litres),
                day(l.date)
            )
        }),
        (None, None) => None,
    }
}

/// So many autumns lie beyond the level.
fn missed(l: &LastFeeding) -> usize {
    (((1.0 - l.level) * l.autumns as f64).round().max(1.0) as usize).min(l.autumns)
}

/// The same for a table; empty when nothing is known of it.
pub(super) fn short(a: &Advice, u: Units) -> String {
    if full(a) {
        return capital(NO_ROOM);
    }
    match (&a.feed, &a.last_feeding) {
        (Some(f), Some(l)) => match too_late(f, l, u) {
            Some(sugar) => format!(
                "Too late for {} of syrup (on by {}): feed {}",
                u.syrup_needed(f.syrup_litres),
                day(l.date),
                sugar
            ),
            None => format!(
                "Feed {} of 2:1 syrup, {} of sugar, by {}",
                u.syrup_needed(f.syrup_litres),
                u.sugar_needed(f.syrup_litres),
                day(l.date)
            ),
        },
        (Some(f), None) => format!(
            "Feed {} of 2:1 syrup, {} of sugar; no last day can be told",
            u.syrup_needed(f.syrup_litres),
            u.sugar_needed(f.syrup_litres)
        ),
        (None, Some(l)) if l.too_late => format!(
            "None needed; should it turn out short, dry sugar or fondant: for {} of syrup it is too late (on by {})",
            u.syrup(l.litres),
            day(l.date)
        ),
        (None, Some(l)) => format!(
            "None needed; should it turn out short, {} of 2:1 syrup must be on by {}",
            u.syrup(l.litres),
            day(l.date)
        ),
        (None, None) => String::new(),
    }
}

/// The row for the shed wall; `planned` when feed is planned that counts.
pub(super) fn row(a: &Advice, planned: bool, u: Units) -> String {
    let nothing = if planned {
        "nothing, once that is on"
    } else {
        "nothing while the scale reads as above"
    };
    if full(a) {
        return NO_ROOM.to_owned();
    }
    match (&a.feed, &a.last_feeding) {
        (Some(f), Some(l)) if l.too_late => {
            let sugar = too_late(f, l, u).unwrap_or_default();
            format!("{sugar}; for so much syrup it is too late")
        }
        (Some(f), last) => {
            let by = last
                .as_ref()
                .map_or_else(String::new, |l| format!(", all on by {}", day(l.date)));
            format!(
                "{} of 2:1 = {} of sugar{by}; then only dry sugar or fondant",
                u.syrup_needed(f.syrup_litres),
                u.sugar_needed(f.syrup_litres)
            )
        }
        (None, Some(l)) if l.too_late => {
            format!("{nothing}; else dry sugar or fondant, no syrup any more")
        }
        (None, Some(l)) => format!(
            "{nothing}; else {} of 2:1 must be on by {}",
            u.syrup(l.litres),
            day(l.date)
        ),
        (None, None) => nothing.to_owned(),
    }
}
