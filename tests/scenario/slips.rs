//! Slips in units and words. Would catch one that is let through, told at the wrong place, or told without what to do.

use crate::{at, bad, marked, pair_with};

/// One slip: passage of the good scenario, what is written instead with the culprit marked, what is said, what is advised.
pub type Slip = (&'static str, &'static str, &'static str, &'static str);

pub fn check(slips: &[Slip]) {
    for (old, new, what, advice) in slips {
        let (text, place) = marked(&pair_with(old, new));
        let problems = bad(&text);
        let p = at(&problems, place);
        assert!(p.what.contains(what), "said: {}\nwanted: {what}", p.what);
        let more = format!(
            "{} | {}",
            p.expected.clone().unwrap_or_default(),
            p.help.clone().unwrap_or_default()
        );
        assert!(more.contains(advice), "advised: {more}\nwanted: {advice}");
        let width = p.place.as_ref().unwrap().width;
        assert_eq!(width, place.2, "{new}: mark {width} wide");
        assert_eq!(p.file, "hive.toml");
    }
}

#[test]
fn units_are_never_guessed() {
    check(&[
        (
            "top = \"50 mm xps\"",
            "top = «\"50 xps\"»",
            "is not a layer of material",
            "19 mm pine",
        ),
        (
            "reserve = \"3 kg\"",
            "reserve = «3»",
            "bare number 3; a weight needs a unit",
            "60 lb",
        ),
        (
            "reserve = \"3 kg\"",
            "reserve = «\"3\"»",
            "has no unit",
            "60 lb",
        ),
        (
            "reserve = \"3 kg\"",
            "reserve = «\"3 mm\"»",
            "\"3 mm\" is a length, but a weight is needed",
            "a weight",
        ),
        (
            "reserve = \"3 kg\"",
            "reserve = «\"3 gal\"»",
            "US gal (3.785 L) or imp gal (4.546 L)",
            "litres",
        ),
        (
            "reserve = \"3 kg\"",
            "reserve = «\"3 kq\"»",
            "did you mean \"kg\"?",
            "kg",
        ),
        (
            "reserve = \"3 kg\"",
            "reserve = «\"3,5 kg\"»",
            "comma",
            "a weight",
        ),
        (
            "reserve = \"3 kg\"",
            "reserve = «\"nan kg\"»",
            "no number",
            "kg",
        ),
        (
            "reserve = \"3 kg\"",
            "reserve = «\"-3 kg\"»",
            "outside what is plausible",
            "0 kg to 20 kg",
        ),
        (
            "counted_at = \"8 C\"\npollen",
            "counted_at = «\"8 kg\"»\npollen",
            "is a weight, but a temperature is needed",
            "6 C",
        ),
        (
            "shelter = \"partly\"",
            "shelter = \"partly\"\nstand_height = «\"60 lb\"»",
            "is a weight, but a length is needed",
            "19 mm",
        ),
        ("\"75 x 9 mm\"", "«\"75 x 9\"»", "has no unit", "75 x 9 mm"),
        ("\"75 x 9 mm\"", "«75»", "bare number 75", "75 x 9 mm"),
    ]);
}

#[test]
fn unknown_words_get_their_nearest() {
    check(&[
        (
            "entrance = ",
            "«entrence» = ",
            "is not a setting of [[hive]] Left",
            "did you mean \"entrance\"?",
        ),
        (
            "reserve = ",
            "«reserv» = ",
            "is not a setting of the file",
            "did you mean \"reserve\"?",
        ),
        (
            "[every_hive]",
            "[«zebra»]\n[every_hive]",
            "is not a setting of the file",
            "known here: title",
        ),
        (
            "honey_frames = 5",
            "«honey_frame» = 5",
            "is not a setting of box 1 of Left",
            "honey_frames",
        ),
        (
            "\"ten-frame medium\"",
            "«\"ten-frame medum\"»",
            "no box pattern",
            "did you mean \"ten-frame medium\"?",
        ),
        (
            "[\"eight-frame deep\"]",
            "[«\"8-frame deap\"»]",
            "no box pattern",
            "eight-frame deep",
        ),
        (
            "[\"eight-frame deep\"]",
            "[«\"barrel\"»]",
            "no box pattern is called \"barrel\"",
            "leave the pattern out",
        ),
        (
            "\"50 mm xps\"",
            "«\"50 mm xpz\"»",
            "no material is called \"xpz\"",
            "xps",
        ),
        (
            "\"50 mm xps\"",
            "«\"50 mm foam\"»",
            "can be several materials",
            "pir",
        ),
        (
            "\"champion\"",
            "«\"champoin\"»",
            "no weather record",
            "did you mean \"champion\"?",
        ),
        (
            "\"partly\"",
            "«\"partley\"»",
            "not a choice",
            "did you mean \"partly\"?",
        ),
        (
            "\"touching\"",
            "«\"touchin\"»",
            "not a choice",
            "did you mean \"touching\"?",
        ),
        (
            "cover = \"flush\"",
            "cover = «\"flusch\"»",
            "not a choice",
            "did you mean \"flush\"?",
        ),
        (
            "[every_hive]",
            "[parameters]\n«death_rat» = 0.003\n[every_hive]",
            "not a setting",
            "did you mean \"death_rate\"?",
        ),
        (
            "[every_hive]",
            "[parameters]\ndeath_rate = «0.3»\n[every_hive]",
            "outside what the sources give",
            "0.0021 to 0.0058",
        ),
    ]);
}

/// Catches a keeper's everyday word that is turned away without what to write instead.
#[test]
fn everyday_words_are_told_what_to_write() {
    check(&[
        (
            "[\"eight-frame deep\"]",
            "[«\"langstroth\"»]",
            "no box pattern is called \"langstroth\"",
            "how deep it is: \"ten-frame deep\", \"eight-frame deep\"",
        ),
        (
            "[\"eight-frame deep\"]",
            "[«\"nuc\"»]",
            "no box pattern is called \"nuc\"",
            "did you mean \"five-frame deep\"?",
        ),
        (
            "[\"eight-frame deep\"]",
            "[«\"Langstroth medium\"»]",
            "no box pattern is called",
            "how many frames it is wide: \"ten-frame medium\" or \"eight-frame medium\"",
        ),
        (
            "[\"eight-frame deep\"]",
            "[«\"deep\"»]",
            "no box pattern is called \"deep\"",
            "\"ten-frame deep\" or \"eight-frame deep\"",
        ),
        (
            "top = \"50 mm xps\"",
            "top = «\"50 mm rigid foam board\"»",
            "\"rigid foam board\" can be several materials",
            "xps (smooth, one colour through)",
        ),
    ]);
    for good in ["8-frame deep", "8 frame deep", "Eight-Frame Deep"] {
        crate::good(&pair_with(
            "[\"eight-frame deep\"]",
            &format!("[\"{good}\"]"),
        ));
    }
    crate::good(&pair_with("top = \"50 mm xps\"", "top = \"50 mm XPS\""));
}
