//! The solver problem of `peer/problem.rs`: prints milliseconds a step (lower quartile of 48) for each solver, then lets
//! criterion time whole runs.

#[path = "peer/problem.rs"]
mod problem;

use criterion::{Criterion, criterion_group, criterion_main};
use partywall::heat::{HeatError, LinearSolver};
use problem::{AFTER_48_H, Peer, summary};

const CASES: [(&str, usize, LinearSolver, f64); 5] = [
    (
        "2-D, PCG, fixed matrix",
        2,
        LinearSolver { tolerance: 1e-5 },
        0.0,
    ),
    (
        "2-D, PCG, new films each hour",
        2,
        LinearSolver { tolerance: 1e-5 },
        0.1,
    ),
    (
        "3-D, PCG, fixed matrix",
        3,
        LinearSolver { tolerance: 1e-5 },
        0.0,
    ),
    (
        "3-D, PCG, new films each hour",
        3,
        LinearSolver { tolerance: 1e-5 },
        0.1,
    ),
    (
        "3-D, PCG to 1e-7 K, new films each hour",
        3,
        LinearSolver { tolerance: 1e-7 },
        0.1,
    ),
];

/// Peak resident memory of the process so far, MB.
fn peak_memory() -> String {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find(|l| l.starts_with("VmHWM"));
    line.and_then(|l| l.split_whitespace().nth(1)?.parse::<f64>().ok())
        .map_or("unknown".into(), |kb| format!("{:.0} MB", kb / 1024.0))
}

#[expect(clippy::print_stdout, reason = "a bench reports on the terminal")]
fn table() -> Result<(), HeatError> {
    for dim in [2, 3] {
        let peer = Peer::new(dim)?;
        for (name, _, solver, wobble) in CASES.into_iter().filter(|c| c.1 == dim) {
            let (t, mut seconds, stepper) = peer.run(solver, wobble)?;
            seconds.sort_by(f64::total_cmp);
            let stats = stepper.stats();
            // The reference has one course of films only.
            let off = AFTER_48_H
                .iter()
                .find(|a| a.0 == dim && wobble == 0.0)
                .map_or("no reference".to_owned(), |a| {
                    let off = summary(&t)
                        .iter()
                        .zip(a.1)
                        .map(|(g, w)| (g - w).abs())
                        .fold(0.0, f64::max);
                    format!("off by {off:.0e} K")
                });
            println!(
                "{name:42} {:8.3} ms/step, {:5.1} iterations, {off}, balance {:.0e}, peak so far {}",
                seconds[12] * 1e3,
                stats.iterations as f64 / 48.0,
                stats.balance.relative(),
                peak_memory()
            );
        }
    }
    Ok(())
}

#[expect(clippy::expect_used, reason = "a bench of a fixed problem")]
fn runs(c: &mut Criterion) {
    table().expect("the peer problem can be solved");
    let mut group = c.benchmark_group("48 hours");
    group.sample_size(10);
    for (name, dim, solver, wobble) in CASES {
        let peer = Peer::new(dim).expect("the peer problem can be built");
        group.bench_function(name, |b| b.iter(|| peer.run(solver, wobble)));
    }
    group.finish();
}

criterion_group!(benches, runs);
criterion_main!(benches);
