//! A stand without colonies: how warm its heaters keep it.

use super::Failure;
use crate::cli::Format;
use partywall_core::heat::{Drive, Film, LinearSolver, steady};
use partywall_core::hive::{self, Resolution};
use partywall_core::stand::Scenario;
use partywall_report::text;
use partywall_report::texts::said;
use std::io::Write;

/// Tells how warm the heaters keep their boxes in a still room, as keepers measure a box.
///
/// # Errors
/// A hive that cannot be built, or one without a heater.
pub fn heated_box(
    s: &Scenario,
    resolution: Resolution,
    format: Format,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    let hive = hive::build(s, resolution).map_err(Failure::input)?;
    let heaters = hive.heaters(s);
    if heaters.is_empty() {
        return Err(Failure::Input(
            said("program.scenario_has_neither_colony").into(),
        ));
    }
    // Room air at 0 degC behind the horizontal surface resistance of ISO 6946.
    let mut drive = Drive::uniform(
        &hive.network,
        Film {
            h: 1.0 / 0.13,
            t: 0.0,
        },
    );
    for &(node, power) in &heaters {
        drive.power[node] += power;
    }
    let t = steady(&hive.network, &drive, LinearSolver::TO_ROUNDING)
        .map_err(Failure::fault)?
        .t;
    if format != Format::Text {
        let rows: Vec<_> = heaters
            .iter()
            .map(|&(node, power)| serde_json::json!({ "power_w": power, "above_room_k": t[node], "w_per_k": power / t[node] }))
            .collect();
        if format == Format::Csv {
            let columns = ["power_w", "above_room_k", "w_per_k"];
            let bytes = partywall_report::csv::table(&columns, &rows).map_err(Failure::fault)?;
            out.write_all(&bytes)?;
            return Ok(());
        }
        serde_json::to_writer_pretty(
            &mut *out,
            &serde_json::json!({ "schema": "partywall-heater/1", "heaters": rows }),
        )?;
        writeln!(out)?;
        return Ok(());
    }
    writeln!(out, "{}", s.title)?;
    for &(node, power) in &heaters {
        writeln!(
            out,
            "  {}",
            text!(
                "program.power_keeps_air",
                power = format!("{power:.1}"),
                above = format!("{:.1}", t[node]),
                per_degree = format!("{:.2}", power / t[node])
            )
        )?;
    }
    Ok(())
}
