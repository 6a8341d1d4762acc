//! Several files of one station made one record.
//!
//! Each file's own rows must be in order; the files may come in any. A moment that stands in two files must have the same
//! readings in both, or readings of different quantities.

use crate::climate::calendar;
use crate::climate::error::ClimateError;
use crate::climate::quality;
use crate::climate::raw::{
    DayValues, HourValues, Kind, PartialStation, RadiationInterval, RawRecord, Rows,
};
use crate::climate::source::Source;
use crate::problem::{Problem, Problems};

/// Readings further apart than this are different: the last digit of any file is coarser (common practice, no source).
const SAME: f64 = 1e-6;
/// Degrees of latitude or longitude between two descriptions of one place; stations move by a few kilometres in a century
/// (common practice, no source).
const SAME_PLACE_DEG: f64 = 0.1;
/// Disagreements told one by one.
const MOST_TOLD: usize = 5;

/// One quantity of a row, in words, and where it is kept.
type Field<V> = (&'static str, fn(&mut V) -> &mut Option<f64>);

const HOUR_FIELDS: &[Field<HourValues>] = &[
    ("air temperature", |v| &mut v.temp_c),
    ("dew point", |v| &mut v.dewpoint_c),
    ("relative humidity", |v| &mut v.rel_humidity),
    ("wind", |v| &mut v.wind),
    ("global radiation", |v| &mut v.ghi),
    ("direct radiation", |v| &mut v.dni),
    ("diffuse radiation", |v| &mut v.dhi),
    ("longwave radiation", |v| &mut v.sky_longwave),
    ("cloud cover", |v| &mut v.cloud),
    ("snow depth", |v| &mut v.snow_depth),
];

const DAY_FIELDS: &[Field<DayValues>] = &[
    ("minimum", |v| &mut v.tmin_c),
    ("maximum", |v| &mut v.tmax_c),
    ("mean temperature", |v| &mut v.tmean_c),
    ("radiation", |v| &mut v.ghi_sum),
    ("wind", |v| &mut v.wind),
    ("vapour pressure", |v| &mut v.vapour_pressure),
    ("relative humidity", |v| &mut v.rel_humidity),
    ("snow depth", |v| &mut v.snow_depth),
];

/// Makes one record of several files, under `name`.
///
/// # Errors
/// When the files are of different kinds, clocks or stations, when one is not in order, or when the same moment has
/// different readings in two of them.
pub fn join(name: &str, files: Vec<(Source, RawRecord)>) -> Result<(Source, RawRecord), Problems> {
    let mut problems = Vec::new();
    for (source, record) in &files {
        if let Err(p) = quality::check_rows_in_order(source, &record.rows) {
            problems.extend(p.0);
        }
    }
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
    if !problems.is_empty() {
        problems.truncate(MOST_TOLD);
        return Err(Problems(problems));
    }
    let (sources, records): (Vec<_>, Vec<_>) = files.into_iter().unzip();
    let (source, before) = Source::joined(name, sources);
    let mut station = PartialStation::default();
    let mut radiation = RadiationInterval::default();
    let (mut kind, mut clock) = (Kind::Hourly, crate::climate::raw::Clock::default());
    let (mut hours, mut days) = (Vec::new(), Vec::new());
    let (mut notes, mut warnings) = (Vec::<String>::new(), Vec::new());
    for (record, before) in records.into_iter().zip(before) {
        station.fill_from(&record.station);
        (kind, clock) = (record.kind, record.clock);
        if has_radiation(&record) {
            radiation = record.radiation;
        }
        match record.rows {
            Rows::Hours(mut rows) => {
                rows.iter_mut().for_each(|r| r.line += before);
                hours.append(&mut rows);
            }
            Rows::Days(mut rows) => {
                rows.iter_mut().for_each(|r| r.line += before);
                days.append(&mut rows);
            }
        }
        for note in record.notes {
            if !notes.contains(&note) {
                notes.push(note);
            }
        }
        warnings.extend(record.warnings);
    }
    let rows = if kind == Kind::Daily {
        let keys = days
            .into_iter()
            .map(|r| (r.day, r.line, r.values))
            .collect();
        let kept = merge(
            &source,
            keys,
            DAY_FIELDS,
            calendar::date_text,
            &mut problems,
        );
        let row = |(day, line, values)| crate::climate::raw::DayRow { line, day, values };
        Rows::Days(kept.into_iter().map(row).collect())
    } else {
        let keys = hours
            .into_iter()
            .map(|r| (r.minute, r.line, r.values))
            .collect();
        let kept = merge(
            &source,
            keys,
            HOUR_FIELDS,
            calendar::time_text,
            &mut problems,
        );
        let row = |(minute, line, values)| crate::climate::raw::HourRow {
            line,
            minute,
            values,
        };
        Rows::Hours(kept.into_iter().map(row).collect())
    };
    if !problems.is_empty() {
        return Err(Problems(problems));
    }
    notes.push(format!("put together from {} files", source.part_count()));
    let record = RawRecord {
        station,
        kind,
        rows,
        radiation,
        clock,
        notes,
        warnings,
    };
    Ok((source, record))
}

fn has_radiation(record: &RawRecord) -> bool {
    match &record.rows {
        Rows::Hours(rows) => rows
            .iter()
            .any(|r| r.values.ghi.or(r.values.dni).or(r.values.dhi).is_some()),
        Rows::Days(_) => false,
    }
}

/// What keeps two files from being one record.
fn difference(a: &RawRecord, b: &RawRecord) -> Option<String> {
    if a.kind == Kind::TypicalYear || b.kind == Kind::TypicalYear {
        return Some("a typical year stands alone".into());
    }
    if a.kind != b.kind {
        return Some("one is hourly, the other daily".into());
    }
    if a.clock != b.clock {
        return Some("one is in UTC, the other in local time".into());
    }
    if has_radiation(a) && has_radiation(b) && a.radiation != b.radiation {
        return Some("their radiation belongs to different parts of the hour".into());
    }
    let (s, t) = (&a.station, &b.station);
    if let (Some(s), Some(t)) = (&s.id, &t.id)
        && s != t
    {
        return Some(format!("they are of the stations {t} and {s}"));
    }
    if let (Some(s), Some(t)) = (s.utc_offset_h, t.utc_offset_h)
        && s != t
    {
        return Some(format!("their clocks are {t:+} h and {s:+} h from UTC"));
    }
    let far = |x: Option<f64>, y: Option<f64>| {
        x.zip(y)
            .is_some_and(|(x, y)| (x - y).abs() > SAME_PLACE_DEG)
    };
    if far(s.latitude_deg, t.latitude_deg) || far(s.longitude_deg, t.longitude_deg) {
        return Some("they are of different places".into());
    }
    None
}

/// Sorts rows by time and makes one of each moment; disagreements go to `problems`.
fn merge<V>(
    source: &Source,
    mut rows: Vec<(i64, usize, V)>,
    fields: &[Field<V>],
    text: fn(i64) -> String,
    problems: &mut Vec<Problem>,
) -> Vec<(i64, usize, V)> {
    rows.sort_by_key(|r| (r.0, r.1));
    let mut out: Vec<(i64, usize, V)> = Vec::with_capacity(rows.len());
    let mut count = 0;
    for (at, line, mut values) in rows {
        let Some(kept) = out.last_mut().filter(|k| k.0 == at) else {
            out.push((at, line, values));
            continue;
        };
        let mut agree = true;
        for (what, get) in fields {
            let (old, new) = (get(&mut kept.2), *get(&mut values));
            match (*old, new) {
                (None, Some(_)) => *old = new,
                (Some(a), Some(b)) if (a - b).abs() > SAME && agree => {
                    agree = false;
                    count += 1;
                    if count <= MOST_TOLD {
                        let fault = ClimateError::Overlap {
                            when: text(at),
                            what,
                            this: b,
                            before: a,
                            before_line: source.line_name(kept.1),
                        };
                        problems.push(source.error_at(fault, line));
                    }
                }
                _ => {}
            }
        }
    }
    if count > MOST_TOLD {
        problems.push(source.error(ClimateError::Overlaps { count }));
    }
    out
}
