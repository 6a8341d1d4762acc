//! What `partywall climate` prints for reading.

use std::io::Write;

use comfy_table::{CellAlignment, Table, presets};

use super::{ENOUGH_FOR_NINE_IN_TEN, Told, ToldLevel, ToldWinter};
use crate::climate::sums::SPELL_DAYS;
use crate::ensemble::levels::Method;
use crate::report::pictures::axis;
use crate::report::words::Units;
use crate::scenario::dates::words;

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
    writeln!(
        out,
        "\nWinters, {} to {} ({})",
        words(told.season.from),
        words(told.season.to),
        match units {
            Units::Metric => "degrees C",
            Units::Us => "degrees F",
            Units::Both => "degrees C, in brackets F",
        }
    )?;
    writeln!(out, "{}", table(&told.winters, units))?;
    writeln!(
        out,
        "cold spell: mean of the coldest {SPELL_DAYS} days in a row, and the day it began; days without moving: longest spell without an\n\
         hour above {moves}, below which clusters hardly move; hours of flight: hours warm and bright enough for cleansing flights\n\
         out of the wind; nectar: first dependable nectar by the rule of thumb; hard and mild: the coldest and the warmest quarter;\n\
         late spring: the last quarter"
    )
}

/// Winters told one by one in which something was mended.
const MENDED_SHOWN: usize = 12;

/// What was filled, struck out or doubtful, by winter.
fn write_mended(winters: &[ToldWinter], out: &mut dyn Write) -> std::io::Result<()> {
    let mended: Vec<_> = winters
        .iter()
        .filter(|w| w.filled_days + w.stuck_days + w.impossible_readings > 0)
        .collect();
    if mended.is_empty() {
        return writeln!(out, "\nNo temperature of these winters had to be filled.");
    }
    writeln!(
        out,
        "\nMended: {} of {} winters",
        mended.len(),
        winters.len()
    )?;
    for w in mended.iter().take(MENDED_SHOWN) {
        let mut what = Vec::new();
        if w.filled_days > 0 {
            let hours = w.filled_hours;
            let days = count(w.filled_days, "day");
            what.push(if hours == 24 * w.filled_days {
                format!("{days} filled")
            } else {
                format!("{} filled on {days}", count(hours, "hour"))
            });
        }
        if w.impossible_readings > 0 {
            let readings = count(w.impossible_readings, "impossible reading");
            what.push(format!("{readings} struck out"));
        }
        if w.stuck_days > 0 {
            let days = count(w.stuck_days, "day");
            what.push(format!("{days} used though the readings repeat"));
        }
        writeln!(out, "  {}: {}", w.winter, what.join(", "))?;
    }
    if mended.len() > MENDED_SHOWN {
        writeln!(
            out,
            "  and {} more (--format json lists them all)",
            mended.len() - MENDED_SHOWN
        )?;
    }
    Ok(())
}

/// "1 day", "3 days".
fn count(n: usize, what: &str) -> String {
    format!("{n} {what}{}", if n == 1 { "" } else { "s" })
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
    let find = |label: &Option<String>| {
        label
            .as_ref()
            .and_then(|l| told.winters.iter().find(|w| w.winter == *l))
    };
    let n = told.winters.len();
    let tell = |w: &ToldWinter| {
        format!(
            "{}, mean {}, coldest hour {}",
            w.winter,
            units.temperature(w.mean_c),
            units.temperature(w.coldest_hour_c)
        )
    };
    let (Some(hard), Some(mild)) = (find(&told.hardest), find(&told.mildest)) else {
        return match told.winters.first() {
            Some(only) => writeln!(
                out,
                "  one whole winter ({}): mean {}, coldest hour {}; nothing can be said about other winters",
                only.winter,
                units.temperature(only.mean_c),
                units.temperature(only.coldest_hour_c)
            )
            .and_then(|()| write_made(told, units, out)),
            None => writeln!(
                out,
                "  no whole winter: this record cannot be used to run a hive"
            ),
        };
    };
    let enough = if n >= ENOUGH_FOR_NINE_IN_TEN {
        "enough to say what holds in nine winters of ten"
    } else {
        "too few to say by counting what holds in nine winters of ten (9 needed)"
    };
    writeln!(out, "  {n} whole winters: {enough}")?;
    writeln!(out, "  hardest  {}", tell(hard))?;
    writeln!(out, "  mildest  {}", tell(mild))?;
    if let Some(average) = find(&told.average) {
        writeln!(out, "  average  {}", tell(average))?;
    }
    if let Some((late, day)) = find(&told.latest_spring).and_then(|w| Some((w, w.nectar_by_rule?)))
    {
        writeln!(
            out,
            "  latest   spring after the winter {}: first dependable nectar about {} by a rule of thumb",
            late.winter,
            axis::day(day)
        )?;
    }
    if let (Some(l), Some(first), Some(last)) =
        (&told.nine_in_ten, told.winters.first(), told.winters.last())
    {
        let like = format!("{} to {}", first.winter, last.winter);
        write_level(l, &format!("winters like those of {like}"), units, out)?;
    }
    write_made(told, units, out)
}

/// "In 9 of 10 winters ...".
fn write_level(
    l: &ToldLevel,
    like: &str,
    units: Units,
    out: &mut dyn Write,
) -> std::io::Result<()> {
    let how = match l.method {
        Method::Rank => "",
        Method::Spread => " (reckoned from how much they differ)",
    };
    writeln!(
        out,
        "  in 9 of 10 {like} ({}), the mean stays above {} and the coldest {SPELL_DAYS} days above {}{how}",
        l.winters,
        units.temperature(l.mean_c),
        units.temperature(l.coldest_spell_c)
    )
}

/// Winters made up or referred to the last years.
fn write_made(told: &Told, units: Units, out: &mut dyn Write) -> std::io::Result<()> {
    let Some(made) = &told.made else {
        return Ok(());
    };
    for note in &made.notes {
        write_item(note, out)?;
    }
    match &made.nine_in_ten {
        Some(l) if made.made_up => write_level(l, "winters made up", units, out),
        Some(l) => write_level(l, "such winters", units, out),
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
    table.set_header([
        "winter",
        "mean",
        "coldest\nhour",
        "cold\nspell",
        "from",
        "days without\nmoving",
        "from",
        "hours of\nflight",
        "nectar",
        "",
    ]);
    for w in winters {
        table.add_row([
            w.winter.clone(),
            units.degrees(w.mean_c),
            units.degrees(w.coldest_hour_c),
            units.degrees(w.coldest_spell_c),
            w.coldest_spell_from.clone(),
            format!("{:.0}", w.longest_without_moving_h as f64 / 24.0),
            if w.longest_without_moving_h < 12 {
                String::new()
            } else {
                w.longest_without_moving_from.clone()
            },
            w.flight_hours.to_string(),
            w.nectar_by_rule.map_or_else(|| "-".to_owned(), axis::day),
            [w.verdict, w.spring]
                .into_iter()
                .filter(|s| !s.is_empty())
                .collect::<Vec<_>>()
                .join(", "),
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
