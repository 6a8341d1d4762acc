//! What the outer faces look like to sun, wind and sky.

use super::layout::{Layout, StackLayout};
use super::parts::Zone;
use crate::boundary::{Exposure, Face};
use crate::heat::{FaceGroup, Side};
use crate::stand::Scenario;

/// One group of outer faces of the network (same order as [`crate::heat::Network::faces`]).
#[derive(Debug, Clone, PartialEq)]
pub struct OuterFace {
    /// Direction, surface, exposure and height, as the weather wants them. Level faces have the entrances' direction.
    pub face: Face,
    /// Stack it belongs to.
    pub stack: usize,
    /// "left: front".
    pub label: String,
    /// Area, m2.
    pub area: f64,
    /// Lowest and highest middle of its cell faces above ground, m.
    pub z_range: [f64; 2],
}

/// Describes every face group of a network.
pub fn describe(
    s: &Scenario,
    layout: &Layout,
    zones: &[Zone],
    groups: &[FaceGroup],
) -> Vec<OuterFace> {
    groups.iter().map(|g| face(s, layout, zones, g)).collect()
}

fn face(s: &Scenario, layout: &Layout, zones: &[Zone], g: &FaceGroup) -> OuterFace {
    let zone = zones.get(usize::from(g.zone));
    let mut stack = zone.map_or(0, |z| z.stack);
    // The right wall of a gap belongs to the stack on its right.
    if zone.is_some_and(|z| z.exposure == Exposure::Shaded) && g.side == Side::XMinus {
        stack = (stack + 1).min(s.stacks.len().saturating_sub(1));
    }
    let area = g.area();
    let mean = |f: &dyn Fn(&[f64; 3]) -> f64| {
        g.centroids
            .iter()
            .zip(&g.areas)
            .map(|(c, a)| f(c) * a)
            .sum::<f64>()
            / area
    };
    // The air over a low stack beside a tall one is the tall one's, the lid below it is not.
    if g.side.axis() == 2 {
        let x = mean(&|c| c[0]);
        let right_of = |pair: &[StackLayout]| x > 0.5 * (pair[0].x[1] + pair[1].x[0]);
        stack = layout
            .stacks
            .windows(2)
            .filter(|pair| right_of(pair))
            .count();
    }
    let cover_from = layout
        .stacks
        .get(stack)
        .map_or(f64::INFINITY, |l| l.cover[0]);
    let on_cover = mean(&|c| f64::from(u8::from(c[2] > cover_from - 1e-9)));
    let paint = s.stacks.get(stack).map(|st| (&st.cladding, &st.cover));
    let blend = |side: f64, cover: f64| on_cover * cover + (1.0 - on_cover) * side;
    let z0 = s.site.stand_height;
    let heights = g.centroids.iter().map(|c| z0 + c[2]);
    let (name, turn, tilt) = match g.side {
        Side::YMinus => ("front", 0.0, 90.0),
        Side::YPlus => ("back", 180.0, 90.0),
        Side::XMinus => ("left", -90.0, 90.0),
        Side::XPlus => ("right", 90.0, 90.0),
        Side::ZPlus => ("top", 0.0, 0.0),
        Side::ZMinus => ("underside", 0.0, 180.0),
    };
    OuterFace {
        face: Face {
            azimuth_deg: (s.site.entrance_azimuth_deg + turn).rem_euclid(360.0),
            tilt_deg: tilt,
            absorptance: paint.map_or(0.0, |(side, cover)| {
                blend(side.absorptance, cover.absorptance)
            }),
            emissivity: paint.map_or(0.0, |(side, cover)| {
                blend(side.emissivity, cover.emissivity)
            }),
            exposure: match (zone.map(|z| z.exposure), g.side) {
                (Some(Exposure::Underside), _) | (_, Side::ZMinus) => Exposure::Underside,
                (Some(e), _) => e,
                (None, _) => Exposure::Open,
            },
            z: z0 + mean(&|c| c[2]),
        },
        stack,
        label: format!(
            "{}: {name}",
            s.stacks.get(stack).map_or("", |st| st.name.as_str())
        ),
        area,
        z_range: [
            heights.clone().fold(f64::INFINITY, f64::min),
            heights.fold(f64::NEG_INFINITY, f64::max),
        ],
    }
}
