//! Files of a known format that are damaged: the line and the reason, and never a panic.

use partywall::climate;
use partywall::climate::formats::FORMATS;
use partywall::climate::raw::Rows;
use proptest::prelude::*;

use super::{bytes, try_raw};

/// Every small example, with the format that must be found by its content.
const EXAMPLES: &[(&str, &str)] = &[
    ("ghcn.dly", "GHCN-Daily, fixed width (.dly)"),
    ("ghcn_by_station.csv", "GHCN-Daily by station or by year"),
    ("ghcn_access.csv", "GHCN-Daily table"),
    ("ghcn_order_metric.csv", "GHCN-Daily table"),
    ("isdlite_702910-2019.txt", "ISD-Lite"),
    ("eccc_daily.csv", "Environment Canada daily or hourly"),
    (
        "eccc_hourly_2019-10.csv",
        "Environment Canada daily or hourly",
    ),
    ("open-meteo_hourly.csv", "Open-Meteo CSV"),
    ("open-meteo_hourly.json", "Open-Meteo JSON"),
    ("tmy3_sandpoint.csv", "TMY3"),
    (
        "dwd_produkt_klima_tag.txt",
        "German weather service daily or hourly",
    ),
    (
        "dwd_produkt_tu_stunde.txt",
        "German weather service daily or hourly",
    ),
    ("daymet.csv", "Daymet single place"),
    ("pvgis_hourly_slope-0.csv", "PVGIS hourly"),
    ("pvgis_tmy.csv", "PVGIS typical year"),
    ("nsrdb_psm4.csv", "NSRDB"),
];

/// Catches a reader that takes another format's file, or a format that only a file name could tell.
#[test]
fn exactly_one_reader_fits_each_file() {
    for (name, format) in EXAMPLES {
        let source = climate::source::Source::from_bytes("w", bytes(name)).unwrap();
        let fitting: Vec<&str> = FORMATS
            .iter()
            .filter(|f| (f.fits)(&source))
            .map(|f| f.name)
            .collect();
        assert_eq!(fitting.first(), Some(format), "{name}");
        // The program's own layout is tried last: it takes whatever has a date and a maximum.
        assert!(
            fitting.iter().skip(1).all(|f| *f == "plain CSV"),
            "{name}: {fitting:?}"
        );
    }
}

/// Catches a header without rows read as an empty record.
#[test]
fn a_header_without_rows_is_refused() {
    for (name, lines) in [
        ("ghcn_access.csv", 1),
        ("eccc_daily.csv", 1),
        ("open-meteo_hourly.csv", 4),
        ("tmy3_sandpoint.csv", 2),
        ("dwd_produkt_klima_tag.txt", 1),
        ("daymet.csv", 7),
        ("pvgis_hourly_slope-0.csv", 9),
        ("pvgis_tmy.csv", 18),
        ("nsrdb_psm4.csv", 3),
    ] {
        let text = String::from_utf8(bytes(name)).unwrap();
        let head: Vec<&str> = text.lines().take(lines).collect();
        let p = try_raw(head.join("\n").into_bytes()).expect_err(name);
        assert!(p.0[0].what.contains("no data rows"), "{name}: {p}");
    }
}

/// One slip in each format: what is replaced by what, the line it is on, and what the message must say.
const SLIPS: &[(&str, &str, &str, usize, &str)] = &[
    ("ghcn.dly", "  -11  W", "  -1x  W", 1, "-1x"),
    (
        "ghcn_by_station.csv",
        "TMIN,-128",
        "TMIN,-12,8",
        2,
        "9 fields",
    ),
    (
        "ghcn_by_station.csv",
        "20160228,TMAX",
        "20160230,TMAX",
        6,
        "20160230",
    ),
    ("ghcn_access.csv", "\"  -94\"", "\"cold\"", 3, "cold"),
    (
        "ghcn_access.csv",
        "2016-02-29",
        "29.02.2016",
        4,
        "29.02.2016",
    ),
    (
        "isdlite_702910-2019.txt",
        "2019 01 01 05  -222",
        "2019 13 01 05  -222",
        6,
        "2019 13 01 05",
    ),
    (
        "isdlite_702910-2019.txt",
        "2019 01 01 04  -222",
        "2019 01 01 04  -2,2",
        5,
        "air temperature",
    ),
    (
        "eccc_daily.csv",
        "\"2024-01-03\"",
        "\"03/01/2024\"",
        4,
        "03/01/2024",
    ),
    ("eccc_hourly_2019-10.csv", "\"-3.6\"", "\"-3,6\"", 4, "-3,6"),
    (
        "open-meteo_hourly.csv",
        "2024-01-15T02:00,",
        "2024-01-15T2pm,",
        7,
        "2pm",
    ),
    (
        "open-meteo_hourly.csv",
        "-2.6,63,NaN,0,0.05,75,0.00",
        "-2.6,63",
        6,
        "fields where",
    ),
    (
        "open-meteo_hourly.json",
        "[-2.4,-2.6,null",
        "[-2.4,\"cold\",null",
        1,
        "JSON",
    ),
    (
        "open-meteo_hourly.json",
        "[61,63,null,48]",
        "[61,63,null]",
        0,
        "3 values for 4 times",
    ),
    (
        "tmy3_sandpoint.csv",
        "01/01/1997,02:00",
        "01/01/1997,25:00",
        4,
        "25:00",
    ),
    (
        "dwd_produkt_klima_tag.txt",
        "20240229",
        "20240230",
        3,
        "20240230",
    ),
    (
        "dwd_produkt_tu_stunde.txt",
        "2024022900",
        "2024022924",
        4,
        "2024022924",
    ),
    ("daymet.csv", "-5.25,", "-5,25,", 9, "fields"),
    ("daymet.csv", "2020,60,", "2020,366,", 9, "366"),
    (
        "pvgis_hourly_slope-0.csv",
        "20160229:1010",
        "20160229:1025",
        11,
        "1025",
    ),
    (
        "pvgis_tmy.csv",
        "20180101:0300,1.85",
        "20180101:0300,-",
        22,
        "\"-\"",
    ),
    (
        "nsrdb_psm4.csv",
        "2023,1,1,1,0,-1.1",
        "2023,1,1,1,0,-1.1C",
        6,
        "-1.1C",
    ),
];

/// Catches a damaged row passed over, or told without its line and what is wrong.
#[test]
fn a_slip_is_told_with_its_line() {
    for (name, from, to, line, word) in SLIPS {
        let text = String::from_utf8(bytes(name)).unwrap();
        assert!(text.contains(from), "{name}: no {from}");
        let result = try_raw(text.replacen(from, to, 1).into_bytes());
        let p = result.expect_err(name);
        let problem = &p.0[0];
        let place = problem.place.as_ref().map_or(0, |p| p.line);
        assert_eq!(place, *line, "{name}: {problem}");
        let said = format!(
            "{} {}",
            problem.what,
            problem.expected.as_deref().unwrap_or("")
        );
        assert!(said.contains(word), "{name}: {said}");
        assert!(problem.help.is_some(), "{name}: {said}");
    }
}

/// The rows of a record as text, all but the last.
fn all_but_last(record: &climate::raw::RawRecord) -> Vec<String> {
    let mut rows: Vec<String> = match &record.rows {
        Rows::Hours(rows) => rows.iter().map(|r| format!("{r:?}")).collect(),
        Rows::Days(rows) => rows.iter().map(|r| format!("{r:?}")).collect(),
    };
    rows.pop();
    rows
}

/// Catches a file cut inside its last row that loses or changes any row before it. (Whether the very last number lost a
/// digit cannot be seen in most formats.)
#[test]
fn a_cut_last_row_changes_no_other() {
    for (name, _) in EXAMPLES
        .iter()
        .filter(|e| e.0 != "ghcn.dly" && e.0 != "ghcn_by_station.csv")
    {
        let whole = bytes(name);
        let end = whole.trim_ascii_end().len();
        let last = whole[..end]
            .iter()
            .rposition(|b| *b == b'\n')
            .map_or(0, |i| i + 1);
        let full = all_but_last(&super::raw(name).1);
        for cut in last + 1..end {
            if let Ok((_, short)) = try_raw(whole[..cut].to_vec()) {
                // Two fewer at most: an empty row before the cut one counts as "still to come".
                let short = all_but_last(&short);
                assert!(
                    full.starts_with(&short) && short.len() + 2 >= full.len(),
                    "{name} cut at {cut}"
                );
            }
        }
    }
}

/// Catches a line that is no line, a row with a million fields, and a table of them, for every format's first lines.
#[test]
fn nonsense_below_a_good_header_is_bounded() {
    for (name, _) in EXAMPLES {
        let mut long = bytes(name);
        long.extend(vec![b'1'; 5_000_000]);
        if *name != "open-meteo_hourly.json" {
            let p = climate::from_bytes("w", long).unwrap_err();
            assert!(
                p.0[0].what.contains("longer than 65536 bytes"),
                "{name}: {p}"
            );
        }
        let mut wide = bytes(name);
        wide.extend(b"\n");
        wide.extend(",;".repeat(1_000_000).as_bytes());
        assert!(climate::from_bytes("w", wide).is_err(), "{name}");
    }
}

/// Catches millions of numbers on one line of JSON, which no bound on lines sees, being turned into rows.
#[test]
fn json_series_are_bounded() {
    let times = "1,".repeat(4_100_000);
    let text = format!(
        "{{\"latitude\":45,\"longitude\":-75,\"utc_offset_seconds\":0,\"hourly\":{{\"time\":[{times}1],\"temperature_2m\":[1]}}}}"
    );
    let p = try_raw(text.into_bytes()).unwrap_err();
    assert!(p.0[0].what.contains("more than 4000000 lines"), "{p}");
}

/// One piece of damage: at a place, bytes removed and others put in.
fn damage() -> impl Strategy<Value = (prop::sample::Index, usize, Vec<u8>)> {
    let bytes = prop_oneof![
        prop::collection::vec(any::<u8>(), 0..6),
        prop::sample::select(vec![
            b"\"".to_vec(),
            b"\n".to_vec(),
            b",,".to_vec(),
            b";".to_vec(),
            b"-9999".to_vec(),
            b"1e308".to_vec(),
            b"9223372036854775807".to_vec(),
            b"9999".to_vec(),
            b"24".to_vec(),
            b"0000".to_vec(),
            "é".as_bytes().to_vec(),
            b"null".to_vec(),
            b"[".to_vec(),
        ]),
    ];
    (any::<prop::sample::Index>(), 0..40_usize, bytes)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(1500) })]

    /// Catches a panic, an overflow or an endless loop of any reader on a damaged file, from bytes to winters.
    #[test]
    fn damaged_files_never_panic(
        which in any::<prop::sample::Index>(),
        hits in prop::collection::vec(damage(), 1..4),
    ) {
        let mut bytes = bytes(EXAMPLES[which.index(EXAMPLES.len())].0);
        for (at, remove, put) in hits {
            let at = at.index(bytes.len() + 1);
            let end = (at + remove).min(bytes.len());
            bytes.splice(at..end, put);
        }
        if let Ok(record) = climate::from_bytes("w", bytes) {
            prop_assert!(record.station.latitude_deg.abs() <= 90.0);
        }
    }

    /// Catches a panic of any reader on bytes that are not its own: each is called whether it fits or not.
    #[test]
    fn readers_never_panic_on_bytes_of_others(text in "[ -~\n]{0,300}", which in any::<prop::sample::Index>()) {
        let example = EXAMPLES[which.index(EXAMPLES.len())].0;
        for bytes in [text.clone().into_bytes(), bytes(example)] {
            if let Ok(source) = climate::source::Source::from_bytes("w", bytes) {
                for format in FORMATS {
                    let _ = (format.fits)(&source);
                    let _ = (format.read)(&source, &climate::formats::Hints::default());
                }
            }
        }
    }

    /// Catches a panic on bytes that look packed.
    #[test]
    fn broken_archives_never_panic(mut bytes in prop::collection::vec(any::<u8>(), 0..400), zip in any::<bool>()) {
        let magic: &[u8] = if zip { b"PK\x03\x04" } else { b"\x1f\x8b\x08\x00" };
        bytes.splice(0..0, magic.iter().copied());
        let _ = climate::from_bytes("w", bytes);
    }
}
