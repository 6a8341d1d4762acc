//! The whole tree of a file: site, season and hives in the order in which they hang on each other.

use toml::de::DeTable;

use super::folder::Folder;
use super::node::{Node, Section, clean};
use super::reader::Reader;
use super::{joints, own_values, season, site, stack};
use crate::colony::parameters::Parameters;
use crate::hive::colony_overrides;
use crate::stand::{Scenario, Stack};

/// Reads a scenario; `None` when it lacks what nothing can be taken for.
pub(super) fn scenario<'a>(
    reader: &mut Reader<'a>,
    tree: &'a DeTable<'a>,
    folder: Option<&Folder>,
) -> Option<Scenario> {
    let root = reader.root(tree);
    let materials = own_values::materials(reader, &root);
    let site_section = reader.section_or_empty(&root, "site");
    let site = site::site(reader, &site_section);
    let climate = site::climate(reader, &site_section, folder);
    let season_section = reader.section_or_empty(&root, "season");
    let mut season = season::season(reader, &season_section);
    let stress_section = reader.section_or_empty(&root, "stress");
    let stress = season::stress(reader, &stress_section, &mut season);
    reader.winter = reader.winter.map(|(start, _)| (start, season.first_nectar));
    let title = reader
        .text(&root, "title")
        .map_or_else(|| site.name.clone(), |(t, _)| clean(t));
    let level = own_values::level(reader, &root);
    let reserve = reader.quantity_or(&root, "reserve");
    let parameters = own_values::parameters(reader, &root);
    let of_bees = colony_overrides(&parameters).unwrap_or_default();
    reader.colony = Parameters::with(&of_bees).ok();
    let (stacks, hives) = stacks(reader, &root);
    let joints = joints::joints(reader, &root, &stacks, hives);
    Some(Scenario {
        title,
        site,
        season,
        climate: climate?,
        stacks: stacks.into_iter().flatten().collect(),
        joints,
        materials,
        parameters,
        level,
        reserve,
        stress,
    })
}

/// The name a hive has in the file.
fn named(hive: &Node<'_>) -> Option<String> {
    let name = hive.value.as_table()?.get("name")?.get_ref().as_str()?;
    (!name.trim().is_empty()).then(|| clean(name))
}

/// All hives, left to right, those that cannot be read as `None`, and how many the file has.
fn stacks<'a>(reader: &mut Reader<'a>, root: &Section<'a>) -> (Vec<Option<Stack>>, usize) {
    let every = reader.section_or_empty(root, "every_hive");
    let items = root.get("hive").map(|n| n.list()).unwrap_or_default();
    if items.is_empty() {
        reader.refuse(&(0..0), "no_hive", &[]);
    }
    let most = root.key("hive").most.unwrap_or(usize::MAX);
    if let Some(beyond) = items.get(most) {
        reader.refuse(
            &beyond.span,
            "many_hives",
            &[("n", &items.len()), ("most", &most)],
        );
    }
    let mut names: Vec<String> = Vec::new();
    let mut all = Vec::new();
    for (i, item) in items.iter().take(most).enumerate() {
        let mut item = item.clone();
        item.path = named(&item).map_or_else(|| format!("hive {}", i + 1), |n| format!("hive.{n}"));
        let Some(section) = reader.section(&item, "hive") else {
            all.push(None);
            continue;
        };
        let mut section = section.with_behind(&every);
        let name = name(reader, &section, i, &names);
        section.path = format!("hive.{name}");
        names.push(name.clone());
        all.push(stack::stack(reader, &section, name));
    }
    (all, items.len().min(most))
}

/// The name of a hive, or its number from the left.
fn name<'a>(reader: &mut Reader<'a>, section: &Section<'a>, i: usize, before: &[String]) -> String {
    let Some((text, at)) = reader.text(section, "name") else {
        let name = format!("Hive {}", i + 1);
        reader.assumed(&section.path_of("name"), &name, "counted from the left");
        return name;
    };
    let name = clean(text);
    if before
        .iter()
        .any(|n| n.to_lowercase() == name.to_lowercase())
    {
        reader.refuse(&at.span, "hive_twice", &[("name", &name)]);
    }
    name
}
