//! A heat problem that general tools were timed on: a foam box with a wooden lining and a wooden centre wall, filled with
//! a poorly conducting light medium, a moving 20 W block, an outside temperature that swings over the day.
//!
//! 3-D: 56 x 26 x 34 cells of 10 x 20 x 10 mm. 2-D: 112 x 68 cells of 5 mm, per metre of depth. Backward Euler, one
//! hour, 48 steps. It is a solver test, not a hive: the block gets very hot.

use partywall::heat::{
    Drive, Edge, Film, Grid, HeatError, LinearSolver, Medium, Network, Scheme, Solid, Stepper,
};

/// Foam, wood, filling: conductivity (W/mK) and heat capacity (J/m3K).
const FOAM: Solid = Solid {
    k: [0.035; 3],
    rho_c: 45e3,
};
const WOOD: Solid = Solid {
    k: [0.12; 3],
    rho_c: 0.8e6,
};
const FILLING: Solid = Solid {
    k: [0.05; 3],
    rho_c: 1.3e3,
};

/// Maximum, minimum and mean after 48 h, from a sparse LU factorisation of the same discrete equations (scipy 1.17 splu),
/// degC.
pub const AFTER_48_H: [(usize, [f64; 3]); 2] = [
    (2, [221.8611115, -5.0286115, 34.8939033]),
    (3, [765.8029054, -6.2078744, 29.3152271]),
];

/// The problem in two or three dimensions.
pub struct Peer {
    pub network: Network,
    dim: usize,
    grid: Grid,
}

impl Peer {
    pub fn new(dim: usize) -> Result<Self, HeatError> {
        let planes = |n: usize, d: f64| (0..=n).map(|i| i as f64 * d).collect::<Vec<_>>();
        let grid = if dim == 3 {
            Grid::new(planes(56, 0.01), planes(26, 0.02), planes(34, 0.01))?
        } else {
            Grid::new(planes(112, 0.005), vec![0.0, 1.0], planes(68, 0.005))?
        };
        let [x, y, z] = [0, 1, 2].map(|a| *grid.planes(a).last().unwrap_or(&0.0));
        let mut medium = Medium::uniform(&grid, FOAM);
        let shrink = |b: f64| {
            let y = if dim == 3 {
                [b, y - b]
            } else {
                [-1.0, y + 1.0]
            };
            ([b, x - b], y, [b, z - b])
        };
        let (bx, by, bz) = shrink(0.04);
        medium.fill_box(&grid, bx, by, bz, WOOD);
        let (bx, by, bz) = shrink(0.06);
        medium.fill_box(&grid, bx, by, bz, FILLING);
        medium.fill_box(&grid, [0.27, 0.29], by, bz, WOOD);
        let mut edges = [Edge::Zone(0); 6];
        if dim == 2 {
            edges[2] = Edge::Adiabatic;
            edges[3] = Edge::Adiabatic;
        }
        Ok(Self {
            network: Network::build(&grid, &medium, &[], 1, &[], &[], edges)?,
            dim,
            grid,
        })
    }

    /// What drives the step that ends at hour `n`; `h` is the outer film, W/m2K.
    pub fn drive(&self, n: usize, h: f64) -> Drive {
        let t = n as f64 * 3600.0;
        let air = -5.0 + 8.0 * (2.0 * std::f64::consts::PI * t / 86_400.0).sin();
        let mut drive = Drive::uniform(&self.network, Film { h, t: air });
        let shape = self.grid.shape();
        // Cells of the block and of the free height it climbs.
        let (bx, by, height, lining, up) = if self.dim == 3 {
            ([10, 18], [11, 15], 8, 6, 1)
        } else {
            ([20, 36], [0, 1], 16, 12, 2)
        };
        let room = shape[2] - 2 * lining - height;
        let z0 = lining + ((n * 3600 - 1) / 43_200 * up) % (room + 1);
        let power = if self.dim == 3 { 20.0 } else { 20.0 / 0.52 };
        let cells = (bx[1] - bx[0]) * (by[1] - by[0]) * height;
        for i in bx[0]..bx[1] {
            for j in by[0]..by[1] {
                for k in z0..z0 + height {
                    drive.power[self.grid.index(i, j, k)] = power / cells as f64;
                }
            }
        }
        drive
    }

    /// Runs 48 steps; the outer film changes by `wobble` (relative) from hour to hour. Returns the field, seconds per
    /// step, and the stepper.
    pub fn run(
        &self,
        solver: LinearSolver,
        wobble: f64,
    ) -> Result<(Vec<f64>, Vec<f64>, Stepper), HeatError> {
        let mut stepper = Stepper::new(&self.network, Scheme::BackwardEuler, 3600.0, solver)?;
        let mut t = vec![5.0; self.network.n()];
        let mut seconds = Vec::new();
        for n in 1..=48 {
            let h = 10.0 * (1.0 + wobble * (n as f64).sin());
            let start = std::time::Instant::now();
            let drive = self.drive(n, h);
            stepper.step(&mut t, &drive)?;
            seconds.push(start.elapsed().as_secs_f64());
        }
        Ok((t, seconds, stepper))
    }
}

/// Maximum, minimum, mean.
pub fn summary(t: &[f64]) -> [f64; 3] {
    let max = t.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let min = t.iter().copied().fold(f64::INFINITY, f64::min);
    [max, min, t.iter().sum::<f64>() / t.len() as f64]
}
