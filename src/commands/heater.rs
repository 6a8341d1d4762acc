//! A stand without colonies: how warm its heaters keep it.

use super::Failure;
use crate::cli::Format;
use partywall_core::answer;
use partywall_core::hive::Resolution;
use partywall_core::stand::Scenario;
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
                writeln!(
                    out,
                    "  {:.1} W keeps the air of the heated box {:.1} C above a still room: {:.2} W per degree",
                    b.power_w, b.above_room_k, b.w_per_k
                )?;
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
