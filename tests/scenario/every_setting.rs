//! Would catch a setting that is allowed and then ignored, which would give an answer for another hive than the keeper's.

use crate::good;

/// Every setting there is, but for those that exclude each other; `ALSO` has the rest.
const ALL: &str = r#"
title = "All"
level = "19 in 20"
reserve = "4 kg"
[site]
name = "Somewhere"
climate = "champion"
latitude = "47.2 N"
longitude = "75 W"
elevation = "420 m"
shelter = "open"
entrances_face = "south-east"
stand_height = "45 cm"
snow_cover = true
[season]
start = "20 Sep"
first_nectar = "25 May"
brood_start = "10 Feb"
brood_full = "20 Mar"
[stress]
colder = "3 C"
late_spring = "14 days"
[parameters]
death_rate = 0.004
[[material]]
name = "hemp"
conductivity = "0.04 W/mK"
density = "40 kg/m3"
specific_heat = "1500 J/kgK"
[every_hive]
walls = "22 mm spruce"
finish = "white"
inner_cover = "9 mm plywood"
top = ["25 mm hemp", "R-5 xps"]
side_foam = { front = "10 mm eps", back = "20 mm eps", left = "30 mm eps", right = "40 mm eps" }
wrap = "2 mm bitumen-felt"
floor = { kind = "solid", board = "22 mm spruce", under = "25 mm xps", space = "30 mm" }
cover = { kind = "telescoping", layers = "12 mm plywood", overhang = "10 mm", skirt = "60 mm", space = "5 mm", finish = "black" }
[[hive]]
name = "A"
entrance = "60 x 8 mm"
upper_hole = { size = "16 mm", box = 1, above_box_bottom = "80 mm" }
top_notch = "75 x 6 mm"
ledge = { shelf = true, shelf_thickness = "12 mm", filler = "eps", filler_thickness = "50 mm" }
scale = { front = "24 kg", back = "24 kg", lift = "front and back", tare = "24 kg" }
[[hive.boxes]]
pattern = "eight-frame deep"
length = "506 mm"
width = "352 mm"
depth = "245 mm"
walls = "19 mm pine"
frames = 7
pitch = "36 mm"
comb_length = "425 mm"
comb_height = "202 mm"
comb_thickness = "24 mm"
full_frame = "2.6 kg"
frames_at = "right"
followers = 1
follower_thickness = "15 mm"
filler = "wool"
honey_frames = 3
[[hive.boxes]]
inside_length = "467 mm"
inside_width = "375 mm"
depth = "168 mm"
frames = 9
comb_length = "428 mm"
comb_height = "133 mm"
honey_frames = 7
[hive.colony]
frames_of_bees = 6
counted_at = "7 C"
counted_in_box = 1
honey = "20 kg"
pollen = "1.2 kg"
club_stores = "36 kg"
dies = "10 Jan"
[[hive.feed]]
date = "2 Oct"
kind = "syrup"
strength = "3:2"
amount = "8 L"
[[hive.feed]]
date = "20 Feb"
kind = "honey frames"
box = 2
frame = 3
amount = "1.1 kg"
[[hive]]
boxes = [{ inside_length = "430 mm", inside_width = "300 mm", depth = "245 mm" }]
heater = { power = "10 W", box = 1 }
[[between]]
state = "foam"
gap = "40 mm"
filler = "eps"
one_cover = false
"#;

/// Changes that bring in the settings the first text cannot have.
const ALSO: &[(&str, &str)] = &[
    ("first_nectar = \"25 May\"", "first_dandelion = \"18 May\""),
    (
        "frames_of_bees = 6\ncounted_at = \"7 C\"\ncounted_in_box = 1",
        "bees = \"1.8 kg\"",
    ),
    (
        "front = \"24 kg\", back = \"24 kg\", lift = \"front and back\"",
        "whole = \"48 kg\"",
    ),
    ("amount = \"8 L\"", "sugar = \"7 kg\""),
    (
        "honey_frames = 7",
        "honey_frames = [1, 1, 0.9, 0.8, 0.7, 0.7, 0.5, 0.8, 0.6]",
    ),
    (
        "front = \"24 kg\", back = \"24 kg\", lift = \"front and back\"",
        "one_side = \"24 kg\"",
    ),
    (
        "state = \"foam\"\ngap = \"40 mm\"\nfiller = \"eps\"",
        "state = \"touching\"\ncentre_wall = \"6 mm plywood\"",
    ),
];

/// Keys of a text: the words before an equals sign.
fn keys(text: &str) -> Vec<&str> {
    text.split('=')
        .filter_map(|before| {
            before
                .split(|c: char| !c.is_alphanumeric() && c != '_')
                .rfind(|w| !w.is_empty())
        })
        .collect()
}

fn all_are_told(text: &str) {
    let loaded = good(text);
    // Tables are told by what is in them; a name is told by the path.
    let silent = [
        "title",
        "name",
        "boxes",
        "side_foam",
        "floor",
        "cover",
        "upper_hole",
        "heater",
        "scale",
        "ledge",
        "size",
        "lift",
    ];
    let mut keys = keys(text);
    keys.pop();
    for key in keys.iter().filter(|k| !silent.contains(k)) {
        let told = loaded.readings.iter().any(|r| {
            let last = r.path.rsplit('.').next().unwrap_or("");
            r.written.is_some() && last.split(' ').next() == Some(*key)
        });
        assert!(told, "{key} is not told: is it used?");
    }
}

#[test]
fn every_setting_is_used_and_told() {
    all_are_told(ALL);
    for (old, new) in ALSO {
        assert_eq!(ALL.matches(old).count(), 1, "{old}");
        all_are_told(&ALL.replace(old, new));
    }
}

/// Would catch a setting that is told and still not used: every one that is changed changes the scenario.
#[test]
fn every_setting_changes_the_scenario() {
    let base = good(ALL).scenario;
    let mut changed = 0;
    for (i, line) in ALL.lines().enumerate() {
        let Some((key, value)) = line.split_once(" = ") else {
            continue;
        };
        // A count taken at another temperature or in another box is the same count; the scale is only compared with the honey given.
        if [
            "counted_at",
            "climate",
            "name",
            "boxes",
            "heater",
            "top",
            "side_foam",
            "floor",
            "cover",
            "upper_hole",
            "ledge",
            "scale",
            // Another kind of feed has other settings.
            "kind",
        ]
        .contains(&key)
        {
            continue;
        }
        let others: Vec<String> = match value.trim_matches('"') {
            "true" => vec!["false".into()],
            "false" => vec!["true".into()],
            v if v != "3:2"
                && value.starts_with('"')
                && v.starts_with(|c: char| c.is_ascii_digit()) =>
            {
                let digits: String = v
                    .chars()
                    .take_while(|c| c.is_ascii_digit() || *c == '.')
                    .collect();
                let n: f64 = digits.parse().unwrap();
                let step = if n > 100.0 || n.fract() != 0.0 {
                    n * 1.002
                } else {
                    n + 1.0
                };
                [step, n * 0.999, n - 1.0]
                    .iter()
                    .map(|x| format!("\"{x}{}\"", &v[digits.len()..]))
                    .collect()
            }
            v if !value.starts_with('"') => {
                let n: f64 = v.parse().unwrap();
                vec![format!("{}", n - 1.0), format!("{}", n * 0.9)]
            }
            "open" => vec!["\"sheltered\"".into()],
            "south-east" => vec!["\"west\"".into()],
            "white" => vec!["\"black\"".into()],
            "right" => vec!["\"left\"".into()],
            "wool" | "eps" => vec!["\"straw\"".into()],
            "eight-frame deep" => vec!["\"ten-frame deep\"".into()],
            "foam" => vec!["\"open\"\n#".into()],
            "3:2" => vec!["\"1:1\"".into()],
            _ => vec![format!("\"{} too\"", value.trim_matches('"'))],
        };
        let mut taken = false;
        for other in others {
            let mut lines: Vec<String> = ALL.lines().map(str::to_owned).collect();
            lines[i] = format!("{key} = {other}");
            if let Ok(l) = partywall::scenario::parse(&lines.join("\n"), "x", None) {
                taken = true;
                changed += 1;
                assert_ne!(
                    l.scenario, base,
                    "{key}: {value} and {other} give the same scenario"
                );
                break;
            }
        }
        assert!(
            taken || key == "counted_in_box" || key == "state",
            "no other value of {key} = {value} is taken"
        );
    }
    assert!(changed > 40, "only {changed} settings were changed");
}
