//! What to try for a line that is no TOML.

use std::ops::Range;

use super::node::clean;

/// What to try where nothing better is known.
pub(super) const ANY: &str = "look at this line and the one above for a sign that is missing or one too many, and for a setting written twice; \
     `partywall example single` shows how a scenario is written";

/// The slip that most often makes a line invalid: a value with a unit and no quotes.
pub(super) fn help(text: &str, span: &Range<usize>) -> Option<String> {
    let at = text.get(..span.start.min(text.len()))?;
    let line_start = at.rfind('\n').map_or(0, |i| i + 1);
    let line = text.get(line_start..)?.lines().next()?;
    let (_, value) = line.split_once('=')?;
    let value = value.split('#').next()?.trim();
    let digits = |t: &str| !t.is_empty() && t.chars().all(|c| c.is_ascii_digit());
    let comma = value.split_once(',');
    if comma.is_some_and(|(whole, part)| digits(whole.trim_start_matches('-')) && digits(part)) {
        return Some(format!(
            "write decimals with a point: {}",
            value.replace(',', ".")
        ));
    }
    let number = value.starts_with(|c: char| c.is_ascii_digit() || c == '-');
    if number && value.chars().any(char::is_alphabetic) {
        return Some(format!(
            "put a value with a unit in quotes: \"{}\"",
            clean(value)
        ));
    }
    // One word or one quote only; lists and tables have quotes of their own.
    let quotes = value.matches('"').count();
    let text = value.trim_matches('"').trim();
    (quotes < 2 && !text.is_empty() && !text.starts_with(['[', '{', '\'']))
        .then(|| format!("put a text between two quotes: \"{}\"", clean(text)))
}
