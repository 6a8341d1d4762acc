//! Weather to boundary conditions of each outer face: films, sun, sky, ventilation.
//!
//! An hour of a record becomes an [`HourSky`]; that gives each [`PreparedFace`] an [`OuterFilm`] (one coefficient, one
//! equivalent temperature), and [`ventilation::exchange`] the air that passes through a stack's openings.

pub mod air;
pub mod cavity;
pub mod condensation;
mod crack;
mod draught;
mod error;
pub mod film;
pub mod seams;
pub mod shelter;
pub mod snow;
pub mod sol_air;
pub mod transposition;
pub mod ventilation;

pub use error::BoundaryError;
pub use shelter::SiteExposure;
pub use sol_air::{Exposure, Face, HourSky, OuterFilm, PreparedFace, face_film};
pub use ventilation::{AirExchange, VentOpening, VentParams};

#[cfg(test)]
mod properties;
