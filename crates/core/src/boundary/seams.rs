//! Upward transport of heat by air turning over through the connected seams between combs.
//!
//! Air in the seams over a cluster is warmer than in the seams beside it. All seams are joined above and below the
//! combs, so the warm ones rise and the others sink: slow laminar flow in slots. What it carries upwards is put as an
//! effective conductivity, the form a homogenised comb region can use.

use serde::Deserialize;

use super::BoundaryError;
use super::air;

/// The shipped table of defaults.
const TABLE: &str = include_str!("seams.toml");

/// Nusselt number, on twice the width, of fully developed laminar flow between parallel plates at uniform wall
/// temperature (textbook value, from memory).
const NUSSELT_PLATES: f64 = 7.54;

/// A loop of seams: some with rising, as many with sinking air.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SeamLoop {
    /// Width of a seam, m.
    pub width: f64,
    /// Comb pitch, m.
    pub pitch: f64,
    /// Conductivity of the comb, W/mK.
    pub comb_conductivity: f64,
    /// Height of the loop, m.
    pub height: f64,
    /// Seams in each leg.
    pub seams: f64,
    /// How much warmer the rising air is than the sinking, K.
    pub excess: f64,
    /// Mean air temperature, degC.
    pub mean_c: f64,
}

/// Low, default and high seam loop, as shipped.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SeamTable {
    /// Weakest mixing thought likely.
    pub low: SeamLoop,
    /// Default.
    pub default: SeamLoop,
    /// Strongest mixing thought likely.
    pub high: SeamLoop,
}

impl SeamTable {
    /// The shipped table.
    ///
    /// # Errors
    /// [`BoundaryError::Table`] if the table built into the program cannot be read.
    pub fn shipped() -> Result<Self, BoundaryError> {
        toml::from_str(TABLE).map_err(|e| BoundaryError::Table {
            table: "seams",
            message: e.to_string(),
        })
    }
}

/// Mean speed of the air in each leg, m/s: `u = g beta dT w2/(24 nu)`.
///
/// Buoyancy of the loop, `rho g beta dT H`, against laminar friction in both legs, `2 * 12 mu u H/w2` (plane Poiseuille
/// flow; textbook). With the excess counted from the mean of both legs instead, dT/2, it is the familiar
/// `g beta (dT/2) w2/(12 nu)`. Turns at the ends cost nothing here. Valid while `2 u w/nu < 2000`.
#[must_use]
pub fn seam_speed(seam: &SeamLoop) -> f64 {
    let nu = air::kinematic_viscosity(seam.mean_c, air::STANDARD_PRESSURE);
    let beta = 1.0 / (seam.mean_c + 273.15).max(100.0);
    air::GRAVITY * beta * seam.excess.max(0.0) * seam.width * seam.width / (24.0 * nu)
}

/// Effective upward conductivity of the comb region due to the loop, W/mK, to be added to conduction.
///
/// With `m = rho cp u w` (W/mK, heat a seam moves per metre of comb and kelvin), U exchange through one comb and its two
/// air films, p pitch, n seams in each leg, the flux over the plan area of both legs is `q = m dT/(2 p)`. Two drops of
/// temperature in series drive it:
/// - along the legs the air must be warmed and cooled through the combs between the legs' middles (n combs in series,
///   one on either side): gradient `G = 2 U dT/(n2 m)`, hence `k1 = q/G = n2 m2/(4 p U)`;
/// - at the ends the whole excess is handed over: `k2 = q H/dT = m H/(2 p)`.
///
/// `1/k = 1/k1 + 1/k2`. `1/U = 2/hs + (p - w)/k_comb`, `hs = 7.54 k_air/(2 w)`. An own derivation from textbook slot
/// flow, not a published correlation; radiation across the seams is left to the gap's own conductivity. The
/// shipped loops give 0.9, 2.7 and 5.6 W/mK (Reynolds number 47 to 172). Bees hanging in a seam stop it.
///
/// ```
/// use partywall_core::boundary::seams::{SeamTable, seam_mixing};
/// let k = seam_mixing(&SeamTable::shipped()?.default);
/// assert!(k > 1.0 && k < 6.0);
/// # Ok::<(), partywall_core::boundary::BoundaryError>(())
/// ```
#[must_use]
pub fn seam_mixing(seam: &SeamLoop) -> f64 {
    let flow = air::density(seam.mean_c, air::STANDARD_PRESSURE)
        * air::SPECIFIC_HEAT
        * seam_speed(seam)
        * seam.width;
    if flow <= 0.0 || seam.pitch <= 0.0 || seam.height <= 0.0 || seam.seams <= 0.0 {
        return 0.0;
    }
    let film = NUSSELT_PLATES * air::conductivity(seam.mean_c) / (2.0 * seam.width);
    let comb = (seam.pitch - seam.width).max(0.0) / seam.comb_conductivity.max(1e-3);
    let exchange = 1.0 / (2.0 / film + comb);
    let along = seam.seams * seam.seams * flow * flow / (4.0 * seam.pitch * exchange);
    let ends = flow * seam.height / (2.0 * seam.pitch);
    along * ends / (along + ends)
}

/// The same transport put upon the air of the seams alone, W/mK: [`seam_mixing`] times pitch over seam width. For grids
/// that keep seam and comb apart or weight them by area.
#[must_use]
pub fn seam_air_mixing(seam: &SeamLoop) -> f64 {
    if seam.width <= 0.0 {
        return 0.0;
    }
    seam_mixing(seam) * seam.pitch / seam.width
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shipped() -> SeamTable {
        SeamTable::shipped().unwrap()
    }

    /// Catches a derivation that has lost its scaling: no excess no flow, w2 in speed, and more of everything with more
    /// excess, height or width.
    #[test]
    fn grows_with_its_drives() {
        let d = shipped().default;
        assert_eq!(seam_mixing(&SeamLoop { excess: 0.0, ..d }), 0.0);
        assert_eq!(seam_mixing(&SeamLoop { excess: -3.0, ..d }), 0.0);
        let double = SeamLoop {
            width: 2.0 * d.width,
            ..d
        };
        assert!((seam_speed(&double) / seam_speed(&d) - 4.0).abs() < 1e-9);
        // Comb and seam weighted by area give the region's value back.
        let region = seam_air_mixing(&d) * d.width / d.pitch;
        assert!((region / seam_mixing(&d) - 1.0).abs() < 1e-12);
        let k = seam_mixing(&d);
        for more in [
            SeamLoop {
                excess: d.excess + 1.0,
                ..d
            },
            SeamLoop {
                width: d.width + 0.001,
                ..d
            },
            SeamLoop {
                height: d.height + 0.1,
                ..d
            },
            SeamLoop {
                seams: d.seams + 1.0,
                ..d
            },
        ] {
            assert!(seam_mixing(&more) > k);
        }
    }

    /// Catches a slip in the algebra and a table outside the laminar range: speed and conductivity evaluated independently
    /// from the heat carried and the two drops of temperature.
    #[test]
    fn shipped_loops_are_laminar_and_in_the_stated_band() {
        let t = shipped();
        let nu = air::kinematic_viscosity(5.0, air::STANDARD_PRESSURE);
        for (seam, speed, k) in [
            (t.low, 0.032129, 0.8548),
            (t.default, 0.061688, 2.7165),
            (t.high, 0.090498, 5.6150),
        ] {
            let reynolds = 2.0 * seam_speed(&seam) * seam.width / nu;
            assert!(reynolds < 2000.0, "{reynolds}");
            assert!(
                (seam_speed(&seam) - speed).abs() < 1e-5,
                "{}",
                seam_speed(&seam)
            );
            assert!(
                (seam_mixing(&seam) - k).abs() < 1e-3,
                "{}",
                seam_mixing(&seam)
            );
        }
    }
}
