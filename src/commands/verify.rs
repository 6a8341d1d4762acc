//! `partywall verify`: the outside checks in tables under short headings.

use super::Failure;
use crate::cli::{Format, VerifyArgs};
use comfy_table::{
    CellAlignment, ColumnConstraint, ContentArrangement, Table, Width, presets::NOTHING,
};
use partywall_verify::{Check, Evidence, Group, Row};
use std::io::Write;

/// Widest line of the text, columns.
const WIDTH: usize = 110;
/// Widths of the columns: result, words, three numbers, unit.
const COLUMNS: [u16; 6] = [6, 59, 11, 11, 11, 8];

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
        Format::Text => text(&groups, out)?,
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

fn text(groups: &[Group], out: &mut dyn Write) -> Result<(), Failure> {
    for group in groups {
        let passed = group.rows.iter().filter(|r| r.check.passes()).count();
        writeln!(
            out,
            "{} ({passed} of {} pass)\n",
            group.heading,
            group.rows.len()
        )?;
        for line in table(group).to_string().lines() {
            writeln!(out, "{}", line.trim_end())?;
        }
        writeln!(out)?;
    }
    let passed = checks(groups).filter(|c| c.passes()).count();
    writeln!(out, "{passed} of {} checks pass", checks(groups).count())?;
    for c in checks(groups).filter(|c| !c.passes()) {
        for line in wrapped(&miss(c), WIDTH) {
            writeln!(out, "{line}")?;
        }
    }
    Ok(())
}

fn table(group: &Group) -> Table {
    let mut table = Table::new();
    table.load_style(NOTHING);
    table.set_content_arrangement(ContentArrangement::Dynamic);
    table.set_width(WIDTH as u16);
    table.set_header(["", "what", "expected", "got", "within", "unit"]);
    for r in &group.rows {
        table.add_row(cells(r));
    }
    table.set_constraints(COLUMNS.map(|w| ColumnConstraint::Absolute(Width::Fixed(w))));
    for i in 2..5 {
        if let Some(column) = table.column_mut(i) {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    table
}

fn cells(r: &Row) -> [String; 6] {
    let c = &r.check;
    // What is measured on bees is not known to six digits.
    let digits = if r.used_for_calibration.is_some() {
        3
    } else {
        6
    };
    let mut words = vec![c.what.clone()];
    if let Some(range) = r.range {
        words.push(format!(
            "range: {} to {}, middle {} ({} sets of parameters)",
            number(range.low, digits),
            number(range.high, digits),
            number(range.middle, digits),
            range.sets
        ));
    }
    if let Some(used) = r.used_for_calibration {
        words.push(format!("used for calibration: {}", used.word()));
    }
    let evidence = match c.evidence {
        Evidence::Published => "",
        Evidence::FromMemory => " (from memory)",
        Evidence::Computed => " (computed)",
        Evidence::Principle => " (principle)",
    };
    words.push(format!("source: {}{evidence}", c.source));
    [
        match (c.passes(), c.known_miss()) {
            (true, _) => "pass",
            (false, Some(_)) => "MISS",
            (false, None) => "FAIL",
        }
        .into(),
        words.join("\n"),
        number(c.expected, digits),
        number(c.got, digits),
        number(c.tolerance, digits),
        c.unit.into(),
    ]
}

/// What is missed, by how much, and why.
fn miss(c: &Check) -> String {
    let why = c.known_miss().unwrap_or("not known before: a fault");
    let off = 100.0 * (c.got / c.expected - 1.0);
    let by = match c.unit {
        "sign" => "has the other sign".to_owned(),
        _ => format!("is off by {off:+.0} in 100"),
    };
    // What was taken in place of the source's own hive and weather stands in the table.
    let what = c.what.split(['(', ';']).next().unwrap_or_default().trim();
    format!("miss: {} ({what}) {by}: {why}", c.id)
}

/// Lines of at most `width` characters, broken between words; those after the first are indented.
fn wrapped(text: &str, width: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split_whitespace() {
        let fits = lines
            .last()
            .is_some_and(|l| l.chars().count() + 1 + word.chars().count() <= width);
        match lines.last_mut() {
            Some(line) if line.is_empty() => line.push_str(word),
            Some(line) if fits => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(format!("  {word}")),
        }
    }
    lines
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
            let mut out = Vec::new();
            text(&[group(got)], &mut out).unwrap();
            let out = String::from_utf8(out).unwrap();
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

    /// Catches words lost or a line too long.
    #[test]
    fn wraps_between_words() {
        let text = "one two three four five six seven";
        let lines = wrapped(text, 12);
        assert!(lines.iter().all(|l| l.chars().count() <= 12), "{lines:?}");
        let words: Vec<&str> = lines.iter().flat_map(|l| l.split_whitespace()).collect();
        assert_eq!(words.join(" "), text);
    }
}
