//! `partywall verify`: the outside checks in tables under short headings.

use super::Failure;
use crate::cli::{Format, VerifyArgs};
use partywall_report::document::{self, Column, Document, Section, Table};
use partywall_report::text;
use partywall_report::texts::said;
use partywall_verify::{Check, Evidence, Group, Row};
use std::io::Write;

/// Runs all checks and writes them; whether all passed but the misses that are known and explained.
///
/// # Errors
/// A check that cannot be run, or writing failed.
pub fn run(args: &VerifyArgs, out: &mut dyn Write) -> Result<bool, Failure> {
    let groups = partywall_verify::groups().map_err(Failure::fault)?;
    match args.format {
        Format::Json => json(&groups, out)?,
        Format::Csv => {
            let columns = [
                "group",
                "id",
                "pass",
                "expected",
                "got",
                "tolerance",
                "unit",
                "what",
                "source",
                "evidence",
                "known_miss",
            ];
            let bytes = partywall_report::csv::table(&columns, &as_data(&groups)?)
                .map_err(Failure::fault)?;
            out.write_all(&bytes)?;
        }
        Format::Text => write!(out, "{}", document(&groups).text())?,
    }
    Ok(checks(&groups).all(|c| c.passes() || c.known_miss().is_some()))
}

fn checks(groups: &[Group]) -> impl Iterator<Item = &Check> {
    groups.iter().flat_map(|g| &g.rows).map(|r| &r.check)
}

/// Every check with its group and what came of it.
fn as_data(groups: &[Group]) -> Result<Vec<serde_json::Value>, Failure> {
    let mut rows = Vec::new();
    for group in groups {
        for r in &group.rows {
            let mut row = serde_json::to_value(r)?;
            row["group"] = group.heading.into();
            row["pass"] = r.check.passes().into();
            row["known_miss"] = r.check.known_miss().into();
            rows.push(row);
        }
    }
    Ok(rows)
}

fn json(groups: &[Group], out: &mut dyn Write) -> Result<(), Failure> {
    let rows = as_data(groups)?;
    let passed = checks(groups).filter(|c| c.passes()).count();
    let all = serde_json::json!({
        "schema": "partywall-verify/1", "passed": passed, "of": rows.len(), "checks": rows
    });
    serde_json::to_writer_pretty(&mut *out, &all)?;
    writeln!(out)?;
    Ok(())
}

/// The checks in tables, then how many pass and what is missed.
fn document(groups: &[Group]) -> Document {
    let tables = groups.iter().map(|g| {
        let passed = g.rows.iter().filter(|r| r.check.passes()).count();
        let heading = text!(
            "verify.group_passes",
            heading = g.heading,
            passed,
            rows = g.rows.len()
        );
        Section::table(heading, table(g))
    });
    let passed = checks(groups).filter(|c| c.passes()).count();
    let mut all = vec![text!(
        "verify.checks_pass",
        passed,
        groups = checks(groups).count()
    )];
    all.extend(checks(groups).filter(|c| !c.passes()).map(miss));
    Document {
        sections: tables
            .chain([Section::list(said("verify.all_checks"), all)])
            .collect(),
        ..Document::default()
    }
}

fn table(group: &Group) -> Table {
    Table {
        columns: vec![
            Column::words(""),
            Column::words(said("verify.what")).at_most(42),
            Column::figures(said("verify.expected")),
            Column::figures(said("verify.got")),
            Column::figures(said("verify.within")),
            Column::words(said("verify.unit")).at_most(8),
        ],
        rows: group.rows.iter().map(told).collect(),
        ..Table::default()
    }
}

fn told(r: &Row) -> document::Row {
    let c = &r.check;
    // What is measured on bees is not known to six digits.
    let digits = if r.used_for_calibration.is_some() {
        3
    } else {
        6
    };
    let mut notes = Vec::new();
    if let Some(range) = r.range {
        notes.push(text!(
            "verify.range_middle_sets_parameters",
            low = number(range.low, digits),
            high = number(range.high, digits),
            middle = number(range.middle, digits),
            sets = range.sets
        ));
    }
    if let Some(used) = r.used_for_calibration {
        notes.push(text!("verify.used_calibration", used = used.word()));
    }
    let evidence = match c.evidence {
        Evidence::Published => "",
        Evidence::FromMemory => said("verify.from_memory"),
        Evidence::Computed => said("verify.computed"),
        Evidence::Principle => said("verify.principle"),
    };
    notes.push(text!("verify.source", source = c.source, evidence));
    let result = match (c.passes(), c.known_miss()) {
        (true, _) => said("verify.pass"),
        (false, Some(_)) => said("verify.miss_word"),
        (false, None) => said("verify.fail"),
    };
    let figures = [c.expected, c.got, c.tolerance].map(|v| number(v, digits));
    let first = [result.to_owned(), c.what.clone()];
    let cells = first.into_iter().chain(figures).chain([c.unit.to_owned()]);
    document::Row {
        cells: cells.collect(),
        notes,
    }
}

/// What is missed, by how much, and why.
fn miss(c: &Check) -> String {
    let why = c
        .known_miss()
        .unwrap_or(said("verify.not_known_before_fault"));
    let off = 100.0 * (c.got / c.expected - 1.0);
    let by = match c.unit {
        partywall_verify::SIGN => text!("verify.has_other_sign"),
        _ => text!("verify.off", off = format!("{off:+.0}")),
    };
    // What was taken in place of the source's own hive and weather stands in the table.
    let what = c.what.split(['(', ';']).next().unwrap_or_default().trim();
    text!("verify.miss", id = c.id, what, by, why)
}

/// At most `digits` significant digits, no more than needed; whole numbers keep all of theirs.
fn number(v: f64, digits: i32) -> String {
    if v == 0.0 {
        return "0".into();
    }
    if !(1e-4..1e7).contains(&v.abs()) {
        return format!("{v:.3e}");
    }
    let decimals = (digits - 1 - v.abs().log10().floor() as i32).clamp(0, 8) as usize;
    let text = format!("{v:.decimals$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').into()
    } else {
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use partywall_report::document::WIDTH;
    use partywall_verify::{Range, Used};

    fn group(got: f64) -> Group {
        Group {
            heading: "Colony",
            rows: vec![Row {
                check: Check {
                    id: "some-check",
                    what: "a long description of what is compared ".repeat(8),
                    expected: 39.0,
                    got,
                    tolerance: 11.0,
                    unit: "months",
                    source: "a source with a long name, printed in a journal with a long name, 12:34-56",
                    evidence: Evidence::Published,
                },
                used_for_calibration: Some(Used::Part),
                range: Range::of(&[30.0, 41.25, 52.0]),
            }],
        }
    }

    /// Catches a table too wide for a page or a terminal, and one that leaves out the range, the calibration or the source.
    #[test]
    fn text_is_narrow_and_whole() {
        for got in [40.123_456, 80.0, f64::NAN] {
            let out = document(&[group(got)]).text();
            for line in out.lines() {
                assert!(line.chars().count() <= WIDTH, "{line}");
            }
            for part in [
                "range: 30 to 52, middle 41.2 (3 sets",
                "used for calibration: part",
                "source: a source",
                "Colony (",
            ] {
                assert!(out.contains(part), "no {part:?} in\n{out}");
            }
            assert_eq!(out.contains("FAIL"), got != 40.123_456, "{out}");
        }
    }

    /// Catches JSON without what the text says.
    #[test]
    fn json_says_the_same() {
        let mut out = Vec::new();
        json(&[group(40.0)], &mut out).unwrap();
        let all: serde_json::Value = serde_json::from_slice(&out).unwrap();
        let row = &all["checks"][0];
        assert_eq!(row["used_for_calibration"], "part");
        assert_eq!(row["range"]["middle"], 41.25);
        assert_eq!(row["group"], "Colony");
        assert_eq!(row["id"], "some-check");
        assert_eq!(row["pass"], true);
    }
}
