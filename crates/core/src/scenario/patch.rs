//! Puts a patch into the tree of a scenario. Every value keeps its place in the text, so that what is wrong with a variant is
//! shown where the variant says it.
//!
//! Tables are merged key by key. A list is replaced whole by a list; a table put over a list changes single elements of it, by
//! their number from 1 (or, for hives, by name), and one number further adds an element. Materials with their thickness are
//! values: they are replaced whole. `remove` takes settings away before the rest is put in.

use toml::Spanned;
use toml::de::{DeArray, DeTable, DeValue};

use super::reader::{Node, Reader};
use crate::units;

/// Keys of a patch that are not settings of a scenario.
pub(super) const OWN_KEYS: &[&str] = &["name", "based_on", "remove"];

/// Settings that are replaced whole even when both are tables: layers of material.
const WHOLE: &[&str] = &[
    "walls",
    "inner_cover",
    "top",
    "wrap",
    "side_foam",
    "centre_wall",
    "board",
    "under",
    "layers",
];

/// The scenario `base` with the settings of `patch` over it. What cannot be put in is noted as a problem.
pub(super) fn apply<'a>(
    reader: &mut Reader<'_>,
    base: &DeTable<'a>,
    patch: &DeTable<'a>,
) -> DeTable<'a> {
    let mut tree = base.clone();
    if let Some(list) = patch.get("remove") {
        let items: Vec<&Spanned<DeValue<'_>>> = match list.get_ref() {
            DeValue::Array(all) => all.iter().collect(),
            _ => vec![list],
        };
        for item in items {
            let node = Node {
                path: "remove".to_owned(),
                span: item.span(),
                value: item.get_ref(),
            };
            match node.text() {
                Some(path) => take_away(reader, &mut tree, path, &node),
                None => reader.error(
                    &node.span,
                    format!(
                        "what to remove must be a setting in quotes, but is {}",
                        node.written()
                    ),
                    Some("\"every_hive.wrap\" or \"hive.Left.colony\""),
                    None,
                ),
            }
        }
    }
    for (key, value) in patch.iter() {
        let name: &str = key.get_ref();
        if OWN_KEYS.contains(&name) {
            continue;
        }
        if name == "variant" {
            reader.error(
                &key.span(),
                "a variant in a variant",
                Some("settings of the scenario"),
                Some("write based_on = \"its name\" to go on from another variant".to_owned()),
            );
            continue;
        }
        put(reader, &mut tree, key, value, name);
    }
    shadowed(reader, &tree, patch);
    tree
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
        if let DeValue::Table(t) = value.get_ref()
            && !t.is_empty()
            && t.keys().all(|k| number(k.get_ref()).is_some())
        {
            reader.error(
                &key.span(),
                format!("{path} is to be changed element by element, but the scenario has none"),
                Some("the whole list"),
                Some(format!("write {name} = [ ... ]")),
            );
            return;
        }
        table.insert(key.clone(), value.clone());
        return;
    };
    let whole = WHOLE.contains(&name);
    let hives = path == "hive";
    // [between] and [hive.feed] may stand for a list of one.
    if let (false, DeValue::Table(_), DeValue::Table(n)) = (hives, old.get_ref(), value.get_ref())
        && !n.is_empty()
        && n.keys().all(|k| number(k.get_ref()).is_some())
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
            .then(|| {
                list.iter()
                    .position(|h| matches!(h.get_ref(), DeValue::Table(t) if named(t, name)))
            })
            .flatten();
        let Some(i) = by_name.or_else(|| number(name).map(|n| n - 1)) else {
            if hives {
                let known: Vec<Option<String>> = list
                    .iter()
                    .map(|h| match h.get_ref() {
                        DeValue::Table(t) => name_of(t),
                        _ => None,
                    })
                    .collect();
                no_hive(reader, key.span(), name, &known);
            } else {
                reader.error(
                    &key.span(),
                    format!("\"{name}\" is no element of the list {path}"),
                    Some(&format!("a number from 1 to {}", list.len().max(1))),
                    None,
                );
            }
            continue;
        };
        let Some(old) = list.get_mut(i) else {
            if i == list.len() {
                list.push(value.clone());
            } else {
                reader.error(
                    &key.span(),
                    format!(
                        "{path} has {} elements, there is no number {name}",
                        list.len()
                    ),
                    Some(&format!("a number from 1 to {}", list.len() + 1)),
                    Some("the number after the last adds one".to_owned()),
                );
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
    reader.error(
        &value.span(),
        format!("{path} must be a table of settings"),
        Some("a table"),
        Some(format!(
            "write {path}.top = \"...\", or {path} = {{ top = \"...\" }}"
        )),
    );
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
    reader.error(
        &span,
        format!("no hive is called \"{name}\""),
        Some("the name of a hive, or its number from the left"),
        Some(help),
    );
}

/// "1" and so on; nothing else.
fn number(key: &str) -> Option<usize> {
    if key.is_empty() || !key.bytes().all(|b| b.is_ascii_digit()) {
        return None;
    }
    key.parse().ok().filter(|n| *n > 0)
}

fn name_of(hive: &DeTable<'_>) -> Option<String> {
    match hive.get("name")?.get_ref() {
        DeValue::String(s) => Some(s.to_string()),
        _ => None,
    }
}

fn named(hive: &DeTable<'_>, name: &str) -> bool {
    name_of(hive).is_some_and(|n| n.to_lowercase() == name.to_lowercase())
}

/// Takes a setting out of the tree: "every_hive.wrap", "hive.Left.boxes.2", "hive.2.colony".
fn take_away(reader: &mut Reader<'_>, tree: &mut DeTable<'_>, path: &str, node: &Node<'_>) {
    let steps: Vec<&str> = path.trim().split('.').collect();
    if !taken(tree, &steps) {
        reader.error(
            &node.span,
            format!("there is no \"{path}\" to remove"),
            Some("a setting the scenario has, such as \"hive.Left.colony\""),
            Some("what is said under every_hive is removed there".to_owned()),
        );
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
                    let by_name = list.iter().position(|h| {
                        hives && matches!(h.get_ref(), DeValue::Table(t) if named(t, which))
                    });
                    let Some(i) = by_name.or_else(|| number(which).map(|n| n - 1)) else {
                        return false;
                    };
                    if i >= list.len() {
                        return false;
                    }
                    if further.is_empty() {
                        let mut kept = DeArray::new();
                        for (k, v) in list.iter().enumerate() {
                            if k != i {
                                kept.push(v.clone());
                            }
                        }
                        *list = kept;
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
    let Some(DeValue::Table(every)) = patch.get("every_hive").map(Spanned::get_ref) else {
        return;
    };
    let hives: Vec<&DeTable<'_>> = match tree.get("hive").map(Spanned::get_ref) {
        Some(DeValue::Array(list)) => list
            .iter()
            .filter_map(|h| match h.get_ref() {
                DeValue::Table(t) => Some(t),
                _ => None,
            })
            .collect(),
        Some(DeValue::Table(t)) => vec![t],
        _ => Vec::new(),
    };
    for (key, _) in every.iter() {
        let name: &str = key.get_ref();
        if !hives.is_empty() && hives.iter().all(|h| h.contains_key(name)) {
            reader.warn(
                &key.span(),
                format!("every_hive.{name} changes nothing: each hive has its own {name}"),
                Some(format!("write hive.NAME.{name} in the variant")),
            );
        }
    }
}
