//! PVGIS (Europe, Africa, most of Asia and the Americas): hourly series of real years, and its typical year as CSV. Both UTC.
//!
//! Hourly: some lines `Name:<tab>value`, a header `time,...`, rows `20160101:0010,...` to the first blank line, then a
//! legend. The minutes are those of the satellite image: radiation belongs there, temperature and wind to the full hour.
//! Radiation is that of a plane; only slope 0 is global horizontal radiation. No humidity.
//!
//! Typical year: the same kind of lines, a block of twelve `month,year`, then `time(UTC),T2m,RH,G(h),Gb(n),Gd(h),IR(h),...`.

use super::table::{Row, Table, coordinate, never, whole};
use super::typical::{self, Dated};
use super::{Format, Hints};
use crate::climate::calendar::{self, MINUTES_A_DAY};
use crate::climate::raw::{
    Clock, HourRow, HourValues, Kind, PartialStation, RadiationInterval, RawRecord, Rows,
};
use crate::climate::source::Source;
use crate::problem::{Problem, Problems};

/// The hourly series.
pub const HOURLY: Format = Format {
    name: "PVGIS hourly",
    fits: |s| header(s, "time,").is_some() && fact(s, "Latitude").is_some(),
    read: read_hourly,
};

/// The typical year.
pub const TMY: Format = Format {
    name: "PVGIS typical year",
    fits: |s| header(s, "time(UTC),").is_some(),
    read: read_typical,
};

/// Lines among which the header row is looked for; the typical year's is the 17th or 18th.
const HEADER_WITHIN: usize = 40;
const TIME_FORM: &str = "YYYYMMDD:HHMM in UTC, as 20160131:0710";

fn header(source: &Source, start: &str) -> Option<usize> {
    (1..=source.line_count().min(HEADER_WITHIN))
        .find(|l| source.line(*l).starts_with(start) && source.line(*l).contains("T2m"))
}

/// The text after the colon of the line that begins so, before the table.
fn fact<'a>(source: &'a Source, start: &str) -> Option<&'a str> {
    (1..=source.line_count().min(HEADER_WITHIN)).find_map(|l| {
        let (name, value) = source.line(l).split_once(':')?;
        name.trim().starts_with(start).then(|| value.trim())
    })
}

fn station(source: &Source) -> PartialStation {
    let number = |start: &str, limit: f64| coordinate(fact(source, start)?, limit);
    PartialStation {
        name: Some("PVGIS grid cell".into()),
        latitude_deg: number("Latitude", 90.0),
        longitude_deg: number("Longitude", 180.0),
        elevation: number("Elevation", 9000.0),
        source: Some("PVGIS, European Union".into()),
        ..PartialStation::default()
    }
}

/// Day and minutes since its midnight of `YYYYMMDD:HHMM`.
fn stamp(row: &Row<'_>) -> Result<(i64, i64), Box<Problem>> {
    let parsed = || {
        let (date, clock) = row.text(0).split_once(':')?;
        let (h, m) = (clock.get(..2)?, clock.get(2..)?);
        (clock.len() == 4).then_some(())?;
        let minute = whole(h, 0, 23)? * 60 + whole(m, 0, 59)?;
        Some((super::table::compact_date(date)?, minute))
    };
    parsed().ok_or_else(|| row.bad_time(0, "time", TIME_FORM))
}

fn read_hourly(source: &Source, _: &Hints) -> Result<RawRecord, Problems> {
    let table = Table::new(source, header(source, "time,").unwrap_or(1), b',')?.until_blank();
    let temp = table.need(table.find("T2m"), "the air temperature", "T2m")?;
    let wind = table.find("WS10m");
    let flat = fact(source, "Slope")
        .and_then(|t| t.split_whitespace().next())
        .and_then(|t| t.parse::<f64>().ok())
        .is_some_and(|slope| slope == 0.0);
    let find = |name: &str| table.find(name).filter(|_| flat);
    let (all, beam, diffuse) = (find("G(i)"), find("Gb(i)"), find("Gd(i)"));
    let mut rows: Vec<HourRow> = Vec::new();
    let mut late = None;
    table.rows(table.names().len(), |row| {
        let (day, minute) = stamp(row)?;
        let past = minute % 60;
        if *late.get_or_insert(past) != past {
            let form = "the same minute of the hour in all rows";
            return Err(row.bad_time(0, "time", form));
        }
        let (b, d) = (row.number(beam, never)?, row.number(diffuse, never)?);
        rows.push(HourRow {
            line: row.line,
            // The full hour the reading is nearest to.
            minute: day * MINUTES_A_DAY + nearest_hour(minute),
            values: HourValues {
                temp_c: row.number(Some(temp), never)?,
                wind: row.number(wind, never)?,
                ghi: row.number(all, never)?.or(b.zip(d).map(|(b, d)| b + d)),
                dhi: d,
                ..HourValues::default()
            },
        });
        Ok(())
    })?;
    let late = late.unwrap_or(0);
    let mut record = RawRecord::of(station(source), Kind::Hourly, Rows::Hours(rows));
    record.clock = Clock::Utc;
    record.radiation = RadiationInterval::CentredAfter(late - nearest_hour(late));
    if !flat {
        record
            .notes
            .push("radiation is that of a tilted plane and is not used: ask for slope 0".into());
    }
    Ok(record)
}

fn nearest_hour(minute: i64) -> i64 {
    (minute + 30).div_euclid(60) * 60
}

fn read_typical(source: &Source, _: &Hints) -> Result<RawRecord, Problems> {
    let table = Table::new(source, header(source, "time(UTC),").unwrap_or(1), b',')?.until_blank();
    let temp = table.need(table.find("T2m"), "the air temperature", "T2m")?;
    let find = |name: &str| table.find(name);
    let (humidity, wind, sky) = (find("RH"), find("WS10m"), find("IR(h)"));
    let (ghi, dni, dhi) = (find("G(h)"), find("Gb(n)"), find("Gd(h)"));
    let mut dated = Vec::with_capacity(typical::YEAR_HOURS);
    table.rows(table.names().len(), |row| {
        let (day, minute_of_day) = stamp(row)?;
        let date = calendar::date_of(day).ok_or_else(|| row.bad_time(0, "time", TIME_FORM))?;
        // Nights come as -0.0.
        let sun = |at| row.number(at, never).map(|v| v.map(|x| x + 0.0));
        dated.push(Dated {
            line: row.line,
            year: date.year(),
            month: date.month(),
            day: date.day(),
            minute_of_day,
            values: HourValues {
                temp_c: row.number(Some(temp), never)?,
                rel_humidity: row.number(humidity, never)?.map(|x| x / 100.0),
                wind: row.number(wind, never)?,
                ghi: sun(ghi)?,
                dni: sun(dni)?,
                dhi: sun(dhi)?,
                sky_longwave: row.number(sky, never)?,
                ..HourValues::default()
            },
        });
        Ok(())
    })?;
    let mut notes = Vec::new();
    let (kind, rows) = typical::place_on_clock(&dated, &mut notes);
    let warnings = typical::warn_if_short(source, rows.len());
    // Hours by which radiation is later than the row's time.
    let late = fact(source, "Irradiance Time Offset").and_then(|t| t.parse::<f64>().ok());
    let late = late
        .filter(|h| h.abs() <= 1.0)
        .map_or(0, |h| (h * 60.0).round() as i64);
    let mut record = RawRecord::of(station(source), kind, Rows::Hours(rows));
    record.clock = Clock::Utc;
    record.radiation = RadiationInterval::CentredAfter(late);
    record.notes = notes;
    record.warnings = warnings;
    Ok(record)
}
