//! EPW: the hourly weather file of building-energy programs, a typical year or real years.
//!
//! Layout and missing codes: the data dictionary of the EPW format (EnergyPlus auxiliary programs). Eight header lines,
//! then 35 comma-separated fields an hour. Hour h runs from h-1:00 to h:00: its temperature belongs at h:00, its
//! radiation to the hour before. The minute field is 0 or 60 and means nothing.
//!
//! The months of a typical year come from different years, so the year field is ignored and the rows are put on the
//! clock of one nominal year in file order ([`super::typical`]).

use csv::{ByteRecord, ReaderBuilder};

use super::typical::{self, Dated, NOMINAL_YEAR, YEAR_HOURS, place_on_clock};
use super::{Format, Hints, MAX_PROBLEMS, excerpt, fields_of, line_of, text_of};
use crate::climate::error::ClimateError;
use crate::climate::raw::{
    Clock, HourValues, Kind, PartialStation, RadiationInterval, RawRecord, Rows,
};
use crate::climate::source::Source;
use crate::problem::{Problem, Problems};

/// This format.
pub const FORMAT: Format = Format {
    name: "EPW",
    fits,
    read,
};

/// Fields of a row by the format.
const FIELDS: usize = 35;
/// Fields this program needs, up to the opaque sky cover.
const NEEDED: usize = 24;
/// Header lines.
const HEADER_LINES: usize = 8;

/// One field of the data rows: position (0-based), missing from this value on, scale to SI.
struct Item {
    name: &'static str,
    index: usize,
    missing_from: f64,
    factor: f64,
}

const fn item(name: &'static str, index: usize, missing_from: f64, factor: f64) -> Item {
    Item {
        name,
        index,
        missing_from,
        factor,
    }
}

const DRY_BULB: Item = item("dry bulb temperature", 6, 99.9, 1.0);
const DEW_POINT: Item = item("dew point temperature", 7, 99.9, 1.0);
const HUMIDITY: Item = item("relative humidity", 8, 999.0, 0.01);
const INFRARED: Item = item("horizontal infrared radiation", 12, 9999.0, 1.0);
const GLOBAL: Item = item("global horizontal radiation", 13, 9999.0, 1.0);
const DIRECT: Item = item("direct normal radiation", 14, 9999.0, 1.0);
const DIFFUSE: Item = item("diffuse horizontal radiation", 15, 9999.0, 1.0);
const WIND: Item = item("wind speed", 21, 999.0, 1.0);
const TOTAL_SKY: Item = item("total sky cover", 22, 99.0, 0.1);
const OPAQUE_SKY: Item = item("opaque sky cover", 23, 99.0, 0.1);
const SNOW: Item = item("snow depth", 30, 999.0, 0.01);

/// Header lines after LOCATION, by their first word.
const KEYWORDS: &[&str] = &[
    "DESIGN CONDITIONS",
    "TYPICAL/EXTREME",
    "GROUND TEMPERATURES",
    "DATA PERIODS",
];

/// LOCATION first, and then either another EPW header line or the station's numbers: other tables have a column called
/// location too.
fn fits(source: &Source) -> bool {
    let first = source.line(1);
    if !first
        .get(..9)
        .is_some_and(|s| s.eq_ignore_ascii_case("LOCATION,"))
    {
        return false;
    }
    let keyword = (2..=HEADER_LINES).any(|l| {
        let line = source.line(l).to_ascii_uppercase();
        KEYWORDS.iter().any(|k| line.starts_with(k))
    });
    let fields = fields_of(first, b',');
    keyword || (6..10).all(|i| fields.get(i).is_some_and(|f| f.parse::<f64>().is_ok()))
}

fn station(source: &Source) -> Result<PartialStation, Problems> {
    let fields = fields_of(source.line(1), b',');
    let get = |i: usize| fields.get(i).map(String::as_str).unwrap_or("");
    let mut problems = Vec::new();
    let mut number = |i: usize, what: &'static str, expected: &'static str, low: f64, high: f64| {
        let parsed = get(i)
            .parse::<f64>()
            .ok()
            .filter(|x| (low..=high).contains(x));
        if parsed.is_none() {
            let fault = ClimateError::BadHeader {
                what,
                text: get(i).to_owned(),
                expected,
            };
            problems.push(source.error_at_field(fault, 1, i, b','));
        }
        parsed
    };
    let latitude_deg = number(
        6,
        "latitude",
        "degrees from -90 to 90 in field 7 of LOCATION",
        -90.0,
        90.0,
    );
    let longitude_deg = number(
        7,
        "longitude",
        "degrees from -180 to 180 in field 8 of LOCATION",
        -180.0,
        180.0,
    );
    let utc_offset_h = number(
        8,
        "time zone",
        "hours from -12 to 14 in field 9 of LOCATION",
        -12.0,
        14.0,
    );
    let elevation = number(
        9,
        "elevation",
        "metres from -450 to 9000 in field 10 of LOCATION",
        -450.0,
        9000.0,
    );
    if !problems.is_empty() {
        return Err(Problems(problems));
    }
    let named = |i: usize| Some(get(i)).filter(|s| !s.is_empty() && *s != "-" && *s != "unknown");
    let place: Vec<&str> = [1, 2, 3].into_iter().filter_map(named).collect();
    let mut origin: Vec<String> = [4, 5]
        .into_iter()
        .filter_map(named)
        .map(str::to_owned)
        .collect();
    for line in 2..=HEADER_LINES {
        let text = source.line(line);
        if text.to_ascii_uppercase().starts_with("COMMENTS") {
            let said = fields_of(text, b',')
                .into_iter()
                .skip(1)
                .collect::<Vec<_>>()
                .join(", ");
            if !said.trim().is_empty() {
                origin.push(said);
            }
        }
    }
    Ok(PartialStation {
        id: named(5).map(str::to_owned),
        name: Some(if place.is_empty() {
            "station without a name".into()
        } else {
            place.join(", ")
        }),
        latitude_deg,
        longitude_deg,
        elevation,
        utc_offset_h,
        source: (!origin.is_empty()).then(|| origin.join("; ")),
    })
}

fn read(source: &Source, _: &Hints) -> Result<RawRecord, Problems> {
    let station = station(source)?;
    let data_periods = (1..=HEADER_LINES + 2).find(|l| {
        source
            .line(*l)
            .to_ascii_uppercase()
            .starts_with("DATA PERIODS")
    });
    let Some(data_periods) = data_periods.filter(|l| *l < source.line_count()) else {
        let got = source.line_count().min(HEADER_LINES);
        return Err(Problems(vec![
            source.error_at(ClimateError::TruncatedHeader { got }, got),
        ]));
    };
    if let Some(per_hour) = fields_of(source.line(data_periods), b',').get(2)
        && per_hour.parse::<f64>().is_ok_and(|n| n != 1.0)
    {
        let fault = ClimateError::BadHeader {
            what: "number of records an hour",
            text: per_hour.clone(),
            expected: "1",
        };
        return Err(Problems(vec![source.error_at_field(
            fault,
            data_periods,
            2,
            b',',
        )]));
    }
    let dated = data_rows(source, data_periods)?;
    let mut notes = Vec::new();
    let (kind, rows) = place_on_clock(&dated, &mut notes);
    let mut rows = rows;
    if rows
        .iter()
        .all(|r| r.values.snow_depth.is_none_or(|s| s == 0.0))
    {
        for row in &mut rows {
            row.values.snow_depth = None;
        }
        notes.push("snow depth is 0 or missing in every hour, as in most typical years: unknown, taken as none".into());
    }
    let warnings = if kind == Kind::TypicalYear {
        typical::warn_if_short(source, rows.len())
    } else {
        Vec::new()
    };
    Ok(RawRecord {
        station,
        kind,
        rows: Rows::Hours(rows),
        radiation: RadiationInterval::Preceding,
        clock: Clock::LocalStandard,
        notes,
        warnings,
    })
}

fn data_rows(source: &Source, data_periods: usize) -> Result<Vec<Dated>, Problems> {
    let body = source
        .text
        .get(source.offset(data_periods + 1)..)
        .unwrap_or("");
    let mut reader = ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .quoting(false)
        .from_reader(body.as_bytes());
    let mut record = ByteRecord::new();
    let (mut out, mut problems) = (Vec::with_capacity(YEAR_HOURS), Vec::new());
    // Some writers leave out trailing fields; then all rows do. A row shorter than the first has lost its end.
    let mut usual = NEEDED;
    while problems.len() < MAX_PROBLEMS && reader.read_byte_record(&mut record).unwrap_or(false) {
        let line = line_of(source, data_periods, &record);
        if record.iter().all(|f| f.trim_ascii().is_empty()) {
            continue;
        }
        if record.len() < usual {
            let need = if out.is_empty() { FIELDS } else { usual };
            let fault = ClimateError::ShortRow {
                got: record.len(),
                need,
            };
            problems.push(source.error_at(fault, line));
            continue;
        }
        if out.is_empty() {
            usual = record.len().clamp(NEEDED, FIELDS);
        }
        match data_row(source, &record, line) {
            Ok(row) => out.push(row),
            Err(problem) => problems.push(*problem),
        }
    }
    if !problems.is_empty() {
        return Err(Problems(problems));
    }
    if out.is_empty() {
        let fault = ClimateError::TruncatedHeader { got: HEADER_LINES };
        return Err(Problems(vec![source.error_at(fault, data_periods)]));
    }
    Ok(out)
}

fn data_row(source: &Source, record: &ByteRecord, line: usize) -> Result<Dated, Box<Problem>> {
    let text = |i: usize| text_of(record, i);
    // Some writers put calendar fields as floats; whole ones are meant.
    let whole = |i: usize, low: i64, high: i64| {
        text(i)
            .parse::<f64>()
            .ok()
            .filter(|x| x.fract() == 0.0)
            .map(|x| x as i64)
            .filter(|x| (low..=high).contains(x))
    };
    let date = whole(0, 0, 9999).zip(whole(1, 1, 12)).zip(whole(2, 1, 31));
    let Some((((year, month), day), hour)) = date.zip(whole(3, 1, 24)) else {
        let stamp: Vec<&str> = (0..4).map(text).collect();
        let fault = ClimateError::BadTime {
            what: "time",
            text: excerpt(&stamp.join(",")),
            expected: "year, month, day and an hour from 1 to 24 in the first four fields",
        };
        return Err(Box::new(source.error_at_field(fault, line, 0, b',')));
    };
    let value = |item: &Item| -> Result<Option<f64>, Box<Problem>> {
        let written = text(item.index);
        if written.is_empty() {
            return Ok(None);
        }
        match written.parse::<f64>() {
            Ok(x) if x.is_finite() => Ok((x < item.missing_from).then_some(x * item.factor)),
            _ => {
                let fault = ClimateError::BadNumber {
                    column: format!("{} ({})", item.index + 1, item.name),
                    text: excerpt(written),
                };
                Err(Box::new(
                    source.error_at_field(fault, line, item.index, b','),
                ))
            }
        }
    };
    let opaque = value(&OPAQUE_SKY)?;
    Ok(Dated {
        line,
        year: i16::try_from(year).unwrap_or(NOMINAL_YEAR),
        month: i8::try_from(month).unwrap_or(1),
        day: i8::try_from(day).unwrap_or(1),
        minute_of_day: hour * 60,
        values: HourValues {
            temp_c: value(&DRY_BULB)?,
            dewpoint_c: value(&DEW_POINT)?,
            rel_humidity: value(&HUMIDITY)?,
            wind: value(&WIND)?,
            ghi: value(&GLOBAL)?,
            dni: value(&DIRECT)?,
            dhi: value(&DIFFUSE)?,
            sky_longwave: value(&INFRARED)?,
            cloud: if opaque.is_some() {
                opaque
            } else {
                value(&TOTAL_SKY)?
            },
            snow_depth: value(&SNOW)?,
        },
    })
}
