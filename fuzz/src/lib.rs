//! What every target does with its bytes: nothing may panic, overflow or hang, and what is accepted must be physical.

use partywall::answer::{self, HeatOptions, RunOptions, WinterChoice};
use partywall::calendar::MonthDay;
use partywall::climate::formats::{Format, Hints};
use partywall::climate::source::Source;
use partywall::climate::sums::Sums;
use partywall::climate::{self, Record, builtin};
use partywall::scenario;
use std::sync::OnceLock;

/// Seasons cut: a whole winter, and days few enough for small files to hold them whole.
const SEASONS: [[(u8, u8); 2]; 5] = [
    [(10, 1), (3, 31)],
    [(1, 1), (1, 3)],
    [(2, 27), (3, 1)],
    [(7, 1), (7, 2)],
    [(12, 30), (1, 2)],
];

/// Gives bytes to one reader whether they look like its format or not, then lets the program read them as a file.
pub fn read(format: &Format, data: &[u8]) {
    if let Ok(source) = Source::from_bytes("w", data.to_vec()) {
        let _ = (format.fits)(&source);
        let _ = (format.read)(&source, &Hints::default());
    }
    whole(data);
}

/// Reads bytes as the program reads a file, and cuts winters from what comes out.
///
/// # Panics
/// When an accepted record holds what no weather can be: that is what is looked for.
pub fn whole(data: &[u8]) {
    match climate::from_bytes("w", data.to_vec()) {
        Ok(record) => cut(&record),
        Err(problems) => {
            assert!(!problems.0.is_empty(), "refused without a word");
            for p in &problems.0 {
                assert!(!p.what.is_empty());
            }
        }
    }
}

fn cut(record: &Record) {
    assert!(record.station.latitude_deg.abs() <= 90.0);
    let _ = (record.span_text(), record.gaps());
    for [start, end] in SEASONS {
        let day = |(month, day)| MonthDay { month, day };
        let Ok(cut) = record.cut(day(start), day(end)) else {
            continue;
        };
        for winter in &cut.whole {
            for h in &winter.hours {
                assert!((-75.0..=65.0).contains(&h.outdoor_c), "{h:?}");
                assert!(
                    h.dewpoint_c.is_finite() && h.sky_longwave > 0.0 && h.sky_longwave < 900.0,
                    "{h:?}"
                );
                assert!(
                    (0.0..=75.0).contains(&h.wind) && (0.0..=10.0).contains(&h.snow_depth),
                    "{h:?}"
                );
                assert!(h.ghi >= 0.0 && h.dni >= 0.0 && h.dhi >= 0.0, "{h:?}");
                assert!(
                    h.ghi.is_finite() && h.dni.is_finite() && h.dhi.is_finite(),
                    "{h:?}"
                );
            }
            let _ = Sums::of(winter);
        }
    }
}

/// Reads bytes as a scenario and runs what is accepted through one winter of a shipped record on the coarse grid.
///
/// # Panics
/// When the answer is no number, its heat does not balance, or a refusal has no words: that is what is looked for.
pub fn winter(data: &[u8]) {
    static RECORD: OnceLock<Record> = OnceLock::new();
    let Ok(text) = std::str::from_utf8(data) else {
        return;
    };
    let stand = match scenario::parse(text, "hive.toml", None) {
        Ok(stand) => stand,
        Err(problems) => {
            assert!(!problems.0.is_empty(), "refused without a word");
            return;
        }
    };
    let record = RECORD.get_or_init(|| {
        let text = builtin::text("champion").expect("a shipped record");
        climate::from_bytes("champion", text.as_bytes().to_vec()).expect("a good record")
    });
    let options = RunOptions {
        winters: WinterChoice {
            count: Some(1),
            ..WinterChoice::default()
        },
        heat: HeatOptions {
            check: None,
            ..HeatOptions::COARSE
        },
        ..RunOptions::default()
    };
    match answer::run(&stand, record.clone(), &options, &()) {
        Ok(run) => {
            assert!(
                run.result.solver.energy_residual.abs() < 1e-6,
                "{:?}",
                run.result.solver
            );
            for winter in run.result.colonies.iter().flat_map(|c| &c.winters) {
                assert!(
                    winter.eaten.is_finite() && winter.eaten >= 0.0,
                    "{}",
                    winter.eaten
                );
                assert!(winter.heat_in_hand.is_finite(), "{}", winter.heat_in_hand);
            }
        }
        Err(why) => assert!(!why.to_string().is_empty()),
    }
}
