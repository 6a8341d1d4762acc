//! The pictures inside the page: drawn by this program, named and described for those who do not see them.

use crate::document::Figure;
use crate::pictures::Picture;
use crate::texts::listed;
use partywall_core::answer::run::RunResult;

/// Kinds of pictures by the start of their name, in the order in which they come: caption and description.
fn kinds() -> [(&'static str, &'static [String]); 8] {
    [
        ("cutaway", listed("figures.cutaway")),
        ("weakest", listed("figures.weakest")),
        ("surfaces", listed("figures.surfaces")),
        ("damp", listed("figures.damp")),
        ("stores", listed("figures.stores")),
        ("strip", listed("figures.strip")),
        ("frames", listed("figures.frames")),
        ("season", listed("figures.season")),
    ]
}

/// Puts the pictures in order and makes them ready for the page.
pub fn shown(pictures: &[Picture], r: &RunResult) -> Vec<Figure> {
    let mut out = Vec::new();
    for (kind, words) in kinds() {
        let [caption, told] = words else { continue };
        for (i, p) in pictures.iter().enumerate() {
            let mut parts = p.name.split('-');
            if parts.next() != Some(kind) {
                continue;
            }
            let number = parts.next().and_then(|n| n.parse::<usize>().ok());
            let hive = number
                .and_then(|n| r.colonies.get(n.checked_sub(1)?))
                .map_or_else(String::new, |c| format!("{}: ", c.stack));
            out.push(Figure::new(
                p,
                i,
                format!("{hive}{caption}"),
                &format!("{hive}{told}"),
            ));
        }
    }
    out
}
