//! A document: what an answer says, in headings, lines, tables and lists, before it is text or a page.
//!
//! Each command makes one from its result; [`Document::text`] and [`Document::page`] write it.

mod figure;
mod html;
mod text;

pub use crate::words::WIDTH;
pub use figure::Figure;
pub use html::Made;

/// What an answer says.
#[derive(Debug, Default)]
pub struct Document {
    /// The title; empty for none.
    pub title: String,
    /// Which question it answers, where and when; empty for none.
    pub question: String,
    /// What comes before any answer.
    pub first: Vec<String>,
    /// The answers, mostly one a hive: page one.
    pub answers: Vec<Answer>,
    /// Pictures in the order they are shown; a text has none.
    pub figures: Vec<Figure>,
    /// What belongs to no single answer.
    pub sections: Vec<Section>,
    /// What it rests on, a line each.
    pub basis: Vec<String>,
    /// Cautions, a line each.
    pub cautions: &'static [&'static str],
}

/// One answer.
#[derive(Debug, Default)]
pub struct Answer {
    /// Whose it is.
    pub name: String,
    /// Words before it.
    pub lead: String,
    /// The answer itself.
    pub answer: String,
    /// Words after it.
    pub more: String,
    /// What else must be known, in few words.
    pub lines: Vec<Line>,
    /// Tables and lists behind it; their headings follow its name, as "all hives" does in "Left: all hives".
    pub sections: Vec<Section>,
}

impl Answer {
    /// Heading of a section behind the answer.
    fn heading(&self, section: &Section) -> String {
        format!("{}: {}", self.name, section.heading)
    }
}

/// A label and words beside it.
#[derive(Debug)]
pub struct Line {
    /// What.
    pub label: String,
    /// How much of it, and how.
    pub words: String,
    /// Whether a table of the same answer tells it again: a page tells it on its first sheet too, a text, read in one go, does not.
    pub again: bool,
}

impl Line {
    /// A line told nowhere else.
    pub fn new(label: impl Into<String>, words: impl Into<String>) -> Self {
        Self {
            label: label.into(),
            words: words.into(),
            again: false,
        }
    }

    /// A line that a table of the same answer tells again.
    pub fn again(label: impl Into<String>, words: impl Into<String>) -> Self {
        Self {
            again: true,
            ..Self::new(label, words)
        }
    }
}

/// A heading with what stands below it.
#[derive(Debug, Default)]
pub struct Section {
    /// The heading.
    pub heading: String,
    /// The table.
    pub table: Option<Table>,
    /// Paragraphs of a list.
    pub list: Vec<String>,
}

impl Section {
    /// A list under a heading.
    pub fn list(heading: impl Into<String>, list: Vec<String>) -> Self {
        Self {
            heading: heading.into(),
            list,
            ..Self::default()
        }
    }

    /// A table under a heading.
    pub fn table(heading: impl Into<String>, table: Table) -> Self {
        Self {
            heading: heading.into(),
            table: Some(table),
            ..Self::default()
        }
    }

    /// Whether there is nothing below the heading.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.table.is_none() && self.list.is_empty()
    }
}

/// A table.
#[derive(Debug, Default)]
pub struct Table {
    /// What it shows; empty where the heading says it.
    pub caption: String,
    /// Its columns.
    pub columns: Vec<Column>,
    /// Its rows.
    pub rows: Vec<Row>,
    /// Whether it is wider than a phone and scrolls in a frame of its own.
    pub wide: bool,
}

/// A column of a table.
#[derive(Debug, Clone, Copy)]
pub struct Column {
    /// Its head.
    pub head: &'static str,
    /// On which side its cells line up in a text.
    pub align: Align,
    /// Characters at most in a text, where words allow; `None` for as many as its widest cell has.
    pub width: Option<usize>,
}

/// A side of a column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Align {
    /// Words.
    Left,
    /// Figures.
    Right,
}

impl Column {
    /// A column of words.
    #[must_use]
    pub const fn words(head: &'static str) -> Self {
        Self {
            head,
            align: Align::Left,
            width: None,
        }
    }

    /// A column of figures.
    #[must_use]
    pub const fn figures(head: &'static str) -> Self {
        Self {
            align: Align::Right,
            ..Self::words(head)
        }
    }

    /// The same, folded at so many characters.
    #[must_use]
    pub const fn at_most(self, width: usize) -> Self {
        Self {
            width: Some(width),
            ..self
        }
    }
}

/// A row of a table.
#[derive(Debug, Default)]
pub struct Row {
    /// The cells, the first of them its name. A row of one cell is a heading of those below it.
    pub cells: Vec<String>,
    /// Words below it.
    pub notes: Vec<String>,
}

impl Row {
    /// A row without notes.
    #[must_use]
    pub fn of(cells: impl Into<Vec<String>>) -> Self {
        Self {
            cells: cells.into(),
            notes: Vec::new(),
        }
    }

    /// A heading of the rows below.
    #[must_use]
    pub fn heading(words: &str) -> Self {
        Self::of([words.to_owned()])
    }
}
