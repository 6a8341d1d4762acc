//! An accessibility checker on every report: axe-core, fetched by npm from the lock file beside this one, never committed.

use super::chromium::{browser, demanded, told};
use super::made::{PAGES, page};
use std::path::Path;
use std::process::Command;
use std::sync::OnceLock;

/// Where the lock file is; it pins version and checksum.
const LOCKED: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/browser/axe");

/// The checker's script; `None`, said aloud, where npm is not there or cannot fetch it and it is not demanded.
fn axe() -> Option<&'static str> {
    static FOUND: OnceLock<Option<String>> = OnceLock::new();
    FOUND
        .get_or_init(|| {
            let found = fetched();
            if let Err(why) = &found {
                assert!(!demanded(), "PARTYWALL_BROWSER is set, but {why}");
                eprintln!("accessibility is not checked: {why}");
            }
            found.ok()
        })
        .as_deref()
}

fn fetched() -> Result<String, String> {
    // A folder for each lock file, so that another version is fetched anew.
    let lock = std::fs::read_to_string(format!("{LOCKED}/package-lock.json")).unwrap();
    let version = lock
        .split("\"node_modules/axe-core\"")
        .nth(1)
        .and_then(|rest| rest.split("\"version\": \"").nth(1)?.split('"').next())
        .expect("a pinned version");
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("axe-{version}"));
    let script = folder.join("node_modules/axe-core/axe.min.js");
    if !script.is_file() {
        std::fs::create_dir_all(&folder).unwrap();
        for name in ["package.json", "package-lock.json"] {
            std::fs::copy(format!("{LOCKED}/{name}"), folder.join(name)).unwrap();
        }
        let done = Command::new("npm")
            .args(["ci", "--ignore-scripts", "--no-audit", "--no-fund"])
            .args(["--fetch-retries=1", "--fetch-timeout=30000"])
            .current_dir(&folder)
            .output()
            .map_err(|e| format!("npm cannot be run: {e}"))?;
        if !done.status.success() {
            let said = String::from_utf8_lossy(&done.stderr);
            return Err(format!("npm cannot fetch axe-core: {said:.300}"));
        }
    }
    std::fs::read_to_string(&script).map_err(|e| format!("axe-core is not where npm puts it: {e}"))
}

/// What the checker finds: a line for each rule broken, with its weight, and how many rules hold.
fn findings(html: &str, axe: &str) -> Option<(Vec<String>, usize)> {
    let ask = "axe.run(document).then(r => document.title = 'RESULT ' + r.violations.map(v => \
        v.impact + ' ' + v.id + ': ' + v.nodes.slice(0, 3).map(n => n.target + ' ' + n.failureSummary).join(' + ')).join('\\u0001') \
        + '\\u0002' + r.passes.length + ' END')";
    let told = told(html, &[axe, ask], 1280)?;
    let (broken, held) = told.split_once('\u{2}').unwrap();
    let broken = broken.split('\u{1}').filter(|l| !l.is_empty());
    Some((
        broken.map(str::to_owned).collect(),
        held.parse().expect("a count"),
    ))
}

/// Catches what keeps people who do not see well, or steer by keys, from the reports: no serious and no critical finding, in light
/// and in dark colours; and a checker that finds nothing anywhere.
#[test]
#[ignore = "long"]
fn nothing_serious_is_found() {
    let Some(axe) = browser().and_then(|_| axe()) else {
        return;
    };
    for name in PAGES {
        let html = &page(name).html;
        let dark = html.replace("(prefers-color-scheme: dark)", "all");
        assert_ne!(&dark, html, "no dark colours");
        for (shade, html) in [("light", html), ("dark", &dark)] {
            let (broken, held) = findings(html, axe).unwrap();
            assert!(held > 15, "{name}: only {held} rules hold");
            let heavy = |l: &&String| l.starts_with("serious") || l.starts_with("critical");
            let heavy: Vec<_> = broken.iter().filter(heavy).collect();
            assert!(heavy.is_empty(), "{name}, {shade}: {heavy:#?}");
            for light in &broken {
                eprintln!("{name}, {shade}: {light}");
            }
        }
    }
    let bad = page(PAGES[0]).html.replacen(
        "<h2",
        "<img src=\"data:,\"><p style=\"color:#999;background:#fff\">pale</p><h2",
        1,
    );
    let (broken, _) = findings(&bad, axe).unwrap();
    for rule in ["critical image-alt", "serious color-contrast"] {
        let found = broken.iter().any(|l| l.starts_with(rule));
        assert!(found, "the check is blind to {rule}: {broken:#?}");
    }
}
