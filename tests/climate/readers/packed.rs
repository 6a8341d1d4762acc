//! Packed files and folders.

use partywall::files::weather;
use std::fs;
use std::io::{Cursor, Write as _};

use flate2::{Compression, write::GzEncoder};
use partywall::climate;
use partywall::climate::ClimateChoice;
use partywall::problem::Severity;
use proptest::prelude::*;
use tempfile::TempDir;

use super::{bytes, path};

fn gz(bytes: &[u8]) -> Vec<u8> {
    let mut out = GzEncoder::new(Vec::new(), Compression::default());
    out.write_all(bytes).unwrap();
    out.finish().unwrap()
}

fn zip(files: &[(&str, Vec<u8>)]) -> Vec<u8> {
    let mut out = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in files {
        out.start_file(*name, zip::write::SimpleFileOptions::default())
            .unwrap();
        out.write_all(bytes).unwrap();
    }
    out.finish().unwrap().into_inner()
}

fn folder(files: &[(&str, Vec<u8>)]) -> (TempDir, ClimateChoice) {
    let dir = TempDir::new().unwrap();
    for (name, bytes) in files {
        fs::write(dir.path().join(name), bytes).unwrap();
    }
    let choice = ClimateChoice::File(dir.path().to_owned());
    (dir, choice)
}

const HEAD: &str = "# latitude: 45\n# longitude: -75\n# utc_offset_h: -5\n";

fn daily(rows: &str) -> Vec<u8> {
    format!("{HEAD}date,tmin_c,tmax_c\n{rows}").into_bytes()
}

/// Catches a format that is read plain and refused packed.
#[test]
fn every_format_is_read_out_of_gzip() {
    for name in [
        "ghcn_access.csv",
        "eccc_daily.csv",
        "open-meteo_hourly.json",
        "open-meteo_hourly.csv",
        "daymet.csv",
        "tmy3_sandpoint.csv",
        "nsrdb_psm4.csv",
        "pvgis_tmy.csv",
        "pvgis_hourly_slope-0.csv",
    ] {
        let plain = climate::from_bytes("w", bytes(name)).unwrap();
        let packed =
            climate::from_bytes("w", gz(&bytes(name))).unwrap_or_else(|p| panic!("{name}: {p}"));
        assert_eq!(
            (plain.format, plain.row_count(), plain.span_text()),
            (packed.format, packed.row_count(), packed.span_text())
        );
    }
}

/// Catches the archives of the German weather service, with their other texts, not being read as they come.
#[test]
fn a_zip_as_it_comes() {
    let archive = zip(&[
        (
            "Metadaten_Geographie_00433.txt",
            bytes("dwd_metadaten_geographie.txt"),
        ),
        (
            "Metadaten_Parameter_klima_tag_00433.html",
            b"<html>what was measured how</html>".to_vec(),
        ),
        (
            "Metadaten_Stationsname_00433.txt",
            b"Stations_id;Stationsname;Von_Datum;Bis_Datum\n433;Feld;19480101;\n".to_vec(),
        ),
        (
            "produkt_klima_tag_20240228_20240301_00433.txt",
            bytes("dwd_produkt_klima_tag.txt"),
        ),
    ]);
    let record = climate::from_bytes("tageswerte_KL_00433_akt.zip", archive).unwrap();
    assert_eq!(
        (record.row_count(), record.station.latitude_deg),
        (3, 52.4675)
    );
    assert!(record.warnings.is_empty(), "{:?}", record.warnings);
}

/// Catches a damaged archive read as far as it goes, and a bomb unpacked: in place of a plausible shorter record an error.
#[test]
fn damaged_archives_are_refused() {
    let whole = gz(&bytes("ghcn_order_lincoln-2016.csv"));
    let p = climate::from_bytes("w.gz", whole[..whole.len() - 9].to_vec()).unwrap_err();
    assert!(p.0[0].what.contains("gzip file cannot be unpacked"), "{p}");
    let mut flipped = whole.clone();
    let middle = flipped.len() / 2;
    flipped[middle] ^= 0xff;
    assert!(climate::from_bytes("w.gz", flipped).is_err());
    let archive = zip(&[("a.csv", daily("2014-01-01,1,2\n"))]);
    let p = climate::from_bytes("w.zip", archive[..archive.len() - 30].to_vec()).unwrap_err();
    assert!(
        p.0[0].what.contains("zip archive cannot be unpacked"),
        "{p}"
    );
    let p = climate::from_bytes("w.zip", zip(&[])).unwrap_err();
    assert!(p.0[0].what.contains("no weather in it"), "{p}");
    let p = climate::from_bytes("w.zip", zip(&[("notes.txt", b"hive 1: strong\n".to_vec())]))
        .unwrap_err();
    assert!(
        p.0[0].what.contains("none of the weather formats") && p.0[0].file.contains("notes.txt"),
        "{p}"
    );
}

/// Catches an order that depends on file names, a row counted twice where files overlap, and quantities of one file that
/// do not fill the gaps of another.
#[test]
fn a_folder_is_one_record() {
    let (_dir, choice) = folder(&[
        (
            "b-first.csv",
            daily("2014-01-01,-5,2\n2014-01-02,,\n2014-01-03,-6,1\n"),
        ),
        ("a-later.csv", daily("2014-01-03,-6,1\n2014-01-04,-8,0\n")),
        ("c-gap.csv.gz", gz(&daily("2014-01-02,-7,3\n"))),
        ("receipt.pdf", b"%PDF-1.4 binary".to_vec()),
        ("notes.txt", b"hive 1: strong\n".to_vec()),
    ]);
    let record = weather::load(&choice).unwrap();
    assert_eq!(
        (record.row_count(), record.span_text().as_str()),
        (4, "2014-01-01 to 2014-01-04")
    );
    assert!(
        record.notes.iter().any(|n| n.contains("from 3 files")),
        "{:?}",
        record.notes
    );
    let aside: Vec<&str> = record.warnings.iter().map(|w| w.file.as_str()).collect();
    assert!(
        aside.len() == 2 && aside[0].ends_with("receipt.pdf") && aside[1].ends_with("notes.txt"),
        "{aside:?}"
    );
    assert!(
        record
            .warnings
            .iter()
            .all(|w| w.severity == Severity::Warning)
    );
    let minima = record
        .coverage
        .iter()
        .find(|c| c.field == "daily minimum and maximum")
        .unwrap();
    assert!((minima.share - 1.0).abs() < 1e-12, "{:?}", record.coverage);
}

/// Catches two readings of one day of which one wins in silence; both places must be named.
#[test]
fn files_that_disagree_are_refused() {
    let (_dir, choice) = folder(&[
        ("a.csv", daily("2014-01-01,-5,2\n2014-01-02,-6,1\n")),
        ("b.csv", daily("2014-01-02,-6,1.5\n2014-01-03,-8,0\n")),
    ]);
    let p = weather::load(&choice).unwrap_err();
    let text = p.0[0].what.clone();
    assert!(
        p.0[0].file.ends_with("b.csv") && p.0[0].place.as_ref().unwrap().line == 5,
        "{p}"
    );
    assert!(
        text.contains("2014-01-02")
            && text.contains("1.5")
            && text.contains("line 6 of")
            && text.contains("a.csv"),
        "{text}"
    );
}

/// Catches places, kinds or formats mixed into one record, and a fault inside one file told without its name and line.
#[test]
fn files_that_cannot_be_one_record() {
    let elsewhere = String::from_utf8(daily("2014-01-03,1,2\n"))
        .unwrap()
        .replace("latitude: 45", "latitude: 52");
    let hourly = format!("{HEAD}time,temp_c\n2014-01-03T00:00,1\n");
    for (other, word) in [
        (elsewhere.into_bytes(), "different places"),
        (hourly.into_bytes(), "one is hourly, the other daily"),
        (bytes("daymet.csv"), "one is plain CSV, the other Daymet"),
        (bytes("tmy3_sandpoint.csv"), "plain CSV"),
    ] {
        let (_dir, choice) = folder(&[("a.csv", daily("2014-01-01,-5,2\n")), ("b.csv", other)]);
        let p = weather::load(&choice).unwrap_err();
        let reversed = word.replace("one is plain CSV, the other Daymet", "Daymet");
        assert!(
            p.0[0].what.contains(&reversed) && p.0[0].file.ends_with("b.csv"),
            "{p}"
        );
    }
    let (_dir, choice) = folder(&[
        ("a.csv", daily("2014-01-01,-5,2\n2014-01-02,warm,2\n")),
        ("b.csv", daily("2014-01-04,-5,2\n2014-01-03,-5,2\n")),
    ]);
    let p = weather::load(&choice).unwrap_err();
    assert!(
        p.0[0].file.ends_with("a.csv") && p.0[0].place.as_ref().unwrap().line == 6,
        "{p}"
    );
    let (_dir, choice) = folder(&[
        ("a.csv", daily("2014-01-01,-5,2\n")),
        ("b.csv", daily("2014-01-04,-5,2\n2014-01-03,-5,2\n")),
    ]);
    let p = weather::load(&choice).unwrap_err();
    assert!(
        p.0[0].file.ends_with("b.csv") && p.0[0].what.contains("move forward"),
        "{p}"
    );
}

/// Catches a warning about one value of many files that points into the laid-together text instead of the file.
#[test]
fn warnings_name_the_file() {
    let (_dir, choice) = folder(&[
        (
            "a.csv",
            daily(
                &(1..=28)
                    .map(|d| format!("2014-01-{d:02},-{}.{},2.{}\n", d % 7, d % 10, d % 9))
                    .collect::<String>(),
            ),
        ),
        ("b.csv", daily("2014-01-29,-5.5,2\n2014-01-30,-500,2\n")),
    ]);
    let record = weather::load(&choice).unwrap();
    let w = record
        .warnings
        .iter()
        .find(|w| w.what.contains("-500"))
        .unwrap();
    assert!(
        w.file.ends_with("b.csv") && w.what.contains("line 6"),
        "{w}"
    );
    assert_eq!(w.place.as_ref().unwrap().text, "2014-01-30,-500,2");
}

/// Catches the file beside a weather file not being looked at: ISD-Lite does not say where it was measured.
#[test]
fn a_description_beside_the_file() {
    let dir = TempDir::new().unwrap();
    let copy = dir.path().join("702910-2019.txt");
    fs::copy(path("isdlite_702910-2019.txt"), &copy).unwrap();
    let p = weather::load(&ClimateChoice::File(copy.clone())).unwrap_err();
    assert!(p.0[0].what.contains("latitude"), "{p}");
    fs::write(
        dir.path().join("702910-2019.txt.station.txt"),
        "station: Northway\nlatitude: 62.97\nlongitude: -141.93\n",
    )
    .unwrap();
    let record = weather::load(&ClimateChoice::File(copy.clone())).unwrap();
    assert_eq!(
        (record.station.latitude_deg, record.station.utc_offset_h),
        (62.97, -9.0)
    );
    assert_eq!(record.station.name, "Northway");
    assert!(
        record.notes.iter().any(|n| n.contains("file beside it")),
        "{:?}",
        record.notes
    );
    // Known from elsewhere: the same, without a file.
    fs::remove_file(dir.path().join("702910-2019.txt.station.txt")).unwrap();
    let known = climate::raw::PartialStation {
        latitude_deg: Some(62.97),
        longitude_deg: Some(-141.93),
        ..climate::raw::PartialStation::default()
    };
    let record = weather::load_at(&ClimateChoice::File(copy), &known).unwrap();
    assert_eq!(record.station.utc_offset_h, -9.0);
    assert!(
        record.span_text().starts_with("2018-12-31"),
        "{}",
        record.span_text()
    );
}

/// Catches the network's own list of stations in the folder not being used, or taken for weather.
#[test]
fn a_list_of_stations_in_the_folder() {
    let list = "USW00011111  10.0000   10.0000   10.0    ELSEWHERE\n\
        USW00099999  45.2500  -75.5000  120.0 ON MADE UP AIRPORT\n";
    let (_dir, choice) = folder(&[
        ("USW00099999.dly", bytes("ghcn.dly")),
        ("ghcnd-stations.txt", list.as_bytes().to_vec()),
    ]);
    let record = weather::load(&choice).unwrap();
    assert_eq!(record.station.name, "MADE UP AIRPORT");
    assert_eq!(
        (record.station.latitude_deg, record.station.elevation),
        (45.25, 120.0)
    );
    assert!(record.warnings.is_empty(), "{:?}", record.warnings);
}

/// Catches a folder of many other things drowning the answer in warnings.
#[test]
fn many_files_left_aside_are_summed_up() {
    let mut files = vec![("z.csv".to_owned(), daily("2014-01-01,-5,2\n"))];
    files.extend((0..40).map(|i| (format!("note-{i:02}.txt"), b"hive 1: strong\n".to_vec())));
    let files: Vec<(&str, Vec<u8>)> = files.iter().map(|(n, b)| (n.as_str(), b.clone())).collect();
    let (_dir, choice) = folder(&files);
    let warnings = weather::load(&choice).unwrap().warnings;
    assert_eq!(warnings.len(), 6, "{warnings:?}");
    assert!(
        warnings[5].what.contains("35 more files"),
        "{}",
        warnings[5].what
    );
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(150) })]

    /// Catches rows lost, doubled or put in the wrong order by joining: a record cut into overlapping pieces, named in any
    /// order and read out of one archive, must be the record.
    #[test]
    fn pieces_in_any_order_are_the_record(
        cuts in prop::collection::vec((0..120_usize, 1..60_usize), 1..6),
        names in Just(vec!["a", "b", "c", "d", "e", "f", "g"]).prop_shuffle(),
        holes in prop::collection::vec(0..120_usize, 0..8),
    ) {
        let text = String::from_utf8(bytes("nsrdb_psm4.csv")).unwrap();
        let lines: Vec<&str> = text.lines().collect();
        let (head, rows) = lines.split_at(3);
        let kept: Vec<&str> = rows
            .iter()
            .enumerate()
            .filter(|(i, _)| !holes.contains(i))
            .map(|(_, r)| *r)
            .collect();
        // Pieces as drawn, and two that make sure that every row is in one.
        let mut pieces: Vec<&[&str]> = vec![&kept[..kept.len() / 2], &kept[kept.len() / 2..]];
        for (from, count) in cuts {
            let from = from.min(kept.len() - 1);
            pieces.push(&kept[from..(from + count).min(kept.len())]);
        }
        let table = |rows: &[&str]| format!("{}\n{}\n", head.join("\n"), rows.join("\n")).into_bytes();
        let files: Vec<(&str, Vec<u8>)> = names.iter().copied().zip(pieces.iter().map(|p| table(p))).collect();
        let joined = climate::from_bytes("w.zip", zip(&files)).unwrap();
        let whole = climate::from_bytes("w", table(&kept)).unwrap();
        prop_assert_eq!(joined.row_count(), whole.row_count());
        let january = |r: &climate::Record| {
            let day = |day| partywall::calendar::MonthDay { month: 1, day };
            r.cut(day(1), day(2)).unwrap()
        };
        prop_assert_eq!(january(&joined), january(&whole));
    }
}
