//! A body placed in a reduced network.

/// Linear reading of the temperatures over a body's surface, as a reduced network sees it.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Reading {
    /// Weights in coordinates of the basis.
    pub rows: Vec<f64>,
    /// What the basis lacks of it for a watt at each port, all settled, K/W.
    pub fixed: Vec<f64>,
    /// The whole reading for a watt of the body itself, all settled, K/W.
    pub steady: f64,
}

impl Reading {
    fn add(&mut self, share: f64, other: &Self) {
        self.rows.resize(other.rows.len(), 0.0);
        self.fixed.resize(other.fixed.len(), 0.0);
        for (s, o) in self.rows.iter_mut().zip(&other.rows) {
            *s += share * o;
        }
        for (s, o) in self.fixed.iter_mut().zip(&other.fixed) {
            *s += share * o;
        }
        self.steady += share * other.steady;
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
    /// A body between others: readings and steady answer are their weighted means. Shares should sum to 1.
    #[must_use]
    pub fn between<'a>(parts: impl IntoIterator<Item = (f64, &'a Self)>) -> Self {
        let mut all = Self::default();
        for (share, part) in parts {
            all.mean.add(share, &part.mean);
            for (a, p) in all.slopes.iter_mut().zip(&part.slopes) {
                a.add(share, p);
            }
        }
        all
    }
}
