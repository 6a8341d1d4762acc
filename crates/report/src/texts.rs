//! What is said to the user, from `texts.toml`: one row for each text, with named slots, by room and name.

use partywall_core::messages::{Slots, Table, filled};
use std::sync::LazyLock;

const TABLE: &str = include_str!("texts.toml");

static TEXTS: LazyLock<Table> = LazyLock::new(|| Table::read(TABLE).unwrap_or_default());

/// All texts of a row; none where there is no such row (a test sees to it that none such is asked for).
#[must_use]
pub fn listed(code: &str) -> &'static [String] {
    TEXTS.row(code).map_or(&[], |(_, row)| row)
}

/// A text without slots.
#[must_use]
pub fn said(code: &str) -> &'static str {
    listed(code).first().map_or("", String::as_str)
}

/// One of two texts without slots; "" is the code of none.
#[must_use]
pub fn either(first: bool, one: &str, other: &str) -> &'static str {
    said(if first { one } else { other })
}

/// A text with its slots filled; [`text!`](crate::text) writes the call.
#[must_use]
pub fn text(code: &str, slots: &Slots<'_>) -> String {
    filled(said(code), slots)
}

/// A text of the table by its code, its slots filled by name: `text!("standing.weighed", start = day(d), now)`, where `now` is a variable.
#[macro_export]
macro_rules! text {
    ($code:literal $(, $slot:ident $(= $value:expr)?)* $(,)?) => {
        $crate::texts::text($code, &[$((stringify!($slot), $crate::text!(@ $slot $(= $value)?))),*])
    };
    (@ $slot:ident) => { &$slot as &dyn std::fmt::Display };
    (@ $slot:ident = $value:expr) => { &$value as &dyn std::fmt::Display };
}

#[cfg(test)]
mod tests {
    use super::*;
    use partywall_core::messages::slots_of;
    use std::collections::{BTreeMap, BTreeSet};
    use std::path::Path;

    fn sources(folder: &Path, all: &mut String) {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                sources(&path, all);
            } else if path.extension().is_some_and(|e| e == "rs" || e == "html")
                && !path.ends_with("texts.rs")
            {
                all.push_str(&std::fs::read_to_string(&path).unwrap());
            }
        }
    }

    /// The code of a call, and the names of the slots it fills: what stands before a `=`, or alone, between commas within no further bracket.
    fn read(call: &str) -> Option<(&str, BTreeSet<&str>)> {
        let (code, rest) = call.trim_start().strip_prefix('"')?.split_once('"')?;
        let (mut depth, mut quoted, mut from) = (0, false, 0);
        let mut parts = Vec::new();
        let mut letters = rest.char_indices();
        while let Some((i, c)) = letters.next() {
            match c {
                '\\' if quoted => drop(letters.next()),
                '"' => quoted = !quoted,
                _ if quoted => {}
                ',' | ')' if depth == 0 => {
                    parts.push(rest[from..i].split(" = ").next()?.trim());
                    from = i + 1;
                    if c == ')' {
                        break;
                    }
                }
                '(' | '[' | '{' => depth += 1,
                ')' | ']' | '}' => depth -= 1,
                _ => {}
            }
        }
        let slots = parts.into_iter().filter(|p| !p.is_empty()).collect();
        Some((code, slots))
    }

    /// Would catch a damaged table, a text nobody says, one that is asked for and not there, and a call that leaves a slot open or fills one
    /// that the text has not.
    #[test]
    fn every_text_is_said_and_filled() {
        let table = Table::read(TABLE).unwrap().0;
        let mut all = String::new();
        for folder in ["src", "templates", "../../src"] {
            sources(
                &Path::new(env!("CARGO_MANIFEST_DIR")).join(folder),
                &mut all,
            );
        }
        let slots_of_row = |code: &str| -> BTreeSet<&str> {
            let row = table
                .get(code)
                .unwrap_or_else(|| panic!("{code} is no text"));
            row.iter().flat_map(|t| slots_of(t)).collect()
        };
        let mut calls = BTreeMap::new();
        let told = all.match_indices("text!(");
        let told = told.filter_map(|(i, call)| read(&all[i + call.len()..]));
        for (code, slots) in told {
            assert_eq!(slots, slots_of_row(code), "{code}");
            *calls.entry(code).or_insert(0) += 1;
        }
        let rooms: BTreeSet<&str> = table.keys().filter_map(|c| c.split('.').next()).collect();
        for room in rooms {
            for told in all.split(&format!("\"{room}.")).skip(1) {
                let code = format!("{room}.{}", told.split('"').next().unwrap());
                if slots_of_row(&code).is_empty() {
                    continue;
                }
                let left = calls.get_mut(code.as_str()).filter(|n| **n > 0);
                *left.unwrap_or_else(|| panic!("{code} is told with its slots open")) -= 1;
            }
        }
        for (code, row) in &table {
            let told = all.contains(&format!("\"{code}\""));
            assert!(told, "{code} is never said");
            assert!(
                !row.is_empty() && row.iter().all(|t| !t.is_empty()),
                "{code} is empty"
            );
        }
    }
}
