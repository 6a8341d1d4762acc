//! The log of weighings in winter: a CSV file that is read whole or refused, with every problem and its place.
//!
//! ```text
//! date,hive,front,back,whole,one_side,note
//! 2027-01-15,Left,24.9 kg,25.7 kg,,,"dry, snow off"
//! 2027-01-15,Right,,,93 lb,,
//! ```

use super::fields::Fields;
use super::model::Lift;
use super::reader::clean;
use crate::diagnostic::{Place, Problem, Problems, Severity};
use crate::units::{self, Quantity};
use jiff::civil::Date;
use serde::Serialize;

/// Columns of the log, in the order in which they are written.
pub const COLUMNS: [&str; 7] = ["date", "hive", "front", "back", "whole", "one_side", "note"];
/// Largest log that is read, bytes: a row takes some fifty.
const LARGEST: usize = 1 << 20;
/// Problems told of one log.
const MOST_PROBLEMS: usize = 20;

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
    /// The note.
    pub note: String,
}

/// "front and back" and the like.
#[must_use]
pub const fn lift_text(lift: Lift) -> &'static str {
    match lift {
        Lift::Whole => "whole",
        Lift::FrontAndBack => "front and back",
        Lift::OneSide => "one side",
    }
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
    let file = clean(file);
    let mut log = Log {
        text,
        file: &file,
        hives,
        problems: Vec::new(),
    };
    if text.len() > LARGEST {
        log.whole(format!(
            "the file is larger than {LARGEST} bytes: this is no log of weighings"
        ));
        return Err(Problems(log.problems));
    }
    let read = log.read();
    if log.problems.is_empty() {
        Ok(read)
    } else {
        Err(Problems(log.problems))
    }
}

/// Checks one weighing given outside a file, such as on the command line.
///
/// # Errors
/// As [`parse`].
pub fn one(row: &Row, source: &str, hives: &[&str]) -> Result<Weighing, Problems> {
    let text = written(row);
    let mut log = Log {
        text: &text,
        file: source,
        hives,
        problems: Vec::new(),
    };
    let fields: Vec<&str> = row.iter().map(String::as_str).collect();
    let columns: Vec<Option<usize>> = (0..COLUMNS.len()).map(Some).collect();
    let found = log.weighing(&fields, &columns, None);
    match found {
        Some(w) if log.problems.is_empty() => Ok(w),
        _ => Err(Problems(log.problems)),
    }
}

/// The log with one more row, header and all; `text` is what it holds now, maybe nothing.
#[must_use]
pub fn with_row(text: &str, row: &Row) -> String {
    let mut all = if text.trim().is_empty() {
        format!("{}\n", COLUMNS.join(","))
    } else {
        text.to_owned()
    };
    if !all.ends_with('\n') {
        all.push('\n');
    }
    all.push_str(&in_order(row, header(&all)));
    all
}

/// A row as a line of CSV.
fn written(row: &Row) -> String {
    in_order(row, None)
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
    let _ = out.write_record(fields);
    out.into_inner()
        .ok()
        .and_then(|b| String::from_utf8(b).ok())
        .unwrap_or_default()
}

fn header(text: &str) -> Option<Vec<String>> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut reader = ::csv::ReaderBuilder::new()
        .has_headers(false)
        .trim(::csv::Trim::All)
        .from_reader(text.as_bytes());
    let first = reader.records().next()?.ok()?;
    Some(first.iter().map(str::to_lowercase).collect())
}

struct Log<'a> {
    text: &'a str,
    file: &'a str,
    hives: &'a [&'a str],
    problems: Vec<Problem>,
}

impl Log<'_> {
    fn whole(&mut self, what: String) {
        self.problems.push(Problem {
            severity: Severity::Error,
            file: self.file.to_owned(),
            place: None,
            what,
            expected: None,
            help: None,
        });
    }

    /// Notes a problem of a field; `line` counts from 1, `None` for a row that stands in no file.
    fn error(
        &mut self,
        line: Option<u64>,
        index: usize,
        what: String,
        expected: &str,
        help: Option<String>,
    ) {
        if self.problems.len() >= MOST_PROBLEMS {
            return;
        }
        let place = line.and_then(|line| {
            let line = usize::try_from(line).ok()?;
            let text = self.text.lines().nth(line.checked_sub(1)?)?;
            let (column, width) = field_at(text, index);
            Some(Place {
                line,
                column,
                width,
                text: clean(&text.chars().take(160).collect::<String>()),
            })
        });
        self.problems.push(Problem {
            severity: Severity::Error,
            file: self.file.to_owned(),
            place,
            what: clean(&what),
            expected: Some(expected.to_owned()),
            help: help.map(|h| clean(&h)),
        });
    }

    fn read(&mut self) -> Vec<Weighing> {
        let text = self.text.strip_prefix('\u{feff}').unwrap_or(self.text);
        let mut reader = ::csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .trim(::csv::Trim::All)
            .from_reader(text.as_bytes());
        let mut columns: Option<Vec<Option<usize>>> = None;
        let (mut all, mut seen): (Vec<Weighing>, Vec<u64>) = (Vec::new(), Vec::new());
        for record in reader.records() {
            let record = match record {
                Ok(r) => r,
                Err(e) => {
                    let line = e.position().map(::csv::Position::line);
                    self.error(
                        line,
                        0,
                        format!("this is no row of a CSV file: {e}"),
                        "a row",
                        None,
                    );
                    return all;
                }
            };
            let line = record.position().map(::csv::Position::line);
            let fields: Vec<&str> = record.iter().collect();
            let Some(known) = &columns else {
                columns = Some(self.columns(&fields, line));
                if !self.problems.is_empty() {
                    return all;
                }
                continue;
            };
            if fields.iter().all(|f| f.is_empty()) {
                continue;
            }
            if fields.len() != known.len() {
                let what = format!(
                    "{} fields where the header has {}",
                    fields.len(),
                    known.len()
                );
                let help = "put a field that has a comma in it between \" \"".to_owned();
                self.error(
                    line,
                    known.len().min(fields.len()),
                    what,
                    "one field for each column",
                    Some(help),
                );
                continue;
            }
            let known = known.clone();
            let Some(w) = self.weighing(&fields, &known, line) else {
                continue;
            };
            if let Some(i) = all
                .iter()
                .position(|o| o.date == w.date && o.hive == w.hive)
            {
                let what = format!(
                    "{} was weighed on {} before, in line {}",
                    w.hive, w.date, seen[i]
                );
                let help = "keep the better of the two".to_owned();
                self.error(
                    line,
                    known[0].unwrap_or(0),
                    what,
                    "one weighing of a hive a day",
                    Some(help),
                );
                continue;
            }
            seen.push(line.unwrap_or(0));
            all.push(w);
        }
        if columns.is_none() {
            self.whole(format!(
                "the log is empty: its first line must be {}",
                COLUMNS.join(",")
            ));
        }
        all
    }

    /// Where each of [`COLUMNS`] stands, by field of the file.
    fn columns(&mut self, names: &[&str], line: Option<u64>) -> Vec<Option<usize>> {
        let mut known = Vec::new();
        for (i, name) in names.iter().enumerate() {
            let plain = name.to_lowercase();
            let at = COLUMNS.iter().position(|c| *c == plain);
            if at.is_none() {
                let help = units::nearest(&plain, COLUMNS).map_or_else(
                    || format!("known: {}", COLUMNS.join(", ")),
                    |n| format!("did you mean \"{n}\"?"),
                );
                self.error(
                    line,
                    i,
                    format!("\"{name}\" is no column of a log of weighings"),
                    "a known column",
                    Some(help),
                );
            } else if known.contains(&at) {
                self.error(
                    line,
                    i,
                    format!("the column {plain} stands twice"),
                    "each column once",
                    None,
                );
            }
            known.push(at);
        }
        if !known.contains(&Some(0)) {
            self.error(
                line,
                0,
                "the log has no column date".to_owned(),
                "date among the columns of the first line",
                Some(format!("the first line is best {}", COLUMNS.join(","))),
            );
        }
        known
    }

    /// `columns[i]` is which of [`COLUMNS`] field i is.
    fn weighing(
        &mut self,
        fields: &[&str],
        columns: &[Option<usize>],
        line: Option<u64>,
    ) -> Option<Weighing> {
        let at = |name: &str| {
            columns
                .iter()
                .position(|c| c.is_some_and(|c| COLUMNS[c] == name))
        };
        let value = |name: &str| {
            at(name)
                .and_then(|i| fields.get(i))
                .map_or("", |f| f.trim())
        };
        let before = self.problems.len();
        let date = self.date(value("date"), at("date").unwrap_or(0), line);
        let hive = self.hive(value("hive"), at("hive").unwrap_or(0), line);
        let mut reading = |name: &str| {
            let text = value(name);
            (!text.is_empty()).then(|| self.reading(text, name, at(name).unwrap_or(0), line))
        };
        let (front, back, whole, one) = (
            reading("front"),
            reading("back"),
            reading("whole"),
            reading("one_side"),
        );
        let ways = [
            front.is_some() || back.is_some(),
            whole.is_some(),
            one.is_some(),
        ];
        let weighed = match ways.iter().filter(|w| **w).count() {
            0 => {
                let help =
                    "the two numbers of front and back, or one under whole or one_side".to_owned();
                self.error(
                    line,
                    at("front").unwrap_or(0),
                    "this weighing has no reading".to_owned(),
                    "front and back, or whole, or one_side",
                    Some(help),
                );
                None
            }
            1 => {
                match (front, back, whole, one) {
                    (Some(f), Some(b), ..) => f.zip(b).map(|(f, b)| (Lift::FrontAndBack, f + b)),
                    (Some(_), None, ..) | (None, Some(_), ..) => {
                        let missing = if ways[0] && value("back").is_empty() {
                            "back"
                        } else {
                            "front"
                        };
                        self.error(line, at(missing).or(at("front")).unwrap_or(0), format!("only one of front and back is given, {missing} is missing"),
                        "both", Some("lift the other end too; or write it under one_side to have it doubled".to_owned()));
                        None
                    }
                    (.., Some(w), _) => w.map(|w| (Lift::Whole, w)),
                    (.., one) => one.flatten().map(|s| (Lift::OneSide, 2.0 * s)),
                }
            }
            _ => {
                self.error(
                    line,
                    at("whole").unwrap_or(0),
                    "the hive is weighed in more than one way".to_owned(),
                    "front and back, or whole, or one_side",
                    Some("a row for one way only".to_owned()),
                );
                None
            }
        };
        if self.problems.len() > before {
            return None;
        }
        let (lift, gross) = weighed?;
        Some(Weighing {
            date: date?,
            hive: hive?,
            lift,
            gross,
            note: clean(value("note")),
        })
    }

    fn date(&mut self, text: &str, index: usize, line: Option<u64>) -> Option<Date> {
        let shape = text.len() == 10 && text.as_bytes().get(4) == Some(&b'-');
        match text.parse::<Date>() {
            Ok(d) if shape => Some(d),
            _ => {
                self.error(
                    line,
                    index,
                    format!("\"{text}\" is no day"),
                    "year, month and day such as 2027-01-15",
                    None,
                );
                None
            }
        }
    }

    fn hive(&mut self, text: &str, index: usize, line: Option<u64>) -> Option<String> {
        let listed = self.hives.join(", ");
        if text.is_empty() {
            if let [only] = self.hives {
                return Some((*only).to_owned());
            }
            self.error(
                line,
                index,
                "which hive was weighed is not said".to_owned(),
                &format!("one of {listed}"),
                None,
            );
            return None;
        }
        let same = self
            .hives
            .iter()
            .find(|h| h.to_lowercase() == text.to_lowercase());
        if let Some(h) = same {
            return Some((*h).to_owned());
        }
        let help = units::nearest(text, self.hives.iter().copied())
            .map(|n| format!("did you mean \"{n}\"?"));
        self.error(
            line,
            index,
            format!("no hive with a colony is called \"{text}\""),
            &format!("one of {listed}"),
            help,
        );
        None
    }

    fn reading(&mut self, text: &str, name: &str, index: usize, line: Option<u64>) -> Option<f64> {
        match units::parse(text, Quantity::Mass) {
            Ok(kg) => {
                let (low, high) =
                    Fields::built_in().map_or((1.0, 250.0), |f| f.get("reading").range());
                if (low..=high).contains(&kg) {
                    return Some(kg);
                }
                self.error(
                    line,
                    index,
                    format!("{name} = {text} is outside what one lift of a hive can be"),
                    "1 kg to 250 kg",
                    None,
                );
                None
            }
            Err(e) => {
                let help = e.hint();
                self.error(
                    line,
                    index,
                    format!("{name}: {e}"),
                    "a weight with its unit",
                    help,
                );
                None
            }
        }
    }
}

/// Column (from 1) and width of a field of a line, in characters; the line's end when it has no such field.
fn field_at(line: &str, index: usize) -> (usize, usize) {
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

#[cfg(test)]
mod tests;
