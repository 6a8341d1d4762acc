//! A document: what an answer says, in headings, lines, tables and lists, before it is text or a page.
//!
//! Each command makes one from its result; [`Document::text`] and [`Document::page`] write it.

mod figure;
mod html;
mod text;

pub use crate::words::WIDTH;
pub use figure::Figure;
pub use html::{Made, PageError};

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
    pub cautions: Vec<String>,
    /// What a page prints on sheets of their own, to be taken along; a text has none.
    pub sheets: Vec<Answer>,
    /// What a page holds to check the answers by, behind all else; a text has none.
    pub appendix: Vec<Section>,
}

/// One answer.
#[derive(Debug, Default)]
pub struct Answer {
    /// Whose it is.
    pub name: String,
    /// Words before it.
    pub lead: String,
    /// The answer itself; empty where the words before it say all.
    pub answer: String,
    /// Words right behind it.
    pub behind: String,
    /// Words below it.
    pub more: String,
    /// How it stands in a word, and what that is of: for a page, where it stands out.
    pub status: Option<[String; 2]>,
    /// The answer at length, a paragraph each: a text has them in place of the words below it, a page behind page one.
    pub long: Vec<String>,
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
    /// Whether the same answer tells it again, in a table or at length: a page tells it on its first sheet too, a text, read in one go, does
    /// not.
    pub again: bool,
    /// Whether there is nothing to do about it: left out on paper where a sheet holds many answers.
    pub calm: bool,
}

impl Line {
    /// A line told nowhere else.
    pub fn new(label: impl Into<String>, words: impl Into<String>) -> Self {
        Self {
            label: label.into(),
            words: words.into(),
            again: false,
            calm: false,
        }
    }

    /// A line that the same answer tells again, in a table or at length.
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
    /// Whether each of them has a box to tick.
    pub boxes: bool,
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
    /// How a page shows it.
    pub form: Form,
}

/// How a page shows a table.
#[derive(Debug, Default, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// As wide as the page.
    #[default]
    Plain,
    /// Wider than a phone: it scrolls in a frame of its own.
    Wide,
    /// Figures under each other.
    Numbers,
    /// Keys and values in small letters.
    Values,
    /// Lines to write into.
    Log,
}

impl Form {
    /// Its name in the stylesheet.
    fn class(self) -> &'static str {
        match self {
            Self::Plain | Self::Wide => "list",
            Self::Numbers => "numbers",
            Self::Values => "values",
            Self::Log => "log",
        }
    }
}

impl Table {
    /// Whether any of its columns has a head.
    fn headed(&self) -> bool {
        self.columns.iter().any(|c| !c.head.is_empty())
    }
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
