//! What is wrong with a user's input, as labelled excerpts of the file.

use crate::text;
use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};
use partywall_core::problem::{MOST_KEPT, Place, Problem, Problems, Severity};

/// Problems as labelled excerpts of the file, for reading; `colour` puts terminal colours in.
#[must_use]
pub fn render(problems: &Problems, colour: bool) -> String {
    let renderer = if colour {
        Renderer::styled()
    } else {
        Renderer::plain()
    };
    let told = first(&problems.0);
    let mut text = String::new();
    for p in &told {
        text.push_str(&renderer.render(&[group(p)]));
        text.push_str("\n\n");
    }
    match problems.0.len() - told.len() {
        0 => {}
        n if n >= MOST_KEPT - MOST => text.push_str(&text!("problems.and_many_more", count = n)),
        n => text.push_str(&text!("problems.and_more", count = n)),
    }
    text
}

/// Most problems told at once: more are not read (a choice).
const MOST: usize = 20;

/// The first of them in their order, errors before warnings where there are too many.
fn first(all: &[Problem]) -> Vec<&Problem> {
    let is_error = |p: &Problem| p.severity == Severity::Error;
    let errors = all.iter().filter(|p| is_error(p)).count().min(MOST);
    let mut left = [errors, MOST - errors];
    let mut fits = |p: &&Problem| {
        let left = &mut left[usize::from(!is_error(p))];
        let fits = *left > 0;
        *left = left.saturating_sub(1);
        fits
    };
    all.iter().filter(|p| fits(p)).collect()
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
            code: "slip",
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
