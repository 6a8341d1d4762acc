//! What holds for every report.

use super::chromium::{asked, browser, console, told};
use super::made::{PAGES, page};

/// Catches what the browser complains of: broken markup it reports, a blocked request (the page's own policy forbids all), a script.
#[test]
fn the_console_stays_silent() {
    for name in PAGES {
        let Some(said) = console(&page(name).html) else {
            return;
        };
        assert_eq!(said, [""; 0], "{name}");
    }
    let loud = page(PAGES[0]).html.replace(
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
    for name in PAGES {
        let html = &page(name).html;
        assert!(html.len() < 1_500_000, "{name}: {} bytes", html.len());
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
                assert!(fine, "{name}: {attribute}{rest:.60}");
            }
        }
    }
}

/// Catches pictures without a size, a role or words for those who do not see them, and two with one name.
#[test]
fn every_picture_has_a_size_and_words() {
    for name in PAGES {
        let report = page(name);
        let pictures: Vec<&str> = report.html.split("<svg ").skip(1).collect();
        // Each in its wide form and in that for phones.
        assert_eq!(pictures.len(), 2 * report.pictures, "{name}");
        let mut ids = std::collections::BTreeSet::new();
        for p in &pictures {
            let (head, rest) = p.split_once('>').unwrap();
            for needed in ["role=\"img\"", " width=\"", " height=\"", "viewBox=\""] {
                assert!(head.contains(needed), "{name}: {needed}: {head}");
            }
            let id = head
                .split("aria-labelledby=\"")
                .nth(1)
                .unwrap()
                .split('"')
                .next()
                .unwrap();
            assert!(ids.insert(id.to_owned()), "{name}: {id} twice");
            let title = rest.strip_prefix(&format!("<title id=\"{id}\">")).unwrap();
            assert!(title.split("</title>").next().unwrap().len() > 20);
        }
        assert_eq!(report.html.matches("<img").count(), 0);
        let drawn = "[...document.querySelectorAll('svg')].filter(s => { const b = s.getBoundingClientRect(); \
             return b.width > 300 && b.height > 100 && s.textContent.length > 20 }).length";
        let Some(found) = asked(&report.html, drawn, 1280) else {
            return;
        };
        assert_eq!(found, report.pictures.to_string(), "{name}: drawn");
    }
}

/// Width of the page's content and of a phone's screen, in a frame as wide as a phone; the smallest letters outside pictures, in
/// tenths of a pixel; how many pictures are seen, how much one is wider than its place, and the smallest letters in them.
fn on_a_phone(html: &str) -> Option<String> {
    let script = "const f = document.createElement('iframe'); f.style.cssText = 'width:390px;height:844px;border:0'; \
        f.srcdoc = document.documentElement.outerHTML.replace(/<script>[^]*<\\/script>/g, ''); \
        f.onload = () => { const d = f.contentDocument; \
        const sizes = [...d.querySelectorAll('main *')].filter(e => !e.closest('svg') && e.innerText) \
          .map(e => parseFloat(f.contentWindow.getComputedStyle(e).fontSize)); \
        const drawn = [...d.querySelectorAll('svg')].filter(s => s.getBoundingClientRect().width > 0); \
        const letters = drawn.flatMap(s => { const k = s.getBoundingClientRect().width / s.viewBox.baseVal.width; \
          return [...s.querySelectorAll('text')].map(t => k * parseFloat(t.getAttribute('font-size'))) }); \
        const over = Math.max(...[...d.querySelectorAll('.card')].map(c => c.scrollWidth - c.clientWidth)); \
        document.title = 'RESULT ' + d.documentElement.scrollWidth + ' ' + f.contentWindow.innerWidth + ' ' \
          + Math.round(10 * Math.min(...sizes)) + ' ' + drawn.length + ' ' + over + ' ' \
          + Math.round(10 * Math.min(...letters)) + ' END' }; \
        document.body.replaceChildren(f)";
    told(html, &[script], 1280)
}

/// Catches anything that makes a phone's page wider than its screen, pictures that scroll by themselves or are the wide form shrunk, and
/// letters too small to read on it.
#[test]
fn a_phone_need_not_scroll_sideways() {
    if browser().is_none() {
        return;
    }
    for name in PAGES {
        let html = &page(name).html;
        let found = on_a_phone(html).unwrap();
        let numbers: Vec<u32> = found.split(' ').map(|n| n.parse().unwrap()).collect();
        assert_eq!(numbers[..2], [390, 390], "{name}");
        assert!(
            numbers[2] >= 130,
            "{name}: letters of {} px / 10",
            numbers[2]
        );
        assert_eq!(numbers[3], page(name).pictures as u32, "{name}: pictures");
        assert_eq!(numbers[4], 0, "{name}: a picture scrolls");
        assert!(
            numbers[5] >= 90,
            "{name}: letters of {} px / 10 in a picture",
            numbers[5]
        );
    }
    let shrunk = page("run")
        .html
        .replace(".narrow-form { display: none; }", "")
        .replace(
            "  .wide-form { display: none; }\n  .narrow-form { display: block; }",
            "  .narrow-form { display: none; }",
        );
    let found = on_a_phone(&shrunk).unwrap();
    let small: u32 = found.rsplit(' ').next().unwrap().parse().unwrap();
    assert!(small < 60, "the check is blind: {found}");
    let wide = page("rank")
        .html
        .replacen("<h2", "<div style=\"width:500px\">x</div><h2", 1);
    let found = on_a_phone(&wide).unwrap();
    assert!(!found.starts_with("390 390"), "the check is blind: {found}");
}

/// Weights of a text in both units, as often as they stand there: "8.8 kg (19.4 lb)", "19-22 kg (41-49 lb)".
fn weights(text: &str) -> Vec<String> {
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    text.match_indices(" kg (")
        .filter_map(|(i, _)| {
            let number = text[..i].rsplit([' ', '(']).next()?;
            let end = i + text[i..].find(')')?;
            Some(format!("{number}{}", &text[i..=end]))
        })
        .filter(|w| w.ends_with(" lb)"))
        .collect()
}

/// Catches a report that tells other figures than the text of the same command, or leaves one out.
#[test]
fn the_page_tells_the_figures_of_the_text() {
    let missing = |html: &str, text: &str| -> Vec<String> {
        let html = html.split_whitespace().collect::<Vec<_>>().join(" ");
        let told = weights(text);
        // Repeated figures count: how many differ hangs on roundings.
        assert!(told.len() >= 6, "only {told:?}");
        told.into_iter().filter(|w| !html.contains(w)).collect()
    };
    for name in ["run", "compare", "rank", "update"] {
        let report = page(name);
        let none: [&str; 0] = [];
        assert_eq!(missing(&report.html, &report.text), none, "{name}");
        let other = report.html.replace(" kg (", " g (");
        assert!(
            !missing(&other, &report.text).is_empty(),
            "{name}: the check is blind"
        );
    }
}
