//! A document as one HTML file that holds all it needs: no network, no script. Page one prints on one sheet.

use super::{Answer, Document, Form, Section, Table};
use crate::text;
use askama::Template;

/// How a page was made, and how it is made again.
#[derive(Debug, Clone, Copy)]
pub struct Made<'a> {
    /// Version of the program.
    pub version: &'a str,
    /// The command that gives it again.
    pub command: &'a str,
    /// What was read: names and texts.
    pub input: &'a [(&'a str, &'a str)],
}

/// Why a page was not made.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum PageError {
    /// The template failed.
    #[error("the report could not be written: {0}")]
    Template(#[from] askama::Error),
    /// A table of the program is damaged.
    #[error("a table of this program is damaged: {0}")]
    Table(String),
    /// A number that is not a number would have been printed.
    #[error("the report would have shown \"{0}\" as a number")]
    NotANumber(String),
}

/// The page. Whatever a user typed is escaped by the template.
#[derive(Template)]
#[template(path = "document.html")]
struct Page<'a> {
    document: &'a Document,
    made: Made<'a>,
}

impl Page<'_> {
    /// All sections, those of the answers first, under the names of these.
    fn sections(&self) -> impl Iterator<Item = Part<'_>> {
        let behind = self.document.answers.iter().flat_map(|a| {
            let sections = a.sections.iter();
            let long = Part {
                heading: text!("page.at_length", name = a.name),
                list: &a.long,
                ..Part::default()
            };
            std::iter::once(long).chain(sections.map(move |s| Part::under(a.heading(s), s)))
        });
        let rest = self.document.sections.iter().map(Part::alone);
        behind
            .chain(rest)
            .filter(|p| p.table.is_some() || !p.list.is_empty())
    }
}

/// A section with its heading on the page.
#[derive(Default)]
struct Part<'a> {
    heading: String,
    table: Option<&'a Table>,
    list: &'a [String],
    boxes: bool,
}

impl<'a> Part<'a> {
    fn alone(s: &'a Section) -> Self {
        Self::under(s.heading.clone(), s)
    }

    fn under(heading: String, s: &'a Section) -> Self {
        Self {
            heading,
            table: s.table.as_ref(),
            list: &s.list,
            boxes: s.boxes,
        }
    }

    /// Whether a cell is left to be written into.
    fn blank(cell: &str) -> bool {
        cell.chars().all(|c| c == '_')
    }
}

impl Document {
    /// The document as a page.
    ///
    /// # Errors
    /// A template that fails; an answer, line or cell that tells what is not a number.
    pub fn page(&self, made: Made<'_>) -> Result<String, PageError> {
        self.finite()?;
        let document = self;
        Ok(Page { document, made }.render()?)
    }

    /// Whether all figures are numbers; names may be anything.
    fn finite(&self) -> Result<(), PageError> {
        let all = || self.answers.iter().chain(&self.sheets);
        let answers = all().flat_map(|a: &Answer| {
            let lines = a.lines.iter().map(|l| &l.words);
            [&a.answer, &a.more].into_iter().chain(lines).chain(&a.long)
        });
        let behind = all().flat_map(|a| &a.sections);
        let sections = behind.chain(&self.sections).chain(&self.appendix);
        let rows = sections.flat_map(|s| &s.table).flat_map(|t| &t.rows);
        let cells = rows.flat_map(|r| r.cells.iter().skip(1).chain(&r.notes));
        for text in answers.chain(cells) {
            let mut words = text.split(|c: char| !c.is_ascii_alphanumeric());
            if words.any(|w| w == "NaN" || w == "inf") {
                return Err(PageError::NotANumber(text.clone()));
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Column, Line, Row};
    use super::*;

    const EVIL: &str = "<script>alert(1)</script> & \"";

    fn page(answer: &str, cell: &str) -> Result<String, PageError> {
        let evil = || EVIL.to_owned();
        let section = || Section {
            heading: evil(),
            table: Some(Table {
                caption: evil(),
                columns: vec![Column::words("What"), Column::figures("How much")],
                rows: vec![
                    Row::heading(EVIL),
                    Row {
                        cells: vec![evil(), cell.to_owned()],
                        notes: vec![evil()],
                    },
                ],
                form: Form::Wide,
            }),
            list: vec![evil()],
            boxes: true,
        };
        let told = || Answer {
            name: evil(),
            lead: evil(),
            answer: answer.to_owned(),
            behind: evil(),
            more: evil(),
            status: Some([evil(), evil()]),
            long: vec![evil()],
            lines: vec![Line::again(EVIL, EVIL)],
            sections: vec![section()],
        };
        let document = Document {
            title: evil(),
            question: evil(),
            first: vec![evil()],
            answers: vec![told()],
            figures: Vec::new(),
            sections: vec![section()],
            basis: vec![evil()],
            cautions: vec![evil()],
            sheets: vec![told()],
            appendix: vec![section()],
        };
        document.page(Made {
            version: EVIL,
            command: EVIL,
            input: &[(&evil(), &evil())],
        })
    }

    /// Catches anything typed by a user that reaches the page as markup, wherever it stands.
    #[test]
    fn everything_is_escaped() {
        let html = page(EVIL, EVIL).unwrap();
        assert!(!html.contains("<script"), "{html}");
        assert!(html.matches("alert(1)").count() >= 55);
        assert!(html.contains("colspan=\"2\""));
    }

    /// Catches a page that tells "NaN" as a figure, and one refused for a word that only begins like it.
    #[test]
    fn what_is_no_number_is_not_told() {
        for bad in ["NaN kg (NaN lb) more honey", "inf kg", "-inf kg"] {
            assert!(page(bad, "1 kg").is_err(), "{bad}");
            let told = page("1 kg", bad).unwrap_err().to_string();
            assert!(told.contains(bad), "{told}");
        }
        assert!(page("information, Nantes", "infinite").is_ok());
    }
}
