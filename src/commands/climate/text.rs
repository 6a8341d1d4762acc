//! What `partywall climate` prints for reading.

use std::io::Write;

use comfy_table::{CellAlignment, Table, presets};

use super::{ENOUGH_FOR_NINE_IN_TEN, Told, ToldWinter};
use crate::climate::sums::{BITTER_C, SPELL_DAYS};
use crate::report::words::Units;

/// Gaps shown one by one.
const GAPS_SHOWN: usize = 3;

/// Writes everything: the answer first, the table last.
pub(super) fn write_text(told: &Told, units: Units, out: &mut dyn Write) -> std::io::Result<()> {
    let s = &told.station;
    writeln!(out, "{}", s.name)?;
    write_summary(told, units, out)?;
    writeln!(out)?;
    let side = |x: f64, pos: &str, neg: &str| {
        format!("{:.2} {}", x.abs(), if x < 0.0 { neg } else { pos })
    };
    let longitude = s
        .longitude_deg
        .map_or_else(String::new, |l| format!(" {}", side(l, "E", "W")));
    // Without longitude and offset the clock is solar time; the notes say so.
    let clock = if s.longitude_deg.is_none() && s.utc_offset_h == 0.0 {
        String::new()
    } else {
        format!("; clock UTC{:+} h all year", s.utc_offset_h)
    };
    writeln!(
        out,
        "  where    {}{longitude}, {:.0} m above sea level{clock}",
        side(s.latitude_deg, "N", "S"),
        s.elevation_m
    )?;
    let r = &told.record;
    writeln!(
        out,
        "  holds    {}, {}, {} rows ({}, {})",
        r.kind, r.span, r.rows, told.format, told.source
    )?;
    if let Some(origin) = &s.origin {
        writeln!(out, "  origin   {origin}")?;
    }
    write_fields(told, out)?;
    write_gaps(told, out)?;
    if !told.warnings.is_empty() {
        writeln!(out, "\nLook at these")?;
        for warning in &told.warnings {
            writeln!(out, "  - {warning}")?;
        }
    }
    if !told.winters.is_empty() {
        writeln!(
            out,
            "\nWinters, {} to {} ({})",
            told.season.start,
            told.season.end,
            match units {
                Units::Metric => "degrees C",
                Units::Us => "degrees F",
                Units::Both => "degrees C, in brackets F",
            }
        )?;
        writeln!(out, "{}", table(&told.winters, units))?;
        writeln!(
            out,
            "degree days: how far below 10 degC, added up over the hours, in degC days; cold spell: mean of the coldest {SPELL_DAYS}\n\
             days in a row; bitter: longest run of days never above {}; hard and mild: the outer quarters by degree days",
            units.temperature(BITTER_C)
        )?;
    }
    if !told.rejected.is_empty() {
        writeln!(out, "\nNot used")?;
        for r in &told.rejected {
            writeln!(out, "  {}: {}", r.winter, r.reason)?;
        }
    }
    Ok(())
}

fn write_summary(told: &Told, units: Units, out: &mut dyn Write) -> std::io::Result<()> {
    let find = |label: &Option<String>| {
        label
            .as_ref()
            .and_then(|l| told.winters.iter().find(|w| w.winter == *l))
    };
    let n = told.winters.len();
    match (find(&told.hardest), find(&told.mildest)) {
        (Some(hard), Some(mild)) => {
            let tell = |w: &ToldWinter| {
                format!(
                    "{}, mean {}, coldest hour {}",
                    w.winter,
                    units.temperature(w.mean_c),
                    units.temperature(w.coldest_hour_c)
                )
            };
            let enough = if n >= ENOUGH_FOR_NINE_IN_TEN {
                "enough to say what holds in nine winters of ten"
            } else {
                "too few to say by counting what holds in nine winters of ten (9 needed)"
            };
            writeln!(out, "  {n} whole winters: {enough}")?;
            writeln!(out, "  hardest  {}", tell(hard))?;
            writeln!(out, "  mildest  {}", tell(mild))
        }
        _ => match told.winters.first() {
            Some(only) => writeln!(
                out,
                "  one whole winter ({}): mean {}, coldest hour {}; nothing can be said about other winters",
                only.winter,
                units.temperature(only.mean_c),
                units.temperature(only.coldest_hour_c)
            ),
            None => writeln!(
                out,
                "  no whole winter: this record cannot be used to run a hive"
            ),
        },
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
            writeln!(out, "  - {note}")?;
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
        "\nGaps in the temperature: {total} {unit} in {} gaps; the longest",
        longest.len()
    )?;
    for g in longest.iter().take(GAPS_SHOWN) {
        writeln!(out, "  {} to {}: {} {unit}", g.from, g.to, g.missing)?;
    }
    Ok(())
}

fn table(winters: &[ToldWinter], units: Units) -> Table {
    let mut table = Table::new();
    table.load_style(presets::NOTHING);
    table.set_header([
        "winter",
        "mean",
        "coldest\nhour",
        "cold\nspell",
        "from",
        "bitter\ndays",
        "degree\ndays",
        "hours\nabove 10",
        "filled\ndays",
        "stuck\ndays",
        "",
    ]);
    for w in winters {
        table.add_row([
            w.winter.clone(),
            units.degrees(w.mean_c),
            units.degrees(w.coldest_hour_c),
            units.degrees(w.coldest_spell_c),
            w.coldest_spell_from.clone(),
            w.longest_run_never_above_minus_15_days.to_string(),
            format!("{:.0}", w.degree_days_below_10_c),
            w.hours_above_10_c.to_string(),
            w.filled_days.to_string(),
            w.stuck_days.to_string(),
            w.verdict.to_owned(),
        ]);
    }
    let last = table.column_count().saturating_sub(1);
    for (i, column) in table.column_iter_mut().enumerate() {
        if i > 0 && i < last {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    table
}
