//! A document as one HTML file that holds all it needs: no network, no script. Page one prints on one sheet.

use super::{Document, Section, Table};
use crate::page::PageError;
use askama::Template;

/// How a page was made, and how it is made again.
#[derive(Debug, Clone, Copy)]
pub struct Made<'a> {
    /// Version of the program.
    pub version: &'a str,
    /// The command that gives it again.
    pub command: &'a str,
    /// What was read: names and texts.
    pub input: &'a [(String, String)],
}

/// The page. Whatever a user typed is escaped by the template.
#[derive(Template)]
#[template(path = "document.html")]
struct Page<'a> {
    title: &'a str,
    version: &'a str,
    document: &'a Document,
    made: Made<'a>,
}

impl Page<'_> {
    /// All sections, those of the answers first, under the names of these.
    fn sections(&self) -> impl Iterator<Item = Part<'_>> {
        let behind = self.document.answers.iter().flat_map(|a| {
            let sections = a.sections.iter();
            sections.map(move |s| Part::of(s, a.heading(s)))
        });
        let rest = self.document.sections.iter();
        let rest = rest.filter(|s| !s.is_empty());
        behind.chain(rest.map(|s| Part::of(s, s.heading.clone())))
    }
}

/// A section with its heading on the page.
struct Part<'a> {
    heading: String,
    table: Option<&'a Table>,
    list: &'a [String],
}

impl<'a> Part<'a> {
    fn of(s: &'a Section, heading: String) -> Self {
        Self {
            heading,
            table: s.table.as_ref(),
            list: &s.list,
        }
    }
}

impl Document {
    /// The document as a page.
    ///
    /// # Errors
    /// A template that fails; an answer, line or cell that tells what is not a number.
    pub fn page(&self, made: Made<'_>) -> Result<String, PageError> {
        self.finite()?;
        let page = Page {
            title: &self.title,
            version: made.version,
            document: self,
            made,
        };
        Ok(page.render()?)
    }

    /// Whether all figures are numbers; names may be anything.
    fn finite(&self) -> Result<(), PageError> {
        let answers = self.answers.iter().flat_map(|a| {
            let lines = a.lines.iter().map(|l| &l.words);
            [&a.answer, &a.more].into_iter().chain(lines)
        });
        let behind = self.answers.iter().flat_map(|a| &a.sections);
        let rows = behind.chain(&self.sections).flat_map(|s| &s.table);
        let rows = rows.flat_map(|t| &t.rows);
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
    use super::super::{Answer, Column, Line, Row};
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
                wide: true,
            }),
            list: vec![evil()],
        };
        let document = Document {
            title: evil(),
            question: evil(),
            first: vec![evil()],
            answers: vec![Answer {
                name: evil(),
                lead: evil(),
                answer: answer.to_owned(),
                more: evil(),
                lines: vec![Line::again(EVIL, EVIL)],
                sections: vec![section()],
            }],
            figures: Vec::new(),
            sections: vec![section()],
            basis: vec![evil()],
            cautions: &[EVIL],
        };
        document.page(Made {
            version: EVIL,
            command: EVIL,
            input: &[(evil(), evil())],
        })
    }

    /// Catches anything typed by a user that reaches the page as markup, wherever it stands.
    #[test]
    fn everything_is_escaped() {
        let html = page(EVIL, EVIL).unwrap();
        assert!(!html.contains("<script"), "{html}");
        assert!(html.matches("alert(1)").count() >= 30);
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
