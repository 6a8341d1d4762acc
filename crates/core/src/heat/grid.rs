//! Graded rectilinear grid: cell boundary planes along three axes.

use super::error::HeatError;

/// Largest number of cells a grid may have (indices are held in 32 bits).
const MOST_CELLS: usize = 100_000_000;
/// Largest number of cells one layer may be divided into.
const MOST_PER_LAYER: usize = 100_000;
/// Interfaces closer than this are one interface, m.
const SAME_PLANE: f64 = 1e-9;

/// A rectilinear grid given by its cell boundary planes.
#[derive(Debug, Clone, PartialEq)]
pub struct Grid {
    /// Planes along x, m, strictly increasing.
    pub x: Vec<f64>,
    /// Planes along y, m, strictly increasing.
    pub y: Vec<f64>,
    /// Planes along z, m, strictly increasing.
    pub z: Vec<f64>,
}

impl Grid {
    /// Checks the planes and makes a grid of them.
    ///
    /// # Errors
    /// Fewer than two planes on an axis, planes that are not finite or not strictly increasing, or too many cells.
    pub fn new(x: Vec<f64>, y: Vec<f64>, z: Vec<f64>) -> Result<Self, HeatError> {
        let mut cells: usize = 1;
        for (axis, p) in [('x', &x), ('y', &y), ('z', &z)] {
            if p.len() < 2 {
                return Err(HeatError::TooFewPlanes {
                    axis,
                    planes: p.len(),
                });
            }
            for (i, v) in p.iter().enumerate() {
                if !v.is_finite() || (i > 0 && *v <= p[i - 1]) {
                    return Err(HeatError::PlanesNotIncreasing {
                        axis,
                        index: i,
                        value: *v,
                    });
                }
            }
            cells = cells.saturating_mul(p.len() - 1);
        }
        if cells > MOST_CELLS {
            return Err(HeatError::TooManyCells {
                cells,
                most: MOST_CELLS,
            });
        }
        Ok(Self { x, y, z })
    }

    /// Planes along axis 0, 1 or 2 (x, y, z), m.
    #[must_use]
    pub fn planes(&self, axis: usize) -> &[f64] {
        match axis {
            0 => &self.x,
            1 => &self.y,
            _ => &self.z,
        }
    }

    /// Number of cells along x, y, z.
    #[must_use]
    pub fn shape(&self) -> [usize; 3] {
        [self.x.len() - 1, self.y.len() - 1, self.z.len() - 1]
    }

    /// Number of cells.
    #[must_use]
    pub fn cells(&self) -> usize {
        self.shape().iter().product()
    }

    /// Cell number of (i, j, k): C order, k fastest.
    #[must_use]
    pub fn index(&self, i: usize, j: usize, k: usize) -> usize {
        let [_, ny, nz] = self.shape();
        (i * ny + j) * nz + k
    }

    /// (i, j, k) of a cell number.
    #[must_use]
    pub fn ijk(&self, cell: usize) -> [usize; 3] {
        let [_, ny, nz] = self.shape();
        [cell / (ny * nz), cell / nz % ny, cell % nz]
    }

    /// Width of cell `i` along `axis`, m.
    #[must_use]
    pub fn width(&self, axis: usize, i: usize) -> f64 {
        let p = self.planes(axis);
        p[i + 1] - p[i]
    }

    /// Widths of all cells along `axis`, m.
    #[must_use]
    pub fn widths(&self, axis: usize) -> Vec<f64> {
        self.planes(axis).windows(2).map(|w| w[1] - w[0]).collect()
    }

    /// Centre of cell `i` along `axis`, m.
    #[must_use]
    pub fn centre(&self, axis: usize, i: usize) -> f64 {
        let p = self.planes(axis);
        0.5 * (p[i] + p[i + 1])
    }

    /// Centre of cell (i, j, k), m.
    #[must_use]
    pub fn cell_centre(&self, i: usize, j: usize, k: usize) -> [f64; 3] {
        [self.centre(0, i), self.centre(1, j), self.centre(2, k)]
    }

    /// Volume of cell (i, j, k), m3.
    #[must_use]
    pub fn volume(&self, i: usize, j: usize, k: usize) -> f64 {
        self.width(0, i) * self.width(1, j) * self.width(2, k)
    }

    /// The cell that holds a point (m), if it lies within the grid. A point on a plane belongs to the cell above it,
    /// except on the last plane.
    #[must_use]
    pub fn locate(&self, point: [f64; 3]) -> Option<[usize; 3]> {
        let mut cell = [0; 3];
        for (axis, c) in cell.iter_mut().enumerate() {
            let p = self.planes(axis);
            let (v, last) = (point[axis], p[p.len() - 1]);
            if !(v >= p[0] && v <= last) {
                return None;
            }
            *c = p
                .partition_point(|q| *q <= v)
                .saturating_sub(1)
                .min(p.len() - 2);
        }
        Some(cell)
    }

    /// As [`Self::locate`], looked for from a cell close by.
    #[must_use]
    pub fn locate_near(&self, point: [f64; 3], mut cell: [usize; 3]) -> Option<[usize; 3]> {
        for (axis, c) in cell.iter_mut().enumerate() {
            let p = self.planes(axis);
            let (v, cells) = (point[axis], p.len() - 1);
            if !(v >= p[0] && v <= p[cells]) {
                return None;
            }
            *c = (*c).min(cells - 1);
            while v < p[*c] {
                *c -= 1;
            }
            while *c + 1 < cells && v >= p[*c + 1] {
                *c += 1;
            }
        }
        Some(cell)
    }
}

/// Planes on every interface, at least `min_cells_per_layer` cells between neighbouring interfaces, cells of
/// `h_at_interface` (m) at both ends of a layer growing geometrically by `growth` towards its middle up to `h_max` (m).
///
/// Within a layer of length `L` the cell widths are `s_i = min(h g^m, h_max)`, `m = min(i, n-1-i)`, with the smallest
/// `n` whose sum reaches `L`, scaled to fill the layer exactly; cells are therefore never larger than asked.
/// Interfaces need not be sorted; those closer together than 1e-9 m are merged and those that are not finite are left
/// out. `growth` below 1 counts as 1; a width that is not positive asks for the minimum number of equal cells.
#[must_use]
pub fn graded_axis(
    interfaces: &[f64],
    min_cells_per_layer: usize,
    h_at_interface: f64,
    growth: f64,
    h_max: f64,
) -> Vec<f64> {
    let mut at: Vec<f64> = interfaces
        .iter()
        .copied()
        .filter(|v| v.is_finite())
        .collect();
    at.sort_by(f64::total_cmp);
    at.dedup_by(|b, a| *b - *a < SAME_PLANE);
    let least = min_cells_per_layer.max(1);
    let growth = if growth > 1.0 { growth } else { 1.0 };
    let mut planes = Vec::with_capacity(at.len() * (least + 1));
    for pair in at.windows(2) {
        let (a, length) = (pair[0], pair[1] - pair[0]);
        let widths = layer_widths(length, least, h_at_interface, growth, h_max);
        let sum: f64 = widths.iter().sum();
        let mut run = 0.0;
        for w in &widths {
            planes.push(a + length * (run / sum));
            run += w;
        }
    }
    planes.extend(at.last());
    planes
}

/// Unscaled widths of the cells of one layer of `length`, see [`graded_axis`].
fn layer_widths(length: f64, least: usize, h: f64, growth: f64, h_max: f64) -> Vec<f64> {
    if h.is_nan() || h <= 0.0 || h_max.is_nan() || h_max <= 0.0 {
        return vec![1.0; least];
    }
    // Widths of the growing half, extended as needed: half[m] = min(h g^m, h_max).
    let mut half = vec![h.min(h_max)];
    let mut half_sum = half[0];
    let mut n = 1;
    let mut sum = half[0];
    while n < MOST_PER_LAYER && (n < least || sum < length * (1.0 - 1e-9)) {
        n += 1;
        if n % 2 == 0 {
            sum = 2.0 * half_sum;
        } else {
            let next = (half[half.len() - 1] * growth).min(h_max);
            sum = 2.0 * half_sum + next;
            half.push(next);
            half_sum += next;
        }
    }
    (0..n).map(|i| half[i.min(n - 1 - i)]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn planes_lie_on_every_interface_and_no_cell_is_too_wide() {
        // A layer boundary that falls inside a cell would smear two materials.
        let at = [0.0, 0.02, 0.06, 0.43, 0.45];
        let p = graded_axis(&at, 2, 0.005, 1.4, 0.03);
        for a in at {
            assert!(p.iter().any(|q| (q - a).abs() < 1e-12), "no plane at {a}");
        }
        for w in p.windows(2) {
            assert!(w[1] > w[0] && w[1] - w[0] <= 0.03 + 1e-12);
        }
        for pair in at.windows(2) {
            let cells = p
                .iter()
                .filter(|q| **q > pair[0] + 1e-9 && **q < pair[1] - 1e-9)
                .count()
                + 1;
            assert!(cells >= 2, "only {cells} cells in {pair:?}");
        }
    }

    #[test]
    fn neighbours_grow_by_no_more_than_asked() {
        let p = graded_axis(&[0.0, 0.5], 2, 0.002, 1.3, 0.04);
        let w: Vec<f64> = p.windows(2).map(|q| q[1] - q[0]).collect();
        for pair in w.windows(2) {
            let r = pair[1] / pair[0];
            assert!((1.0 / 1.3001..=1.3001).contains(&r), "ratio {r}");
        }
        assert!(
            (w[0] - w[w.len() - 1]).abs() < 1e-12,
            "not the same at both ends"
        );
    }

    #[test]
    fn bad_planes_are_refused() {
        let ok = vec![0.0, 1.0];
        assert!(Grid::new(vec![0.0], ok.clone(), ok.clone()).is_err());
        assert!(Grid::new(vec![0.0, 0.0], ok.clone(), ok.clone()).is_err());
        assert!(Grid::new(vec![0.0, f64::NAN], ok.clone(), ok.clone()).is_err());
        assert!(Grid::new(vec![0.0, 1.0, 0.5], ok.clone(), ok).is_err());
    }

    #[test]
    fn locate_finds_the_cell_and_nothing_outside() {
        let g = Grid::new(vec![0.0, 1.0, 3.0], vec![0.0, 1.0], vec![0.0, 2.0, 4.0]).unwrap();
        assert_eq!(g.locate([1.0, 0.5, 4.0]), Some([1, 0, 1]));
        assert_eq!(g.locate([0.99, 0.0, 0.0]), Some([0, 0, 0]));
        assert_eq!(g.locate([3.1, 0.5, 1.0]), None);
        assert_eq!(g.locate([f64::NAN, 0.5, 1.0]), None);
        for c in 0..g.cells() {
            let [i, j, k] = g.ijk(c);
            assert_eq!(g.index(i, j, k), c);
            assert_eq!(g.locate(g.cell_centre(i, j, k)), Some([i, j, k]));
        }
        // Catches a search from close by that finds another cell than one from nowhere, on planes and outside above all.
        let axis = [-0.1, 0.0, 0.5, 1.0, 2.9, 3.0, 3.1, 4.0, f64::NAN];
        for from in 0..g.cells() {
            for x in axis {
                for z in axis {
                    let point = [x, 0.5, z];
                    assert_eq!(
                        g.locate_near(point, g.ijk(from)),
                        g.locate(point),
                        "{point:?}"
                    );
                }
            }
        }
    }
}
