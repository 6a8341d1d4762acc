//! The page of settings, docs/scenario.md, is what the table of keys gives.

use std::path::Path;

/// Catches a page that was written by hand, or not written anew after a change of the table.
#[test]
fn the_page_of_settings_is_that_of_the_table() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/scenario.md");
    let page = partywall::scenario::schema::page().unwrap();
    if std::env::var("TRYCMD").is_ok_and(|v| v == "overwrite") {
        std::fs::write(&path, &page).unwrap();
    }
    let there = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        there == page,
        "docs/scenario.md is not that of the table: TRYCMD=overwrite cargo test --test scenario writes it"
    );
}
