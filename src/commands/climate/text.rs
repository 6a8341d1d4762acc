//! What `partywall climate` prints for reading.

use std::io::Write;

use comfy_table::{CellAlignment, Table, presets};

use super::words::{HEAD, count, holds, legend, made_words, mended, place, row, summary, table_of};
use super::{Told, ToldWinter};
use partywall_report::words::Units;

/// Gaps shown one by one.
const GAPS_SHOWN: usize = 3;

/// Writes everything: the answer first, the table last.
pub(super) fn write_text(told: &Told, units: Units, out: &mut dyn Write) -> std::io::Result<()> {
    let s = &told.station;
    writeln!(out, "{}", s.name)?;
    write_summary(told, units, out)?;
    writeln!(out)?;
    writeln!(out, "  where    {}", place(told))?;
    writeln!(out, "  holds    {}", holds(told))?;
    if let Some(origin) = &s.origin {
        writeln!(out, "  origin   {origin}")?;
    }
    write_fields(told, out)?;
    write_gaps(told, out)?;
    if !told.warnings.is_empty() {
        writeln!(out, "\nLook at these")?;
        for warning in &told.warnings {
            write_item(warning, out)?;
        }
    }
    if !told.winters.is_empty() {
        write_table(told, units, out)?;
        write_mended(&told.winters, out)?;
    }
    if !told.rejected.is_empty() {
        writeln!(out, "\nNot used")?;
        for r in &told.rejected {
            writeln!(out, "  {}: {}", r.winter, r.reason)?;
        }
    }
    Ok(())
}

fn write_table(told: &Told, units: Units, out: &mut dyn Write) -> std::io::Result<()> {
    let moves = units.degrees(told.moves_c);
    writeln!(out, "\n{}", table_of(told, units))?;
    writeln!(out, "{}", table(&told.winters, units))?;
    writeln!(out, "{}", legend(&moves))
}

fn write_mended(winters: &[ToldWinter], out: &mut dyn Write) -> std::io::Result<()> {
    let (heading, lines) = mended(winters);
    writeln!(out, "\n{heading}")?;
    for line in lines {
        writeln!(out, "  {line}")?;
    }
    Ok(())
}

/// Widest line of running text, characters.
const WIDTH: usize = 110;

/// A paragraph behind a dash, its lines no wider than [`WIDTH`] where words allow.
fn write_item(text: &str, out: &mut dyn Write) -> std::io::Result<()> {
    let (mut line, mut lead) = (String::new(), "  - ");
    for word in text.split_whitespace() {
        if !line.is_empty() && 5 + line.chars().count() + word.chars().count() > WIDTH {
            writeln!(out, "{lead}{line}")?;
            line.clear();
            lead = "    ";
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    writeln!(out, "{lead}{line}")
}

fn write_summary(told: &Told, units: Units, out: &mut dyn Write) -> std::io::Result<()> {
    for (label, words) in summary(told, units) {
        if label.is_empty() {
            writeln!(out, "  {words}")?;
        } else {
            writeln!(out, "  {label:<8} {words}")?;
        }
    }
    if told.winters.is_empty() {
        return Ok(());
    }
    write_made(told, units, out)
}

/// Winters made up or referred to the last years.
fn write_made(told: &Told, units: Units, out: &mut dyn Write) -> std::io::Result<()> {
    let Some(made) = &told.made else {
        return Ok(());
    };
    for note in &made.notes {
        write_item(note, out)?;
    }
    match made_words(told, units) {
        Some(words) => writeln!(out, "  {words}"),
        None => Ok(()),
    }
}

fn write_fields(told: &Told, out: &mut dyn Write) -> std::io::Result<()> {
    writeln!(out, "\nMeasured")?;
    for f in told.fields.iter().filter(|f| f.share > 0.0) {
        let share = if f.share >= 0.9995 {
            "every row".to_owned()
        } else {
            // Never "100 %" for a field that has gaps.
            format!("{:.1} % of the rows", (f.share * 1000.0).floor() / 10.0)
        };
        writeln!(out, "  {:<30} {share}", f.field)?;
    }
    if !told.notes.is_empty() {
        writeln!(out, "\nNotes, and what stands in for the rest")?;
        for note in &told.notes {
            write_item(note, out)?;
        }
    }
    Ok(())
}

/// The longest gaps and how many more there are.
fn write_gaps(told: &Told, out: &mut dyn Write) -> std::io::Result<()> {
    let mut longest: Vec<_> = told.gaps.iter().collect();
    longest.sort_by_key(|g| std::cmp::Reverse(g.missing));
    let Some(unit) = longest.first().map(|g| g.unit) else {
        return Ok(());
    };
    let total: i64 = told.gaps.iter().map(|g| g.missing).sum();
    writeln!(
        out,
        "\nGaps in the temperature: {total} {unit} in {}; the longest",
        count(longest.len(), "gap")
    )?;
    for g in longest.iter().take(GAPS_SHOWN) {
        let unit = unit.trim_end_matches('s');
        let missing = usize::try_from(g.missing).unwrap_or(0);
        writeln!(out, "  {} to {}: {}", g.from, g.to, count(missing, unit))?;
    }
    Ok(())
}

fn table(winters: &[ToldWinter], units: Units) -> Table {
    let mut table = Table::new();
    table.load_style(presets::NOTHING);
    table.set_header(HEAD);
    for w in winters {
        table.add_row(row(w, units));
    }
    let last = table.column_count().saturating_sub(1);
    for (i, column) in table.column_iter_mut().enumerate() {
        if i > 0 && i < last {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    table
}
