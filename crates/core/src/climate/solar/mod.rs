//! Where the sun is, how much of it arrives above the air, and how a global sum is split and spread over the day.
//!
//! Angles are degrees where the name says `_deg`, else radians. Irradiance is W/m2, daily sums J/m2.

mod day;
mod fao56;
mod position;
mod split;

pub use day::{daily_to_hourly_shares, hour_mean_extraterrestrial, sunrise_sunset_h};
pub use fao56::{
    FAO_SOLAR_CONSTANT, HARGREAVES_INLAND, angstrom_global, clear_sky_daily, daylight_h,
    extraterrestrial_daily, hargreaves_global,
};
pub use position::{
    Ephemeris, SOLAR_CONSTANT, SunPosition, julian_day, refraction_deg, sun_position,
};
pub use split::{BeamDiffuse, beam_from_diffuse, clearness_index, erbs, split_global};
