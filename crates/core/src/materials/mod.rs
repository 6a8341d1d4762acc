//! The material table: what a hive may be built of, and what a scenario adds to it.

use std::collections::BTreeMap;

use serde::Deserialize;
use thiserror::Error;

use crate::units;

/// A material the scenario adds or changes.
#[derive(Debug, Clone, PartialEq)]
pub struct MaterialOverride {
    /// Key, new or known.
    pub key: String,
    /// Conductivity, W/mK.
    pub conductivity: f64,
    /// Density, kg/m3.
    pub density: f64,
    /// Specific heat, J/kgK.
    pub specific_heat: f64,
}

/// The table shipped with the program.
const TABLE: &str = include_str!("materials.toml");

/// Bounds outside which a conductivity is taken for a slip of the pen, W/mK: below still gas under vacuum panels
/// (0.004) or above copper (400).
const CONDUCTIVITY_BOUNDS: [f64; 2] = [0.003, 400.0];
/// The same for density, kg/m3: air to lead.
const DENSITY_BOUNDS: [f64; 2] = [1.0, 12_000.0];
/// The same for specific heat, J/kgK: lead to water.
const SPECIFIC_HEAT_BOUNDS: [f64; 2] = [100.0, 4_300.0];

/// What can be wrong with a material or the table of them.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum MaterialError {
    /// The embedded table is not valid TOML of the expected shape.
    #[error("the material table cannot be read: {message}")]
    Table {
        /// What the reader said.
        message: String,
    },
    /// A key that is in neither the table nor the scenario.
    #[error("no material is called \"{key}\"{}", .nearest.as_ref().map(|n| format!(" (did you mean \"{n}\"?)")).unwrap_or_default())]
    Unknown {
        /// The key asked for.
        key: String,
        /// The closest key there is, if any is close.
        nearest: Option<String>,
    },
    /// A property out of physical bounds.
    #[error("material \"{key}\": {property} {value} is outside {low} to {high} {unit}")]
    OutOfBounds {
        /// Material key.
        key: String,
        /// Which property.
        property: &'static str,
        /// The value given.
        value: f64,
        /// Lowest value accepted.
        low: f64,
        /// Highest value accepted.
        high: f64,
        /// Unit of the three numbers.
        unit: &'static str,
    },
}

/// A material in a sentence for a keeper: boards of foam by what they are, with the letters of the label; any other by its key.
///
/// ```
/// use partywall_core::materials::in_words;
/// assert_eq!(in_words("xps"), "foam board (XPS)");
/// assert_eq!(in_words("plywood"), "plywood");
/// ```
#[must_use]
pub fn in_words(key: &str) -> &str {
    match key {
        // The trade's words: pink or blue, smooth; white, of pressed beads; yellow, faced.
        "xps" => "foam board (XPS)",
        "eps" => "bead board (EPS)",
        "pir" => "foam board (PIR)",
        "pu" => "foam board (PU)",
        other => other,
    }
}

/// One material.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Material {
    /// Key, filled in from the table's section name.
    #[serde(skip)]
    pub key: String,
    /// What it is, in trade words.
    pub label: String,
    /// Thermal conductivity, W/mK.
    pub conductivity: f64,
    /// Spread of the conductivity in the sources, W/mK.
    #[serde(default)]
    pub range: Option<[f64; 2]>,
    /// Density, kg/m3.
    pub density: f64,
    /// Specific heat, J/kgK.
    pub specific_heat: f64,
    /// Vapour resistance factor against still air (dry), -; `None` when not known.
    #[serde(default)]
    pub vapour_resistance: Option<f64>,
    /// Whether it takes up water as wood does.
    #[serde(default)]
    pub absorbs: bool,
    /// Solar absorptance of the bare surface, 0 to 1; `None` when not known.
    #[serde(default)]
    pub solar_absorptance: Option<f64>,
    /// Thermal emissivity of the bare surface, 0 to 1; `None` when not known.
    #[serde(default)]
    pub emissivity: Option<f64>,
    /// Where the values come from.
    pub source: String,
    /// Names of the values that were not re-read in a source.
    #[serde(default)]
    pub from_memory: Vec<String>,
}

impl Material {
    /// Heat capacity per volume, J/m3K.
    #[must_use]
    pub fn heat_capacity(&self) -> f64 {
        self.density * self.specific_heat
    }

    fn check(&self) -> Result<(), MaterialError> {
        let rows = [
            (
                "conductivity",
                self.conductivity,
                CONDUCTIVITY_BOUNDS,
                "W/mK",
            ),
            ("density", self.density, DENSITY_BOUNDS, "kg/m3"),
            (
                "specific heat",
                self.specific_heat,
                SPECIFIC_HEAT_BOUNDS,
                "J/kgK",
            ),
        ];
        for (property, value, [low, high], unit) in rows {
            if !(low..=high).contains(&value) {
                return Err(MaterialError::OutOfBounds {
                    key: self.key.clone(),
                    property,
                    value,
                    low,
                    high,
                    unit,
                });
            }
        }
        Ok(())
    }
}

/// All materials a scenario may name.
#[derive(Debug, Clone, PartialEq)]
pub struct Materials {
    by_key: BTreeMap<String, Material>,
}

impl Materials {
    /// The table shipped with the program.
    ///
    /// # Errors
    /// [`MaterialError::Table`] if the embedded table is damaged (a test guards it), [`MaterialError::OutOfBounds`].
    pub fn builtin() -> Result<Self, MaterialError> {
        Self::parse(TABLE)
    }

    /// The shipped table with a scenario's own materials added or put in place of the shipped ones.
    ///
    /// # Errors
    /// As [`Materials::builtin`], and [`MaterialError::OutOfBounds`] for a scenario's value beyond physical bounds.
    pub fn with_overrides(overrides: &[MaterialOverride]) -> Result<Self, MaterialError> {
        let mut all = Self::builtin()?;
        for o in overrides {
            let known = all.by_key.get(&o.key);
            let material = Material {
                key: o.key.clone(),
                label: known.map_or_else(|| o.key.clone(), |m| m.label.clone()),
                conductivity: o.conductivity,
                range: None,
                density: o.density,
                specific_heat: o.specific_heat,
                vapour_resistance: known.and_then(|m| m.vapour_resistance),
                absorbs: known.is_some_and(|m| m.absorbs),
                solar_absorptance: known.and_then(|m| m.solar_absorptance),
                emissivity: known.and_then(|m| m.emissivity),
                source: "the scenario".to_owned(),
                from_memory: Vec::new(),
            };
            material.check()?;
            all.by_key.insert(o.key.clone(), material);
        }
        Ok(all)
    }

    fn parse(text: &str) -> Result<Self, MaterialError> {
        let mut by_key: BTreeMap<String, Material> =
            toml::from_str(text).map_err(|e| MaterialError::Table {
                message: e.to_string(),
            })?;
        for (key, material) in &mut by_key {
            material.key.clone_from(key);
            material.check()?;
        }
        Ok(Self { by_key })
    }

    /// Looks a material up.
    ///
    /// # Errors
    /// [`MaterialError::Unknown`] with the nearest known key.
    pub fn get(&self, key: &str) -> Result<&Material, MaterialError> {
        self.by_key.get(key).ok_or_else(|| MaterialError::Unknown {
            key: key.to_owned(),
            nearest: units::nearest(key, self.keys()).map(str::to_owned),
        })
    }

    /// All keys in alphabetical order.
    pub fn keys(&self) -> impl Iterator<Item = &str> {
        self.by_key.keys().map(String::as_str)
    }

    /// All materials in the order of their keys.
    pub fn iter(&self) -> impl Iterator<Item = &Material> {
        self.by_key.values()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Would catch a damaged table, a value out of bounds, a missing source, or a conductivity outside its own range.
    #[test]
    fn shipped_table_is_sound() {
        let all = Materials::builtin().unwrap();
        assert!(all.iter().count() >= 33);
        for m in all.iter() {
            assert!(!m.source.is_empty(), "{} has no source", m.key);
            if let Some([low, high]) = m.range {
                assert!(
                    low <= m.conductivity && m.conductivity <= high,
                    "{} outside its range",
                    m.key
                );
            }
            for share in [m.solar_absorptance, m.emissivity].into_iter().flatten() {
                assert!((0.0..=1.0).contains(&share), "{}", m.key);
            }
            let known = [
                "conductivity",
                "density",
                "specific_heat",
                "vapour_resistance",
                "solar_absorptance",
                "emissivity",
            ];
            for f in &m.from_memory {
                assert!(
                    known.contains(&f.as_str()),
                    "{}: from_memory names {f}",
                    m.key
                );
            }
        }
    }

    /// Would catch a key dropped or renamed: scenario files and the reader rely on these.
    #[test]
    fn agreed_keys_are_there() {
        let all = Materials::builtin().unwrap();
        for key in "softwood pine spruce cedar larch plywood osb fibreboard eps xps pir pu mineral-wool glass-fibre \
                    cellulose cork straw shavings wool cotton cardboard honey honey-comb beeswax empty-comb aluminium \
                    steel bitumen-felt pe-sheet air snow water ice"
            .split_whitespace()
        {
            assert!(all.get(key).is_ok(), "{key}");
        }
    }

    /// Would catch the table's woods drifting from k = G (B + C x) + A, A 0.01864, B 0.1941, C 0.004064 at x = 12 %.
    #[test]
    fn woods_follow_the_wood_handbook() {
        let all = Materials::builtin().unwrap();
        for (key, g) in [
            ("pine", 0.37),
            ("spruce", 0.37),
            ("cedar", 0.33),
            ("larch", 0.55),
        ] {
            let k = g * (0.1941 + 0.004064 * 12.0) + 0.01864;
            assert!(
                (all.get(key).unwrap().conductivity - k).abs() < 6e-4,
                "{key}: {k}"
            );
        }
    }

    /// Would catch an override that is ignored, or one that loses the surface values of the material it replaces.
    #[test]
    fn overrides_replace_and_add() {
        let own = |key: &str, k: f64| MaterialOverride {
            key: key.to_owned(),
            conductivity: k,
            density: 300.0,
            specific_heat: 1500.0,
        };
        let all = Materials::with_overrides(&[own("pine", 0.2), own("felted-hemp", 0.05)]).unwrap();
        assert_eq!(all.get("pine").unwrap().conductivity, 0.2);
        assert_eq!(all.get("pine").unwrap().emissivity, Some(0.90));
        assert_eq!(all.get("felted-hemp").unwrap().heat_capacity(), 450_000.0);
        assert!(matches!(
            Materials::with_overrides(&[own("pine", -0.1)]),
            Err(MaterialError::OutOfBounds {
                property: "conductivity",
                ..
            })
        ));
        assert!(Materials::with_overrides(&[own("pine", f64::NAN)]).is_err());
    }

    /// Would catch a useless or misleading "did you mean".
    #[test]
    fn unknown_key_names_the_nearest() {
        let all = Materials::builtin().unwrap();
        let said = all.get("aluminum").unwrap_err().to_string();
        assert!(said.contains("\"aluminium\""), "{said}");
        assert!(matches!(
            all.get("unobtainium"),
            Err(MaterialError::Unknown { nearest: None, .. })
        ));
    }
}
