//! `partywall parameters --accepted`: the drawn sets that agree with the calibration, and how far they use the ranges.

use super::super::Failure;
use crate::cli::Format;
use partywall_core::colony::ensemble::{Calibration, DISTRIBUTION, DRAWN, SEED, Set, accepted};
use partywall_core::colony::parameters::{self, Parameter, ParameterError, Parameters};
use partywall_report::document::{Column, Document, Row, Section, Table};
use partywall_report::text;
use partywall_report::texts::said;
use partywall_verify::Range;
use serde_json::{Map, Value, json};
use std::io::Write;

/// Names of the calibration figures in a row, in the order of [`row`].
const FIGURES: [&str; 3] = ["c1_g_per_day", "c2_w", "c5_ratio"];

/// Writes the accepted sets.
///
/// # Errors
/// A damaged table in the program, or writing failed.
pub fn run(format: Format, out: &mut dyn Write) -> Result<(), Failure> {
    let table = parameters::table().map_err(Failure::fault)?;
    let sets = accepted().map_err(Failure::fault)?;
    let rows = (1..)
        .zip(&sets)
        .map(|(i, set)| row(i, set))
        .collect::<Result<Vec<_>, _>>()
        .map_err(Failure::fault)?;
    match format {
        Format::Json => {
            let all = json!({
                "schema": "partywall-accepted-sets/1", "distribution": DISTRIBUTION, "drawn": DRAWN, "seed": SEED,
                "filter": said("parameters.filter"), "sets": rows,
            });
            serde_json::to_writer_pretty(&mut *out, &all)?;
            writeln!(out)?;
        }
        Format::Csv => {
            let keys = table.iter().map(|p| p.key.as_str());
            let columns: Vec<&str> = ["set"].into_iter().chain(FIGURES).chain(keys).collect();
            let bytes = partywall_report::csv::table(&columns, &rows).map_err(Failure::fault)?;
            out.write_all(&bytes)?;
        }
        Format::Text => write!(out, "{}", document(&table, &sets).text())?,
    }
    Ok(())
}

/// What is asked of a set, and how far the kept ones use the ranges.
fn document(table: &[Parameter], sets: &[Set]) -> Document {
    let rows = table.iter().filter_map(|p| {
        let values = sets.iter().flatten().filter(|(k, _)| *k == p.key);
        let values: Vec<f64> = values.map(|(_, v)| *v).collect();
        let r = Range::of(&values)?;
        Some(Row::of([
            p.key.clone(),
            [r.low, r.middle, r.high].map(short).join(" - "),
            format!("{} - {} - {}", p.low, p.default, p.high),
            p.unit.clone(),
        ]))
    });
    let kept = Table {
        columns: [
            "key",
            said("parameters.kept_least_middle_most"),
            said("parameters.low_default_high"),
            "unit",
        ]
        .map(Column::words)
        .to_vec(),
        rows: rows.collect(),
        ..Table::default()
    };
    let asked = [
        text!("parameters.asked_each", filter = said("parameters.filter")),
        text!("parameters.drawn_from", distribution = DISTRIBUTION),
        text!("parameters.all_sets_one_row"),
    ];
    Document {
        title: text!(
            "parameters.drawn_sets_seed_agree",
            sets = sets.len(),
            drawn = DRAWN,
            seed = SEED
        ),
        sections: vec![
            Section::table("", kept),
            Section::list(said("parameters.where_from"), asked.to_vec()),
        ],
        ..Document::default()
    }
}

/// A set as data: its number, what it gives for the calibration, its values in the table's units. Rounded to six digits, far beyond
/// what any of it is known to.
fn row(number: usize, set: &Set) -> Result<Value, ParameterError> {
    let mut all = Map::new();
    all.insert("set".into(), number.into());
    let c = Calibration::of(&Parameters::with(set)?);
    for (name, v) in FIGURES.iter().zip([c.c1_grams, c.c2_watts, c.c5_ratio]) {
        all.insert((*name).into(), rounded(v, 3).into());
    }
    for (key, v) in set {
        all.insert(key.clone(), rounded(*v, 6).into());
    }
    Ok(Value::Object(all))
}

/// A number to so many digits that count.
fn rounded(v: f64, digits: i32) -> f64 {
    if v == 0.0 {
        return v;
    }
    let places = digits - 1 - v.abs().log10().floor() as i32;
    // Through text, so that the same number is written everywhere.
    format!("{v:.*}", places.max(0) as usize)
        .parse()
        .unwrap_or(v)
}

/// A number as short as three digits allow.
fn short(v: f64) -> String {
    rounded(v, 3).to_string()
}

#[cfg(test)]
mod tests {
    use super::*;
    use partywall_core::colony::ensemble::makes_sense;

    fn said(format: Format) -> String {
        let mut out = Vec::new();
        run(format, &mut out).unwrap();
        String::from_utf8(out).unwrap()
    }

    /// Catches a shipped list of accepted sets that is not what the program keeps: it is made by
    /// `partywall parameters --accepted --format csv > docs/accepted-sets.csv`.
    #[test]
    fn the_shipped_sets_are_the_kept_ones() {
        let path = concat!(env!("CARGO_MANIFEST_DIR"), "/docs/accepted-sets.csv");
        let shipped = std::fs::read_to_string(path).unwrap();
        assert_eq!(shipped.replace("\r\n", "\n"), said(Format::Csv));
    }

    /// Catches sets in the list that do not do what they are kept for, or that a scenario could not be given.
    #[test]
    fn every_listed_set_agrees() {
        let v: Value = serde_json::from_str(&said(Format::Json)).unwrap();
        let sets = v["sets"].as_array().unwrap();
        assert!(sets.len() >= 16 && v["drawn"] == 192 && v["seed"] == 1);
        for listed in sets {
            let set: Set = parameters::table()
                .unwrap()
                .into_iter()
                .map(|p| (p.key.clone(), listed[&p.key].as_f64().unwrap()))
                .collect();
            let p = Parameters::with(&set).unwrap();
            let c = Calibration::of(&p);
            assert!(makes_sense(&p) && c.agrees(), "{listed}");
            assert!((listed["c2_w"].as_f64().unwrap() - c.c2_watts).abs() < 0.01);
        }
    }

    /// Catches rounding that loses a digit, or a number that goes astray in it.
    #[test]
    fn numbers_keep_their_digits() {
        for (v, digits, want) in [
            (0.001_234_567_8, 6, 0.001_234_57),
            (2_345.678_9, 6, 2345.68),
            (0.0, 6, 0.0),
            (-4.056_789, 3, -4.06),
            (1499.9, 3, 1500.0),
        ] {
            assert_eq!(rounded(v, digits), want);
        }
    }

    /// Catches a parameter that the text leaves out, or kept values beyond the range they were drawn from.
    #[test]
    fn text_tells_every_parameter() {
        let text = said(Format::Text);
        for p in parameters::table().unwrap() {
            assert!(
                text.lines().any(|l| l.trim_start().starts_with(&p.key)),
                "{}",
                p.key
            );
        }
        assert!(
            text.lines()
                .all(|l| l.chars().count() <= partywall_report::document::WIDTH)
        );
    }
}
