//! What to feed and until when, in words; syrup only as long as bees still take it.

use super::advice::Advice;
use super::words::{Units, day};
use crate::decision::feeding::{Feed, LastFeeding, feed};
use crate::decision::stores::STORES_PER_LITRE_SYRUP;
use crate::scenario::dates::words;

/// Less syrup than this is not worth a feeder, litres (a choice).
const WORTH_A_FEEDER: f64 = 1.0;

/// Syrup that is still taken whole when it is put on at the weighing, and what is left to give dry; `None` when there is still time for
/// all of it.
fn too_late(f: Option<&Feed>, l: &LastFeeding) -> Option<(f64, Feed)> {
    let litres = f.map_or(l.litres, |f| f.syrup_litres);
    l.too_late.then(|| {
        let still = if l.still_litres < WORTH_A_FEEDER {
            0.0
        } else {
            // Whole litres, so that sum and parts agree on paper.
            l.still_litres.floor().min(litres)
        };
        (still, feed((litres - still) * STORES_PER_LITRE_SYRUP))
    })
}

/// "up to 4 litres of 2:1 syrup on the hive at once, and 5 kg of sugar dry or as fondant".
fn what_still_helps(still: f64, rest: &Feed, u: Units) -> String {
    let dry = format!("{} of sugar, dry or as fondant", u.need(rest.sugar));
    if still > 0.0 {
        format!("{} of 2:1 syrup at once, and {dry}", u.syrup(still))
    } else {
        format!("{dry}, laid on the frames over the bees")
    }
}

/// The line of the long answer: what makes up for what is short, or until when that could be done. `start` is the day of the weighing.
pub(super) fn line(a: &Advice, start: &str, u: Units) -> Option<String> {
    match (&a.feed, &a.last_feeding) {
        (Some(f), Some(l)) => Some(match too_late(Some(f), l) {
            Some((still, rest)) => format!(
                "To make it up it is too late for {} of syrup: bees take all of it in {} of the record's {} autumns only if it is on by {}, and \
                 {}. Give {}",
                u.syrup_needed(f.syrup_litres),
                l.autumns - missed(l),
                l.autumns,
                day(l.date),
                a.on.map_or_else(
                    || format!("you weigh on {start}"),
                    |on| format!("it is {}", words(on))
                ),
                what_still_helps(still, &rest, u)
            ),
            None => format!(
                "To make it up: {} of 2:1 syrup (by weight), that is {} of sugar, on the hive by {}: bees take it only while it is warmer than \
                 {}, and put on later some of it was left in {} of the record's {} autumns. After that day give dry sugar or fondant, never \
                 syrup",
                u.syrup_needed(f.syrup_litres),
                u.need(f.sugar),
                day(l.date),
                u.temperature(l.not_below_c),
                missed(l),
                l.autumns
            ),
        }),
        (Some(f), None) => Some(format!(
            "To make it up: {} of 2:1 syrup (by weight), that is {} of sugar. No last day can be told: the weather record has too few whole \
             autumns, or none in which bees would take so much",
            u.syrup_needed(f.syrup_litres),
            u.need(f.sugar)
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
    match (&a.feed, &a.last_feeding) {
        (Some(f), Some(l)) => match too_late(Some(f), l) {
            Some((still, rest)) => format!(
                "Too late for {} of syrup (on by {}): feed {}",
                u.syrup_needed(f.syrup_litres),
                day(l.date),
                what_still_helps(still, &rest, u)
            ),
            None => format!(
                "Feed {} of 2:1 syrup, {} of sugar, by {}",
                u.syrup_needed(f.syrup_litres),
                u.need(f.sugar),
                day(l.date)
            ),
        },
        (Some(f), None) => format!(
            "Feed {} of 2:1 syrup, {} of sugar; no last day can be told",
            u.syrup_needed(f.syrup_litres),
            u.need(f.sugar)
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

/// The row for the shed wall.
pub(super) fn row(a: &Advice, u: Units) -> String {
    match (&a.feed, &a.last_feeding) {
        (Some(f), Some(l)) if l.too_late => {
            let (still, rest) = too_late(Some(f), l).unwrap_or((0.0, *f));
            format!(
                "{}; for more syrup than that it is too late",
                what_still_helps(still, &rest, u)
            )
        }
        (Some(f), last) => {
            let by = last
                .as_ref()
                .map_or_else(String::new, |l| format!(", all on by {}", day(l.date)));
            format!(
                "{} of 2:1 = {} of sugar{by}; then only dry sugar or fondant",
                u.syrup_needed(f.syrup_litres),
                u.need(f.sugar)
            )
        }
        (None, Some(l)) if l.too_late => {
            "nothing while the scale reads as above; else dry sugar or fondant, no syrup any more"
                .to_owned()
        }
        (None, Some(l)) => format!(
            "nothing while the scale reads as above; {} of 2:1 must be on by {}",
            u.syrup(l.litres),
            day(l.date)
        ),
        (None, None) => "nothing while the scale reads as above".to_owned(),
    }
}
