//! Openings and cracks of a stack in one balance of pressures.

use super::air;
use super::ventilation::{Crack, VentOpening, VentParams, two_way_discharge};

/// Most steps towards the balanced pressure.
const MOST_STEPS: usize = 120;
/// Difference of inflow and outflow, as a share of their sum, at which the pressure counts as found.
const BALANCED: f64 = 1e-9;

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
    /// Pressure inside less that outside at height 0, Pa; where the next search begins.
    pub base: f64,
    /// Inside less outside pressure at the lower and upper edge of each opening and at each crack with none at height 0, Pa.
    edges: Vec<Edge>,
}

/// An opening or crack in an hour.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Edge {
    /// Inside less outside pressure at its lower and upper edge with none at height 0, Pa.
    pressure: [f64; 2],
    /// Temperature inside, degC, and density there, kg/m3.
    inside_c: f64,
    density: f64,
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
    out.edges.clear();
    let count = openings.iter().filter(|o| o.area > 0.0).count();
    let open = || openings.iter().enumerate().filter(|(_, o)| o.area > 0.0);
    let Some(&(_, lowest)) = inside.first() else {
        return;
    };
    if count + cracks.len() == 0 {
        return;
    }
    let lost = |out: &mut Draught| {
        out.base = 0.0;
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
    let edge = |z: f64, height: f64, wind_pressure: f64| {
        let (t, middle) = at(z);
        let base = middle - wind_pressure * velocity_pressure;
        let half = 0.5 * height * slope(t);
        Edge {
            pressure: [base - half, base + half],
            inside_c: t,
            density: air::density(t, params.pressure),
        }
    };
    out.edges.extend(
        openings
            .iter()
            .map(|o| edge(o.z, o.height, o.wind_pressure)),
    );
    out.edges
        .extend(cracks.iter().map(|c| edge(c.z, 0.0, c.wind_pressure)));
    let Draught {
        passing,
        base,
        edges,
    } = &mut *out;
    let (of_openings, of_cracks) = edges.split_at(openings.len());
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    for e in open().map(|(i, _)| &of_openings[i]).chain(of_cracks) {
        let [a, b] = e.pressure;
        low = low.min(-a.max(b));
        high = high.max(-a.min(b));
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
            let Edge {
                pressure: [a, b],
                density,
                ..
            } = of_openings[i];
            let roots = mean_roots(a + p0, b + p0);
            let to_leave = (2.0 * density).sqrt();
            let size = discharge * o.area;
            passing[i] = Passing {
                enters: size * to_enter * roots.inward,
                leaves: size * to_leave * roots.outward,
            };
            rise += size * (to_leave * roots.outward_rise + to_enter * roots.inward_fall);
        }
        let of_cracks = cracks.iter().zip(of_cracks);
        for ((c, e), p) in of_cracks.zip(&mut passing[openings.len()..]) {
            let difference = e.pressure[0] + p0;
            let (from, density) = if difference > 0.0 {
                (e.inside_c, e.density)
            } else {
                (t_out, rho_out)
            };
            let (q, grows) = c.flow(params.crack_width, difference, from, density);
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
    // Newton from where it was, halving the bracket whenever that leads out of it or gains little.
    let mut p0 = base.clamp(low, high);
    let mut before = f64::INFINITY;
    for _ in 0..MOST_STEPS {
        let (f, sum, rise) = flows(p0, passing);
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
    *base = p0;
    let gust = 0.5 * params.pulsation.max(0.0).sqrt() * wind * rho_out;
    for (i, o) in open() {
        let p = &mut passing[i];
        let both = p.enters.min(p.leaves);
        let more = both.hypot(gust * o.area) - both;
        p.enters += more;
        p.leaves += more;
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
