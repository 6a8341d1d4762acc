//! Variants: what a patch can say, and where what is wrong with it is shown.

use partywall::problem::Severity;
use partywall::scenario::{Family, Source, built_in_text};
use partywall::stand::{GapState, Joint, Scenario};

const BASE: &str = r#"title = "pair"
[site]
climate = "champion"
[every_hive]
top = "50 mm xps"
wrap = true
[[hive]]
name = "Left"
boxes = ["ten-frame deep", "ten-frame medium"]
colony = { frames_of_bees = 8, honey = "25 kg" }
[[hive]]
name = "Right"
boxes = [{ pattern = "eight-frame deep", honey_frames = 6 }]
colony = { frames_of_bees = 4 }
feed = [{ date = "3 Oct", kind = "syrup", amount = "4 L" }]
[[between]]
state = "touching"
"#;

fn family(variants: &str) -> Family {
    let text = format!("{BASE}{variants}");
    Source::new(&text, "pair.toml", None)
        .family()
        .unwrap_or_else(|p| panic!("{p}"))
}

fn one(patch: &str) -> Scenario {
    let f = family(&format!("[[variant]]\nname = \"v\"\n{patch}\n"));
    f.variants.into_iter().next().unwrap().loaded.scenario
}

/// All errors as "line:column: what".
fn problems(variants: &str) -> Vec<String> {
    let text = format!("{BASE}{variants}");
    let found = Source::new(&text, "pair.toml", None).family().unwrap_err();
    found
        .0
        .iter()
        .filter(|p| p.severity == Severity::Error)
        .map(|p| {
            let place = p.place.as_ref().unwrap();
            format!("{}:{}: {}", place.line, place.column, p.what)
        })
        .collect()
}

/// Catches a patch that changes more or less than it says, or the scenario it is put on.
#[test]
fn a_patch_changes_what_it_says() {
    let f = family("[[variant]]\nname = \"v\"\nhive.Right.boxes.1.honey_frames = 4\n");
    let (base, new) = (&f.base.scenario, &f.variants[0].loaded.scenario);
    assert_eq!(base.stacks[0], new.stacks[0]);
    assert_eq!(base.stacks[1].boxes[0].honey_frames, 6.0);
    assert_eq!(new.stacks[1].boxes[0].honey_frames, 4.0);
    assert_eq!(new.stacks[1].boxes[0].pattern, "eight-frame deep");
    assert_eq!(
        base,
        &Source::new(BASE, "pair.toml", None)
            .family()
            .unwrap()
            .base
            .scenario
    );
}

/// Catches elements that are not found by number or name, boxes written as a word that cannot be changed, and lists that
/// cannot be added to.
#[test]
fn elements_by_name_and_number() {
    let by_number = one("hive.1.boxes.2 = { frames = 8, followers = 1 }");
    let by_name = one("hive.left.boxes.2.frames = 8\nhive.left.boxes.2.followers = 1");
    assert_eq!(by_number, by_name);
    let medium = &by_number.stacks[0].boxes[1];
    assert_eq!((medium.frames, medium.followers), (8, 1));
    assert_eq!(medium.pattern, "ten-frame medium");
    let fed = one("hive.Right.feed.2 = { date = \"5 Oct\", kind = \"syrup\", amount = \"6 L\" }");
    assert_eq!(fed.stacks[1].colony.as_ref().unwrap().feeds.len(), 2);
    let higher = one("hive.Right.boxes.2 = \"eight-frame medium\"");
    assert_eq!(higher.stacks[1].boxes.len(), 2);
    let open = one("between.1 = { state = \"open\", gap = \"40 mm\" }");
    let Joint::Adjoining { state, .. } = &open.joints[0] else {
        panic!("apart")
    };
    assert_eq!(*state, GapState::Open);
}

/// Catches a setting that cannot be taken away, or takes others with it.
#[test]
fn settings_can_be_removed() {
    let bare = one(
        "remove = [\"every_hive.wrap\", \"hive.Right.colony\", \"hive.Right.feed\", \"hive.1.boxes.2\"]",
    );
    assert!(bare.stacks[1].colony.is_none());
    assert_eq!(bare.stacks[0].boxes.len(), 1);
    assert!(bare.stacks.iter().all(|k| k.cladding.front.is_empty()));
    assert!(
        bare.stacks.iter().all(|k| k.top.len() == 2),
        "inner cover and foam stay"
    );
}

/// Catches layers that are merged with what was there instead of taking its place.
#[test]
fn materials_are_replaced_whole() {
    let text = BASE.replace(
        "top = \"50 mm xps\"",
        "top = { material = \"xps\", thickness = \"50 mm\" }",
    );
    let text = format!(
        "{text}[[variant]]\nname = \"v\"\nevery_hive.top = {{ material = \"eps\", r_value = \"R-10\" }}\n"
    );
    let f = Source::new(&text, "pair.toml", None).family().unwrap();
    assert_eq!(
        f.variants[0].loaded.scenario.stacks[0].top[1].material,
        "eps"
    );
}

/// Catches a variant that goes on from another and loses what that one said.
#[test]
fn variants_go_on_from_others() {
    let f = family(
        "[[variant]]\nname = \"a\"\nsite.shelter = \"open\"\n[[variant]]\nname = \"b\"\nbased_on = \"A\"\nhive.Left.top = false\n",
    );
    let b = &f.variants[1].loaded.scenario;
    assert_eq!(b.site.shelter, f.variants[0].loaded.scenario.site.shelter);
    assert_ne!(b.site.shelter, f.base.scenario.site.shelter);
    assert_eq!(b.stacks[0].top.len(), 1, "the inner cover only");
}

/// Catches problems of variants that are lost, told at the wrong place, told for each variant again, or out of order.
#[test]
fn problems_come_with_their_place_in_the_variant() {
    let lines = BASE.lines().count();
    let found = problems(
        "[[variant]]\nname = \"a\"\nhive.Left.top = \"50 xps\"\n[[variant]]\nname = \"a\"\n[[variant]]\nhive.Rigth.wrap = false\n\
         [[variant]]\nname = \"c\"\nhive.Rigth.wrap = false\nsite.shelterr = \"open\"\nhive.Right.boxes.4.frames = 3\n\
         [[variant]]\nname = \"d\"\nbased_on = \"z\"\n[[variant]]\nname = \"e\"\nremove = [\"hive.Left.wings\"]\nvariant = 1\n",
    );
    let at = |line: usize, column: usize, what: &str| {
        let start = format!("{}:{column}: ", lines + line);
        assert!(
            found
                .iter()
                .any(|p| p.starts_with(&start) && p.contains(what)),
            "{start}{what} not in {found:#?}"
        );
    };
    at(3, 17, "variant \"a\": ");
    at(3, 17, "50 xps");
    at(5, 8, "two variants");
    at(7, 1, "no name");
    at(10, 6, "variant \"c\": ");
    at(10, 6, "Rigth");
    at(11, 6, "shelterr");
    at(12, 18, "no number 4");
    at(15, 12, "variant \"d\": no variant before");
    at(18, 11, "hive.Left.wings");
    at(19, 1, "a variant in a variant");
    assert_eq!(found.len(), 9, "{found:#?}");
    let numbers: Vec<usize> = found
        .iter()
        .map(|p| p.split(':').next().unwrap().parse().unwrap())
        .collect();
    assert!(numbers.is_sorted(), "{found:#?}");
}

/// Catches what is wrong with the scenario told once more for each variant, or with one variant once more for those that go on from it.
#[test]
fn what_is_wrong_with_the_scenario_is_told_once() {
    let text = BASE.replace("frames_of_bees = 8", "frames_of_bees = 80");
    let text = format!(
        "{text}[[variant]]\nname = \"a\"\nsite.shelter = \"open\"\n[[variant]]\nname = \"b\"\nhive.Left.top = 3\n"
    );
    let found = Source::new(&text, "pair.toml", None).family().unwrap_err();
    let bees = found.0.iter().filter(|p| p.what.contains("80")).count();
    assert_eq!(bees, 1, "{found}");
    assert!(found.to_string().contains("top"), "{found}");
    let found = problems(
        "[[variant]]\nname = \"a\"\nhive.Left.top = \"50 xps\"\n[[variant]]\nname = \"b\"\nbased_on = \"a\"\nsite.shelter = \"open\"\n",
    );
    assert_eq!(found.len(), 1, "{found:#?}");
    assert!(found[0].contains("variant \"a\": "), "{found:#?}");
}

/// Catches a word for every hive that no hive listens to and nobody is told of.
#[test]
fn words_that_change_nothing_are_warned_of() {
    let text = BASE
        .replace("name = \"Left\"", "name = \"Left\"\ntop = false")
        .replace("name = \"Right\"", "name = \"Right\"\ntop = false");
    let text = format!("{text}[[variant]]\nname = \"a\"\nevery_hive.top = \"25 mm eps\"\n");
    let f = Source::new(&text, "pair.toml", None).family().unwrap();
    let warned = &f.variants[0].loaded.warnings;
    assert!(warned.to_string().contains("changes nothing"), "{warned}");
    assert!(!f.base.warnings.to_string().contains("changes nothing"));
}

/// Catches patches of the program's own that are read otherwise than those of a file.
#[test]
fn own_patches_are_read_like_those_of_a_file() {
    let patch = "hive.2.top = [\"75 mm xps\"]\nsite.shelter = \"open\"";
    let own = Source::new(BASE, "pair.toml", None).with(patch).unwrap();
    assert_eq!(own.scenario, one(patch));
    let bad = Source::new(BASE, "pair.toml", None).with("hive.3.top = false");
    assert!(bad.unwrap_err().to_string().contains("3"));
}

/// Catches a demo file whose variants do not say what their names promise.
#[test]
fn the_twelve_are_what_they_are_called() {
    let text = built_in_text("larch-twelve").unwrap();
    let f = Source::new(text, "larch-twelve", None).family().unwrap();
    let letters: String = f
        .variants
        .iter()
        .filter_map(|v| v.name.chars().next())
        .collect();
    assert_eq!(letters, "abcefghijkl", "d is the scenario as written");
    let of = |c: char| {
        &f.variants
            .iter()
            .find(|v| v.name.starts_with(c))
            .unwrap()
            .loaded
            .scenario
    };
    let base = &f.base.scenario;
    let same = |s: &Scenario| {
        s.stacks
            .iter()
            .zip(&base.stacks)
            .all(|(a, b)| a.boxes == b.boxes)
    };
    assert!(matches!(of('a').joints[0], Joint::Apart) && same(of('a')));
    assert_eq!(of('b').stacks, of('a').stacks);
    assert!(of('c').stacks[0].cladding.front.is_empty());
    assert_eq!(of('c').joints, base.joints);
    assert_eq!(of('f').stacks[0], base.stacks[0]);
    let g = &of('g').stacks[1];
    assert!((g.boxes[0].width - 0.413).abs() < 1e-9 && g.boxes[0].frames == 8);
    let bees = |s: &Scenario, i: usize| s.stacks[i].colony.as_ref().map(|c| c.bees);
    assert_eq!(bees(of('i'), 1), None);
    let sum = bees(base, 0).unwrap() + bees(base, 1).unwrap();
    assert!((bees(of('i'), 0).unwrap() - sum).abs() < 1e-6);
    assert_eq!(of('j').stress.colder, 4.0);
    assert!(of('l').stacks.iter().all(|k| k.openings.len() == 1));
}
