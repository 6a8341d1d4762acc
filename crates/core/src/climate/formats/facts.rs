//! What a file's header says about its station: what each fact may be, and the fault of one that makes no sense.

use super::fields_of;
use crate::climate::error::ClimateError;
use crate::climate::raw::PartialStation;
use crate::climate::source::{Source, refuse_any};
use crate::problem::{Problem, Problems};

/// A number a header states.
pub(super) struct Fact {
    what: &'static str,
    expected: &'static str,
    low: f64,
    high: f64,
}

const fn fact(what: &'static str, expected: &'static str, low: f64, high: f64) -> Fact {
    Fact {
        what,
        expected,
        low,
        high,
    }
}

/// Degrees, north positive.
pub(super) const LATITUDE: Fact = fact("latitude", "degrees from -90 to 90", -90.0, 90.0);
/// Degrees, east positive.
pub(super) const LONGITUDE: Fact = fact(
    "longitude",
    "degrees from -180 (west) to 180 (east)",
    -180.0,
    180.0,
);
/// Metres above sea level.
pub(super) const ELEVATION: Fact = fact("elevation", "metres from -450 to 9000", -450.0, 9000.0);
/// Hours ahead of UTC.
pub(super) const UTC_OFFSET: Fact = fact(
    "time zone (UTC offset)",
    "hours from -12 to 14",
    -12.0,
    14.0,
);
/// Seconds ahead of UTC.
pub(super) const UTC_OFFSET_S: Fact = fact(
    "time zone (UTC offset)",
    "whole seconds from -43200 to 50400",
    -43_200.0,
    50_400.0,
);

impl Fact {
    /// The number, if it is possible.
    pub(super) fn of(&self, text: &str) -> Option<f64> {
        let parsed = text.parse::<f64>().ok();
        parsed.filter(|x| (self.low..=self.high).contains(x))
    }

    /// The fault of a text that is no such number.
    pub(super) fn fault(&self, text: &str) -> ClimateError {
        ClimateError::BadHeader {
            what: self.what,
            text: text.to_owned(),
            expected: self.expected,
        }
    }
}

/// Latitude, longitude and height as far as `get` finds them under their names.
pub(super) fn place<'a>(
    get: impl Fn(&'static str) -> Option<&'a str>,
    [latitude, longitude, elevation]: [&'static str; 3],
) -> PartialStation {
    let fact = |name, fact: &Fact| fact.of(get(name)?);
    PartialStation {
        latitude_deg: fact(latitude, &LATITUDE),
        longitude_deg: fact(longitude, &LONGITUDE),
        elevation: fact(elevation, &ELEVATION),
        ..PartialStation::default()
    }
}

/// The word behind a name and its colon, in the first of the lines before `end` that has it.
pub(super) fn said<'a>(source: &'a Source, end: usize, name: &str) -> Option<&'a str> {
    let mut lines = source.lines(1).take(end.saturating_sub(1));
    lines.find_map(|(_, line)| {
        let (_, rest) = line.split_once(name)?;
        rest.split_once(':')?.1.split_whitespace().next()
    })
}

/// A line of facts, by position or by the names in another line; what is wrong with them is gathered.
pub(super) struct Facts<'a> {
    source: &'a Source,
    line: usize,
    names: Vec<String>,
    values: Vec<String>,
    problems: Vec<Problem>,
}

impl<'a> Facts<'a> {
    /// The facts in a line.
    pub(super) fn of(source: &'a Source, line: usize) -> Self {
        Self {
            source,
            line,
            names: Vec::new(),
            values: fields_of(source.line(line), b','),
            problems: Vec::new(),
        }
    }

    /// The facts in line 2, below their names in line 1.
    pub(super) fn named(source: &'a Source) -> Self {
        Self {
            names: fields_of(source.line(1), b','),
            ..Self::of(source, 2)
        }
    }

    /// Whether all of these names are there.
    pub(super) fn has(&self, names: &[&str]) -> bool {
        names.iter().all(|n| self.names.iter().any(|m| m == n))
    }

    /// Position of a named fact, past the end of the line for one that is not there.
    pub(super) fn at(&self, name: &str) -> usize {
        let found = self.names.iter().position(|n| n == name);
        found.unwrap_or(self.names.len())
    }

    /// A fact as written; empty where there is none.
    pub(super) fn text(&self, at: usize) -> &str {
        self.values.get(at).map_or("", String::as_str)
    }

    /// A fact that must be there.
    pub(super) fn need(&mut self, at: usize, fact: &Fact) -> Option<f64> {
        let found = fact.of(self.text(at));
        if found.is_none() {
            self.refuse(at, fact.fault(self.text(at)));
        }
        found
    }

    /// Latitude, longitude and height, which must be there.
    pub(super) fn place(&mut self, [latitude, longitude, elevation]: [usize; 3]) -> PartialStation {
        PartialStation {
            latitude_deg: self.need(latitude, &LATITUDE),
            longitude_deg: self.need(longitude, &LONGITUDE),
            elevation: self.need(elevation, &ELEVATION),
            ..PartialStation::default()
        }
    }

    /// Notes what is wrong with a fact.
    pub(super) fn refuse(&mut self, at: usize, fault: ClimateError) {
        let problem = self.source.error_at_field(fault, self.line, at, b',');
        self.problems.push(problem);
    }

    /// Ends the reading of the line.
    ///
    /// # Errors
    /// When anything was wrong in it.
    pub(super) fn done(self) -> Result<(), Problems> {
        refuse_any(self.problems)
    }
}
