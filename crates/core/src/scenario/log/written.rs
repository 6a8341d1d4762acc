//! A row as it stands in the file: written under the header there is, and found in a line.

use super::{COLUMNS, Row};
use crate::spreadsheet::harmless;
use std::borrow::Cow;

/// The log with one more row, header and all, under the log's own ends of lines; `text` is what it holds now, maybe nothing.
#[must_use]
pub fn with_row(text: &str, row: &Row) -> String {
    let end = end_of_lines(text);
    let mut all = text.to_owned();
    if super::is_blank(text) {
        all.push_str(&COLUMNS.join(","));
    }
    if !all.ends_with(['\n', '\r']) {
        all.push_str(end);
    }
    let line = in_order(row, header(&all));
    all.push_str(line.trim_end_matches('\n'));
    all.push_str(end);
    all
}

/// How the last line that has an end ends.
fn end_of_lines(text: &str) -> &'static str {
    let lines = text.trim_end_matches(|c| c != '\n' && c != '\r');
    match lines.strip_suffix('\n') {
        Some(rest) if rest.ends_with('\r') => "\r\n",
        None if lines.ends_with('\r') => "\r",
        _ => "\n",
    }
}

/// Columns that a row has something for and a log has not; none for a log that is to be begun.
#[must_use]
pub fn lacks(text: &str, row: &Row) -> Vec<&'static str> {
    let Some(names) = header(text) else {
        return Vec::new();
    };
    // A first line that is none is told itself.
    if !names.iter().any(|n| n == COLUMNS[0]) {
        return Vec::new();
    }
    let wanted = COLUMNS.iter().zip(row).filter(|(_, v)| !v.is_empty());
    wanted
        .map(|(name, _)| *name)
        .filter(|name| !names.iter().any(|n| n == name))
        .collect()
}

/// A field as it stands in the file: on one line, and no formula.
pub(super) fn cell(text: &str) -> Cow<'_, str> {
    let text = text.trim();
    if text.contains(['\n', '\r']) {
        let line = text.split_whitespace().collect::<Vec<_>>().join(" ");
        return harmless(&line).into_owned().into();
    }
    harmless(text)
}

/// A row as a line of CSV, its fields in the order of the header it goes under.
fn in_order(row: &Row, header: Option<Vec<String>>) -> String {
    let value = |name: &str| {
        let at = COLUMNS.iter().position(|c| *c == name);
        at.map_or("", |i| row[i].as_str())
    };
    let fields: Vec<&str> = match &header {
        Some(names) => names.iter().map(|n| value(n)).collect(),
        None => row.iter().map(String::as_str).collect(),
    };
    let mut out = ::csv::Writer::from_writer(Vec::new());
    // Writing into memory cannot fail.
    let _ = out.write_record(fields.iter().map(|f| cell(f).into_owned()));
    out.into_inner()
        .ok()
        .and_then(|b| String::from_utf8(b).ok())
        .unwrap_or_default()
}

fn header(text: &str) -> Option<Vec<String>> {
    let text = super::in_lines(text);
    let mut reader = ::csv::ReaderBuilder::new()
        .has_headers(false)
        .trim(::csv::Trim::All)
        .from_reader(text.as_bytes());
    let first = reader.records().next()?.ok()?;
    Some(first.iter().map(str::to_lowercase).collect())
}

/// Column (from 1) and width of a field of a line, in characters; the line's end when it has no such field.
pub(super) fn field_at(line: &str, index: usize) -> (usize, usize) {
    let (mut field, mut start, mut quoted) = (0, 0, false);
    let mut count = 0;
    for (i, c) in line.chars().enumerate() {
        count = i + 1;
        match c {
            '"' => quoted = !quoted,
            ',' if !quoted => {
                if field == index {
                    return (start + 1, (i - start).max(1));
                }
                field += 1;
                start = i + 1;
            }
            _ => {}
        }
    }
    if field == index {
        (start + 1, (count - start).max(1))
    } else {
        (count + 1, 1)
    }
}
