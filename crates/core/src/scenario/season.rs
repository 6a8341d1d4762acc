//! The days that frame the winter, and their order.

use toml::de::DeValue;

use super::Kind;
use super::reader::{Node, Reader, Section};
use crate::calendar::MonthDay;
use crate::calendar::{self, DateError};
use crate::stand::{Season, Stress};
use crate::units::format;

/// Settings of the season.
pub(super) const SEASON_KEYS: &[&str] = &[
    "start",
    "first_nectar",
    "first_dandelion",
    "brood_start",
    "brood_full",
];

/// Shortest and longest time from the autumn weighing to the first nectar, days: outside, a date is a slip.
const WINTER_DAYS: std::ops::RangeInclusive<u32> = 60..=310;

/// Settings of what makes a winter worse.
pub(super) const STRESS_KEYS: &[&str] = &["colder", "late_spring"];

/// A day so shortly before the start is one of this autumn, not of the summer after first nectar, days (a choice).
const AUTUMN_BEFORE: u32 = 75;

/// A day of the year under a key that must lie within the season, from its start to the day before first nectar. `before` is what to try
/// for a day in the ten weeks before the start.
pub(super) fn date_within<'a>(
    reader: &mut Reader<'a>,
    s: &Section<'a>,
    key: &str,
    before: Option<&str>,
) -> Option<MonthDay> {
    let (d, node) = date(reader, s, key)?;
    if let Some((start, end)) = reader.winter
        && calendar::days_between(start, d) >= calendar::days_between(start, end)
    {
        let just_before = calendar::days_between(d, start) <= AUTUMN_BEFORE;
        let (what, help) = match before.filter(|_| just_before) {
            Some(help) => (
                format!("{} is before the start of the season, {}", calendar::words(d), calendar::words(start)),
                help.to_owned(),
            ),
            None => (
                format!("{} is not within the season", calendar::words(d)),
                "the season runs from its start (the weighing in autumn) to first nectar, under [season]".to_owned(),
            ),
        };
        reader.error(
            &node.span,
            what,
            Some(&format!(
                "a day from {} to the day before {}",
                calendar::words(start),
                calendar::words(end)
            )),
            Some(help),
        );
        return None;
    }
    Some(d)
}

/// Reads what makes the winter worse; a late spring moves the first nectar of `season`.
pub(super) fn stress<'a>(reader: &mut Reader<'a>, s: &Section<'a>, season: &mut Season) -> Stress {
    let colder = reader.quantity(s, "colder", "colder").unwrap_or(0.0);
    let mut late_spring = 0;
    if let Some(at) = s.get("late_spring")
        && let Some(seconds) = reader.quantity_at(&at, "late_spring")
    {
        let days = seconds / 86_400.0;
        if (days - days.round()).abs() > 1e-6 {
            reader.error(
                &at.span,
                format!("{} must be whole days, but is {}", at.path, at.written()),
                Some("\"14 days\" or \"2 weeks\""),
                None,
            );
            return Stress {
                colder,
                late_spring,
            };
        }
        late_spring = days.round() as u32;
        let before = season.first_nectar;
        let length = calendar::days_between(season.start, before) + late_spring;
        if reader.winter.is_some() && !WINTER_DAYS.contains(&length) {
            reader.error(
                &at.span,
                format!("a spring late by {late_spring} days makes a winter of {length} days"),
                Some("first nectar 60 to 310 days after the start"),
                None,
            );
            return Stress {
                colder,
                late_spring,
            };
        }
        season.first_nectar = calendar::later(before, late_spring);
        reader.note(
            &at.path,
            Some(at.written()),
            format!("first nectar on {}", calendar::words(season.first_nectar)),
            format!("{late_spring} days after {}", calendar::words(before)),
            Kind::Converted,
        );
    }
    Stress {
        colder,
        late_spring,
    }
}

/// A day of the year under a key.
pub(super) fn date<'a>(
    reader: &mut Reader<'a>,
    s: &Section<'a>,
    key: &str,
) -> Option<(MonthDay, Node<'a>)> {
    let node = s.get(key)?;
    let expected = Some("a day and a month such as \"1 Oct\"");
    let Some(text) = node.text() else {
        let help = matches!(node.value, DeValue::Datetime(_))
            .then(|| "leave out the year: the date is for every winter".to_owned());
        reader.error(
            &node.span,
            format!(
                "{} must be a day of the year in quotes, but is {}",
                node.path,
                node.written()
            ),
            expected,
            help,
        );
        return None;
    };
    match calendar::parse(text) {
        Ok(d) => {
            reader.note(
                &node.path,
                Some(node.written()),
                calendar::words(d),
                "",
                Kind::Given,
            );
            Some((d, node))
        }
        Err(e) => {
            let help = match e {
                DateError::LeapDay => Some("write \"28 Feb\"".to_owned()),
                DateError::Year(_) => Some("leave out the year".to_owned()),
                _ => None,
            };
            reader.error(&node.span, e.to_string(), expected, help);
            None
        }
    }
}

fn date_or<'a>(
    reader: &mut Reader<'a>,
    s: &Section<'a>,
    key: &str,
) -> (MonthDay, Option<Node<'a>>) {
    let f = reader.fields.get(key);
    let usual = calendar::parse(f.value.as_deref().unwrap_or_default())
        .unwrap_or(MonthDay { month: 1, day: 1 });
    if s.has(key) {
        return date(reader, s, key).map_or((usual, None), |(d, n)| (d, Some(n)));
    }
    reader.note(
        &s.path_of(key),
        None,
        calendar::words(usual),
        f.source,
        Kind::Default,
    );
    (usual, None)
}

/// Reads the season and checks the order of its days. The days between which all others must lie are known to the reader only when each of
/// them could be read: a usual day in place of one that could not be is no ground to refuse another.
pub(super) fn season<'a>(reader: &mut Reader<'a>, s: &Section<'a>) -> Season {
    let (start, start_at) = date_or(reader, s, "start");
    let (first_nectar, nectar_at) = match (
        s.has("first_nectar"),
        date(reader, s, "first_dandelion"),
    ) {
        (true, Some((_, at))) => {
            reader.error(
                &at.span,
                "first_nectar and first_dandelion are both given",
                Some("one of the two"),
                None,
            );
            date_or(reader, s, "first_nectar")
        }
        (false, Some((d, at))) => {
            let f = reader.fields.get("dandelion_to_nectar");
            let nectar = calendar::later(d, f.default() as u32);
            let note = format!(
                "first dandelion + {} days; {}",
                format::trimmed(f.default(), 0),
                f.source
            );
            reader.note(
                &s.path_of("first_nectar"),
                None,
                calendar::words(nectar),
                note,
                Kind::Converted,
            );
            (nectar, Some(at))
        }
        (true, None) => date_or(reader, s, "first_nectar"),
        (false, None) => {
            if !s.has("first_dandelion") {
                reader.warn(
                    &s.span,
                    "the day of the first dependable nectar is not given: 19 May is taken, and the answer hangs on it",
                    Some("write first_nectar = \"...\" or first_dandelion = \"...\" under [season]".to_owned()),
                );
            }
            date_or(reader, s, "first_nectar")
        }
    };
    let days = calendar::days_between(start, first_nectar);
    let framed = !(s.has("start") && start_at.is_none())
        && !((s.has("first_nectar") || s.has("first_dandelion")) && nectar_at.is_none());
    if framed {
        reader.winter = Some((start, first_nectar));
    }
    if framed && !WINTER_DAYS.contains(&days) {
        let span = nectar_at
            .or(start_at)
            .map_or_else(|| s.span.clone(), |n| n.span);
        reader.error(
            &span,
            format!(
                "first nectar on {} does not follow a start on {}",
                calendar::words(first_nectar),
                calendar::words(start)
            ),
            Some("first nectar 60 to 310 days after the start"),
            Some(
                "start is the weighing in autumn, first nectar is in the spring after it"
                    .to_owned(),
            ),
        );
    }
    let (brood_start, brood_at) = date_or(reader, s, "brood_start");
    let (brood_full, full_at) = date_or(reader, s, "brood_full");
    let (to_brood, to_full) = (
        calendar::days_between(start, brood_start),
        calendar::days_between(start, brood_full),
    );
    let known = |key: &str, at: &Option<Node<'_>>| at.is_some() || !s.has(key);
    let framed = framed && known("brood_start", &brood_at) && known("brood_full", &full_at);
    for (at, first, second, what) in [
        (
            &brood_at,
            to_brood,
            days,
            "brood_start must lie between start and first nectar",
        ),
        (
            &full_at,
            to_full,
            days,
            "brood_full must lie between start and first nectar",
        ),
        (
            &full_at,
            to_brood,
            to_full,
            "brood_full must come after brood_start",
        ),
    ] {
        if framed && first >= second && WINTER_DAYS.contains(&days) {
            let span = at
                .as_ref()
                .or(brood_at.as_ref())
                .map_or_else(|| s.span.clone(), |n| n.span.clone());
            reader.error(
                &span,
                what,
                Some("start, brood_start, brood_full, first_nectar in this order"),
                None,
            );
        }
    }
    Season {
        start,
        first_nectar,
        brood_start,
        brood_full,
    }
}
