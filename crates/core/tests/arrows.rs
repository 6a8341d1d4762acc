//! The rooms of the core import one way only. Read off the `use` lines and paths of the sources.

#![allow(clippy::unwrap_used)] // a helper that fails fails the test

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

/// The rooms from the ground up: each may use those before it, none that comes after it.
const ORDER: [&str; 22] = [
    "random",
    "region",
    "messages",
    "parallel",
    "units",
    "calendar",
    "spreadsheet",
    "problem",
    "materials",
    "climate",
    "heat",
    "colony",
    "stand",
    "boundary",
    "hive",
    "water",
    "season",
    "ensemble",
    "decision",
    "scenario",
    "answer",
    "lib",
];

fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|e| e == "rs") {
            found.push(path);
        }
    }
}

/// The source without its tests and comments.
fn code(text: &str) -> String {
    let text = text
        .split("#[cfg(test)]\nmod tests {")
        .next()
        .unwrap_or_default();
    let lines = text.lines().filter(|l| !l.trim_start().starts_with("//"));
    lines.collect::<Vec<_>>().join("\n")
}

/// The rooms that a source names after `crate::`, in one path or in braces.
fn named(code: &str) -> BTreeSet<String> {
    let mut rooms = BTreeSet::new();
    for (at, _) in code.match_indices("crate::") {
        let rest = &code[at + "crate::".len()..];
        let list = match rest.strip_prefix('{') {
            Some(inner) => top_level(inner),
            None => vec![rest],
        };
        for path in list {
            let word = |c: char| c.is_ascii_lowercase() || c == '_';
            let path = path.trim_start();
            let end = path.find(|c| !word(c)).unwrap_or(path.len());
            rooms.insert(path[..end].to_owned());
        }
    }
    rooms
}

/// The parts of a list in braces.
fn top_level(inner: &str) -> Vec<&str> {
    let (mut depth, mut start, mut parts) = (0, 0, Vec::new());
    for (i, c) in inner.char_indices() {
        match c {
            '{' => depth += 1,
            '}' if depth == 0 => {
                parts.push(&inner[start..i]);
                break;
            }
            '}' => depth -= 1,
            ',' if depth == 0 => {
                parts.push(&inner[start..i]);
                start = i + 1;
            }
            _ => {}
        }
    }
    parts
}

/// Each room with the rooms it uses.
fn arrows() -> BTreeMap<String, BTreeSet<String>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    sources(&root, &mut files);
    let mut arrows: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for file in files {
        let name = |p: &Path| p.file_stem().unwrap().to_string_lossy().into_owned();
        if name(&file).ends_with("tests") {
            continue;
        }
        let inside = file.strip_prefix(&root).unwrap();
        let room = name(Path::new(inside.iter().next().unwrap()));
        let text = std::fs::read_to_string(&file).unwrap();
        let uses = arrows.entry(room.clone()).or_default();
        uses.extend(named(&code(&text)).into_iter().filter(|r| *r != room));
    }
    arrows
}

/// Catches a room that imports one that comes after it, two that import each other, and a room without a place in the order.
#[test]
fn rooms_import_one_way() {
    let place = |room: &str| ORDER.iter().position(|r| *r == room);
    let arrows = arrows();
    assert!(arrows["answer"].contains("decision"), "nothing was read");
    let mut wrong = Vec::new();
    for (room, uses) in &arrows {
        let here = place(room).unwrap_or_else(|| panic!("{room} has no place in the order"));
        for used in uses.iter().filter(|u| ORDER.contains(&u.as_str())) {
            if place(used).unwrap() >= here {
                wrong.push(format!("{room} -> {used}"));
            }
        }
    }
    assert!(wrong.is_empty(), "against the order: {}", wrong.join(", "));
}

/// Catches a reader of imports that overlooks lists in braces, nested ones among them.
#[test]
fn imports_are_read_in_braces_too() {
    let text = "use crate::{season::{WinterRun, PreparedHive}, climate};\nuse crate::heat::Drive;\n// crate::report\n";
    let found: Vec<String> = named(&code(text)).into_iter().collect();
    assert_eq!(found, ["climate", "heat", "season"]);
}
