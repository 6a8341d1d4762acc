//! The page that `compare`, `rank`, `update` and `climate` share: answers, pictures, tables, what they rest on.

use super::PageError;
use super::pictures::Shown;
use askama::Template;

/// One page. Whatever a user typed is escaped by the template.
#[derive(Template)]
#[template(path = "plain.html")]
pub struct Plain<'a> {
    /// The title.
    pub title: &'a str,
    /// Version of the program.
    pub version: &'a str,
    /// Where and when.
    pub place: String,
    /// What comes before any answer.
    pub first: Vec<&'a str>,
    /// The answers: page one.
    pub cards: Vec<Card>,
    /// Pictures in the order they are shown.
    pub pictures: Vec<Shown>,
    /// Tables and lists.
    pub sections: Vec<Section>,
    /// What it rests on, a line each.
    pub basis: Vec<String>,
    /// Cautions, a line each.
    pub cautions: &'a [&'a str],
    /// The command that gives it again.
    pub command: &'a str,
    /// What was read: names and texts.
    pub input: &'a [(String, String)],
}

/// One answer.
#[derive(Debug, Default)]
pub struct Card {
    /// Whose it is.
    pub name: String,
    /// Words before it.
    pub lead: String,
    /// The answer itself.
    pub answer: String,
    /// Words after it.
    pub more: String,
    /// Rows of the table below: what, and how much.
    pub rows: Vec<(String, String)>,
}

/// A heading with a table, a list, or both.
#[derive(Debug, Default)]
pub struct Section {
    /// The heading.
    pub heading: String,
    /// The table.
    pub table: Option<Table>,
    /// The list.
    pub lines: Vec<String>,
}

/// A table.
#[derive(Debug, Default)]
pub struct Table {
    /// What it shows.
    pub caption: String,
    /// Heads of the columns.
    pub head: Vec<&'static str>,
    /// Its rows.
    pub rows: Vec<Row>,
    /// Whether it is wider than a phone and scrolls in a frame of its own.
    pub wide: bool,
}

/// A row of a table.
#[derive(Debug, Default)]
pub struct Row {
    /// The cells, the first of them its name.
    pub cells: Vec<String>,
    /// Words below it; empty for none.
    pub note: String,
}

impl Plain<'_> {
    /// The page as one HTML file.
    ///
    /// # Errors
    /// A template that fails; a card, row or cell that tells what is not a number.
    pub fn html(&self) -> Result<String, PageError> {
        let cards = self.cards.iter().flat_map(|c| {
            let rows = c.rows.iter().map(|(_, words)| words);
            [&c.answer, &c.more].into_iter().chain(rows)
        });
        let rows = self.sections.iter().flat_map(|s| &s.table);
        let rows = rows.flat_map(|t| &t.rows);
        let cells = rows.flat_map(|r| r.cells.iter().skip(1).chain([&r.note]));
        for text in cards.chain(cells) {
            let mut words = text.split(|c: char| !c.is_ascii_alphanumeric());
            if words.any(|w| w == "NaN" || w == "inf") {
                return Err(PageError::NotANumber(text.clone()));
            }
        }
        Ok(self.render()?)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const EVIL: &str = "<script>alert(1)</script> & \"";

    fn page(answer: &str, cell: &str) -> Result<String, PageError> {
        let input = [(EVIL.to_owned(), EVIL.to_owned())];
        Plain {
            title: EVIL,
            version: EVIL,
            place: EVIL.to_owned(),
            first: vec![EVIL],
            cards: vec![Card {
                name: EVIL.to_owned(),
                lead: EVIL.to_owned(),
                answer: answer.to_owned(),
                more: EVIL.to_owned(),
                rows: vec![(EVIL.to_owned(), EVIL.to_owned())],
            }],
            pictures: Vec::new(),
            sections: vec![Section {
                heading: EVIL.to_owned(),
                table: Some(Table {
                    caption: EVIL.to_owned(),
                    head: vec!["What", "How much"],
                    rows: vec![Row {
                        cells: vec![EVIL.to_owned(), cell.to_owned()],
                        note: EVIL.to_owned(),
                    }],
                    wide: true,
                }),
                lines: vec![EVIL.to_owned()],
            }],
            basis: vec![EVIL.to_owned()],
            cautions: &[EVIL],
            command: EVIL,
            input: &input,
        }
        .html()
    }

    /// Catches anything typed by a user that reaches the page as markup, wherever it stands.
    #[test]
    fn everything_is_escaped() {
        let html = page(EVIL, EVIL).unwrap();
        assert!(!html.contains("<script"), "{html}");
        assert!(html.matches("alert(1)").count() >= 20);
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
