use super::*;
use proptest::prelude::*;

const HIVES: [&str; 2] = ["Left", "Right"];

fn problems(text: &str) -> Vec<String> {
    parse(text, "log.csv", &HIVES)
        .unwrap_err()
        .0
        .iter()
        .map(ToString::to_string)
        .collect()
}

/// Catches units lost, lifts mixed up, and columns that must stand in one order.
#[test]
fn reads_every_way_of_weighing() {
    let text = "hive,date,note,front,back,whole,one_side\n\
                left,2027-01-15,\"dry, snow off\",24.9 kg,25.7 kg,,\n\n\
                Right,2027-01-15,,,,93 lb,\n\
                Right,2027-02-15,,,,,21 kg\n";
    let all = parse(text, "log.csv", &HIVES).unwrap();
    let short: Vec<_> = all
        .iter()
        .map(|w| (w.hive.as_str(), w.lift, (w.gross * 100.0).round()))
        .collect();
    assert_eq!(
        short,
        [
            ("Left", Lift::FrontAndBack, 5060.0),
            ("Right", Lift::Whole, 4218.0),
            ("Right", Lift::OneSide, 4200.0)
        ]
    );
    assert_eq!(all[0].note, "dry, snow off");
}

/// Catches a bad row that is skipped, a place that is off, and a first problem that hides the next.
#[test]
fn tells_every_problem_with_its_place() {
    let text = "date,hive,front,back,whole,one_side,note\n\
                2027-01-15,Lefd,24.9 kg,25.7 kg,,,\n\
                15 Jan,Left,,,50,,\n\
                2027-01-16,Left,24.9 kg,,,,\n\
                2027-01-17,Left,,,,,\n\
                2027-01-18,Left,,,50 kg,25 kg,\n\
                2027-01-19,Left,,,50 kg\n\
                2027-01-20,Left,,,900 kg,,\n";
    let p = problems(text);
    for (got, want) in p.iter().zip([
        "log.csv:2:12: no hive with a colony is called \"Lefd\"",
        "log.csv:3:1: \"15 Jan\" is no day",
        "log.csv:3:15: whole:",
        "log.csv:4:25: only one of front and back",
        "log.csv:5:17: this weighing has no reading",
        "log.csv:6:19: the hive is weighed in more than one way",
        "log.csv:7:24: 5 fields where the header has 7",
        "log.csv:8:19: whole = 900 kg is outside",
    ]) {
        assert!(got.starts_with(want), "{got}\n{want}");
    }
    assert_eq!(p.len(), 8, "{p:?}");
    // Outside a file it is the argument.
    let row: Row = ["15 Jan", "Lefd", "", "", "50", "", ""].map(str::to_owned);
    let p = one(&row, "the command line", &HIVES).unwrap_err();
    let files: Vec<&str> = p.0.iter().map(|p| p.file.as_str()).collect();
    let argument = |name: &str| format!("the command line, --{name}");
    assert_eq!(files, ["date", "hive", "whole"].map(argument));
    let p = problems("date,hive,front,bakc\n2027-01-15,Left,1 kg,2 kg\n");
    assert!(
        p[0].starts_with("log.csv:1:17: \"bakc\" is no column"),
        "{p:?}"
    );
    assert!(problems("")[0].contains("the log is empty"));
    let twice = "date,hive,whole\n2027-01-15,Left,50 kg\n2027-01-15,left,51 kg\n";
    assert!(problems(twice)[0].starts_with("log.csv:3:1: Left was weighed"));
}

/// Catches a row that does not come back as it was written, a log without its newline, and a log with columns of its own order.
#[test]
fn what_is_added_is_read_back() {
    let row: Row = [
        "2027-01-15",
        "Left",
        "24.9 kg",
        "25.7 kg",
        "",
        "",
        "dry, \"snow\" off",
    ]
    .map(str::to_owned);
    for before in [
        "",
        "date,hive,front,back,whole,one_side,note\n2027-01-02,Right,,,93 lb,,",
        "note,whole,back,front,hive,date\n",
    ] {
        let text = with_row(before, &row);
        let all = parse(&text, "log.csv", &HIVES).unwrap();
        let last = all.last().unwrap();
        let given = one(&row, "the command line", &HIVES).unwrap();
        assert_eq!(given.origin.date.0, "the command line, --date");
        assert_eq!(given.origin.reading.0, "the command line, --front");
        let given = Weighing {
            origin: last.origin.clone(),
            ..given
        };
        assert_eq!(last, &given, "{text}");
        assert!(text.starts_with(before) && text.ends_with('\n'));
    }
}

/// Catches a hive whose name is guarded against spreadsheets and no longer known by it.
#[test]
fn a_hive_by_a_name_like_a_formula_is_known() {
    let hives = ["-Left", "=Right"];
    let mut text = String::new();
    for (i, hive) in hives.iter().enumerate() {
        let date = format!("2027-01-1{i}");
        let row: Row = [&date, *hive, "", "", "51 kg", "", "'tis dry"].map(str::to_owned);
        assert_eq!(one(&row, "the command line", &hives).unwrap().hive, *hive);
        text = with_row(&text, &row);
    }
    assert!(
        text.contains(",'-Left,") && text.contains(",'=Right,"),
        "{text}"
    );
    let all = parse(&text, "log.csv", &hives).unwrap();
    let read: Vec<_> = all
        .iter()
        .map(|w| (w.hive.as_str(), w.note.as_str()))
        .collect();
    assert_eq!(read, hives.map(|h| (h, "'tis dry")));
}

/// Catches rows under another end of lines than the log's own, which some spreadsheets read as one line.
#[test]
fn the_ends_of_lines_stay() {
    let row: Row = ["2027-01-15", "Left", "", "", "51 kg", "", "-5 C\r\nwet"].map(str::to_owned);
    for end in ["\n", "\r\n", "\r"] {
        for last in ["", end] {
            let before = format!("date,hive,whole,note{end}2027-01-02,Right,93 lb,{last}");
            let longer = with_row(&before, &row);
            let ended = if last.is_empty() { end } else { "" };
            let added = format!("{before}{ended}2027-01-15,Left,51 kg,'-5 C wet{end}");
            assert_eq!(longer, added);
            let all = parse(&longer, "log.csv", &HIVES).unwrap();
            assert_eq!((all.len(), all[1].note.as_str()), (2, "-5 C wet"));
            let slip = longer.replace("51 kg", "51");
            let places: Vec<String> = problems(&slip);
            assert!(places[0].starts_with("log.csv:3:17: "), "{places:?}");
        }
    }
    let begun = with_row("\u{feff}", &row);
    assert_eq!(parse(&begun, "log.csv", &HIVES).unwrap().len(), 1);
}

/// Catches a quote that takes the next row with it, is told at the wrong place, or hides what else is wrong.
#[test]
fn a_quote_takes_no_row_with_it() {
    let p = problems(
        "date,hive,whole,note\n\
         2027-01-15,Left,50 kg,\"dry\n\
         2027-01-20,Left,51 kg,wet\"\n\
         2027-01-25,Left,52,\n\
         2027-01-30,Left,53 kg,6\" of snow\n",
    );
    for (got, want) in p.iter().zip([
        "log.csv:2:23: this quote is not closed on its line",
        "log.csv:3:26: a quote stands in the middle of a field",
        "log.csv:5:24: a quote stands in the middle of a field",
        "log.csv:4:17: whole:",
    ]) {
        assert!(got.starts_with(want), "{got}\n{want}");
    }
    assert_eq!(p.len(), 4, "{p:?}");
    let p = problems("date,hive,\"whole\n2027-01-15,Left,50 kg\n");
    assert!(p[0].starts_with("log.csv:1:11: this quote"), "{p:?}");
}

proptest! {
    /// Catches quotes, wherever they stand, by which a row is no longer told.
    #[test]
    fn quotes_lose_no_row(at in proptest::collection::vec(0usize..120, 1..5)) {
        let mut text = String::from(
            "date,hive,whole,note\n2027-01-15,Left,50 kg,dry\n2027-01-20,Left,51 kg,\n2027-01-25,Left,52 kg,\"a, b\"\n",
        );
        for i in at {
            text.insert(i.min(text.len()), '"');
        }
        if let Ok(all) = parse(&text, "log.csv", &HIVES) {
            prop_assert_eq!(all.len(), 3, "{}", text);
        }
    }

    /// Catches a panic on any text, and a log that is taken in part.
    #[test]
    fn any_text_is_read_or_refused(text in "(date|hive|whole|,|\n|\"|2027-01-15|Left|50 kg|é| ){0,40}") {
        match parse(&text, "log.csv", &HIVES) {
            Ok(all) => prop_assert!(all.iter().all(|w| w.gross.is_finite())),
            Err(p) => {
                prop_assert!(!p.0.is_empty());
                prop_assert!(!p.to_string().is_empty());
            }
        }
    }
}
