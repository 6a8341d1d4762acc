//! Air exchange between a box and the outside through its openings: stack effect and wind, added as pressures.
//!
//! One model covers one, two or any number of openings, each with its own height above the next: the pressure inside
//! adjusts until as much air leaves as enters, and an opening that the neutral level crosses carries both.

use serde::Deserialize;

use super::BoundaryError;
use super::air;

/// The shipped parameters.
const TABLE: &str = include_str!("ventilation.toml");

/// Most steps towards the balanced pressure.
const MOST_STEPS: usize = 120;
/// Difference of inflow and outflow, as a share of their sum, at which the pressure counts as found.
const BALANCED: f64 = 1e-9;

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

/// Air exchange of a box with the outside through any number of openings, by stack effect and wind together.
///
/// Inside pressure above outside at height z: `p0 + (rho_out - rho_in) g z - Cp rho_out v2/2`. Through each opening flows
/// `CD (A/h) integral sqrt(2 rho |dp(z)|) dz`, inwards with outside density where dp < 0, outwards with inside density
/// where dp > 0; p0 is found so that in = out to a part in 1e9. With one vertical opening this is Brown & Solvason's two-way
/// flow (with [`two_way_discharge`]); with two it is the series orifice with the neutral level between them. In a single
/// opening gusts add `A/2 sqrt(pulsation) v rho`, in quadrature. Temperatures degC, `wind` beside the box m/s.
///
/// Not covered: a level opening alone under cold air over warm (unstable exchange), leakage through joints, and the
/// resistance of combs and bees. Openings without area do not count; temperatures, wind or
/// openings that are not numbers give NaN.
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
    if !(low.is_finite() && high.is_finite() && low <= high) {
        return AirExchange {
            mass_flow: f64::NAN,
            neutral_z: None,
        };
    }
    // Air that enters and leaves, and how fast their difference grows with p0. At p0 = low nothing leaves, at p0 = high nothing
    // enters.
    let (to_enter, to_leave) = ((2.0 * rho_out).sqrt(), (2.0 * rho_in).sqrt());
    let flows = |p0: f64| {
        let (mut enters, mut leaves, mut rise) = (0.0, 0.0, 0.0);
        for o in open() {
            let (a, b) = edges(o);
            let roots = mean_roots(a + p0, b + p0);
            enters += o.area * to_enter * roots.inward;
            leaves += o.area * to_leave * roots.outward;
            rise += o.area * (to_leave * roots.outward_rise + to_enter * roots.inward_fall);
        }
        (leaves - enters, leaves + enters, rise)
    };
    // Newton from where the mean opening is level, halving the bracket whenever that leads out of it or gains little.
    let (sum, area) = open().fold((0.0, 0.0), |(sum, area), o| {
        let (a, b) = edges(o);
        (sum + o.area * 0.5 * (a + b), area + o.area)
    });
    let mut p0 = (-sum / area).clamp(low, high);
    let (mut through, mut before) = (0.0, f64::INFINITY);
    for _ in 0..MOST_STEPS {
        let (f, sum, rise) = flows(p0);
        through = sum;
        if f.abs() <= BALANCED * sum {
            break;
        }
        if f < 0.0 {
            low = p0;
        } else {
            high = p0;
        }
        let newton = p0 - f / rise;
        let gains = f.abs() <= 0.5 * before;
        p0 = if gains && newton > low && newton < high {
            newton
        } else {
            0.5 * (low + high)
        };
        before = f.abs();
    }
    let discharge = params.slot_factor
        * if count == 1 {
            two_way_discharge(t_in, t_out, params)
        } else {
            params.discharge
        };
    let steady = discharge * 0.5 * through;
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

/// Means over an opening's height of `sqrt(-dp)` where dp < 0 and of `sqrt(dp)` where dp > 0.
struct MeanRoots {
    inward: f64,
    outward: f64,
    /// How fast the first falls and the second grows with the pressure inside.
    inward_fall: f64,
    outward_rise: f64,
}

/// For dp linear from `a` to `b`: the integral of `sqrt(x)` from 0 to x is `(2/3) x^1.5`.
fn mean_roots(a: f64, b: f64) -> MeanRoots {
    let span = b - a;
    let root = |x: f64| x.max(0.0).sqrt();
    // Nearly level: the root at the middle, exact to second order, without cancellation.
    if span.abs() <= 1e-6 * a.abs().max(b.abs()) {
        let middle = 0.5 * (a + b);
        let (inward, outward) = (root(-middle), root(middle));
        let slope = |root: f64| if root > 0.0 { 0.5 / root } else { 0.0 };
        return MeanRoots {
            inward,
            outward,
            inward_fall: slope(inward),
            outward_rise: slope(outward),
        };
    }
    let [in_a, in_b, out_a, out_b] = [root(-a), root(-b), root(a), root(b)];
    let (each, third) = (1.0 / span, 2.0 / 3.0 / span);
    let cube = |x: f64, root: f64| x.max(0.0) * root;
    MeanRoots {
        inward: (third * (cube(-a, in_a) - cube(-b, in_b))).max(0.0),
        outward: (third * (cube(b, out_b) - cube(a, out_a))).max(0.0),
        inward_fall: each * (in_a - in_b),
        outward_rise: each * (out_b - out_a),
    }
}

#[cfg(test)]
mod tests;
