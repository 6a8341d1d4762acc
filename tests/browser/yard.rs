//! The sheets for the yard, on paper.

use super::chromium::{asked, browser, sheets, with_style};
use super::made::page;

/// The page with nothing but its sheets for the yard.
const ONLY: &str = "main > :not(.yard) { display: none }";

/// The log of each sheet with so many rows in all.
fn with_rows(html: &str, rows: usize) -> String {
    let row = "<tr><th scope=\"row\">14 May</th><td>28 kg (61 lb)</td><td></td><td></td><td></td><td></td></tr>";
    let log = "<table class=\"log";
    html.split(log)
        .enumerate()
        .map(|(i, part)| match i {
            0 => part.to_owned(),
            _ => {
                let table = part.split("</table>").next().unwrap();
                // The first is that of its head.
                let more = rows - (table.matches("<tr>").count() - 1);
                let body = format!("{}</tbody>", row.repeat(more));
                format!("{log} many{}", part.replacen("</tbody>", &body, 1))
            }
        })
        .collect()
}

/// Catches a sheet for the yard that runs over its paper, with the days of the demo and with those of the longest season.
#[test]
fn a_sheet_for_the_yard_is_one_sheet() {
    if browser().is_none() {
        return;
    }
    let html = &page("run").html;
    assert_eq!(html.matches("<section class=\"yard\"").count(), 2);
    for size in ["A4", "letter"] {
        let style = format!("{ONLY} @page {{ size: {size} }}");
        let printed = |html: &str| sheets(&with_style(html, &style)).unwrap();
        assert_eq!(printed(html), 2, "{size}");
        assert_eq!(printed(&with_rows(html, 19)), 2, "nineteen rows on {size}");
        assert!(printed(&with_rows(html, 60)) > 2, "the check is blind");
    }
}

/// Catches a log whose outer lines lie on the edge of what is printed, where half of them is cut off.
#[test]
fn the_lines_of_a_log_are_whole_on_paper() {
    // A4 between margins of 12 mm, in pixels.
    const PAPER: u32 = 703;
    let html = page("run").html.replace("@media print", "@media all");
    let room = "Math.round(10 * Math.min(...[...document.querySelectorAll('.log')].flatMap(t => { \
         const b = t.getBoundingClientRect(), m = t.closest('main').getBoundingClientRect(); \
         return [b.left - m.left, m.right - b.right] })))";
    let Some(found) = asked(&html, room, PAPER) else {
        return;
    };
    let tenths: i32 = found.parse().unwrap();
    assert!((10..60).contains(&tenths), "{tenths} tenths of a pixel");
    let wide = with_style(
        &html,
        ".yard .log { width: 100% !important; margin: 0 !important }",
    );
    assert_eq!(
        asked(&wide, room, PAPER).unwrap(),
        "0",
        "the check is blind"
    );
}
