//! The report in a real browser: chromium without a window, if it is installed. `PARTYWALL_BROWSER=1` demands it; a path there
//! names the program.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stderr
)]

use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::OnceLock;

const NAMES: [&str; 4] = ["chromium", "chromium-browser", "google-chrome", "chrome"];

/// The browser; `None`, said aloud, where there is none and none is demanded.
fn browser() -> Option<&'static Path> {
    static FOUND: OnceLock<Option<PathBuf>> = OnceLock::new();
    FOUND
        .get_or_init(|| {
            let asked = std::env::var("PARTYWALL_BROWSER").unwrap_or_default();
            if asked.contains('/') {
                return Some(PathBuf::from(asked));
            }
            let path = std::env::var_os("PATH").unwrap_or_default();
            let found = std::env::split_paths(&path)
                .flat_map(|dir| NAMES.map(|n| dir.join(n)))
                .find(|p| p.is_file());
            assert!(
                found.is_some() || asked.is_empty() || asked == "0",
                "PARTYWALL_BROWSER is set, but there is no chromium on the path"
            );
            if found.is_none() {
                eprintln!("no chromium on the path: the report is not looked at in a browser");
            }
            found
        })
        .as_deref()
}

/// A hive of its own for the tests: names and title with signs that markup must not take for its own.
const EVIL: &str = "<script>&\\\"'";

struct Report {
    _folder: tempfile::TempDir,
    html: String,
}

/// The report of the demo pair with evil names, made once by the program.
fn report() -> &'static Report {
    static MADE: OnceLock<Report> = OnceLock::new();
    MADE.get_or_init(|| {
        let folder = tempfile::tempdir().unwrap();
        let text = partywall::scenario::built_in_text("larch-flats")
            .unwrap()
            .replace("title = \"Larch", &format!("title = \"{EVIL} Larch"))
            .replace("name = \"Left\"", &format!("name = \"{EVIL}\""));
        let scenario = folder.path().join("evil.toml");
        std::fs::write(&scenario, text).unwrap();
        let out = folder.path().join("out");
        let done = Command::new(env!("CARGO_BIN_EXE_partywall"))
            .args([
                "run",
                "--winters",
                "5",
                "--check",
                "none",
                "--grid",
                "coarse",
                "--out",
            ])
            .args([&out, &scenario])
            .output()
            .unwrap();
        assert!(
            done.status.success(),
            "{}",
            String::from_utf8_lossy(&done.stderr)
        );
        Report {
            html: std::fs::read_to_string(out.join("report.html")).unwrap(),
            _folder: folder,
        }
    })
}

/// Opens a page with the network cut off; `None` without a browser.
fn open(html: &str, arguments: &[&str]) -> Option<(tempfile::TempDir, Output)> {
    let browser = browser()?;
    let folder = tempfile::tempdir().unwrap();
    let page = folder.path().join("page.html");
    std::fs::write(&page, html).unwrap();
    let out = Command::new(browser)
        .current_dir(folder.path())
        .args([
            "--headless=new",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-dev-shm-usage",
            "--disable-background-networking",
            "--host-resolver-rules=MAP * ~NOTFOUND",
            "--enable-logging=stderr",
            "--no-pdf-header-footer",
            "--virtual-time-budget=4000",
        ])
        .arg(format!(
            "--user-data-dir={}",
            folder.path().join("profile").display()
        ))
        .args(arguments)
        .arg(format!("file://{}", page.display()))
        .output()
        .unwrap();
    Some((folder, out))
}

/// What the page says to the console.
fn console(html: &str) -> Option<Vec<String>> {
    let (_folder, out) = open(html, &["--dump-dom"])?;
    let said = String::from_utf8_lossy(&out.stderr).into_owned();
    Some(
        said.lines()
            .filter(|l| l.contains("CONSOLE"))
            .map(str::to_owned)
            .collect(),
    )
}

/// The page with a script that writes into its title; the page itself forbids scripts.
fn with_script(html: &str, script: &str) -> String {
    let open = "<meta http-equiv=\"Content-Security-Policy\"";
    let start = html.find(open).expect("a policy");
    let end = start + html[start..].find('>').unwrap() + 1;
    let free = format!("{}{}", &html[..start], &html[end..]);
    let script =
        format!("<script>document.title = 'RESULT ' + ({script}) + ' END'</script></body>");
    free.replace("</body>", &script)
}

fn asked(html: &str, script: &str, width: u32) -> Option<String> {
    let size = format!("--window-size={width},844");
    let (_folder, out) = open(&with_script(html, script), &["--dump-dom", &size])?;
    let dom = String::from_utf8_lossy(&out.stdout).into_owned();
    let from = dom
        .find("<title>RESULT ")
        .unwrap_or_else(|| panic!("{dom:.300}"))
        + 14;
    let to = dom[from..].find(" END").unwrap();
    Some(dom[from..from + to].to_owned())
}

/// Sheets a page prints on.
fn sheets(html: &str) -> Option<usize> {
    let (folder, out) = open(html, &["--print-to-pdf=page.pdf"])?;
    let pdf = std::fs::read(folder.path().join("page.pdf"))
        .unwrap_or_else(|_| panic!("{}", String::from_utf8_lossy(&out.stderr)));
    let text: String = pdf.iter().map(|b| *b as char).collect();
    let pages = text
        .match_indices("/Type /Page")
        .filter(|(i, m)| !text[i + m.len()..].starts_with('s'));
    Some(pages.count())
}

fn with_style(html: &str, style: &str) -> String {
    html.replacen("</style>", &format!("{style}</style>"), 1)
}

/// Catches what the browser complains of: broken markup it reports, a blocked request (the page's own policy forbids all), a script.
#[test]
fn the_console_stays_silent() {
    let Some(said) = console(&report().html) else {
        return;
    };
    assert_eq!(said, [""; 0]);
    let loud = report().html.replace(
        "<main>",
        "<main><img src=\"https://example.org/x.png\" alt=\"\">",
    );
    let said = console(&loud).unwrap();
    assert!(
        !said.is_empty(),
        "a blocked request goes unseen: the check is blind"
    );
}

/// Catches links to anything outside the file, and a file too large to send.
#[test]
fn nothing_is_asked_for_and_the_file_is_small() {
    let html = &report().html;
    assert!(html.len() < 1_500_000, "{} bytes", html.len());
    for (attribute, allowed) in [
        ("src=", ""),
        ("href=", "\"data:,\""),
        ("url(", ""),
        ("@import", ""),
        ("<script", ""),
        ("<link", ""),
    ] {
        for (i, _) in html.match_indices(attribute) {
            let rest = &html[i + attribute.len()..];
            let fine = (!allowed.is_empty() && rest.starts_with(allowed))
                || (attribute == "<link" && rest.starts_with(" rel=\"icon\" href=\"data:,\">"));
            assert!(fine, "{attribute}{:.60}", rest);
        }
    }
}

/// Catches pictures without a size, a role or words for those who do not see them, and two with one name.
#[test]
fn every_picture_has_a_size_and_words() {
    let html = &report().html;
    let pictures: Vec<&str> = html.split("<svg ").skip(1).collect();
    assert_eq!(
        pictures.len(),
        7,
        "cutaway, frames, strip, and two of each colony"
    );
    let mut ids = std::collections::BTreeSet::new();
    for p in &pictures {
        let (head, rest) = p.split_once('>').unwrap();
        for needed in ["role=\"img\"", " width=\"", " height=\"", "viewBox=\""] {
            assert!(head.contains(needed), "{needed}: {head}");
        }
        let id = head
            .split("aria-labelledby=\"")
            .nth(1)
            .unwrap()
            .split('"')
            .next()
            .unwrap();
        assert!(ids.insert(id.to_owned()), "{id} twice");
        let title = rest.strip_prefix(&format!("<title id=\"{id}\">")).unwrap();
        assert!(title.split("</title>").next().unwrap().len() > 20);
    }
    assert_eq!(html.matches("<img").count(), 0);
    let Some(found) = asked(
        html,
        "[...document.querySelectorAll('svg')].filter(s => { const b = s.getBoundingClientRect(); \
         return b.width > 300 && b.height > 100 && s.textContent.length > 20 }).length",
        1280,
    ) else {
        return;
    };
    assert_eq!(found, "7", "drawn");
}

/// Catches anything that makes a phone's page wider than its screen.
#[test]
fn a_phone_need_not_scroll_sideways() {
    let measure = "(() => { const d = document.createElement('div'); \
        const m = document.querySelector('main'); m.before(d); d.append(m); d.style.cssText = 'width:390px;overflow-x:auto'; \
        return d.scrollWidth + ' ' + d.clientWidth })()";
    let Some(found) = asked(&report().html, measure, 390) else {
        return;
    };
    assert_eq!(found, "390 390");
    let wide = report()
        .html
        .replacen("<h2", "<div style=\"width:500px\">x</div><h2", 1);
    assert_ne!(
        asked(&wide, measure, 390).unwrap(),
        "390 390",
        "the check is blind"
    );
}

/// Catches a first page that runs over or shares its sheet: one sheet alone, on A4 and Letter, for two hives and for four, and the
/// next heading on a sheet of its own.
#[test]
fn page_one_prints_on_one_sheet() {
    let html = &report().html;
    let Some(all) = sheets(html) else { return };
    let only = "main > :not(.one) { display: none } .one { break-after: auto !important }";
    let rest = "main > .one { display: none }";
    let after = sheets(&with_style(html, rest)).unwrap();
    assert_eq!(
        all,
        after + 1,
        "page one takes one sheet and shares it with nothing"
    );
    // The longest words there are: short by the scale, and starving in some winters.
    let rows = [
        (
            "On the scale",
            "Now 48 kg (106 lb), and the feeding you plan adds 10 kg (22 lb) of stores: short by 12 kg (26 lb)",
        ),
        (
            "Syrup",
            "Feed 12 litres (3.2 US gal, 2.6 imperial gal) of 2:1 syrup, 11 kg (24 lb) of sugar, by 27 Oct",
        ),
        (
            "Reach",
            "act now: in 11 of 36 winters it would have starved beside up to 13 kg (29 lb) that it could not reach in the cold, the \
             earliest on 24 Feb",
        ),
    ];
    let worst: Vec<String> = html
        .split("<article")
        .map(|card| {
            let mut card = card.to_owned();
            for (what, words) in rows {
                let head = format!("<th scope=\"row\">{what}</th><td>");
                if let Some((before, after)) = card.clone().split_once(&head)
                    && let Some((_, rest)) = after.split_once("</td>")
                {
                    card = format!("{before}{head}{words}</td>{rest}");
                }
            }
            card
        })
        .collect();
    let worst = worst.join("<article");
    assert_eq!(worst.matches("3.2 US gal").count(), 2);
    assert_eq!(worst.matches("in 11 of 36").count(), 2);
    let card = worst
        .split("<article")
        .nth(1)
        .and_then(|c| c.split("</article>").next())
        .unwrap();
    let four = worst
        .replacen("class=\"one\"", "class=\"one many\"", 1)
        .replacen(
            "</article>\n</div>",
            &format!("</article><article{card}</article><article{card}</article></div>"),
            1,
        );
    assert_eq!(four.matches("<article").count(), 4);
    for size in ["A4", "letter"] {
        let page = format!("{only} @page {{ size: {size} }}");
        for (what, html) in [
            ("two hives", html),
            ("worst words", &worst),
            ("four hives", &four),
        ] {
            assert_eq!(
                sheets(&with_style(html, &page)).unwrap(),
                1,
                "{what} on {size}"
            );
        }
        let long = html.replacen(
            "</article>",
            &format!("{}</article>", "<p>more</p>".repeat(60)),
            1,
        );
        let run_over = sheets(&with_style(&long, &page)).unwrap();
        assert!(run_over > 1, "the check is blind");
    }
}
