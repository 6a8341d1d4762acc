//! What each change buys: as a document, as CSV.

mod rows;

pub use rows::{csv, variants};

use super::contest::{self, Bars, Drawn};
use super::document::{Answer, Column, Document, Line, Row, Section, Table};
use super::phrases::{self, capital, kg_lb, size_kg_lb};
use super::pictures::PictureError;
use super::together::{no_more, whole};
use partywall_core::answer::head::Drawn as Draws;
use partywall_core::answer::rank::{RankResult, RankedColony};
use partywall_core::decision::changes::Group;
use partywall_core::decision::gains::Gain;

/// The ranking as a keeper reads it.
#[must_use]
pub fn document(r: &RankResult) -> Document {
    let head = contest::document(&r.head, "What is worth a Saturday: one change at a time,");
    let left_out = r.left_out.iter().map(|l| format!("{}: {}", l.words, l.why));
    Document {
        answers: (0..r.colonies.len()).map(|k| answer(r, k)).collect(),
        sections: vec![Section::list(
            "Left out, because they cannot be done on this stand",
            left_out.collect(),
        )],
        basis: head
            .basis
            .into_iter()
            .chain(BASIS.map(str::to_owned))
            .collect(),
        ..head
    }
}

/// A bar for each change of a colony, best first.
///
/// # Errors
/// A value that is not a number.
pub fn bars(r: &RankResult) -> Result<Vec<Drawn>, PictureError> {
    contest::bars(&r.colonies, |k, c| {
        let bar = |i: &usize| {
            let o = &r.changes[*i];
            Some(contest::bar(
                capital(&o.change.words),
                &o.gains[k].as_ref()?.honey,
            ))
        };
        let helps: Vec<usize> = c.ranking.helps.iter().map(|h| h.outcome).collect();
        let mut groups = vec![("Buys honey", helps.iter().filter_map(bar).collect())];
        let lists = lists(c).map(|l| (l.short, l.changes.iter().filter_map(bar).collect()));
        groups.extend(lists);
        Bars {
            head: &r.head,
            title: format!("{}: what each change buys", c.stack),
            groups,
            caption: format!(
                "{}: honey that each change buys or costs; pale bars are too close to call.",
                c.stack
            ),
        }
    })
}

/// What a ranking rests on besides, one paragraph each.
const BASIS: [&str; 2] = [
    "Syrup is put on on the day told; `partywall run` tells until when bees still take it.",
    "One change at a time: two together do not simply add up. = marks what cannot be told from the line above it.",
];

/// Told when nothing helps.
const NOTHING: &str = "No change to the hive buys it honey that a scale would show";

/// Changes that take no place.
struct List<'a> {
    heading: &'static str,
    /// The same in few words.
    short: &'static str,
    changes: &'a [usize],
    /// Whether the heading says that the honey is too close to call.
    close: bool,
}

fn lists(c: &RankedColony) -> [List<'_>; 5] {
    let list = |heading, short, changes, close| List {
        heading,
        short,
        changes,
        close,
    };
    [
        list(
            "Not needed by its stores: syrup, honey or bees moved buy it what they cost elsewhere",
            "Not needed by its stores",
            c.ranking.moves.as_slice(),
            false,
        ),
        list(
            "Keeps it from starving, though its honey is too close to call",
            "Keeps it from starving",
            &c.ranking.saves,
            true,
        ),
        list(
            "Makes it starve, though its honey is too close to call",
            "Makes it starve",
            &c.ranking.starves,
            true,
        ),
        list(
            "Too close to call for its honey, and for starving",
            "Too close to call",
            &c.ranking.close,
            true,
        ),
        list(
            "Would cost it honey",
            "Costs honey",
            &c.ranking.costs,
            false,
        ),
    ]
}

/// Changes told on page one, of one or two colonies and of more, so that it fits a sheet.
const FIRST: [usize; 2] = [5, 3];

fn answer(r: &RankResult, k: usize) -> Answer {
    let c = &r.colonies[k];
    let first = FIRST[usize::from(r.colonies.len() > 2)];
    let told = |i: usize| (capital(&r.changes[i].change.words), honey(r, k, i));
    let mut answer = Answer {
        name: c.stack.clone(),
        lines: vec![Line::new("Now", capital(&stands(r, c)))],
        sections: vec![Section {
            heading: "all changes".to_owned(),
            table: Some(table(r, k)),
            list: foam(&c.ranking.top_foam).into_iter().collect(),
            ..Section::default()
        }],
        ..Answer::default()
    };
    let mut again = Vec::new();
    match c.ranking.helps.split_first() {
        None => NOTHING.clone_into(&mut answer.answer),
        Some((best, others)) => {
            let (change, honey) = told(best.outcome);
            "Worth most:".clone_into(&mut answer.lead);
            answer.answer = change;
            let besides = besides(r, k, best.outcome);
            answer.more = [vec![honey], besides].concat().join("; ");
            for h in others.iter().take(first - 1) {
                let place = match h.same {
                    true => "The same place".to_owned(),
                    false => format!("Place {}", h.place),
                };
                let (change, honey) = told(h.outcome);
                again.push((place, format!("{change}: {honey}")));
            }
            if others.len() >= first {
                let more = format!("{} more that buy honey", others.len() + 1 - first);
                again.push(("Further down".to_owned(), more));
            }
        }
    }
    let lists = lists(c).into_iter().filter(|l| !l.changes.is_empty());
    again.extend(lists.map(|l| (l.short.to_owned(), counted(l.changes, r))));
    let gone: Vec<String> = gone(r, k)
        .map(|(change, notes)| format!("{change}: {}", notes.join("; ")))
        .collect();
    if !gone.is_empty() {
        again.push((GONE.to_owned(), gone.join("; ")));
    }
    let again = again
        .into_iter()
        .map(|(what, words)| Line::again(what, words));
    answer.lines.extend(again);
    answer
        .lines
        .extend(contest::how_sure(c.doubts.as_ref(), c.weighed));
    answer
}

/// The first three, and how many more.
fn counted(list: &[usize], r: &RankResult) -> String {
    let words = list.iter().map(|i| r.changes[*i].change.words.as_str());
    let first: Vec<&str> = words.take(3).collect();
    let rest = match list.len().saturating_sub(3) {
        0 => String::new(),
        n => format!("; and {n} more"),
    };
    format!("{}{rest}", first.join("; "))
}

fn table(r: &RankResult, k: usize) -> Table {
    let c = &r.colonies[k];
    let row = |place: &str, i: usize, honey: String, odd: Option<&str>| Row {
        cells: vec![capital(&r.changes[i].change.words), place.to_owned(), honey],
        notes: odd
            .map(str::to_owned)
            .into_iter()
            .chain(besides(r, k, i))
            .collect(),
    };
    let mut rows: Vec<Row> = Vec::new();
    for h in &c.ranking.helps {
        let place = if h.same {
            "=".to_owned()
        } else {
            h.place.to_string()
        };
        rows.push(row(&place, h.outcome, honey(r, k, h.outcome), None));
    }
    for list in lists(c).iter().filter(|l| !l.changes.is_empty()) {
        rows.push(Row::heading(list.heading));
        for i in list.changes {
            let Some(g) = &r.changes[*i].gains[k] else {
                continue;
            };
            let honey = if list.close {
                numbers(g)
            } else {
                honey(r, k, *i)
            };
            rows.push(row("-", *i, honey, phrases::odd(g).filter(|_| !list.close)));
        }
    }
    let mut gone = gone(r, k).peekable();
    if gone.peek().is_some() {
        rows.push(Row::heading(GONE));
    }
    rows.extend(gone.map(|(change, notes)| Row {
        cells: vec![change, "-".to_owned(), String::new()],
        notes,
    }));
    Table {
        caption: format!(
            "What each change buys, over {} draws",
            r.head.drawn.colonies
        ),
        columns: vec![
            Column::words("Change").at_most(44),
            Column::figures("Place"),
            Column::words("Honey").at_most(44),
        ],
        rows,
        ..Table::default()
    }
}

/// What a change comes to in honey.
fn honey(r: &RankResult, k: usize, i: usize) -> String {
    let o = &r.changes[i];
    o.gains[k].map_or_else(String::new, |g| {
        phrases::honey(&g.honey, o.change.group.is_move())
    })
}

/// Heading of changes that take the colony away.
const GONE: &str = "Or gives it up";

/// Changes that take a colony away, with what they do to the stand.
fn gone(r: &RankResult, k: usize) -> impl Iterator<Item = (String, Vec<String>)> {
    let takes = r.changes.iter();
    let takes = takes.filter(move |o| o.gains.get(k).is_some_and(Option::is_none));
    takes.map(move |o| {
        let mut all = vec![no_more(&r.colonies[k])];
        all.extend(o.whole.as_ref().map(|w| whole(w, r.head.drawn.colonies)));
        all.extend(o.change.beware.map(str::to_owned));
        (capital(&o.change.words), all)
    })
}

/// The middle and the range of a change that is too close to call.
fn numbers(g: &Gain) -> String {
    let s = g.honey.spread;
    format!("{:+.1} kg, {:+.1} to {:+.1}", s.middle, s.low, s.high).replace("-0.0", "+0.0")
}

/// How the colony stands now, over the winters and over the draws.
fn stands(r: &RankResult, c: &RankedColony) -> String {
    let s = &c.standing;
    let starved = match s.starved {
        0 => format!("finds food in all {} winters", s.winters),
        n => format!("starves in {n} of {} winters", s.winters),
    };
    let unreached = if s.unreached < 0.5 {
        String::new()
    } else {
        format!(", with {} out of the bees' reach", kg_lb(s.unreached))
    };
    let stores = match s.spare {
        None => format!("{} winters are too few for a target", s.winters),
        Some(kg) => format!(
            "{} {} for {}{unreached}",
            kg_lb(kg.abs()),
            if kg < 0.0 { "short" } else { "to spare" },
            phrases::in_ten(r.head.level)
        ),
    };
    format!(
        "{stores}. As it stands, the usual colony {starved}{}",
        drawn_starves(r, c).map_or_else(String::new, |n| {
            format!(
                "; over the draws it starves in {n} of {}",
                r.head.drawn.colonies
            )
        })
    )
}

/// Draws in which a colony starves as it stands: what the counts of each change are held against.
fn drawn_starves(r: &RankResult, c: &RankedColony) -> Option<usize> {
    let k = r.colonies.iter().position(|o| o.stack == c.stack)?;
    let mut known = r.changes.iter().filter_map(|o| *o.gains.get(k)?);
    known.next().map(|g| g.starved[0])
}

/// What else a change does: the margin, starving, the neighbours, what is not computed.
fn besides(r: &RankResult, k: usize, i: usize) -> Vec<String> {
    let o = &r.changes[i];
    let mut all: Vec<String> = Vec::new();
    if let Some(g) = o.gains[k] {
        all.extend(phrases::margin(&g));
        all.extend(phrases::counts(&g, r.head.drawn.colonies));
    }
    for (n, other) in r.colonies.iter().enumerate() {
        if n == k {
            continue;
        }
        match o.gains[n] {
            None => all.push(no_more(other)),
            Some(g) => all.extend(worse(&other.stack, &g, r.head.drawn)),
        }
    }
    if matches!(o.change.group, Group::Bees | Group::Honey) {
        all.extend(o.whole.as_ref().map(|w| whole(w, r.head.drawn.colonies)));
    }
    all.extend(o.change.beware.map(str::to_owned));
    all.extend(o.change.warnings.iter().cloned());
    all
}

/// What a change does to a neighbour for the worse.
fn worse(name: &str, g: &Gain, drawn: Draws) -> Vec<String> {
    let mut all = Vec::new();
    if !g.honey.close && g.honey.spread.middle < 0.0 {
        all.push(format!(
            "costs {name} {}",
            size_kg_lb(g.honey.spread.middle)
        ));
    }
    if g.margin.spread.middle < 0.0
        && let Some(m) = phrases::margin(g)
    {
        all.push(format!("{name}: {m}"));
    }
    for (n, [before, after], what, clear) in [
        (g.starved_fewer, g.starved, "starves", g.starving.clear),
        (
            g.too_cold_fewer,
            g.too_cold,
            "is killed by cold alone",
            false,
        ),
    ] {
        if n < 0 && (clear || phrases::worth_telling(n, drawn.colonies)) {
            let sure = if clear { ", more than chance" } else { "" };
            all.push(format!(
                "{name} {what} in {after} instead of {before} of {} draws{sure}",
                drawn.colonies
            ));
        }
    }
    all
}

/// Top foam by thickness: what each step adds; `None` with one thickness only.
fn foam(by: &[(f64, f64)]) -> Option<String> {
    if by.len() < 2 {
        return None;
    }
    let steps: Vec<String> = by
        .windows(2)
        .map(|w| {
            format!(
                "{:.0} to {:.0} mm {:+.1} kg",
                1e3 * w[0].0,
                1e3 * w[1].0,
                w[1].1 - w[0].1
            )
            .replace("-0.0", "+0.0")
        })
        .collect();
    Some(format!("Top foam, step by step: {}", steps.join(", ")))
}
