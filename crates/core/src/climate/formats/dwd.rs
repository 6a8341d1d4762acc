//! Station records of the German weather service (Deutscher Wetterdienst), daily and hourly, out of their zip archives.
//!
//! A `produkt_*.txt` is separated by semicolons; names and values are padded with blanks, the last field is `eor`, missing
//! is -999. The stamp tells the step: eight digits a day, ten an hour, and `YYYYMMDDHH:MM` for radiation, the end of an
//! hour of solar time. Hourly stamps are UTC, in old years Central European Time; the station's own list of changes says
//! until when. Several products of one station (temperature, wind, cloud, radiation) may lie side by side in a folder.
//! Where the station is stands in another file of the archive ([`super::companions`]).

use super::columns::{Column, HUNDREDTHS, column};
use super::table::{Table, compact_date, whole};
use super::{Format, Hints, fields_of};
use crate::climate::calendar::MINUTES_A_DAY;
use crate::climate::quantity::{day, hour};
use crate::climate::raw::{
    Clock, DayRow, DayValues, HourRow, HourValues, PartialStation, RadiationInterval, RawRecord,
};
use crate::climate::readings::Readings;
use crate::climate::source::Source;
use crate::problem::Problems;

/// This format.
pub const FORMAT: Format = Format::new("German weather service daily or hourly", fits, read);

/// W/m2 of one J/cm2 in an hour (exact).
const HOUR_SUM: f64 = 1.0e4 / 3600.0;

const HOURLY: &[Column<HourValues>] = &[
    column(&["TT_TU"], hour::TEMP),
    column(&["RF_TU"], hour::HUMIDITY).si(HUNDREDTHS),
    column(&["TD"], hour::DEW),
    column(&["F"], hour::WIND),
    column(&["V_N"], hour::CLOUD).si(|x| x * 0.125),
    column(&["FG_LBERG"], hour::GHI).si(|x| x * HOUR_SUM),
    column(&["FD_LBERG"], hour::DHI).si(|x| x * HOUR_SUM),
];

const DAILY: &[Column<DayValues>] = &[
    column(&["TNK"], day::MIN),
    column(&["TXK"], day::MAX),
    column(&["TMK"], day::MEAN),
    column(&["FM"], day::WIND),
    column(&["VPM"], day::VAPOUR).si(|x| x * 100.0),
    column(&["UPM"], day::HUMIDITY).si(HUNDREDTHS),
    column(&["SHK_TAG"], day::SNOW).si(HUNDREDTHS),
    column(&["FG_STRAHL"], day::SUM).si(|x| x * 1.0e4),
];

/// Last minute (of 2000-01-01) before which stamps of some stations are in Central European Time.
const OLD_CLOCK: i64 = 10_957 * MINUTES_A_DAY;

fn fits(source: &Source) -> bool {
    let names = fields_of(source.line(1), b';');
    let has = |name: &str| names.iter().any(|n| n == name);
    let hourly = HOURLY.iter().any(|c| c.names.iter().any(|n| has(n)));
    let daily = DAILY.iter().any(|c| c.names.iter().any(|n| has(n)));
    has("STATIONS_ID") && has("MESS_DATUM") && (hourly || daily)
}

/// Minute of a stamp, and whether it has an hour.
fn stamp(text: &str) -> Option<(i64, bool)> {
    let day = compact_date(text.get(..8)?)? * MINUTES_A_DAY;
    let rest = text.get(8..)?;
    if rest.is_empty() {
        return Some((day, false));
    }
    let hour = whole(rest.get(..2)?, 0, 23)? * 60;
    let minute = match rest.get(2..)? {
        "" => 0,
        past => whole(past.strip_prefix(':')?, 0, 59)?,
    };
    Some((day + hour + minute, true))
}

fn read(source: &Source, _: &Hints) -> Result<RawRecord, Problems> {
    let table = Table::new(source, 1, b';')?.missing(|x| x == -999.0);
    let id_at = table.need("station", "STATIONS_ID")?;
    let when = table.need("date", "MESS_DATUM")?;
    let mut station = PartialStation {
        source: Some("Deutscher Wetterdienst, Climate Data Center".into()),
        ..PartialStation::default()
    };
    let form = "YYYYMMDD in daily files, YYYYMMDDHH in hourly ones, the same in all rows";
    let (hourly, daily) = (table.columns(HOURLY)?, table.columns(DAILY)?);
    let lines = table.line_count();
    let (mut hours, mut days) = (Readings::expecting(lines), Readings::expecting(lines));
    table.each(|row| {
        let id = row.text(id_at).trim_start_matches('0');
        station.id.get_or_insert_with(|| id.to_owned());
        let (minute, timed) = row.stamp(when, ("date", form), |text| {
            stamp(text).filter(|(_, timed)| match timed {
                true => !hourly.is_empty() && days.is_empty(),
                false => !daily.is_empty() && hours.is_empty(),
            })
        })?;
        let line = row.line;
        if timed {
            let mut values: HourValues = row.values(&hourly)?;
            // -1: the sky could not be judged.
            values.cloud = values.cloud.filter(|c| *c >= 0.0).map(|c| c.min(1.0));
            hours.push(HourRow::new(line, minute, values));
        } else {
            let values = row.values(&daily)?;
            days.push(DayRow::new(line, minute, values));
        }
        Ok(())
    })?;
    if hours.is_empty() {
        return Ok(RawRecord::of(station, days));
    }
    let old = hours.get(0).is_some_and(|r| r.minute < OLD_CLOCK);
    let mut record = RawRecord::of(station, hours);
    record.clock = Clock::Utc;
    record.radiation = RadiationInterval::Preceding;
    if old {
        record.notes.push(
            "all stamps are taken as UTC; in years before 2000 they may be Central European Time, one hour ahead".into(),
        );
    }
    Ok(record)
}
