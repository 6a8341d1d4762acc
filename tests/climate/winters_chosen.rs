//! Which winters are run, and that a season at odds with the place is refused.

use partywall::calendar::MonthDay;
use partywall::climate;
use partywall::ensemble::winters::{Asked, Basis, ChoiceError, check_season, choose};
use partywall::files::weather;

use crate::{CHICAGO_EPW, MARCH, MAY, OCTOBER, built_in, file, read};

/// Catches more winters asked for than there are that are cut down without a word.
#[test]
fn more_winters_than_there_are_is_said() {
    let told = |n| {
        let asked = Asked {
            count: Some(n),
            ..Asked::default()
        };
        let chosen = choose(&built_in("champion"), OCTOBER, MARCH, asked).unwrap();
        (chosen.winters.len(), chosen.notes.join("; "))
    };
    let (n, notes) = told(500);
    assert_eq!(n, 36);
    assert!(
        notes.contains("500 winters were asked for, the record holds 36"),
        "{notes}"
    );
    assert!(!told(9).1.contains("asked for") && !told(36).1.contains("asked for"));
}

const APRIL: MonthDay = MonthDay { month: 4, day: 1 };
const NOVEMBER: MonthDay = MonthDay { month: 11, day: 10 };

/// A record at a latitude; two days are enough to ask where winter is.
fn at(latitude: f64) -> climate::Record {
    read(&format!(
        "# latitude: {latitude}\ndate,tmin_c,tmax_c\n2014-01-01,1,2\n2014-01-02,2,3\n"
    ))
}

/// Catches a southern place run through its summer, hives and weather on two sides of the equator, and a good season refused.
#[test]
fn seasons_must_be_winter_where_the_weather_was_measured() {
    let north = at(45.0);
    let south = at(-42.0);
    assert_eq!(
        check_season(&north, OCTOBER, MAY, Some(44.0)).unwrap(),
        Vec::<String>::new()
    );
    assert_eq!(
        check_season(&south, APRIL, NOVEMBER, None).unwrap(),
        Vec::<String>::new()
    );
    for (record, start, end) in [(&south, OCTOBER, MAY), (&north, APRIL, NOVEMBER)] {
        let e = check_season(record, start, end, None).unwrap_err();
        assert!(matches!(e, ChoiceError::Summer { .. }), "{e}");
        assert!(
            e.to_string()
                .contains("it is summer where the weather was measured")
        );
    }
    let e = check_season(&north, OCTOBER, MAY, Some(-42.0)).unwrap_err();
    assert!(
        e.to_string().contains(
            "the hives stand 42.0 degrees south, the weather was measured 45.0 degrees north"
        ),
        "{e}"
    );
    let notes = check_season(&north, OCTOBER, MAY, Some(52.0)).unwrap();
    assert!(
        notes[0].contains("7 degrees of latitude from the hives"),
        "{notes:?}"
    );
    assert!(check_season(&at(3.0), OCTOBER, MAY, None).unwrap()[0].contains("equator"));
}

/// Catches a level told without its winters or the coldest of them, synthetic winters not told as such, and a spread not labelled.
#[test]
fn the_notes_say_what_a_level_means() {
    let champion = built_in("champion");
    let real = choose(&champion, OCTOBER, MARCH, Asked::default()).unwrap();
    assert_eq!(
        (real.winters.len(), real.available, real.basis),
        (36, 36, Basis::Real)
    );
    assert_eq!(
        real.notes,
        [
            "\"winters in 10\" are winters like the 36 of 1982/83 to 2017/18: the coldest of them was 1992/93"
        ]
    );
    let asked = Asked {
        count: None,
        synthetic: Some(40),
        detrend: true,
    };
    let made = choose(&champion, OCTOBER, MARCH, asked).unwrap();
    assert_eq!(
        (made.winters.len(), made.available, made.basis),
        (40, 36, Basis::Months)
    );
    assert!(
        made.notes[0].starts_with("drift taken out")
            && made.notes[1].contains("no more knowledge of the worst")
    );
    let few = choose(&built_in("chicago"), OCTOBER, MARCH, Asked::default()).unwrap();
    assert_eq!(
        few.notes,
        ["2 winters are too few to say what holds in 9 winters of 10 (5 needed)"]
    );
    let year = weather::load(&file(CHICAGO_EPW)).unwrap();
    let alone = choose(&year, OCTOBER, MARCH, Asked::default()).unwrap();
    assert!(alone.notes[0].contains("says nothing about hard winters"));
    let spread = choose(
        &year,
        OCTOBER,
        MARCH,
        Asked {
            synthetic: Some(19),
            ..Asked::default()
        },
    )
    .unwrap();
    assert_eq!((spread.basis, spread.winters.len()), (Basis::Typical, 19));
    assert!(spread.notes[0].contains("assumed, not measured"));
    let both = Asked {
        count: Some(9),
        synthetic: Some(40),
        detrend: false,
    };
    assert_eq!(
        choose(&champion, OCTOBER, MARCH, both).unwrap_err(),
        ChoiceError::Both
    );
}
