//! Many winters of the demo pair on all cores: how the cost of the reduced network grows with their number.

#[path = "stand/mod.rs"]
mod stand;

use criterion::{Criterion, criterion_group, criterion_main};
use partywall::hive::Resolution;
use partywall::season::HeatModel;
use rayon::prelude::*;
use std::sync::atomic::AtomicBool;
use std::time::Instant;

fn run_many(d: &stand::Demo, count: usize) -> usize {
    let stop = AtomicBool::new(false);
    (0..count)
        .into_par_iter()
        .filter(|i| {
            d.winter_run(*i, &stop)
                .run(HeatModel::Reduced, None)
                .is_ok()
        })
        .count()
}

#[expect(clippy::print_stdout, reason = "a bench reports on the terminal")]
#[expect(
    clippy::expect_used,
    reason = "a bench without its subject is no bench"
)]
fn ensemble(c: &mut Criterion) {
    let d = stand::demo(Resolution::Normal).expect("the demo builds");
    for count in [36, 250, 1000] {
        let start = Instant::now();
        let done = run_many(&d, count);
        println!("{done} winters in {:.1} s", start.elapsed().as_secs_f64());
    }
    let mut group = c.benchmark_group("ensemble");
    group.sample_size(10);
    group.bench_function("36 winters", |b| b.iter(|| run_many(&d, 36)));
    group.finish();
}

criterion_group!(benches, ensemble);
criterion_main!(benches);
