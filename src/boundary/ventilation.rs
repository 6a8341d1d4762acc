//! Air exchange between a box and the outside through its openings: stack effect and wind, added as pressures.
//!
//! One model covers one, two or any number of openings, each with its own height above the next: the pressure inside
//! adjusts until as much air leaves as enters, and an opening that the neutral level crosses carries both.

use serde::Deserialize;

use super::BoundaryError;
use super::air;

/// The shipped parameters.
const TABLE: &str = include_str!("ventilation.toml");

/// Halvings of the pressure bracket: from tens of pascals to below the last bit that matters.
const HALVINGS: usize = 60;

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
    /// Laminar caution: factor on the discharge coefficients for narrow slots.
    pub slot_factor: f64,
    /// Discharge coefficient of two-way flow through a single opening, at no temperature difference.
    pub two_way: f64,
    /// Its rise per kelvin, 1/K.
    pub two_way_slope: f64,
    /// Share of the wind's speed squared that pulses through a single opening.
    pub pulsation: f64,
    /// Air pressure, Pa.
    #[serde(skip, default = "standard_pressure")]
    pub pressure: f64,
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
/// use partywall::boundary::ventilation::series_area;
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
/// use partywall::boundary::ventilation::{VentParams, two_way_discharge};
/// let params = VentParams::shipped()?;
/// assert!((two_way_discharge(10.0, -10.0, &params) - 0.49).abs() < 1e-12);
/// # Ok::<(), partywall::boundary::BoundaryError>(())
/// ```
#[must_use]
pub fn two_way_discharge(t_in: f64, t_out: f64, params: &VentParams) -> f64 {
    params.two_way + params.two_way_slope * (t_in - t_out).abs()
}

/// Volume flow each way through one vertical opening, m3/s: `(1/3) CD w h sqrt(g h dT/T)` (Brown & Solvason 1962).
///
/// ```
/// use partywall::boundary::ventilation::two_way_flow;
/// // A slot of 100 x 20 mm, 20 K at 273.15 K, CD 0.49: 0.039147 L/s.
/// let q = two_way_flow(0.49, 0.1 * 0.02, 0.02, 20.0, 273.15);
/// assert!((q / 3.9147e-5 - 1.0).abs() < 1e-3);
/// ```
#[must_use]
pub fn two_way_flow(discharge: f64, area: f64, height: f64, difference: f64, kelvin: f64) -> f64 {
    discharge * area / 3.0 * (air::GRAVITY * height * difference.abs() / kelvin).sqrt()
}

/// Checks a list of openings once, before the hour loop.
///
/// # Errors
/// [`BoundaryError::Opening`] for the first opening with a negative or non-finite area or height, or a place or pressure
/// coefficient that is not finite.
pub fn check_openings(openings: &[VentOpening]) -> Result<(), BoundaryError> {
    let not_negative = |v: f64| v.is_finite() && v >= 0.0;
    for (index, o) in openings.iter().enumerate() {
        for (property, value, good, wanted) in [
            ("area", o.area, not_negative(o.area), "zero or more m2"),
            ("height", o.height, not_negative(o.height), "zero or more m"),
            ("place", o.z, o.z.is_finite(), "a height in m"),
            (
                "wind pressure",
                o.wind_pressure,
                o.wind_pressure.is_finite(),
                "a coefficient",
            ),
        ] {
            if !good {
                return Err(BoundaryError::Opening {
                    index,
                    property,
                    value,
                    wanted,
                });
            }
        }
    }
    Ok(())
}

/// Air exchange of a box with the outside through any number of openings, by stack effect and wind together.
///
/// Inside pressure above outside at height z: `p0 + (rho_out - rho_in) g z - Cp rho_out v2/2`. Through each opening flows
/// `CD (A/h) integral sqrt(2 rho |dp(z)|) dz`, inwards with outside density where dp < 0, outwards with inside density
/// where dp > 0; p0 is found by halving so that in = out. With one vertical opening this is Brown & Solvason's two-way
/// flow (with [`two_way_discharge`]); with two it is the series orifice with the neutral level between them. In a single
/// opening gusts add `A/2 sqrt(pulsation) v rho`, in quadrature. Temperatures degC, `wind` beside the box m/s.
///
/// Not covered: a level opening alone under cold air over warm (unstable exchange), leakage through joints, and the
/// resistance of combs and bees. Openings without area do not count; temperatures or wind that are not numbers give
/// [`AirExchange::NONE`] only with no opening, otherwise NaN.
#[must_use]
pub fn exchange(
    openings: &[VentOpening],
    t_in: f64,
    t_out: f64,
    wind: f64,
    params: &VentParams,
) -> AirExchange {
    let open = || openings.iter().filter(|o| o.area > 0.0);
    let count = open().count();
    if count == 0 {
        return AirExchange::NONE;
    }
    if !(t_in + t_out + wind).is_finite() {
        return AirExchange {
            mass_flow: f64::NAN,
            neutral_z: None,
        };
    }
    let rho_in = air::density(t_in, params.pressure);
    let rho_out = air::density(t_out, params.pressure);
    let slope = (rho_out - rho_in) * air::GRAVITY;
    let wind = wind.max(0.0);
    let velocity_pressure = 0.5 * rho_out * wind * wind;
    // Inside less outside pressure at the lower and upper edge of an opening, with p0 = 0.
    let edges = |o: &VentOpening| {
        let wind_part = o.wind_pressure * velocity_pressure;
        let half = 0.5 * o.height;
        (
            slope * (o.z - half) - wind_part,
            slope * (o.z + half) - wind_part,
        )
    };
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    for o in open() {
        let (a, b) = edges(o);
        low = low.min(-a.max(b));
        high = high.max(-a.min(b));
    }
    // At p0 = low nothing leaves, at p0 = high nothing enters.
    let flows = |p0: f64| {
        let (mut enters, mut leaves) = (0.0, 0.0);
        for o in open() {
            let (a, b) = edges(o);
            let (inward, outward) = mean_roots(a + p0, b + p0);
            enters += o.area * inward;
            leaves += o.area * outward;
        }
        (
            enters * (2.0 * rho_out).sqrt(),
            leaves * (2.0 * rho_in).sqrt(),
        )
    };
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        let (enters, leaves) = flows(middle);
        if enters > leaves {
            low = middle;
        } else {
            high = middle;
        }
    }
    let p0 = 0.5 * (low + high);
    let (enters, leaves) = flows(p0);
    let discharge = params.slot_factor
        * if count == 1 {
            two_way_discharge(t_in, t_out, params)
        } else {
            params.discharge
        };
    let steady = discharge * 0.5 * (enters + leaves);
    let gusts = if count == 1 {
        0.5 * open().map(|o| o.area).sum::<f64>()
            * params.pulsation.max(0.0).sqrt()
            * wind
            * rho_out
    } else {
        0.0
    };
    AirExchange {
        mass_flow: steady.hypot(gusts),
        neutral_z: (slope != 0.0).then(|| -p0 / slope),
    }
}

/// Means over an opening's height of `sqrt(-dp)` where dp < 0 and of `sqrt(dp)` where dp > 0, for dp linear from `a` to
/// `b`: the integral of `sqrt(x)` from 0 to x is `(2/3) x^1.5`.
fn mean_roots(a: f64, b: f64) -> (f64, f64) {
    let span = b - a;
    // Nearly level: the root at the middle, exact to second order, without cancellation.
    if span.abs() <= 1e-6 * a.abs().max(b.abs()) {
        let middle = 0.5 * (a + b);
        return ((-middle).max(0.0).sqrt(), middle.max(0.0).sqrt());
    }
    let cube = |x: f64| {
        let x = x.max(0.0);
        x * x.sqrt()
    };
    let third = 2.0 / 3.0 / span;
    (
        (third * (cube(-a) - cube(-b))).max(0.0),
        (third * (cube(b) - cube(a))).max(0.0),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plain() -> VentParams {
        VentParams {
            slot_factor: 1.0,
            ..VentParams::shipped().unwrap()
        }
    }

    fn hole(area: f64, z: f64, wind_pressure: f64) -> VentOpening {
        VentOpening {
            area,
            height: 0.0,
            z,
            wind_pressure,
        }
    }

    /// Catches a wrong series rule or density: 15 cm2 low and high, 0.5 m apart, 10 inside, -10 outside.
    #[test]
    fn two_openings() {
        let x = exchange(
            &[hole(15e-4, 0.0, 0.0), hole(15e-4, 0.5, 0.0)],
            10.0,
            -10.0,
            0.0,
            &plain(),
        );
        assert!((x.mass_flow / 7.5545e-4 - 1.0).abs() < 1e-3, "{x:?}");
        assert!((x.neutral_z.unwrap() / 0.5 - 0.4817).abs() < 1e-3, "{x:?}");
        assert!((x.conductance() * 20.0 - 15.2).abs() < 0.05);
        let x = exchange(
            &[hole(15e-4, 0.0, 0.0), hole(3e-4, 0.5, 0.0)],
            10.0,
            -10.0,
            0.0,
            &plain(),
        );
        // The handbook's single density (0 degC) gives 0.1621 L/s; the small hole passes warm air, so a little less.
        let rho = air::density(0.0, air::STANDARD_PRESSURE);
        let stack = stack_pressure(10.0, -10.0, 0.5, air::STANDARD_PRESSURE);
        let handbook = orifice_flow(0.65, series_area(15e-4, 3e-4), stack, rho);
        assert!((handbook / 0.1621e-3 - 1.0).abs() < 1e-3, "{handbook}");
        let ratio = x.mass_flow / (handbook * rho);
        assert!(ratio < 1.0 && ratio > 0.98, "{ratio}");
    }

    /// Catches wind that is squared twice or not at all: 3 m/s, difference of coefficients 0.9, equal temperatures.
    #[test]
    fn wind_alone() {
        let x = exchange(
            &[hole(15e-4, 0.0, 0.6), hole(15e-4, 0.0, -0.3)],
            0.0,
            0.0,
            3.0,
            &plain(),
        );
        let litres = x.mass_flow / air::density(0.0, air::STANDARD_PRESSURE) * 1000.0;
        assert!((litres / 1.962 - 1.0).abs() < 1e-3, "{litres}");
        assert_eq!(x.neutral_z, None);
    }

    /// Catches a two-way integral that is not Brown & Solvason's: they use one density, we two (0.5 %).
    #[test]
    fn one_slot_carries_both_ways() {
        let slot = VentOpening {
            area: 0.002,
            height: 0.02,
            z: 0.1,
            wind_pressure: 0.4,
        };
        let x = exchange(&[slot], 10.0, -10.0, 0.0, &plain());
        let q = two_way_flow(0.49, 0.002, 0.02, 20.0, 273.15);
        let rho = air::density(0.0, air::STANDARD_PRESSURE);
        assert!((x.mass_flow / (q * rho) - 1.0).abs() < 5e-3, "{x:?}");
        assert!((x.neutral_z.unwrap() - 0.1).abs() < 0.001);
        // A steady wind on the only opening raises the pressure inside and moves nothing; gusts do.
        let calm = VentParams {
            pulsation: 0.0,
            ..plain()
        };
        let windy = exchange(&[slot], 10.0, -10.0, 5.0, &calm);
        assert!((windy.mass_flow / x.mass_flow - 1.0).abs() < 1e-6);
        assert!(exchange(&[slot], 10.0, -10.0, 5.0, &plain()).mass_flow > x.mass_flow);
    }

    /// Catches stack and wind added as flows: with opposing pressures of equal size they cancel.
    #[test]
    fn wind_can_stop_the_stack() {
        let stack = stack_pressure(10.0, -10.0, 0.5, air::STANDARD_PRESSURE);
        let per_cp = wind_pressure(1.0, 2.0, -10.0, air::STANDARD_PRESSURE);
        let openings = [hole(15e-4, 0.0, 0.0), hole(15e-4, 0.5, stack / per_cp)];
        let x = exchange(&openings, 10.0, -10.0, 2.0, &plain());
        assert!(x.mass_flow < 1e-8, "{x:?}");
    }

    /// Catches a rule that treats openings by number: one opening cut in halves stays the same opening.
    #[test]
    fn cutting_an_opening_changes_nothing() {
        let whole = [
            hole(10e-4, 0.0, 0.1),
            hole(4e-4, 0.3, -0.1),
            hole(2e-4, 0.6, 0.0),
        ];
        let cut = [
            hole(5e-4, 0.0, 0.1),
            hole(5e-4, 0.0, 0.1),
            hole(4e-4, 0.3, -0.1),
            hole(2e-4, 0.6, 0.0),
        ];
        let a = exchange(&whole, 8.0, -20.0, 2.0, &plain()).mass_flow;
        let b = exchange(&cut, 8.0, -20.0, 2.0, &plain()).mass_flow;
        assert!((a / b - 1.0).abs() < 1e-9, "{a} {b}");
    }

    /// Catches a NaN turned into a number and a division by nothing.
    #[test]
    fn edges() {
        assert_eq!(exchange(&[], 10.0, 0.0, 1.0, &plain()), AirExchange::NONE);
        let closed = [hole(0.0, 0.0, 0.0)];
        assert_eq!(
            exchange(&closed, 10.0, 0.0, 1.0, &plain()),
            AirExchange::NONE
        );
        assert!(
            exchange(&[hole(1e-4, 0.0, 0.0)], f64::NAN, 0.0, 1.0, &plain())
                .mass_flow
                .is_nan()
        );
        let level = exchange(&[hole(1e-4, 0.0, 0.0)], 0.0, 0.0, 0.0, &plain());
        assert_eq!(level.mass_flow, 0.0);
        assert!(check_openings(&[hole(f64::NAN, 0.0, 0.0)]).is_err());
        assert!(check_openings(&[hole(1e-4, 0.0, 0.0), hole(-1e-4, 0.0, 0.0)]).is_err());
        assert!(check_openings(&[hole(1e-4, 0.0, 0.6)]).is_ok());
    }
}
