//! Cracks of joints between boxes.

use super::air;

/// A crack of a joint, as long as the joint and a fraction of a millimetre wide.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Crack {
    /// Length, m.
    pub length: f64,
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
    /// Volume flow through it, `width` m wide, at a pressure difference, m3/s, and how fast it grows with it, m3/(s Pa): laminar friction between its sides, `12 mu d Q/(w^3 L)`,
    /// and what is lost at its ends, `1.5 rho/2 (Q/(w L))^2` (quadratic crack flow, textbook).
    #[must_use]
    pub fn flow(&self, width: f64, difference: f64, t_c: f64, density: f64) -> (f64, f64) {
        let area = width * self.length;
        let a = 12.0 * air::viscosity(t_c) * self.depth / (width * width * area);
        let b = CRACK_ENDS * 0.5 * density / (area * area);
        let root = (a * a + 4.0 * b * difference.abs()).sqrt();
        // The root's difference without cancellation.
        (2.0 * difference / (a + root), 1.0 / root)
    }
}
