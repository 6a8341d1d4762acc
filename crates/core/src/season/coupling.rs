//! The heats of all colonies of a stand, solved together.
//!
//! Each cluster answers the temperature around it with a heat flow `F_c(T)`, falling with T. The network answers heat
//! flows with temperatures, `T = a + B (q - q0)`, B the response of each cluster's surroundings to a watt at each cluster.
//! Sought is `q_c = F_c(T_c)` for all colonies at once; B is positive on its diagonal and a watt warms its own
//! cluster most, so there is one answer, and Newton's method on the piecewise linear F finds it in a few steps.

use crate::colony::cluster::PreparedHour;

/// Most colonies on one stand.
pub const MOST: usize = 4;

/// Temperature step for the slope of a cluster's answer, K.
const SLOPE_STEP: f64 = 1e-3;
/// Heat flows agree to this, W.
const TOLERANCE: f64 = 1e-9;
/// Newton steps before giving up on the tolerance; the answer is then still the best found.
const MOST_STEPS: usize = 60;

/// The coupled hour of all colonies.
#[derive(Debug, Clone)]
pub struct Coupled {
    /// Temperature around each cluster, degC.
    pub around_c: [f64; MOST],
    /// Heat flow each cluster gives to the network, W.
    pub flow: [f64; MOST],
    /// Largest difference left between given and answered heat flow, W.
    pub residual: f64,
}

/// Solves the heats together; colonies come first, without gaps. `around_c[c]` is the temperature around cluster c with the flows `flow0`, `response[c][d]`
/// the kelvins around cluster c per watt at cluster d.
#[must_use]
pub fn couple(
    hours: &[Option<PreparedHour<'_>>; MOST],
    around_c: &[f64; MOST],
    flow0: &[f64; MOST],
    response: &[[f64; MOST]; MOST],
) -> Coupled {
    let n = hours.iter().flatten().count();
    let around = |q: &[f64; MOST]| -> [f64; MOST] {
        std::array::from_fn(|c| {
            around_c[c]
                + (0..n)
                    .map(|d| response[c][d] * (q[d] - flow0[d]))
                    .sum::<f64>()
        })
    };
    let residuals = |q: &[f64; MOST]| -> [f64; MOST] {
        let t = around(q);
        std::array::from_fn(|c| {
            let answer = hours[c].as_ref();
            answer.map_or(0.0, |h| h.to_surroundings(t[c]) - q[c])
        })
    };
    let norm = |r: &[f64; MOST]| r.iter().fold(0.0f64, |m, v| m.max(v.abs()));

    let mut q = *flow0;
    let mut r = residuals(&q);
    for _ in 0..MOST_STEPS {
        if norm(&r) <= TOLERANCE {
            break;
        }
        let t = around(&q);
        // Jacobian of the residual: slope of F times B, minus one.
        let mut j = [[0.0; MOST]; MOST];
        for (c, hour) in hours.iter().flatten().enumerate() {
            let slope =
                (hour.to_surroundings(t[c] + SLOPE_STEP) - hour.to_surroundings(t[c])) / SLOPE_STEP;
            for d in 0..n {
                j[c][d] = slope * response[c][d] - f64::from(u8::from(c == d));
            }
        }
        let step = solve(j, r.map(|v| -v), n);
        let mut length = 1.0;
        loop {
            let trial: [f64; MOST] = std::array::from_fn(|c| q[c] + length * step[c]);
            let left = residuals(&trial);
            if norm(&left) < norm(&r) || length < 1e-3 {
                (q, r) = (trial, left);
                break;
            }
            length *= 0.5;
        }
    }
    Coupled {
        around_c: around(&q),
        flow: q,
        residual: norm(&r),
    }
}

/// Gaussian elimination with row pivoting for up to four unknowns.
fn solve(mut a: [[f64; MOST]; MOST], mut b: [f64; MOST], n: usize) -> [f64; MOST] {
    for k in 0..n {
        let pivot = (k..n)
            .max_by(|&i, &j| a[i][k].abs().total_cmp(&a[j][k].abs()))
            .unwrap_or(k);
        a.swap(k, pivot);
        b.swap(k, pivot);
        for i in k + 1..n {
            let f = a[i][k] / a[k][k];
            let row = a[k];
            for (a, b) in a[i][k..n].iter_mut().zip(&row[k..n]) {
                *a -= f * b;
            }
            b[i] -= f * b[k];
        }
    }
    for k in (0..n).rev() {
        for j in k + 1..n {
            b[k] -= a[k][j] * b[j];
        }
        b[k] /= a[k][k];
    }
    b
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colony::{
        cluster::{Cluster, Condition},
        parameters::Parameters,
    };
    use proptest::prelude::*;

    proptest! {
        /// Catches a coupling that does not settle, in any mix of strong and weak, cold and warm, brood and none.
        #[test]
        fn heats_agree(m in proptest::array::uniform2(0.1..4.0f64), a in proptest::array::uniform2(-40.0..30.0f64),
                       self_response in 0.05..4.0f64, shared in 0.0..0.9f64, brood in any::<bool>(), start in 5.0..34.0f64) {
            let p = Parameters::with(&[]).unwrap();
            let of = |mass: f64| {
                let c = Condition { mass, radius: 0.11 * mass.cbrt(), core_share: 0.3, core_need_c: if brood { 34.5 } else { 22.0 }, core_ceiling_c: 35.5 };
                Some(Cluster::uniform(start).prepare(3600.0, &c, &p))
            };
            let hours = [of(m[0]), of(m[1]), None, None];
            let b = self_response;
            let mut response = [[0.0; MOST]; MOST];
            response[0][0] = b; response[1][1] = b; response[0][1] = shared * b; response[1][0] = shared * b;
            let out = couple(&hours, &[a[0], a[1], 0.0, 0.0], &[0.0; MOST], &response);
            prop_assert!(out.residual <= 1e-6, "{}", out.residual);
        }
    }
}
