//! What lies between neighbouring hives.

use super::Kind;
use super::boxes::mm;
use super::layers;
use super::presets::Presets;
use super::reader::{Node, Reader, Section};
use crate::stand::{CentreWall, GapState, Joint, Stack};

pub(super) const KEYS: &[&str] = &["state", "gap", "filler", "centre_wall", "one_cover"];

/// The words for the state of a gap.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum State {
    Apart,
    Touching,
    Closed,
    Foam,
    Open,
}

pub(super) const STATES: &[(&str, State)] = &[
    ("apart", State::Apart),
    ("touching", State::Touching),
    ("closed", State::Closed),
    ("taped", State::Closed),
    ("foam", State::Foam),
    ("filled", State::Foam),
    ("open", State::Open),
];

/// What keepers call them besides, and the words to take: "together" says nothing of the gap.
const SAID_OTHERWISE: &[(&[&str], &str)] = &[
    (
        &[
            "together",
            "butted",
            "butted together",
            "against",
            "side by side",
            "paired",
            "joined",
            "close",
        ],
        "\"touching\" when the boards touch, \"taped\" when a gap between them is closed, \"open\" when wind blows through it",
    ),
    (
        &["separate", "separated", "alone", "single", "none"],
        "\"apart\"",
    ),
    (
        &["insulated", "xps", "eps", "pir", "wool"],
        "\"foam\", with filler = \"eps\" or another kind",
    ),
    (&["shut", "sealed", "wrapped", "covered"], "\"closed\""),
];

/// One joint for each pair of neighbours.
pub(super) fn joints<'a>(
    reader: &mut Reader<'a>,
    presets: &Presets,
    root: &Section<'a>,
    stacks: &[Option<Stack>],
    hives: usize,
) -> Vec<Joint> {
    let wanted = hives.saturating_sub(1);
    let Some(node) = root.get("between") else {
        if wanted > 0 {
            reader.note(
                "between",
                None,
                "apart",
                "hives stand apart unless a [[between]] says otherwise",
                Kind::Default,
            );
            reader.warn(
                &root.span,
                "nothing is said of what is between the hives: they are taken as standing apart",
                Some("add [[between]] with state = \"touching\", \"closed\", \"foam\", \"open\" or \"apart\"".to_owned()),
            );
        }
        return vec![Joint::Apart; wanted];
    };
    let items = reader.list(&node);
    if items.len() != wanted {
        let first = items
            .get(wanted)
            .map_or_else(|| node.span.clone(), |n| n.span.clone());
        reader.error(
            &first,
            format!("{} [[between]] for {hives} hive(s)", items.len()),
            Some(&format!(
                "{wanted}: one for each pair of neighbours, left to right"
            )),
            None,
        );
        return vec![Joint::Apart; wanted];
    }
    items
        .iter()
        .enumerate()
        .map(|(i, item)| {
            let hive = |i: usize| stacks.get(i).and_then(Option::as_ref);
            let neighbours = hive(i).zip(hive(i + 1));
            joint(reader, presets, item, neighbours).unwrap_or(Joint::Apart)
        })
        .collect()
}

fn joint<'a>(
    reader: &mut Reader<'a>,
    presets: &Presets,
    node: &Node<'a>,
    neighbours: Option<(&Stack, &Stack)>,
) -> Option<Joint> {
    let section = reader.section(node, KEYS)?;
    let filler = reader.text(&section, "filler").and_then(|(t, at)| {
        let key = layers::material(reader, presets, &at, t)?;
        reader.note(&at.path, Some(at.written()), key.clone(), "", Kind::Given);
        Some(key)
    });
    let state = match section.get("state") {
        Some(at) => {
            let state = reader.choice_or(&at, STATES, SAID_OTHERWISE)?;
            reader.note(
                &at.path,
                Some(at.written()),
                format!("{state:?}").to_lowercase(),
                "",
                Kind::Given,
            );
            state
        }
        None if section.has("filler") => State::Foam,
        None => {
            reader.error(
                &node.span,
                "this [[between]] does not say how the hives stand",
                Some("state = \"touching\", \"closed\" (taped), \"foam\", \"open\" or \"apart\""),
                None,
            );
            return None;
        }
    };
    let one_cover = reader.flag(&section, "one_cover").unwrap_or(false);
    if section.has("one_cover") {
        reader.note(
            &section.path_of("one_cover"),
            Some(one_cover.to_string()),
            if one_cover {
                "one lid, one top and one wrap over both"
            } else {
                "a lid each"
            },
            "",
            Kind::Given,
        );
    } else if state != State::Apart {
        reader.note(
            &section.path_of("one_cover"),
            None,
            "a lid each",
            "unless said",
            Kind::Default,
        );
    }
    if state == State::Apart {
        for key in ["gap", "filler", "centre_wall", "one_cover"] {
            if let Some(at) = section.get(key) {
                reader.error(
                    &at.span,
                    format!("hives that stand apart have no {key}"),
                    Some(&format!(
                        "no {key}, or the state open, taped, foam or touching"
                    )),
                    None,
                );
            }
        }
        return Some(Joint::Apart);
    }
    let wall = match layers::layers(reader, presets, &section, "centre_wall") {
        Some(w) if !w.is_empty() => CentreWall::Shared(w),
        _ => CentreWall::BoxWalls,
    };
    let gap = gap(reader, &section, node, state, &wall, one_cover, neighbours)?;
    let state = match state {
        State::Foam => match filler {
            Some(material) => GapState::Filled(material),
            None => {
                if !section.has("filler") {
                    reader.error(
                        &node.span,
                        "a gap with foam needs to say which",
                        Some("filler = \"eps\", \"xps\", \"pir\", ..."),
                        None,
                    );
                }
                return None;
            }
        },
        other => {
            if let Some(at) = section.get("filler") {
                reader.error(
                    &at.span,
                    "a filler is only in a gap whose state is \"foam\"",
                    Some("state = \"foam\""),
                    None,
                );
            }
            match other {
                State::Touching => GapState::Touching,
                State::Closed => GapState::Closed,
                _ => GapState::Open,
            }
        }
    };
    if let Some((a, b)) = neighbours {
        faces(reader, node, a, b, one_cover);
    }
    Some(Joint::Butted {
        gap,
        state,
        wall,
        one_cover,
    })
}

/// Width of the gap, checked against its state and the covers.
fn gap<'a>(
    reader: &mut Reader<'a>,
    section: &Section<'a>,
    node: &Node<'a>,
    state: State,
    wall: &CentreWall,
    one_cover: bool,
    neighbours: Option<(&Stack, &Stack)>,
) -> Option<f64> {
    let at = section.get("gap");
    let gap = match &at {
        Some(_) => reader.quantity(section, "gap", "gap")?,
        None if state == State::Touching => 0.0,
        None => {
            reader.error(
                &node.span,
                "the width of the gap is missing",
                Some("gap = \"38 mm\""),
                Some("measure between the box walls; two overhanging lids leave about 1-1/2 in (38 mm)".to_owned()),
            );
            return None;
        }
    };
    let span = at
        .as_ref()
        .map_or_else(|| node.span.clone(), |n| n.span.clone());
    if state == State::Touching && gap > 0.0 {
        reader.error(
            &span,
            format!("boxes that touch have no gap of {} mm", mm(gap)),
            Some("gap = \"0 mm\", or state closed, foam or open"),
            None,
        );
    }
    if state != State::Touching && gap <= 0.0 {
        reader.error(
            &span,
            "a gap of 0 mm has no state but \"touching\"",
            Some("state = \"touching\", or the width you measure"),
            None,
        );
    }
    if matches!(wall, CentreWall::Shared(_)) && gap > 0.0 {
        reader.error(
            &span,
            "a centre wall shared by both leaves no gap",
            Some("state = \"touching\" with a shared centre wall"),
            None,
        );
    }
    if let (Some((a, b)), false) = (neighbours, one_cover) {
        let lids = a.cover.overhang + b.cover.overhang;
        if gap + 1e-6 < lids {
            reader.warn(
                &span,
                format!("two covers that overhang by {} mm together do not let the boxes come within {} mm", mm(lids), mm(gap)),
                Some("give the gap they leave, one_cover = true, or flush covers".to_owned()),
            );
        }
    }
    Some(gap)
}

/// Neighbours whose facing walls differ: said, since only the overlap is shared.
fn faces(reader: &mut Reader<'_>, node: &Node<'_>, a: &Stack, b: &Stack, one_cover: bool) {
    let length = |s: &Stack| s.boxes.iter().map(|x| x.length).fold(0.0, f64::max);
    if (length(a) - length(b)).abs() > 0.02 {
        reader.warn(
            &node.span,
            format!(
                "{} is {} mm long and {} {} mm: only the shorter wall is shared",
                a.name,
                mm(length(a)),
                b.name,
                mm(length(b))
            ),
            None,
        );
    }
    let height = |s: &Stack| s.boxes.iter().map(|x| x.depth).sum::<f64>();
    if one_cover && (height(a) - height(b)).abs() > 0.01 {
        reader.warn(
            &node.span,
            format!(
                "one cover over boxes {} and {} mm high cannot lie flat on both",
                mm(height(a)),
                mm(height(b))
            ),
            Some("bring them to one height with an eke, or give each its own cover".to_owned()),
        );
    }
}
