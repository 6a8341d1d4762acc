//! What is wrong with a user's input, where, and what to try. Shared by the scenario and climate readers.

use std::fmt;

/// How bad a problem is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Severity {
    /// The input cannot be used.
    Error,
    /// The input can be used, but the user should look.
    Warning,
}

/// A place in a text file with the line it is on.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Place {
    /// 1-based line.
    pub line: usize,
    /// 1-based column, in characters.
    pub column: usize,
    /// How many characters are meant.
    pub width: usize,
    /// The whole line, for the excerpt (long lines cut by the reader).
    pub text: String,
}

/// Most problems of one severity that are kept of one text: a file with more is something else altogether (a choice).
pub const MOST_KEPT: usize = 1000;

/// Codes of the warnings that what the scale leaves for stores and what was counted differ by more than the weighing can be wrong.
pub const STORES_DISAGREE: [&str; 2] = ["scale_above_combs", "scale_disagrees"];

/// One problem in an input file.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Problem {
    /// Error or warning.
    pub severity: Severity,
    /// What it is, for programs: words change, codes do not. Those of a scenario are the rows of its table of messages.
    pub code: &'static str,
    /// File as the user named it.
    pub file: String,
    /// Where in it, if it has a place.
    pub place: Option<Place>,
    /// What is wrong, in one sentence.
    pub what: String,
    /// What was expected there.
    pub expected: Option<String>,
    /// What to try.
    pub help: Option<String>,
}

/// All problems of one input, in file order. An error when any of them is.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Problems(pub Vec<Problem>);

impl Problems {
    /// Whether any problem is an error.
    #[must_use]
    pub fn any_error(&self) -> bool {
        self.0.iter().any(|p| p.severity == Severity::Error)
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.place {
            Some(p) => write!(f, "{}:{}:{}: {}", self.file, p.line, p.column, self.what),
            None => write!(f, "{}: {}", self.file, self.what),
        }
    }
}

impl fmt::Display for Problems {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, p) in self.0.iter().enumerate() {
            if i > 0 {
                writeln!(f)?;
            }
            write!(f, "{p}")?;
        }
        Ok(())
    }
}

impl std::error::Error for Problems {}
