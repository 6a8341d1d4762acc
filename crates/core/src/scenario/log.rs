//! The log of weighings in winter: a CSV file that is read whole or refused, with every problem and its place.
//!
//! ```text
//! date,hive,front,back,whole,one_side,note
//! 2027-01-15,Left,24.9 kg,25.7 kg,,,"dry, snow off"
//! 2027-01-15,Right,,,93 lb,,
//! ```

mod quotes;
mod row;
#[cfg(test)]
mod tests;
mod written;

pub use super::weighing::lift_text;
pub use written::{lacks, with_row};

use super::messages::{Slots, message};
use super::node::clean;
use crate::problem::{MOST_KEPT, Place, Problem, Problems, Severity};
use crate::stand::{Lift, Lifts};
use crate::units;
use jiff::civil::Date;
use serde::Serialize;
use std::collections::HashMap;
use written::{cell, field_at};

/// Columns of the log, in the order in which they are written.
pub const COLUMNS: [&str; 7] = ["date", "hive", "front", "back", "whole", "one_side", "note"];
/// Largest log that is read, bytes: a row takes some fifty.
pub const LARGEST: usize = 4 << 20;

/// Signs of a line that are shown.
const SHOWN: usize = 160;

/// A field: its line, counted from 1, `None` for a row that stands in no file; and which of the line.
type Spot = (Option<u64>, usize);

/// One weighing.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Weighing {
    /// The day.
    pub date: Date,
    /// The hive, as written.
    pub hive: String,
    /// How it was lifted.
    #[serde(serialize_with = "lift_word")]
    pub lift: Lift,
    /// The whole hive, kg: the reading, front and back together, or twice the one side.
    pub gross: f64,
    /// The readings behind it.
    #[serde(skip)]
    pub lifts: Lifts,
    /// The note.
    pub note: String,
    /// Where it was written.
    #[serde(skip)]
    pub origin: Origin,
}

/// What a value was written in, with its place there: a file, or an argument of the command line, which has none.
pub type At = (String, Option<Place>);

/// Where a weighing was written.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Origin {
    /// The day.
    pub date: At,
    /// The reading, the first where there are two.
    pub reading: At,
}

#[allow(clippy::trivially_copy_pass_by_ref)]
fn lift_word<S: serde::Serializer>(lift: &Lift, s: S) -> Result<S::Ok, S::Error> {
    s.serialize_str(lift_text(*lift))
}

/// A weighing as it is written: the seven columns as text.
pub type Row = [String; 7];

/// Reads a log. `hives` are the names of the hives with a colony; a row without a hive is for the only one there is.
///
/// # Errors
/// All that is wrong, each with line and column; no row is used then.
pub fn parse(text: &str, file: &str, hives: &[&str]) -> Result<Vec<Weighing>, Problems> {
    let (read, problems) = read(text, file, hives);
    if problems.is_empty() {
        Ok(read)
    } else {
        Err(Problems(problems))
    }
}

/// As [`parse`], with the rows that could be read beside all that is wrong, so that these can be looked at too before the log is refused.
#[must_use]
pub fn read(text: &str, file: &str, hives: &[&str]) -> (Vec<Weighing>, Vec<Problem>) {
    let file = clean(file);
    let mut log = Log {
        lines: Vec::new(),
        file: &file,
        hives,
        problems: Vec::new(),
    };
    if text.len() > LARGEST {
        log.whole("log_too_large");
        return (Vec::new(), log.problems);
    }
    let text = in_lines(text);
    let mut log = Log {
        lines: text.lines().collect(),
        ..log
    };
    let read = log.read();
    (read, log.problems)
}

/// Checks one weighing given outside a file, such as on the command line.
///
/// # Errors
/// As [`parse`].
pub fn one(row: &Row, source: &str, hives: &[&str]) -> Result<Weighing, Problems> {
    let mut log = Log {
        lines: Vec::new(),
        file: source,
        hives,
        problems: Vec::new(),
    };
    // As it will stand in the file.
    let cells = row.each_ref().map(|c| cell(c));
    let fields: Vec<&str> = cells.iter().map(AsRef::as_ref).collect();
    let columns: Vec<Option<usize>> = (0..COLUMNS.len()).map(Some).collect();
    let found = log.weighing(&fields, &columns, None);
    match found {
        Some(w) if log.problems.is_empty() => Ok(w),
        _ => Err(Problems(log.problems)),
    }
}

/// The hive of that name, as it is written in the scenario.
///
/// # Errors
/// No hive with a colony is called so.
pub fn hive(name: &str, source: &str, hives: &[&str]) -> Result<String, Problems> {
    let mut log = Log {
        lines: Vec::new(),
        file: source,
        hives,
        problems: Vec::new(),
    };
    log.hive(name, (None, 1)).ok_or(Problems(log.problems))
}

/// The text with one sign for the end of a line and without the mark some editors begin a file with, so that lines are counted as an
/// editor counts them.
fn in_lines(text: &str) -> String {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    text.replace("\r\n", "\n").replace('\r', "\n")
}

/// Whether nothing stands in a log yet.
#[must_use]
pub fn is_blank(text: &str) -> bool {
    text.trim_start_matches('\u{feff}').trim().is_empty()
}

/// A place in a line, with so much of the line as is shown.
fn place(text: &str, line: usize, column: usize, width: usize) -> Place {
    let mut shown: String = text.chars().take(SHOWN).collect();
    if shown.len() < text.len() {
        shown += "...";
    }
    Place {
        line,
        column,
        width: width.min(SHOWN),
        text: clean(&shown),
    }
}

struct Log<'a> {
    lines: Vec<&'a str>,
    file: &'a str,
    hives: &'a [&'a str],
    problems: Vec<Problem>,
}

impl Log<'_> {
    fn whole(&mut self, code: &str) {
        let slots: &Slots<'_> = &[("most", &(LARGEST >> 20)), ("columns", &COLUMNS.join(","))];
        self.put(self.file.to_owned(), None, code, slots);
    }

    /// Notes a problem of a field; `line` counts from 1, `None` for a row that stands in no file.
    fn refuse(&mut self, (line, index): Spot, code: &str, slots: &Slots<'_>) {
        if self.problems.len() < MOST_KEPT {
            let (file, place) = self.at(line, index);
            self.put(file, place, code, slots);
        }
    }

    fn put(&mut self, file: String, place: Option<Place>, code: &str, slots: &Slots<'_>) {
        let said = message(code, slots);
        self.problems.push(Problem {
            severity: Severity::Error,
            code: said.code,
            file,
            place,
            what: clean(&said.what),
            expected: said.expected,
            help: said.help.as_deref().map(clean),
        });
    }

    /// The place of a field, `line` as in [`Log::refuse`]; of a row that stands in no file, the argument it came by.
    fn at(&self, line: Option<u64>, index: usize) -> At {
        let Some(line) = line else {
            let option = COLUMNS.get(index).map(|c| c.replace('_', "-"));
            let option = option.map_or_else(String::new, |c| format!(", --{c}"));
            return (format!("{}{option}", self.file), None);
        };
        let place = usize::try_from(line).ok().and_then(|line| {
            let text = self.lines.get(line.checked_sub(1)?)?;
            let (column, width) = field_at(text, index);
            Some(place(text, line, column, width))
        });
        (self.file.to_owned(), place)
    }

    /// The rows that can be told apart, and the line of each; one with a quote out of place is noted and left out.
    fn rows(&mut self) -> (String, Vec<u64>) {
        let (mut rows, mut lines) = (String::new(), Vec::new());
        for (i, line) in self.lines.clone().into_iter().enumerate() {
            if let Some((column, code)) = quotes::fault(line) {
                if self.problems.len() < MOST_KEPT {
                    let place = place(line, i + 1, column, 1);
                    self.put(self.file.to_owned(), Some(place), code, &[]);
                }
            } else if !line.is_empty() {
                rows.push_str(line);
                rows.push('\n');
                lines.push(i as u64 + 1);
            }
        }
        (rows, lines)
    }

    fn read(&mut self) -> Vec<Weighing> {
        let header = self.lines.iter().find(|l| !l.is_empty());
        let header_reads = header.is_none_or(|h| quotes::fault(h).is_none());
        let (text, lines) = self.rows();
        if !header_reads {
            return Vec::new();
        }
        let mut reader = ::csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .trim(::csv::Trim::All)
            .from_reader(text.as_bytes());
        let mut columns: Option<Vec<Option<usize>>> = None;
        let mut all: Vec<Weighing> = Vec::new();
        // Line of each hive's weighing of a day.
        let mut seen: HashMap<(Date, String), u64> = HashMap::new();
        for (record, line) in reader.records().zip(lines) {
            let (number, line) = (line, Some(line));
            let record = match record {
                Ok(r) => r,
                Err(e) => {
                    self.refuse((line, 0), "log_no_row", &[("what", &e)]);
                    return all;
                }
            };
            if self.problems.len() >= MOST_KEPT {
                break;
            }
            let fields: Vec<&str> = record.iter().collect();
            let Some(known) = &columns else {
                let before = self.problems.len();
                columns = Some(self.columns(&fields, line));
                if self.problems.len() > before {
                    return all;
                }
                continue;
            };
            if fields.iter().all(|f| f.is_empty()) {
                continue;
            }
            let (n, wanted) = (fields.len(), known.len());
            if n != wanted {
                let slots: &Slots<'_> = &[("n", &n), ("wanted", &wanted)];
                self.refuse((line, wanted.min(n)), "log_count_of_fields", slots);
                continue;
            }
            let known = known.clone();
            let Some(w) = self.weighing(&fields, &known, line) else {
                continue;
            };
            if let Some(before) = seen.get(&(w.date, w.hive.clone())) {
                let slots: &Slots<'_> = &[("hive", &w.hive), ("date", &w.date), ("line", before)];
                self.refuse((line, known[0].unwrap_or(0)), "log_twice", slots);
                continue;
            }
            seen.insert((w.date, w.hive.clone()), number);
            all.push(w);
        }
        if columns.is_none() {
            self.whole("log_empty");
        }
        all
    }

    /// Where each of [`COLUMNS`] stands, by field of the file.
    fn columns(&mut self, names: &[&str], line: Option<u64>) -> Vec<Option<usize>> {
        let mut known = Vec::new();
        if let [one] = names
            && let Some(sign) = [';', '\t'].into_iter().find(|s| one.contains(*s))
        {
            let between = if sign == ';' { "semicolons" } else { "tabs" };
            let slots: &Slots<'_> = &[("between", &between), ("columns", &clean(one))];
            self.refuse((line, 0), "log_other_separator", slots);
            return known;
        }
        for (i, name) in names.iter().enumerate() {
            let plain = name.to_lowercase();
            let at = COLUMNS.iter().position(|c| *c == plain);
            if at.is_none() {
                let help = units::nearest(&plain, COLUMNS).map_or_else(
                    || format!("known: {}", COLUMNS.join(", ")),
                    |n| format!("did you mean \"{n}\"?"),
                );
                self.refuse(
                    (line, i),
                    "log_no_column",
                    &[("name", name), ("help", &help)],
                );
            } else if known.contains(&at) {
                self.refuse((line, i), "log_column_twice", &[("name", &plain)]);
            }
            known.push(at);
        }
        if !known.contains(&Some(0)) {
            self.refuse(
                (line, 0),
                "log_without_date",
                &[("columns", &COLUMNS.join(","))],
            );
        }
        known
    }
}
