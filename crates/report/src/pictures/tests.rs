use super::drawing::{Drawing, Item, NARROW, Side, WIDE};
use super::letters::fitted;
use super::{PictureError, SeasonPicture, StoresCalendar, StoresWinter, axis, season, stores};
use super::{WinterBar, WintersPicture, winters};
use jiff::ToSpan;
use jiff::civil::{Date, date};
use partywall_core::season::outcome::{Moment, Starved};
use partywall_core::season::trace::{Trace, TraceColony, TraceRow};

/// A synthetic winter of `days` days; `change` alters each hour.
pub(super) fn trace(days: i64, change: impl Fn(usize, &mut TraceRow, &mut TraceColony)) -> Trace {
    let mut trace = Trace::default();
    let start = date(1983, 10, 1).at(0, 0, 0, 0);
    for i in 0..24 * days {
        let time = start.checked_add(i.hours()).unwrap();
        let t = i as f64 / 24.0;
        let outdoor_c = -5.0 - 20.0 * (t / 75.0).sin() + 6.0 * (t * std::f64::consts::TAU).sin();
        let moment = Moment {
            time,
            outdoor_c,
            around_c: outdoor_c + 6.0,
            mantle_c: 10.0,
            core_c: 33.0,
            mantle_margin: 2.0,
            core_margin: 1.0,
            heat: 5.0,
            heat_in_hand: 20.0,
            brood: false,
        };
        let mut colony = TraceColony {
            moment,
            eaten: 0.1 * t,
            stores: 30.0 - 0.1 * t,
            in_contact: 5.0,
            centre: [0.0; 3],
            bees: 20000.0 - 40.0 * t,
            brood_cells: (t - 120.0).max(0.0) * 200.0,
            radius: 0.1,
            tally: Default::default(),
            books: Default::default(),
            lies: Default::default(),
        };
        let mut row = TraceRow::new(time, outdoor_c);
        change(i as usize, &mut row, &mut colony);
        row.colonies.push(colony);
        trace.rows.push(row);
    }
    trace
}

fn of<'a>(trace: &'a Trace, starved: Option<Starved>) -> SeasonPicture<'a> {
    SeasonPicture {
        number: 1,
        colony: "Left",
        winter: "1983/84",
        why: "its weakest of 36 winters",
        place: "Larch Flats",
        below: "A title; weather of a station",
        trace,
        starved,
        weakest: date(1984, 1, 3),
        first_nectar: "19 May",
    }
}

/// Words that are cut off by the sheet's edge, smaller than 12 units, or over one another.
pub(super) fn complaints(d: &Drawing) -> Vec<String> {
    let boxes = d.word_boxes();
    let mut out = Vec::new();
    for (i, (text, a)) in boxes.iter().enumerate() {
        if a[0] < 0.0 || a[1] < 0.0 || a[2] > d.size[0] || a[3] > d.size[1] {
            out.push(format!("cut off: {text}"));
        }
        if a[3] - a[1] < 12.0 {
            out.push(format!("small: {text}"));
        }
        for (other, b) in &boxes[..i] {
            if a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3] {
                out.push(format!("{text} over {other}"));
            }
        }
    }
    out
}

/// The wide drawing of a sheet, whose words can all be read, as can those of the narrow one.
pub(super) fn both(
    sheet: impl Fn(f64) -> Result<Drawing, PictureError>,
) -> Result<Drawing, PictureError> {
    let (wide, narrow) = (sheet(WIDE), sheet(NARROW));
    assert_eq!(wide.is_ok(), narrow.is_ok());
    for d in [&wide, &narrow].into_iter().flatten() {
        let words: Vec<String> = d.word_boxes().into_iter().map(|(t, _)| t).collect();
        assert_eq!(complaints(d), [""; 0], "{} wide: {words:?}", d.size[0]);
        let svg = super::svg::svg(d, None);
        assert!(!svg.contains("NaN") && !svg.contains("inf"), "{words:?}");
    }
    wide
}

/// The width and height of a PNG that decodes without error, and how many of its pixels are not white.
#[cfg(feature = "pictures")]
fn decoded(bytes: &[u8]) -> (u32, u32, usize) {
    let mut reader = png::Decoder::new(std::io::Cursor::new(bytes))
        .read_info()
        .unwrap();
    let mut pixels = vec![0; reader.output_buffer_size().unwrap()];
    let info = reader.next_frame(&mut pixels).unwrap();
    let inked = pixels.chunks(3).filter(|p| *p != [255; 3]).count();
    (info.width, info.height, inked)
}

fn winter(list: &[f64], start: Date) -> StoresWinter<'_> {
    StoresWinter {
        winter: "1983/84",
        start,
        stores_by_day: list,
        starved: None,
        alive: true,
    }
}

fn calendar<'a>(winters: &'a [StoresWinter<'a>]) -> StoresCalendar<'a> {
    StoresCalendar {
        number: 2,
        colony: "Right",
        place: "Larch Flats",
        below: "below",
        winters,
        reserve: 3.0,
        first_nectar: "19 May",
    }
}

/// Catches files that no viewer opens, empty sheets, and bytes that differ from one drawing to the next.
#[test]
fn files_are_whole_and_the_same_twice() {
    let trace = trace(231, |_, _, _| {});
    let one = season(&of(&trace, None)).unwrap();
    assert_eq!(one, season(&of(&trace, None)).unwrap());
    assert_eq!(one.name, "season-1-left-1983-84");
    let svg = one.svg();
    assert!(
        svg.starts_with("<svg width=\"900\" height=\"854\""),
        "{svg}"
    );
    assert!(svg.ends_with("</svg>"));
    assert!(svg.contains("Left, winter 1983/84 (its weakest of 36 winters), Larch Flats"));
    assert_eq!(svg.matches("<text").count(), svg.matches("</text>").count());

    let list: Vec<f64> = (0..231).map(|i| 30.0 - 0.1 * f64::from(i)).collect();
    let winters = [winter(&list, date(1983, 10, 1))];
    let two = stores(&calendar(&winters)).unwrap();
    assert_eq!(two, stores(&calendar(&winters)).unwrap());
    assert_eq!(two.name, "stores-2-right");
}

/// Catches PNG files that no viewer opens, and empty ones.
#[cfg(feature = "pictures")]
#[test]
fn png_files_are_whole() {
    let trace = trace(231, |_, _, _| {});
    let one = season(&of(&trace, None)).unwrap();
    assert_eq!(one.png(), one.png());
    let (w, h, inked) = decoded(&one.png().unwrap());
    assert_eq!((w, h), (1800, 1708));
    assert!(inked > 50_000, "{inked}");
}

/// Catches letters that the shipped font lacks or that are drawn as nothing, and SVG that a "<" in a name breaks.
#[test]
fn names_with_signs_and_letters_of_other_scripts_are_drawn() {
    let trace = trace(3, |_, _, _| {});
    let mut p = of(&trace, None);
    p.colony = "<b>&\u{1}\nÅse Ж";
    p.place = "";
    let svg = season(&p).unwrap().svg();
    assert!(svg.contains("&lt;b&gt;&amp;  Åse Ж"), "{svg}");
    assert!(!svg.contains('\u{1}'));
}

/// Catches panics, endless loops and overlaps on odd winters: one day, nothing changing, no brood, death on any day,
/// starving on the first, last or a day outside the winter, names far too long.
#[test]
fn odd_winters_are_drawn_without_overlap() {
    let flat = |_: usize, row: &mut TraceRow, c: &mut TraceColony| {
        row.outdoor_c = 0.0;
        c.moment.around_c = 0.0;
        c.moment.mantle_c = 0.0;
        c.moment.core_c = 0.0;
        (c.stores, c.in_contact, c.bees, c.brood_cells) = (0.0, 0.0, 0.0, 0.0);
    };
    for days in [1, 2, 30, 231, 366] {
        for kind in 0..4 {
            let trace = trace(days, |i, row, c| match kind {
                0 => {}
                1 => flat(i, row, c),
                2 => c.brood_cells = 0.0,
                _ => {
                    if i >= 24 * 100 {
                        (c.bees, c.brood_cells) = (0.0, 0.0);
                    }
                }
            });
            let ends = [0, 230, -5].map(|day| [(day, None), (day, Some(8.3))]);
            for end in ends.into_iter().flatten().map(Some).chain([None]) {
                let starved = end.map(|(day, beside_honey): (i64, _)| Starved {
                    date: date(1983, 10, 1).checked_add(day.days()).unwrap(),
                    beside_honey,
                });
                let mut p = of(&trace, starved);
                let long = "a very long name of a hive ".repeat(30);
                if kind == 2 {
                    (p.colony, p.below) = (&long, &long);
                }
                both(|w| super::season::sheet(&p, w)).unwrap();
            }
            #[cfg(feature = "pictures")]
            season(&of(&trace, None)).unwrap().png().unwrap();
        }
    }
}

/// Catches a value that is not a number drawn as if it were one, or an error that does not say which and when.
#[test]
fn values_that_are_not_numbers_are_reported() {
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e300] {
        let t = trace(5, |i, _, c| {
            if i == 50 {
                c.moment.core_c = bad;
            }
        });
        let e = season(&of(&t, None)).unwrap_err();
        assert!(matches!(e, PictureError::Value { .. }));
        assert!(e.to_string().contains("core, degC is"), "{e}");
        assert!(e.to_string().contains("1983-10-03T02:00:00"), "{e}");
        let list = [30.0, bad];
        let e = stores(&calendar(&[winter(&list, date(1983, 10, 1))])).unwrap_err();
        assert!(e.to_string().contains("1983-10-02"), "{e}");
    }
    assert!(matches!(
        season(&of(&Trace::default(), None)),
        Err(PictureError::Empty(_))
    ));
    let t = trace(5, |_, _, _| {});
    let mut second = of(&t, None);
    second.number = 2;
    assert!(matches!(season(&second), Err(PictureError::Empty(_))));
    assert!(matches!(
        stores(&calendar(&[])),
        Err(PictureError::Empty(_))
    ));
    assert!(stores(&calendar(&[winter(&[], date(1983, 10, 1))])).is_err());
}

/// Catches a band that mixes dates after a 29 February, a middle that is no middle, and days only some winters have.
#[test]
fn the_band_lines_up_dates_and_keeps_least_and_most() {
    // From 27 Feb: the leap year's third day is the 29th and must not be held against 1 March.
    let plain = [10.0, 9.0, 8.0, 7.0];
    let leap = [20.0, 19.0, 99.0, 18.0, 17.0];
    let third = [1.0, 1.0, 1.0, 1.0, 1.0];
    let winters = [
        winter(&plain, date(2001, 2, 27)),
        winter(&leap, date(2004, 2, 27)),
        winter(&third, date(2002, 2, 27)),
    ];
    let middles = |winters: &[StoresWinter<'_>]| -> Vec<f64> {
        let (_, days) = super::stores::band("x", winters).unwrap();
        days.iter().map(|r| r.middle).collect()
    };
    let (_, days) = super::stores::band("x", &winters).unwrap();
    let ends: Vec<[f64; 2]> = days.iter().map(|r| [r.low, r.high]).collect();
    assert_eq!(ends, [[1.0, 20.0], [1.0, 19.0], [1.0, 18.0], [1.0, 17.0]]);
    assert_eq!(middles(&winters), plain);
    assert_eq!(middles(&winters[..2]), [15.0, 14.0, 13.0, 12.0]);
}

/// Catches losses that are not said, and calendars with words cut off or over one another.
#[test]
fn odd_calendars_are_drawn_and_say_what_was_lost() {
    let list: Vec<f64> = (0..231).map(|i| 30.0 - 0.1 * f64::from(i)).collect();
    let flat = [0.0; 231];
    let one_day = [4.0];
    let below_zero = [-1.0, -2.0, -3.0];
    for lists in [
        vec![&list[..]],
        vec![&flat, &list],
        vec![&one_day],
        vec![&below_zero; 9],
    ] {
        let winters: Vec<_> = lists.iter().map(|l| winter(l, date(1983, 10, 1))).collect();
        for reserve in [0.0, 3.0, 250.0] {
            let mut c = calendar(&winters);
            c.reserve = reserve;
            both(|w| super::stores::sheet(&c, w)).unwrap();
        }
    }
    let mut lost = vec![winter(&list, date(1983, 10, 1)); 3];
    assert_eq!(
        super::stores::losses(&lost),
        ["It found food to the end in all 3."]
    );
    let on = |date, beside_honey| Some(Starved { date, beside_honey });
    lost[0].starved = on(date(1984, 1, 20), Some(8.0));
    lost[1].starved = on(date(1983, 12, 30), None);
    lost[2].alive = false;
    let words = super::stores::losses(&lost);
    assert!(
        words[0].starts_with("Starved in 2 of 3 (1 with honey out of reach), earliest 30 Dec;"),
        "{words:?}"
    );
    assert!(
        words[1].ends_with("No live bees at the end in 1 of 3."),
        "{words:?}"
    );
    both(|w| super::stores::sheet(&calendar(&lost), w)).unwrap();
}

/// Catches scales that leave a value outside, never end, or are not round.
#[test]
fn ticks_are_round_and_hold_the_range() {
    assert_eq!(axis::ticks(0.0, 29.0, 5), [0.0, 10.0, 20.0, 30.0]);
    assert_eq!(
        axis::ticks(-23.0, 34.0, 7),
        [-30.0, -20.0, -10.0, 0.0, 10.0, 20.0, 30.0, 40.0]
    );
    assert_eq!(axis::ticks(0.0, 0.0, 5).first(), Some(&0.0));
    for (lo, hi) in [
        (5.0, 5.0),
        (-1e9, 1e9),
        (0.0, 1e-9),
        (1e9, 1e9),
        (3.0, -3.0),
    ] {
        let t = axis::ticks(lo, hi, 5);
        assert!(t.len() >= 2 && t.len() < 9, "{lo} {hi}: {t:?}");
        assert!(
            t[0] <= lo + 1e-6 && *t.last().unwrap() >= lo,
            "{lo} {hi}: {t:?}"
        );
    }
    assert_eq!(axis::number(12500.0), "12,500");
    assert_eq!(axis::number(-1000.0), "-1,000");
    assert_eq!(axis::number(0.25), "0.25");
}

/// Catches a shortened line that is still too wide, and letters that XML forbids.
#[test]
fn words_are_fitted_and_can_be_printed() {
    let short = fitted(&"honey ".repeat(1000), 12.0, 100.0);
    assert!(short.ends_with("...") && short.len() > 8, "{short}");
    assert_eq!(fitted("honey", 12.0, 1.0), "");
    let mut d = Drawing::new(10.0);
    d.words("\u{7}", [0.0, 0.0], Side::Left, 50.0);
    assert_eq!(d.items.len(), 1);
    assert!(matches!(&d.items[0], Item::Words(t, ..) if t == " "));
}

fn bar(i: usize, mean_c: f64, nectar: Option<Date>) -> WinterBar {
    WinterBar {
        winter: format!("{}/{:02}", 1950 + i, (51 + i) % 100),
        mean_c,
        hard: mean_c < -1.0,
        nectar,
        late: nectar.is_some_and(|d| d.month() > 4),
    }
}

/// Catches words cut off, too small or over one another in the picture of a record's winters, whether it holds one winter, a
/// century of them, winters all alike, none with a spring, or springs about New Year.
#[test]
fn winters_of_any_number_can_be_read() {
    let spring = |i: usize| {
        date(2000, 4, 1)
            .checked_add((i as i64 * 7 % 50).days())
            .ok()
    };
    let south = |i: usize| {
        date(2000, 12, 20)
            .checked_add((i as i64 * 7 % 30).days())
            .ok()
    };
    for n in [1, 2, 5, 22, 37, 120] {
        let all: [Vec<WinterBar>; 4] = [
            (0..n)
                .map(|i| bar(i, (i * 5 % 11) as f64 - 5.0, spring(i)))
                .collect(),
            (0..n).map(|i| bar(i, 0.0, None)).collect(),
            (0..n).map(|i| bar(i, -30.0 + i as f64, south(i))).collect(),
            (0..n)
                .map(|i| bar(i, 1.0, spring(i).filter(|_| i == 0)))
                .collect(),
        ];
        for winters in &all {
            let picture = WintersPicture {
                place: "A place with a long name, in a province with another one",
                below: "1 Oct to 31 Mar, hourly readings",
                winters,
            };
            both(|w| winters::sheet(&picture, w)).unwrap();
        }
    }
    let nothing = WintersPicture {
        place: "x",
        below: "",
        winters: &[],
    };
    assert!(matches!(
        winters::sheet(&nothing, WIDE),
        Err(PictureError::Empty(_))
    ));
    let bad = WintersPicture {
        winters: &[bar(0, f64::NAN, None)],
        ..nothing
    };
    assert!(matches!(
        winters::sheet(&bad, WIDE),
        Err(PictureError::Value { .. })
    ));
}
