//! Links of a network, laid out for the solvers.

use super::network::Network;
use super::simd_layout::{Chunk, Layout, LinkPlace, ZERO};

/// Merged links of one air node: slots of cells and conductances (W/K).
#[derive(Debug, Clone, Default)]
pub(super) struct Star {
    pub slots: Vec<u32>,
    pub g: Vec<f64>,
}

/// Where fill acts, with its value at fill 1.
#[derive(Debug, Clone, Default)]
pub(super) struct FillPlaces {
    pub links: Vec<(LinkPlace, f64)>,
    pub air: Vec<(u32, u32, f64)>,
    pub capacity: Vec<(u32, f64)>,
}

/// Link values: `lower[0..3]` to the chunk one plane, one row, one chunk before; `wrap` from the last slab of a lane to
/// the first slab of the next lane; stars of the air nodes; links among air nodes; links outside the stencil.
#[derive(Debug, Clone)]
pub(super) struct Links {
    pub lower: [Vec<Chunk>; 3],
    pub wrap: Vec<Chunk>,
    pub stars: Vec<Star>,
    /// (later air node, earlier air node, W/K).
    pub border: Vec<(u32, u32, f64)>,
    /// (slot, slot, W/K) between cells that are not neighbours.
    pub far: Vec<(u32, u32, f64)>,
}

/// Lays out the links of a network.
pub(super) fn links_of(network: &Network, layout: &Layout) -> Links {
    let mut links = Links {
        lower: [
            vec![ZERO; layout.padded()],
            vec![ZERO; layout.padded()],
            vec![ZERO; layout.padded()],
        ],
        wrap: vec![ZERO; layout.plane()],
        stars: Vec::new(),
        border: Vec::new(),
        far: Vec::new(),
    };
    for (axis, list) in network.links.iter().enumerate() {
        for (cell, &g) in list.iter().enumerate().filter(|(_, g)| **g > 0.0) {
            let place = layout.link_place(network, axis, cell);
            let array = match place.kind {
                3 => &mut links.wrap,
                k => &mut links.lower[usize::from(k)],
            };
            array.as_flattened_mut()[place.at as usize] = g;
        }
    }
    let cells = network.cell_of_node.len();
    let mut stars: Vec<Vec<(u32, f64)>> = network
        .air_links
        .iter()
        .map(|list| {
            list.iter()
                .map(|l| (layout.slot(l.node as usize), l.conductance))
                .collect()
        })
        .collect();
    for &(a, b, g) in &network.extra {
        let (lo, hi) = (a.min(b) as usize, a.max(b) as usize);
        match (lo >= cells, hi >= cells) {
            (true, _) => links
                .border
                .push(((hi - cells) as u32, (lo - cells) as u32, g)),
            (false, true) => stars[hi - cells].push((layout.slot(lo), g)),
            (false, false) => links.far.push((layout.slot(lo), layout.slot(hi), g)),
        }
    }
    links.border.sort_by_key(|b| (b.0, b.1));
    links.border.dedup_by(|b, a| {
        let same = (a.0, a.1) == (b.0, b.1);
        if same {
            a.2 += b.2;
        }
        same
    });
    links.stars = stars
        .into_iter()
        .map(|mut list| {
            list.sort_by_key(|l| l.0);
            let mut star = Star::default();
            for (slot, g) in list {
                if star.slots.last() == Some(&slot) {
                    if let Some(last) = star.g.last_mut() {
                        *last += g;
                    }
                } else {
                    star.slots.push(slot);
                    star.g.push(g);
                }
            }
            star
        })
        .collect();
    links
}

/// Lays out the changes by fill.
pub(super) fn fills_of(network: &Network, layout: &Layout, links: &Links) -> Vec<FillPlaces> {
    let place_in_star = |a: u32, at: u32| {
        let slot = layout.slot(network.air_links[a as usize][at as usize].node as usize);
        links.stars[a as usize].slots.partition_point(|s| *s < slot) as u32
    };
    network
        .fills
        .iter()
        .map(|z| FillPlaces {
            links: z
                .links
                .iter()
                .map(|&(axis, cell, g)| {
                    (
                        layout.link_place(network, usize::from(axis), cell as usize),
                        g,
                    )
                })
                .collect(),
            air: z
                .air
                .iter()
                .map(|&(a, at, g)| (a, place_in_star(a, at), g))
                .collect(),
            capacity: z
                .capacity
                .iter()
                .map(|&(n, c)| (layout.slot(n as usize), c))
                .collect(),
        })
        .collect()
}
