//! What the colony and the ventilation need to know of a stack: where bees can be, and which unknown is which air.

use super::airways::{StackAir, stack_air};
use super::combs::CombParameters;
use super::error::HiveError;
use super::inside::Inside;
use super::layout::{Bounds, StackLayout};
use crate::heat::Network;
use crate::region::Region;
use crate::stand::{OpeningPlace, Scenario};

/// One stack as the colony sees it.
#[derive(Debug, Clone, PartialEq)]
pub struct StackSpace {
    /// Name.
    pub name: String,
    /// Where a cluster can be: the combs of every box, from the lowest comb's bottom to the highest comb's top, empty boxes between them in
    /// whole. The inside of the lowest box when there are no frames.
    pub region: Region,
    /// The smallest bounds that hold it, m.
    pub bounds: Bounds,
    /// Smallest bounds that hold all combs of all boxes, m.
    pub comb_bounds: Option<Bounds>,
    /// Boxes, bottom to top.
    pub boxes: Vec<BoxSpace>,
    /// Unknown of the air over the floor, if it is a space of its own.
    pub floor_node: Option<usize>,
    /// Unknown of the bee space over the top box's frames.
    pub head_node: Option<usize>,
    /// Unknown of the air under the cover.
    pub cover_node: Option<usize>,
    /// Openings.
    pub openings: Vec<ResolvedOpening>,
    /// Where air moves.
    pub air: StackAir,
    /// Volume of the comb columns, combs and seams together, m3; the inside of the boxes when there are no frames.
    pub comb_volume: f64,
    /// Largest horizontal section of the comb column (combs and seams), m2.
    pub comb_cross_area: f64,
    /// Share of that section that is seam, -.
    pub seam_share: f64,
    /// Electric heater: unknown it warms and its power, W.
    pub heater: Option<(usize, f64)>,
}

/// One box as the colony sees it.
#[derive(Debug, Clone, PartialEq)]
pub struct BoxSpace {
    /// Inside of the walls, m.
    pub inner: Bounds,
    /// The comb column (combs, seams, bars, bee spaces), m; the bees' part of the grid.
    pub column: Option<Bounds>,
    /// The combs themselves, m.
    pub comb: Option<Bounds>,
    /// Number of frames.
    pub frames: u32,
    /// Pitch as built, m; 0 without frames.
    pub pitch: f64,
    /// Comb thickness, m; 0 without frames.
    pub comb_thickness: f64,
    /// Volume of the combs, seams left out, m3.
    pub comb_volume: f64,
    /// Honey all frames hold when full, kg.
    pub honey_capacity: f64,
    /// Share of that which is honey in the scenario, 0 to 1.
    pub honey_share: f64,
    /// Fill zone of the network that holds its honey.
    pub fill_zone: Option<usize>,
    /// Unknowns of its own air spaces: the whole box when empty, wide spaces beside the combs otherwise.
    pub air_nodes: Vec<usize>,
}

/// An opening in its place.
#[derive(Debug, Clone, PartialEq)]
pub struct ResolvedOpening {
    /// Where the scenario says it leads.
    pub place: OpeningPlace,
    /// Height of its middle above the floor's underside, m.
    pub z: f64,
    /// Height of its middle above ground, m.
    pub z_above_ground: f64,
    /// Free area, m2.
    pub area: f64,
    /// Vertical extent, m.
    pub height: f64,
    /// Compass direction it faces, degrees clockwise from north: that of the entrances.
    pub azimuth_deg: f64,
}

/// Collects the spaces of stack `i`.
pub fn stack_space(
    s: &Scenario,
    i: usize,
    layout: &StackLayout,
    inside: &Inside,
    net: &Network,
    combs: &CombParameters,
    regions: &mut Vec<Vec<(usize, f64)>>,
) -> Result<StackSpace, HiveError> {
    let stack = &s.stacks[i];
    let air = stack_air(stack, layout, inside, net, combs, regions)?;
    let node = |a: u16| net.air_node(usize::from(a));
    let boxes: Vec<BoxSpace> = stack
        .boxes
        .iter()
        .zip(&layout.boxes)
        .zip(&inside.boxes)
        .map(|((made, placed), found)| {
            let frames = f64::from(made.frames);
            let framed = placed.column.as_ref();
            let only = |v: f64| if framed.is_some() { v } else { 0.0 };
            BoxSpace {
                inner: placed.inner,
                column: framed.map(|c| c.block),
                comb: framed.map(|c| c.comb),
                frames: made.frames,
                pitch: framed.map_or(0.0, |c| c.pitch),
                comb_thickness: only(made.comb_thickness),
                comb_volume: only(
                    frames * made.comb_thickness * made.comb_length * made.comb_height,
                ),
                honey_capacity: only(frames * made.full_frame),
                honey_share: if made.frames > 0 {
                    made.honey_frames / frames
                } else {
                    0.0
                },
                fill_zone: found.fill,
                air_nodes: found
                    .empty
                    .iter()
                    .chain(&found.beside)
                    .map(|a| node(*a))
                    .collect(),
            }
        })
        .collect();
    let openings = stack
        .openings
        .iter()
        .map(|opening| ResolvedOpening {
            place: opening.place,
            z: opening.z,
            z_above_ground: s.site.stand_height + opening.z,
            area: opening.area,
            height: opening.height,
            azimuth_deg: s.site.entrance_azimuth_deg.rem_euclid(360.0),
        })
        .collect();
    let combs: Vec<Bounds> = boxes.iter().filter_map(|b| b.comb).collect();
    let region = walked(&boxes).unwrap_or_else(|| Region::one(layout.boxes[0].inner));
    let widest = stack
        .boxes
        .iter()
        .zip(&layout.boxes)
        .filter_map(|(made, placed)| {
            placed
                .column
                .as_ref()
                .map(|c| (section(c.block), made.comb_thickness / c.pitch))
        })
        .max_by(|a, b| a.0.total_cmp(&b.0));
    let volume = |b: Bounds| b.iter().map(|r| r[1] - r[0]).product::<f64>();
    let columns: Vec<Bounds> = boxes.iter().filter_map(|b| b.column).collect();
    let comb_volume = if columns.is_empty() {
        boxes.iter().map(|b| volume(b.inner)).sum()
    } else {
        columns.into_iter().map(volume).sum()
    };
    Ok(StackSpace {
        air,
        comb_volume,
        name: stack.name.clone(),
        bounds: region.hull(),
        region,
        comb_bounds: hull(&combs),
        boxes,
        floor_node: inside.floor.map(node),
        head_node: inside.head.map(node),
        cover_node: inside.cover.map(node),
        openings,
        comb_cross_area: widest.map_or(0.0, |w| w.0),
        seam_share: widest.map_or(0.0, |w| 1.0 - w.1),
        heater: stack.heater.as_ref().and_then(|h| {
            inside
                .boxes
                .get(h.in_box)
                .and_then(|b| b.empty)
                .map(|a| (node(a), h.power))
        }),
    })
}

fn section(b: Bounds) -> f64 {
    (b[0][1] - b[0][0]) * (b[1][1] - b[1][0])
}

/// The space bees walk in, box by box; one filled with something else parts it, and the larger part is kept.
fn walked(boxes: &[BoxSpace]) -> Option<Region> {
    let first = boxes.iter().position(|b| b.comb.is_some())?;
    let last = boxes.iter().rposition(|b| b.comb.is_some())?;
    let mut parts: Vec<Vec<Bounds>> = vec![Vec::new()];
    for (i, b) in boxes.iter().enumerate().take(last + 1).skip(first) {
        let room = match (b.comb, b.air_nodes.is_empty()) {
            (Some(comb), _) => [
                comb[0],
                comb[1],
                [
                    if i == first {
                        comb[2][0]
                    } else {
                        b.inner[2][0]
                    },
                    if i == last { comb[2][1] } else { b.inner[2][1] },
                ],
            ],
            (None, false) => b.inner,
            (None, true) => {
                parts.push(Vec::new());
                continue;
            }
        };
        if let Some(part) = parts.last_mut() {
            part.push(room);
        }
    }
    let regions = parts.into_iter().filter_map(Region::of);
    regions.reduce(|a, b| if b.volume() > a.volume() { b } else { a })
}

fn hull(all: &[Bounds]) -> Option<Bounds> {
    let mut it = all.iter().copied();
    let first = it.next()?;
    Some(it.fold(first, |a, b| {
        [0, 1, 2].map(|i| [a[i][0].min(b[i][0]), a[i][1].max(b[i][1])])
    }))
}
