//! Site, dates, climate, level, reserve, own materials and parameters.

use std::path::Path;

use toml::de::DeValue;

use super::Kind;
use super::dates::{self, DateError};
use super::model::{ClimateChoice, MaterialOverride, MonthDay, Season, Shelter, Site};
use super::reader::{Node, Reader, Section};
use crate::climate::builtin::{self, BUILT_IN};
use crate::colony::parameters;
use crate::hive::materials::Materials;
use crate::units::{self, Quantity, format};

/// Settings of the site.
pub(super) const SITE_KEYS: &[&str] = &[
    "name",
    "climate",
    "latitude",
    "longitude",
    "elevation",
    "shelter",
    "entrances_face",
    "stand_height",
    "snow_cover",
];
/// Settings of the season.
pub(super) const SEASON_KEYS: &[&str] = &[
    "start",
    "first_nectar",
    "first_dandelion",
    "brood_start",
    "brood_full",
];
const MATERIAL_KEYS: &[&str] = &["name", "conductivity", "density", "specific_heat"];

/// Compass points a front can face, degrees clockwise from north.
const COMPASS: &[(&str, f64)] = &[
    ("north", 0.0),
    ("north-east", 45.0),
    ("northeast", 45.0),
    ("east", 90.0),
    ("south-east", 135.0),
    ("southeast", 135.0),
    ("south", 180.0),
    ("south-west", 225.0),
    ("southwest", 225.0),
    ("west", 270.0),
    ("north-west", 315.0),
    ("northwest", 315.0),
];

/// Reads the site.
pub(super) fn site<'a>(reader: &mut Reader<'a>, s: &Section<'a>) -> Site {
    let name = reader.text(s, "name").map_or_else(
        || "unnamed place".to_owned(),
        |(t, _)| super::reader::clean(t),
    );
    let latitude_deg = degrees(reader, s, "latitude", ['N', 'S']);
    let longitude_deg = degrees(reader, s, "longitude", ['E', 'W']);
    let elevation = reader.quantity(s, "elevation", "elevation");
    for key in ["latitude", "longitude", "elevation"] {
        if !s.has(key) {
            reader.note(
                &s.path_of(key),
                None,
                "that of the weather record",
                "not given",
                Kind::Default,
            );
        }
    }
    let words = [
        ("open", Shelter::Open),
        ("partly", Shelter::Partly),
        ("sheltered", Shelter::Sheltered),
    ];
    let shelter = match s.get("shelter") {
        Some(at) => {
            let chosen = reader.choice_at(&at, &words);
            if chosen.is_some() {
                reader.note(
                    &at.path,
                    Some(at.written()),
                    at.text().unwrap_or_default(),
                    "",
                    Kind::Given,
                );
            }
            chosen.unwrap_or(Shelter::Partly)
        }
        None => {
            let f = reader.fields.get("shelter");
            reader.note(
                &s.path_of("shelter"),
                None,
                "partly sheltered",
                f.source,
                Kind::Default,
            );
            Shelter::Partly
        }
    };
    let entrance_azimuth_deg = azimuth(reader, s);
    let stand_height = reader.quantity_or(s, "stand_height", "stand_height");
    let snow_cover = reader.flag(s, "snow_cover");
    let kind = if snow_cover.is_some() {
        Kind::Given
    } else {
        Kind::Default
    };
    let used = if snow_cover == Some(true) {
        "snow usually lies in mid-winter"
    } else {
        "no lasting snow"
    };
    let written = snow_cover.map(|b| b.to_string());
    reader.note(
        &s.path_of("snow_cover"),
        written,
        used,
        if kind == Kind::Default {
            "unless said"
        } else {
            ""
        },
        kind,
    );
    Site {
        name,
        latitude_deg,
        longitude_deg,
        elevation,
        shelter,
        entrance_azimuth_deg,
        stand_height,
        snow_cover: snow_cover.unwrap_or(false),
    }
}

/// "40.4 N", "101.7 W", "40.4 deg" or a bare number of degrees.
fn degrees<'a>(
    reader: &mut Reader<'a>,
    s: &Section<'a>,
    key: &str,
    letters: [char; 2],
) -> Option<f64> {
    let node = s.get(key)?;
    if matches!(node.value, DeValue::Integer(_) | DeValue::Float(_)) {
        let v = reader.number_at(&node, key)?;
        reader.note_given(&node, v, Some(Quantity::Angle));
        return Some(v);
    }
    let text = node.text().unwrap_or_default().trim();
    let last = text.chars().next_back().map(|c| c.to_ascii_uppercase());
    let sign = letters.iter().position(|l| Some(*l) == last);
    let Some(i) = sign else {
        return reader.quantity(s, key, key);
    };
    let number = &text[..text.len() - 1];
    let number = number
        .trim()
        .trim_end_matches('°')
        .trim_end_matches("deg")
        .trim();
    match units::parse(&format!("{number} deg"), Quantity::Angle) {
        Ok(v) if v >= 0.0 => {
            let v = if i == 0 { v } else { -v };
            let f = reader.fields.get(key);
            reader.in_range(&node, &f, v).then(|| {
                reader.note_given(&node, v, Some(Quantity::Angle));
                v
            })
        }
        _ => {
            reader.error(
                &node.span,
                format!("\"{text}\" is no {key}"),
                Some(&format!(
                    "degrees with {} or {}, such as \"47.2 {}\"",
                    letters[0], letters[1], letters[0]
                )),
                None,
            );
            None
        }
    }
}

fn azimuth<'a>(reader: &mut Reader<'a>, s: &Section<'a>) -> f64 {
    let Some(node) = s.get("entrances_face") else {
        return reader.quantity_or(s, "entrances_face", "entrances_face");
    };
    let usual = reader.fields.get("entrances_face").default();
    if node
        .text()
        .is_some_and(|t| t.starts_with(|c: char| c.is_ascii_digit()))
    {
        return reader
            .quantity(s, "entrances_face", "entrances_face")
            .unwrap_or(usual);
    }
    let found = reader.choice_at(&node, COMPASS);
    if let Some(v) = found {
        reader.note(
            &node.path,
            Some(node.written()),
            format!("{} deg from north", format::trimmed(v, 0)),
            "",
            Kind::Converted,
        );
    }
    found.unwrap_or(usual)
}

/// The weather record; a problem when none is named.
pub(super) fn climate<'a>(
    reader: &mut Reader<'a>,
    s: &Section<'a>,
    base: Option<&Path>,
) -> Option<ClimateChoice> {
    let Some((text, node)) = reader.text(s, "climate") else {
        if !s.has("climate") {
            reader.error(
                &s.span,
                "no weather record is named",
                Some("climate = \"...\" under [site]"),
                Some(format!(
                    "one of {}, or the name of a weather file",
                    builtin::names()
                )),
            );
        }
        return None;
    };
    let plain = text.to_lowercase();
    if BUILT_IN.iter().any(|b| b.name == plain) {
        reader.note(
            &node.path,
            Some(node.written()),
            format!("built-in record {plain}"),
            "",
            Kind::Given,
        );
        return Some(ClimateChoice::BuiltIn(plain));
    }
    if !text.contains(['.', '/', '\\']) {
        let help = units::nearest(&plain, BUILT_IN.iter().map(|b| b.name)).map_or_else(
            || {
                format!(
                    "built in: {}; a file has its ending, such as \"station.csv\"",
                    builtin::names()
                )
            },
            |n| format!("did you mean \"{n}\"?"),
        );
        reader.error(
            &node.span,
            format!("no weather record is called \"{text}\""),
            Some("a built-in record or a file"),
            Some(help),
        );
        return None;
    }
    let path = base.map_or_else(|| Path::new(text).to_path_buf(), |b| b.join(text));
    if base.is_some() && !path.is_file() {
        reader.error(
            &node.span,
            format!("there is no weather file \"{text}\""),
            Some("a file, its path taken from the folder of the scenario"),
            Some(format!("or a built-in record: {}", builtin::names())),
        );
        return None;
    }
    reader.note(
        &node.path,
        Some(node.written()),
        format!("file {text}"),
        "",
        Kind::Given,
    );
    Some(ClimateChoice::File(path))
}

fn date<'a>(reader: &mut Reader<'a>, s: &Section<'a>, key: &str) -> Option<(MonthDay, Node<'a>)> {
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
    match dates::parse(text) {
        Ok(d) => {
            reader.note(
                &node.path,
                Some(node.written()),
                dates::words(d),
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
    let usual = dates::parse(f.value.as_deref().unwrap_or_default())
        .unwrap_or(MonthDay { month: 1, day: 1 });
    if s.has(key) {
        return date(reader, s, key).map_or((usual, None), |(d, n)| (d, Some(n)));
    }
    reader.note(
        &s.path_of(key),
        None,
        dates::words(usual),
        f.source,
        Kind::Default,
    );
    (usual, None)
}

/// Shortest and longest time from the autumn weighing to the first nectar, days: outside, a date is a slip.
const WINTER_DAYS: std::ops::RangeInclusive<u32> = 60..=310;

/// Reads the season and checks the order of its days.
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
            let nectar = dates::later(d, f.default() as u32);
            let note = format!(
                "first dandelion + {} days; {}",
                format::trimmed(f.default(), 0),
                f.source
            );
            reader.note(
                &s.path_of("first_nectar"),
                None,
                dates::words(nectar),
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
    let days = dates::days_between(start, first_nectar);
    if !WINTER_DAYS.contains(&days) {
        let span = nectar_at
            .or(start_at)
            .map_or_else(|| s.span.clone(), |n| n.span);
        reader.error(
            &span,
            format!(
                "first nectar on {} does not follow a start on {}",
                dates::words(first_nectar),
                dates::words(start)
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
        dates::days_between(start, brood_start),
        dates::days_between(start, brood_full),
    );
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
        if first >= second && WINTER_DAYS.contains(&days) {
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

/// "9 in 10", "90 %" or 0.9.
pub(super) fn level<'a>(reader: &mut Reader<'a>, root: &Section<'a>) -> f64 {
    let f = reader.fields.get("level");
    let Some(node) = root.get("level") else {
        reader.note(
            "level",
            None,
            "9 winters in 10",
            f.source.clone(),
            Kind::Default,
        );
        return f.default();
    };
    let value = match node.text() {
        None => {
            return reader
                .number(root, "level", "level")
                .unwrap_or_else(|| f.default());
        }
        Some(text) => share(text),
    };
    match value {
        Some(v) if reader.in_range(&node, &f, v) => {
            let used = format!("{} winters in 100", format::trimmed(v * 100.0, 1));
            reader.note("level", Some(node.written()), used, "", Kind::Converted);
            v
        }
        Some(_) => f.default(),
        None => {
            reader.error(
                &node.span,
                format!("{} is no share of winters", node.written()),
                Some("\"9 in 10\", \"90 %\" or 0.9"),
                None,
            );
            f.default()
        }
    }
}

fn share(text: &str) -> Option<f64> {
    if let Some(percent) = text.trim().strip_suffix('%') {
        return percent
            .trim()
            .parse::<f64>()
            .ok()
            .map(|p| p / 100.0)
            .filter(|p| p.is_finite());
    }
    let (a, b) = text.split_once(" in ").or_else(|| text.split_once('/'))?;
    let (a, b): (f64, f64) = (a.trim().parse().ok()?, b.trim().parse().ok()?);
    (b > 0.0).then_some(a / b).filter(|p| p.is_finite())
}

/// The scenario's own materials; they join the reader's table.
pub(super) fn materials<'a>(reader: &mut Reader<'a>, root: &Section<'a>) -> Vec<MaterialOverride> {
    let Some(node) = root.get("material") else {
        return Vec::new();
    };
    let mut all: Vec<MaterialOverride> = Vec::new();
    for item in reader.list(&node) {
        let Some(section) = reader.section(&item, MATERIAL_KEYS) else {
            continue;
        };
        let Some((name, at)) = reader.text(&section, "name") else {
            if !section.has("name") {
                reader.error(
                    &item.span,
                    "this material has no name",
                    Some("name = \"...\""),
                    None,
                );
            }
            continue;
        };
        let key = name
            .to_lowercase()
            .split_whitespace()
            .collect::<Vec<_>>()
            .join("-");
        if all.iter().any(|m| m.key == key) {
            reader.error(
                &at.span,
                format!("the material \"{name}\" is given twice"),
                Some("one [[material]] of each name"),
                None,
            );
            continue;
        }
        let known = reader
            .materials
            .get(&key)
            .ok()
            .map(|m| (m.conductivity, m.density, m.specific_heat));
        let mut value = |key: &str, usual: Option<f64>| {
            if !section.has(key) && usual.is_none() {
                reader.error(
                    &item.span,
                    format!("the new material \"{name}\" has no {key}"),
                    Some(&format!("{key} = \"...\"")),
                    None,
                );
            }
            if section.has(key) {
                reader.quantity(&section, key, key)
            } else {
                usual
            }
        };
        let values = (
            value("conductivity", known.map(|k| k.0)),
            value("density", known.map(|k| k.1)),
            value("specific_heat", known.map(|k| k.2)),
        );
        if let (Some(conductivity), Some(density), Some(specific_heat)) = values {
            all.push(MaterialOverride {
                key,
                conductivity,
                density,
                specific_heat,
            });
        }
    }
    match Materials::with_overrides(&all) {
        Ok(table) => reader.materials = table,
        Err(e) => reader.error(&node.span, e.to_string(), None, None),
    }
    all
}

/// Colony parameters the scenario overrides.
pub(super) fn parameters<'a>(reader: &mut Reader<'a>, root: &Section<'a>) -> Vec<(String, f64)> {
    let Some(node) = root.get("parameters") else {
        return Vec::new();
    };
    let table = match parameters::table() {
        Ok(t) => t,
        Err(e) => {
            reader.error(&node.span, e.to_string(), None, None);
            return Vec::new();
        }
    };
    let keys: Vec<&str> = table.iter().map(|p| p.key.as_str()).collect();
    let Some(section) = reader.section(&node, &keys) else {
        return Vec::new();
    };
    let mut all = Vec::new();
    for p in &table {
        let Some(at) = section.get(&p.key) else {
            continue;
        };
        let v = match at.value {
            DeValue::Integer(i) => i.to_string().parse::<f64>().ok(),
            DeValue::Float(x) => x.as_str().replace('_', "").parse::<f64>().ok(),
            _ => None,
        };
        let limits = format!("{} to {} {}", p.low, p.high, p.unit);
        match v {
            Some(v) if (p.low..=p.high).contains(&v) => {
                let used = format!("{v} {}", p.unit);
                reader.note(
                    &at.path,
                    Some(at.written()),
                    used,
                    format!("{}, default {}: {}", p.name, p.default, p.source),
                    Kind::Given,
                );
                all.push((p.key.clone(), v));
            }
            Some(_) => reader.error(
                &at.span,
                format!(
                    "{} = {} is outside what the sources give for {}",
                    at.path,
                    at.written(),
                    p.name
                ),
                Some(&limits),
                Some(format!("the source: {}", p.source)),
            ),
            None => reader.error(
                &at.span,
                format!(
                    "{} must be a plain number in {}, but is {}",
                    at.path,
                    p.unit,
                    at.written()
                ),
                Some(&limits),
                None,
            ),
        }
    }
    all
}
