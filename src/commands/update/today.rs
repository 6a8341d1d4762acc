//! Which day it is.

use super::super::Failure;
use jiff::civil::Date;
use jiff::tz::Offset;
use jiff::{SignedDuration, Timestamp};
use partywall_report::text;

/// Names a day to take for today: for tests, and to look back.
const VARIABLE: &str = "PARTYWALL_TODAY";
/// How far ahead of universal time a clock on a wall may be: a weighing of this morning is none of tomorrow.
const FURTHEST_AHEAD: SignedDuration = SignedDuration::from_hours(14);

/// Today, where it has begun anywhere.
///
/// # Errors
/// A day named that is none.
pub(super) fn today() -> Result<Date, Failure> {
    if let Some(day) = std::env::var_os(VARIABLE) {
        let day = day.to_string_lossy().into_owned();
        return day
            .parse()
            .map_err(|_| Failure::Input(text!("program.no_today", variable = VARIABLE, day)));
    }
    let now = Timestamp::now();
    let anywhere = now.checked_add(FURTHEST_AHEAD).unwrap_or(now);
    Ok(Offset::UTC.to_datetime(anywhere).date())
}
