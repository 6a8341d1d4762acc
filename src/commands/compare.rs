//! `partywall compare`: several hives on the same winters and the same kinds of colony.

use super::forms::{self, Forms};
use super::terminal::Terminal;
use super::weather::record_of;
use super::{Failure, files, reports};
use crate::cli::{CompareArgs, Grid};
use partywall_core::answer::head::WarningList;
use partywall_core::answer::rank::AS_WRITTEN;
use partywall_core::answer::{self, Entry};
use partywall_core::problem::Problems;
use partywall_core::scenario::{Loaded, Source};
use partywall_report::comparison;
use partywall_report::problems::render;
use partywall_report::text;
use partywall_report::texts::said;
use std::io::Write;
use std::path::Path;

/// Compares and writes the answer to `out`, warnings and progress to standard error.
///
/// # Errors
/// Input that cannot be used, an output folder that cannot be written, a failed run.
pub fn run(
    args: &CompareArgs,
    out: &mut dyn Write,
    err: &mut dyn Write,
    colour: bool,
) -> Result<(), Failure> {
    super::threads(args.contest.threads);
    let (sources, mut entries) = entries(&args.scenarios, args.contest.climate.as_deref())?;
    let mut told = WarningList::default();
    for e in &entries {
        told.add(&e.name, &e.warnings);
    }
    write!(err, "{}", render(&told.problems(), colour))?;
    for e in &mut entries {
        super::under(&mut e.scenario, args.contest.climate.as_deref());
    }
    let against = match &args.against {
        None => 0,
        Some(name) => position(&entries, name)?,
    };
    let terminal = Terminal::new();
    let output = files::begin(
        args.contest.out.as_deref(),
        args.scenarios
            .iter()
            .map(String::as_str)
            .chain(args.contest.climate.as_deref()),
    )?;
    let record = match entries.first() {
        Some(e) => record_of(&e.scenario, err, colour)?,
        None => return Err(Failure::input(said("program.there_nothing_compare"))),
    };
    let options = args.contest.options(Grid::Normal);
    let result = answer::compare(&entries, against, record, &options, &terminal)?;
    forms::mind(&result.head, err)?;
    let document = comparison::document(&result);
    let forms = Forms {
        text: document.text(),
        json: serde_json::to_vec_pretty(&result)?,
        csv: comparison::csv(&result).map_err(Failure::fault)?,
    };
    if let Some(output) = output {
        forms.save(&output)?;
        let drawn = comparison::bars(&result).map_err(Failure::fault)?;
        let names = args.scenarios.iter().map(String::as_str);
        let read: Vec<(&str, &str)> = names.zip(sources.iter().map(Source::text)).collect();
        reports::report(&output, document, drawn, &read)?;
        output.finish()?;
    }
    forms.print(args.contest.format, out)
}

/// The texts read, and the hives to compare with their names: one file as written with its variants, or several files as written.
fn entries(words: &[String], weather: Option<&str>) -> Result<(Vec<Source>, Vec<Entry>), Failure> {
    let (mut sources, mut all) = (Vec::new(), Vec::new());
    // What is wrong with any of the files is told at once.
    let (mut families, mut wrong) = (Vec::new(), Problems::default());
    for word in words {
        match super::open_family(word, weather) {
            Ok((source, family)) => {
                sources.push(source);
                families.push((word, family));
            }
            Err(Failure::Problems(p)) => {
                let new = p.0.into_iter().filter(|p| !wrong.0.contains(p));
                let new: Vec<_> = new.collect();
                wrong.0.extend(new);
            }
            Err(other) => return Err(other),
        }
    }
    if wrong.any_error() {
        return Err(Failure::Problems(wrong));
    }
    for (word, family) in families {
        if let [_] = words {
            all.push(entry(AS_WRITTEN.to_owned(), family.base));
            all.extend(family.variants.into_iter().map(|v| entry(v.name, v.loaded)));
        } else {
            let stem = Path::new(word)
                .file_stem()
                .map(|s| s.to_string_lossy().into_owned());
            let stem = stem.unwrap_or_else(|| word.clone());
            let taken = all.iter().any(|e: &Entry| e.name == stem);
            let name = if taken { word.clone() } else { stem };
            all.push(entry(name, family.base));
        }
    }
    if all.len() < 2 {
        return Err(Failure::Input(text!(
            "program.holds_one_hive_only",
            file = words.first().map_or("", String::as_str)
        )));
    }
    Ok((sources, all))
}

fn entry(name: String, loaded: Loaded) -> Entry {
    Entry {
        name,
        scenario: loaded.scenario,
        warnings: loaded.warnings,
    }
}

fn position(hives: &[Entry], name: &str) -> Result<usize, Failure> {
    let plain = name.trim().to_lowercase();
    let found = hives.iter().position(|e| e.name.to_lowercase() == plain);
    found.ok_or_else(|| {
        let names: Vec<&str> = hives.iter().map(|e| e.name.as_str()).collect();
        let help = partywall_core::units::nearest(&plain, names.iter().copied()).map_or_else(
            || text!("program.there", names = names.join(", ")),
            |n| text!("program.did_you_mean", name = n),
        );
        Failure::Input(text!("program.against_no_hive_called", name, help))
    })
}
