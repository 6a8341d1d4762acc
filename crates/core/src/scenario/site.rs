//! Where the stand is and which weather record it gets.

use std::path::Path;

use toml::de::DeValue;

use super::Kind;
use super::reader::{Reader, Section};
use crate::climate::ClimateChoice;
use crate::climate::builtin::{self, BUILT_IN};
use crate::stand::{Shelter, Site};
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
    if base.is_some() && !path.exists() {
        reader.error(
            &node.span,
            format!("there is no weather file \"{text}\""),
            Some("a file or a folder of files, the path taken from the folder of the scenario"),
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
