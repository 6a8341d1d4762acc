//! Combs and seams as one anisotropic solid, or apart, and the parameters both rest on.

use std::collections::BTreeMap;

use serde::Deserialize;

use super::error::HiveError;
use super::gap::{HeatFlow, airspace_resistance};
use crate::heat::{AIR_HEAT_CAPACITY, Solid};
use crate::materials::Materials;
use crate::stand::HiveBox;

/// The table shipped with the program.
const TABLE: &str = include_str!("combs.toml");

/// One row of the table.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CombParameter {
    /// Default, in `unit`.
    pub value: f64,
    /// SI unit of the value.
    pub unit: String,
    /// Least and greatest sensible value.
    pub range: [f64; 2],
    /// What it is.
    pub what: String,
    /// Where it comes from.
    pub source: String,
}

/// The table of comb and seam parameters with sources, by key.
///
/// # Errors
/// [`HiveError::CombTable`] if the embedded table is damaged (a test guards it).
pub fn comb_table() -> Result<BTreeMap<String, CombParameter>, HiveError> {
    toml::from_str(TABLE).map_err(|e| HiveError::CombTable {
        message: e.to_string(),
    })
}

/// The parameters a scenario sets for itself that belong to the colony; the rest belong to the combs.
///
/// # Errors
/// A damaged table of combs.
pub fn colony_overrides(set: &[(String, f64)]) -> Result<Vec<(String, f64)>, HiveError> {
    let combs = comb_table()?;
    Ok(set
        .iter()
        .filter(|(key, _)| !combs.contains_key(key))
        .cloned()
        .collect())
}

/// Values of combs, seams and small air spaces.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CombParameters {
    /// Conductivity of the still air in a seam upwards and along the comb, W/mK.
    pub seam_still: f64,
    /// Dew a wall, a comb or the floor holds, kg/m2.
    pub run_off: f64,
    /// Dew that hangs under a lid before it drips, kg/m2.
    pub lid_holds: f64,
    /// Exchange through the open area between two air spaces, W/m2K.
    pub open_exchange: f64,
    /// Space over the top bars, m.
    pub head_space: f64,
    /// Widest side space treated as a layer, m.
    pub narrow: f64,
    /// Thickness of an end bar, m.
    pub end_bar: f64,
    /// Frame wood per area of comb, kg/m2.
    pub frame_wood: f64,
    /// Share of the comb-free height of a box that lies below the comb, -.
    pub bottom_share: f64,
}

impl CombParameters {
    /// The shipped values, with those replaced whose key is in `overrides` (other keys are left to other rooms).
    ///
    /// # Errors
    /// [`HiveError::CombTable`]; [`HiveError::CombValue`] for an override outside the range in the table.
    pub fn with_overrides(overrides: &[(String, f64)]) -> Result<Self, HiveError> {
        let table = comb_table()?;
        let get = |key: &'static str| -> Result<f64, HiveError> {
            let row = table.get(key).ok_or_else(|| HiveError::CombTable {
                message: format!("{key} is missing"),
            })?;
            let value = overrides
                .iter()
                .rev()
                .find(|(k, _)| k == key)
                .map_or(row.value, |(_, v)| *v);
            let [low, high] = row.range;
            if !(low..=high).contains(&value) {
                return Err(HiveError::CombValue {
                    key,
                    value,
                    unit: row.unit.clone(),
                    low,
                    high,
                });
            }
            Ok(value)
        };
        Ok(Self {
            seam_still: get("seam_still")?,
            run_off: get("run_off")?,
            lid_holds: get("lid_holds")?,
            open_exchange: get("open_exchange")?,
            head_space: get("head_space")?,
            narrow: get("narrow")?,
            end_bar: get("end_bar")?,
            frame_wood: get("frame_wood")?,
            bottom_share: get("bottom_share")?,
        })
    }
}

/// A comb column of one box: what its cells are made of, empty and full of honey.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CombColumn {
    /// Comb and seam as one solid, no honey.
    pub empty: Solid,
    /// Comb and seam as one solid, every cell full of honey.
    pub full: Solid,
    /// Comb alone, no honey.
    pub comb_empty: Solid,
    /// Comb alone, full.
    pub comb_full: Solid,
    /// Seam alone.
    pub seam: Solid,
    /// Comb thickness, m.
    pub comb: f64,
    /// Seam width, m.
    pub gap: f64,
}

impl CombColumn {
    /// Effective properties of the combs of one box at `pitch` (m) in a column `height` (m) high.
    ///
    /// With comb thickness `t`, seam `s = p - t`, comb conductivity `kc`: across the combs in series
    /// `kx = p / (t/kc + R(s))`, `R` the airspace resistance of ISO 6946; along and up in parallel
    /// `(t kc + s k)/p` with the conductivity `k` of still air. The heat capacity spreads wax, frame wood and honey (by the mass
    /// a full frame holds) over the column's whole volume, bars and bee spaces included.
    pub fn of(
        b: &HiveBox,
        pitch: f64,
        height: f64,
        p: &CombParameters,
        materials: &Materials,
    ) -> Result<Self, HiveError> {
        let empty_comb = materials.get("empty-comb")?;
        let honey_comb = materials.get("honey-comb")?;
        let honey = materials.get("honey")?;
        let wood = materials.get("softwood")?;
        let t = b.comb_thickness;
        let s = pitch - t;
        let seam_r = airspace_resistance(s, HeatFlow::Horizontal);
        let frame_area = b.comb_length * b.comb_height;
        let volume = pitch * b.comb_length * height;
        let capacity_empty =
            frame_area * (t * empty_comb.heat_capacity() + p.frame_wood * wood.specific_heat);
        let capacity_full = capacity_empty + b.full_frame * honey.specific_heat;
        let mix = |kc: f64, rho_c: f64| Solid {
            k: [
                pitch / (t / kc + seam_r),
                (t * kc + s * p.seam_still) / pitch,
                (t * kc + s * p.seam_still) / pitch,
            ],
            rho_c,
        };
        let comb_volume = t * b.comb_length * height;
        let comb = |kc: f64, capacity: f64| Solid {
            k: [kc; 3],
            rho_c: capacity / comb_volume,
        };
        let air = s / pitch * AIR_HEAT_CAPACITY;
        Ok(Self {
            empty: mix(empty_comb.conductivity, capacity_empty / volume + air),
            full: mix(honey_comb.conductivity, capacity_full / volume + air),
            comb_empty: comb(empty_comb.conductivity, capacity_empty),
            comb_full: comb(honey_comb.conductivity, capacity_full),
            seam: Solid {
                k: [s / seam_r, p.seam_still, p.seam_still],
                rho_c: AIR_HEAT_CAPACITY,
            },
            comb: t,
            gap: s,
        })
    }
}

/// A narrow space (width `s`, m) between combs and a wall as a solid: across by the airspace resistance of ISO 6946,
/// upwards and along by the still air of a seam.
#[must_use]
pub fn narrow_space(s: f64, p: &CombParameters) -> Solid {
    Solid {
        k: [
            s / airspace_resistance(s, HeatFlow::Horizontal),
            p.seam_still,
            p.seam_still,
        ],
        rho_c: AIR_HEAT_CAPACITY,
    }
}

/// The layer (thickness `e`, m) between comb ends and wall: end bar and air, in series along y, in parallel along z. Between
/// the end bars of neighbouring frames the seam opens into it, so sideways the air share carries as along a seam.
pub fn frame_ends(e: f64, p: &CombParameters, materials: &Materials) -> Result<Solid, HiveError> {
    let wood = materials.get("softwood")?;
    let bar = p.end_bar.min(0.5 * e);
    let air = e - bar;
    let mixed = |k_air: f64| (bar * wood.conductivity + air * k_air) / e;
    Ok(Solid {
        k: [
            mixed(p.seam_still),
            e / (bar / wood.conductivity + airspace_resistance(air, HeatFlow::Horizontal)),
            mixed(p.seam_still),
        ],
        rho_c: (bar * wood.heat_capacity() + air * AIR_HEAT_CAPACITY) / e,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Would catch a parameter without source, outside its own range, or a key the program reads that the table lacks.
    #[test]
    fn table_is_sound() {
        for (key, row) in comb_table().unwrap() {
            assert!(
                row.range[0] <= row.value && row.value <= row.range[1],
                "{key}"
            );
            assert!(
                !row.source.is_empty() && !row.what.is_empty() && !row.unit.is_empty(),
                "{key}"
            );
        }
        CombParameters::with_overrides(&[]).unwrap();
    }

    /// Would catch an override that is ignored, or one out of range that is taken.
    #[test]
    fn overrides_are_taken_and_checked() {
        let p = CombParameters::with_overrides(&[("seam_still".into(), 0.1), ("q10".into(), 2.0)])
            .unwrap();
        assert_eq!(p.seam_still, 0.1);
        assert!(matches!(
            CombParameters::with_overrides(&[("seam_still".into(), 500.0)]),
            Err(HiveError::CombValue {
                key: "seam_still",
                ..
            })
        ));
        assert!(CombParameters::with_overrides(&[("seam_still".into(), f64::NAN)]).is_err());
    }
}
