//! What every target does with its bytes: nothing may panic, overflow or hang, and what is accepted must be physical.

use partywall::climate::formats::{Format, Hints};
use partywall::climate::source::Source;
use partywall::climate::sums::Sums;
use partywall::climate::{self, Record};
use partywall::calendar::MonthDay;

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
