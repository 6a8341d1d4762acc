//! What is fed: `[[hive.feed]]` with a date, a kind and an amount.

use toml::de::DeValue;

use super::Kind;
use super::openings::box_number;
use super::reader::{Node, Reader, Section};
use super::season::date_within;
use crate::colony::feeding::{Feed, SYRUPS, Syrup};
use crate::stand::{FeedEvent, HiveBox};
use crate::units::{self, Quantity, format};

pub(super) const KEYS: &[&str] = &[
    "date", "kind", "amount", "sugar", "strength", "box", "frame",
];

/// What to do with a feed given before the weighing.
const ALREADY_IN: &str = "what was fed before the start is in the scale reading and the frames already: leave this feed out; or move start \
     under [season] before it, and give reading and frames of that day";

/// The kinds, as the keeper writes them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum What {
    Syrup,
    DrySugar,
    Fondant,
    Frames,
}

/// Reads all feeds of a hive.
pub(super) fn feeds<'a>(
    reader: &mut Reader<'a>,
    hive: &Section<'a>,
    boxes: &[HiveBox],
) -> Vec<FeedEvent> {
    let Some(node) = hive.get("feed") else {
        return Vec::new();
    };
    let items = reader.list(&node);
    items
        .into_iter()
        .enumerate()
        .filter_map(|(i, mut item)| {
            item.path = format!("{}.feed {}", hive.path, i + 1);
            let feed = one(reader, &item, boxes)?;
            let date = match item.value {
                DeValue::Table(t) => t.get("date").map(toml::Spanned::span),
                _ => None,
            };
            reader.feed_at(hive, &date.unwrap_or(item.span));
            Some(feed)
        })
        .collect()
}

fn one<'a>(reader: &mut Reader<'a>, node: &Node<'a>, boxes: &[HiveBox]) -> Option<FeedEvent> {
    let s = reader.section(node, KEYS)?;
    // Which box a frame hangs in cannot be told where the boxes could not be read.
    if boxes.is_empty() && s.has("box") {
        return None;
    }
    if !s.has("date") {
        reader.error(
            &node.span,
            "this feed has no date",
            Some("date = \"5 Oct\""),
            None,
        );
    }
    let date = date_within(reader, &s, "date", Some(ALREADY_IN));
    let Some(at) = s.get("kind") else {
        reader.error(
            &node.span,
            "this feed has no kind",
            Some("kind = \"syrup\", \"dry sugar\", \"fondant\" or \"honey frames\""),
            None,
        );
        return None;
    };
    let what = reader.choice_at(
        &at,
        &[
            ("syrup", What::Syrup),
            ("dry sugar", What::DrySugar),
            ("fondant", What::Fondant),
            ("honey frames", What::Frames),
        ],
    )?;
    reader.note(
        &at.path,
        Some(at.written()),
        at.text().unwrap_or_default(),
        "",
        Kind::Given,
    );
    let useless: &[&str] = match what {
        What::Syrup => &["box", "frame"],
        What::Frames => &["sugar", "strength"],
        What::DrySugar | What::Fondant => &["sugar", "strength", "box", "frame"],
    };
    for key in useless {
        if let Some(n) = s.get(key) {
            reader.error(
                &n.span,
                format!(
                    "{} says nothing about {}",
                    key,
                    at.text().unwrap_or_default()
                ),
                Some("no such setting here"),
                None,
            );
        }
    }
    let feed = match what {
        What::Syrup => syrup(reader, &s, node)?,
        What::DrySugar => Feed::DrySugar(amount(reader, &s, node)?),
        What::Fondant => Feed::Fondant(amount(reader, &s, node)?),
        What::Frames => {
            let honey = amount(reader, &s, node);
            let at = place(reader, &s, node, boxes);
            let (honey, at) = (honey?, at?);
            if let Some((b, _)) = at
                && boxes.get(b).is_some_and(|x| honey > x.full_frame)
            {
                let most = boxes.get(b).map_or(0.0, |x| x.full_frame);
                reader.error(
                    &s.get("amount")
                        .map_or_else(|| node.span.clone(), |n| n.span),
                    format!("{} of honey do not fit into one frame", format::mass(honey)),
                    Some(&format!("at most {} a frame", format::mass(most))),
                    Some(
                        "give each frame a [[hive.feed]] of its own, or leave out the frame"
                            .to_owned(),
                    ),
                );
                return None;
            }
            Feed::Frames { honey, at }
        }
    };
    if !matches!(feed, Feed::Syrup { .. })
        && let (Some(n), Some(p)) = (s.get("amount"), reader.colony.as_ref())
    {
        let (kg, note) = (feed.stores(p), sugar_note(&feed, p));
        reader.note(
            &n.path,
            Some(n.written()),
            format!("{} of stores", format::mass(kg)),
            note,
            Kind::Converted,
        );
    }
    Some(FeedEvent { date: date?, feed })
}

fn sugar_note(feed: &Feed, p: &crate::colony::parameters::Parameters) -> String {
    let per = format!(
        "{} kg of stores per kg of sugar after handling (at most 1.22: 18 % water)",
        format::trimmed(p.sugar_yield, 2)
    );
    match feed {
        Feed::Frames { .. } => "honey as it hangs".to_owned(),
        Feed::Fondant(_) => format!(
            "{} in 100 sugar; {per}",
            format::trimmed(100.0 * p.fondant_sugar, 0)
        ),
        Feed::Syrup { .. } | Feed::DrySugar(_) => per,
    }
}

fn amount<'a>(reader: &mut Reader<'a>, s: &Section<'a>, node: &Node<'a>) -> Option<f64> {
    let Some(at) = s.get("amount") else {
        reader.error(
            &node.span,
            "this feed has no amount",
            Some("amount = \"2 kg\" or \"5 lb\""),
            None,
        );
        return None;
    };
    reader.quantity_at(&at, "feed_mass")
}

fn syrup<'a>(reader: &mut Reader<'a>, s: &Section<'a>, node: &Node<'a>) -> Option<Feed> {
    let strength = strength(reader, s)?;
    let (mass, at) = match (s.get("amount"), s.get("sugar")) {
        (Some(_), Some(sugar)) => {
            reader.error(
                &sugar.span,
                "syrup is given as its own amount or by the sugar in it, not both",
                Some("amount or sugar"),
                None,
            );
            return None;
        }
        (None, None) => {
            reader.error(
                &node.span,
                "this syrup has no amount",
                Some("amount = \"10 L\", \"2 US gal\", \"2 imp gal\" or a weight of syrup; or sugar = \"9 kg\""),
                None,
            );
            return None;
        }
        (None, Some(at)) => (reader.quantity_at(&at, "feed_mass")? / strength.sugar, at),
        (Some(at), None) => {
            let weight = at.text().and_then(units::kind_of) == Some(Quantity::Mass);
            let mass = if weight {
                reader.quantity_at(&at, "feed_mass")?
            } else {
                reader.quantity_at(&at, "feed_volume")? * strength.density
            };
            (mass, at)
        }
    };
    let feed = strength.mass(mass);
    if let Some(p) = reader.colony.as_ref() {
        let used = format!(
            "{} of syrup, {}, with {} of sugar: {} of stores once taken and cured",
            format::volume(mass / strength.density),
            format::mass(mass),
            format::mass(mass * strength.sugar),
            format::mass(feed.stores(p))
        );
        let note = format!(
            "{} syrup has {} kg of sugar a litre; {}; taken only above {}",
            strength.name,
            format::trimmed(1e-3 * strength.density * strength.sugar, 2),
            sugar_note(&feed, p),
            format::temperature(p.syrup_c)
        );
        reader.note(&at.path, Some(at.written()), used, note, Kind::Converted);
    }
    Some(feed)
}

fn strength<'a>(reader: &mut Reader<'a>, s: &Section<'a>) -> Option<Syrup> {
    let choices: Vec<(&str, Syrup)> = SYRUPS.iter().map(|x| (x.name, *x)).collect();
    let Some(at) = s.get("strength") else {
        let f = reader.fields.get("feed_strength");
        let usual = f.value.unwrap_or_default();
        reader.note(
            &s.path_of("strength"),
            None,
            usual.clone(),
            f.source,
            Kind::Default,
        );
        return choices
            .iter()
            .find(|(name, _)| *name == usual)
            .map(|(_, x)| *x);
    };
    let found = reader.choice_at(&at, &choices)?;
    reader.note(
        &at.path,
        Some(at.written()),
        format!("{} % sugar", format::trimmed(100.0 * found.sugar, 1)),
        if found.name.contains("volume") {
            "sugar to water, by volume of granulated sugar"
        } else {
            "sugar to water, by weight"
        },
        Kind::Converted,
    );
    Some(found)
}

/// Box and frame, counted from 0; the outer `None` means that a problem was noted.
#[allow(clippy::option_option)]
fn place<'a>(
    reader: &mut Reader<'a>,
    s: &Section<'a>,
    node: &Node<'a>,
    boxes: &[HiveBox],
) -> Option<Option<(usize, usize)>> {
    let in_box = box_number(reader, s, "box", boxes.len())?;
    let Some(at) = s.get("frame") else {
        if let Some(at) = s.get("box") {
            reader.error(
                &at.span,
                "a box without a frame",
                Some("frame = 2, counted from the left, beside box"),
                Some("leave both out for honey hung beside the cluster".to_owned()),
            );
            return None;
        }
        reader.note(
            &s.path_of("frame"),
            None,
            "beside the cluster",
            "in contact with the bees, as it should be hung",
            Kind::Default,
        );
        return Some(None);
    };
    let frame = reader.count(s, "frame", "frames")? as usize;
    let Some(b) = in_box else {
        reader.error(
            &node.span,
            "a frame without its box",
            Some("box = 1, counted from below"),
            None,
        );
        return None;
    };
    let there = boxes.get(b).map_or(0, |x| x.frames as usize);
    if frame == 0 || frame > there {
        reader.error(
            &at.span,
            format!("there is no frame {frame}: the box has {there}"),
            Some(&format!("1 (left) to {there}")),
            None,
        );
        return None;
    }
    Some(Some((b, frame - 1)))
}
