//! Would catch: a wrong factor, a form from a ruler or label that is not read, a unit of another kind let through, a bare gallon, a
//! value that does not survive writing and reading, and a panic on any text at all.

use super::*;
use proptest::prelude::*;

fn close(text: &str, want: Quantity, expected: f64) {
    let got = parse(text, want).unwrap_or_else(|e| panic!("{text}: {e}"));
    assert!(
        (got - expected).abs() <= 1e-9 * expected.abs().max(1.0),
        "{text}: {got}, expected {expected}"
    );
}

#[test]
fn reads_every_form_a_keeper_writes() {
    use Quantity::*;
    for (text, want, expected) in [
        ("19 mm", Length, 0.019),
        ("19mm", Length, 0.019),
        (" 19.5  MM ", Length, 0.0195),
        ("3/4 in", Length, 0.01905),
        ("9-5/8 in", Length, 0.244475),
        ("9⅝\"", Length, 0.244475),
        ("1 1/2 in", Length, 0.0381),
        ("1-1/2in", Length, 0.0381),
        ("½ inch", Length, 0.0127),
        (".5 m", Length, 0.5),
        ("45 cm", Length, 0.45),
        ("60 lb", Mass, 27.2155422),
        ("60 lbs.", Mass, 27.2155422),
        ("8 oz", Mass, 0.226796185),
        ("27.4 kg", Mass, 27.4),
        ("-5 F", Temperature, -20.555555555555557),
        ("\u{2212}5 °C", Temperature, -5.0),
        ("32F", Temperature, 0.0),
        ("10 F", TemperatureDifference, 5.555555555555555),
        ("4 K", TemperatureDifference, 4.0),
        ("R-5", RValue, 0.880_550_918_411_531_2),
        ("r5", RValue, 0.880_550_918_411_531_2),
        ("R 5", RValue, 0.880_550_918_411_531_2),
        ("RSI 0.88", RValue, 0.88),
        ("RSI-0.88", RValue, 0.88),
        ("0.88 m²K/W", RValue, 0.88),
        ("6 US gal", Volume, 0.022712470704),
        ("2 imp gal", Volume, 0.00909218),
        ("8 US qt", Volume, 0.007570823568),
        ("10 L", Volume, 0.01),
        ("6 cm2", Area, 6e-4),
        ("1 sq in", Area, 6.4516e-4),
        ("0.035 W/mK", Conductivity, 0.035),
        ("0.035 W/(m·K)", Conductivity, 0.035),
        ("450 kg/m3", Density, 450.0),
        ("28 lb/ft3", Density, 448.517_7),
        ("1.6 kJ/kgK", SpecificHeat, 1600.0),
        ("12.5 W", Power, 12.5),
        ("180 deg", Angle, 180.0),
        ("36 km/h", Speed, 10.0),
        ("50 h", Time, 180_000.0),
    ] {
        if text.contains("lb/ft3") {
            assert!(
                (parse(text, want).unwrap() - expected).abs() < 0.01,
                "{text}"
            );
        } else {
            close(text, want, expected);
        }
    }
}

#[test]
fn a_plain_19_mm_is_exactly_0_019() {
    assert_eq!(parse("19 mm", Quantity::Length), Ok(0.019));
    assert_eq!(parse("413 mm", Quantity::Length), Ok(0.413));
}

#[test]
fn a_bare_gallon_is_refused_with_the_choice() {
    for text in ["6 gal", "6 gallons", "6 Gal."] {
        let e = parse(text, Quantity::Volume).unwrap_err();
        assert!(matches!(e, UnitError::Ambiguous { .. }), "{text}: {e}");
        let said = format!("{e} {}", e.hint().unwrap_or_default());
        assert!(
            said.contains("US gal") && said.contains("imp gal") && said.contains("litres"),
            "{said}"
        );
    }
}

#[test]
fn a_bare_number_and_a_wrong_kind_are_named() {
    assert!(matches!(
        parse("19", Quantity::Length),
        Err(UnitError::NoUnit { .. })
    ));
    assert!(matches!(
        parse("3/4", Quantity::Length),
        Err(UnitError::NoUnit { .. })
    ));
    assert_eq!(
        parse("60 lb", Quantity::Length).unwrap_err().to_string(),
        "\"60 lb\" is a weight, but a length is needed"
    );
    assert_eq!(
        parse("4 K", Quantity::Temperature).unwrap_err().to_string(),
        "\"4 K\" is a temperature difference, but a temperature is needed"
    );
}

#[test]
fn an_unknown_unit_gets_its_nearest() {
    assert_eq!(
        parse("19 mn", Quantity::Length).unwrap_err().to_string(),
        "\"mn\" is not a unit known here; did you mean \"mm\"?"
    );
    assert_eq!(
        parse("19 furlong", Quantity::Length)
            .unwrap_err()
            .to_string(),
        "\"furlong\" is not a unit known here"
    );
}

#[test]
fn no_number_that_is_none_gets_through() {
    for text in [
        "nan mm", "inf kg", "- mm", "mm", "", "   ", "1,5 mm", "1.2.3 mm", "1/0 in", "--5 C",
        "1e3 mm", "R--5", "R-", "5 5 mm", "1 1/0 in", "9-5 in", "0x10 mm", "R-5 in",
    ] {
        assert!(parse(text, Quantity::Length).is_err(), "{text}");
        assert!(parse(text, Quantity::RValue).is_err(), "{text}");
    }
    assert!(matches!(
        parse("1,5 mm", Quantity::Length),
        Err(UnitError::Comma { .. })
    ));
    assert!(matches!(
        parse("1/0 in", Quantity::Length),
        Err(UnitError::ZeroDenominator { .. })
    ));
    let long = format!("{} mm", "9".repeat(400));
    assert!(matches!(
        parse(&long, Quantity::Length),
        Err(UnitError::TooLong { .. })
    ));
    assert!(matches!(
        parse("-300 C", Quantity::Temperature),
        Err(UnitError::BelowAbsoluteZero { .. })
    ));
}

#[test]
fn sizes_share_a_unit() {
    assert_eq!(parse_size("75 x 9 mm", 2), Ok(vec![0.075, 0.009]));
    assert_eq!(parse_size("75 mm × 9 mm", 2), Ok(vec![0.075, 0.009]));
    assert_eq!(parse_size("3 in by 3/8 in", 2), Ok(vec![0.0762, 0.009525]));
    assert_eq!(
        parse_size("75 mm x 9", 2).unwrap_err().to_string(),
        "\"75 mm x 9\" has no unit; a length needs one"
    );
    assert!(parse_size("75 x 9", 2).is_err());
    assert!(parse_size("75 mm", 2).is_err());
    assert!(parse_size("75 x 9 kg", 2).is_err());
}

#[test]
fn output_reads_like_a_rule_and_a_scale() {
    assert_eq!(format::mass(27.4), "27.4 kg (60 lb)");
    assert_eq!(format::mass(2.79), "2.79 kg (6.2 lb)");
    assert_eq!(format::length(0.244475), "244.5 mm (9-5/8 in)");
    assert_eq!(format::length(0.019), "19 mm (3/4 in)");
    assert_eq!(format::temperature(6.0), "6 C (43 F)");
    assert_eq!(format::temperature(-0.01), "0 C (32 F)");
    assert_eq!(format::r_value(0.880_550_9), "RSI 0.88 (R 5)");
    assert_eq!(format::volume(0.01), "10 L (2.6 US gal, 2.2 imp gal)");
}

#[test]
fn nearest_knows_a_slip_from_another_word() {
    assert_eq!(nearest("entrence", ["floor", "entrance"]), Some("entrance"));
    assert_eq!(nearest("coevr", ["cover", "over"]), Some("cover"));
    assert_eq!(nearest("zebra", ["floor", "entrance"]), None);
    assert_eq!(nearest("", ["a"]), None);
}

const ROUND: &[(Quantity, &str)] = &[
    (Quantity::Length, "mm"),
    (Quantity::Length, "in"),
    (Quantity::Length, "ft"),
    (Quantity::Area, "cm2"),
    (Quantity::Area, "in2"),
    (Quantity::Volume, "L"),
    (Quantity::Volume, "US gal"),
    (Quantity::Volume, "imp gal"),
    (Quantity::Mass, "kg"),
    (Quantity::Mass, "lb"),
    (Quantity::Temperature, "C"),
    (Quantity::Temperature, "F"),
    (Quantity::TemperatureDifference, "K"),
    (Quantity::Power, "W"),
    (Quantity::RValue, "R"),
    (Quantity::RValue, "RSI"),
    (Quantity::Conductivity, "W/mK"),
    (Quantity::Density, "lb/ft3"),
    (Quantity::SpecificHeat, "J/kgK"),
    (Quantity::Angle, "deg"),
    (Quantity::Speed, "km/h"),
    (Quantity::Time, "h"),
];

proptest! {
    #[test]
    fn what_is_written_is_read_back(i in 0..ROUND.len(), x in 0.0..1.0e5_f64) {
        let (quantity, unit) = ROUND[i];
        let text = format::exact(x, quantity, unit).unwrap();
        let back = parse(&text, quantity).unwrap();
        prop_assert!((back - x).abs() <= 1e-12 * x.max(300.0), "{text}: {back} for {x}");
    }

    #[test]
    fn no_text_panics(text in "\\PC*") {
        for q in [Quantity::Length, Quantity::RValue, Quantity::Temperature] {
            if let Ok(v) = parse(&text, q) {
                prop_assert!(v.is_finite());
            }
        }
        let _ = parse_size(&text, 2);
        let _ = kind_of(&text);
    }

    #[test]
    fn no_near_miss_panics(text in "[-+R SI]{0,3}[0-9./½,-]{0,6} ?[a-zA-Z°\"'²/ ]{0,6}") {
        for q in [Quantity::Length, Quantity::RValue, Quantity::Mass, Quantity::Volume] {
            if let Ok(v) = parse(&text, q) {
                prop_assert!(v.is_finite());
            }
        }
        let _ = parse_size(&text, 2);
    }
}
