//! The page of `rank`: which change is worth a Saturday.

use super::plain::{Card, Plain, Row, Section, Table};
use super::{PageError, pictures};
use partywall_core::answer::rank::{RankResult, RankedColony};

use crate::contest::{self, HeadWords};
use crate::phrases::{self, capital};
use crate::pictures::{Bar, BarsPicture, Picture, PictureError, bars};
use crate::ranking::{GONE, NOTHING, basis, besides, foam, gone, stands};
use crate::text;
use partywall_core::decision::ranking::Outcome;

/// Changes told on page one, of one or two colonies and of more, so that it fits a sheet.
const FIRST: [usize; 2] = [5, 3];

/// A bar for each change of a colony, best first.
///
/// # Errors
/// A value that is not a number; a colony without a change.
pub fn picture(r: &RankResult, k: usize) -> Result<Picture, PictureError> {
    let c = &r.colonies[k];
    let bar = |i: &usize| bar(&r.changes[*i], k);
    let helps = c.ranking.helps.iter().filter_map(|h| bar(&h.outcome));
    bars(&BarsPicture {
        number: k + 1,
        title: &format!("{}: what each change buys", c.stack),
        below: &format!("{}; weather of {}", r.head.title, r.head.climate.station),
        groups: &[
            ("Buys honey", helps.collect()),
            (
                "Not needed by its stores",
                c.ranking.moves.iter().filter_map(bar).collect(),
            ),
            (
                "Keeps it from starving",
                c.ranking.saves.iter().filter_map(bar).collect(),
            ),
            (
                "Makes it starve",
                c.ranking.starves.iter().filter_map(bar).collect(),
            ),
            (
                "Too close to call",
                c.ranking.close.iter().filter_map(bar).collect(),
            ),
            (
                "Costs honey",
                c.ranking.costs.iter().filter_map(bar).collect(),
            ),
        ],
    })
}

fn bar(o: &Outcome, k: usize) -> Option<Bar> {
    let g = o.gains.get(k)?.as_ref()?;
    Some(pictures::gain(capital(&o.change.words), &g.honey))
}

/// The page.
///
/// # Errors
/// A result that holds what is not a number.
pub fn html(
    r: &RankResult,
    drawn: &[(usize, Picture)],
    command: &str,
    input: &[(String, String)],
) -> Result<String, PageError> {
    let mut sections: Vec<Section> = (0..r.colonies.len()).map(|k| section(r, k)).collect();
    if !r.left_out.is_empty() {
        let left_out = r.left_out.iter().map(|l| format!("{}: {}", l.words, l.why));
        sections.push(Section {
            heading: "Left out, because they cannot be done on this stand".to_owned(),
            table: None,
            lines: left_out.collect(),
        });
    }
    let mind = r.head.mind();
    Plain {
        title: &r.head.title,
        version: r.head.version,
        place: format!(
            "What is worth a Saturday: one change at a time, from {} to first dependable nectar on {}. {}",
            r.head.start, r.head.first_nectar,
            phrases::WORDS
        ),
        first: contest::first(mind.as_deref()),
        cards: (0..r.colonies.len()).map(|k| card(r, k)).collect(),
        pictures: drawn
            .iter()
            .map(|(k, p)| {
                pictures::one(
                    p,
                    *k,
                    &format!(
                        "{}: honey that each change buys or costs; pale bars are too close to call.",
                        r.colonies[*k].stack
                    ),
                    pictures::BARS,
                )
            })
            .collect(),
        sections,
        basis: basis(r),
        cautions: &text::CAUTIONS,
        command,
        input,
    }
    .html()
}

fn card(r: &RankResult, k: usize) -> Card {
    let c = &r.colonies[k];
    let first = FIRST[usize::from(r.colonies.len() > 2)];
    let mut card = Card {
        name: c.stack.clone(),
        ..Card::default()
    };
    let told = |i: usize| {
        let o = &r.changes[i];
        let honey = o.gains[k].map_or_else(String::new, |g| {
            phrases::honey(&g.honey, o.change.group.is_move())
        });
        (capital(&o.change.words), honey)
    };
    match c.ranking.helps.split_first() {
        None => NOTHING.clone_into(&mut card.answer),
        Some((best, others)) => {
            let (change, honey) = told(best.outcome);
            "Worth most:".clone_into(&mut card.lead);
            card.answer = change;
            card.more = std::iter::once(honey)
                .chain(besides(r, k, best.outcome))
                .collect::<Vec<_>>()
                .join("; ");
            card.rows.push(("Now".to_owned(), capital(&stands(r, c))));
            for h in others.iter().take(first - 1) {
                let place = if h.same {
                    "the same place".to_owned()
                } else {
                    format!("Place {}", h.place)
                };
                let (change, honey) = told(h.outcome);
                card.rows
                    .push((capital(&place), format!("{change}: {honey}")));
            }
            if others.len() >= first {
                card.rows.push((
                    "Further down".to_owned(),
                    format!("{} more that buy honey", others.len() + 1 - first),
                ));
            }
        }
    }
    if c.ranking.helps.is_empty() {
        card.rows.push(("Now".to_owned(), capital(&stands(r, c))));
    }
    card.rows
        .extend(counted("Not needed by its stores", &c.ranking.moves, r));
    for (what, list) in [
        ("Keeps it from starving", &c.ranking.saves),
        ("Makes it starve", &c.ranking.starves),
        ("Too close to call", &c.ranking.close),
    ] {
        card.rows.extend(counted(what, list, r));
    }
    card.rows
        .extend(counted("Costs it honey", &c.ranking.costs, r));
    let gone = gone(r, k);
    if !gone.is_empty() {
        card.rows.push((GONE.to_owned(), gone.join("; ")));
    }
    if let Some(d) = &c.doubts {
        card.rows
            .push(("How sure".to_owned(), phrases::doubts(d, c.weighed)));
    }
    card
}

/// How many, and the first three.
fn counted(what: &str, list: &[usize], r: &RankResult) -> Option<(String, String)> {
    let first: Vec<&str> = list
        .iter()
        .take(3)
        .map(|i| r.changes[*i].change.words.as_str())
        .collect();
    let more = list.len().saturating_sub(3);
    let rest = match more {
        0 => String::new(),
        n => format!("; and {n} more"),
    };
    (!list.is_empty()).then(|| (what.to_owned(), format!("{}{rest}", first.join("; "))))
}

fn section(r: &RankResult, k: usize) -> Section {
    let c: &RankedColony = &r.colonies[k];
    let row = |place: String, i: usize| -> Option<Row> {
        let o = &r.changes[i];
        let g = o.gains[k].as_ref()?;
        let honey = phrases::honey(&g.honey, o.change.group.is_move());
        Some(Row {
            cells: vec![capital(&o.change.words), place, honey],
            note: besides(r, k, i).join("; "),
        })
    };
    let helps = c.ranking.helps.iter().filter_map(|h| {
        let place = if h.same {
            "=".to_owned()
        } else {
            h.place.to_string()
        };
        row(place, h.outcome)
    });
    let unplaced = c.ranking.moves.iter().chain(&c.ranking.saves);
    let unplaced = unplaced.chain(&c.ranking.starves);
    let others = unplaced.chain(&c.ranking.close).chain(&c.ranking.costs);
    let others = others.filter_map(|i| row("-".to_owned(), *i));
    Section {
        heading: format!("{}: all changes", c.stack),
        table: Some(Table {
            caption: capital(&stands(r, c)),
            head: vec!["Change", "Place", "Honey"],
            rows: helps.chain(others).collect(),
            wide: false,
        }),
        lines: foam(&c.ranking.top_foam).into_iter().collect(),
    }
}
