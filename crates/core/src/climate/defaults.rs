//! The values that stand in for missing fields, from the embedded table `defaults.toml`.

use serde::Deserialize;

use crate::climate::error::ClimateError;

/// One value with its range, unit and source.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StandIn {
    /// Value used, in `unit`.
    pub value: f64,
    /// Low end of what is plausible.
    pub low: f64,
    /// High end of what is plausible.
    pub high: f64,
    /// Unit.
    pub unit: String,
    /// Where the value comes from.
    pub source: String,
}

/// Twelve monthly values with their unit and source.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Monthly {
    /// January to December, northern hemisphere, in `unit`.
    pub values: [f64; 12],
    /// Unit.
    pub unit: String,
    /// Where the values come from.
    pub source: String,
}

/// Everything that may stand in for a missing field.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Defaults {
    /// Wind at 10 m, m/s, for a record without wind.
    pub wind: StandIn,
    /// Coefficient of the radiation-from-range formula in the winter half year, K^-0.5.
    pub hargreaves_winter: StandIn,
    /// The same in the summer half year, K^-0.5.
    pub hargreaves_summer: StandIn,
    /// How far the dew point lies below the day's minimum, K, for a record without humidity.
    pub dewpoint_below_minimum: StandIn,
    /// Cloud cover, 0 to 1, where nothing tells it.
    pub cloud_unknown: StandIn,
    /// Hour of the day's maximum, local standard time, h.
    pub maximum_hour: StandIn,
    /// Earliest hour of the day's minimum, h.
    pub earliest_minimum_hour: StandIn,
    /// Latest hour of the day's minimum, h.
    pub latest_minimum_hour: StandIn,
    /// Daily range of temperature, K, for a record of daily means.
    pub daily_range: Monthly,
    /// Standard deviation of winter means about a typical year, K.
    pub typical_year_spread: StandIn,
    /// Base of the degree days until dandelions flower, degC.
    pub dandelion_base: StandIn,
    /// Degree days until dandelions flower, K d.
    pub dandelion_sum: StandIn,
    /// Days from dandelions to dependable nectar.
    pub dandelion_to_nectar: StandIn,
}

impl Defaults {
    /// Reads the embedded table.
    ///
    /// # Errors
    /// Only when the program was built with a broken table.
    pub fn embedded() -> Result<Self, ClimateError> {
        toml::from_str(include_str!("defaults.toml")).map_err(|e| ClimateError::BrokenTable {
            reason: e.to_string(),
        })
    }

    /// Daily range of temperature assumed in a month (1 to 12), K; half a year off in the southern hemisphere.
    #[must_use]
    pub fn range_in(&self, month: i8, latitude_deg: f64) -> f64 {
        let shift = if latitude_deg < 0.0 { 6 } else { 0 };
        let index = (i32::from(month) - 1 + shift).rem_euclid(12);
        usize::try_from(index)
            .ok()
            .and_then(|i| self.daily_range.values.get(i))
            .copied()
            .unwrap_or(0.0)
    }

    /// Radiation coefficient of a month (1 to 12), K^-0.5: winter half October to March in the north, April to
    /// September in the south.
    #[must_use]
    pub fn hargreaves_in(&self, month: i8, latitude_deg: f64) -> f64 {
        let northern_winter = !(4..=9).contains(&month);
        if northern_winter == (latitude_deg >= 0.0) {
            self.hargreaves_winter.value
        } else {
            self.hargreaves_summer.value
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches a table that does not parse, or a value outside its own range or without a source.
    #[test]
    fn the_table_is_whole() {
        let d = Defaults::embedded().unwrap();
        for v in [
            &d.wind,
            &d.hargreaves_winter,
            &d.hargreaves_summer,
            &d.dewpoint_below_minimum,
            &d.cloud_unknown,
            &d.maximum_hour,
            &d.earliest_minimum_hour,
            &d.latest_minimum_hour,
            &d.typical_year_spread,
            &d.dandelion_base,
            &d.dandelion_sum,
            &d.dandelion_to_nectar,
        ] {
            assert!((v.low..=v.high).contains(&v.value), "{v:?}");
            assert!(v.source.len() > 10 && !v.unit.is_empty(), "{v:?}");
        }
    }

    /// Catches seasons not turned round south of the equator.
    #[test]
    fn southern_winters_are_in_july() {
        let d = Defaults::embedded().unwrap();
        assert_eq!(d.range_in(7, -40.0), d.range_in(1, 40.0));
        assert_eq!(d.hargreaves_in(7, -40.0), 0.137);
        assert_eq!(d.hargreaves_in(1, -40.0), 0.16);
        assert_eq!(d.hargreaves_in(1, 40.0), 0.137);
    }
}
