//! A solved case and how temperatures and flows are read off it.

use partywall_core::heat::{
    Drive, Edge, Film, Grid, HeatError, LinearSolver, Medium, Network, steady,
};

const SOLVER: LinearSolver = LinearSolver::PCG;

/// A solved case: everything needed to read temperatures and flows off it.
pub(super) struct Case {
    pub grid: Grid,
    medium: Medium,
    pub network: Network,
    drive: Drive,
    t: Vec<f64>,
    /// Share of the flow the heat balance is off by.
    pub imbalance: f64,
}

impl Case {
    pub fn solve(
        grid: Grid,
        medium: Medium,
        zones: &[Film],
        edges: [Edge; 6],
    ) -> Result<Self, HeatError> {
        let network = Network::build(&grid, &medium, &[], zones.len(), &[], &[], edges)?;
        let drive = Drive::by_zone(&network, zones);
        let mut case = Self {
            grid,
            medium,
            network,
            drive,
            t: Vec::new(),
            imbalance: 0.0,
        };
        case.again(zones)?;
        Ok(case)
    }

    /// Solves again with other zone films and temperatures.
    pub fn again(&mut self, zones: &[Film]) -> Result<(), HeatError> {
        self.drive = Drive::by_zone(&self.network, zones);
        let solution = steady(&self.network, &self.drive, SOLVER)?;
        self.imbalance = solution.balance.relative();
        self.t = solution.t;
        Ok(())
    }

    /// Heat from the body into a zone, W.
    pub fn flow(&self, zone: u16) -> f64 {
        let mut sum = 0.0;
        for (group, film) in self.network.faces().iter().zip(&self.drive.faces) {
            if group.zone == zone {
                let u = group.u(film.h);
                sum += group
                    .nodes
                    .iter()
                    .zip(&group.areas)
                    .map(|(n, a)| u * a * (self.t[*n] - film.t))
                    .sum::<f64>();
            }
        }
        sum
    }

    /// Temperature at a grid vertex: mean of the solid cells around it, weighted by their conductances
    /// `k (dy dz/dx + dx dz/dy + dx dy/dz)`, so that a metal corner counts as metal.
    pub fn vertex(&self, point: [f64; 3]) -> f64 {
        let at: [usize; 3] = std::array::from_fn(|a| nearest(self.grid.planes(a), point[a]));
        let shape = self.grid.shape();
        let (mut sum, mut weights) = (0.0, 0.0);
        for corner in 0..8_usize {
            let cell: [usize; 3] =
                std::array::from_fn(|a| (at[a] + (corner >> a & 1)).wrapping_sub(1));
            if (0..3).any(|a| cell[a] >= shape[a]) {
                continue;
            }
            let Some(node) = self
                .network
                .cell_node(self.grid.index(cell[0], cell[1], cell[2]))
            else {
                continue;
            };
            let volume = self.grid.volume(cell[0], cell[1], cell[2]);
            let weight: f64 = (0..3)
                .map(|a| self.medium.k[a][cell] * volume / self.grid.width(a, cell[a]).powi(2))
                .sum();
            sum += weight * self.t[node];
            weights += weight;
        }
        sum / weights
    }

    /// Temperature of the outer surface of a zone nearest to a point.
    pub fn surface(&self, zone: u16, point: [f64; 3]) -> f64 {
        let mut best = (f64::INFINITY, f64::NAN);
        for (group, film) in self.network.faces().iter().zip(&self.drive.faces) {
            for (i, c) in group
                .centroids
                .iter()
                .enumerate()
                .filter(|_| group.zone == zone)
            {
                let d: f64 = (0..3).map(|a| (c[a] - point[a]).powi(2)).sum();
                if d < best.0 {
                    best = (d, group.surface(i, &self.t, film.h, film.t));
                }
            }
        }
        best.1
    }
}

pub(super) fn nearest(planes: &[f64], v: f64) -> usize {
    (0..planes.len()).fold(0, |b, i| {
        if (planes[i] - v).abs() < (planes[b] - v).abs() {
            i
        } else {
            b
        }
    })
}
