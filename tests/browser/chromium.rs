//! How the browser is driven.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::OnceLock;

const NAMES: [&str; 4] = ["chromium", "chromium-browser", "google-chrome", "chrome"];

/// Whether a browser and the checkers must be there.
pub fn demanded() -> bool {
    !matches!(
        std::env::var("PARTYWALL_BROWSER").as_deref(),
        Err(_) | Ok("" | "0")
    )
}

/// The browser; `None`, said aloud, where there is none and none is demanded.
pub fn browser() -> Option<&'static Path> {
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
                found.is_some() || !demanded(),
                "PARTYWALL_BROWSER is set, but there is no chromium on the path"
            );
            if found.is_none() {
                eprintln!("no chromium on the path: the report is not looked at in a browser");
            }
            found
        })
        .as_deref()
}

/// Opens a page with the network cut off; `None` without a browser.
pub fn open(html: &str, arguments: &[&str]) -> Option<(tempfile::TempDir, Output)> {
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
            "--hide-scrollbars",
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
pub fn console(html: &str) -> Option<Vec<String>> {
    let (_folder, out) = open(html, &["--dump-dom"])?;
    let said = String::from_utf8_lossy(&out.stderr).into_owned();
    Some(
        said.lines()
            .filter(|l| l.contains("CONSOLE"))
            .map(str::to_owned)
            .collect(),
    )
}

/// What scripts leave in the title of a page between "RESULT " and " END"; the page itself forbids scripts.
pub fn told(html: &str, scripts: &[&str], width: u32) -> Option<String> {
    let open_tag = "<meta http-equiv=\"Content-Security-Policy\"";
    let start = html.find(open_tag).expect("a policy");
    let end = start + html[start..].find('>').unwrap() + 1;
    let mut free = format!("{}{}", &html[..start], &html[end..]);
    let body = free.rfind("</body>").expect("a body");
    let scripts: String = scripts
        .iter()
        .map(|s| format!("<script>{s}</script>"))
        .collect();
    free.insert_str(body, &scripts);
    let size = format!("--window-size={width},844");
    let (_folder, out) = open(&free, &["--dump-dom", &size])?;
    let dom = String::from_utf8_lossy(&out.stdout).into_owned();
    let from = dom
        .find("<title>RESULT ")
        .unwrap_or_else(|| panic!("{dom:.300}\n{}", String::from_utf8_lossy(&out.stderr)))
        + 14;
    let to = dom[from..].find(" END").unwrap();
    Some(dom[from..from + to].to_owned())
}

/// The value of an expression in a page.
pub fn asked(html: &str, expression: &str, width: u32) -> Option<String> {
    let script = format!("document.title = 'RESULT ' + ({expression}) + ' END'");
    told(html, &[&script], width)
}

/// Sheets a page prints on.
pub fn sheets(html: &str) -> Option<usize> {
    let (folder, out) = open(html, &["--print-to-pdf=page.pdf"])?;
    let pdf = std::fs::read(folder.path().join("page.pdf"))
        .unwrap_or_else(|_| panic!("{}", String::from_utf8_lossy(&out.stderr)));
    let text: String = pdf.iter().map(|b| *b as char).collect();
    let pages = text
        .match_indices("/Type /Page")
        .filter(|(i, m)| !text[i + m.len()..].starts_with('s'));
    Some(pages.count())
}

pub fn with_style(html: &str, style: &str) -> String {
    html.replacen("</style>", &format!("{style}</style>"), 1)
}
