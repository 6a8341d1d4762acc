//! The steady state by a dense factorisation, which knows nothing of lanes, incomplete factors or iterations.

use nalgebra::{Cholesky, DMatrix, DVector};
use partywall_core::heat::{Drive, Network, net_heat};

/// Temperatures at which no unknown takes heat, degC. The heat is a linear function of the temperatures, so the matrix
/// is read off it column by column.
pub fn steady(network: &Network, drive: &Drive) -> Vec<f64> {
    let n = network.n();
    let mut t = vec![0.0; n];
    let heat = |t: &[f64]| net_heat(network, drive, t).unwrap();
    let source = heat(&t);
    let mut matrix = DMatrix::zeros(n, n);
    for j in 0..n {
        t[j] = 1.0;
        for (i, (cold, warm)) in source.iter().zip(heat(&t)).enumerate() {
            matrix[(i, j)] = cold - warm;
        }
        t[j] = 0.0;
    }
    let factor = Cholesky::new(matrix).unwrap();
    Vec::from(factor.solve(&DVector::from_vec(source)).data)
}
