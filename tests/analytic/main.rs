//! Exact solutions: catches wrong capacities, films, links, time stepping, immersed bodies.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stderr,
    clippy::print_stdout
)]

mod sphere;

use partywall::verify::analytic;

#[test]
fn every_exact_value_is_met() {
    let checks = analytic::checks().unwrap();
    for c in &checks {
        eprintln!(
            "{:26} {:13.6} {:13.6} {:9.2e} {}",
            c.id,
            c.expected,
            c.got,
            c.tolerance,
            c.passes()
        );
    }
    let failed: Vec<_> = checks.iter().filter(|c| !c.passes()).collect();
    assert!(failed.is_empty(), "{failed:#?}");
}
