//! Port temperatures under conductances that differ from the nominal ones.

use super::dense::dot;

/// Port temperatures are settled to this, K.
const SETTLED: f64 = 1e-4;

/// Gauss-Seidel on `t = known - R (extra t)`.
pub(super) struct Sweeps<'a> {
    /// `R`, symmetric.
    pub matrix: &'a [f64],
    pub known: &'a [f64],
    pub extra: &'a [f64],
    pub t: &'a mut [f64],
    /// `extra t`.
    pub drawn: &'a mut [f64],
    /// `R extra t`, kept up with every change.
    pub pulled: &'a mut [f64],
    /// `1 / (1 + R_pp extra_p)`.
    pub share: &'a mut [f64],
}

impl Sweeps<'_> {
    /// Gets ready for flows that start anew.
    #[inline(always)]
    pub fn start(&mut self) {
        let ports = self.t.len();
        for p in 0..ports {
            self.drawn[p] = self.extra[p] * self.t[p];
            self.share[p] = 1.0 / (1.0 + self.matrix[p * ports + p] * self.extra[p]);
        }
        for (pulled, row) in self.pulled.iter_mut().zip(self.matrix.chunks_exact(ports)) {
            *pulled = dot(row, self.drawn);
        }
    }

    /// Sweeps until settled; answers with the number of sweeps.
    #[inline(always)]
    pub fn run(&mut self, most: usize) -> usize {
        let ports = self.t.len();
        let [known, extra] = [&self.known[..ports], &self.extra[..ports]];
        let (drawn, share) = (&mut self.drawn[..ports], &self.share[..ports]);
        let (t, pulled) = (&mut self.t[..ports], &mut self.pulled[..ports]);
        for sweep in 1..=most {
            let mut change = 0.0f64;
            for (p, row) in self.matrix.chunks_exact(ports).enumerate() {
                let by_others = pulled[p] - row[p] * drawn[p];
                let new = (known[p] - by_others) * share[p];
                change = change.max((new - t[p]).abs());
                t[p] = new;
                let now = extra[p] * new;
                let more = now - drawn[p];
                drawn[p] = now;
                for (pulled, r) in pulled.iter_mut().zip(row) {
                    *pulled += r * more;
                }
            }
            if change <= SETTLED {
                return sweep;
            }
        }
        most
    }
}
