//! What to feed and until when, in words; syrup only as long as bees still take it.

use super::phrases::capital;
use super::words::{Units, day};
use crate::text;
use crate::texts::{either, said};
use crate::words::SyrupWords;
use partywall_core::calendar::words;
use partywall_core::decision::advice::Advice;
use partywall_core::decision::feeding::{Feed, LastFeeding};

/// What is given instead when it is too late for that much syrup on the day it is told; `None` when there is still time for all of it. One
/// rule: syrup is told only on a day on which all that is wanted is still taken in as many autumns as the last day asks for; else none of it.
fn too_late(f: &Feed, l: &LastFeeding, u: Units) -> Option<String> {
    l.too_late.then(|| {
        text!(
            "feeding.sugar_dry_fondant_laid",
            sugar = u.sugar_needed(f.syrup_litres)
        )
    })
}

/// Whether the combs cannot hold what is needed and are as good as full.
fn full(a: &Advice) -> bool {
    a.beyond_combs.is_some() && a.feed.is_none()
}

/// The line of the long answer: what makes up for what is short, or until when that could be done. `start` is the day of the weighing.
pub(super) fn line(a: &Advice, start: &str, u: Units) -> Option<String> {
    if full(a) {
        return Some(capital(said("feeding.no_room")));
    }
    let to = either(
        a.beyond_combs.is_some(),
        "feeding.fill_these_combs",
        "feeding.make_up",
    );
    match (&a.feed, &a.last_feeding) {
        (Some(f), Some(l)) => Some(match too_late(f, l, u) {
            Some(sugar) => text!(
                "feeding.too_late_syrup_bees",
                to,
                syrup_litres = u.syrup_needed(f.syrup_litres),
                taken = l.autumns - missed(l),
                autumns = l.autumns,
                date = day(l.date),
                told_on = a.on.map_or_else(
                    || text!("feeding.you_weigh", start),
                    |on| format!("it is {}", words(on))
                ),
                sugar
            ),
            None => text!(
                "feeding.syrup_weight_sugar_hive",
                to,
                syrup = u.syrup_needed(f.syrup_litres),
                sugar = u.sugar_needed(f.syrup_litres),
                date = day(l.date),
                warmth = u.temperature(l.not_below_c),
                missed = missed(l),
                autumns = l.autumns
            ),
        }),
        (Some(f), None) => Some(text!(
            "feeding.syrup_weight_sugar_no",
            to,
            syrup = u.syrup_needed(f.syrup_litres),
            sugar = u.sugar_needed(f.syrup_litres)
        )),
        (None, Some(l)) => Some(if l.too_late {
            text!(
                "feeding.should_turn_out_short",
                litres = u.syrup(l.litres),
                date = day(l.date)
            )
        } else {
            text!(
                "feeding.should_turn_out_short_syrup",
                litres = u.syrup(l.litres),
                date = day(l.date)
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
        return capital(said("feeding.no_room"));
    }
    match (&a.feed, &a.last_feeding) {
        (Some(f), Some(l)) => match too_late(f, l, u) {
            Some(sugar) => text!(
                "feeding.too_late_syrup_feed",
                syrup_litres = u.syrup_needed(f.syrup_litres),
                date = day(l.date),
                sugar
            ),
            None => text!(
                "feeding.feed_syrup_sugar",
                syrup = u.syrup_needed(f.syrup_litres),
                sugar = u.sugar_needed(f.syrup_litres),
                date = day(l.date)
            ),
        },
        (Some(f), None) => text!(
            "feeding.feed_syrup_sugar_no",
            syrup = u.syrup_needed(f.syrup_litres),
            sugar = u.sugar_needed(f.syrup_litres)
        ),
        (None, Some(l)) if l.too_late => text!(
            "feeding.none_needed_should_turn",
            litres = u.syrup(l.litres),
            date = day(l.date)
        ),
        (None, Some(l)) => text!(
            "feeding.none_needed_should_turn_out",
            litres = u.syrup(l.litres),
            date = day(l.date)
        ),
        (None, None) => String::new(),
    }
}

/// The row for the shed wall; `planned` when feed is planned that counts.
pub(super) fn row(a: &Advice, planned: bool, u: Units) -> String {
    let nothing = either(
        planned,
        "feeding.nothing_once",
        "feeding.nothing_while_scale_reads",
    );
    if full(a) {
        return said("feeding.no_room").to_owned();
    }
    match (&a.feed, &a.last_feeding) {
        (Some(f), Some(l)) if l.too_late => {
            let sugar = too_late(f, l, u).unwrap_or_default();
            text!("feeding.so_much_syrup_too", sugar)
        }
        (Some(f), last) => {
            let by = last
                .as_ref()
                .map_or_else(String::new, |l| text!("feeding.all", date = day(l.date)));
            text!(
                "feeding.sugar_then_only_dry",
                syrup = u.syrup_needed(f.syrup_litres),
                sugar = u.sugar_needed(f.syrup_litres),
                by
            )
        }
        (None, Some(l)) if l.too_late => {
            text!("feeding.else_dry_sugar_fondant", nothing)
        }
        (None, Some(l)) => text!(
            "feeding.else_must",
            nothing,
            litres = u.syrup(l.litres),
            date = day(l.date)
        ),
        (None, None) => nothing.to_owned(),
    }
}
