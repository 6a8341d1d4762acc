//! Outside checks of films, airspaces, wood, moist air, ventilation, sun, sky and daily data.

mod daily;
mod films;
mod light;
mod moisture;
mod openings;

use super::Check;

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
