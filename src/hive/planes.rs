//! Where the grid's planes go: on every material interface, evenly between.

use super::Resolution;

/// Interfaces closer than this are one, m.
const SAME: f64 = 1e-6;
/// Layers thinner than this get a single cell at any resolution but the finest, m.
const SHEET: f64 = 4e-3;

impl Resolution {
    /// Least number of cells in a layer.
    fn least(self) -> usize {
        match self {
            Self::Coarse => 1,
            Self::Normal => 2,
            Self::Fine => 3,
        }
    }

    /// Largest cell, m, along x, y, z. Across the combs `Normal` has about one cell per frame.
    fn largest(self) -> [f64; 3] {
        match self {
            Self::Coarse => [0.080, 0.120, 0.085],
            Self::Normal => [0.038, 0.060, 0.045],
            Self::Fine => [0.020, 0.025, 0.020],
        }
    }
}

/// Cell boundary planes along one axis (0, 1, 2) from the interfaces there, in any order, m.
#[must_use]
pub fn planes(mut interfaces: Vec<f64>, axis: usize, resolution: Resolution) -> Vec<f64> {
    interfaces.sort_by(f64::total_cmp);
    interfaces.dedup_by(|a, b| (*a - *b).abs() < SAME);
    let mut planes: Vec<f64> = interfaces.first().copied().into_iter().collect();
    for pair in interfaces.windows(2) {
        let length = pair[1] - pair[0];
        let least = if length < SHEET && resolution != Resolution::Fine {
            1
        } else {
            resolution.least()
        };
        let n = least.max((length / resolution.largest()[axis] - 1e-9).ceil() as usize);
        planes.extend((1..n).map(|i| pair[0] + length * i as f64 / n as f64));
        planes.push(pair[1]);
    }
    planes
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Would catch a plane that is not on its interface, doubled planes, or too few cells in a wall.
    #[test]
    fn every_layer_is_divided() {
        let p = planes(
            vec![0.019, 0.0, 0.394, 0.375 + 0.019, 0.020],
            0,
            Resolution::Normal,
        );
        for x in [0.0, 0.019, 0.020, 0.394] {
            assert!(p.iter().any(|q| (q - x).abs() < 1e-9), "{x}");
        }
        assert!(
            p.windows(2)
                .all(|w| w[1] > w[0] && w[1] - w[0] <= 0.038 + 1e-9)
        );
        assert_eq!(p.iter().filter(|x| **x <= 0.019 + 1e-9).count(), 3);
        assert_eq!(
            p.iter()
                .filter(|x| (0.019 - 1e-9..=0.020 + 1e-9).contains(*x))
                .count(),
            2
        );
    }
}
