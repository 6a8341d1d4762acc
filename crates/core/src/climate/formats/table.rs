//! A delimited table below a header row, read by column names: what the readers of such files share.

use csv::{ByteRecord, ReaderBuilder};

use super::{MAX_PROBLEMS, excerpt, fields_of, line_of, text_of};
use crate::climate::error::ClimateError;
use crate::climate::source::Source;
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
    names: Vec<String>,
}

impl<'a> Table<'a> {
    /// The table whose header row is `header_line` (1-based), to the end of the text.
    pub(super) fn new(
        source: &'a Source,
        header_line: usize,
        delimiter: u8,
    ) -> Result<Self, Problems> {
        let names = fields_of(source.line(header_line), delimiter);
        if names.len() > MAX_COLUMNS {
            let fault = ClimateError::TooManyColumns {
                got: names.len(),
                limit: MAX_COLUMNS,
            };
            return Err(Problems(vec![source.error_at(fault, header_line)]));
        }
        Ok(Self {
            source,
            header_line,
            end: source.line_count(),
            delimiter,
            names,
        })
    }

    /// The same table, ended before the first blank line below its header.
    pub(super) fn until_blank(mut self) -> Self {
        let blank =
            (self.header_line + 1..=self.end).find(|l| self.source.line(*l).trim().is_empty());
        self.end = blank.map_or(self.end, |l| l - 1);
        self
    }

    pub(super) fn names(&self) -> &[String] {
        &self.names
    }

    /// Column of that name, whatever its case.
    pub(super) fn find(&self, name: &str) -> Option<usize> {
        self.names.iter().position(|n| n.eq_ignore_ascii_case(name))
    }

    /// First column whose name begins so, whatever its case.
    pub(super) fn find_start(&self, start: &str) -> Option<usize> {
        self.names.iter().position(|n| {
            n.get(..start.len())
                .is_some_and(|s| s.eq_ignore_ascii_case(start))
        })
    }

    /// `index`, or the fault that there is no column with `what`.
    pub(super) fn need(
        &self,
        index: Option<usize>,
        what: &'static str,
        expected: &'static str,
    ) -> Result<usize, Problems> {
        index.ok_or_else(|| {
            let fault = ClimateError::MissingColumn {
                what,
                expected,
                found: self.names.join(", ").chars().take(200).collect(),
            };
            Problems(vec![self.source.error_at(fault, self.header_line)])
        })
    }

    /// A fault of one column's name.
    pub(super) fn fault_in_header(&self, fault: ClimateError, index: usize) -> Problem {
        let source = self.source;
        source.error_at_field(fault, self.header_line, index, self.delimiter)
    }

    /// Walks the data rows. Rows with fewer fields than `need` are cut short, those with
    /// more than the header names are shifted; blank ones are passed over.
    pub(super) fn rows(
        &self,
        need: usize,
        mut take: impl FnMut(&Row<'_>) -> Result<(), Box<Problem>>,
    ) -> Result<(), Problems> {
        let from = self.source.offset(self.header_line + 1);
        let to = self.source.offset(self.end + 1);
        let body = self.source.text.get(from..to).unwrap_or("");
        let mut reader = ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(self.delimiter)
            .from_reader(body.as_bytes());
        let mut record = ByteRecord::new();
        let (mut problems, mut any) = (Vec::new(), false);
        while problems.len() < MAX_PROBLEMS && reader.read_byte_record(&mut record).unwrap_or(false)
        {
            if record.iter().all(|f| f.trim_ascii().is_empty()) {
                continue;
            }
            any = true;
            let row = Row {
                table: self,
                record: &record,
                line: line_of(self.source, self.header_line, &record),
            };
            let taken = if record.iter().any(|f| f.contains(&b'\n')) {
                Err(row.fault(ClimateError::OpenQuote))
            } else if record.len() < need {
                let got = record.len();
                Err(row.fault(ClimateError::ShortRow { got, need }))
            } else if record
                .iter()
                .skip(self.names.len())
                .any(|f| !f.trim_ascii().is_empty())
            {
                let (got, need) = (record.len(), self.names.len());
                Err(row.fault(ClimateError::LongRow { got, need }))
            } else {
                take(&row)
            };
            if let Err(problem) = taken {
                problems.push(*problem);
            }
        }
        if !any {
            problems.push(self.source.error_at(ClimateError::NoRows, self.header_line));
        }
        if problems.is_empty() {
            Ok(())
        } else {
            Err(Problems(problems))
        }
    }
}

/// One row of a table.
pub(super) struct Row<'a> {
    table: &'a Table<'a>,
    record: &'a ByteRecord,
    pub(super) line: usize,
}

impl Row<'_> {
    /// A field without the blanks around it; empty where there is none.
    pub(super) fn text(&self, index: usize) -> &str {
        text_of(self.record, index)
    }

    /// A fault of the whole row.
    pub(super) fn fault(&self, fault: ClimateError) -> Box<Problem> {
        Box::new(self.table.source.error_at(fault, self.line))
    }

    /// A fault of one field.
    pub(super) fn fault_at(&self, fault: ClimateError, index: usize) -> Box<Problem> {
        let source = self.table.source;
        Box::new(source.error_at_field(fault, self.line, index, self.table.delimiter))
    }

    /// A number, `None` where the column is absent, empty, says `NaN`, `NA` or `null`, or gives a code for which `missing`
    /// holds.
    pub(super) fn number(
        &self,
        index: Option<usize>,
        missing: fn(f64) -> bool,
    ) -> Result<Option<f64>, Box<Problem>> {
        let Some(index) = index else { return Ok(None) };
        let text = self.text(index);
        if ["", "nan", "na", "null"]
            .iter()
            .any(|m| text.eq_ignore_ascii_case(m))
        {
            return Ok(None);
        }
        match text.parse::<f64>() {
            Ok(x) if x.is_finite() => Ok((!missing(x)).then_some(x)),
            _ => {
                let column = self.table.names.get(index).cloned().unwrap_or_default();
                let text = excerpt(text);
                Err(self.fault_at(ClimateError::BadNumber { column, text }, index))
            }
        }
    }

    /// The fault of a date or time that cannot be read.
    pub(super) fn bad_time(
        &self,
        index: usize,
        what: &'static str,
        expected: &'static str,
    ) -> Box<Problem> {
        let text = excerpt(self.text(index));
        self.fault_at(
            ClimateError::BadTime {
                what,
                text,
                expected,
            },
            index,
        )
    }

    /// A whole number between `low` and `high` (`2016` or `2016.0`), for calendar fields.
    pub(super) fn whole(&self, index: usize, low: i64, high: i64) -> Option<i64> {
        whole(self.text(index), low, high)
    }
}

/// A whole number between `low` and `high`, also written as a float.
pub(super) fn whole(text: &str, low: i64, high: i64) -> Option<i64> {
    let x = text.trim().parse::<f64>().ok()?;
    if x.fract() != 0.0 || x < low as f64 || x > high as f64 {
        return None;
    }
    Some(x as i64)
}

/// Nothing is a missing code.
pub(super) fn never(_: f64) -> bool {
    false
}

/// Day number of digits `YYYYMMDD`.
pub(super) fn compact_date(text: &str) -> Option<i64> {
    if text.len() != 8 || !text.bytes().all(|b| b.is_ascii_digit()) {
        return None;
    }
    let part = |r: std::ops::Range<usize>| text.get(r);
    crate::climate::calendar::parse_date(&format!(
        "{}-{}-{}",
        part(0..4)?,
        part(4..6)?,
        part(6..8)?
    ))
}

/// Latitude, longitude or height from a table's cell, within what is possible.
pub(super) fn coordinate(text: &str, limit: f64) -> Option<f64> {
    text.parse::<f64>().ok().filter(|x| x.abs() <= limit)
}
