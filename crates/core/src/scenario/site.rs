//! Where the stand is and which weather record it gets.

use super::folder::Folder;
use super::node::{Node, Section, clean};
use super::reader::Reader;
use crate::climate::ClimateChoice;
use crate::climate::builtin::{self, BUILT_IN};
use crate::stand::{Shelter, Site};
use crate::units::{self, Quantity, format};

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
    let name = reader
        .text(s, "name")
        .map_or_else(|| "unnamed place".to_owned(), |(t, _)| clean(t));
    let latitude_deg = degrees(reader, s, "latitude", ['N', 'S']);
    let longitude_deg = degrees(reader, s, "longitude", ['E', 'W']);
    let elevation = reader.quantity(s, "elevation");
    for key in ["latitude", "longitude", "elevation"] {
        if !s.has(key) {
            reader.assumed(&s.path_of(key), "that of the weather record", "not given");
        }
    }
    let shelter = shelter(reader, s);
    let entrance_azimuth_deg = azimuth(reader, s);
    let stand_height = reader.quantity_or(s, "stand_height");
    let snow_cover = reader.flag(s, "snow_cover");
    let used = match snow_cover {
        Some(true) => "snow usually lies in mid-winter",
        _ => "no lasting snow",
    };
    match s.get("snow_cover").filter(|_| snow_cover.is_some()) {
        Some(at) => reader.given(&at, used),
        None => reader.assumed(&s.path_of("snow_cover"), used, "unless said"),
    }
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

fn shelter<'a>(reader: &mut Reader<'a>, s: &Section<'a>) -> Shelter {
    let Some(at) = s.get("shelter") else {
        reader.usual(s, "shelter", "partly sheltered");
        return Shelter::Partly;
    };
    let word = reader.word_at(&at, s.key("shelter"));
    if word.is_some() {
        reader.given(&at, at.text().unwrap_or_default());
    }
    match word {
        Some("open") => Shelter::Open,
        Some("sheltered") => Shelter::Sheltered,
        _ => Shelter::Partly,
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
    let row = s.key(key);
    let given = |reader: &mut Reader<'a>, v: f64| {
        reader.given(&node, format::any(v, Quantity::Angle));
        v
    };
    if node.is_number() {
        return reader.number_at(&node, row).map(|v| given(reader, v));
    }
    let text = node.text().unwrap_or_default().trim();
    let last = text.chars().next_back().map(|c| c.to_ascii_uppercase());
    let Some(i) = letters.iter().position(|l| Some(*l) == last) else {
        return reader.quantity(s, key);
    };
    let number = text[..text.len() - 1].trim();
    let number = number.trim_end_matches('°').trim_end_matches("deg").trim();
    match units::parse(&format!("{number} deg"), Quantity::Angle) {
        Ok(v) if v >= 0.0 => {
            let v = if i == 0 { v } else { -v };
            reader.in_range(&node, row, v).then(|| given(reader, v))
        }
        _ => {
            let [a, b] = letters;
            reader.refuse(
                &node.span,
                "bad_degrees",
                &[("text", &text), ("key", &key), ("a", &a), ("b", &b)],
            );
            None
        }
    }
}

fn azimuth<'a>(reader: &mut Reader<'a>, s: &Section<'a>) -> f64 {
    let key = "entrances_face";
    let digits = |n: &Node<'_>| {
        n.text()
            .is_some_and(|t| t.starts_with(|c: char| c.is_ascii_digit()))
    };
    let Some(node) = s.get(key).filter(|n| !digits(n)) else {
        return reader.quantity_or(s, key);
    };
    let words: Vec<String> = COMPASS.iter().map(|(w, _)| (*w).to_owned()).collect();
    let found = reader
        .one_of(&node, &words, &[])
        .and_then(|i| COMPASS.get(i));
    let Some((_, v)) = found else {
        return s.key(key).default_value();
    };
    reader.converted(
        &node,
        format!("{} deg from north", format::trimmed(*v, 0)),
        "",
    );
    *v
}

/// The weather record; a problem when none is named.
pub(super) fn climate<'a>(
    reader: &mut Reader<'a>,
    s: &Section<'a>,
    folder: Option<&Folder>,
) -> Option<ClimateChoice> {
    let records = builtin::names();
    let Some((text, node)) = reader.text(s, "climate") else {
        if !s.has("climate") {
            reader.refuse(&s.span, "no_climate", &[("records", &records)]);
        }
        return None;
    };
    let plain = text.to_lowercase();
    if BUILT_IN.iter().any(|b| b.name == plain) {
        reader.given(&node, format!("built-in record {plain}"));
        return Some(ClimateChoice::BuiltIn(plain));
    }
    if !text.contains(['.', '/', '\\']) {
        let near = units::nearest(&plain, BUILT_IN.iter().map(|b| b.name));
        let code = if near.is_some() {
            "climate_misspelt"
        } else {
            "no_such_climate"
        };
        let near = near.unwrap_or_default();
        reader.refuse(
            &node.span,
            code,
            &[("text", &text), ("near", &near), ("records", &records)],
        );
        return None;
    }
    let path = folder.map_or_else(|| text.into(), |f| f.path.join(text));
    if folder.is_some_and(|f| !(f.holds)(&path)) {
        reader.refuse(
            &node.span,
            "no_weather_file",
            &[("text", &text), ("records", &records)],
        );
        return None;
    }
    reader.given(&node, format!("file {text}"));
    Some(ClimateChoice::File(path))
}
