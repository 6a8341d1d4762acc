//! What is wrong with a user's input, where, and what to try. Shared by the scenario and climate readers.

use std::fmt;

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};

/// How bad a problem is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Severity {
    /// The input cannot be used.
    Error,
    /// The input can be used, but the user should look.
    Warning,
}

/// A place in a text file with the line it is on.
#[derive(Debug, Clone, PartialEq, Eq)]
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

/// One problem in an input file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// Error or warning.
    pub severity: Severity,
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

/// Problems as labelled excerpts of the file, for reading; `colour` puts terminal colours in.
#[must_use]
pub fn render(problems: &Problems, colour: bool) -> String {
    let renderer = if colour {
        Renderer::styled()
    } else {
        Renderer::plain()
    };
    let mut text = String::new();
    for p in &problems.0 {
        text.push_str(&renderer.render(&[group(p)]));
        text.push_str("\n\n");
    }
    text
}

/// One problem with its excerpt. A place beyond the end of a cut line is told in words instead.
fn group(p: &Problem) -> Group<'_> {
    let level = match p.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
    };
    let title = level.primary_title(p.what.as_str());
    let mut group = match p
        .place
        .as_ref()
        .and_then(|place| Some((place, span(place)?)))
    {
        Some((place, span)) => {
            let mark = AnnotationKind::Primary.span(span);
            let mark = match &p.expected {
                Some(e) => mark.label(format!("expected {e}")),
                None => mark,
            };
            title.element(
                Snippet::source(place.text.as_str())
                    .line_start(place.line)
                    .path(p.file.as_str())
                    .annotation(mark),
            )
        }
        None => {
            let at = match &p.place {
                Some(place) => format!("{}:{}:{}", p.file, place.line, place.column),
                None => p.file.clone(),
            };
            let group = title.element(Level::NOTE.message(format!("in {at}")));
            match &p.expected {
                Some(e) => group.element(Level::NOTE.message(format!("expected {e}"))),
                None => group,
            }
        }
    };
    if let Some(help) = &p.help {
        group = group.element(Level::HELP.message(help.as_str()));
    }
    group
}

/// Bytes of a place in its own excerpt; `None` when the excerpt does not reach it.
fn span(place: &Place) -> Option<std::ops::Range<usize>> {
    let mut bytes = place.text.char_indices().map(|(i, _)| i);
    let start = match bytes.nth(place.column.checked_sub(1)?) {
        Some(i) => i,
        None if place.text.chars().count() + 1 == place.column => place.text.len(),
        None => return None,
    };
    let end = place
        .text
        .get(start..)?
        .char_indices()
        .nth(place.width)
        .map_or(place.text.len(), |(i, _)| start + i);
    Some(start..end)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn problem(text: &str, column: usize, width: usize) -> Problem {
        Problem {
            severity: Severity::Error,
            file: "hive.toml".to_owned(),
            place: Some(Place {
                line: 7,
                column,
                width,
                text: text.to_owned(),
            }),
            what: "\"19\" has no unit".to_owned(),
            expected: Some("a length".to_owned()),
            help: Some("write \"19 mm\"".to_owned()),
        }
    }

    /// Would catch a mark under the wrong letters, a lost help line, and a lost file name or line.
    #[test]
    fn marks_the_letters_meant() {
        let text = render(&Problems(vec![problem("wände = \"19\"", 9, 4)]), false);
        let lines: Vec<&str> = text.lines().collect();
        assert!(lines[1].contains("hive.toml:7:9"), "{text}");
        let at = lines.iter().find(|l| l.contains("^^^^")).unwrap();
        let source = lines.iter().find(|l| l.contains("wände")).unwrap();
        let column = |l: &str, what: &str| l[..l.find(what).unwrap()].chars().count();
        assert_eq!(column(at, "^^^^"), column(source, "\"19\""), "{text}");
        assert!(at.contains("expected a length"), "{text}");
        assert!(text.contains("help: write \"19 mm\""), "{text}");
    }

    /// Would catch a panic on a place outside its excerpt (a cut line, an end of file).
    #[test]
    fn places_outside_the_excerpt_are_told_in_words() {
        for (text, column, width) in [
            ("abc", 400, 2),
            ("", 1, 1),
            ("abc", 4, 9),
            ("abc", 0, 1),
            ("äöü", 3, 50),
        ] {
            let all = Problems(vec![problem(text, column, width)]);
            assert!(render(&all, false).contains("has no unit"));
            assert!(!render(&all, true).is_empty());
        }
        let mut nowhere = problem("", 1, 1);
        nowhere.place = None;
        assert!(render(&Problems(vec![nowhere]), false).contains("in hive.toml"));
    }
}
