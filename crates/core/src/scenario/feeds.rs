//! What is fed: `[[hive.feed]]` with a date, a kind and an amount.

use super::node::Section;
use super::reader::Reader;
use crate::colony::feeding::{Feed, SYRUPS, Syrup};
use crate::colony::parameters::Parameters;
use crate::stand::{FeedEvent, HiveBox};
use crate::units::{self, Quantity, format};

/// What to do with a feed given before the weighing.
const ALREADY_IN: &str = "what was fed before the start is in the scale reading and the frames already: leave this feed out; or move start \
     under [season] before it, and give reading and frames of that day";

/// Most feeds of a hive (a choice: one for every other day of a winter).
const MOST_FEEDS: usize = 100;

/// Reads all feeds of a hive.
pub(super) fn feeds<'a>(
    reader: &mut Reader<'a>,
    hive: &Section<'a>,
    boxes: &[HiveBox],
) -> Vec<FeedEvent> {
    let items = hive.get("feed").map(|n| n.list()).unwrap_or_default();
    let items = reader.few(items, MOST_FEEDS);
    let numbered = items.into_iter().zip(1..);
    numbered
        .filter_map(|(mut item, n)| {
            item.path = format!("{}.feed {n}", hive.path);
            let section = reader.section(&item, "feed")?;
            let feed = one(reader, &section, boxes)?;
            reader.feed_at(hive, &section.span_of("date"));
            Some(feed)
        })
        .collect()
}

fn one<'a>(reader: &mut Reader<'a>, s: &Section<'a>, boxes: &[HiveBox]) -> Option<FeedEvent> {
    // Which box a frame hangs in cannot be told where the boxes could not be read.
    if boxes.is_empty() && s.has("box") {
        return None;
    }
    if !s.has("date") {
        reader.refuse(&s.span, "feed_without_date", &[]);
    }
    let date = reader.day_within(s, "date", Some(ALREADY_IN));
    let Some(at) = s.get("kind") else {
        reader.refuse(&s.span, "feed_without_kind", &[]);
        return None;
    };
    let what = reader.word_at(&at, s.key("kind"))?;
    let said = at.text().unwrap_or_default();
    reader.given(&at, said);
    let useless: &[&str] = match what {
        "syrup" => &["box", "frame"],
        "honey frames" => &["sugar", "strength"],
        _ => &["sugar", "strength", "box", "frame"],
    };
    for key in useless {
        if let Some(n) = s.get(key) {
            reader.refuse(
                &n.span,
                "useless_for_feed",
                &[("key", key), ("kind", &said)],
            );
        }
    }
    let feed = match what {
        "syrup" => syrup(reader, s)?,
        "honey frames" => frames(reader, s, boxes)?,
        "fondant" => Feed::Fondant(amount(reader, s)?),
        _ => Feed::DrySugar(amount(reader, s)?),
    };
    if what != "syrup"
        && let (Some(n), Some(p)) = (s.get("amount"), reader.colony.as_ref())
    {
        let (kg, note) = (feed.stores(p), sugar_note(&feed, p));
        reader.converted(&n, format!("{} of stores", format::mass(kg)), note);
    }
    Some(FeedEvent { date: date?, feed })
}

fn sugar_note(feed: &Feed, p: &Parameters) -> String {
    let per = format::trimmed(p.sugar_yield, 2);
    let per =
        format!("{per} kg of stores per kg of sugar after handling (at most 1.22: 18 % water)");
    match feed {
        Feed::Frames { .. } => "honey as it hangs".to_owned(),
        Feed::Fondant(_) => {
            let sugar = format::trimmed(100.0 * p.fondant_sugar, 0);
            format!("{sugar} in 100 sugar; {per}")
        }
        Feed::Syrup { .. } | Feed::DrySugar(_) => per,
    }
}

fn amount<'a>(reader: &mut Reader<'a>, s: &Section<'a>) -> Option<f64> {
    let Some(at) = s.get("amount") else {
        reader.refuse(&s.span, "feed_without_amount", &[]);
        return None;
    };
    reader.quantity_at(&at, reader.keys.behind("feed_mass"))
}

fn frames<'a>(reader: &mut Reader<'a>, s: &Section<'a>, boxes: &[HiveBox]) -> Option<Feed> {
    let honey = amount(reader, s);
    let at = place(reader, s, boxes);
    let (honey, at) = (honey?, at?);
    let full = at.and_then(|(b, _)| boxes.get(b)).map(|b| b.full_frame);
    if let Some(most) = full.filter(|most| honey > *most) {
        let (honey, most) = (format::mass(honey), format::mass(most));
        reader.refuse(
            &s.span_of("amount"),
            "frame_too_full",
            &[("honey", &honey), ("most", &most)],
        );
        return None;
    }
    Some(Feed::Frames { honey, at })
}

fn syrup<'a>(reader: &mut Reader<'a>, s: &Section<'a>) -> Option<Feed> {
    let strength = strength(reader, s)?;
    let (by_mass, by_volume) = (
        reader.keys.behind("feed_mass"),
        reader.keys.behind("feed_volume"),
    );
    let (mass, at) = match (s.get("amount"), s.get("sugar")) {
        (Some(_), Some(sugar)) => {
            reader.refuse(&sugar.span, "syrup_twice", &[]);
            return None;
        }
        (None, None) => {
            reader.refuse(&s.span, "syrup_without_amount", &[]);
            return None;
        }
        (None, Some(at)) => (
            reader.quantity_at(&at, s.key("sugar"))? / strength.sugar,
            at,
        ),
        (Some(at), None) if at.text().and_then(units::kind_of) == Some(Quantity::Mass) => {
            (reader.quantity_at(&at, by_mass)?, at)
        }
        (Some(at), None) => (reader.quantity_at(&at, by_volume)? * strength.density, at),
    };
    let feed = strength.mass(mass);
    if let Some(p) = reader.colony.as_ref() {
        let [all, sugar, stores] = [mass, mass * strength.sugar, feed.stores(p)].map(format::mass);
        let volume = format::volume(mass / strength.density);
        let used = format!(
            "{volume} of syrup, {all}, with {sugar} of sugar: {stores} of stores once taken and cured"
        );
        let litre = format::trimmed(1e-3 * strength.density * strength.sugar, 2);
        let (per, above) = (sugar_note(&feed, p), format::temperature(p.syrup_c));
        let note = format!(
            "{} syrup has {litre} kg of sugar a litre; {per}; taken only above {above}",
            strength.name
        );
        reader.converted(&at, used, note);
    }
    Some(feed)
}

fn strength<'a>(reader: &mut Reader<'a>, s: &Section<'a>) -> Option<Syrup> {
    let row = s.key("strength");
    let of = |name: &str| SYRUPS.iter().find(|x| x.name == name).copied();
    let Some(at) = s.get("strength") else {
        reader.usual(s, "strength", row.usual());
        return of(row.usual());
    };
    let found = of(reader.word_at(&at, row)?)?;
    let note = match found.name.contains("volume") {
        true => "sugar to water, by volume of granulated sugar",
        false => "sugar to water, by weight",
    };
    reader.converted(
        &at,
        format!("{} % sugar", format::trimmed(100.0 * found.sugar, 1)),
        note,
    );
    Some(found)
}

/// Box and frame, counted from 0; the outer `None` means that a problem was noted.
#[allow(clippy::option_option)]
fn place<'a>(
    reader: &mut Reader<'a>,
    s: &Section<'a>,
    boxes: &[HiveBox],
) -> Option<Option<(usize, usize)>> {
    let in_box = reader.box_number(s, "box", boxes.len())?;
    if !s.has("frame") {
        if s.has("box") {
            reader.refuse(&s.span_of("box"), "box_without_frame", &[]);
            return None;
        }
        let note = "in contact with the bees, as it should be hung";
        reader.assumed(&s.path_of("frame"), "beside the cluster", note);
        return Some(None);
    }
    let frame = reader.count(s, "frame")? as usize;
    let Some(b) = in_box else {
        reader.refuse(&s.span, "frame_without_box", &[]);
        return None;
    };
    let there = boxes.get(b).map_or(0, |x| x.frames as usize);
    if frame == 0 || frame > there {
        let span = s.span_of("frame");
        reader.refuse(
            &span,
            "no_such_frame",
            &[("frame", &frame), ("there", &there)],
        );
        return None;
    }
    Some(Some((b, frame - 1)))
}
