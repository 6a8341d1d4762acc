//! The colony's parameters: one table of data, one typed set of values.

use serde::Deserialize;

/// How well a value is founded.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Evidence {
    /// Stands in the named source.
    Read,
    /// From memory of the literature, not re-read.
    Memory,
    /// Worked out from read or remembered values.
    Derived,
}

/// One row of the parameter table.
#[derive(Debug, Clone, PartialEq, Deserialize, serde::Serialize)]
#[serde(deny_unknown_fields)]
pub struct Parameter {
    /// Name used in files.
    pub key: String,
    /// Symbol used in equations.
    pub symbol: String,
    /// What it is, in words.
    pub name: String,
    /// Unit of the three numbers.
    pub unit: String,
    /// Low end of the plausible range.
    pub low: f64,
    /// Value used unless the scenario says otherwise.
    pub default: f64,
    /// High end of the plausible range.
    pub high: f64,
    /// How well it is founded.
    pub evidence: Evidence,
    /// Where it comes from.
    pub source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    parameter: Vec<Parameter>,
}

/// What can be wrong with a parameter.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ParameterError {
    /// The embedded table does not parse.
    #[error("the parameter table is damaged: {0}")]
    Table(String),
    /// A key the table lacks.
    #[error("unknown colony parameter `{0}`")]
    Unknown(String),
    /// A value outside its range.
    #[error("{key} = {value} {unit} is outside {low} to {high} {unit}")]
    Range {
        /// Key.
        key: String,
        /// Value asked for.
        value: f64,
        /// Unit.
        unit: String,
        /// Low end.
        low: f64,
        /// High end.
        high: f64,
    },
}

/// The table as shipped.
///
/// # Errors
/// [`ParameterError::Table`] when the embedded file is damaged.
pub fn table() -> Result<Vec<Parameter>, ParameterError> {
    toml::from_str::<Table>(include_str!("parameters.toml"))
        .map(|t| t.parameter)
        .map_err(|e| ParameterError::Table(e.to_string()))
}

macro_rules! parameters {
    ($($(#[$doc:meta])* $field:ident = $key:literal * $to_si:expr;)*) => {
        /// One value of every parameter, in SI.
        #[derive(Debug, Clone, PartialEq)]
        pub struct Parameters { $($(#[$doc])* pub $field: f64,)* }

        impl Parameters {
            /// The shipped defaults with the scenario's own values (in the table's units) put over them.
            ///
            /// # Errors
            /// An unknown key, or a value outside the table's range.
            pub fn with(overrides: &[(String, f64)]) -> Result<Self, ParameterError> {
                let table = table()?;
                for (key, value) in overrides {
                    let row = table.iter().find(|p| &p.key == key).ok_or_else(|| ParameterError::Unknown(key.clone()))?;
                    if !(row.low..=row.high).contains(value) {
                        return Err(ParameterError::Range {
                            key: key.clone(), value: *value, unit: row.unit.clone(), low: row.low, high: row.high,
                        });
                    }
                }
                let value = |key: &str| {
                    overrides.iter().rev().find(|(k, _)| k == key).map(|(_, v)| *v)
                        .or_else(|| table.iter().find(|p| p.key == key).map(|p| p.default))
                        .ok_or_else(|| ParameterError::Unknown(key.to_owned()))
                };
                Ok(Self { $($field: value($key)? * $to_si,)* })
            }
        }
    };
}

parameters! {
    /// Mass of one worker, kg.
    bee_mass = "bee_mass" * 1e-3;
    /// Deaths per bee and day without brood, 1/d.
    death_rate_per_day = "death_rate" * 1.0;
    /// Deaths per bee and day at full brood, 1/d.
    death_rate_brood_per_day = "death_rate_brood" * 1.0;
    /// Usable energy of honey, J/kg.
    honey_energy = "honey_energy" * 1e6;
    /// Water given off per kg of honey burnt, kg/kg.
    honey_water = "honey_water" * 1.0;
    /// Conductivity of the cluster, W/mK.
    cluster_conductivity = "cluster_conductivity" * 1.0;
    /// Specific heat of bees, J/kgK.
    bee_specific_heat = "bee_specific_heat" * 1.0;
    /// Surface coefficient of the cluster, W/m2K.
    cluster_film = "cluster_film" * 1.0;
    /// Resting heat at 20 degC, W/kg.
    rest_heat_20 = "rest_heat_20" * 1.0;
    /// Factor of resting heat per 10 K.
    q10 = "q10" * 1.0;
    /// Largest sustained heat, W/kg.
    heat_max = "heat_max" * 1.0;
    /// Bees per m3 of cluster at +4 degC.
    bees_per_m3 = "bees_per_litre" * 1e3;
    /// Volume lost per kelvin below +4 degC, 1/K.
    contraction = "contraction" * 1.0;
    /// Volume gained per kelvin above +4 degC, compound, 1/K.
    loosening = "loosening" * 1.0;
    /// Surface temperature defended, degC.
    mantle_c = "mantle_temperature" * 1.0;
    /// Core temperature held without brood, degC.
    core_c = "core_temperature" * 1.0;
    /// Core temperature a broodless cluster does not exceed, degC.
    core_ceiling_c = "core_ceiling" * 1.0;
    /// Core temperature with brood, degC.
    brood_c = "brood_temperature" * 1.0;
    /// Chill coma, degC.
    chill_coma_c = "chill_coma" * 1.0;
    /// Hours in coma that kill, h.
    coma_lethal_h = "coma_hours" * 1.0;
    /// Share of bees making extra heat.
    core_share = "core_share" * 1.0;
    /// Bees reared per adult and day at full brood, 1/d.
    brood_per_bee_day = "brood_per_bee" * 1.0;
    /// Most bees reared per day, 1/d.
    brood_max_day = "brood_max" * 1.0;
    /// Honey per bee reared without heating, kg.
    brood_food = "brood_food" * 1e-3;
    /// Brood cells per m3 of brood nest.
    brood_cells_per_m3 = "brood_cells" * 1e3;
    /// Upward creep, m/d.
    creep_per_day = "creep" * 1e-3;
    /// How far beyond its surface a cluster feeds, m.
    contact_reach = "contact_reach" * 1e-3;
    /// Honey in a bee's crop that it lives on, kg.
    crop = "crop" * 1e-3;
    /// Air at which the cluster is complete and moves no faster than it creeps, degC.
    cluster_complete_c = "cluster_complete" * 1.0;
    /// Hive air needed to change seams, degC.
    move_c = "move_temperature" * 1.0;
    /// Time that warm before seams are changed, s.
    move_time = "move_hours" * 3600.0;
    /// Speed of a loosened cluster, m/s.
    cross_speed = "cross_speed" * 1e-3 / 3600.0;
    /// Hive air in which bees fetch honey from all over their hive, degC.
    carry_c = "carry_temperature" * 1.0;
    /// Honey that bees fetch so, kg per kg of bees and second.
    carry_rate = "carry_rate" * 1e-3 / 3600.0;
    /// Speed along the seams at the moving temperature, m/d.
    seam_speed_per_day = "seam_speed" * 1e-3;
    /// Gradient at which a cluster goes towards warmth at full speed, K/m.
    warmth_gradient = "warmth_gradient" * 1.0;
    /// Temperature that kills a bee outright, degC.
    cold_death_c = "cold_death" * 1.0;
    /// Mean outside air of a week that starts brood, degC.
    brood_onset_c = "brood_onset" * 1.0;
    /// Days after the start of its season when brood starts without warmth.
    brood_wait_days = "brood_wait" * 1.0;
    /// Largest share of the cluster's volume that is brood nest.
    brood_room = "brood_room" * 1.0;
    /// Honey in the hive below which less brood is begun, kg.
    brood_stores = "brood_stores" * 1.0;
    /// Pollen per worker reared, kg.
    pollen_per_bee = "pollen_per_bee" * 1e-3;
    /// Air at which the first bees fly, degC.
    flight_first_c = "flight_first" * 1.0;
    /// Air of cleansing flights in sun, degC.
    flight_cleansing_c = "flight_cleansing" * 1.0;
    /// Air of foraging flights, degC.
    flight_warm_c = "flight_warm" * 1.0;
    /// Global irradiance at which light no longer limits flight, W/m2.
    flight_light = "flight_light" * 1.0;
    /// Wind at which flight ends, m/s.
    flight_wind = "flight_wind" * 1.0;
    /// Share of the bees on the wing on a fully good winter hour.
    flight_share = "flight_share" * 1.0;
    /// Power of one bee out in air of 19 degC, W.
    flyer_heat = "flyer_heat" * 1e-3;
    /// More of that power per kelvin of colder air, W/K.
    flyer_slope = "flyer_slope" * 1e-3;
    /// Outside air below which no syrup is taken, degC.
    syrup_c = "syrup_temperature" * 1.0;
    /// Syrup taken by one bee in warm weather, kg/d.
    syrup_per_bee_day = "syrup_rate" * 1e-4;
    /// Time constant of drying syrup to stores, d.
    syrup_curing_days = "syrup_curing" * 1.0;
    /// Stores per kg of sugar, kg/kg.
    sugar_yield = "sugar_yield" * 1.0;
    /// Sugar in fondant, kg/kg.
    fondant_sugar = "fondant_sugar" * 1.0;
    /// Width of the cracks of joints, m.
    crack_width = "crack_width" * 1e-3;
    /// Flow through a narrow opening against an orifice.
    opening_factor = "opening_factor" * 1.0;
    /// Share of a cluster's heat that rises with the air it warms.
    plume_share = "plume_share" * 1.0;
}

/// Carbon dioxide from a kilogram of honey, kg: 82 parts sugar in a hundred, all of it burnt (stoichiometry of hexoses, 1.466 kg a
/// kilogram of them).
const CARBON_DIOXIDE: f64 = 1.21;
/// Heat of evaporation of water at 0 degC, J/kg (ASHRAE Fundamentals ch. 1, rounded).
const EVAPORATION: f64 = 2.50e6;

impl Parameters {
    /// Carbon dioxide that bees give off when they make `heat` watts, kg/s.
    #[must_use]
    pub fn carbon_dioxide(&self, heat: f64) -> f64 {
        CARBON_DIOXIDE * heat / self.honey_energy
    }

    /// Water that they give off then, as vapour, kg/s.
    #[must_use]
    pub fn water(&self, heat: f64) -> f64 {
        self.honey_water * heat / self.honey_energy
    }

    /// Share of their heat that goes into that vapour: all of the water evaporates.
    #[must_use]
    pub fn latent_share(&self) -> f64 {
        self.honey_water * EVAPORATION / self.honey_energy
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches a default outside its own range, a doubled key, a row without a source.
    #[test]
    fn table_is_sound() {
        let t = table().unwrap();
        for (i, p) in t.iter().enumerate() {
            assert!(p.low <= p.default && p.default <= p.high, "{}", p.key);
            assert!(!p.source.is_empty() && !p.unit.is_empty(), "{}", p.key);
            assert!(
                t[..i]
                    .iter()
                    .all(|q| q.key != p.key && q.symbol != p.symbol),
                "{}",
                p.key
            );
        }
    }

    /// Catches a row that no field reads or a field without a row.
    #[test]
    fn overrides_reach_the_set_and_bad_ones_are_refused() {
        let p = Parameters::with(&[("mantle_temperature".into(), 12.0)]).unwrap();
        assert_eq!(p.mantle_c, 12.0);
        assert!(matches!(
            Parameters::with(&[("mantle".into(), 12.0)]),
            Err(ParameterError::Unknown(_))
        ));
        assert!(matches!(
            Parameters::with(&[("q10".into(), f64::NAN)]),
            Err(ParameterError::Range { .. })
        ));
        for row in table().unwrap() {
            let mut v = row.high;
            if v == row.default {
                v = row.low;
            }
            let changed = Parameters::with(&[(row.key.clone(), v)]).unwrap();
            assert_ne!(
                changed,
                Parameters::with(&[]).unwrap(),
                "{} is read by nothing",
                row.key
            );
        }
    }
}
