//! Outside checks of films, airspaces, wood, moist air, ventilation, sun, sky and daily data.

mod daily;
mod films;
mod light;
mod moisture;
mod openings;

use super::{Check, Evidence};

/// Where an expected value comes from and what kind of evidence that is.
type Origin = (&'static str, Evidence);

/// One check from its parts; `numbers` are expected, got, tolerance.
fn check(
    id: &'static str,
    what: impl Into<String>,
    numbers: (f64, f64, f64),
    unit: &'static str,
    origin: Origin,
) -> Check {
    let (expected, got, tolerance) = numbers;
    let (source, evidence) = origin;
    Check {
        id,
        what: what.into(),
        expected,
        got,
        tolerance,
        unit,
        source,
        evidence,
    }
}

/// All checks of this room.
#[must_use]
pub fn checks() -> Vec<Check> {
    let mut all = films::films();
    all.extend(films::airspaces());
    all.extend(moisture::wood_and_moist_air());
    all.extend(openings::openings());
    all.extend(light::sun());
    all.extend(light::faces_and_sky());
    all.extend(daily::daily_data());
    all
}
