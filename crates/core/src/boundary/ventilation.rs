//! Air exchange between a box and the outside through its openings: stack effect and wind, added as pressures.
//!
//! One model covers one, two or any number of openings and cracks, each with its own height above the next: the pressure inside
//! adjusts until as much air leaves as enters, and an opening that the neutral level crosses carries both.

use serde::Deserialize;

use super::BoundaryError;
use super::air;
pub use super::crack::Crack;
pub use super::draught::{Draught, Passing, Profile, through};

/// The shipped parameters.
const TABLE: &str = include_str!("ventilation.toml");

/// An opening of a stack to the outside air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct VentOpening {
    /// Free area, m2.
    pub area: f64,
    /// Vertical extent, m; 0 for a hole in a level surface.
    pub height: f64,
    /// Height of its middle above any datum common to the openings, m.
    pub z: f64,
    /// Wind pressure coefficient of the face it is in; openings in the same face share one.
    pub wind_pressure: f64,
}

/// Parameters of the exchange.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct VentParams {
    /// Discharge coefficient of one-way flow.
    pub discharge: f64,
    /// Laminar caution: factor on the discharge coefficients for narrow slots; a colony parameter, 1 unless set.
    #[serde(skip, default = "whole")]
    pub slot_factor: f64,
    /// Width of the cracks of joints, m; a colony parameter, none unless set.
    #[serde(skip)]
    pub crack_width: f64,
    /// Discharge coefficient of two-way flow through a single opening, at no temperature difference.
    pub two_way: f64,
    /// Its rise per kelvin, 1/K.
    pub two_way_slope: f64,
    /// Share of the wind's speed squared that pulses through an opening.
    pub pulsation: f64,
    /// Carbon dioxide over which bees fan, by volume.
    pub carbon_dioxide: f64,
    /// Warmth among the bees over which they fan, degC.
    pub fan_over: f64,
    /// Most air a colony fans, kg/s.
    pub fan_most: f64,
    /// Air pressure, Pa.
    #[serde(skip, default = "standard_pressure")]
    pub pressure: f64,
}

fn whole() -> f64 {
    1.0
}

fn standard_pressure() -> f64 {
    air::STANDARD_PRESSURE
}

impl VentParams {
    /// The shipped parameters at sea level.
    ///
    /// # Errors
    /// [`BoundaryError::Table`] if the table built into the program cannot be read.
    pub fn shipped() -> Result<Self, BoundaryError> {
        toml::from_str(TABLE).map_err(|e| BoundaryError::Table {
            table: "ventilation",
            message: e.to_string(),
        })
    }
}

/// Air that passes through a stack.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirExchange {
    /// Outside air that enters (and inside air that leaves), kg/s.
    pub mass_flow: f64,
    /// Height at which inside and outside pressures are equal, m above the openings' datum; `None` without a
    /// temperature difference.
    pub neutral_z: Option<f64>,
}

impl AirExchange {
    /// No exchange.
    pub const NONE: Self = Self {
        mass_flow: 0.0,
        neutral_z: None,
    };

    /// Heat conductance of the exchange, W/K: `m cp`.
    #[must_use]
    pub fn conductance(&self) -> f64 {
        self.mass_flow * air::SPECIFIC_HEAT
    }
}

/// Volume flow through an orifice, m3/s: `Q = CD A sqrt(2 dp/rho)` (ASHRAE Fundamentals ch. 16 eq. 36).
#[must_use]
pub fn orifice_flow(discharge: f64, area: f64, difference: f64, density: f64) -> f64 {
    discharge * area * (2.0 * difference.max(0.0) / density).sqrt()
}

/// Effective area of two openings in series, m2: `1/sqrt(1/A1^2 + 1/A2^2)`.
///
/// ```
/// use partywall_core::boundary::ventilation::series_area;
/// assert!((series_area(15e-4, 3e-4) - 2.94174e-4).abs() < 1e-9);
/// ```
#[must_use]
pub fn series_area(first: f64, second: f64) -> f64 {
    if first <= 0.0 || second <= 0.0 {
        return 0.0;
    }
    first * second / first.hypot(second)
}

/// Stack pressure over a height, Pa: `(rho_out - rho_in) g H`.
#[must_use]
pub fn stack_pressure(t_in: f64, t_out: f64, height: f64, pressure: f64) -> f64 {
    (air::density(t_out, pressure) - air::density(t_in, pressure)) * air::GRAVITY * height
}

/// Wind pressure on a face, Pa: `Cp rho v2/2`.
#[must_use]
pub fn wind_pressure(coefficient: f64, wind: f64, t_out: f64, pressure: f64) -> f64 {
    0.5 * coefficient * air::density(t_out, pressure) * wind * wind
}

/// Discharge coefficient of a single opening with two-way flow: `0.40 + 0.0045 |Ti - To|` (ASHRAE Fundamentals ch. 16).
///
/// ```
/// use partywall_core::boundary::ventilation::{VentParams, two_way_discharge};
/// let params = VentParams::shipped()?;
/// assert!((two_way_discharge(10.0, -10.0, &params) - 0.49).abs() < 1e-12);
/// # Ok::<(), partywall_core::boundary::BoundaryError>(())
/// ```
#[must_use]
pub fn two_way_discharge(t_in: f64, t_out: f64, params: &VentParams) -> f64 {
    params.two_way + params.two_way_slope * (t_in - t_out).abs()
}

/// Volume flow each way through one vertical opening, m3/s: `(1/3) CD w h sqrt(g h dT/T)` (Brown & Solvason 1962).
///
/// ```
/// use partywall_core::boundary::ventilation::two_way_flow;
/// // A slot of 100 x 20 mm, 20 K at 273.15 K, CD 0.49: 0.039147 L/s.
/// let q = two_way_flow(0.49, 0.1 * 0.02, 0.02, 20.0, 273.15);
/// assert!((q / 3.9147e-5 - 1.0).abs() < 1e-3);
/// ```
#[must_use]
pub fn two_way_flow(discharge: f64, area: f64, height: f64, difference: f64, kelvin: f64) -> f64 {
    discharge * area / 3.0 * (air::GRAVITY * height * difference.abs() / kelvin).sqrt()
}

/// Air exchange of a box of one temperature with the outside through any number of openings: the sum of [`through`].
#[must_use]
pub fn exchange(
    openings: &[VentOpening],
    t_in: f64,
    t_out: f64,
    wind: f64,
    params: &VentParams,
) -> AirExchange {
    let mut draught = Draught::default();
    through(
        openings,
        &[],
        &[(0.0, t_in)],
        t_out,
        wind,
        params,
        &mut draught,
    );
    if !openings.iter().any(|o| o.area > 0.0) {
        return AirExchange::NONE;
    }
    let sum: f64 = draught.passing.iter().map(|p| p.enters + p.leaves).sum();
    let slope = stack_pressure(t_in, t_out, 1.0, params.pressure);
    AirExchange {
        mass_flow: 0.5 * sum,
        neutral_z: (slope != 0.0 && sum.is_finite()).then(|| -draught.base / slope),
    }
}

#[cfg(test)]
mod tests;
