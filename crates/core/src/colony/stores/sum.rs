//! A sum that keeps what rounding loses (Neumaier 1974), so that thousands of small meals add up.

/// A running sum.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Sum {
    sum: f64,
    lost: f64,
}

impl Sum {
    pub(super) fn add(&mut self, v: f64) {
        let t = self.sum + v;
        self.lost += if self.sum.abs() >= v.abs() {
            (self.sum - t) + v
        } else {
            (v - t) + self.sum
        };
        self.sum = t;
    }

    pub(super) fn value(self) -> f64 {
        self.sum + self.lost
    }
}

impl FromIterator<f64> for Sum {
    fn from_iter<I: IntoIterator<Item = f64>>(values: I) -> Self {
        let mut s = Self::default();
        for v in values {
            s.add(v);
        }
        s
    }
}
