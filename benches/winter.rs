//! One winter of the demo pair, 1 Oct to 19 May, hourly, colonies included: the reduced network built and run, and held against
//! the full one in the same process.

#[path = "stand/mod.rs"]
mod stand;

use criterion::{Criterion, criterion_group, criterion_main};
use partywall::hive::Resolution;
use partywall::season::{HeatModel, Method};
use std::sync::atomic::AtomicBool;
use std::time::{Duration, Instant};

/// Runs timed for each figure.
const RUNS: u32 = 20;

fn once<T>(f: impl FnOnce() -> T) -> (Duration, T) {
    let start = Instant::now();
    let out = f();
    (start.elapsed(), out)
}

#[expect(clippy::print_stdout, reason = "a bench reports on the terminal")]
fn table() -> Result<(), Box<dyn std::error::Error>> {
    println!("grid      unknowns  build ms  reduced ms  full ms    ratio");
    for resolution in [Resolution::Coarse, Resolution::Normal, Resolution::Halved] {
        let d = stand::demo(resolution)?;
        let stop = AtomicBool::new(false);
        let course = d.winter_run(1, &stop);
        let one = rayon::ThreadPoolBuilder::new().num_threads(1).build()?;
        let (build, hive) = one.install(|| once(|| d.stand.reduce()));
        hive?;
        course.run(HeatModel::Reduced, None)?;
        let mut times = Vec::new();
        for _ in 0..RUNS {
            let (t, out) = once(|| course.run(HeatModel::Reduced, None));
            out?;
            times.push(t);
        }
        times.sort();
        let reduced = times[times.len() / 4];
        let (full, out) = once(|| course.run(HeatModel::Full(Method::CAREFUL), None));
        out?;
        println!(
            "{:9} {:8} {:9.0} {:11.1} {:8.0} {:8.0}",
            format!("{resolution:?}"),
            d.stand.hive.network.n(),
            1e3 * build.as_secs_f64(),
            1e3 * reduced.as_secs_f64(),
            1e3 * full.as_secs_f64(),
            full.as_secs_f64() / reduced.as_secs_f64()
        );
    }
    Ok(())
}

#[expect(
    clippy::expect_used,
    reason = "a bench without its subject is no bench"
)]
fn winter(c: &mut Criterion) {
    table().expect("the demo runs");
    let d = stand::demo(Resolution::Normal).expect("the demo builds");
    let stop = AtomicBool::new(false);
    let course = d.winter_run(1, &stop);
    course.run(HeatModel::Reduced, None).expect("a winter runs");
    c.bench_function("winter, normal grid, reduced", |b| {
        b.iter(|| course.run(HeatModel::Reduced, None));
    });
}

criterion_group!(benches, winter);
criterion_main!(benches);
