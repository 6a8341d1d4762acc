//! Station records of the German weather service (Deutscher Wetterdienst), daily and hourly, out of their zip archives.
//!
//! A `produkt_*.txt` is separated by semicolons; names and values are padded with blanks, the last field is `eor`, missing
//! is -999. The stamp tells the step: eight digits a day, ten an hour, and `YYYYMMDDHH:MM` for radiation, the end of an
//! hour of solar time. Hourly stamps are UTC, in old years Central European Time; the station's own list of changes says
//! until when. Several products of one station (temperature, wind, cloud, radiation) may lie side by side in a folder.
//! Where the station is stands in another file of the archive ([`super::companions`]).

use super::table::{Row, Table, compact_date, whole};
use super::{Format, Hints, fields_of};
use crate::climate::calendar::MINUTES_A_DAY;
use crate::climate::raw::{
    Clock, DayRow, DayValues, HourRow, HourValues, Kind, PartialStation, RadiationInterval,
    RawRecord, Rows,
};
use crate::climate::source::Source;
use crate::problem::{Problem, Problems};

/// This format.
pub const FORMAT: Format = Format {
    name: "German weather service daily or hourly",
    fits,
    read,
};

/// A column: its name, the scale to SI, and where it goes.
type Column<V> = (&'static str, f64, fn(&mut V) -> &mut Option<f64>);

/// W/m2 of one J/cm2 in an hour (exact).
const HOUR_SUM: f64 = 1.0e4 / 3600.0;

const HOURLY: &[Column<HourValues>] = &[
    ("TT_TU", 1.0, |v| &mut v.temp_c),
    ("RF_TU", 0.01, |v| &mut v.rel_humidity),
    ("TD", 1.0, |v| &mut v.dewpoint_c),
    ("F", 1.0, |v| &mut v.wind),
    ("V_N", 0.125, |v| &mut v.cloud),
    ("FG_LBERG", HOUR_SUM, |v| &mut v.ghi),
    ("FD_LBERG", HOUR_SUM, |v| &mut v.dhi),
];

const DAILY: &[Column<DayValues>] = &[
    ("TNK", 1.0, |v| &mut v.tmin_c),
    ("TXK", 1.0, |v| &mut v.tmax_c),
    ("TMK", 1.0, |v| &mut v.tmean_c),
    ("FM", 1.0, |v| &mut v.wind),
    ("VPM", 100.0, |v| &mut v.vapour_pressure),
    ("UPM", 0.01, |v| &mut v.rel_humidity),
    ("SHK_TAG", 0.01, |v| &mut v.snow_depth),
    ("FG_STRAHL", 1.0e4, |v| &mut v.ghi_sum),
];

/// Last minute (of 2000-01-01) before which stamps of some stations are in Central European Time.
const OLD_CLOCK: i64 = 10_957 * MINUTES_A_DAY;

fn missing(x: f64) -> bool {
    x == -999.0
}

fn fits(source: &Source) -> bool {
    let names = fields_of(source.line(1), b';');
    let has = |name: &str| names.iter().any(|n| n == name);
    has("STATIONS_ID")
        && has("MESS_DATUM")
        && (HOURLY.iter().any(|c| has(c.0)) || DAILY.iter().any(|c| has(c.0)))
}

/// Day, and minutes since its midnight when the stamp has an hour.
fn stamp(text: &str) -> Option<(i64, Option<i64>)> {
    let day = compact_date(text.get(..8)?)?;
    let rest = text.get(8..)?;
    if rest.is_empty() {
        return Some((day, None));
    }
    let hour = whole(rest.get(..2)?, 0, 23)? * 60;
    let minute = match rest.get(2..)? {
        "" => 0,
        past => whole(past.strip_prefix(':')?, 0, 59)?,
    };
    Some((day, Some(hour + minute)))
}

fn read(source: &Source, _: &Hints) -> Result<RawRecord, Problems> {
    let table = Table::new(source, 1, b';')?;
    let id_at = table.need(table.find("STATIONS_ID"), "the station", "STATIONS_ID")?;
    let when = table.need(table.find("MESS_DATUM"), "the date", "MESS_DATUM")?;
    let hourly: Vec<_> = present(&table, HOURLY);
    let daily: Vec<_> = present(&table, DAILY);
    let (mut hours, mut days) = (Vec::new(), Vec::new());
    let mut id: Option<String> = None;
    table.rows(table.names().len(), |row| {
        id.get_or_insert_with(|| row.text(id_at).trim_start_matches('0').to_owned());
        match stamp(row.text(when)) {
            Some((day, Some(minute))) if !hourly.is_empty() && days.is_empty() => {
                let mut values = HourValues::default();
                fill(row, &hourly, &mut values)?;
                // -1: the sky could not be judged.
                values.cloud = values.cloud.filter(|c| *c >= 0.0).map(|c| c.min(1.0));
                hours.push(HourRow {
                    line: row.line,
                    minute: day * MINUTES_A_DAY + minute,
                    values,
                });
                Ok(())
            }
            Some((day, None)) if !daily.is_empty() && hours.is_empty() => {
                let mut values = DayValues::default();
                fill(row, &daily, &mut values)?;
                days.push(DayRow {
                    line: row.line,
                    day,
                    values,
                });
                Ok(())
            }
            _ => {
                let form =
                    "YYYYMMDD in daily files, YYYYMMDDHH in hourly ones, the same in all rows";
                Err(row.bad_time(when, "date", form))
            }
        }
    })?;
    let station = PartialStation {
        id,
        source: Some("Deutscher Wetterdienst, Climate Data Center".into()),
        ..PartialStation::default()
    };
    if hours.is_empty() {
        return Ok(RawRecord::of(station, Kind::Daily, Rows::Days(days)));
    }
    let old = hours.first().is_some_and(|r| r.minute < OLD_CLOCK);
    let mut record = RawRecord::of(station, Kind::Hourly, Rows::Hours(hours));
    record.clock = Clock::Utc;
    record.radiation = RadiationInterval::Preceding;
    if old {
        record.notes.push(
            "all stamps are taken as UTC; in years before 2000 they may be Central European Time, one hour ahead".into(),
        );
    }
    Ok(record)
}

/// The columns of a list that the table has, with their places.
fn present<V>(
    table: &Table<'_>,
    columns: &'static [Column<V>],
) -> Vec<(usize, &'static Column<V>)> {
    columns
        .iter()
        .filter_map(|c| Some((table.find(c.0)?, c)))
        .collect()
}

fn fill<V>(
    row: &Row<'_>,
    columns: &[(usize, &Column<V>)],
    values: &mut V,
) -> Result<(), Box<Problem>> {
    for (at, (_, factor, slot)) in columns {
        *slot(values) = row.number(Some(*at), missing)?.map(|x| x * factor);
    }
    Ok(())
}
