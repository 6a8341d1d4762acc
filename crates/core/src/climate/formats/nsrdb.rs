//! NSRDB (the Americas, satellite): half-hourly or hourly, with sun, humidity and wind.
//!
//! Line 1: names of the facts about the place, line 2 their values, line 3 the column names, matched by name because
//! versions differ. Each row stands for the interval around its time (minute 0 or 30; 30 alone in hourly files). The clock is
//! the one of `Time Zone`: local standard time, or UTC when ordered so.

use super::table::{Table, coordinate};
use super::typical::{self, Dated};
use super::{Format, Hints, fields_of};
use crate::climate::error::ClimateError;
use crate::climate::raw::{
    Clock, HourValues, Kind, PartialStation, RadiationInterval, RawRecord, Rows,
};
use crate::climate::source::Source;
use crate::problem::Problems;

/// This format.
pub const FORMAT: Format = Format {
    name: "NSRDB",
    fits,
    read,
};

fn missing(x: f64) -> bool {
    x == -9999.0
}

fn fits(source: &Source) -> bool {
    source.line(1).starts_with("Source,Location ID,")
        && source.line(3).starts_with("Year,Month,Day,Hour,Minute")
}

/// A fact of line 2 by its name in line 1.
struct Facts {
    names: Vec<String>,
    values: Vec<String>,
}

impl Facts {
    fn at(&self, name: &str) -> Option<usize> {
        self.names.iter().position(|n| n == name)
    }

    fn text(&self, name: &str) -> Option<&str> {
        self.values.get(self.at(name)?).map(String::as_str)
    }

    /// A fact that must be there and be a number.
    fn number(
        &self,
        source: &Source,
        name: &str,
        what: &'static str,
        expected: &'static str,
        limit: f64,
    ) -> Result<f64, Problems> {
        let text = self.text(name).unwrap_or("");
        coordinate(text, limit).ok_or_else(|| {
            let fault = ClimateError::BadHeader {
                what,
                text: text.to_owned(),
                expected,
            };
            let at = self.at(name).unwrap_or(0);
            Problems(vec![source.error_at_field(fault, 2, at, b',')])
        })
    }

    /// Refuses a quantity in another unit than the usual one.
    fn unit(
        &self,
        source: &Source,
        name: &str,
        usual: &[&str],
        expected: &'static str,
    ) -> Result<(), Problems> {
        match self.text(&format!("{name} Units")) {
            Some(unit) if !usual.iter().any(|u| u.eq_ignore_ascii_case(unit)) => {
                let fault = ClimateError::BadUnit {
                    column: name.to_owned(),
                    unit: unit.to_owned(),
                    expected,
                };
                Err(Problems(vec![source.error_at(fault, 2)]))
            }
            _ => Ok(()),
        }
    }
}

fn read(source: &Source, _: &Hints) -> Result<RawRecord, Problems> {
    let facts = Facts {
        names: fields_of(source.line(1), b','),
        values: fields_of(source.line(2), b','),
    };
    let hours = "hours from -12 to 14";
    let zone = facts.number(source, "Time Zone", "time zone", hours, 14.0)?;
    let local = facts.number(source, "Local Time Zone", "local time zone", hours, 14.0)?;
    let station = PartialStation {
        id: facts.text("Location ID").map(str::to_owned),
        name: Some("NSRDB grid cell".into()),
        latitude_deg: Some(facts.number(
            source,
            "Latitude",
            "latitude",
            "degrees from -90 to 90",
            90.0,
        )?),
        longitude_deg: Some(facts.number(
            source,
            "Longitude",
            "longitude",
            "degrees from -180 to 180",
            180.0,
        )?),
        elevation: Some(facts.number(
            source,
            "Elevation",
            "elevation",
            "metres up to 9000",
            9000.0,
        )?),
        utc_offset_h: Some(local),
        source: Some("NSRDB, National Renewable Energy Laboratory".into()),
    };
    if zone != local && zone != 0.0 {
        let fault = ClimateError::BadHeader {
            what: "time zone",
            text: zone.to_string(),
            expected: "0 (UTC) or the local time zone",
        };
        return Err(Problems(vec![source.error_at(fault, 2)]));
    }
    facts.unit(source, "Temperature", &["c"], "c")?;
    facts.unit(source, "Dew Point", &["c"], "c")?;
    facts.unit(source, "GHI", &["w/m2"], "w/m2")?;
    facts.unit(source, "Wind Speed", &["m/s", "m s-1"], "m/s")?;
    let dated = rows(source)?;
    let mut notes = Vec::new();
    let (kind, rows) = match typical::real_years(&dated) {
        Some(rows) => (Kind::Hourly, rows),
        None => typical::place_on_clock(&dated, &mut notes),
    };
    let mut record = RawRecord::of(station, kind, Rows::Hours(rows));
    record.radiation = RadiationInterval::Centred;
    record.clock = if zone == local {
        Clock::LocalStandard
    } else {
        Clock::Utc
    };
    record.notes = notes;
    Ok(record)
}

fn rows(source: &Source) -> Result<Vec<Dated>, Problems> {
    let table = Table::new(source, 3, b',')?;
    let temp = table.need(
        table.find("Temperature"),
        "the air temperature",
        "Temperature",
    )?;
    let find = |name: &str| table.find(name);
    let (dew, humidity, wind) = (
        find("Dew Point"),
        find("Relative Humidity"),
        find("Wind Speed"),
    );
    let (ghi, dni, dhi) = (find("GHI"), find("DNI"), find("DHI"));
    let mut out = Vec::new();
    table.rows(table.names().len(), |row| {
        let stamp = (|| {
            let year = i16::try_from(row.whole(0, 1900, 2200)?).ok()?;
            let month = i8::try_from(row.whole(1, 1, 12)?).ok()?;
            let day = i8::try_from(row.whole(2, 1, 31)?).ok()?;
            Some((
                year,
                month,
                day,
                row.whole(3, 0, 23)? * 60 + row.whole(4, 0, 59)?,
            ))
        })();
        let form = "year, month, day, hour and minute in the first five fields";
        let (year, month, day, minute_of_day) =
            stamp.ok_or_else(|| row.bad_time(0, "time", form))?;
        out.push(Dated {
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
                ..HourValues::default()
            },
        });
        Ok(())
    })?;
    Ok(out)
}
