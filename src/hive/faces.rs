//! What each outer face of the network is: which way it looks, its colour, what it sees.

use super::OuterFace;
use crate::boundary::{Exposure, Face};
use crate::heat::{FaceGroup, Network, Side};
use crate::scenario::model::Scenario;

/// One outer face per face group of the network.
#[must_use]
pub fn outer_faces(s: &Scenario, network: &Network) -> Vec<OuterFace> {
    network.faces().iter().map(|g| outer_face(s, g)).collect()
}

fn outer_face(s: &Scenario, g: &FaceGroup) -> OuterFace {
    let zone = usize::from(g.zone);
    let in_gap = zone >= s.stacks.len();
    let stack = if in_gap { zone - s.stacks.len() } else { zone };
    let area: f64 = g.areas.iter().sum();
    let z = g
        .areas
        .iter()
        .zip(&g.centroids)
        .map(|(a, c)| a * c[2])
        .sum::<f64>()
        / area;
    // Entrances are the y = 0 side; seen from behind it, x runs to the right.
    let front = s.site.entrance_azimuth_deg;
    let (turn, tilt_deg, name) = match g.side {
        Side::YMinus => (0.0, 90.0, "front"),
        Side::YPlus => (180.0, 90.0, "back"),
        Side::XMinus => (-90.0, 90.0, "left side"),
        Side::XPlus => (90.0, 90.0, "right side"),
        Side::ZPlus => (0.0, 0.0, "top"),
        Side::ZMinus => (0.0, 180.0, "underside"),
    };
    let owner = s.stacks.get(stack);
    let (absorptance, emissivity) = owner.map_or((0.7, 0.9), |o| {
        if g.side == Side::ZPlus {
            (o.cover.absorptance, o.cover.emissivity)
        } else {
            (o.cladding.absorptance, o.cladding.emissivity)
        }
    });
    let exposure = match g.side {
        Side::ZMinus => Exposure::Underside,
        _ if in_gap => Exposure::Shaded,
        _ => Exposure::Open,
    };
    OuterFace {
        face: Face {
            azimuth_deg: (front + turn).rem_euclid(360.0),
            tilt_deg,
            absorptance,
            emissivity,
            exposure,
            z: z + s.site.stand_height,
        },
        stack,
        label: format!("{}: {name}", owner.map_or("gap", |o| o.name.as_str())),
        area,
    }
}
