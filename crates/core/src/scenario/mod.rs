//! What the user wrote: typed, checked, with every default stated.
//!
//! [`parse`] reads a text, [`built_in`] one of the scenarios that come with the program. Each gives the
//! [`Scenario`](crate::stand::Scenario) together with how every value was read, or all problems at once with their places. Nothing here
//! touches a file.
//!
//! From the ground up: the tables (`keys`, `messages`, `presets`), values with their places (`node`), the `reader` of simple values, a
//! module for each section, `hives` for the whole tree, `source` for texts with variants.

mod boxes;
mod colony;
mod covers;
mod feeds;
mod fit;
mod folder;
mod hives;
mod honey_placement;
mod joints;
mod keys;
mod kinship;
mod layers;
pub mod log;
mod messages;
mod node;
mod openings;
mod own_values;
mod patch;
mod presets;
mod reader;
mod readings;
pub mod schema;
mod season;
mod site;
#[cfg(test)]
mod slips;
mod source;
mod stack;
mod stores;
mod syntax;
mod tare;
mod values;
mod weighing;

use crate::problem::Problems;
use crate::units;
pub use folder::Folder;
pub use readings::{FeedPlace, Kind, Loaded, Reading};
pub use source::{Family, LARGEST, Source, Variant, too_large};

/// Scenarios that come with the program: name and text.
const BUILT_IN: &[(&str, &str)] = &[
    (
        "larch-flats",
        include_str!("../../../../scenarios/larch-flats.toml"),
    ),
    (
        "larch-twelve",
        include_str!("../../../../scenarios/larch-twelve.toml"),
    ),
    (
        "cold-larch",
        include_str!("../../../../scenarios/cold-larch.toml"),
    ),
    (
        "far-honey",
        include_str!("../../../../scenarios/far-honey.toml"),
    ),
    (
        "heater-box",
        include_str!("../../../../scenarios/heater-box.toml"),
    ),
    ("single", include_str!("../../../../scenarios/single.toml")),
];

/// Names of the scenarios that come with the program.
#[must_use]
pub fn built_in_names() -> Vec<&'static str> {
    BUILT_IN.iter().map(|(n, _)| *n).collect()
}

/// Text of one of the scenarios that come with the program.
#[must_use]
pub fn built_in_text(name: &str) -> Option<&'static str> {
    BUILT_IN.iter().find(|(n, _)| *n == name).map(|(_, t)| *t)
}

/// One of the scenarios that come with the program.
///
/// # Errors
/// [`Problems`] when there is none of that name.
pub fn built_in(name: &str) -> Result<Loaded, Problems> {
    built_in_source(name)?.family().map(|f| f.base)
}

/// The text of one of the scenarios that come with the program.
///
/// # Errors
/// As [`built_in`].
pub fn built_in_source(name: &str) -> Result<Source, Problems> {
    if let Some(text) = built_in_text(name) {
        return Ok(Source::new(text, name, None));
    }
    let all = built_in_names().join(", ");
    let help = match units::nearest(name, built_in_names()) {
        Some(n) => format!("did you mean \"{n}\"? (built in: {all})"),
        None => format!("built in: {all}; or give the name of a file, such as my-hive.toml"),
    };
    let name = node::clean(name);
    Err(source::whole_file(
        &name,
        "no_built_in",
        &[("name", &name), ("help", &help)],
    ))
}

/// Reads a scenario text. `file_name` is what messages call it; weather files are looked for in `folder`, and not at all
/// when it is `None`. Variants in it are checked too.
///
/// # Errors
/// [`Problems`]: all that is wrong, errors and warnings, in file order.
pub fn parse(text: &str, file_name: &str, folder: Option<&Folder>) -> Result<Loaded, Problems> {
    Source::new(text, file_name, folder)
        .family()
        .map(|f| f.base)
}
