//! A picture inside a page: named and described for those who do not see it.

use crate::pictures::{Picture, svg::svg};

/// A picture of a page in both its forms; the page shows one of them.
#[derive(Debug)]
pub struct Figure {
    /// The SVG with its role, title and size.
    pub svg: String,
    /// The same for a phone.
    pub narrow: String,
    /// What stands below it.
    pub caption: String,
}

impl Figure {
    /// A picture with its number on the page and its caption; `told` is said to those who do not see it.
    #[must_use]
    pub fn new(p: &Picture, number: usize, caption: String, told: &str) -> Self {
        let form = |drawing, id: String| svg(drawing, Some([&id, told]));
        Self {
            svg: form(&p.wide, format!("picture-{number}")),
            narrow: form(&p.narrow, format!("picture-{number}-narrow")),
            caption,
        }
    }

    /// As [`Self::new`], where the caption is said first to those who do not see it.
    #[must_use]
    pub fn captioned(p: &Picture, number: usize, caption: &str, told: &str) -> Self {
        Self::new(p, number, caption.to_owned(), &format!("{caption} {told}"))
    }
}
