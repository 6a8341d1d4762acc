//! The name of a variant, and the one it goes on from.

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::messages::Slots;
use super::node::{Node, clean};
use super::reader::Reader;
use crate::units;

/// The name of a variant, `None` when it has none that can be used.
pub(super) fn name(
    slips: &mut Reader<'_>,
    list: Option<&Spanned<DeValue<'_>>>,
    patch: &DeTable<'_>,
    i: usize,
    before: &[(String, DeTable<'_>)],
) -> Option<String> {
    let Some(value) = patch.get("name") else {
        let keys = patch.iter().map(|(k, _)| k.span());
        let first = keys.min_by_key(|s| s.start);
        let at = first.or_else(|| list.map(Spanned::span)).unwrap_or(0..0);
        slips.refuse(&at, "variant_without_name", &[("n", &(i + 1))]);
        return None;
    };
    let node = Node::new("name", value);
    let text = node.text().map(str::trim);
    let Some(text) = text.filter(|t| (1..=60).contains(&t.chars().count())) else {
        slips.refuse(&node.span, "variant_name", &[("written", &node.written())]);
        return None;
    };
    let name = clean(text);
    let lower = name.to_lowercase();
    if before.iter().any(|(n, _)| n.to_lowercase() == lower) {
        slips.refuse(&node.span, "variant_twice", &[("name", &name)]);
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
    let node = Node::new("based_on", value);
    let said = node.text().unwrap_or_default().trim().to_lowercase();
    let found = before.iter().find(|(n, _)| n.to_lowercase() == said);
    if found.is_none() {
        let names: Vec<&str> = before.iter().map(|(n, _)| n.as_str()).collect();
        let help = match units::nearest(&said, names.iter().copied()) {
            Some(n) => format!("did you mean \"{n}\"?"),
            None if names.is_empty() => "variants before this one: none".to_owned(),
            None => format!("variants before this one: {}", names.join(", ")),
        };
        let slots: &Slots<'_> = &[
            ("name", &name),
            ("written", &node.written()),
            ("help", &help),
        ];
        slips.refuse(&node.span, "no_such_variant", slots);
    }
    found.map(|(_, t)| t)
}
