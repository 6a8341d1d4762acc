//! Port temperatures under conductances that differ from the nominal ones.
//!
//! `t = known - R (e t)` by Gauss-Seidel: port by port, each put right at once for the conductance `e` of its own. What is wrong with
//! each port's equation is carried along. Four ports have their turn together: how much of the fault of each is left when its turn
//! comes follows from the faults of those before it, by the inverse of a small triangle made once a step. So a sweep is a few
//! products of four numbers that need not wait for one another.

use super::dense::{add, times};

/// Port temperatures are settled to this, K, by the rate at which they settle.
const SETTLED: f64 = 1e-4;

/// Values of ports that have their turn together.
type Four = [f64; 4];

/// Gauss-Seidel over the ports, whose number is a multiple of four; see the module.
#[derive(Debug, Default)]
pub(super) struct Sweeps {
    /// Port temperatures, degC.
    pub t: Vec<f64>,
    /// Conductance beyond the standing one, W/K.
    pub extra: Vec<f64>,
    /// What is wrong with each port's equation, K: `known - t - R (extra t)`.
    wrong: Vec<f64>,
    /// `extra t`, W.
    drawn: Vec<f64>,
    /// Share of what is wrong that a port changes by when its turn comes: `1 / (1 + R_pp extra_p)`.
    share: Vec<f64>,
    /// By column, how much of the faults of four ports is left when their turns come.
    turns: Vec<[Four; 4]>,
}

impl Sweeps {
    /// For so many ports, all at 0 degC.
    pub fn new(ports: usize) -> Self {
        debug_assert!(ports.is_multiple_of(4));
        let zero = || vec![0.0; ports];
        Self {
            t: zero(),
            extra: zero(),
            wrong: zero(),
            drawn: zero(),
            share: zero(),
            turns: vec![[[0.0; 4]; 4]; ports / 4],
        }
    }

    /// Gets ready for conductances that have changed; `matrix` is `R`, symmetric.
    pub fn start(&mut self, matrix: &[f64], known: &[f64]) {
        let ports = self.t.len();
        self.draw();
        times(matrix, &self.drawn, &mut self.wrong);
        for p in 0..ports {
            self.wrong[p] = known[p] - self.t[p] - self.wrong[p];
            self.share[p] = 1.0 / (1.0 + matrix[p * ports + p] * self.extra[p]);
        }
        for (b, turns) in self.turns.iter_mut().enumerate() {
            // What a fault of port l adds to that of a later one m when l has had its turn.
            let adds = |l: usize, m: usize| {
                let (l, m) = (4 * b + l, 4 * b + m);
                -matrix[l * ports + m] * (self.extra[l] * self.share[l])
            };
            let (a01, a12, a23) = (adds(0, 1), adds(1, 2), adds(2, 3));
            let a02 = adds(0, 2) + a12 * a01;
            let a13 = adds(1, 3) + a23 * a12;
            let a03 = adds(0, 3) + adds(1, 3) * a01 + a23 * a02;
            *turns = [
                [1.0, a01, a02, a03],
                [0.0, 1.0, a12, a13],
                [0.0, 0.0, 1.0, a23],
                [0.0, 0.0, 0.0, 1.0],
            ];
        }
    }

    /// Takes more heat into account: `q` watts that warm the ports by `to_ports` (K/W).
    pub fn warm(&mut self, q: f64, to_ports: &[f64]) {
        for (wrong, k) in self.wrong.iter_mut().zip(to_ports) {
            *wrong += q * k;
        }
    }

    /// As [`Self::warm`] for heat `q` of the ports themselves, W, most of which have none.
    pub fn warm_all(&mut self, q: &[f64], matrix: &[f64]) {
        for (q, row) in q.iter().zip(matrix.chunks_exact(q.len())) {
            if *q != 0.0 {
                add(&mut self.wrong, *q, row);
            }
        }
    }

    /// Sweeps until settled, at most so often; answers with the number of sweeps.
    #[inline(always)]
    pub fn run(&mut self, matrix: &[f64], most: usize) -> usize {
        let ports = self.t.len();
        let (wrong, _) = self.wrong.as_chunks_mut::<4>();
        let (t, _) = self.t.as_chunks_mut::<4>();
        let ((share, _), (extra, _)) = (self.share.as_chunks::<4>(), self.extra.as_chunks::<4>());
        // Before the first nothing is known of the rate.
        let mut before = 0.0;
        for sweep in 1..=most {
            let mut change = [0.0f64; 4];
            let rows = matrix.chunks_exact(4 * ports);
            for (b, (turns, rows)) in self.turns.iter().zip(rows).enumerate() {
                let (rows, _) = rows.as_chunks::<4>();
                let [r0, r1, r2, r3] =
                    std::array::from_fn(|l| &rows[l * t.len()..(l + 1) * t.len()]);
                let dealt = sum(&wrong[b], turns.each_ref());
                let mut more = [0.0; 4];
                for l in 0..4 {
                    let by = share[b][l] * dealt[l];
                    t[b][l] += by;
                    wrong[b][l] -= by;
                    change[l] = change[l].max(by.abs());
                    more[l] = extra[b][l] * by;
                }
                for ((((w, r0), r1), r2), r3) in wrong.iter_mut().zip(r0).zip(r1).zip(r2).zip(r3) {
                    let pulled = sum(&more, [r0, r1, r2, r3]);
                    for l in 0..4 {
                        w[l] -= pulled[l];
                    }
                }
            }
            let change = change[0].max(change[1]).max(change[2].max(change[3]));
            // Each sweep changes the same share of what the one before did: so much is still to come.
            let left = change * change / (before - change);
            if change <= SETTLED || (0.0..=SETTLED).contains(&left) {
                return sweep;
            }
            before = change;
        }
        most
    }

    /// Works out what the conductance beyond the standing one takes away.
    pub fn draw(&mut self) {
        for ((drawn, extra), t) in self.drawn.iter_mut().zip(&self.extra).zip(&self.t) {
            *drawn = extra * t;
        }
    }

    /// Heat the conductance beyond the standing one takes away, W, by [`Self::draw`].
    pub fn drawn(&self) -> &[f64] {
        &self.drawn
    }
}

/// Sum of four rows by weight.
#[inline(always)]
fn sum(weights: &Four, rows: [&Four; 4]) -> Four {
    std::array::from_fn(|i| {
        (weights[0] * rows[0][i] + weights[1] * rows[1][i])
            + (weights[2] * rows[2][i] + weights[3] * rows[3][i])
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::{DMatrix, DVector};

    /// Catches a turn that leaves out what the ports before it did, and heat that comes late counted twice: the settled ports
    /// solve `(1 + R e) t = known`.
    #[test]
    fn ports_settle_where_the_equations_hold() {
        let ports = 24;
        let r = |p: usize, q: usize| {
            0.4 / (1.0 + p.abs_diff(q) as f64).powi(2) + f64::from(u8::from(p == q))
        };
        let matrix: Vec<f64> = (0..ports * ports)
            .map(|k| r(k / ports, k % ports))
            .collect();
        let extra: Vec<f64> = (0..ports).map(|p| 0.5 * (p as f64 * 1.7).sin()).collect();
        let known: Vec<f64> = (0..ports).map(|p| 10.0 * (p as f64).cos()).collect();
        let to_ports: Vec<f64> = (0..ports).map(|p| 0.1 / (1.0 + p as f64)).collect();
        let a = DMatrix::from_fn(ports, ports, |p, q| {
            f64::from(u8::from(p == q)) + r(p, q) * extra[q]
        });
        let mut s = Sweeps::new(ports);
        s.extra.copy_from_slice(&extra);
        s.start(&matrix, &known);
        let mut late = 0.0;
        for q in [0.0, 30.0, -12.0] {
            s.warm(q, &to_ports);
            late += q;
            let sweeps = s.run(&matrix, 50);
            s.draw();
            assert!(sweeps < 50, "{sweeps}");
            let right = DVector::from_fn(ports, |p, _| known[p] + late * to_ports[p]);
            let exact = a.clone().lu().solve(&right).unwrap();
            for p in 0..ports {
                let off = (s.t[p] - exact[p]).abs();
                assert!(
                    off < 3.0 * SETTLED,
                    "port {p}: {off} K after {sweeps} sweeps"
                );
                assert_eq!(s.drawn()[p], extra[p] * s.t[p]);
            }
        }
    }
}
