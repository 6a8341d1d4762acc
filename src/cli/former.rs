//! Options that were called otherwise before: their former name is answered with the one they have now.

use super::Cli;
use clap::Parser;
use clap::error::{ContextKind, ContextValue};

/// Former and present name of every option that was renamed.
const RENAMED: [(&str, &str); 2] = [("--made-up", "--synthetic"), ("--kept", "--accepted")];

impl Cli {
    /// Reads the program's arguments. Help and mistakes are printed, and end the program.
    #[must_use]
    pub fn read() -> Self {
        Self::try_parse().unwrap_or_else(|e| answered(e).exit())
    }
}

/// A mistake with the present name of the option, if it is a former name.
fn answered(mut mistake: clap::Error) -> clap::Error {
    let given = mistake
        .get(ContextKind::InvalidArg)
        .map(ToString::to_string);
    let renamed = RENAMED
        .iter()
        .find(|(former, _)| given.as_deref() == Some(former));
    if let Some((former, now)) = renamed {
        mistake.remove(ContextKind::SuggestedArg);
        let words = format!("'{former}' is called '{now}' now").into();
        mistake.insert(
            ContextKind::Suggested,
            ContextValue::StyledStrs(vec![words]),
        );
    }
    mistake
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches a former name that is answered like any slip of the pen, and a present name that is no option.
    #[test]
    fn former_names_are_answered_with_the_present_ones() {
        let said = |args: &[&str]| {
            let error = Cli::try_parse_from([&["partywall"], args].concat()).unwrap_err();
            answered(error).to_string()
        };
        let made = said(&["run", "single", "--made-up", "20"]);
        assert!(
            made.contains("'--made-up' is called '--synthetic' now"),
            "{made}"
        );
        let kept = said(&["parameters", "--kept"]);
        assert!(
            kept.contains("'--kept' is called '--accepted' now"),
            "{kept}"
        );
        let other = said(&["parameters", "--kapt"]);
        assert!(!other.contains("now"), "{other}");
        for args in [
            &["run", "single", "--synthetic", "20"][..],
            &["parameters", "--accepted"],
        ] {
            Cli::try_parse_from([&["partywall"], args].concat()).unwrap();
        }
    }
}
