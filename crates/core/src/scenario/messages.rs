//! What is said of slips, from `messages.toml`: one row for each, with named slots.

use std::collections::BTreeMap;
use std::fmt::Display;
use std::sync::LazyLock;

const TABLE: &str = include_str!("messages.toml");

/// Values for the slots of a message, by name.
pub(crate) type Slots<'s> = [(&'s str, &'s dyn Display)];

/// A message with its slots filled.
pub(crate) struct Message {
    /// The code it was asked for by.
    pub(crate) code: &'static str,
    /// What is wrong.
    pub(crate) what: String,
    /// What was expected there.
    pub(crate) expected: Option<String>,
    /// What to try.
    pub(crate) help: Option<String>,
}

/// Rows by code: what is wrong, what is expected, what to try; empty for nothing.
static MESSAGES: LazyLock<BTreeMap<String, Vec<String>>> =
    LazyLock::new(|| toml::from_str(TABLE).unwrap_or_default());

/// The message of a code; the code itself when there is no such row (a test sees to it that none such is asked for).
pub(crate) fn message(code: &str, slots: &Slots<'_>) -> Message {
    let row = MESSAGES.get_key_value(code);
    let part = |i: usize| {
        let text = row.and_then(|(_, r)| r.get(i)).map(|t| filled(t, slots));
        text.filter(|t| !t.is_empty())
    };
    Message {
        code: row.map_or("unknown", |(c, _)| c),
        what: part(0).unwrap_or_else(|| code.to_owned()),
        expected: part(1),
        help: part(2),
    }
}

/// A text with the values in place of `{name}`; braces around anything else are kept.
fn filled(text: &str, slots: &Slots<'_>) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('{') {
        out.push_str(before);
        let slot = after.split_once('}').and_then(|(name, further)| {
            slots
                .iter()
                .find(|(n, _)| *n == name)
                .map(|s| (s.1, further))
        });
        match slot {
            Some((value, further)) => {
                out.push_str(&value.to_string());
                rest = further;
            }
            None => {
                out.push('{');
                rest = after;
            }
        }
    }
    out.push_str(rest);
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::path::Path;

    fn sources(folder: &Path, all: &mut String) {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                sources(&path, all);
            } else if path.extension().is_some_and(|e| e == "rs") && !path.ends_with("messages.rs")
            {
                all.push_str(&std::fs::read_to_string(&path).unwrap());
            }
        }
    }

    fn slots(text: &str) -> Vec<&str> {
        let name =
            |t: &&str| !t.is_empty() && t.chars().all(|c| c.is_ascii_lowercase() || c == '_');
        text.split('{')
            .skip(1)
            .filter_map(|t| t.split('}').next())
            .filter(name)
            .collect()
    }

    /// The code a call gives behind its first argument, if it stands there as such.
    fn code(call: &str) -> Option<&str> {
        let mut depth = 0;
        let comma = call.find(|c: char| {
            depth += i32::from(c == '(') - i32::from(c == ')');
            c == ',' && depth == 0
        })?;
        call[comma + 1..]
            .trim_start()
            .strip_prefix('"')?
            .split('"')
            .next()
    }

    /// Would catch a damaged table, a message nobody gives, a slot nobody fills, and a code without a message.
    #[test]
    fn every_message_is_given_and_filled() {
        let table: BTreeMap<String, Vec<String>> = toml::from_str(TABLE).unwrap();
        let mut text = String::new();
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/scenario");
        sources(&folder, &mut text);
        for (name, row) in &table {
            assert!((1..=3).contains(&row.len()) && !row[0].is_empty(), "{name}");
            assert!(
                text.contains(&format!("\"{name}\"")),
                "{name} is never said"
            );
            for slot in row.iter().flat_map(|t| slots(t)) {
                assert!(
                    text.contains(&format!("\"{slot}\",")),
                    "{name}: {slot} is never filled"
                );
            }
        }
        let mut found = 0;
        for call in [
            ".refuse(",
            ".refuse_alone(",
            ".refuse_value(",
            ".caution(",
            "whole_file(",
        ] {
            for code in text.split(call).skip(1).filter_map(code) {
                assert!(table.contains_key(code), "{code} is no message");
                found += 1;
            }
        }
        assert!(found > 100, "{found}");
    }

    /// Would catch a value read again for slots, and a brace of the text itself taken for one.
    #[test]
    fn slots_are_filled_once() {
        let said = filled("{a} and { b = 1 } and {b}", &[("a", &"{b}"), ("b", &2)]);
        assert_eq!(said, "{b} and { b = 1 } and 2");
    }
}
