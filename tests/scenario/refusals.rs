//! Would catch a slip of the keeper's that is let through, told at the wrong place, or told without what to do.

use crate::slips::check;
use crate::{at, bad, marked, pair_with};

#[test]
fn what_does_not_fit_is_counted_out() {
    check(&[
        (
            "[\"eight-frame deep\"]",
            "[{ pattern = \"eight-frame deep\", frames = «9» }]",
            "9 frames do not fit in eight-frame deep: the box is 314 mm wide inside and holds 8 at 35 mm",
            "at most 8 frames",
        ),
        (
            "frames_of_bees = 5",
            "frames_of_bees = «14»",
            "14 frames of bees cannot sit in a box of 8 frames",
            "at most 8",
        ),
        (
            "honey_frames = 5",
            "honey_frames = «11»",
            "11 frames of honey in a box of 10 frames",
            "at most 10",
        ),
        (
            "honey_frames = 5",
            "honey_frames = «-1»",
            "outside what is plausible",
            "0 to 30",
        ),
        (
            "honey = \"15 kg\"",
            "honey = «\"30 kg\"»",
            "do not fit: all combs full hold 21.6 kg",
            "at most 21.6 kg",
        ),
        (
            "honey_frames = 5",
            "honey_frames = 5, followers = «2»",
            "no room for 2 follower board(s) of 19 mm: 10 frames leave 25 mm free",
            "at most 9 frames",
        ),
        (
            "honey_frames = 5",
            "honey_frames = 5, comb_length = «\"480 mm\"»",
            "the combs of 480 mm do not fit: the box is 467 mm long inside",
            "at most 467 mm",
        ),
        (
            "\"75 x 9 mm\"",
            "«\"390 x 9 mm\"»",
            "390 mm wide is larger than the wall it is in, 375 mm",
            "at most 375 mm",
        ),
        (
            "\"75 x 9 mm\"",
            "«\"75 x 25 mm\"»",
            "does not fit under the frames",
            "floor.space",
        ),
        (
            "entrance = \"75 x 9 mm\"",
            "entrance = \"75 x 9 mm\"\nupper_hole = «\"200 mm\"»",
            "200 mm high is larger than the wall",
            "at most 168 mm",
        ),
        (
            "entrance = \"75 x 9 mm\"",
            "entrance = \"75 x 9 mm\"\nupper_hole = { size = \"20 mm\", box = «3» }",
            "there is no box 3: the hive has 2",
            "1 (lowest) to 2",
        ),
        (
            "honey_frames = 5",
            "honey_frames = 5, depth = «\"0 mm\"»",
            "outside what is plausible",
            "20 mm to 700 mm",
        ),
        (
            "honey_frames = 5",
            "honey_frames = 5, frames = «9.5»",
            "must be a whole number",
            "whole",
        ),
        (
            "honey_frames = 5",
            "honey_frames = 5, frames = «\"9\"»",
            "must be a plain number",
            "without quotes",
        ),
        (
            "frames_of_bees = 5",
            "bees = «\"9 kg\"»",
            "cannot sit on these frames",
            "at most 3.6 kg",
        ),
    ]);
}

#[test]
fn hives_and_joints_must_agree() {
    check(&[
        (
            "\"Right\"",
            "«\"left\"»",
            "two hives are called \"left\"",
            "a name of its own",
        ),
        (
            "state = \"touching\"",
            "state = \"touching\"\ngap = «\"38 mm\"»",
            "boxes that touch have no gap of 38 mm",
            "0 mm",
        ),
        (
            "state = \"touching\"",
            "state = \"open\"\ngap = «\"0 mm\"»",
            "no state but \"touching\"",
            "touching",
        ),
        (
            "state = \"touching\"",
            "state = \"apart\"\none_cover = «true»",
            "stand apart have no one_cover",
            "or the state open, taped, foam or touching",
        ),
        (
            "state = \"touching\"",
            "state = \"closed\"\ngap = «\"10 mm\"»\ncentre_wall = \"6 mm plywood\"",
            "leaves no gap",
            "touching",
        ),
        (
            "state = \"touching\"",
            "state = \"closed\"\ngap = \"10 mm\"\nfiller = «\"eps\"»",
            "only in a gap whose state is \"foam\"",
            "foam",
        ),
        (
            "entrance = \"75 x 9 mm\"",
            "entrance = \"75 x 9 mm\"\nheater = «{ power = \"10 W\" }»",
            "a heater and a colony in one hive",
            "one of the two",
        ),
        (
            "cover = \"flush\"",
            "cover = { kind = \"flush\", overhang = «\"19 mm\"» }",
            "a flush cover has no overhang",
            "telescoping",
        ),
        (
            "cover = \"flush\"",
            "cover = \"flush\"\nfloor = { kind = \"mesh\", board = «\"19 mm pine\"» }",
            "an open mesh floor has no board",
            "solid",
        ),
    ]);
}

#[test]
fn the_dates_must_follow_each_other() {
    check(&[
        (
            "\"19 May\"",
            "«\"1 Oct\"»",
            "first nectar on 1 October does not follow a start on 1 October",
            "60 to 310 days",
        ),
        (
            "\"19 May\"",
            "«\"1 Sep\"»",
            "first nectar on 1 September does not follow",
            "spring",
        ),
        ("\"19 May\"", "«\"31 Apr\"»", "April has no day 31", "1 Oct"),
        (
            "\"19 May\"",
            "«\"19 May 2025\"»",
            "has a year",
            "leave out the year",
        ),
        (
            "\"19 May\"",
            "«2025-05-19»",
            "must be a day of the year in quotes",
            "leave out the year",
        ),
        ("\"19 May\"", "«\"29 Feb\"»", "not in every year", "28 Feb"),
        (
            "\"19 May\"",
            "\"19 May\"\nbrood_start = «\"1 Jun\"»",
            "brood_start must lie between",
            "in this order",
        ),
        (
            "\"19 May\"",
            "\"19 May\"\nbrood_full = «\"1 Jan\"»",
            "brood_full must come after brood_start",
            "in this order",
        ),
        (
            "\"19 May\"",
            "\"19 May\"\nfirst_dandelion = «\"12 May\"»",
            "both given",
            "one of the two",
        ),
        (
            "\"9 in 10\"",
            "«\"9 of 10\"»",
            "is no share of winters",
            "9 in 10",
        ),
        (
            "\"9 in 10\"",
            "«\"10 in 10\"»",
            "outside what is plausible",
            "0.5 to 0.99",
        ),
        (
            "shelter = \"partly\"",
            "latitude = «\"95 N\"»",
            "outside what is plausible",
            "-70 deg to 70 deg",
        ),
        (
            "shelter = \"partly\"",
            "latitude = «\"N 47\"»",
            "no number",
            "an angle",
        ),
    ]);
}

#[test]
fn stores_and_scale_must_add_up() {
    check(&[
        (
            "[hive.colony]\nframes_of_bees = 5\ncounted_at = \"8 C\"\nhoney = \"15 kg\"",
            "scale = «{ whole = \"15 kg\", tare = \"14 kg\" }»\n[hive.colony]\nframes_of_bees = 5",
            "the reading leaves -1.55 kg (-3.4 lb) for stores",
            "look at the tare: as pounds it would make sense",
        ),
        (
            "[hive.colony]\nframes_of_bees = 5\ncounted_at = \"8 C\"\nhoney = \"15 kg\"",
            "scale = «{ whole = \"95 kg\", tare = \"14 kg\" }»\n[hive.colony]\nframes_of_bees = 5",
            "of honey do not fit",
            "check reading and tare",
        ),
        (
            "entrance = \"75 x 9 mm\"",
            "scale = «{ front = \"28 kg\" }»",
            "only one of front and back",
            "lift the other end",
        ),
        (
            "entrance = \"75 x 9 mm\"",
            "scale = «{ front = \"28 kg\", back = \"28 kg\", whole = \"56 kg\" }»",
            "more than one way",
            "front and back",
        ),
    ]);
}

/// Would catch a missing value that is silently taken as something.
#[test]
fn what_cannot_be_taken_for_granted_is_asked_for() {
    for (old, new, what) in [
        ("climate = \"champion\"\n", "", "no weather record is named"),
        ("frames_of_bees = 5\n", "", "does not say how many bees"),
        ("honey = \"15 kg\"\n", "", "does not say how much honey"),
        (
            "boxes = [\"eight-frame deep\"]\n",
            "",
            "hive.Right has no boxes",
        ),
        (
            "boxes = [\"eight-frame deep\"]\n",
            "boxes = []\n",
            "has 0 boxes",
        ),
        (
            "[\"eight-frame deep\"]",
            "[\"Zander-type\"]",
            "Zander-type needs your own measure of: length, width, depth, frames",
        ),
        (
            "[\"eight-frame deep\"]",
            "[\"Dadant-type\"]",
            "length, width, depth, frames, comb_length, comb_height",
        ),
        (
            "[\"eight-frame deep\"]",
            "[{ depth = \"200 mm\" }]",
            "a box without a pattern needs your own measure of",
        ),
        (
            "state = \"touching\"\n",
            "",
            "does not say how the hives stand",
        ),
        (
            "state = \"touching\"",
            "state = \"open\"",
            "the width of the gap is missing",
        ),
        (
            "state = \"touching\"",
            "state = \"foam\"\ngap = \"25 mm\"",
            "needs to say which",
        ),
        (
            "[[between]]\nstate",
            "[[between]]\nstate = \"open\"\ngap = \"1 in\"\n[[between]]\nstate",
            "2 [[between]] for 2 hive(s)",
        ),
        (
            "[every_hive]",
            "[[material]]\nname = \"hemp\"\n[every_hive]",
            "the new material \"hemp\" has no conductivity",
        ),
        (
            "top = \"50 mm xps\"",
            "top = { material = \"xps\" }",
            "this layer has no thickness",
        ),
        (
            "top = \"50 mm xps\"",
            "top = { material = \"xps\", thickness = \"1 in\", r_value = \"R-5\" }",
            "a thickness or an R-value, not both",
        ),
        (
            "top = \"50 mm xps\"",
            "top = \"xps\"",
            "is not a layer of material",
        ),
    ] {
        let problems = bad(&pair_with(old, new));
        assert!(
            problems.0.iter().any(|p| p.what.contains(what)),
            "wanted: {what}\n{problems}"
        );
    }
}

#[test]
fn none_and_five_hives_are_refused() {
    let head = "[site]\nclimate = \"champion\"\n[season]\nfirst_nectar = \"19 May\"\n";
    assert!(bad(head).to_string().contains("the scenario has no hive"));
    assert!(bad("").to_string().contains("the scenario has no hive"));
    let hive = "[[hive]]\nboxes = [\"ten-frame deep\"]\ncolony = { frames_of_bees = 8, honey = \"20 kg\" }\n";
    let joint = "[[between]]\nstate = \"apart\"\n";
    let four = format!("{head}{}{}", hive.repeat(4), joint.repeat(3));
    assert_eq!(crate::good(&four).scenario.stacks.len(), 4);
    let five = format!("{head}{}{}", hive.repeat(5), joint.repeat(4));
    let problems = bad(&five);
    let p = problems
        .0
        .iter()
        .find(|p| p.what == "5 hives in a row")
        .expect("refused for its number");
    // The mark is on the fifth header.
    assert_eq!(p.place.as_ref().map(|q| q.line), Some(5 + 4 * 3));
}

/// Catches honey, holes and lids held against a hive of which one box could not be read: only the box is told, and slips that do not
/// hang on it.
#[test]
fn an_unknown_box_brings_no_false_errors_with_it() {
    let text = pair_with(
        "  { pattern = \"ten-frame medium\", honey_frames = 9 },",
        "  { pattern = «\"ten-fram medum\"», honey_frames = 9 },",
    )
    .replace(
        "pollen = \"1.5 kg\"",
        "pollen = \"1.5 kg\"\nhoney = \"40 kg\"",
    )
    .replace(
        "entrance = \"75 x 9 mm\"",
        "entrance = \"75 x 9 mm\"\nupper_hole = { size = \"20 mm\", box = 2 }",
    )
    .replace(
        "state = \"touching\"",
        "state = \"touching\"\none_cover = true",
    );
    let (text, place) = marked(&text);
    let problems = bad(&text);
    assert!(at(&problems, place).what.contains("no box pattern"));
    assert_eq!(problems.0.len(), 1, "{problems}");
    let problems = bad(&text.replace(
        "counted_at = \"8 C\"\npollen",
        "cuonted_at = \"8 C\"\npollen",
    ));
    assert_eq!(problems.0.len(), 2, "{problems}");
}

/// Catches a word that keepers use and that is only met with a list, and a place told in words that do not stand in the file.
#[test]
fn words_and_places_are_those_of_keepers_and_file() {
    check(&[(
        "state = \"touching\"",
        "state = «\"together\"»",
        "\"together\" is not a choice",
        "write \"touching\" when the boards touch",
    )]);
    for (old, new, place) in [
        (
            "name = \"Right\"",
            "name = \"Right\"\nfeeder = 1",
            "[[hive]] Right",
        ),
        ("name = \"Right\"", "feeder = 1", "[[hive]] number 2"),
        (
            "counted_at = \"8 C\"\npollen",
            "cunted = \"8 C\"\npollen",
            "[hive.colony] of Left",
        ),
        (
            "honey = \"15 kg\"",
            "honey = \"15 kg\"\n[[hive.feed]]\ndate = \"5 Oct\"\nkind = \"fondant\"\namount = \"1 kg\"\nx = 1",
            "[[hive.feed]] number 1 of Right",
        ),
        (
            "state = \"touching\"",
            "state = \"touching\"\nx = 1",
            "[[between]] number 1",
        ),
        (
            "reserve = \"3 kg\"",
            "reserve = \"3 kg\"\nx = 1",
            "the file",
        ),
    ] {
        let said = bad(&pair_with(old, new)).to_string();
        assert!(
            said.contains(&format!("is not a setting of {place}")),
            "{said}"
        );
    }
    for unknown in ["my-hive", "larchflats"] {
        let said = partywall::files::open(unknown).unwrap_err();
        let help = said.0[0].help.clone().unwrap();
        assert!(
            help.contains("larch-flats") && help.contains("single"),
            "{help}"
        );
    }
}
