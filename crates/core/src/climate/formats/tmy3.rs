//! TMY3: typical year of a US site as CSV, the forerunner of its EPW.
//!
//! Line 1: station number, name, state, time zone, latitude, longitude, height. Line 2: column names, matched by name (68
//! columns, 71 in older files). Then one row an hour, local standard time, named by the end of the hour (01:00 to 24:00);
//! radiation is the mean of the 60 minutes before. Missing is -9900, in cloud cover also 99. Precipitation is not used:
//! real files hold 753 mm in an hour.

use super::columns::{Column, PERCENT, column};
use super::facts::{Facts, UTC_OFFSET};
use super::table::{Table, whole};
use super::typical::{self, CalendarDay};
use super::{Format, Hints};
use crate::climate::quantity::hour;
use crate::climate::raw::{HourValues, PartialStation, RadiationInterval, RawRecord};
use crate::climate::source::Source;
use crate::problem::Problems;

/// This format.
pub const FORMAT: Format = Format::new("TMY3", |s| s.line(2).starts_with(DATE), read);

const DATE: &str = "Date (MM/DD/YYYY)";
const TIME: &str = "Time (HH:MM)";

const COLUMNS: &[Column<HourValues>] = &[
    column(&["Dry-bulb (C)"], hour::TEMP).needed(),
    column(&["Dew-point (C)"], hour::DEW),
    column(&["RHum (%)"], hour::HUMIDITY).si(PERCENT),
    column(&["Wspd (m/s)"], hour::WIND),
    column(&["GHI (W/m^2)"], hour::GHI),
    column(&["DNI (W/m^2)"], hour::DNI),
    column(&["DHI (W/m^2)"], hour::DHI),
    column(&["OpqCld (tenths)"], hour::CLOUD)
        .si(|x| x / 10.0)
        .missing_from(99.0),
    column(&["TotCld (tenths)"], hour::CLOUD)
        .si(|x| x / 10.0)
        .missing_from(99.0),
];

fn station(source: &Source) -> Result<PartialStation, Problems> {
    let mut facts = Facts::of(source, 1);
    let station = PartialStation {
        id: Some(facts.text(0).to_owned()),
        name: Some(format!("{}, {}", facts.text(1), facts.text(2))),
        utc_offset_h: facts.need(3, &UTC_OFFSET),
        source: Some("TMY3, National Renewable Energy Laboratory".into()),
        ..facts.place([4, 5, 6])
    };
    facts.done().map(|()| station)
}

fn read(source: &Source, _: &Hints) -> Result<RawRecord, Problems> {
    let station = station(source)?;
    let table = Table::new(source, 2, b',')?.missing(|x| x <= -9900.0);
    let (date, time) = (table.need("date", DATE)?, table.need("time", TIME)?);
    let dated = typical::read(&table, COLUMNS, |row| {
        let form = "MM/DD/YYYY, as 01/31/1997";
        let day = row.stamp(date, ("date", form), calendar_day)?;
        let form = "HH:MM from 01:00 to 24:00";
        Ok((day, row.stamp(time, ("time", form), clock)?))
    })?;
    let mut record = typical::record(source, station, dated);
    record.radiation = RadiationInterval::Preceding;
    Ok(record)
}

/// Year, month and day of `MM/DD/YYYY`.
fn calendar_day(text: &str) -> Option<CalendarDay> {
    let mut parts = text.split('/');
    let mut part = |low, high| whole(parts.next()?, low, high);
    let (month, day, year) = (part(1, 12)?, part(1, 31)?, part(1900, 2200)?);
    parts.next().is_none().then_some(())?;
    typical::calendar_day(year, month, day)
}

/// Minutes since midnight of an hour's end `HH:MM`, 01:00 to 24:00; `00:00` would be the wrong midnight.
fn clock(text: &str) -> Option<i64> {
    let (hour, minute) = text.split_once(':')?;
    let hour = whole(hour, 1, 24)?;
    (minute == "00").then_some(hour * 60)
}
