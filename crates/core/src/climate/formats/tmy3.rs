//! TMY3: typical year of a US site as CSV, the forerunner of its EPW.
//!
//! Line 1: station number, name, state, time zone, latitude, longitude, height. Line 2: column names, matched by name (68
//! columns, 71 in older files). Then one row an hour, local standard time, named by the end of the hour (01:00 to 24:00);
//! radiation is the mean of the 60 minutes before. Missing is -9900, in cloud cover also 99. Precipitation is not used:
//! real files hold 753 mm in an hour.

use super::table::Table;
use super::typical::{self, Dated};
use super::{Format, Hints, fields_of};
use crate::climate::error::ClimateError;
use crate::climate::raw::{HourValues, PartialStation, RadiationInterval, RawRecord, Rows};
use crate::climate::source::Source;
use crate::problem::Problems;

/// This format.
pub const FORMAT: Format = Format {
    name: "TMY3",
    fits,
    read,
};

const DATE: &str = "Date (MM/DD/YYYY)";
const TIME: &str = "Time (HH:MM)";

fn missing(x: f64) -> bool {
    x <= -9900.0
}

fn no_cover(x: f64) -> bool {
    missing(x) || x >= 99.0
}

fn fits(source: &Source) -> bool {
    source.line(2).starts_with(DATE)
}

fn station(source: &Source) -> Result<PartialStation, Problems> {
    let fields = fields_of(source.line(1), b',');
    let get = |i: usize| fields.get(i).map_or("", String::as_str);
    let mut problems = Vec::new();
    let mut number = |i: usize, what: &'static str, expected: &'static str, low: f64, high: f64| {
        let parsed = get(i).parse::<f64>().ok();
        let parsed = parsed.filter(|x| (low..=high).contains(x));
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
    let out = PartialStation {
        id: Some(get(0).to_owned()),
        name: Some(format!("{}, {}", get(1), get(2))),
        utc_offset_h: number(
            3,
            "time zone",
            "hours from -12 to 14 in field 4 of line 1",
            -12.0,
            14.0,
        ),
        latitude_deg: number(
            4,
            "latitude",
            "degrees from -90 to 90 in field 5 of line 1",
            -90.0,
            90.0,
        ),
        longitude_deg: number(
            5,
            "longitude",
            "degrees from -180 to 180 in field 6 of line 1",
            -180.0,
            180.0,
        ),
        elevation: number(
            6,
            "elevation",
            "metres from -450 to 9000 in field 7 of line 1",
            -450.0,
            9000.0,
        ),
        source: Some("TMY3, National Renewable Energy Laboratory".into()),
    };
    if problems.is_empty() {
        Ok(out)
    } else {
        Err(Problems(problems))
    }
}

fn read(source: &Source, _: &Hints) -> Result<RawRecord, Problems> {
    let station = station(source)?;
    let table = Table::new(source, 2, b',')?;
    let date = table.need(table.find(DATE), "the date", DATE)?;
    let time = table.need(table.find(TIME), "the time", TIME)?;
    let temp = table.need(
        table.find("Dry-bulb (C)"),
        "the air temperature",
        "Dry-bulb (C)",
    )?;
    let find = |name: &str| table.find(name);
    let (dew, humidity, wind) = (find("Dew-point (C)"), find("RHum (%)"), find("Wspd (m/s)"));
    let (ghi, dni, dhi) = (
        find("GHI (W/m^2)"),
        find("DNI (W/m^2)"),
        find("DHI (W/m^2)"),
    );
    let (opaque, total) = (find("OpqCld (tenths)"), find("TotCld (tenths)"));
    let mut dated = Vec::with_capacity(typical::YEAR_HOURS);
    table.rows(table.names().len(), |row| {
        let (year, month, day) = calendar_day(row.text(date))
            .ok_or_else(|| row.bad_time(date, "date", "MM/DD/YYYY, as 01/31/1997"))?;
        let minute_of_day = clock(row.text(time))
            .ok_or_else(|| row.bad_time(time, "time", "HH:MM from 01:00 to 24:00"))?;
        let opaque_cover = row.number(opaque, no_cover)?;
        let cover = match opaque_cover {
            Some(c) => Some(c),
            None => row.number(total, no_cover)?,
        };
        dated.push(Dated {
            line: row.line,
            year,
            month,
            day,
            minute_of_day,
            values: HourValues {
                temp_c: row.number(Some(temp), missing)?,
                dewpoint_c: row.number(dew, missing)?,
                rel_humidity: row.number(humidity, missing)?.map(|x| x / 100.0),
                wind: row.number(wind, missing)?,
                ghi: row.number(ghi, missing)?,
                dni: row.number(dni, missing)?,
                dhi: row.number(dhi, missing)?,
                cloud: cover.map(|x| x / 10.0),
                ..HourValues::default()
            },
        });
        Ok(())
    })?;
    let mut notes = Vec::new();
    let (kind, rows) = typical::place_on_clock(&dated, &mut notes);
    let warnings = typical::warn_if_short(source, rows.len());
    let mut record = RawRecord::of(station, kind, Rows::Hours(rows));
    record.radiation = RadiationInterval::Preceding;
    record.notes = notes;
    record.warnings = warnings;
    Ok(record)
}

/// Year, month and day of `MM/DD/YYYY`.
fn calendar_day(text: &str) -> Option<(i16, i8, i8)> {
    let mut parts = text.split('/');
    let (month, day, year) = (parts.next()?, parts.next()?, parts.next()?);
    let month = month.parse().ok().filter(|m| (1..=12).contains(m))?;
    let day = day.parse().ok().filter(|d| (1..=31).contains(d))?;
    let year = year.parse().ok().filter(|y| (1900..=2200).contains(y))?;
    parts.next().is_none().then_some((year, month, day))
}

/// Minutes since midnight of an hour's end `HH:MM`, 01:00 to 24:00; `00:00` would be the wrong midnight.
fn clock(text: &str) -> Option<i64> {
    let (h, m) = text.split_once(':')?;
    let h: i64 = h.parse().ok().filter(|h| (1..=24).contains(h))?;
    (m == "00").then_some(h * 60)
}
