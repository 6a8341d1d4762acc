//! How much room the cluster takes.

use super::parameters::Parameters;
use std::f64::consts::PI;

/// Temperature at which the packing is stated, degC.
const REFERENCE_C: f64 = 4.0;
/// Below this the cluster gets no smaller, degC (Severson & Erickson 1990 measured down to here).
const TIGHTEST_C: f64 = -23.0;
/// Above this it gets no larger, degC (Beaverlodge: contraction is reckoned from here).
const LOOSEST_C: f64 = 18.0;

/// Volume of a cluster of `bees` in surroundings of `local_c` degC, m3, combs included:
/// `V = N/n4 (1 - g_V (4 - T))` from -23 to 4 degC, growing by `g_L` per kelvin, compound, from 4 to 18 degC.
///
/// Sources: Severson & Erickson 1990 (Apidologie 21:135-142) below 4 degC; federal research farm at Beaverlodge above.
///
/// ```
/// use partywall_core::colony::{parameters::Parameters, size::volume};
/// let p = Parameters::with(&[]).unwrap();
/// let ratio = volume(15_000.0, -23.0, &p) / volume(15_000.0, 4.0, &p);
/// assert!((ratio - 0.45).abs() < 0.01);
/// ```
#[must_use]
pub fn volume(bees: f64, local_c: f64, p: &Parameters) -> f64 {
    let t = local_c.clamp(TIGHTEST_C, LOOSEST_C);
    let factor = if t <= REFERENCE_C {
        1.0 - p.contraction * (REFERENCE_C - t)
    } else {
        (1.0 + p.loosening).powf(t - REFERENCE_C)
    };
    bees / p.bees_per_m3 * factor
}

/// Radius of the sphere of that volume, m.
#[must_use]
pub fn radius(volume: f64) -> f64 {
    (3.0 * volume / (4.0 * PI)).cbrt()
}
