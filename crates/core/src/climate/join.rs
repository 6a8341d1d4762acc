//! Several files of one station made one record.
//!
//! Each file's own rows must be in order; the files may come in any. A moment that stands in two files must have the same
//! readings in both, or readings of different quantities.

use crate::climate::error::ClimateError;
use crate::climate::quality;
use crate::climate::quantity::{Values, hour};
use crate::climate::raw::{DayValues, Kind, PartialStation, RawRecord, Row, Rows};
use crate::climate::readings::Readings;
use crate::climate::source::{Source, refuse_any};
use crate::problem::{Problem, Problems};

/// Readings further apart than this are different: the last digit of any file is coarser (common practice, no source).
const SAME: f64 = 1e-6;
/// Degrees of latitude or longitude between two descriptions of one place; stations move by a few kilometres in a century
/// (common practice, no source).
const SAME_PLACE_DEG: f64 = 0.1;
/// Disagreements told one by one.
const MOST_TOLD: usize = 5;

/// Makes one record of several files, under `name`.
///
/// # Errors
/// When the files are of different kinds, clocks or stations, when one is not in order, or when the same moment has
/// different readings in two of them.
pub fn join(name: &str, files: Vec<(Source, RawRecord)>) -> Result<(Source, RawRecord), Problems> {
    let mut problems: Vec<Problem> = Vec::new();
    let check = |(s, r): &(Source, RawRecord)| quality::check_rows_in_order(s, &r.rows).err();
    problems.extend(files.iter().filter_map(check).flat_map(|p| p.0));
    if let Some(((first_source, first), rest)) = files.split_first() {
        for (source, record) in rest {
            if let Some(why) = difference(first, record) {
                let fault = ClimateError::NotOneRecord {
                    file: source.name.clone(),
                    other: first_source.name.clone(),
                    why,
                };
                problems.push(source.error(fault));
            }
        }
    }
    problems.truncate(MOST_TOLD);
    refuse_any(problems)?;
    let mut problems = Vec::new();
    let (sources, records): (Vec<_>, Vec<_>) = files.into_iter().unzip();
    let (source, before) = Source::joined(name, sources);
    let (mut hours, mut days) = (Readings::default(), Readings::default());
    let nothing = Readings::<DayValues>::default();
    let mut out = RawRecord::of(PartialStation::default(), nothing);
    for (record, before) in records.into_iter().zip(before) {
        if has_radiation(&record) {
            out.radiation = record.radiation;
        }
        out.station.fill_from(&record.station);
        (out.kind, out.clock) = (record.kind, record.clock);
        match record.rows {
            Rows::Hours(rows) => hours.append(further_down(rows, before)),
            Rows::Days(rows) => days.append(further_down(rows, before)),
        }
        for note in record.notes {
            if !out.notes.contains(&note) {
                out.notes.push(note);
            }
        }
        out.warnings.extend(record.warnings);
    }
    out.rows = match out.kind {
        Kind::Daily => Rows::Days(merge(&source, days, &mut problems)),
        _ => Rows::Hours(merge(&source, hours, &mut problems)),
    };
    refuse_any(problems)?;
    let count = source.part_count();
    out.notes.push(format!("put together from {count} files"));
    Ok((source, out))
}

/// Rows of a file that stands behind so many lines of others.
fn further_down<V>(mut rows: Readings<V>, before: usize) -> Readings<V> {
    rows.lines.shift(i64::try_from(before).unwrap_or(0));
    rows
}

fn has_radiation(record: &RawRecord) -> bool {
    let Rows::Hours(rows) = &record.rows else {
        return false;
    };
    let mut sunny = [hour::GHI, hour::DNI, hour::DHI].into_iter();
    sunny.any(|q| rows.known(&q).next().is_some())
}

/// What keeps two files from being one record.
fn difference(a: &RawRecord, b: &RawRecord) -> Option<String> {
    let (s, t) = (&a.station, &b.station);
    let far = |x: Option<f64>, y: Option<f64>| {
        let apart = x.zip(y).map(|(x, y)| (x - y).abs());
        apart.is_some_and(|d| d > SAME_PLACE_DEG)
    };
    let typical = a.kind == Kind::TypicalYear || b.kind == Kind::TypicalYear;
    let sun = has_radiation(a) && has_radiation(b) && a.radiation != b.radiation;
    let ids = s.id.as_ref().zip(t.id.as_ref()).filter(|(s, t)| s != t);
    let clocks = s.utc_offset_h.zip(t.utc_offset_h).filter(|(s, t)| s != t);
    let why = if typical {
        "a typical year stands alone"
    } else if a.kind != b.kind {
        "one is hourly, the other daily"
    } else if a.clock != b.clock {
        "one is in UTC, the other in local time"
    } else if sun {
        "their radiation belongs to different parts of the hour"
    } else if let Some((s, t)) = ids {
        return Some(format!("they are of the stations {t} and {s}"));
    } else if let Some((s, t)) = clocks {
        return Some(format!("their clocks are {t:+} h and {s:+} h from UTC"));
    } else if far(s.latitude_deg, t.latitude_deg) || far(s.longitude_deg, t.longitude_deg) {
        "they are of different places"
    } else {
        return None;
    };
    Some(why.to_owned())
}

/// Sorts rows by time and makes one of each moment; disagreements go to `problems`.
fn merge<V: Values>(
    source: &Source,
    rows: Readings<V>,
    problems: &mut Vec<Problem>,
) -> Readings<V> {
    // Files that follow each other, as most do.
    if rows.minutes.from(0).is_sorted_by(|a, b| a < b) {
        return rows;
    }
    // Of rows of one moment the later stands in a later file, and further down.
    let mut order: Vec<(i64, usize)> = rows.minutes.from(0).zip(0..).collect();
    order.sort_unstable();
    let mut out = Readings::expecting(rows.len());
    let mut kept: Option<Row<V>> = None;
    let mut count = 0;
    for mut row in order.into_iter().filter_map(|(_, i)| rows.get(i)) {
        let Some(kept) = kept.as_mut().filter(|k| k.minute == row.minute) else {
            out.extend(kept.replace(row));
            continue;
        };
        let mut agree = true;
        for quantity in V::QUANTITIES {
            let slot = quantity.slot;
            let (old, new) = (slot(&mut kept.values), *slot(&mut row.values));
            match (*old, new) {
                (None, Some(_)) => *old = new,
                (Some(before), Some(this)) if (before - this).abs() > SAME && agree => {
                    agree = false;
                    count += 1;
                    if count <= MOST_TOLD {
                        let fault = ClimateError::Overlap {
                            when: V::moment(row.minute),
                            what: quantity.name,
                            this,
                            before,
                            before_line: source.line_name(kept.line),
                        };
                        problems.push(source.error_at(fault, row.line));
                    }
                }
                _ => {}
            }
        }
    }
    out.extend(kept);
    if count > MOST_TOLD {
        problems.push(source.error(ClimateError::Overlaps { count }));
    }
    out
}
