//! What surrounds the stand: wind at box height, ground, snow.

use serde::Deserialize;

use super::BoundaryError;
use crate::stand::Shelter;

/// The shipped table.
const TABLE: &str = include_str!("shelter.toml");

/// Height of the wind in weather records, m.
const RECORD_HEIGHT: f64 = 10.0;

/// Numbers about the surroundings; see `shelter.toml` for what each rests on.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Surroundings {
    /// Wind near the ground.
    pub wind: WindTable,
    /// Share of the open-field wind left, per shelter class.
    pub factor: FactorTable,
    /// Wind pressure coefficients of a low box.
    pub pressure: PressureTable,
    /// Solar reflectance of the ground.
    pub ground: GroundTable,
    /// Lying snow.
    pub snow: SnowTable,
}

/// Wind near the ground.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WindTable {
    /// Roughness length, m.
    pub roughness: f64,
    /// Lowest height the log law is evaluated at, m.
    pub lowest: f64,
    /// Share of the wind beside the box that reaches into a narrow open gap.
    pub gap: f64,
    /// Share that reaches under the floor.
    pub underside: f64,
}

/// Share of the open-field wind left at box height.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FactorTable {
    /// Open field.
    pub open: f64,
    /// Hedge, fence or trees to windward.
    pub partly: f64,
    /// Courtyard, clearing, dense windbreak.
    pub sheltered: f64,
}

/// Wind pressure coefficients, dimensionless.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PressureTable {
    /// Face turned to the wind.
    pub windward: f64,
    /// Face turned from it.
    pub leeward: f64,
    /// Lid.
    pub roof: f64,
}

/// Solar reflectance of the ground, 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GroundTable {
    /// Bare or grassy.
    pub bare: f64,
    /// Under snow.
    pub snow: f64,
    /// Depth from which the ground is white, m.
    pub white_from: f64,
}

/// Lying snow.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SnowTable {
    /// Density, kg/m3.
    pub density: f64,
    /// Solar absorptance of its surface, 0 to 1.
    pub absorptance: f64,
    /// Emissivity of its surface, 0 to 1.
    pub emissivity: f64,
    /// Depth on a level lid over that on the ground, in a place of normal exposure.
    pub lid: f64,
    /// Factor on it in the open field.
    pub open: f64,
    /// Partly sheltered.
    pub partly: f64,
    /// Sheltered.
    pub sheltered: f64,
}

impl Surroundings {
    /// The shipped table.
    ///
    /// # Errors
    /// [`BoundaryError::Table`] if the table built into the program cannot be read.
    pub fn shipped() -> Result<Self, BoundaryError> {
        toml::from_str(TABLE).map_err(|e| BoundaryError::Table {
            table: "shelter",
            message: e.to_string(),
        })
    }

    /// Share of the open-field wind left in a shelter class.
    #[must_use]
    pub fn factor_of(&self, shelter: Shelter) -> f64 {
        match shelter {
            Shelter::Open => self.factor.open,
            Shelter::Partly => self.factor.partly,
            Shelter::Sheltered => self.factor.sheltered,
        }
    }
}

/// Ratio of the wind at height `z` (m above ground or snow) to the wind at 10 m over the same ground:
/// `ln(z/z0)/ln(10/z0)`, z0 roughness length m (logarithmic profile, textbook). Held to `lowest` from below and to 10 m
/// from above.
///
/// ```
/// use partywall_core::boundary::shelter::log_profile;
/// // Half a metre above short grass: 0.484 of the wind at 10 m.
/// assert!((log_profile(0.5, 0.03, 0.15) - 0.4843).abs() < 1e-3);
/// ```
#[must_use]
pub fn log_profile(z: f64, roughness: f64, lowest: f64) -> f64 {
    let z0 = roughness.clamp(1e-5, 1.0);
    let floor = lowest.max(1.001 * z0).min(RECORD_HEIGHT);
    let z = z.clamp(floor, RECORD_HEIGHT);
    (z / z0).ln() / (RECORD_HEIGHT / z0).ln()
}

/// The stand as the outer faces know it, fixed for a run (or a month).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SiteExposure {
    /// Wind shelter class.
    pub shelter: Shelter,
    /// Reflectance of the ground when no snow lies, 0 to 1.
    pub ground_reflectance: f64,
    /// Snow lies although the record's snow depth is unknown (0): whitens the ground, buries nothing.
    pub snow_cover: bool,
    /// Numbers about the surroundings.
    pub table: Surroundings,
}

impl SiteExposure {
    /// A stand with the shipped numbers.
    ///
    /// # Errors
    /// [`BoundaryError::Table`] if the table built into the program cannot be read.
    pub fn new(shelter: Shelter, snow_cover: bool) -> Result<Self, BoundaryError> {
        let table = Surroundings::shipped()?;
        Ok(Self {
            shelter,
            ground_reflectance: table.ground.bare,
            snow_cover,
            table,
        })
    }

    /// Wind beside a box, m/s, at `z` m above the ground, from the record's wind at 10 m and the snow depth (m). The
    /// snow's surface takes the place of the ground.
    #[must_use]
    pub fn wind_at(&self, record_wind: f64, z: f64, snow_depth: f64) -> f64 {
        let w = &self.table.wind;
        record_wind.clamp(0.0, f64::INFINITY)
            * self.table.factor_of(self.shelter)
            * log_profile(
                z - snow_depth.clamp(0.0, f64::INFINITY),
                w.roughness,
                w.lowest,
            )
    }

    /// Depth of snow on a level lid where it lies so deep on the ground (m), m.
    #[must_use]
    pub fn on_lid(&self, snow_depth: f64) -> f64 {
        let snow = &self.table.snow;
        let exposure = match self.shelter {
            Shelter::Open => snow.open,
            Shelter::Partly => snow.partly,
            Shelter::Sheltered => snow.sheltered,
        };
        snow.lid * exposure * snow_depth
    }

    /// Solar reflectance of the ground, 0 to 1, with the given snow depth (m).
    #[must_use]
    pub fn reflectance(&self, snow_depth: f64) -> f64 {
        if self.snow_cover || snow_depth >= self.table.ground.white_from {
            self.table.ground.snow
        } else {
            self.ground_reflectance
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches a table that does not read, classes in the wrong order, and wind that grows towards the ground.
    #[test]
    fn wind_falls_with_shelter_and_towards_the_ground() {
        let mut before = f64::INFINITY;
        for shelter in [Shelter::Open, Shelter::Partly, Shelter::Sheltered] {
            let site = SiteExposure::new(shelter, false).unwrap();
            let here = site.wind_at(4.0, 0.5, 0.0);
            assert!(here < before && here > 0.0);
            before = here;
            assert!(site.wind_at(4.0, 0.3, 0.0) < here);
            assert!(site.wind_at(4.0, 0.5, 0.2) < here);
        }
        let open = SiteExposure::new(Shelter::Open, false).unwrap();
        assert!((open.wind_at(4.0, 10.0, 0.0) - 4.0).abs() < 1e-12);
        assert!((open.wind_at(4.0, 0.5, 0.0) - 1.937).abs() < 1e-3);
        assert!(open.wind_at(4.0, -1.0, 2.0) > 0.0);
    }

    /// Catches snow that does not whiten the ground.
    #[test]
    fn snow_whitens_the_ground() {
        let bare = SiteExposure::new(Shelter::Open, false).unwrap();
        assert!((bare.reflectance(0.0) - 0.2).abs() < 1e-12);
        assert!((bare.reflectance(0.1) - 0.7).abs() < 1e-12);
        let white = SiteExposure {
            snow_cover: true,
            ..bare
        };
        assert!((white.reflectance(0.0) - 0.7).abs() < 1e-12);
    }
}
