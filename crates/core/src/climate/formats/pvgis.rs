//! PVGIS (Europe, Africa, most of Asia and the Americas): hourly series of real years, and its typical year as CSV. Both UTC.
//!
//! Hourly: some lines `Name:<tab>value`, a header `time,...`, rows `20160101:0010,...` to the first blank line, then a
//! legend. The minutes are those of the satellite image: radiation belongs there, temperature and wind to the full hour.
//! Radiation is that of a plane; only slope 0 is global horizontal radiation. No humidity.
//!
//! Typical year: the same kind of lines, a block of twelve `month,year`, then `time(UTC),T2m,RH,G(h),Gb(n),Gd(h),IR(h),...`.

use super::columns::{Column, PERCENT, column};
use super::facts::{place, said};
use super::table::{Row, Table, compact_date, whole};
use super::{Format, Hints, header_line, typical};
use crate::climate::calendar::{self, MINUTES_A_DAY};
use crate::climate::quantity::hour;
use crate::climate::raw::{
    Clock, HourRow, HourValues, PartialStation, RadiationInterval, RawRecord,
};
use crate::climate::source::Source;
use crate::problem::{Problem, Problems};

/// The hourly series.
pub const HOURLY: Format = Format::new(
    "PVGIS hourly",
    |s| header(s, "time,").is_some_and(|l| said(s, l, "Latitude").is_some()),
    read_hourly,
);

/// The typical year.
pub const TMY: Format = Format::new(
    "PVGIS typical year",
    |s| header(s, "time(UTC),").is_some(),
    read_typical,
);

const SERIES: &[Column<HourValues>] = &[
    column(&["T2m"], hour::TEMP).needed(),
    column(&["WS10m"], hour::WIND),
];

const FLAT: &[Column<HourValues>] = &[column(&["G(i)"], hour::GHI), column(&["Gd(i)"], hour::DHI)];

const TYPICAL: &[Column<HourValues>] = &[
    column(&["T2m"], hour::TEMP).needed(),
    column(&["RH"], hour::HUMIDITY).si(PERCENT),
    column(&["WS10m"], hour::WIND),
    column(&["G(h)"], hour::GHI),
    column(&["Gb(n)"], hour::DNI),
    column(&["Gd(h)"], hour::DHI),
    column(&["IR(h)"], hour::LONGWAVE),
];

const TIME_FORM: (&str, &str) = ("time", "YYYYMMDD:HHMM in UTC, as 20160131:0710");

fn header(source: &Source, start: &str) -> Option<usize> {
    header_line(source, |l| l.starts_with(start) && l.contains("T2m"))
}

fn station(source: &Source, header: usize) -> PartialStation {
    PartialStation {
        name: Some("PVGIS grid cell".into()),
        source: Some("PVGIS, European Union".into()),
        ..place(
            |name| said(source, header, name),
            ["Latitude", "Longitude", "Elevation"],
        )
    }
}

/// Day and minutes since its midnight of `YYYYMMDD:HHMM`.
fn stamp(text: &str) -> Option<(i64, i64)> {
    let (date, clock) = text.split_once(':')?;
    let (h, m) = (clock.get(..2)?, clock.get(2..)?);
    let minute = whole(h, 0, 23)? * 60 + whole(m, 0, 59)?;
    Some((compact_date(date)?, minute)).filter(|_| clock.len() == 4)
}

fn read_hourly(source: &Source, _: &Hints) -> Result<RawRecord, Problems> {
    let line = header(source, "time,").unwrap_or(1);
    let table = Table::new(source, line, b',')?.until_blank();
    let flat = said(source, line, "Slope").and_then(|t| t.parse::<f64>().ok()) == Some(0.0);
    let mut columns = table.columns(SERIES)?;
    if flat {
        columns.extend(table.columns(FLAT)?);
    }
    let beam = table.find("Gb(i)").filter(|_| flat);
    let mut late = None;
    let rows = table.rows(|row| {
        let (day, minute) = row.stamp(0, TIME_FORM, stamp)?;
        let past = minute % 60;
        let same = |_: &str| (*late.get_or_insert(past) == past).then_some(());
        row.stamp(0, ("time", "the same minute of the hour in all rows"), same)?;
        let mut values: HourValues = row.values(&columns)?;
        if let (None, Some(beam)) = (values.ghi, beam) {
            let beam = row.number(beam, "Gb(i)")?;
            values.ghi = beam.zip(values.dhi).map(|(b, d)| b + d);
        }
        Ok(HourRow::new(
            row.line,
            day * MINUTES_A_DAY + nearest_hour(minute),
            values,
        ))
    })?;
    let late = late.unwrap_or(0);
    let mut record = RawRecord::of(station(source, line), rows);
    record.clock = Clock::Utc;
    record.radiation = RadiationInterval::CentredAfter(late - nearest_hour(late));
    if !flat {
        let note = "radiation is that of a tilted plane and is not used: ask for slope 0";
        record.notes.push(note.into());
    }
    Ok(record)
}

fn nearest_hour(minute: i64) -> i64 {
    (minute + 30).div_euclid(60) * 60
}

fn read_typical(source: &Source, _: &Hints) -> Result<RawRecord, Problems> {
    let line = header(source, "time(UTC),").unwrap_or(1);
    let table = Table::new(source, line, b',')?.until_blank();
    let dated = typical::read(
        &table,
        TYPICAL,
        |row: &Row<'_>| -> Result<_, Box<Problem>> {
            row.stamp(0, TIME_FORM, |text| {
                let (day, minute) = stamp(text)?;
                let date = calendar::date_of(day)?;
                Some(((date.year(), date.month(), date.day()), minute))
            })
        },
    )?;
    let mut record = typical::record(source, station(source, line), dated);
    // Hours by which radiation is later than the row's time.
    let late = said(source, line, "Irradiance Time Offset").and_then(|t| t.parse::<f64>().ok());
    let late = late.filter(|h| h.abs() <= 1.0).unwrap_or(0.0);
    record.clock = Clock::Utc;
    record.radiation = RadiationInterval::CentredAfter((late * 60.0).round() as i64);
    Ok(record)
}
