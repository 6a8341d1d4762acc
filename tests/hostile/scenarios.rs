//! Scenarios.

use super::{Case, file};
use std::fmt::Write;
use std::path::Path;

/// A hive to spoil.
const HIVE: &str = r#"title = "T"
level = "9 in 10"
reserve = "3 kg"
[site]
climate = "champion"
latitude = "40.4 N"
shelter = "sheltered"
[season]
start = "1 Oct"
first_dandelion = "12 May"
[[hive]]
name = "One"
boxes = [{ pattern = "five-frame deep", honey_frames = 3.5 }]
walls = "19 mm pine"
top = "25 mm eps"
entrance = "75 x 9 mm"
[hive.colony]
frames_of_bees = 4
"#;

/// What is written in place of what, and what is said of it.
const SPOILT: [(&str, &str, &str); 62] = [
    ("\"9 in 10\"", "0", "level"),
    ("\"9 in 10\"", "nan", "level"),
    ("\"9 in 10\"", "\"11 in 10\"", "level"),
    ("\"3 kg\"", "\"-3 kg\"", "reserve"),
    ("\"3 kg\"", "\"3\"", "reserve"),
    ("\"3 kg\"", "\"1e300 kg\"", "reserve"),
    ("\"3 kg\"", "\"inf kg\"", "reserve"),
    ("\"3 kg\"", "[\"3 kg\"]", "reserve"),
    ("\"3 kg\"", "\"3 miles\"", "reserve"),
    ("\"3 kg\"", "3", "reserve"),
    ("title = \"T\"", "title = 7", "title"),
    ("title = \"T\"", "title = \"\"", "title"),
    ("title = \"T\"", "title = \"T\"\ntitle = \"U\"", "title"),
    (
        "title = \"T\"",
        "titel = \"T\"",
        "\"titel\" is not a setting",
    ),
    ("\"champion\"", "\"champoin\"", "champion"),
    ("\"champion\"", "\"no/such.csv\"", "no weather file"),
    ("\"champion\"", "\"../../../../etc/passwd\"", "passwd"),
    ("\"champion\"", "\"/etc\"", "/etc"),
    ("\"champion\"", "\"\"", "climate"),
    ("\"champion\"", "17", "climate"),
    ("\"40.4 N\"", "\"140.4 N\"", "latitude"),
    ("\"40.4 N\"", "\"40.4 E\"", "latitude"),
    ("\"40.4 N\"", "\"40.4 S\"", "summer"),
    ("\"sheltered\"", "\"cosy\"", "cosy"),
    ("\"1 Oct\"", "\"31 Sep\"", "start"),
    ("\"1 Oct\"", "\"0 Oct\"", "start"),
    ("\"1 Oct\"", "\"1 Vendémiaire\"", "start"),
    ("\"1 Oct\"", "\"12 May\"", "first nectar"),
    ("\"12 May\"", "\"30 Feb\"", "first_dandelion"),
    ("[[hive]]", "[hive", "expected"),
    ("[[hive]]", "[[hives]]", "hives"),
    ("name = \"One\"", "name = []", "name"),
    (
        "name = \"One\"",
        "name = \"One\"\n[[hive]]\nname = \"one\"",
        "boxes",
    ),
    ("five-frame deep", "five-frame depp", "five-frame deep"),
    ("five-frame deep", "ninety-frame deep", "pattern"),
    ("honey_frames = 3.5", "honey_frames = -1", "honey_frames"),
    ("honey_frames = 3.5", "honey_frames = 99", "honey"),
    ("honey_frames = 3.5", "honey_frames = nan", "honey_frames"),
    (
        "honey_frames = 3.5",
        "honey_frames = [1, 1]",
        "honey_frames",
    ),
    ("honey_frames = 3.5", "frames = 4_000_000_000", "frames"),
    (
        "honey_frames = 3.5",
        "frames = 99999999999999999999",
        "frames",
    ),
    ("boxes = [{", "boxes = [[{", "expected"),
    (
        "boxes = [{ pattern = \"five-frame deep\", honey_frames = 3.5 }]",
        "boxes = []",
        "0 boxes",
    ),
    (
        "boxes = [{ pattern = \"five-frame deep\", honey_frames = 3.5 }]",
        "boxes = { }",
        "box",
    ),
    ("\"19 mm pine\"", "\"19 mm\"", "layer"),
    ("\"19 mm pine\"", "\"19 pine\"", "layer"),
    ("\"19 mm pine\"", "\"0 mm pine\"", "walls"),
    ("\"19 mm pine\"", "\"90 m pine\"", "walls"),
    ("\"19 mm pine\"", "\"19 mm unobtainium\"", "unobtainium"),
    ("\"19 mm pine\"", "\"R-5\"", "layer"),
    (
        "\"19 mm pine\"",
        "{ material = \"pine\", thickness = \"1 mm\", r_value = \"R-1\" }",
        "thick",
    ),
    ("\"25 mm eps\"", "\"R-400 eps\"", "top"),
    ("\"75 x 9 mm\"", "\"75 x 9\"", "entrance"),
    ("\"75 x 9 mm\"", "\"75000 x 9 mm\"", "entrance"),
    ("\"75 x 9 mm\"", "\"-75 x 9 mm\"", "entrance"),
    (
        "frames_of_bees = 4",
        "frames_of_bees = 400",
        "frames_of_bees",
    ),
    (
        "frames_of_bees = 4",
        "frames_of_bees = \"four\"",
        "frames_of_bees",
    ),
    ("frames_of_bees = 4", "honey = \"-0 lb\"", "honey"),
    (
        "frames_of_bees = 4",
        "frames_of_bees = 4\nhoney = \"900 kg\"",
        "honey",
    ),
    (
        "frames_of_bees = 4",
        "frames_of_bees = 4\nwritten_by = 1",
        "written_by",
    ),
    ("[hive.colony]", "[hive.colony.colony]", "colony"),
    (
        "[hive.colony]",
        "[[written_by_the_program]]\n[hive.colony]",
        "written_by_the_program",
    ),
];

fn spoilt(dir: &Path) -> Vec<Case> {
    let each = SPOILT.iter().enumerate();
    each.map(|(i, (from, to, says))| {
        assert!(HIVE.contains(from), "{from}");
        let path = file(dir, &format!("spoilt-{i}.toml"), HIVE.replacen(from, to, 1));
        Case::refused(&format!("{to} for {from}"), &["check", &path], says)
    })
    .collect()
}

/// Texts of many parts, under the largest size of a file.
fn large(dir: &Path) -> Vec<Case> {
    let list = |n: usize, one: &str| format!("[{}]", vec![one; n].join(", "));
    let layers = HIVE.replacen("\"19 mm pine\"", &list(60_000, "\"1 mm pine\""), 1);
    let boxes = HIVE.replacen(
        "[{ pattern",
        &format!("[{} {{ pattern", "\"x\", ".repeat(50_000)),
        1,
    );
    let mut removes = HIVE.to_owned();
    for i in 0..40 {
        let _ = write!(
            removes,
            "[[variant]]\nname = \"v{i}\"\nremove = {}\n",
            list(800, "\"every_hive.wrap\"")
        );
    }
    let mut unknown = String::new();
    for i in 0..45_000 {
        let _ = writeln!(unknown, "key{i} = {i}");
    }
    let feeds = "[[hive.feed]]\ndate = \"x\"\n".repeat(35_000);
    let hives = "[[hive]]\n".repeat(100_000);
    let materials = "[[material]]\nname = \"m\"\n".repeat(35_000);
    let variants = "[[variant]]\n".repeat(80_000);
    let deep = format!("{HIVE}x = {}{}\n", "[".repeat(40_000), "]".repeat(40_000));
    let dotted = format!("{HIVE}{} = 1\n", vec!["a"; 40_000].join("."));
    let name = format!("\"{}\" = 1\n", "n".repeat(900_000));
    let text = HIVE.replacen("\"T\"", &format!("\"{}\"", "t".repeat(900_000)), 1);
    let written = HIVE.replacen("\"3 kg\"", &format!("\"{}\"", "9".repeat(900_000)), 1);
    let number = HIVE.replacen("3.5", &"9".repeat(900_000), 1);
    let slips = "= =\n".repeat(200_000);
    let many = [
        ("layers", layers, "at most 20"),
        ("boxes", boxes, "boxes"),
        ("removes", removes, "and"),
        ("unknown settings", unknown + HIVE, "more"),
        ("feeds", format!("{HIVE}{feeds}"), "more"),
        ("hives", format!("{HIVE}{hives}"), "hives in a row"),
        ("materials", format!("{HIVE}{materials}"), "more"),
        ("variants", format!("{HIVE}{variants}"), "at most 40"),
        ("brackets", deep, "error"),
        ("dots", dotted, "error"),
        ("a long name", name + HIVE, "nnn..."),
        ("a long title", text, "title"),
        ("a long value", written, "900000 bytes"),
        ("a long number", number, "honey_frames"),
        ("slips", slips, "error"),
        ("more than a megabyte", "# \n".repeat(400_000), "1 MB"),
        ("nothing", String::new(), "hive"),
        ("a mark and nothing", "\u{feff}".to_owned(), "hive"),
        ("no end of a line", "title = \"T".to_owned(), "error"),
        (
            "a NUL",
            HIVE.replacen("\"T\"", "\"\0\"", 1),
            "no plain text",
        ),
        (
            "right to left",
            HIVE.replacen("\"T\"", "\"\u{202e}T\"\nx = 1", 1),
            "\"x\" is not a setting",
        ),
    ];
    many.into_iter()
        .map(|(name, text, says)| {
            let path = file(dir, &format!("{}.toml", name.replace(' ', "-")), text);
            Case::refused(name, &["check", &path], says)
        })
        .collect()
}

pub fn cases(dir: &Path) -> Vec<Case> {
    let mut all = spoilt(dir);
    all.extend(large(dir));
    let latin = file(
        dir,
        "latin.toml",
        [b"title = \"".as_slice(), &[0xfc, 0xe4], b"\"\n"].concat(),
    );
    all.push(Case::refused("not UTF-8", &["check", &latin], "UTF-8"));
    let utf16: Vec<u8> = HIVE.encode_utf16().flat_map(u16::to_le_bytes).collect();
    let utf16 = file(dir, "utf16.toml", utf16);
    all.push(Case::refused(
        "UTF-16",
        &["check", &utf16],
        "save it as UTF-8",
    ));
    all.push(Case::refused(
        "a folder",
        &["check", dir.to_str().unwrap()],
        "folder",
    ));
    all.push(Case::refused(
        "no such file",
        &["check", "no/such.toml"],
        "no/such.toml",
    ));
    all.push(Case::refused(
        "no such scenario",
        &["check", "larch-flat"],
        "larch-flats",
    ));
    all
}
