//! Texts that stand in a table of their own, as TOML with a row for each code and with named slots, so that other words change data only.

use std::collections::BTreeMap;
use std::fmt::Display;

/// Values for the slots of a text, by name.
pub type Slots<'s> = [(&'s str, &'s dyn Display)];

/// Rows of texts by code.
#[derive(Debug, Default)]
pub struct Table(pub BTreeMap<String, Vec<String>>);

impl Table {
    /// Reads a table: `code = "text"` or `code = ["text", "another"]`; codes under a heading `[room]` are `room.code`.
    ///
    /// # Errors
    /// What is no TOML.
    pub fn read(table: &str) -> Result<Self, toml::de::Error> {
        let mut all = Self::default();
        all.fill("", table.parse()?);
        Ok(all)
    }

    fn fill(&mut self, room: &str, table: toml::Table) {
        for (name, value) in table {
            let code = format!("{room}{name}");
            let row = match value {
                toml::Value::Table(inner) => {
                    self.fill(&format!("{code}."), inner);
                    continue;
                }
                toml::Value::Array(texts) => texts,
                one => vec![one],
            };
            let row = row.iter().filter_map(|t| t.as_str()).map(str::to_owned);
            self.0.insert(code, row.collect());
        }
    }

    /// The row of a code, with the code as the table has it.
    #[must_use]
    pub fn row(&self, code: &str) -> Option<(&str, &[String])> {
        let found = self.0.get_key_value(code)?;
        Some((found.0.as_str(), found.1.as_slice()))
    }
}

/// A text with the values in place of `{name}`; braces around anything else are kept.
///
/// ```
/// use partywall_core::messages::filled;
/// assert_eq!(filled("{left} of {all} {kg}", &[("left", &3), ("all", &"{left}")]), "3 of {left} {kg}");
/// ```
#[must_use]
pub fn filled(text: &str, slots: &Slots<'_>) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('{') {
        out.push_str(before);
        let slot = after.split_once('}').and_then(|(name, further)| {
            let found = slots.iter().find(|(n, _)| *n == name);
            found.map(|s| (s.1, further))
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

/// The names of the slots of a text, in order.
pub fn slots_of(text: &str) -> impl Iterator<Item = &str> {
    let names = text.split('{').skip(1).filter_map(|t| t.split('}').next());
    names.filter(|t| !t.is_empty() && t.chars().all(|c| c.is_ascii_lowercase() || c == '_'))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Would catch a value read again for slots, and a brace of the text itself taken for one.
    #[test]
    fn slots_are_filled_once() {
        let text = "{a} and { b = 1 } and {b}";
        let said = filled(text, &[("a", &"{b}"), ("b", &2)]);
        assert_eq!(said, "{b} and { b = 1 } and 2");
        assert_eq!(slots_of(text).collect::<Vec<_>>(), ["a", "b"]);
    }

    /// Would catch a row of several texts cut to one, and a code without its heading.
    #[test]
    fn rows_stand_under_their_headings() {
        let table = Table::read("one = \"a\"\n[room]\ntwo = [\"b\", \"c\"]\n").unwrap();
        assert_eq!(table.row("one").unwrap().1, ["a"]);
        assert_eq!(table.row("room.two").unwrap().1, ["b", "c"]);
        assert!(table.row("two").is_none());
    }
}
