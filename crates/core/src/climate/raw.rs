//! What a reader hands on: the rows of one file in SI, missing values as `None`, each with its line.
//!
//! Times are minutes since 1970-01-01 00:00 of the record's [`Clock`]; there is no daylight saving anywhere behind this line.

use crate::climate::calendar::MINUTES_A_DAY;
use crate::climate::readings::Readings;
use crate::problem::Problem;

/// What kind of record a file holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Hourly readings of real years.
    Hourly,
    /// Daily minima and maxima, or daily means, of real years.
    Daily,
    /// One year put together from months of different years (or a single calendar year used as such).
    TypicalYear,
}

/// Station as far as the file describes it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PartialStation {
    /// The network's own number, to tell stations apart that come in one file.
    pub id: Option<String>,
    /// Name.
    pub name: Option<String>,
    /// Degrees, north positive.
    pub latitude_deg: Option<f64>,
    /// Degrees, east positive.
    pub longitude_deg: Option<f64>,
    /// Metres above sea level.
    pub elevation: Option<f64>,
    /// Hours local standard time is ahead of UTC.
    pub utc_offset_h: Option<f64>,
    /// Origin and licence, as the file states them.
    pub source: Option<String>,
}

/// Which interval a radiation value belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum RadiationInterval {
    /// Mean over the time since the row before.
    #[default]
    Preceding,
    /// Mean centred on the row's time.
    Centred,
    /// Mean centred so many minutes after the row's time: satellite images are taken at other minutes than the readings.
    CentredAfter(i64),
    /// Mean from the row's time on.
    Following,
}

/// Which clock the rows are on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Clock {
    /// The station's local standard time.
    #[default]
    LocalStandard,
    /// UTC; the rows are put on the station's clock once its offset is known.
    Utc,
}

/// Weather of one row of an hourly file.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct HourValues {
    /// Air temperature at that instant, degC.
    pub outdoor_c: Option<f64>,
    /// Dew point, degC.
    pub dewpoint_c: Option<f64>,
    /// Relative humidity, 0 to 1.
    pub rel_humidity: Option<f64>,
    /// Wind speed at 10 m, m/s.
    pub wind: Option<f64>,
    /// Global horizontal irradiance, W/m2.
    pub ghi: Option<f64>,
    /// Direct normal irradiance, W/m2.
    pub dni: Option<f64>,
    /// Diffuse horizontal irradiance, W/m2.
    pub dhi: Option<f64>,
    /// Downward longwave irradiance, W/m2.
    pub sky_longwave: Option<f64>,
    /// Share of the sky covered by cloud, 0 to 1.
    pub cloud: Option<f64>,
    /// Snow depth, m.
    pub snow_depth: Option<f64>,
}

/// Weather of one day of a daily file.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct DayValues {
    /// Lowest air temperature, degC.
    pub tmin_c: Option<f64>,
    /// Highest air temperature, degC.
    pub tmax_c: Option<f64>,
    /// Mean air temperature, degC.
    pub tmean_c: Option<f64>,
    /// Global horizontal radiation of the whole day, J/m2.
    pub ghi_sum: Option<f64>,
    /// Mean wind speed at 10 m, m/s.
    pub wind: Option<f64>,
    /// Vapour pressure, Pa.
    pub vapour_pressure: Option<f64>,
    /// Mean relative humidity, 0 to 1.
    pub rel_humidity: Option<f64>,
    /// Snow depth, m.
    pub snow_depth: Option<f64>,
}

/// One row of a file.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row<V> {
    /// 1-based line in the file.
    pub line: usize,
    /// Minutes since 1970-01-01 00:00 of the record's clock; the day's first in daily files.
    pub minute: i64,
    /// What it says.
    pub values: V,
}

/// One row of an hourly file.
pub type HourRow = Row<HourValues>;
/// One row of a daily file.
pub type DayRow = Row<DayValues>;

impl<V> Row<V> {
    /// A row.
    pub fn new(line: usize, minute: i64, values: V) -> Self {
        Self {
            line,
            minute,
            values,
        }
    }

    /// Day it lies in, whole days since 1970-01-01.
    pub fn day(&self) -> i64 {
        self.minute.div_euclid(MINUTES_A_DAY)
    }
}

/// The rows of a file.
#[derive(Debug, Clone, PartialEq)]
pub enum Rows {
    /// Hourly readings.
    Hours(Readings<HourValues>),
    /// Daily readings.
    Days(Readings<DayValues>),
}

impl Rows {
    /// How many there are.
    #[must_use]
    pub fn count(&self) -> usize {
        match self {
            Self::Hours(rows) => rows.len(),
            Self::Days(rows) => rows.len(),
        }
    }

    /// Minute and line of each.
    pub fn stamps(&self) -> impl Iterator<Item = (i64, usize)> + '_ {
        let (minutes, lines) = match self {
            Self::Hours(rows) => (&rows.minutes, &rows.lines),
            Self::Days(rows) => (&rows.minutes, &rows.lines),
        };
        let lines = lines.from(0).map(|l| usize::try_from(l).unwrap_or(0));
        minutes.from(0).zip(lines)
    }

    /// First and last minute.
    #[must_use]
    pub fn ends(&self) -> Option<(i64, i64)> {
        let minutes = match self {
            Self::Hours(rows) => &rows.minutes,
            Self::Days(rows) => &rows.minutes,
        };
        minutes
            .get(0)
            .zip(minutes.get(minutes.len().checked_sub(1)?))
    }
}

impl From<Readings<HourValues>> for Rows {
    fn from(rows: Readings<HourValues>) -> Self {
        Self::Hours(rows)
    }
}

impl From<Readings<DayValues>> for Rows {
    fn from(rows: Readings<DayValues>) -> Self {
        Self::Days(rows)
    }
}

/// One file as read, before any check of its values.
#[derive(Debug, Clone, PartialEq)]
pub struct RawRecord {
    /// Station as far as known.
    pub station: PartialStation,
    /// What kind of record.
    pub kind: Kind,
    /// The rows, in file order.
    pub rows: Rows,
    /// Interval of hourly radiation values.
    pub radiation: RadiationInterval,
    /// Clock of hourly rows.
    pub clock: Clock,
    /// What the reader left out or assumed, in plain words.
    pub notes: Vec<String>,
    /// What the user should look at.
    pub warnings: Vec<Problem>,
}

impl PartialStation {
    /// Fills what is not known here from `other`.
    pub fn fill_from(&mut self, other: &Self) {
        fn fill<T: Clone>(slot: &mut Option<T>, other: &Option<T>) {
            if slot.is_none() {
                slot.clone_from(other);
            }
        }
        fill(&mut self.id, &other.id);
        fill(&mut self.name, &other.name);
        fill(&mut self.latitude_deg, &other.latitude_deg);
        fill(&mut self.longitude_deg, &other.longitude_deg);
        fill(&mut self.elevation, &other.elevation);
        fill(&mut self.utc_offset_h, &other.utc_offset_h);
        fill(&mut self.source, &other.source);
    }
}

impl RawRecord {
    /// A record of real years with these rows and nothing else said.
    #[must_use]
    pub fn of(station: PartialStation, rows: impl Into<Rows>) -> Self {
        let rows = rows.into();
        Self {
            station,
            kind: match rows {
                Rows::Hours(_) => Kind::Hourly,
                Rows::Days(_) => Kind::Daily,
            },
            rows,
            radiation: RadiationInterval::default(),
            clock: Clock::default(),
            notes: Vec::new(),
            warnings: Vec::new(),
        }
    }

    /// Puts UTC rows on a clock `utc_offset_h` hours ahead of it.
    pub fn to_local_standard(&mut self, utc_offset_h: f64) {
        if self.clock == Clock::Utc
            && let Rows::Hours(rows) = &mut self.rows
        {
            // At most 14 h, so the cast cannot overflow.
            let shift = (utc_offset_h * 60.0).round() as i64;
            rows.minutes.shift(shift);
        }
        self.clock = Clock::LocalStandard;
    }
}
