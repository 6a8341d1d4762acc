//! Air exchange between a box and the outside through its openings: stack effect and wind, added as pressures.
//!
//! One model covers one, two or any number of openings and cracks, each with its own height above the next: the pressure inside
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

/// A crack of a joint, as long as the joint and a fraction of a millimetre wide.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Crack {
    /// Length, m.
    pub length: f64,
    /// Width, m.
    pub width: f64,
    /// Thickness of the wall it leads through, m.
    pub depth: f64,
    /// Height above the openings' datum, m.
    pub z: f64,
    /// Wind pressure coefficient, mean of the faces it runs through.
    pub wind_pressure: f64,
}

/// Pressure lost where air enters and leaves a crack, in velocity pressures (textbook: 0.5 at a sharp edge, 1 where it leaves).
const CRACK_ENDS: f64 = 1.5;

impl Crack {
    /// Volume flow at a pressure difference, m3/s, and how fast it grows with it, m3/(s Pa): laminar friction between its sides, `12 mu d Q/(w^3 L)`,
    /// and what is lost at its ends, `1.5 rho/2 (Q/(w L))^2` (quadratic crack flow, textbook).
    #[must_use]
    pub fn flow(&self, difference: f64, t_c: f64, density: f64) -> (f64, f64) {
        let area = self.width * self.length;
        let a = 12.0 * air::viscosity(t_c) * self.depth / (self.width * self.width * area);
        let b = CRACK_ENDS * 0.5 * density / (area * area);
        let root = (a * a + 4.0 * b * difference.abs()).sqrt();
        // The root's difference without cancellation.
        (2.0 * difference / (a + root), 1.0 / root)
    }
}

/// Air that passes an opening, kg/s.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Passing {
    /// Outside air that enters.
    pub enters: f64,
    /// Inside air that leaves.
    pub leaves: f64,
}

/// The air inside by height: temperature (degC) from each height (m) up to the next, lowest first; the first holds below it too.
pub type Profile<'a> = &'a [(f64, f64)];

/// What air does at the openings of a stack.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Draught {
    /// At each opening, then at each crack.
    pub passing: Vec<Passing>,
    /// Pressure inside less that outside at height 0, Pa.
    pub base: f64,
}

/// Outside air through any number of openings and cracks, by stack effect and wind together.
///
/// Inside pressure above outside at height z: `p0 + integral of (rho_out - rho_in) g dz - Cp rho_out v2/2`. Through each opening flows
/// `CD (A/h) integral sqrt(2 rho |dp(z)|) dz`, inwards with outside density where dp < 0, outwards with inside density
/// where dp > 0; through each crack [`Crack::flow`]; p0 is found so that in = out to a part in 1e9. With one vertical opening this is
/// Brown & Solvason's two-way flow (with [`two_way_discharge`]); with two it is the series orifice with the neutral level between them. In
/// every opening gusts add `A/2 sqrt(pulsation) v rho` to what passes both ways, in quadrature. Temperatures degC, `wind` beside
/// the box m/s.
///
/// Not covered: a level opening alone under cold air over warm (unstable exchange) and the resistance of bees. Openings without area do not
/// count; temperatures, wind or openings that are not numbers give NaN.
pub fn through(
    openings: &[VentOpening],
    cracks: &[Crack],
    inside: Profile<'_>,
    t_out: f64,
    wind: f64,
    params: &VentParams,
    out: &mut Draught,
) {
    out.passing.clear();
    out.passing
        .resize(openings.len() + cracks.len(), Passing::default());
    out.base = 0.0;
    let count = openings.iter().filter(|o| o.area > 0.0).count();
    let open = || openings.iter().enumerate().filter(|(_, o)| o.area > 0.0);
    let Some(&(_, lowest)) = inside.first() else {
        return;
    };
    if count + cracks.len() == 0 {
        return;
    }
    let lost = |out: &mut Draught| {
        out.passing.fill(Passing {
            enters: f64::NAN,
            leaves: f64::NAN,
        })
    };
    if !(inside.iter().map(|(_, t)| t).sum::<f64>() + t_out + wind).is_finite() {
        return lost(out);
    }
    let rho_out = air::density(t_out, params.pressure);
    let wind = wind.max(0.0);
    let velocity_pressure = 0.5 * rho_out * wind * wind;
    let slope = |t: f64| (rho_out - air::density(t, params.pressure)) * air::GRAVITY;
    // Temperature at a height, and the weight of outside air less that inside from height 0 to there, Pa.
    let at = |z: f64| {
        let (mut from, mut t, mut weight) = (0.0_f64.min(z), lowest, 0.0);
        for &(start, next) in &inside[1..] {
            if start >= z {
                break;
            }
            if start > from {
                weight += slope(t) * (start - from);
                from = start;
            }
            t = next;
        }
        (t, weight + slope(t) * (z - from))
    };
    let discharge = params.slot_factor
        * if count == 1 && cracks.is_empty() {
            two_way_discharge(lowest, t_out, params)
        } else {
            params.discharge
        };
    // Inside less outside pressure at the lower and upper edge of each opening with p0 = 0; density inside; share of what an area passes.
    let edges = |o: &VentOpening| {
        let (t, middle) = at(o.z);
        let base = middle - o.wind_pressure * velocity_pressure;
        let half = 0.5 * o.height * slope(t);
        (base - half, base + half, air::density(t, params.pressure))
    };
    let gap = |c: &Crack| {
        let (t, middle) = at(c.z);
        (middle - c.wind_pressure * velocity_pressure, t)
    };
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    let (mut sum, mut area) = (0.0, 0.0);
    let ends = open().map(|(_, o)| {
        let (a, b, _) = edges(o);
        (a, b, o.area)
    });
    let ends = ends.chain(cracks.iter().map(|c| {
        let a = gap(c).0;
        (a, a, c.width * c.length)
    }));
    for (a, b, size) in ends {
        low = low.min(-a.max(b));
        high = high.max(-a.min(b));
        sum += size * 0.5 * (a + b);
        area += size;
    }
    if !(low.is_finite() && high.is_finite() && low <= high) {
        return lost(out);
    }
    // Air that enters and leaves, and how fast their difference grows with p0. At p0 = low nothing leaves, at p0 = high nothing
    // enters.
    let to_enter = (2.0 * rho_out).sqrt();
    let flows = |p0: f64, passing: &mut [Passing]| {
        let (mut net, mut all, mut rise) = (0.0, 0.0, 0.0);
        for (i, o) in open() {
            let (a, b, rho_in) = edges(o);
            let roots = mean_roots(a + p0, b + p0);
            let to_leave = (2.0 * rho_in).sqrt();
            let size = discharge * o.area;
            passing[i] = Passing {
                enters: size * to_enter * roots.inward,
                leaves: size * to_leave * roots.outward,
            };
            rise += size * (to_leave * roots.outward_rise + to_enter * roots.inward_fall);
        }
        for (c, p) in cracks.iter().zip(&mut passing[openings.len()..]) {
            let (a, t) = gap(c);
            let from = if a + p0 > 0.0 { t } else { t_out };
            let density = air::density(from, params.pressure);
            let (q, grows) = c.flow(a + p0, from, density);
            *p = Passing {
                enters: (-q * density).max(0.0),
                leaves: (q * density).max(0.0),
            };
            rise += density * grows;
        }
        for p in &*passing {
            net += p.leaves - p.enters;
            all += p.leaves + p.enters;
        }
        (net, all, rise)
    };
    // Newton from where the mean opening is level, halving the bracket whenever that leads out of it or gains little.
    let mut p0 = (-sum / area).clamp(low, high);
    let mut before = f64::INFINITY;
    for _ in 0..MOST_STEPS {
        let (f, sum, rise) = flows(p0, &mut out.passing);
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
    out.base = p0;
    let gust = 0.5 * params.pulsation.max(0.0).sqrt() * wind * rho_out;
    for (i, o) in open() {
        let p = &mut out.passing[i];
        let both = p.enters.min(p.leaves);
        let more = both.hypot(gust * o.area) - both;
        p.enters += more;
        p.leaves += more;
    }
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
