//! `partywall check`: how a scenario file was read, every conversion and every default.

mod feeding;
mod weather;

use partywall_report::text;
use partywall_report::texts::said;
use std::io::Write;

use self::weather::Weather;
use super::Failure;
use crate::cli::Format;
use partywall_core::scenario::{Kind, Loaded, Reading};

/// Widest line of the listing, characters.
const WIDTH: usize = 100;

/// Reads a scenario (a file, or a built-in name) and writes how it was read to `out`, or what is wrong with it to `err`. Gives whether the scenario can be used.
///
/// # Errors
/// When the output cannot be written.
pub fn run(
    scenario: &str,
    format: Format,
    colour: bool,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Result<bool, Failure> {
    match super::open_family(scenario, None) {
        Ok((_, family)) => {
            let mut loaded = family.base;
            let mut weather = Weather::default();
            let (record, mut told) = weather.of(&loaded.scenario);
            let mut feeding = feeding::held(&loaded, record);
            loaded.warnings.0.append(&mut told);
            loaded.warnings.0.append(&mut feeding.warnings);
            for variant in family.variants {
                let (record, told) = weather.of(&variant.loaded.scenario);
                let fed = feeding::held(&variant.loaded, record);
                feeding.note = feeding.note.or(fed.note);
                let new = variant.loaded.warnings.0.into_iter();
                let new = new.chain(told).chain(fed.warnings);
                for mut problem in new {
                    if loaded.warnings.0.contains(&problem) {
                        continue;
                    }
                    problem.what = text!("check.variant", name = variant.name, what = problem.what);
                    loaded.warnings.0.push(problem);
                }
            }
            loaded
                .warnings
                .0
                .sort_by_key(|p| p.place.as_ref().map(|p| (p.line, p.column)));
            match format {
                Format::Json => {
                    let warnings: Vec<String> =
                        loaded.warnings.0.iter().map(ToString::to_string).collect();
                    let all = serde_json::json!({ "readings": loaded.readings, "warnings": warnings, "feeding": feeding.note });
                    serde_json::to_writer_pretty(&mut *out, &all)?;
                    writeln!(out)?;
                }
                Format::Csv => {
                    let rows = loaded
                        .readings
                        .iter()
                        .map(serde_json::to_value)
                        .collect::<Result<Vec<_>, _>>()?;
                    let columns = ["path", "written", "used", "kind", "note"];
                    let bytes =
                        partywall_report::csv::table(&columns, &rows).map_err(Failure::fault)?;
                    out.write_all(&bytes)?;
                    write!(
                        err,
                        "{}",
                        partywall_report::problems::render(&loaded.warnings, colour)
                    )?;
                }
                Format::Text => {
                    write!(out, "{}", listing(&loaded))?;
                    if let Some(note) = &feeding.note {
                        writeln!(out)?;
                        para(out, note)?;
                    }
                    write!(
                        err,
                        "{}",
                        partywall_report::problems::render(&loaded.warnings, colour)
                    )?;
                }
            }
            Ok(!loaded.warnings.any_error())
        }
        Err(Failure::Problems(problems)) => {
            write!(
                err,
                "{}",
                partywall_report::problems::render(&problems, colour)
            )?;
            Ok(false)
        }
        Err(other) => {
            writeln!(err, "{other}")?;
            Ok(false)
        }
    }
}

/// A paragraph, folded at blanks.
fn para(out: &mut dyn Write, text: &str) -> std::io::Result<()> {
    let mut folded = String::new();
    partywall_report::words::para(&mut folded, "", text);
    write!(out, "{folded}")
}

/// The readings by room of the file: given, worked out and taken, each with its source.
fn listing(loaded: &Loaded) -> String {
    let mut text = format!("{}\n", loaded.scenario.title);
    let room = |path: &str| {
        path.rsplit_once('.')
            .map_or(said("check.whole"), |(r, _)| r)
            .to_owned()
    };
    let mut rooms: Vec<String> = Vec::new();
    for r in &loaded.readings {
        let here = room(&r.path);
        if !rooms.contains(&here) {
            rooms.push(here);
        }
    }
    for here in rooms {
        text.push_str(&format!("\n{here}\n"));
        for r in loaded.readings.iter().filter(|r| room(&r.path) == here) {
            fold(&mut text, &line(r));
        }
    }
    let count = |k: Kind| loaded.readings.iter().filter(|r| r.kind == k).count();
    text.push_str(&text!(
        "check.values_written_worked_out",
        written = count(Kind::Given),
        worked_out = count(Kind::Converted),
        taken = count(Kind::Default)
    ));
    text
}

/// One reading as a line.
fn line(r: &Reading) -> String {
    let key = r.path.rsplit_once('.').map_or(r.path.as_str(), |(_, k)| k);
    let written = r
        .written
        .as_deref()
        .filter(|w| w.trim_matches('"') != r.used);
    let mut line = match (r.kind, written) {
        (Kind::Default, _) => text!("check.not_written", key, used = r.used),
        (_, Some(w)) => format!("{key}: {w} -> {}", r.used),
        (_, None) => format!("{key}: {}", r.used),
    };
    if !r.note.is_empty() {
        line.push_str(" - ");
        line.push_str(&r.note);
    }
    line
}

/// Adds a line, folded at blanks, the rest indented.
fn fold(text: &mut String, line: &str) {
    let mut used = 0;
    for (i, word) in line.split(' ').enumerate() {
        let length = word.chars().count() + 1;
        if i == 0 {
            text.push_str("  ");
            used = 2;
        } else if used + length > WIDTH {
            text.push_str("\n      ");
            used = 6;
        } else {
            text.push(' ');
        }
        text.push_str(word);
        used += length;
    }
    text.push('\n');
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(scenario: &str, format: Format) -> (bool, String, String) {
        let (mut out, mut err) = (Vec::new(), Vec::new());
        let ok = run(scenario, format, false, &mut out, &mut err).unwrap();
        (
            ok,
            String::from_utf8(out).unwrap(),
            String::from_utf8(err).unwrap(),
        )
    }

    /// Would catch a conversion or a default that is used and not told.
    #[test]
    fn tells_conversions_and_defaults() {
        let (ok, out, _) = said("larch-flats", Format::Text);
        assert!(ok);
        assert!(
            out.contains(
                "frames_of_bees: 9 -> 2.79 kg (6.2 lb) - 0.31 kg per deep frame, range 0.19-0.45 kg"
            ),
            "{out}"
        );
        assert!(
            out.lines().all(|l| l.chars().count() <= WIDTH + 2),
            "a line is too long"
        );
        let (ok, out, _) = said("single", Format::Text);
        assert!(ok);
        assert!(
            out.contains("(not written)") && out.contains("75 x 9 mm"),
            "{out}"
        );
    }

    /// Would catch feed of a variant that comes too late and is not told, one that is told without its name, and what the scenario itself is
    /// warned of told once more for each variant.
    #[test]
    fn variants_are_looked_at_too() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("late.toml");
        let text = partywall_core::scenario::built_in_text("single").unwrap();
        let fed = |date: &str| {
            format!("hive.1.feed = [{{ date = \"{date}\", kind = \"syrup\", amount = \"3 L\" }}]")
        };
        let more = [("late", "5 Dec"), ("in time", "2 Oct")]
            .map(|(name, date)| format!("\n[[variant]]\nname = \"{name}\"\n{}\n", fed(date)));
        std::fs::write(&path, format!("{text}{}", more.concat())).unwrap();
        let (ok, out, err) = said(path.to_str().unwrap(), Format::Text);
        assert!(ok, "{err}");
        assert!(err.contains("variant \"late\": "), "{err}");
        assert!(!err.contains("in time"), "{err}");
        assert_eq!(err.matches("warning").count(), 1, "{err}");
        assert!(out.contains("autumns"), "{out}");
    }

    /// Would catch JSON mixed with text and an unknown name taken for success.
    #[test]
    fn json_is_json_and_failures_fail() {
        let (ok, out, _) = said("single", Format::Json);
        assert!(ok);
        let v: serde_json::Value = serde_json::from_str(&out).unwrap();
        assert!(v["readings"].as_array().unwrap().len() > 20);
        let (ok, out, err) = said("larch-flat", Format::Text);
        assert!(
            !ok && out.is_empty() && err.contains("did you mean \"larch-flats\"?"),
            "{err}"
        );
        let (ok, _, err) = said("no/such/file.toml", Format::Text);
        assert!(!ok && err.contains("cannot be read"), "{err}");
    }
}
