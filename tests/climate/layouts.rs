//! The same weather in different layouts must give the same record.

use partywall::climate::{self, Kind};
use partywall::files::weather;

use crate::{CHICAGO_EPW, MARCH, MAY, OCTOBER, built_in, file, read};

const HEAD: &str =
    "# station: Test\n# latitude: 45\n# longitude: -75\n# elevation_m: 100\n# utc_offset_h: -5\n";

/// A daily winter with columns in a given order and separator.
fn daily(separator: char, decimal: char, line_end: &str, reversed: bool) -> String {
    let mut text = HEAD.replace('\n', line_end);
    let row = |fields: [String; 4]| {
        let mut fields = fields.to_vec();
        if reversed {
            fields.reverse();
        }
        fields.join(&separator.to_string())
    };
    text += &row(["date", "tmin_c", "tmax_c", "wind_ms"].map(String::from));
    text += line_end;
    let mut date = jiff::civil::date(2014, 9, 20);
    for i in 0..260_u32 {
        let low = -10.0 + f64::from(i * 7 % 11);
        let number = |x: f64| format!("{x:.1}").replace('.', &decimal.to_string());
        text += &row([
            date.to_string(),
            number(low),
            number(low + 6.5),
            number(3.2),
        ]);
        text += line_end;
        date = date.tomorrow().unwrap();
    }
    text
}

/// Catches a dependence on separator, decimal comma, line ends, byte order mark or the order of columns.
#[test]
fn separators_line_ends_and_order_do_not_matter() {
    let plain = read(&daily(',', '.', "\n", false))
        .winters(OCTOBER, MARCH)
        .unwrap();
    assert_eq!(plain.len(), 1);
    for other in [
        daily(',', '.', "\r\n", false),
        daily(',', '.', "\r", false),
        daily(';', ',', "\n", false),
        daily('\t', '.', "\n", true),
        format!("\u{feff}{}", daily(',', '.', "\n", true)),
    ] {
        assert_eq!(read(&other).winters(OCTOBER, MARCH).unwrap(), plain);
    }
}

/// Catches unknown columns read by position, or skipped without a word.
#[test]
fn unknown_columns_are_named() {
    let text = daily(',', '.', "\n", false).replace("wind_ms", "mites");
    let record = read(&text);
    assert!(
        record.notes.iter().any(|n| n.contains("skipped: mites")),
        "{:?}",
        record.notes
    );
    assert!(
        record
            .notes
            .iter()
            .any(|n| n.starts_with("wind: not in the file"))
    );
    let record = read(&text.replace("tmin_c", "temp_min").replace("tmax_c", "TMAX"));
    assert!(
        record
            .notes
            .iter()
            .any(|n| n.contains("temp_min") && n.contains("degrees Celsius"))
    );
}

/// Catches a daily table whose first column happens to be called location being read as an EPW.
#[test]
fn a_column_called_location_makes_no_epw() {
    let text = "location,date,temp_max,temp_min\nSeattle,2012-01-01,12.8,5.0\n";
    let record = read(&format!("# latitude: 47.4\n{text}"));
    assert_eq!((record.kind, record.format), (Kind::Daily, "plain CSV"));
    let p = climate::from_bytes("w.csv", text.as_bytes().to_vec()).unwrap_err();
    assert!(p.0[0].what.contains("latitude"), "{p}");
}

/// Catches Fahrenheit columns not converted.
#[test]
fn fahrenheit_columns_are_converted() {
    let celsius = read(&daily(',', '.', "\n", false))
        .winters(OCTOBER, MARCH)
        .unwrap();
    let mut text = String::new();
    for l in daily(',', '.', "\n", false).lines() {
        let fields: Vec<&str> = l.split(',').collect();
        if let [date, low, high, wind] = fields[..]
            && let (Ok(low), Ok(high)) = (low.parse::<f64>(), high.parse::<f64>())
        {
            text += &format!("{date},{},{},{wind}\n", low * 1.8 + 32.0, high * 1.8 + 32.0);
        } else {
            text += &format!(
                "{}\n",
                l.replace("tmin_c", "tmin_f").replace("tmax_c", "tmax_f")
            );
        }
    }
    let converted = read(&text).winters(OCTOBER, MARCH).unwrap();
    for (a, b) in celsius[0].hours.iter().zip(&converted[0].hours) {
        assert!((a.outdoor_c - b.outdoor_c).abs() < 1e-9);
    }
}

/// Catches station facts lost from an EPW header, missing codes read as values, and snow of 0 taken for bare ground.
#[test]
fn an_epw_tells_its_station_and_its_gaps() {
    let record = weather::load(&file(CHICAGO_EPW)).unwrap();
    let s = &record.station;
    assert_eq!(s.name, "Chicago OHare Intl AP, IL, USA");
    assert_eq!((s.latitude_deg, s.longitude_deg), (41.983, Some(-87.917)));
    assert_eq!((s.elevation, s.utc_offset_h), (201.0, -6.0));
    assert!(
        s.source
            .as_deref()
            .unwrap()
            .contains("Climate.Onebuilding.Org")
    );
    assert_eq!(record.kind, Kind::TypicalYear);
    assert!(
        record
            .notes
            .iter()
            .any(|n| n.contains("1977 to 2002") && n.contains("not a recent winter"))
    );
    assert!(record.notes.iter().any(|n| n.contains("snow depth is 0")));
    let pvgis = weather::load(&file("tests/climate/data/epw_pvgis_8-header+72h.epw")).unwrap();
    let share = |field: &str| {
        pvgis
            .coverage
            .iter()
            .find(|c| c.field == field)
            .unwrap()
            .share
    };
    assert_eq!(
        (
            share("cloud cover"),
            share("snow depth"),
            share("global radiation")
        ),
        (0.0, 0.0, 1.0)
    );
    let cut = weather::load(&file("tests/climate/data/epw_chicago_8-header+72h.epw")).unwrap();
    assert_eq!(cut.row_count(), 72);
}

/// Catches the hour of radiation or temperature off by one: row "January 2, hour 13" of the file holds the reading at
/// 13:00 and the radiation from 12:00 to 13:00.
#[test]
fn an_epw_hour_ends_at_its_number() {
    let text =
        std::fs::read_to_string(std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(CHICAGO_EPW))
            .unwrap();
    let row = text
        .lines()
        .find(|l| l.split(',').skip(1).take(3).eq(["1", "2", "13"]))
        .unwrap();
    let field = |i: usize| row.split(',').nth(i).unwrap().parse::<f64>().unwrap();
    let winters = weather::load(&file(CHICAGO_EPW))
        .unwrap()
        .winters(OCTOBER, MAY)
        .unwrap();
    let winter = &winters[0];
    assert_eq!(
        (winter.label.as_str(), winter.start.to_string().as_str()),
        ("typical year", "2001-10-01")
    );
    let noon = (31 + 30 + 31 + 1) * 24 + 12;
    assert_eq!(winter.hours[noon + 1].outdoor_c, field(6));
    assert_eq!(winter.hours[noon].ghi, field(13));
    assert_eq!(
        (winter.hours[noon].dni, winter.hours[noon].dhi),
        (field(14), field(15))
    );
    assert_eq!(winter.hours[noon].sky_longwave, field(12));
}

/// Catches an EPW of real years treated as a typical one: two years in a row hold a real winter.
#[test]
fn an_epw_of_real_years_keeps_them() {
    let text =
        std::fs::read_to_string(std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(CHICAGO_EPW))
            .unwrap();
    let lines: Vec<&str> = text.lines().collect();
    let mut joined: Vec<String> = lines[..8].iter().map(ToString::to_string).collect();
    for year in ["2009", "2010"] {
        joined.extend(lines[8..].iter().map(|l| format!("{year}{}", &l[4..])));
    }
    let record = climate::from_bytes("w.epw", joined.join("\n").into_bytes()).unwrap();
    assert_eq!(record.kind, Kind::Hourly);
    let winters = record.winters(OCTOBER, MAY).unwrap();
    assert_eq!(
        winters.iter().map(|w| w.label.as_str()).collect::<Vec<_>>(),
        ["2009/10"]
    );
}

/// Catches winters cut to a wrong length: leap years, seasons inside one year, seasons over New Year.
#[test]
fn winters_have_every_hour() {
    let record = built_in("champion");
    let winters = record.winters(OCTOBER, MAY).unwrap();
    assert_eq!(winters.len(), 36);
    assert_eq!(
        (winters[0].label.as_str(), winters[35].label.as_str()),
        ("1982/83", "2017/18")
    );
    for w in &winters {
        let leap = w.label.ends_with("84") || w.start.year() % 4 == 3;
        assert_eq!(w.hours.len(), if leap { 5856 } else { 5832 }, "{}", w.label);
        assert_eq!((w.filled_days, w.stuck_days), (0, 0));
    }
    let day = |month, day| partywall::calendar::MonthDay { month, day };
    let spring = record.winters(day(1, 15), MARCH).unwrap();
    assert_eq!((spring[0].label.as_str(), spring.len()), ("1983", 36));
    assert!(record.winters(day(2, 30), MARCH).is_err());
    assert!(record.winters(day(2, 29), MARCH).is_ok());
}

/// Catches output that depends on anything but the input.
#[test]
fn the_same_input_gives_the_same_winters() {
    let (a, b) = (built_in("wageningen"), built_in("wageningen"));
    assert_eq!(
        a.winters(OCTOBER, MAY).unwrap(),
        b.winters(OCTOBER, MAY).unwrap()
    );
    assert_eq!(a.notes, b.notes);
}
