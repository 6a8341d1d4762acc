//! The program's own plain CSV, hourly or daily.
//!
//! `#`-lines `# key: value` first (station, latitude, longitude, elevation_m, utc_offset_h, source, licence,
//! radiation_interval, note), then a header row, then the data. Columns are found by name ([`super::columns`]), in any
//! order; unknown ones are skipped with a note. Comma, semicolon or tab separate; with a semicolon or tab a decimal comma is
//! read too. An empty cell is a missing value.

use super::columns::{self, Column, QUANTITIES, Quantity};
use super::plain_rows::{self, Row, short_decimal};
use super::preamble::{self, Preamble};
use super::{Format, Hints, MAX_PROBLEMS, excerpt, fields_of};
use crate::climate::calendar;
use crate::climate::error::ClimateError;
use crate::climate::raw::{Clock, DayRow, DayValues, HourRow, HourValues, Kind, RawRecord, Rows};
use crate::climate::source::Source;
use crate::climate::wind::at_10_m;
use crate::problem::{Problem, Problems};

/// This format.
pub const FORMAT: Format = Format {
    name: "plain CSV",
    fits,
    read,
};

/// Most columns of a row; the widest weather table met has 71 (common practice, no source).
const MAX_COLUMNS: usize = 512;
/// Words that stand for a missing value beside an empty cell.
const MISSING: &[&str] = &["", "na", "n/a", "nan", "null", "none", "-", "--", "m", "."];

/// Line of the header row and its delimiter.
fn header(source: &Source) -> Option<(usize, u8)> {
    let line = (1..=source.line_count())
        .find(|l| !source.line(*l).trim().is_empty() && !source.line(*l).starts_with('#'))?;
    let text = source.line(line);
    let count = |d: u8| text.bytes().filter(|b| *b == d).count();
    let delimiter = [b',', b';', b'\t']
        .into_iter()
        .max_by_key(|d| (count(*d), *d == b','))?;
    Some((line, delimiter))
}

fn fits(source: &Source) -> bool {
    header(source).is_some_and(|(line, delimiter)| {
        let names = fields_of(source.line(line), delimiter);
        let known = names.iter().filter(|n| columns::find(n).is_some()).count();
        let timed = names.iter().any(|n| {
            columns::find(n).is_some_and(|c| matches!(c.quantity, Quantity::Time | Quantity::Date))
        });
        timed && known >= 1 && names.len() >= 2
    })
}

/// Which field of a row holds which quantity.
struct Layout {
    header_line: usize,
    delimiter: u8,
    names: Vec<String>,
    /// By quantity.
    at: [Option<(usize, &'static Column)>; QUANTITIES],
}

impl Layout {
    fn index(&self, quantity: Quantity) -> Option<usize> {
        self.at[quantity as usize].map(|(index, _)| index)
    }

    fn has(&self, quantity: Quantity) -> bool {
        self.index(quantity).is_some()
    }
}

fn layout(source: &Source, notes: &mut Vec<String>) -> Result<Layout, Problems> {
    let (header_line, delimiter) =
        header(source).ok_or_else(|| Problems(vec![source.error(ClimateError::Empty)]))?;
    let names = fields_of(source.line(header_line), delimiter);
    let refuse = |fault| Problems(vec![source.error_at(fault, header_line)]);
    if names.len() > MAX_COLUMNS {
        return Err(refuse(ClimateError::TooManyColumns {
            got: names.len(),
            limit: MAX_COLUMNS,
        }));
    }
    let columns: Vec<_> = names.iter().map(|n| columns::find(n)).collect();
    for (i, column) in columns.iter().enumerate() {
        let Some(column) = column else { continue };
        if column.quantity == Quantity::Unused {
            continue;
        }
        let twin = columns[..i]
            .iter()
            .position(|c| c.is_some_and(|c| c.quantity == column.quantity));
        if let Some(twin) = twin {
            return Err(refuse(ClimateError::DuplicateColumn {
                what: column.quantity.words(),
                first: names[twin].clone(),
                second: names[i].clone(),
            }));
        }
        if column.unit_guessed {
            let unit = if column.quantity == Quantity::Wind10 {
                "m/s"
            } else {
                "degrees Celsius"
            };
            notes.push(format!(
                "column \"{}\" does not name its unit; taken as {unit}",
                names[i]
            ));
        }
    }
    let skipped: Vec<&str> = names
        .iter()
        .zip(&columns)
        .filter(|(n, c)| c.is_none() && !n.is_empty())
        .map(|(n, _)| n.as_str())
        .collect();
    if !skipped.is_empty() {
        notes.push(format!(
            "columns not known to this program and skipped: {}",
            skipped.join(", ")
        ));
    }
    let mut at = [None; QUANTITIES];
    for (i, column) in columns.iter().enumerate() {
        if let Some(column) = column {
            at[column.quantity as usize].get_or_insert((i, *column));
        }
    }
    Ok(Layout {
        header_line,
        delimiter,
        names,
        at,
    })
}

fn missing_column(
    source: &Source,
    layout: &Layout,
    what: &'static str,
    expected: &'static str,
) -> Problems {
    let found = layout.names.join(", ").chars().take(120).collect();
    let fault = ClimateError::MissingColumn {
        what,
        expected,
        found,
    };
    Problems(vec![source.error_at(fault, layout.header_line)])
}

fn read(source: &Source, _: &Hints) -> Result<RawRecord, Problems> {
    let (header_line, _) =
        header(source).ok_or_else(|| Problems(vec![source.error(ClimateError::Empty)]))?;
    let Preamble {
        station,
        radiation,
        mut notes,
    } = preamble::read(source, header_line)?;
    let layout = layout(source, &mut notes)?;
    let (kind, rows) = if layout.has(Quantity::Time) && !layout.has(Quantity::TMin) {
        (Kind::Hourly, Rows::Hours(hour_rows(source, &layout)?))
    } else if layout.has(Quantity::Date) {
        (Kind::Daily, Rows::Days(day_rows(source, &layout)?))
    } else {
        let expected =
            "time (YYYY-MM-DDTHH:MM) beside temp_c, or date (YYYY-MM-DD) beside tmin_c and tmax_c";
        return Err(missing_column(
            source,
            &layout,
            "the time or the date that goes with the temperatures",
            expected,
        ));
    };
    Ok(RawRecord {
        station,
        kind,
        rows,
        radiation,
        clock: Clock::LocalStandard,
        notes,
        warnings: Vec::new(),
    })
}

fn hour_rows(source: &Source, layout: &Layout) -> Result<Vec<HourRow>, Problems> {
    if !layout.has(Quantity::Temp) {
        return Err(missing_column(
            source,
            layout,
            "the air temperature",
            "temp_c or temp_f",
        ));
    }
    let mut out = Vec::with_capacity(source.line_count() - layout.header_line);
    read_rows(source, layout, Quantity::Time, |line, minute, value| {
        out.push(HourRow {
            line,
            minute,
            values: HourValues {
                temp_c: value(Quantity::Temp)?,
                dewpoint_c: value(Quantity::DewPoint)?,
                rel_humidity: value(Quantity::RelHumidity)?,
                wind: wind(value)?,
                ghi: value(Quantity::Ghi)?,
                dni: value(Quantity::Dni)?,
                dhi: value(Quantity::Dhi)?,
                sky_longwave: value(Quantity::SkyLongwave)?,
                // 9 oktas is "sky obscured" in station reports.
                cloud: value(Quantity::Cloud)?.map(|c| if c > 1.0 && c < 1.126 { 1.0 } else { c }),
                snow_depth: value(Quantity::SnowDepth)?,
            },
        });
        Ok(())
    })?;
    Ok(out)
}

fn day_rows(source: &Source, layout: &Layout) -> Result<Vec<DayRow>, Problems> {
    if layout.has(Quantity::TMin) != layout.has(Quantity::TMax) {
        let what = if layout.has(Quantity::TMin) {
            "the day's maximum"
        } else {
            "the day's minimum"
        };
        return Err(missing_column(
            source,
            layout,
            what,
            "tmin_c and tmax_c together",
        ));
    }
    if !layout.has(Quantity::TMin) && !layout.has(Quantity::TMean) {
        let expected = "tmin_c and tmax_c, or at least tmean_c";
        return Err(missing_column(
            source,
            layout,
            "daily temperatures",
            expected,
        ));
    }
    let mut out = Vec::with_capacity(source.line_count() - layout.header_line);
    read_rows(source, layout, Quantity::Date, |line, day, value| {
        out.push(DayRow {
            line,
            day,
            values: DayValues {
                tmin_c: value(Quantity::TMin)?,
                tmax_c: value(Quantity::TMax)?,
                tmean_c: value(Quantity::TMean)?,
                ghi_sum: value(Quantity::GhiSum)?,
                wind: wind(value)?,
                vapour_pressure: value(Quantity::Vapour)?,
                rel_humidity: value(Quantity::RelHumidity)?,
                snow_depth: value(Quantity::SnowDepth)?,
            },
        });
        Ok(())
    })?;
    Ok(out)
}

/// One cell as a number in SI, or `None` when it is missing; the column is chosen by quantity.
type Cell<'a> = dyn Fn(Quantity) -> Result<Option<f64>, Box<Problem>> + 'a;

fn wind(value: &Cell<'_>) -> Result<Option<f64>, Box<Problem>> {
    Ok(match value(Quantity::Wind10)? {
        Some(v) => Some(v),
        None => value(Quantity::Wind2)?.map(at_10_m),
    })
}

/// Walks the data rows; `take` gets the line, the time (minutes) or date (days) and a way to read cells.
fn read_rows(
    source: &Source,
    layout: &Layout,
    when: Quantity,
    mut take: impl FnMut(usize, i64, &Cell<'_>) -> Result<(), Box<Problem>>,
) -> Result<(), Problems> {
    let mut problems = Vec::new();
    let mut any = false;
    plain_rows::walk(source, layout.header_line, layout.delimiter, |line, row| {
        any = true;
        let row = match row {
            Row::OpenQuote => Err(Box::new(source.error_at(ClimateError::OpenQuote, line))),
            Row::Cells(cells) => row_start(source, layout, when, cells, line).and_then(|at| {
                let cell = |quantity| cell(source, layout, cells, line, quantity);
                take(line, at, &cell)
            }),
        };
        if let Err(problem) = row {
            problems.push(*problem);
        }
        problems.len() < MAX_PROBLEMS
    });
    if !any {
        return Err(Problems(vec![
            source.error_at(ClimateError::NoRows, layout.header_line),
        ]));
    }
    if problems.is_empty() {
        Ok(())
    } else {
        Err(Problems(problems))
    }
}

/// The time (minutes) or date (days) of a row that is whole.
fn row_start(
    source: &Source,
    layout: &Layout,
    when: Quantity,
    cells: &[&str],
    line: usize,
) -> Result<i64, Box<Problem>> {
    let index = layout.index(when).unwrap_or(0);
    if cells.len() < layout.names.len().min(2).max(index + 1) {
        let fault = ClimateError::ShortRow {
            got: cells.len(),
            need: layout.names.len(),
        };
        return Err(Box::new(source.error_at(fault, line)));
    }
    let stamp = cells.get(index).copied().unwrap_or("");
    let (what, expected, parsed) = if when == Quantity::Time {
        let form = "YYYY-MM-DDTHH:MM in local standard time, as 2015-01-31T07:00";
        ("time", form, calendar::parse_time(stamp))
    } else {
        (
            "date",
            "YYYY-MM-DD, as 2015-01-31",
            calendar::parse_date(stamp),
        )
    };
    parsed.ok_or_else(|| {
        let fault = ClimateError::BadTime {
            what,
            text: excerpt(stamp),
            expected,
        };
        Box::new(source.error_at_field(fault, line, index, layout.delimiter))
    })
}

fn cell(
    source: &Source,
    layout: &Layout,
    cells: &[&str],
    line: usize,
    quantity: Quantity,
) -> Result<Option<f64>, Box<Problem>> {
    let Some((index, column)) = layout.at[quantity as usize] else {
        return Ok(None);
    };
    let written = cells.get(index).copied().unwrap_or("");
    match number(written, layout.delimiter) {
        Ok(v) => Ok(v.map(|x| (x + column.shift) * column.factor)),
        Err(()) => {
            let fault = ClimateError::BadNumber {
                column: column.name.to_owned(),
                text: excerpt(written),
            };
            Err(Box::new(source.error_at_field(
                fault,
                line,
                index,
                layout.delimiter,
            )))
        }
    }
}

/// A number, `None` for a missing value, `Err` for anything else. Infinity is no number here.
fn number(text: &str, delimiter: u8) -> Result<Option<f64>, ()> {
    if let Some(x) = short_decimal(text) {
        return Ok(Some(x));
    }
    let parsed = text.parse::<f64>();
    if let Ok(x) = parsed
        && x.is_finite()
    {
        return Ok(Some(x));
    }
    if MISSING.iter().any(|m| text.eq_ignore_ascii_case(m)) {
        return Ok(None);
    }
    if delimiter != b',' && text.contains(',') && !text.contains('.') {
        return match text.replacen(',', ".", 1).parse::<f64>() {
            Ok(x) if x.is_finite() => Ok(Some(x)),
            _ => Err(()),
        };
    }
    Err(())
}
