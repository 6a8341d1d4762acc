//! Page one on paper.

use super::chromium::{browser, sheets, with_style};
use super::made::{PAGES, page};

/// Catches a first page of any report that runs over its sheet, or shares it with what follows.
#[test]
#[ignore = "long"]
fn every_page_one_is_one_sheet() {
    let only = "main > :not(.one) { display: none } .one { break-after: auto !important }";
    for name in PAGES {
        let html = &page(name).html;
        let Some(all) = sheets(html) else { return };
        let rest = with_style(html, "main > .one { display: none }");
        assert_eq!(all, sheets(&rest).unwrap() + 1, "{name}");
        let other = with_style(html, &format!("{only} @page {{ size: A4 }}"));
        assert_eq!(sheets(&other).unwrap(), 1, "{name} on A4");
    }
}

/// Catches a first page of a run that runs over its sheet: on A4 and Letter, for two hives and for four.
#[test]
fn page_one_prints_on_one_sheet() {
    let html = &page("run").html;
    if browser().is_none() {
        return;
    }
    let only = "main > :not(.one) { display: none } .one { break-after: auto !important }";
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
        (
            "Damp",
            "act now: in 36 of 36 winters water drips on the bees, on 130 days of a poor one",
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
