//! `partywall verify`: the outside checks in one table.

use super::Failure;
use crate::cli::{Format, VerifyArgs};
use crate::verify::{self, Check, Evidence};
use comfy_table::{Table, presets::NOTHING};
use std::io::Write;

/// Runs all checks and writes them; whether all passed but the misses that are known and explained.
///
/// # Errors
/// A check that cannot be run, or writing failed.
pub fn run(args: &VerifyArgs, out: &mut dyn Write) -> Result<bool, Failure> {
    let checks = verify::all().map_err(Failure::fault)?;
    let passed = checks.iter().filter(|c| c.passes()).count();
    match args.format {
        Format::Json => {
            let rows: Vec<_> = checks
                .iter()
                .map(|c| {
                    let mut row = serde_json::to_value(c).map_err(Failure::fault)?;
                    row["pass"] = c.passes().into();
                    row["known_miss"] = c.known_miss().into();
                    Ok(row)
                })
                .collect::<Result<_, Failure>>()?;
            let all = serde_json::json!({ "schema": "partywall-verify/1", "passed": passed, "of": checks.len(), "checks": rows });
            serde_json::to_writer_pretty(&mut *out, &all).map_err(Failure::fault)?;
            writeln!(out)?;
        }
        Format::Text => {
            let mut table = Table::new();
            table.load_style(NOTHING);
            table.set_header(["", "what", "expected", "got", "within", "unit", "source"]);
            for c in &checks {
                table.add_row(row(c));
            }
            writeln!(out, "{table}")?;
            writeln!(out, "\n{passed} of {} checks pass", checks.len())?;
            for c in checks.iter().filter(|c| !c.passes()) {
                let why = c.known_miss().unwrap_or("not known before: a fault");
                let off = 100.0 * (c.got / c.expected - 1.0);
                writeln!(out, "miss: {} is off by {off:+.0} in 100: {why}", c.what)?;
            }
        }
    }
    Ok(checks
        .iter()
        .all(|c| c.passes() || c.known_miss().is_some()))
}

fn row(c: &Check) -> [String; 7] {
    let evidence = match c.evidence {
        Evidence::Published => "",
        Evidence::FromMemory => " (from memory)",
        Evidence::Computed => " (computed)",
        Evidence::Principle => " (principle)",
    };
    [
        match (c.passes(), c.known_miss()) {
            (true, _) => "pass",
            (false, Some(_)) => "MISS",
            (false, None) => "FAIL",
        }
        .into(),
        c.what.clone(),
        number(c.expected),
        number(c.got),
        number(c.tolerance),
        c.unit.into(),
        format!("{}{evidence}", c.source),
    ]
}

/// Six significant digits, no more than needed.
fn number(v: f64) -> String {
    if v == 0.0 {
        return "0".into();
    }
    if !(1e-4..1e7).contains(&v.abs()) {
        return format!("{v:.3e}");
    }
    let decimals = (5 - v.abs().log10().floor() as i32).clamp(0, 8) as usize;
    let text = format!("{v:.decimals$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').into()
    } else {
        text
    }
}
