//! The solver problem whose fields are known from an independent sparse LU factorisation.

#[path = "../../benches/peer/problem.rs"]
mod problem;

use partywall::heat::LinearSolver;
use problem::{AFTER_48_H, Peer, summary};

#[test]
fn the_solver_reaches_the_field_of_an_independent_factorisation() {
    // Catches wrong conductances, films or sources, and a stopping rule that stops too early.
    for (dim, expected) in AFTER_48_H {
        let peer = Peer::new(dim).unwrap();
        let (t, mut seconds, stepper) = peer.run(LinearSolver::PCG, 0.0).unwrap();
        seconds.sort_by(f64::total_cmp);
        let stats = stepper.stats();
        eprintln!("{dim}-D: {:.3} ms, {stats:?}", seconds[12] * 1e3);
        for (got, want) in summary(&t).into_iter().zip(expected) {
            eprintln!("   {got:.7} {want:.7} {:.1e}", got - want);
            assert!(
                (got - want).abs() < 1e-4,
                "{dim}-D: {got} instead of {want}"
            );
        }
        assert!(stats.balance.relative() < 1e-6, "{stats:?}");
    }
}
