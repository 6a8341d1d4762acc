//! A delimited table: the one walk through its rows, its cells as numbers and times, and the places of what is wrong in it.

use super::rows::{self, short_decimal};
use super::{MAX_PROBLEMS, excerpt, fields_of};
use crate::climate::error::ClimateError;
use crate::climate::quantity::Values;
use crate::climate::raw;
use crate::climate::readings::Readings;
use crate::climate::source::{Source, refuse_any};
use crate::problem::{Problem, Problems};

/// Most columns of a row; the widest weather table met has 71 (common practice, no source).
const MAX_COLUMNS: usize = 512;

/// A table in a text.
pub(super) struct Table<'a> {
    pub(super) source: &'a Source,
    header_line: usize,
    /// Last line of the table.
    end: usize,
    delimiter: u8,
    quoting: bool,
    names: Vec<String>,
    /// Whether units stand in brackets behind the names.
    bracketed: bool,
    /// Cells without which a row is cut short.
    need: usize,
    /// Cells a whole row has.
    whole: usize,
    /// Cells behind which none is filled.
    most: usize,
    missing: fn(f64) -> bool,
    missing_words: &'static [&'static str],
    decimal_comma: bool,
}

impl<'a> Table<'a> {
    /// A table without a header row below line `above`, whose whole rows have `whole` cells; quotation marks mean nothing in it.
    pub(super) fn without_names(source: &'a Source, above: usize, whole: usize) -> Self {
        Self {
            source,
            header_line: above,
            end: source.line_count(),
            delimiter: b',',
            quoting: false,
            names: Vec::new(),
            bracketed: false,
            need: whole,
            whole,
            most: whole,
            missing: |_| false,
            missing_words: &["", "nan", "na", "null"],
            decimal_comma: false,
        }
    }

    /// The table whose header row is `header_line` (1-based), to the end of the text.
    pub(super) fn new(
        source: &'a Source,
        header_line: usize,
        delimiter: u8,
    ) -> Result<Self, Problems> {
        let names = fields_of(source.line(header_line), delimiter);
        if names.len() > MAX_COLUMNS {
            let (got, limit) = (names.len(), MAX_COLUMNS);
            let fault = ClimateError::TooManyColumns { got, limit };
            return Err(source.error_at(fault, header_line).into());
        }
        Ok(Self {
            delimiter,
            quoting: true,
            names: names.clone(),
            ..Self::without_names(source, header_line, names.len())
        })
    }

    /// Ended before the first blank line below its header.
    pub(super) fn until_blank(mut self) -> Self {
        let mut below = self.source.lines(self.header_line + 1);
        let blank = below.find(|(_, text)| text.trim().is_empty());
        self.end = blank.map_or(self.end, |(l, _)| l - 1);
        self
    }

    /// With units in brackets behind the columns' names, which are no part of them.
    pub(super) fn bracketed(self) -> Self {
        Self {
            bracketed: true,
            ..self
        }
    }

    /// With rows that may stop after `need` cells.
    pub(super) fn at_least(self, need: usize) -> Self {
        Self { need, ..self }
    }

    /// With rows that may have more cells than names.
    pub(super) fn or_longer(self) -> Self {
        Self {
            most: usize::MAX,
            ..self
        }
    }

    /// With numbers that stand for a missing value.
    pub(super) fn missing(self, missing: fn(f64) -> bool) -> Self {
        Self { missing, ..self }
    }

    /// Written by people: with more words that stand for a missing value, and with decimal commas where commas do not separate.
    pub(super) fn by_hand(self, missing_words: &'static [&'static str]) -> Self {
        Self {
            missing_words,
            decimal_comma: self.delimiter != b',',
            ..self
        }
    }

    pub(super) fn names(&self) -> &[String] {
        &self.names
    }

    /// Column of that name, whatever its case.
    pub(super) fn find(&self, name: &str) -> Option<usize> {
        let named = |n: &String| match n.split_once('(') {
            Some((stem, _)) if self.bracketed => stem.trim().eq_ignore_ascii_case(name),
            _ => n.eq_ignore_ascii_case(name),
        };
        self.names.iter().position(named)
    }

    /// Unit in brackets behind a column's name.
    pub(super) fn unit(&self, index: usize) -> &str {
        let name = self.names.get(index).map_or("", String::as_str);
        name.split_once('(')
            .map_or("", |(_, unit)| unit.trim_end_matches(')'))
    }

    /// Column of that name, or the fault that there is no column with `what`.
    pub(super) fn need(&self, what: &'static str, name: &'static str) -> Result<usize, Problems> {
        self.find(name)
            .ok_or_else(|| self.no_column(what, name).into())
    }

    /// The fault that there is no column with `what`.
    pub(super) fn no_column(&self, what: &'static str, expected: &'static str) -> Problem {
        let fault = ClimateError::MissingColumn {
            what,
            expected,
            found: self.names.join(", ").chars().take(200).collect(),
        };
        self.source.error_at(fault, self.header_line)
    }

    /// A fault of the header row.
    pub(super) fn header_fault(&self, fault: ClimateError, index: usize) -> Problem {
        let source = self.source;
        source.error_at_field(fault, self.header_line, index, self.delimiter)
    }

    /// Lines below the header: as many rows or fewer.
    pub(super) fn line_count(&self) -> usize {
        self.end.saturating_sub(self.header_line)
    }

    /// What `take` makes of each row.
    ///
    /// # Errors
    /// As [`Table::each`].
    pub(super) fn rows<V: Values>(
        &self,
        mut take: impl FnMut(&Row<'_>) -> Result<raw::Row<V>, Box<Problem>>,
    ) -> Result<Readings<V>, Problems> {
        let mut out = Readings::expecting(self.line_count());
        self.each(|row| take(row).map(|row| out.push(row)))?;
        Ok(out)
    }

    /// Gives each row to `take`, blank ones passed over.
    ///
    /// # Errors
    /// The first of `take`'s; rows cut short, rows with cells behind the last name; no row at all.
    pub(super) fn each(
        &self,
        mut take: impl FnMut(&Row<'_>) -> Result<(), Box<Problem>>,
    ) -> Result<(), Problems> {
        let lines = self.header_line + 1..self.end + 1;
        let (mut problems, mut none) = (Vec::new(), true);
        let Self {
            source, delimiter, ..
        } = self;
        rows::walk(source, lines, *delimiter, self.quoting, |line, cells| {
            let row = Row {
                table: self,
                cells: cells.unwrap_or(&[]),
                line,
            };
            let fault = cells.map_or(Some(ClimateError::OpenQuote), |c| self.odd_length(c));
            none = false;
            let taken = fault.map_or_else(|| take(&row), |f| Err(row.fault(f)));
            problems.extend(taken.err().map(|p| *p));
            problems.len() < MAX_PROBLEMS
        });
        if none {
            problems.push(self.source.error_at(ClimateError::NoRows, self.header_line));
        }
        refuse_any(problems)
    }

    /// What is wrong with a row's number of cells.
    fn odd_length(&self, cells: &[&str]) -> Option<ClimateError> {
        let (got, need) = (cells.len(), self.whole);
        if got < self.need {
            return Some(ClimateError::ShortRow { got, need });
        }
        // Without names nothing tells empty cells at the end from cells that have moved.
        let filled = |c: &&str| self.names.is_empty() || !c.is_empty();
        let more = cells.iter().skip(self.most).any(filled);
        more.then_some(ClimateError::LongRow { got, need })
    }
}

/// One row of a table.
pub(super) struct Row<'a> {
    table: &'a Table<'a>,
    cells: &'a [&'a str],
    pub(super) line: usize,
}

impl Row<'_> {
    /// A cell without the blanks around it; empty where there is none.
    pub(super) fn text(&self, index: usize) -> &str {
        self.cells.get(index).copied().unwrap_or("")
    }

    /// A fault of the whole row.
    pub(super) fn fault(&self, fault: ClimateError) -> Box<Problem> {
        Box::new(self.table.source.error_at(fault, self.line))
    }

    /// A fault of one cell.
    fn fault_at(&self, fault: ClimateError, index: usize) -> Box<Problem> {
        let Table {
            source, delimiter, ..
        } = self.table;
        Box::new(source.error_at_field(fault, self.line, index, *delimiter))
    }

    /// The number in a cell, `None` for a missing value; `name` is that of a column without one.
    pub(super) fn number(&self, index: usize, name: &str) -> Result<Option<f64>, Box<Problem>> {
        let (table, text) = (self.table, self.text(index));
        if let Some(x) = self.parsed(text) {
            // A written -0 is plain nought.
            return Ok((!(table.missing)(x)).then_some(x + 0.0));
        }
        let words = table.missing_words;
        if words.iter().any(|m| text.eq_ignore_ascii_case(m)) {
            return Ok(None);
        }
        let named = table.names.get(index).cloned();
        let fault = ClimateError::BadNumber {
            column: named.unwrap_or_else(|| format!("{} ({name})", index + 1)),
            text: excerpt(text),
        };
        Err(self.fault_at(fault, index))
    }

    /// A finite number.
    fn parsed(&self, text: &str) -> Option<f64> {
        let finite = |text: &str| text.parse::<f64>().ok().filter(|x| x.is_finite());
        short_decimal(text).or_else(|| finite(text)).or_else(|| {
            match text.contains(',') && !text.contains('.') {
                true if self.table.decimal_comma => finite(&text.replacen(',', ".", 1)),
                _ => None,
            }
        })
    }

    /// A date or time, read by `parse` from a cell.
    pub(super) fn stamp<T>(
        &self,
        index: usize,
        (what, expected): (&'static str, &'static str),
        parse: impl FnOnce(&str) -> Option<T>,
    ) -> Result<T, Box<Problem>> {
        let text = self.text(index);
        parse(text).ok_or_else(|| {
            let text = excerpt(text);
            let fault = ClimateError::BadTime {
                what,
                text,
                expected,
            };
            self.fault_at(fault, index)
        })
    }

    /// A whole number between `low` and `high` (`2016` or `2016.0`), for calendar fields.
    pub(super) fn whole(&self, index: usize, low: i64, high: i64) -> Option<i64> {
        whole(self.text(index), low, high)
    }
}

/// A whole number between `low` and `high`, also written as a float.
pub(super) fn whole(text: &str, low: i64, high: i64) -> Option<i64> {
    let x = text.trim().parse::<f64>().ok()?;
    let fits = x.fract() == 0.0 && x >= low as f64 && x <= high as f64;
    fits.then_some(x as i64)
}

/// Day number of digits `YYYYMMDD`.
pub(super) fn compact_date(text: &str) -> Option<i64> {
    let digits = text.len() == 8 && text.bytes().all(|b| b.is_ascii_digit());
    let part = |r: std::ops::Range<usize>| text.get(r).filter(|_| digits);
    let (month, day) = (part(4..6)?.parse().ok()?, part(6..8)?.parse().ok()?);
    crate::climate::calendar::day_of(part(0..4)?.parse().ok()?, month, day)
}
