//! What lies between neighbouring hives.

use super::layers;
use super::messages::Slots;
use super::node::Section;
use super::reader::Reader;
use super::values::mm;
use crate::stand::{CentreWall, GapState, Joint, Stack};

/// The words for the state of a gap.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum State {
    Apart,
    Touching,
    Closed,
    Foam,
    Open,
}

/// What keepers call them besides, and the words to take: "together" says nothing of the gap.
const SAID_OTHERWISE: &[(&[&str], &str)] = &[
    (
        &[
            "together",
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
    root: &Section<'a>,
    stacks: &[Option<Stack>],
    hives: usize,
) -> Vec<Joint> {
    let wanted = hives.saturating_sub(1);
    let Some(node) = root.get("between") else {
        if wanted > 0 {
            let note = "hives stand apart unless a [[between]] says otherwise";
            reader.assumed("between", "apart", note);
            reader.caution(&root.span, "nothing_between", &[]);
        }
        return vec![Joint::Apart; wanted];
    };
    let items = node.list();
    if items.len() != wanted {
        let span = &items.get(wanted).unwrap_or(&node).span;
        let n = items.len();
        reader.refuse(
            span,
            "count_of_joints",
            &[("n", &n), ("hives", &hives), ("wanted", &wanted)],
        );
        return vec![Joint::Apart; wanted];
    }
    let pairs = items.iter().enumerate();
    pairs
        .map(|(i, item)| {
            let hive = |i: usize| stacks.get(i).and_then(Option::as_ref);
            let section = reader.section(item, "between");
            let neighbours = hive(i).zip(hive(i + 1));
            let joint = section.and_then(|s| joint(reader, &s, neighbours));
            joint.unwrap_or(Joint::Apart)
        })
        .collect()
}

/// How the hives stand, from its word or from a filler.
fn state<'a>(reader: &mut Reader<'a>, section: &Section<'a>) -> Option<State> {
    let Some(at) = section.get("state") else {
        if section.has("filler") {
            return Some(State::Foam);
        }
        reader.refuse(&section.span, "no_state", &[]);
        return None;
    };
    let state = match reader.word_or(&at, section.key("state"), SAID_OTHERWISE)? {
        "apart" => State::Apart,
        "touching" => State::Touching,
        "closed" | "taped" => State::Closed,
        "foam" | "filled" => State::Foam,
        _ => State::Open,
    };
    reader.given(&at, format!("{state:?}").to_lowercase());
    Some(state)
}

fn one_cover<'a>(reader: &mut Reader<'a>, section: &Section<'a>, state: State) -> bool {
    let one_cover = reader.flag(section, "one_cover").unwrap_or(false);
    let path = section.path_of("one_cover");
    match section.get("one_cover") {
        Some(at) if one_cover => reader.given(&at, "one lid, one top and one wrap over both"),
        Some(at) => reader.given(&at, "a lid each"),
        None if state != State::Apart => reader.assumed(&path, "a lid each", "unless said"),
        None => {}
    }
    one_cover
}

fn joint<'a>(
    reader: &mut Reader<'a>,
    section: &Section<'a>,
    neighbours: Option<(&Stack, &Stack)>,
) -> Option<Joint> {
    let filler = layers::named(reader, section, "filler");
    let state = state(reader, section)?;
    let one_cover = one_cover(reader, section, state);
    if state == State::Apart {
        for key in ["gap", "filler", "centre_wall", "one_cover"] {
            if let Some(at) = section.get(key) {
                reader.refuse(&at.span, "apart_with", &[("key", &key)]);
            }
        }
        return Some(Joint::Apart);
    }
    let wall = match layers::layers(reader, section, "centre_wall") {
        Some(w) if !w.is_empty() => CentreWall::Shared(w),
        _ => CentreWall::BoxWalls,
    };
    let gap = gap(reader, section, state)?;
    check_gap(reader, section, state, gap, &wall);
    if let Some(pair) = neighbours.filter(|_| !one_cover) {
        lids(reader, section, gap, pair);
    }
    if let Some(at) = section.get("filler").filter(|_| state != State::Foam) {
        reader.refuse(&at.span, "filler_without_foam", &[]);
    }
    let state = match state {
        State::Touching => GapState::Touching,
        State::Closed => GapState::Closed,
        State::Foam => {
            if !section.has("filler") {
                reader.refuse(&section.span, "which_filler", &[]);
            }
            GapState::Filled(filler?)
        }
        State::Open | State::Apart => GapState::Open,
    };
    if let Some((a, b)) = neighbours {
        faces(reader, section, a, b, one_cover);
    }
    Some(Joint::Adjoining {
        gap,
        state,
        wall,
        one_cover,
    })
}

/// Width of the gap.
fn gap<'a>(reader: &mut Reader<'a>, section: &Section<'a>, state: State) -> Option<f64> {
    if section.has("gap") {
        return reader.quantity(section, "gap");
    }
    if state == State::Touching {
        return Some(0.0);
    }
    reader.refuse(&section.span, "no_gap", &[]);
    None
}

/// Checks the width of a gap against its state and wall.
fn check_gap(
    reader: &mut Reader<'_>,
    section: &Section<'_>,
    state: State,
    gap: f64,
    wall: &CentreWall,
) {
    let span = section.span_of("gap");
    let touching = state == State::Touching;
    if touching && gap > 0.0 {
        reader.refuse(&span, "touching_with_gap", &[("gap", &mm(gap))]);
    }
    if !touching && gap <= 0.0 {
        reader.refuse(&span, "gap_of_nothing", &[]);
    }
    if matches!(wall, CentreWall::Shared(_)) && gap > 0.0 {
        reader.refuse(&span, "shared_wall_with_gap", &[]);
    }
}

/// Warns of covers that overhang further than the gap is wide.
fn lids(reader: &mut Reader<'_>, section: &Section<'_>, gap: f64, (a, b): (&Stack, &Stack)) {
    let lids = a.cover.overhang + b.cover.overhang;
    if gap + 1e-6 < lids {
        let slots: &Slots<'_> = &[("lids", &mm(lids)), ("gap", &mm(gap))];
        reader.caution(&section.span_of("gap"), "lids_in_the_way", slots);
    }
}

/// Neighbours whose facing walls differ: said, since only the overlap is shared.
fn faces(reader: &mut Reader<'_>, section: &Section<'_>, a: &Stack, b: &Stack, one_cover: bool) {
    let length = |s: &Stack| s.boxes.iter().map(|x| x.length).fold(0.0, f64::max);
    if (length(a) - length(b)).abs() > 0.02 {
        let (long_a, long_b) = (mm(length(a)), mm(length(b)));
        let slots: &Slots<'_> = &[
            ("a", &a.name),
            ("long_a", &long_a),
            ("b", &b.name),
            ("long_b", &long_b),
        ];
        reader.caution(&section.span, "walls_of_two_lengths", slots);
    }
    let height = |s: &Stack| s.boxes.iter().map(|x| x.depth).sum::<f64>();
    if one_cover && (height(a) - height(b)).abs() > 0.01 {
        let slots: &Slots<'_> = &[("a", &mm(height(a))), ("b", &mm(height(b)))];
        reader.caution(&section.span, "cover_over_two_heights", slots);
    }
}
