//! What goes beside the program: shell completions, the manual page, the scenario's JSON Schema.

use super::Failure;
use crate::cli::Cli;
use clap::CommandFactory;
use clap_complete::Shell;
use partywall_core::scenario::{self, schema};
use std::io::Write;

/// Writes completions for a shell.
///
/// # Errors
/// Writing failed.
pub fn completions(shell: Shell, out: &mut dyn Write) -> Result<(), Failure> {
    // The generator panics when its writer fails; memory does not.
    let mut text = Vec::new();
    clap_complete::generate(shell, &mut Cli::command(), "partywall", &mut text);
    out.write_all(&text)?;
    Ok(())
}

/// Writes the manual page: the program, then every subcommand with its options.
///
/// # Errors
/// Writing failed.
pub fn man(out: &mut dyn Write) -> Result<(), Failure> {
    let mut command = Cli::command();
    command.build();
    clap_mangen::Man::new(command.clone()).render(out)?;
    for sub in command.get_subcommands().filter(|s| s.get_name() != "help") {
        let man = clap_mangen::Man::new(sub.clone());
        writeln!(out, ".SH \"PARTYWALL {}\"", sub.get_name().to_uppercase())?;
        let mut part = Vec::new();
        man.render_description_section(&mut part)?;
        man.render_options_section(&mut part)?;
        man.render_extra_section(&mut part)?;
        // Sections of a part become its subsections.
        let text = String::from_utf8_lossy(&part).replace("\n.SH ", "\n.SS ");
        let text = text
            .strip_prefix(".SH ")
            .map_or_else(|| text.clone(), |t| format!(".SS {t}"));
        out.write_all(text.as_bytes())?;
    }
    Ok(())
}

/// Writes a built-in scenario byte for byte or, without a name, the names of all with their titles.
///
/// # Errors
/// No scenario of that name, or writing failed.
pub fn example(name: Option<&str>, out: &mut dyn Write) -> Result<(), Failure> {
    let Some(name) = name else {
        for name in scenario::built_in_names() {
            let title = scenario::built_in(name)?.scenario.title;
            writeln!(out, "{name:<14}{title}")?;
        }
        return Ok(());
    };
    match scenario::built_in_text(name) {
        Some(text) => out.write_all(text.as_bytes())?,
        // Says which there are, and which was meant.
        None => {
            scenario::built_in(name)?;
        }
    }
    Ok(())
}

/// Writes the JSON Schema of the scenario file.
///
/// # Errors
/// A damaged table in the program, or writing failed.
pub fn schema(out: &mut dyn Write) -> Result<(), Failure> {
    let schema = schema::schema().map_err(Failure::Fault)?;
    serde_json::to_writer_pretty(&mut *out, &schema)?;
    writeln!(out)?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches a subcommand that completions or the manual page do not know, and a manual page that says nothing of options.
    #[test]
    fn completions_and_manual_know_every_subcommand() {
        let mut page = Vec::new();
        man(&mut page).unwrap();
        let page = String::from_utf8(page).unwrap();
        assert!(
            page.contains("\\-\\-one\\-side") && page.contains(".TH"),
            "{page}"
        );
        for shell in [
            Shell::Bash,
            Shell::Zsh,
            Shell::Fish,
            Shell::PowerShell,
            Shell::Elvish,
        ] {
            let mut text = Vec::new();
            completions(shell, &mut text).unwrap();
            let text = String::from_utf8(text).unwrap();
            for sub in Cli::command().get_subcommands() {
                assert!(text.contains(sub.get_name()), "{shell}: {}", sub.get_name());
                let heading = format!("PARTYWALL {}", sub.get_name().to_uppercase());
                assert!(page.contains(&heading), "{heading}");
            }
        }
    }

    /// Catches a subcommand without an example in its help.
    #[test]
    fn every_subcommand_has_an_example() {
        for sub in Cli::command().get_subcommands() {
            let help = sub
                .get_after_help()
                .map(ToString::to_string)
                .unwrap_or_default();
            assert!(
                help.contains(&format!("partywall {}", sub.get_name())),
                "{}",
                sub.get_name()
            );
        }
    }
}
