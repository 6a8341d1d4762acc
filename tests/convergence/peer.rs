//! The solver problem whose fields are known from an independent sparse LU factorisation.

#[path = "../../benches/peer/problem.rs"]
mod problem;

use partywall::heat::LinearSolver;
use problem::{AFTER_48_H, Peer, summary};

#[test]
fn both_solvers_reach_the_field_of_an_independent_factorisation() {
    // Catches wrong conductances, films or sources, and a stopping rule that stops too early.
    for (dim, expected) in AFTER_48_H {
        let peer = Peer::new(dim).unwrap();
        for solver in [LinearSolver::PCG, LinearSolver::Cholesky] {
            if dim == 3 && solver == LinearSolver::Cholesky {
                continue;
            }
            let (t, mut seconds, stepper) = peer.run(solver, 0.0).unwrap();
            seconds.sort_by(f64::total_cmp);
            eprintln!(
                "{dim}-D {solver:?}: {:.3} ms, {:?}",
                seconds[12] * 1e3,
                stepper.stats()
            );
            for (got, want) in summary(&t).into_iter().zip(expected) {
                eprintln!("   {got:.7} {want:.7} {:.1e}", got - want);
                assert!(
                    (got - want).abs() < 1e-4,
                    "{dim}-D {solver:?}: {got} instead of {want}"
                );
            }
            assert!(
                stepper.stats().balance.relative() < 1e-6,
                "{:?}",
                stepper.stats()
            );
        }
    }
}
