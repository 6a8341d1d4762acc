//! A stand without colonies: how warm its heaters keep it.

use super::Failure;
use crate::cli::Format;
use partywall_core::answer;
use partywall_core::hive::Resolution;
use partywall_core::stand::Scenario;
use partywall_report::text;
use std::io::Write;

/// Tells how warm the heaters keep their boxes in a still room.
///
/// # Errors
/// As [`answer::heated_boxes`].
pub fn heated_box(
    s: &Scenario,
    resolution: Resolution,
    format: Format,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    let result = answer::heated_boxes(s, resolution)?;
    match format {
        Format::Text => {
            writeln!(out, "{}", s.title)?;
            for b in &result.heaters {
                let told = text!(
                    "program.power_keeps_air",
                    power = format!("{:.1}", b.power_w),
                    above = format!("{:.1}", b.above_room_k),
                    per_degree = format!("{:.2}", b.w_per_k)
                );
                writeln!(out, "  {told}")?;
            }
        }
        Format::Json => {
            serde_json::to_writer_pretty(&mut *out, &result)?;
            writeln!(out)?;
        }
        Format::Csv => {
            let columns = ["power_w", "above_room_k", "w_per_k"];
            let rows = result.heaters.iter().map(serde_json::to_value);
            let rows: Vec<_> = rows.collect::<Result<_, _>>()?;
            let bytes = partywall_report::csv::table(&columns, &rows).map_err(Failure::fault)?;
            out.write_all(&bytes)?;
        }
    }
    Ok(())
}
