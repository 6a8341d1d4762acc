//! `cargo xtask figures` writes docs/results/*.md and puts them into the papers that tell them; `--check` only holds both against what it finds.
//! A name computes that table alone.

mod needs;
mod questions;
mod responses;
mod variants;

use partywall_core::answer::CompareResult;
use std::cell::OnceCell;
use std::error::Error;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// The tables.
const NAMES: [&str; 4] = ["needs", "twelve-variants", "questions", "responses"];
/// Papers that tell figures, between `<!-- results: NAME -->` and `<!-- end -->`.
const PAPERS: [&str; 3] = ["README.md", "docs/questions.md", "docs/limits.md"];

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let (check, only) = match words.as_slice() {
        ["figures"] => (false, None),
        ["figures", "--check"] => (true, None),
        ["figures", name] if NAMES.contains(name) => (false, Some(*name)),
        _ => {
            return told(&format!(
                "usage: cargo xtask figures [--check | {}]",
                NAMES.join(" | ")
            ));
        }
    };
    match figures(check, only) {
        Ok(stale) if stale.is_empty() => ExitCode::SUCCESS,
        Ok(stale) => told(&format!("not as computed: {}", stale.join(", "))),
        Err(e) => told(&e.to_string()),
    }
}

#[allow(clippy::print_stderr)] // the one place that prints
fn told(words: &str) -> ExitCode {
    eprintln!("{words}");
    ExitCode::FAILURE
}

/// The table of a name; several need the twelve variants compared.
fn table(name: &str, twelve: &OnceCell<CompareResult>) -> Result<String, Box<dyn Error>> {
    let compared = || match twelve.get() {
        Some(known) => Ok(known),
        None => variants::compared().map(|c| twelve.get_or_init(|| c)),
    };
    match name {
        "needs" => needs::table(),
        "twelve-variants" => Ok(variants::table(compared()?)),
        "questions" => questions::table(compared()?),
        _ => responses::table(&responses::Bench::new()?),
    }
}

/// Computes all tables, or one, and writes what differs, or names it.
fn figures(check: bool, only: Option<&str>) -> Result<Vec<String>, Box<dyn Error>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let twelve = OnceCell::new();
    let wanted = NAMES
        .into_iter()
        .filter(|n| only.is_none_or(|only| only == *n));
    let tables = wanted
        .map(|name| Ok((name, table(name, &twelve)?)))
        .collect::<Result<Vec<_>, Box<dyn Error>>>()?;
    let mut changed: Vec<(PathBuf, String)> = Vec::new();
    for (name, table) in &tables {
        let path = root.join(format!("docs/results/{name}.md"));
        let text = format!("<!-- written by `cargo xtask figures` -->\n\n{table}");
        if std::fs::read_to_string(&path).ok().as_ref() != Some(&text) {
            changed.push((path, text));
        }
    }
    for paper in PAPERS {
        let path = root.join(paper);
        let text = std::fs::read_to_string(&path)?;
        let with = filled(&text, &tables);
        if with != text {
            changed.push((path, with));
        }
    }
    let stale = changed.iter().map(|(p, _)| p.display().to_string());
    let stale = stale.collect();
    if check {
        return Ok(stale);
    }
    std::fs::create_dir_all(root.join("docs/results"))?;
    for (path, text) in changed {
        std::fs::write(path, text)?;
    }
    Ok(Vec::new())
}

/// Rounded to tenths, never "-0".
fn tenths(v: f64) -> f64 {
    (10.0 * v).round() / 10.0 + 0.0
}

/// The paper with each table put between its marks.
fn filled(paper: &str, tables: &[(&str, String)]) -> String {
    let mut text = paper.to_owned();
    for (name, table) in tables {
        let begin = format!("<!-- results: {name} -->\n");
        let Some(start) = text.find(&begin).map(|at| at + begin.len()) else {
            continue;
        };
        let Some(end) = text[start..].find("<!-- end -->").map(|at| start + at) else {
            continue;
        };
        text.replace_range(start..end, &format!("\n{table}\n"));
    }
    text
}

#[cfg(test)]
mod tests {
    use super::filled;

    /// Catches a table put in the wrong place, twice, or over the text around it.
    #[test]
    fn tables_stand_between_their_marks() {
        let paper = "a\n<!-- results: needs -->\nold\n<!-- end -->\nb\n";
        let tables = [("needs", "| new |\n".to_owned())];
        let once = filled(paper, &tables);
        assert_eq!(
            once,
            "a\n<!-- results: needs -->\n\n| new |\n\n<!-- end -->\nb\n"
        );
        assert_eq!(filled(&once, &tables), once);
    }
}
