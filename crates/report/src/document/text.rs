//! A document as text: paragraphs folded, columns lined up, what repeats itself left out.

use super::{Align, Answer, Column, Document, Line, Row, Section, Table};
use crate::texts::said;
use crate::words::{WIDTH, para, para_behind};

/// Blanks before what stands below a heading.
const INDENT: &str = "  ";
/// Blanks between two columns.
const GAP: usize = 2;
/// Blanks before the words below a row.
const NOTE: &str = "      ";
/// Widest label with words beside it; a longer one has them behind a colon.
const LABEL: usize = 26;

impl Document {
    /// The document as text.
    #[must_use]
    pub fn text(&self) -> String {
        let mut parts: Vec<String> = vec![opening(self)];
        parts.extend(self.answers.iter().flat_map(answer));
        parts.extend(self.sections.iter().map(section));
        parts.push(section(&Section::list(
            said("page.rests_on"),
            self.basis.clone(),
        )));
        parts.push(section(&Section::list(
            said("page.cautions"),
            self.cautions.clone(),
        )));
        parts.retain(|p| !p.is_empty());
        parts.join("\n")
    }
}

fn opening(d: &Document) -> String {
    let mut t = String::new();
    for words in [&d.title].into_iter().chain(&d.first).chain([&d.question]) {
        if !words.is_empty() {
            para(&mut t, "", words);
        }
    }
    t
}

/// An answer, and each section behind it.
fn answer(a: &Answer) -> Vec<String> {
    let mut t = String::new();
    let name = a.name.to_uppercase();
    let head = format!("{name}: {} {} {}", a.lead, a.answer, a.behind);
    para(&mut t, "", &head);
    if a.long.is_empty() && !a.more.is_empty() {
        para(&mut t, INDENT, &a.more);
    }
    for words in &a.long {
        para(&mut t, INDENT, words);
    }
    let lines: Vec<&Line> = a.lines.iter().filter(|l| !l.again).collect();
    labelled(&mut t, &lines);
    let mut parts = vec![t];
    parts.extend(a.sections.iter().map(|s| section_under(&a.heading(s), s)));
    parts
}

/// Labels with words beside them, blanks kept: rows of blanks are written into.
fn labelled(t: &mut String, lines: &[&Line]) {
    let lengths = lines.iter().map(|l| length(&l.label));
    let width = lengths.filter(|n| *n <= LABEL).max().unwrap_or_default();
    for l in lines {
        if length(&l.label) > width {
            para_behind(t, INDENT, "    ", &format!("{}: {}", l.label, l.words));
            continue;
        }
        let room = WIDTH.saturating_sub(INDENT.len() + width + GAP);
        let mut label = l.label.as_str();
        for words in folded(&l.words, room) {
            push(t, &format!("{INDENT}{label:width$}{:GAP$}{words}", ""));
            label = "";
        }
    }
}

fn section(s: &Section) -> String {
    section_under(&s.heading, s)
}

fn section_under(heading: &str, s: &Section) -> String {
    let mut t = String::new();
    if s.is_empty() {
        return t;
    }
    if !heading.is_empty() {
        para(&mut t, "", heading);
    }
    if let Some(found) = &s.table {
        table(&mut t, found);
    }
    let first = if s.boxes { "  [ ] " } else { INDENT };
    for words in &s.list {
        para_behind(&mut t, first, "    ", words);
    }
    t
}

fn table(t: &mut String, table: &Table) {
    if !table.caption.is_empty() {
        para(t, INDENT, &table.caption);
    }
    let heads: Vec<String> = table.columns.iter().map(|c| c.head.to_owned()).collect();
    let widths: Vec<usize> = (0..table.columns.len()).map(|i| width(table, i)).collect();
    if table.headed() {
        row(t, &table.columns, &widths, &heads, true);
    }
    for Row { cells, notes } in &table.rows {
        match cells.as_slice() {
            [heading] => para(t, INDENT, heading),
            cells => row(t, &table.columns, &widths, cells, false),
        }
        for words in notes {
            para_behind(t, NOTE, NOTE, words);
        }
    }
}

/// Width of a column: that of its widest line, folded where it must be.
fn width(table: &Table, i: usize) -> usize {
    let column = table.columns.get(i);
    let most = column.and_then(|c| c.width).unwrap_or(usize::MAX);
    let cells = table.rows.iter().filter(|r| r.cells.len() > 1);
    let cells = cells.filter_map(|r| r.cells.get(i));
    let cells = cells.flat_map(|words| folded(words, most));
    let head = column.iter().flat_map(|c| c.head.split('\n'));
    let widths = cells.map(|l| length(&l)).chain(head.map(length));
    widths.max().unwrap_or_default()
}

/// Writes cells side by side, heads at the foot of their row.
fn row(t: &mut String, columns: &[Column], widths: &[usize], cells: &[String], head: bool) {
    let folded: Vec<Vec<String>> = cells
        .iter()
        .zip(widths)
        .map(|(c, w)| folded(c, *w))
        .collect();
    let height = folded.iter().map(Vec::len).max().unwrap_or_default();
    for i in 0..height {
        let mut line = String::new();
        for ((lines, width), column) in folded.iter().zip(widths).zip(columns) {
            let at = if head {
                (i + lines.len()).checked_sub(height)
            } else {
                Some(i)
            };
            let words = at.and_then(|at| lines.get(at)).map_or("", String::as_str);
            let gap = if line.is_empty() { INDENT.len() } else { GAP };
            line += &" ".repeat(gap);
            line += &match column.align {
                Align::Left => format!("{words:<width$}"),
                Align::Right => format!("{words:>width$}"),
            };
        }
        push(t, &line);
    }
}

/// Words in lines of at most `width` characters where they allow, blanks and line ends kept.
fn folded(words: &str, width: usize) -> Vec<String> {
    let mut lines = Vec::new();
    for part in words.split('\n') {
        let mut line = String::new();
        for (i, word) in part.split(' ').enumerate() {
            if i > 0 && length(&line) + 1 + length(word) > width {
                lines.push(std::mem::take(&mut line));
            } else if i > 0 {
                line.push(' ');
            }
            line.push_str(word);
        }
        lines.push(line);
    }
    lines
}

fn length(words: &str) -> usize {
    words.chars().count()
}

/// Writes a line without the blanks behind it.
fn push(t: &mut String, line: &str) {
    t.push_str(line.trim_end());
    t.push('\n');
}

#[cfg(test)]
mod tests {
    use super::super::Form;
    use super::*;

    /// Catches cells that run into each other, figures not lined up, words of a folded cell or of a note lost, and blanks behind a line.
    #[test]
    fn tables_line_up() {
        let long = "a change with so many words that it must be folded";
        let table = Table {
            caption: "What it shows".to_owned(),
            columns: vec![
                Column::words("change").at_most(20),
                Column::figures("honey\nleft"),
            ],
            rows: vec![
                Row::heading("Too close to call"),
                Row {
                    cells: vec![long.to_owned(), "1 kg".to_owned()],
                    notes: vec!["beside it".to_owned()],
                },
                Row::of(["none".to_owned(), "13.5 kg".to_owned()]),
            ],
            form: Form::Plain,
        };
        let told = section(&Section::table("All of them", table));
        let want = [
            "All of them",
            "  What it shows",
            "                        honey",
            "  change                 left",
            "  Too close to call",
            "  a change with so       1 kg",
            "  many words that it",
            "  must be folded",
            "      beside it",
            "  none                13.5 kg",
            "",
        ];
        let want = want.join("\n");
        assert_eq!(told, want);
    }

    /// Catches a line left out that is told nowhere else, one told twice, blanks to write into that are closed up, and a line too wide.
    #[test]
    fn answers_are_told_once() {
        let document = Document {
            title: "Two hives".to_owned(),
            first: vec!["Count mites first.".to_owned()],
            answers: vec![Answer {
                name: "Left".to_owned(),
                lead: "Most honey:".to_owned(),
                answer: "foam".to_owned(),
                lines: vec![
                    Line::again("Least", "the wrap"),
                    Line::new("Today", "front ____   back ____"),
                    Line::new("How sure", "words ".repeat(40).trim()),
                ],
                ..Answer::default()
            }],
            cautions: vec!["No figure here is a chance of survival.".to_owned()],
            ..Document::default()
        };
        let text = document.text();
        assert!(text.starts_with("Two hives\nCount mites first.\n\nLEFT: Most honey: foam\n  Today     front ____   back ____\n"), "{text}");
        assert!(
            text.ends_with("\n\nCautions\n  No figure here is a chance of survival.\n"),
            "{text}"
        );
        assert!(
            !text.contains("the wrap") && !text.contains("rests on"),
            "{text}"
        );
        assert_eq!(text.matches("words").count(), 40);
        assert!(
            text.lines()
                .all(|l| length(l) <= WIDTH && l == l.trim_end())
        );
    }
}
