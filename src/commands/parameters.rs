//! `partywall parameters`: the colony parameters with their ranges and sources.

use super::Failure;
use crate::cli::{Format, ParametersArgs};
use partywall_core::colony::ensemble::DISTRIBUTION;
use partywall_core::colony::parameters::{self, Evidence, Parameter};
use partywall_report::document::{Column, Document, Row, Section, Table};
use partywall_report::phrases::capital;
use partywall_report::text;
use partywall_report::texts::said;
use std::io::Write;

mod accepted;

/// Writes the table, or the accepted sets.
///
/// # Errors
/// A damaged table in the program, or writing failed.
pub fn run(args: &ParametersArgs, out: &mut dyn Write) -> Result<(), Failure> {
    if args.accepted {
        return accepted::run(args.format, out);
    }
    let table = parameters::table().map_err(Failure::fault)?;
    match args.format {
        Format::Json => {
            let all = serde_json::json!({
                "schema": "partywall-parameters/1",
                "distribution": DISTRIBUTION,
                "parameters": table,
            });
            serde_json::to_writer_pretty(&mut *out, &all)?;
            writeln!(out)?;
        }
        Format::Csv => {
            let rows = table
                .iter()
                .map(serde_json::to_value)
                .collect::<Result<Vec<_>, _>>()
                .map_err(Failure::fault)?;
            let columns = [
                "key", "symbol", "name", "unit", "low", "default", "high", "evidence", "source",
            ];
            let bytes = partywall_report::csv::table(&columns, &rows).map_err(Failure::fault)?;
            out.write_all(&bytes)?;
        }
        Format::Text => write!(out, "{}", document(&table).text())?,
    }
    Ok(())
}

/// The table, how its values are known, and how they are drawn.
fn document(table: &[Parameter]) -> Document {
    let count = |e: Evidence| table.iter().filter(|p| p.evidence == e).count();
    let known = text!(
        "parameters.parameters_read_source_named",
        count = table.len(),
        read = count(Evidence::Read),
        derived = count(Evidence::Derived),
        memory = count(Evidence::Memory)
    );
    let rows = table.iter().map(|p| Row {
        cells: vec![
            p.key.clone(),
            p.symbol.clone(),
            format!("{} - {} - {} {}", p.low, p.default, p.high, p.unit),
            tag(p.evidence).to_owned(),
        ],
        notes: vec![capital(&p.name), p.source.clone()],
    });
    let all = Table {
        columns: ["key", "symbol", said("parameters.low_default_high"), "tag"]
            .map(Column::words)
            .to_vec(),
        rows: rows.collect(),
        ..Table::default()
    };
    Document {
        title: text!("parameters.what_assumed_bees_where"),
        sections: vec![
            Section::table("", all),
            Section::list(said("parameters.how_they_known"), vec![known]),
            Section::list(said("parameters.drawn"), vec![DISTRIBUTION.to_owned()]),
        ],
        ..Document::default()
    }
}

fn tag(e: Evidence) -> &'static str {
    match e {
        Evidence::Read => said("parameters.read"),
        Evidence::Memory => said("parameters.memory"),
        Evidence::Derived => said("parameters.derived"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use partywall_report::document::WIDTH;

    fn said(format: Format) -> String {
        let mut out = Vec::new();
        run(
            &ParametersArgs {
                accepted: false,
                format,
            },
            &mut out,
        )
        .unwrap();
        String::from_utf8(out).unwrap()
    }

    /// Catches a parameter that is left out, lines too long to read, and counts that do not add up.
    #[test]
    fn text_has_every_parameter() {
        let text = said(Format::Text);
        let table = parameters::table().unwrap();
        for p in &table {
            assert!(
                text.lines()
                    .any(|l| l.trim_start().starts_with(&p.key) && l.contains(&p.symbol)),
                "{}",
                p.key
            );
        }
        let sources: Vec<_> = text.lines().filter(|l| l.starts_with("      ")).collect();
        assert!(sources.len() >= 2 * table.len());
        assert!(text.lines().all(|l| l.chars().count() <= WIDTH), "{text}");
        assert!(text.contains(&format!("{} parameters:", table.len())));
    }

    /// Catches JSON that loses ranges or sources.
    #[test]
    fn json_has_every_field() {
        let v: serde_json::Value = serde_json::from_str(&said(Format::Json)).unwrap();
        assert!(v["distribution"].as_str().unwrap().contains("default"));
        let rows = v["parameters"].as_array().unwrap();
        assert_eq!(rows.len(), parameters::table().unwrap().len());
        for r in rows {
            assert!(r["low"].as_f64() <= r["high"].as_f64() && r["source"].is_string());
            assert!(["read", "memory", "derived"].contains(&r["evidence"].as_str().unwrap()));
        }
    }
}
