//! A body placed in a reduced network.

use super::dense::add;

/// Linear reading of the temperatures over a body's surface, as a reduced network sees it.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Reading {
    /// Weights in coordinates of the basis.
    pub rows: Vec<f64>,
    /// What the basis lacks of it for a watt at each port, all settled, K/W.
    pub fixed: Vec<f64>,
    /// The basis' part of it for a watt of the body itself, all settled at the reference fill, K/W.
    pub own: f64,
}

impl Reading {
    fn clear(&mut self) {
        self.rows.clear();
        self.fixed.clear();
        self.own = 0.0;
    }

    fn add(&mut self, share: f64, other: &Self) {
        for (sum, part) in [
            (&mut self.rows, &other.rows),
            (&mut self.fixed, &other.fixed),
        ] {
            sum.resize(part.len(), 0.0);
            add(sum, share, part);
        }
        self.own += share * other.own;
    }
}

/// What a reduced network knows of one placed body.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Body {
    /// Mean over the surface.
    pub(super) mean: Reading,
    /// Gradient over the surface along x, y and z, per metre.
    pub(super) slopes: [Reading; 3],
}

impl Body {
    /// Becomes the body between others: its readings are their weighted means. Shares should sum to 1.
    pub fn blend<'a>(&mut self, parts: impl IntoIterator<Item = (f64, &'a Self)>) {
        self.mean.clear();
        self.slopes.iter_mut().for_each(Reading::clear);
        for (share, part) in parts {
            self.mean.add(share, &part.mean);
            for (a, p) in self.slopes.iter_mut().zip(&part.slopes) {
                a.add(share, p);
            }
        }
    }
}

/// What the basis lacks of a body's answer to its own watt, all settled at the reference fill: the field close to it, which
/// changes little from place to place.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Near {
    /// Of the mean over its surface, K/W.
    pub(super) mean: f64,
    /// Of the gradients along x, y and z, K/(W m).
    pub(super) slopes: [f64; 3],
    /// Of each of the network's readings, K/W.
    pub(super) readings: Vec<f64>,
}

impl Near {
    /// Becomes the weighted mean of others. Shares should sum to 1.
    pub fn blend<'a>(&mut self, parts: impl IntoIterator<Item = (f64, &'a Self)>) {
        (self.mean, self.slopes) = (0.0, [0.0; 3]);
        self.readings.clear();
        for (share, part) in parts {
            self.mean += share * part.mean;
            for (s, p) in self.slopes.iter_mut().zip(part.slopes) {
                *s += share * p;
            }
            self.readings.resize(part.readings.len(), 0.0);
            add(&mut self.readings, share, &part.readings);
        }
    }
}
