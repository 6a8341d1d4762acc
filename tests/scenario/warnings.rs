//! Would catch a doubtful input that is used without a word, and a good one that is nagged about.

use crate::{PAIR, at, bad, good, marked, pair_with};

fn warned(old: &str, new: &str, what: &str) {
    let (text, place) = marked(&pair_with(old, new));
    let loaded = good(&text);
    let p = at(&loaded.warnings, place);
    assert!(p.what.contains(what), "said: {}\nwanted: {what}", p.what);
}

#[test]
fn a_good_pair_is_not_nagged_about() {
    assert_eq!(good(PAIR).warnings.0, vec![]);
}

fn helped(scale: &str, help: &str) {
    let (text, place) = marked(&pair_with("entrance = \"75 x 9 mm\"", scale));
    let loaded = good(&text);
    let said = at(&loaded.warnings, place).help.clone().unwrap_or_default();
    assert!(said.contains(help), "said: {said}\nwanted: {help}");
}

/// Catches ends of a hive that cannot differ so much and pass without a word, and a weight or a tare in the other unit that is only told
/// as a tare that is off.
#[test]
fn readings_that_cannot_be_are_told_with_what_to_try() {
    warned(
        "entrance = \"75 x 9 mm\"",
        "scale = «{ front = \"15 kg\", back = \"43 kg\", tare = \"24.5 kg\" }»",
        "further apart than honey and bees in these combs can lean",
    );
    helped(
        "scale = «{ front = \"64 kg\", back = \"64 kg\", tare = \"24.5 kg\" }»",
        "128 lb is 58.1 kg. Were they pounds?",
    );
    let scale = "scale = { front = \"29 kg\", back = \"29 kg\", tare = «\"54 kg\"» }";
    let (text, place) = marked(&pair_with("entrance = \"75 x 9 mm\"", scale));
    let help = at(&bad(&text), place).help.clone().unwrap_or_default();
    assert!(help.contains("54 lb is 24.5 kg"), "{help}");
    // 58 kg written as pounds are too light even for the wood.
    let scale = "scale = «{ whole = \"58 lb\", tare = \"24.5 kg\" }»";
    let (text, place) = marked(&pair_with("entrance = \"75 x 9 mm\"", scale));
    let help = at(&bad(&text), place).help.clone().unwrap_or_default();
    assert!(
        help.contains("as kilograms it would make sense, 58 kg"),
        "{help}"
    );
}

#[test]
fn doubtful_counts_and_weights_are_pointed_out() {
    warned(
        "counted_at = \"8 C\"\npollen",
        "counted_at = «\"-5 C\"»\npollen",
        "may be low by half or more",
    );
    warned(
        "counted_at = \"8 C\"\npollen",
        "counted_at = «\"70 F\"»\npollen",
        "many are out",
    );
    warned(
        "entrance = \"75 x 9 mm\"",
        "scale = «{ front = \"34 kg\", back = \"34 kg\", tare = \"24 kg\" }»",
        "the count, being less, is used",
    );
    // More honey than all combs hold is told as such, not only as a disagreement.
    warned(
        "entrance = \"75 x 9 mm\"",
        "scale = «{ front = \"40 kg\", back = \"40 kg\", tare = \"24 kg\" }»",
        "more than all combs full hold (44 kg",
    );
    // A reading below the count is taken, and the honey hung in the proportion of the count.
    let reading = "scale = «{ front = \"22 kg\", back = \"22 kg\", tare = \"24 kg\" }»";
    warned(
        "entrance = \"75 x 9 mm\"",
        reading,
        "the scale's, being less, is used",
    );
    let (text, _) = marked(&pair_with("entrance = \"75 x 9 mm\"", reading));
    let light = good(&text).scenario;
    let colony = light.stacks[0].colony.as_ref().unwrap();
    let left = 44.0 - 24.0 - colony.bees - colony.pollen;
    assert!((colony.stores - left).abs() < 1e-9, "{}", colony.stores);
    let hung: f64 = light.stacks[0]
        .boxes
        .iter()
        .map(|b| b.honey_frames * b.full_frame)
        .sum();
    assert!((hung - left).abs() < 1e-9, "{hung}");
    warned(
        "entrance = \"75 x 9 mm\"",
        "scale = { front = \"20 kg\", back = \"20 kg\", tare = «\"7 kg\"» }",
        "a tare of 7 kg (15.4 lb) is very small for these boxes",
    );
    warned(
        "entrance = \"75 x 9 mm\"",
        "scale = «{ one_side = \"28 kg\", tare = \"23 kg\" }»",
        "one side doubled",
    );
    warned(
        "honey_frames = 9 },\n]\n[hive.colony]",
        "honey_frames = 9 },\n]\n[hive.colony]\nhoney = «\"20 kg\"»",
        "the weight is used",
    );
}

#[test]
fn doubtful_woodwork_is_pointed_out() {
    warned("\"75 x 9 mm\"", "«\"75 x 15 mm\"»", "mice");
    warned("\"75 x 9 mm\"", "«false»", "clear their dead");
    warned(
        "entrance = \"75 x 9 mm\"",
        "cover = \"telescoping\"\nledge = «{ shelf = true }»",
        "there is no ledge",
    );
    let text = pair_with("cover = \"flush\"", "cover = \"telescoping\"");
    let said = good(&text).warnings.to_string();
    assert!(
        said.contains(
            "two covers that overhang by 38 mm together do not let the boxes come within 0 mm"
        ),
        "{said}"
    );
    let one = text.replace(
        "state = \"touching\"",
        "state = \"touching\"\none_cover = true",
    );
    let said = good(&one).warnings.to_string();
    assert!(
        said.contains("one cover over boxes 412 and 244 mm high cannot lie flat"),
        "{said}"
    );
    let level = one.replace(
        "[\"eight-frame deep\"]",
        "[\"eight-frame deep\", \"eight-frame medium\"]",
    );
    assert_eq!(good(&level).warnings.0, vec![]);
}

#[test]
fn silence_that_decides_the_answer_is_pointed_out() {
    let said = good(&pair_with("first_nectar = \"19 May\"\n", ""))
        .warnings
        .to_string();
    assert!(said.contains("the answer hangs on it"), "{said}");
    let said = good(&pair_with("[[between]]\nstate = \"touching\"\n", ""))
        .warnings
        .to_string();
    assert!(said.contains("taken as standing apart"), "{said}");
}
