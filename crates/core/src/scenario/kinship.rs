//! The name of a variant, and the one it goes on from.

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::reader::{Node, Reader};

/// The name of a variant, `None` when it has none that can be used.
pub(super) fn name(
    slips: &mut Reader<'_>,
    list: Option<&Spanned<DeValue<'_>>>,
    patch: &DeTable<'_>,
    i: usize,
    before: &[(String, DeTable<'_>)],
) -> Option<String> {
    let Some(value) = patch.get("name") else {
        let at = patch
            .iter()
            .map(|(k, _)| k.span())
            .min_by_key(|s| s.start)
            .or_else(|| list.map(Spanned::span))
            .unwrap_or(0..0);
        slips.error(
            &at,
            format!("variant {} has no name", i + 1),
            Some("name = \"...\""),
            None,
        );
        return None;
    };
    let node = Node {
        path: "name".to_owned(),
        span: value.span(),
        value: value.get_ref(),
    };
    let Some(text) = node
        .text()
        .map(str::trim)
        .filter(|t| (1..=60).contains(&t.chars().count()))
    else {
        slips.error(
            &node.span,
            format!("the name of a variant cannot be {}", node.written()),
            Some("a text of 1 to 60 letters in quotes"),
            None,
        );
        return None;
    };
    let name = super::reader::clean(text);
    if before
        .iter()
        .any(|(n, _)| n.to_lowercase() == name.to_lowercase())
    {
        slips.error(
            &node.span,
            format!("two variants are called \"{name}\""),
            Some("a name of its own for each variant"),
            None,
        );
        return None;
    }
    Some(name)
}

/// The tree a patch goes onto: the scenario as written, or an earlier variant.
pub(super) fn parent<'r, 'a>(
    slips: &mut Reader<'_>,
    name: &str,
    written: &'r DeTable<'a>,
    patch: &DeTable<'_>,
    before: &'r [(String, DeTable<'a>)],
) -> Option<&'r DeTable<'a>> {
    let Some(value) = patch.get("based_on") else {
        return Some(written);
    };
    let node = Node {
        path: "based_on".to_owned(),
        span: value.span(),
        value: value.get_ref(),
    };
    let said = node.text().unwrap_or_default().trim().to_lowercase();
    let found = before.iter().find(|(n, _)| n.to_lowercase() == said);
    if found.is_none() {
        let names = before.iter().map(|(n, _)| n.as_str());
        let help = crate::units::nearest(&said, names.clone()).map_or_else(
            || {
                format!(
                    "variants before this one: {}",
                    if before.is_empty() {
                        "none".to_owned()
                    } else {
                        names.collect::<Vec<_>>().join(", ")
                    }
                )
            },
            |n| format!("did you mean \"{n}\"?"),
        );
        slips.error(
            &node.span,
            format!(
                "variant \"{name}\": no variant before this one is called {}",
                node.written()
            ),
            Some("the name of a variant further up"),
            Some(help),
        );
    }
    found.map(|(_, t)| t)
}
