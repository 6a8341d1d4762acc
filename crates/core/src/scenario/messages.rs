//! What is said of slips, from `messages.toml`: one row for each, with named slots.

pub(crate) use crate::messages::Slots;
use crate::messages::{Table, filled};
use std::fmt::{self, Display};
use std::sync::LazyLock;

const TABLE: &str = include_str!("messages.toml");

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
static MESSAGES: LazyLock<Table> = LazyLock::new(|| Table::read(TABLE).unwrap_or_default());

/// Slots that hold what the user wrote or called something.
const OF_USER: [&str; 9] = [
    "path", "written", "name", "text", "hive", "key", "words", "place", "of",
];
/// Most characters of such a slot (a choice: a line of a terminal holds one and the words about it).
const MOST: usize = 60;

/// A slot of the user's, cut where it is too long to be read.
struct Cut<'a>(&'a dyn Display);

impl Display for Cut<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let whole = self.0.to_string();
        match whole.char_indices().nth(MOST) {
            Some((end, _)) => {
                let quote = if whole.starts_with('"') { "\"" } else { "" };
                write!(f, "{}...{quote}", &whole[..end])
            }
            None => f.write_str(&whole),
        }
    }
}

/// The message of a code; the code itself when there is no such row (a test sees to it that none such is asked for).
pub(crate) fn message(code: &str, slots: &Slots<'_>) -> Message {
    let row = MESSAGES.row(code);
    let cut: Vec<Cut<'_>> = slots.iter().map(|(_, value)| Cut(*value)).collect();
    let slots: Vec<(&str, &dyn Display)> = slots
        .iter()
        .zip(&cut)
        .map(|((name, value), cut)| match OF_USER.contains(name) {
            true => (*name, cut as &dyn Display),
            false => (*name, *value),
        })
        .collect();
    let part = |i: usize| {
        let text = row.and_then(|(_, r)| r.get(i)).map(|t| filled(t, &slots));
        text.filter(|t| !t.is_empty())
    };
    Message {
        code: row.map_or("unknown", |(c, _)| c),
        what: part(0).unwrap_or_else(|| code.to_owned()),
        expected: part(1),
        help: part(2),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::messages::slots_of;
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
        let table = Table::read(TABLE).unwrap().0;
        let mut text = String::new();
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/scenario");
        sources(&folder, &mut text);
        for (name, row) in &table {
            assert!((1..=3).contains(&row.len()) && !row[0].is_empty(), "{name}");
            assert!(
                text.contains(&format!("\"{name}\"")),
                "{name} is never said"
            );
            for slot in row.iter().flat_map(|t| slots_of(t)) {
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
}
