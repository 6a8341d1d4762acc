//! The days that frame the winter, and their order.

use super::node::{Node, Section};
use super::reader::Reader;
use crate::calendar::{self, MonthDay};
use crate::stand::{Season, Stress};
use crate::units::format;

/// Shortest and longest time from the autumn weighing to the first nectar, days: outside, a date is a slip.
const WINTER_DAYS: std::ops::RangeInclusive<u32> = 60..=310;

/// Reads what makes the winter worse; a late spring moves the first nectar of `season`.
pub(super) fn stress<'a>(reader: &mut Reader<'a>, s: &Section<'a>, season: &mut Season) -> Stress {
    let colder = reader.quantity(s, "colder").unwrap_or(0.0);
    let late_spring = late_spring(reader, s, season).unwrap_or(0);
    Stress {
        colder,
        late_spring,
    }
}

fn late_spring<'a>(reader: &mut Reader<'a>, s: &Section<'a>, season: &mut Season) -> Option<u32> {
    let at = s.get("late_spring")?;
    let days = reader.quantity_at(&at, s.key("late_spring"))? / 86_400.0;
    if (days - days.round()).abs() > 1e-6 {
        let (path, written) = (&at.path, at.written());
        reader.refuse(
            &at.span,
            "no_whole_days",
            &[("path", path), ("written", &written)],
        );
        return None;
    }
    let late = days.round() as u32;
    let before = season.first_nectar;
    let length = calendar::days_between(season.start, before) + late;
    if reader.winter.is_some() && !WINTER_DAYS.contains(&length) {
        reader.refuse(
            &at.span,
            "spring_too_late",
            &[("late", &late), ("length", &length)],
        );
        return Some(late);
    }
    season.first_nectar = calendar::later(before, late);
    let used = format!("first nectar on {}", calendar::words(season.first_nectar));
    reader.converted(
        &at,
        used,
        format!("{late} days after {}", calendar::words(before)),
    );
    Some(late)
}

/// A day under a key, or its usual one; with the node only when it was written and could be read.
fn day_or<'a>(reader: &mut Reader<'a>, s: &Section<'a>, key: &str) -> (MonthDay, Option<Node<'a>>) {
    let usual = calendar::parse(s.key(key).usual()).unwrap_or(MonthDay { month: 1, day: 1 });
    if s.has(key) {
        return reader
            .day(s, key)
            .map_or((usual, None), |(d, n)| (d, Some(n)));
    }
    reader.usual(s, key, calendar::words(usual));
    (usual, None)
}

/// First nectar: written, some days after the first dandelion, or the usual day with a warning.
fn first_nectar<'a>(reader: &mut Reader<'a>, s: &Section<'a>) -> (MonthDay, Option<Node<'a>>) {
    match (s.has("first_nectar"), reader.day(s, "first_dandelion")) {
        (true, Some((_, at))) => reader.refuse(&at.span, "nectar_and_dandelion", &[]),
        (false, Some((d, at))) => {
            let row = reader.keys.behind("dandelion_to_nectar");
            let nectar = calendar::later(d, row.default_value() as u32);
            let days = format::trimmed(row.default_value(), 0);
            let note = format!("first dandelion + {days} days; {}", row.source);
            reader.derived(
                &s.path_of("first_nectar"),
                None,
                calendar::words(nectar),
                note,
            );
            return (nectar, Some(at));
        }
        (false, None) if !s.has("first_dandelion") => reader.caution(&s.span, "no_nectar_day", &[]),
        _ => {}
    }
    day_or(reader, s, "first_nectar")
}

/// Reads the season and checks the order of its days. The days between which all others must lie are known to the reader only when each of
/// them could be read: a usual day in place of one that could not be is no ground to refuse another.
pub(super) fn season<'a>(reader: &mut Reader<'a>, s: &Section<'a>) -> Season {
    let (start, start_at) = day_or(reader, s, "start");
    let (first_nectar, nectar_at) = first_nectar(reader, s);
    let days = calendar::days_between(start, first_nectar);
    let known = |key: &str, at: &Option<Node<'_>>| at.is_some() || !s.has(key);
    let framed = known("start", &start_at)
        && known("first_nectar", &nectar_at)
        && known("first_dandelion", &nectar_at);
    let sound = WINTER_DAYS.contains(&days);
    if framed {
        reader.winter = Some((start, first_nectar));
    }
    if framed && !sound {
        let span = nectar_at
            .or(start_at)
            .map_or_else(|| s.span.clone(), |n| n.span);
        let [first, last] = [start, first_nectar].map(calendar::words);
        reader.refuse(
            &span,
            "nectar_before_start",
            &[("start", &first), ("nectar", &last)],
        );
    }
    let (brood_start, brood_at) = day_or(reader, s, "brood_start");
    let (brood_full, full_at) = day_or(reader, s, "brood_full");
    let (to_brood, to_full) = (
        calendar::days_between(start, brood_start),
        calendar::days_between(start, brood_full),
    );
    let framed = framed && known("brood_start", &brood_at) && known("brood_full", &full_at);
    for (at, first, second, code) in [
        (&brood_at, to_brood, days, "brood_start_outside"),
        (&full_at, to_full, days, "brood_full_outside"),
        (&full_at, to_brood, to_full, "brood_full_before_start"),
    ] {
        if framed && sound && first >= second {
            let span = at.as_ref().or(brood_at.as_ref()).map(|n| n.span.clone());
            reader.refuse(&span.unwrap_or_else(|| s.span.clone()), code, &[]);
        }
    }
    Season {
        start,
        first_nectar,
        brood_start,
        brood_full,
    }
}
