//! A wall in one dimension, and what is read off it.

use partywall_core::heat::{
    Drive, Edge, Film, Grid, HeatError, Medium, Network, Scheme, Solid, Stepper, graded_axis,
};

use super::{PINE, SOLVER};

/// A wall of layers across x with 1 m2 of face: zone 0 at small x, zone 1 at large x.
pub(super) struct Wall {
    /// Its heat network.
    pub(super) network: Network,
    /// Its cells.
    pub(super) grid: Grid,
}

impl Wall {
    /// Layers of (thickness m, material), cells of `h` (m).
    pub(super) fn new(
        layers: &[(f64, Solid)],
        h: f64,
        edges: [Edge; 2],
    ) -> Result<Self, HeatError> {
        let mut at = vec![0.0];
        for (d, _) in layers {
            at.push(at[at.len() - 1] + d);
        }
        let grid = Grid::new(
            graded_axis(&at, 2, h, 1.0, h),
            vec![0.0, 1.0],
            vec![0.0, 1.0],
        )?;
        let mut medium = Medium::uniform(&grid, layers.first().map_or(PINE, |l| l.1));
        for (pair, (_, solid)) in at.windows(2).zip(layers) {
            medium.fill_box(&grid, [pair[0], pair[1]], [-1.0, 2.0], [-1.0, 2.0], *solid);
        }
        let a = Edge::Adiabatic;
        let network = Network::build(
            &grid,
            &medium,
            &[],
            2,
            &[],
            &[],
            [edges[0], edges[1], a, a, a, a],
        )?;
        Ok(Self { network, grid })
    }

    /// The films of both zones.
    pub(super) fn drive(&self, zones: [Film; 2]) -> Drive {
        Drive::by_zone(&self.network, &zones)
    }

    /// Temperature at `x`, linear between cell centres.
    pub(super) fn at(&self, t: &[f64], x: f64) -> f64 {
        let centre = |i: usize| 0.5 * (self.grid.x[i] + self.grid.x[i + 1]);
        let mut i = 0;
        while i + 2 < t.len() && centre(i + 1) < x {
            i += 1;
        }
        let f = (x - centre(i)) / (centre(i + 1) - centre(i));
        t[i] + f * (t[i + 1] - t[i])
    }

    /// Surface temperature towards a zone.
    pub(super) fn surface(&self, t: &[f64], zone: u16, film: Film) -> f64 {
        let group = self.network.faces().iter().find(|g| g.zone == zone);
        group.map_or(f64::NAN, |g| g.surface(0, t, film.h, film.t))
    }

    /// Heat from the wall into a zone, W.
    pub(super) fn flow(&self, t: &[f64], zone: u16, film: Film) -> f64 {
        let group = self.network.faces().iter().find(|g| g.zone == zone);
        group.map_or(f64::NAN, |g| {
            g.u(film.h) * g.areas[0] * (t[g.nodes[0]] - film.t)
        })
    }

    /// Steps of `dt` seconds.
    pub(super) fn stepper(&self, dt: f64) -> Result<Stepper, HeatError> {
        Stepper::new(&self.network, Scheme::TrBdf2, dt, SOLVER)
    }
}
