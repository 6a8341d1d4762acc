//! The reports, each made once by the program.

use std::path::Path;
use std::process::Command;
use std::sync::OnceLock;

/// Names and titles with signs that markup must not take for its own.
const EVIL: &str = "<script>&\\\"'";

/// The commands that write a report.
pub const PAGES: [&str; 5] = ["run", "compare", "rank", "update", "climate"];

/// A report.
pub struct Report {
    pub html: String,
    /// What the command printed.
    pub text: String,
    /// Pictures that must be in it.
    pub pictures: usize,
}

/// The report of a command, of few winters and with evil names: of `run` the demo pair's, of the others a single hive's.
pub fn page(name: &str) -> &'static Report {
    static MADE: [OnceLock<Report>; PAGES.len()] = [const { OnceLock::new() }; PAGES.len()];
    let i = PAGES
        .iter()
        .position(|p| *p == name)
        .expect("a command with a report");
    MADE[i].get_or_init(|| {
        let folder = tempfile::tempdir().unwrap();
        let write = |name: &str, text: &str| std::fs::write(folder.path().join(name), text).unwrap();
        let built_in = |name| partywall::scenario::built_in_text(name).unwrap();
        let pair = built_in("larch-flats")
            .replace("title = \"Larch", &format!("title = \"{EVIL} Larch"))
            .replace("name = \"Left\"", &format!("name = \"{EVIL}\""));
        let single = built_in("single")
            .replace("title = \"One", &format!("title = \"{EVIL} One"))
            .replace("[[hive]]", &format!("[[hive]]\nname = \"{EVIL}\""));
        assert_eq!(single.matches(EVIL).count(), 2, "the scenario changed");
        let few = ["--climate", "northway", "--colonies", "1", "--grid", "coarse"];
        let (words, pictures): (Vec<&str>, usize) = match name {
            "run" => {
                write("evil.toml", &pair);
                let few = ["--winters", "5", "--check", "none", "--grid", "coarse"];
                // Two cutaways, inner surfaces, damp, frames, strip, and two of each colony.
                ([&["run", "evil.toml"], &few[..]].concat(), 10)
            }
            "compare" => {
                let variant = |name: &str, litres: u8| {
                    format!(
                        "\n[[variant]]\nname = \"{EVIL} {name}\"\n\
                         hive.\"{EVIL}\".feed = [{{ date = \"1 Oct\", kind = \"syrup\", amount = \"{litres} L\" }}]\n"
                    )
                };
                let more = [variant("fed", 10), variant("fed a little", 1)].concat();
                write("evil.toml", &(single + &more));
                ([&["compare", "evil.toml"], &few[..]].concat(), 1)
            }
            "rank" => {
                write("evil.toml", &single);
                ([&["rank", "evil.toml"], &few[..]].concat(), 1)
            }
            "update" => {
                write("evil.toml", &single);
                let weighed = ["--date", "2027-01-20", "--whole", "66 kg", "--runs", "50"];
                let place = ["update", "evil.toml", "--climate", "northway"];
                ([&place[..], &weighed].concat(), 1)
            }
            "climate" => {
                let record = concat!(env!("CARGO_MANIFEST_DIR"), "/climate-samples/northway-ak_hourly_2018-2019.csv");
                let record = std::fs::read_to_string(record).unwrap();
                let evil = record.replacen("station: ", &format!("station: {EVIL} "), 1);
                assert_ne!(evil, record, "the record changed");
                write("evil.csv", &evil);
                (vec!["climate", "evil.csv"], 1)
            }
            other => panic!("{other}"),
        };
        made(folder.path(), &words, pictures)
    })
}

fn made(folder: &Path, words: &[&str], pictures: usize) -> Report {
    let done = Command::new(env!("CARGO_BIN_EXE_partywall"))
        .current_dir(folder)
        .args(words)
        .args(["--out", "out"])
        .output()
        .unwrap();
    assert!(
        done.status.success(),
        "{}",
        String::from_utf8_lossy(&done.stderr)
    );
    let html = std::fs::read_to_string(folder.join("out/report.html")).unwrap();
    let evil = html.matches("&#60;script&#62;").count() + html.matches("&lt;script&gt;").count();
    assert!(evil > 1, "{words:?}: the evil names are not in it");
    Report {
        html,
        text: String::from_utf8(done.stdout).unwrap(),
        pictures,
    }
}
