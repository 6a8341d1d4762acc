//! Reading forty years of hourly weather, and cutting its winters: aimed at is a second for 100 MB of file.

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use partywall::calendar::MonthDay;
use partywall::climate::{self, calendar};
use partywall::files::weather;
use std::fmt::Write;
use std::hint::black_box;

/// Hours from 1980 to 2019, with a temperature that no check complains of.
fn hours() -> impl Iterator<Item = (i64, f64)> {
    let day = |text| calendar::parse_date(text).unwrap_or(0);
    (24 * day("1980-01-01")..24 * day("2020-01-01")).map(|h| {
        let season = (h as f64 / 24.0 / 365.25 * std::f64::consts::TAU).cos();
        let of_day = ((h % 24 - 15) as f64 / 24.0 * std::f64::consts::TAU).cos();
        (
            h,
            8.0 - 15.0 * season + 5.0 * of_day + 0.1 * (h % 101) as f64,
        )
    })
}

fn plain() -> String {
    let mut text = String::from(
        "# station: bench\n# latitude: 45\n# longitude: -75\n# elevation_m: 100\n# utc_offset_h: -5\n\
         time,outdoor_c,dewpoint_c,wind_ms,ghi_w_m2,cloud_okta,snow_depth_cm\n",
    );
    for (h, t) in hours() {
        let sun = (h % 24 - 12).abs();
        let ghi = if sun < 6 { 60 * (6 - sun) } else { 0 };
        let time = calendar::time_text(60 * h).replace(' ', "T");
        let _ = writeln!(text, "{time},{t:.1},{:.1},3.6,{ghi},4,0", t - 4.0);
    }
    text
}

fn isd_lite() -> String {
    let mut text = String::new();
    for (h, t) in hours() {
        let time = calendar::time_text(60 * h);
        let (date, clock) = time.split_at(10);
        let tenths = (10.0 * t).round();
        let _ = writeln!(
            text,
            "{} {} {} {}{:6}{:6} 10165   270    36     4     0 -9999",
            &date[..4],
            &date[5..7],
            &date[8..],
            &clock[1..3],
            tenths,
            tenths - 40.0
        );
    }
    text
}

fn read(c: &mut Criterion) {
    let day = |month, day| MonthDay { month, day };
    let known = climate::raw::PartialStation {
        latitude_deg: Some(45.0),
        longitude_deg: Some(-75.0),
        ..climate::raw::PartialStation::default()
    };
    let folder = tempfile::tempdir().ok();
    let Some(folder) = folder else { return };
    let mut group = c.benchmark_group("climate");
    group.sample_size(10);
    for (name, text) in [("plain-hourly", plain()), ("isd-lite", isd_lite())] {
        let path = folder.path().join(name);
        if std::fs::write(&path, &text).is_err() {
            return;
        }
        let choice = climate::choose(&path.to_string_lossy());
        group.throughput(Throughput::Bytes(text.len() as u64));
        group.bench_function(format!("read/{name}"), |b| {
            b.iter(|| black_box(weather::load_at(&choice, &known)).is_ok())
        });
        if let Ok(record) = weather::load_at(&choice, &known) {
            group.bench_function(format!("cut/{name}"), |b| {
                b.iter(|| black_box(record.winters(day(10, 1), day(5, 19))).is_ok())
            });
        }
    }
    group.finish();
}

criterion_group!(benches, read);
criterion_main!(benches);
