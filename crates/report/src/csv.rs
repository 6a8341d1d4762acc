//! Results and traces as CSV.

use partywall_core::answer::run::RunResult;
use partywall_core::answer::update::UpdateResult;
use partywall_core::decision::update::{Forecast, Range};
use partywall_core::season::trace::Trace;
use partywall_core::spreadsheet::harmless;

/// A table that a spreadsheet opens: no cell is taken for a formula.
pub(crate) struct Sheet(::csv::Writer<Vec<u8>>);

impl Sheet {
    /// A table with its heads.
    pub(crate) fn new<C: AsRef<str>>(
        heads: impl IntoIterator<Item = C>,
    ) -> Result<Self, ::csv::Error> {
        let mut sheet = Self(::csv::Writer::from_writer(Vec::new()));
        sheet.row(heads)?;
        Ok(sheet)
    }

    /// One row more.
    pub(crate) fn row<C: AsRef<str>>(
        &mut self,
        cells: impl IntoIterator<Item = C>,
    ) -> Result<(), ::csv::Error> {
        for cell in cells {
            self.0.write_field(harmless(cell.as_ref()).as_ref())?;
        }
        self.0.write_record(None::<&[u8]>)
    }

    /// Its bytes.
    pub(crate) fn bytes(self) -> Result<Vec<u8>, ::csv::Error> {
        self.0
            .into_inner()
            .map_err(|e| ::csv::Error::from(e.into_error()))
    }
}

/// Rows of a result that is data already: the named columns of each, text as it is, nothing for what a row lacks.
///
/// # Errors
/// Writing failed.
pub fn table(columns: &[&str], rows: &[serde_json::Value]) -> Result<Vec<u8>, ::csv::Error> {
    let mut out = Sheet::new(columns)?;
    for row in rows {
        out.row(columns.iter().map(|c| match &row[*c] {
            serde_json::Value::Null => String::new(),
            serde_json::Value::String(s) => s.clone(),
            other => other.to_string(),
        }))?;
    }
    out.bytes()
}

/// Winter by winter, one row per colony and winter.
///
/// # Errors
/// Writing failed.
pub fn winters(result: &RunResult) -> Result<Vec<u8>, ::csv::Error> {
    let mut out = Sheet::new([
        "colony",
        "winter",
        "eaten_kg",
        "eaten_apart_kg",
        "fed_to_brood_kg",
        "starved",
        "beside_honey_kg",
        "left_kg",
        "chill_coma_h",
        "bees_left",
        "least_heat_in_hand_k",
        "warmth_dec_feb_k",
        "water_made_kg",
        "water_carried_kg",
        "water_through_kg",
        "water_run_off_kg",
        "water_in_wood_kg",
        "lid_most_kg",
        "lid_most_on",
        "dripped_kg",
        "dripped_on_bees_kg",
        "drip_days",
        "first_drip",
        "air_l_s",
    ])?;
    for c in &result.colonies {
        for w in &c.winters {
            out.row([
                c.stack.clone(),
                w.winter.clone(),
                format!("{:.3}", w.eaten),
                w.eaten_apart
                    .map_or_else(String::new, |v| format!("{v:.3}")),
                format!("{:.3}", w.fed_to_brood),
                w.starved.map_or_else(String::new, |s| s.date.to_string()),
                w.starved
                    .and_then(|s| s.beside_honey)
                    .map_or_else(String::new, |kg| format!("{kg:.3}")),
                format!("{:.3}", w.left),
                format!("{:.0}", w.chilled_hours),
                format!("{:.0}", w.bees_left),
                format!("{:.2}", w.heat_in_hand),
                format!("{:.2}", w.warmth_mid_winter),
                format!("{:.3}", w.water.made),
                format!("{:.3}", w.water.carried),
                format!("{:.3}", w.water.through),
                format!("{:.3}", w.water.run_off),
                format!("{:.3}", w.water.in_wood),
                format!("{:.3}", w.water.lid_most),
                w.water
                    .lid_most_on
                    .map_or_else(String::new, |d| d.to_string()),
                format!("{:.3}", w.water.dripped),
                format!("{:.3}", w.water.on_bees),
                w.water.drip_days.to_string(),
                w.water
                    .first_drip
                    .map_or_else(String::new, |d| d.to_string()),
                format!("{:.3}", w.water.air),
            ])?;
        }
    }
    out.bytes()
}

/// Hour by hour, one row per hour and colony.
///
/// # Errors
/// Writing failed.
pub fn trace(trace: &Trace, stacks: &[String]) -> Result<Vec<u8>, ::csv::Error> {
    let mut out = Sheet::new([
        "time",
        "colony",
        "outdoor_c",
        "around_cluster_c",
        "mantle_c",
        "core_c",
        "heat_w",
        "heat_in_hand_k",
        "eaten_kg",
        "stores_kg",
        "in_contact_kg",
        "bees",
        "brood_cells",
        "radius_mm",
        "x_mm",
        "y_mm",
        "z_mm",
    ])?;
    for row in &trace.rows {
        for (c, stack) in row.colonies.iter().zip(stacks) {
            let m = &c.moment;
            out.row([
                m.time.strftime("%Y-%m-%dT%H:%M").to_string(),
                stack.clone(),
                format!("{:.2}", m.outdoor_c),
                format!("{:.2}", m.around_c),
                format!("{:.2}", m.mantle_c),
                format!("{:.2}", m.core_c),
                format!("{:.3}", m.heat),
                format!("{:.2}", m.heat_in_hand),
                format!("{:.4}", c.eaten),
                format!("{:.3}", c.stores),
                format!("{:.3}", c.in_contact),
                format!("{:.0}", c.bees),
                format!("{:.0}", c.brood_cells),
                format!("{:.0}", c.radius * 1e3),
                format!("{:.0}", c.centre[0] * 1e3),
                format!("{:.0}", c.centre[1] * 1e3),
                format!("{:.0}", c.centre[2] * 1e3),
            ])?;
        }
    }
    out.bytes()
}

/// What weighings in winter tell, one row a hive; masses in kg.
///
/// # Errors
/// Writing failed.
pub fn weighings(r: &UpdateResult) -> Result<Vec<u8>, ::csv::Error> {
    let rows: Vec<serde_json::Value> = r
        .hives
        .iter()
        .map(|h| {
            let f = h.forecast.as_ref();
            let number = |get: fn(&Forecast) -> f64| f.map(|f| (get(f) * 1000.0).round() / 1000.0);
            let after = h.after.unwrap_or(Range { low: None, middle: None, high: None });
            serde_json::json!({
                "hive": h.hive,
                "weighed": h.weighings.last().map(|w| w.weighing.date.to_string()),
                "gross_kg": h.weighings.last().map(|w| w.weighing.gross),
                "out_before_low": h.before.low, "out_before_middle": h.before.middle, "out_before_high": h.before.high,
                "out_low": after.low, "out_middle": after.middle, "out_high": after.high,
                "stores_low_kg": number(|f| f.stores_now.low),
                "stores_middle_kg": number(|f| f.stores_now.middle),
                "stores_high_kg": number(|f| f.stores_now.high),
                "missing_kg": number(|f| f.missing),
                "runs_out_share": number(|f| f.runs_out),
                "sugar_kg": h.feed.map(|f| (f.sugar * 10.0).round() / 10.0),
                "feed_by": h.feed_by,
            })
        })
        .collect();
    let columns = [
        "hive",
        "weighed",
        "gross_kg",
        "out_before_low",
        "out_before_middle",
        "out_before_high",
        "out_low",
        "out_middle",
        "out_high",
        "stores_low_kg",
        "stores_middle_kg",
        "stores_high_kg",
        "missing_kg",
        "runs_out_share",
        "sugar_kg",
        "feed_by",
    ];
    table(&columns, &rows)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches columns out of order, quotes around plain text, and commas in text that break a row.
    #[test]
    fn tables_keep_their_columns() {
        let rows = [
            serde_json::json!({"b": 1.5, "a": "x, y", "c": null}),
            serde_json::json!({"a": "z", "b": true}),
        ];
        let text = String::from_utf8(table(&["a", "b", "c"], &rows).unwrap()).unwrap();
        assert_eq!(text, "a,b,c\n\"x, y\",1.5,\nz,true,\n");
    }
}
