//! Puts a patch into the tree of a scenario. Every value keeps its place in the text, so that what is wrong with a variant is
//! shown where the variant says it.
//!
//! Tables are merged key by key. A list is replaced whole by a list; a table put over a list changes single elements of it, by
//! their number from 1 (or, for hives, by name), and one number further adds an element. Materials with their thickness are
//! values: they are replaced whole. `remove` takes settings away before the rest is put in.

use toml::Spanned;
use toml::de::{DeArray, DeTable, DeValue};

use super::keys::{Key, Kind};
use super::messages::Slots;
use super::node::Node;
use super::reader::Reader;
use crate::units;

/// The scenario `base` with the settings of `patch` over it. What cannot be put in is noted as a problem.
pub(super) fn apply<'a>(
    reader: &mut Reader<'_>,
    base: &DeTable<'a>,
    patch: &DeTable<'a>,
) -> DeTable<'a> {
    let mut tree = base.clone();
    let removed = patch.get("remove").map(|list| Node::new("remove", list));
    for node in removed.iter().flat_map(Node::list) {
        match node.text() {
            Some(path) => take_away(reader, &mut tree, path, &node),
            None => reader.refuse(
                &node.span,
                "nothing_named_to_remove",
                &[("written", &node.written())],
            ),
        }
    }
    for (key, value) in patch.iter() {
        let name: &str = key.get_ref();
        if name == "variant" {
            reader.refuse(&key.span(), "variant_in_variant", &[]);
        } else if reader.keys.section("variant").find(name).is_none() {
            put(reader, &mut tree, key, value, name);
        }
    }
    shadowed(reader, &tree, patch);
    tree
}

/// Whether a setting is replaced whole even when both are tables: layers of material.
fn whole(reader: &Reader<'_>, name: &str) -> bool {
    let layers = |k: &Key| k.name == name && k.kinds().contains(&Kind::Layers);
    reader
        .keys
        .sections
        .iter()
        .any(|s| s.keys.iter().any(layers))
}

/// Whether a table holds elements of a list by their numbers.
fn by_number(table: &DeTable<'_>) -> bool {
    !table.is_empty() && table.keys().all(|k| number(k.get_ref()).is_some())
}

fn put<'a>(
    reader: &mut Reader<'_>,
    table: &mut DeTable<'a>,
    key: &Spanned<toml::de::DeString<'a>>,
    value: &Spanned<DeValue<'a>>,
    path: &str,
) {
    let name: &str = key.get_ref();
    let Some(old) = table.get_mut(name) else {
        if value.get_ref().as_table().is_some_and(by_number) {
            reader.refuse(
                &key.span(),
                "no_list_to_change",
                &[("path", &path), ("name", &name)],
            );
            return;
        }
        table.insert(key.clone(), value.clone());
        return;
    };
    let whole = whole(reader, name);
    let hives = path == "hive";
    // [between] and [hive.feed] may stand for a list of one.
    if let (false, DeValue::Table(_), DeValue::Table(n)) = (hives, old.get_ref(), value.get_ref())
        && by_number(n)
    {
        let mut list = DeArray::new();
        list.push(old.clone());
        elements(reader, &mut list, n, path, false);
        *old = Spanned::new(old.span(), DeValue::Array(list));
        return;
    }
    match (old.get_mut(), value.get_ref()) {
        (DeValue::Table(o), DeValue::Table(n)) if hives => one_hive(reader, o, n),
        (DeValue::Table(o), DeValue::Table(n)) if !whole => merge(reader, o, n, path),
        (DeValue::Array(o), DeValue::Table(n)) if !whole => elements(reader, o, n, path, hives),
        _ => *old = value.clone(),
    }
}

fn merge<'a>(reader: &mut Reader<'_>, old: &mut DeTable<'a>, new: &DeTable<'a>, path: &str) {
    for (key, value) in new.iter() {
        let name: &str = key.get_ref();
        put(reader, old, key, value, &format!("{path}.{name}"));
    }
}

/// A scenario whose only hive is a table, not a list of one.
fn one_hive<'a>(reader: &mut Reader<'_>, old: &mut DeTable<'a>, new: &DeTable<'a>) {
    for (key, value) in new.iter() {
        let name: &str = key.get_ref();
        let DeValue::Table(n) = value.get_ref() else {
            not_a_table(reader, value, &format!("hive.{name}"));
            continue;
        };
        if number(name) == Some(1) || named(old, name) {
            merge(reader, old, n, &format!("hive.{name}"));
        } else {
            no_hive(reader, key.span(), name, &[name_of(old)]);
        }
    }
}

fn elements<'a>(
    reader: &mut Reader<'_>,
    list: &mut DeArray<'a>,
    new: &DeTable<'a>,
    path: &str,
    hives: bool,
) {
    for (key, value) in new.iter() {
        let name: &str = key.get_ref();
        let at = format!("{path}.{name}");
        let by_name = hives
            .then(|| list.iter().position(|h| is_called(h, name)))
            .flatten();
        let Some(i) = by_name.or_else(|| number(name).map(|n| n - 1)) else {
            if hives {
                let known = list
                    .iter()
                    .map(|h| h.get_ref().as_table().and_then(name_of));
                no_hive(reader, key.span(), name, &known.collect::<Vec<_>>());
            } else {
                let most = list.len().max(1);
                reader.refuse(
                    &key.span(),
                    "no_element",
                    &[("name", &name), ("path", &path), ("most", &most)],
                );
            }
            continue;
        };
        let Some(old) = list.get_mut(i) else {
            if i == list.len() {
                list.push(value.clone());
            } else {
                let (n, most) = (list.len(), list.len() + 1);
                let slots: &Slots<'_> =
                    &[("path", &path), ("n", &n), ("name", &name), ("most", &most)];
                reader.refuse(&key.span(), "no_element_number", slots);
            }
            continue;
        };
        match (old.get_mut(), value.get_ref()) {
            (DeValue::Table(o), DeValue::Table(n)) => merge(reader, o, n, &at),
            // A box written as its pattern only: "ten-frame deep" is { pattern = "ten-frame deep" }.
            (DeValue::String(_), DeValue::Table(n)) if path.ends_with(".boxes") => {
                let mut t = DeTable::new();
                let pattern = Spanned::new(old.span(), "pattern".into());
                t.insert(pattern, old.clone());
                merge(reader, &mut t, n, &at);
                *old = Spanned::new(old.span(), DeValue::Table(t));
            }
            _ if hives => not_a_table(reader, value, &at),
            _ => *old = value.clone(),
        }
    }
}

fn not_a_table(reader: &mut Reader<'_>, value: &Spanned<DeValue<'_>>, path: &str) {
    reader.refuse(&value.span(), "element_no_table", &[("path", &path)]);
}

fn no_hive(
    reader: &mut Reader<'_>,
    span: std::ops::Range<usize>,
    name: &str,
    known: &[Option<String>],
) {
    let names: Vec<&str> = known.iter().flatten().map(String::as_str).collect();
    let help = units::nearest(name, names.iter().copied()).map_or_else(
        || {
            if names.is_empty() {
                "these hives have no name: count them from the left, hive.1".to_owned()
            } else {
                format!("hives: {}", names.join(", "))
            }
        },
        |n| format!("did you mean \"{n}\"?"),
    );
    reader.refuse(&span, "no_such_hive", &[("name", &name), ("help", &help)]);
}

/// "1" and so on; nothing else.
fn number(key: &str) -> Option<usize> {
    if key.is_empty() || !key.bytes().all(|b| b.is_ascii_digit()) {
        return None;
    }
    key.parse().ok().filter(|n| *n > 0)
}

fn name_of(hive: &DeTable<'_>) -> Option<String> {
    hive.get("name")?.get_ref().as_str().map(str::to_owned)
}

fn named(hive: &DeTable<'_>, name: &str) -> bool {
    name_of(hive).is_some_and(|n| n.to_lowercase() == name.to_lowercase())
}

fn is_called(hive: &Spanned<DeValue<'_>>, name: &str) -> bool {
    hive.get_ref().as_table().is_some_and(|t| named(t, name))
}

/// Takes a setting out of the tree: "every_hive.wrap", "hive.Left.boxes.2", "hive.2.colony".
fn take_away(reader: &mut Reader<'_>, tree: &mut DeTable<'_>, path: &str, node: &Node<'_>) {
    let steps: Vec<&str> = path.trim().split('.').collect();
    if !taken(tree, &steps) {
        reader.refuse(&node.span, "nothing_to_remove", &[("path", &path)]);
    }
}

fn taken(table: &mut DeTable<'_>, steps: &[&str]) -> bool {
    match steps {
        [] => false,
        [last] => table.remove(*last).is_some(),
        [first, rest @ ..] => {
            let hives = *first == "hive";
            match table.get_mut(*first).map(Spanned::get_mut) {
                Some(DeValue::Table(t)) if hives => {
                    let me = rest
                        .first()
                        .is_some_and(|n| number(n) == Some(1) || named(t, n));
                    me && taken(t, rest.get(1..).unwrap_or_default())
                }
                Some(DeValue::Table(t)) => taken(t, rest),
                Some(DeValue::Array(list)) => {
                    let Some((which, further)) = rest.split_first() else {
                        return false;
                    };
                    let by_name = list.iter().position(|h| hives && is_called(h, which));
                    let Some(i) = by_name.or_else(|| number(which).map(|n| n - 1)) else {
                        return false;
                    };
                    if i >= list.len() {
                        return false;
                    }
                    if further.is_empty() {
                        let kept = std::mem::replace(list, DeArray::new());
                        let kept = kept.into_iter().enumerate().filter(|(k, _)| *k != i);
                        kept.for_each(|(_, v)| list.push(v));
                        return true;
                    }
                    match list.get_mut(i).map(Spanned::get_mut) {
                        Some(DeValue::Table(t)) => taken(t, further),
                        _ => false,
                    }
                }
                _ => false,
            }
        }
    }
}

/// Warns of what is said for every hive but changes none of them, since each has a word of its own.
fn shadowed(reader: &mut Reader<'_>, tree: &DeTable<'_>, patch: &DeTable<'_>) {
    let Some(every) = patch.get("every_hive").and_then(|e| e.get_ref().as_table()) else {
        return;
    };
    let hives = tree
        .get("hive")
        .map(|h| Node::new("hive", h).list())
        .unwrap_or_default();
    let hives: Vec<&DeTable<'_>> = hives.iter().filter_map(|h| h.value.as_table()).collect();
    for (key, _) in every.iter() {
        let name: &str = key.get_ref();
        if !hives.is_empty() && hives.iter().all(|h| h.contains_key(name)) {
            reader.caution(&key.span(), "shadowed", &[("name", &name)]);
        }
    }
}
