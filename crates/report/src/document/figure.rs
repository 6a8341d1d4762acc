//! A picture inside a page: named and described for those who do not see it.

use crate::pictures::Picture;

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
        let form = |svg: &[u8], id: &str| named(&String::from_utf8_lossy(svg), id, told);
        Self {
            svg: form(&p.svg, &format!("picture-{number}")),
            narrow: form(&p.narrow, &format!("picture-{number}-narrow")),
            caption,
        }
    }

    /// As [`Self::new`], where the caption is said first to those who do not see it.
    #[must_use]
    pub fn captioned(p: &Picture, number: usize, caption: &str, told: &str) -> Self {
        Self::new(p, number, caption.to_owned(), &format!("{caption} {told}"))
    }
}

/// An SVG element with role and title, and numbers cut to what is seen.
fn named(svg: &str, id: &str, title: &str) -> String {
    let escaped = title
        .replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;");
    let Some((open, rest)) = svg.split_once('>') else {
        return String::new();
    };
    let open = open.replacen(
        "<svg ",
        &format!("<svg role=\"img\" aria-labelledby=\"{id}\" "),
        1,
    );
    format!(
        "{open}><title id=\"{id}\">{escaped}</title>{}",
        rest.replace(" opacity=\"1\"", "").replace(">\n<", "><")
    )
}
