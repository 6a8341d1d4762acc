//! What each change buys: as a document, as CSV.

mod hole;
mod rows;

use hole::upper_hole;
pub use rows::{csv, variants};

use super::contest::{self, Bars, Drawn};
use super::document::{Answer, Column, Document, Line, Row, Section, Table};
use super::phrases::{self, capital, kg_lb, size_kg_lb};
use super::pictures::PictureError;
use super::together::{no_more, whole};
use crate::text;
use crate::texts::{either, listed, said};
use partywall_core::answer::head::Drawn as Draws;
use partywall_core::answer::rank::{RankResult, RankedColony};
use partywall_core::decision::changes::Group;
use partywall_core::decision::gains::Gain;

/// The ranking as a keeper reads it.
#[must_use]
pub fn document(r: &RankResult) -> Document {
    let head = contest::document(&r.head, said("rank.what_worth_saturday_one"));
    let left_out = r.left_out.iter().map(|l| format!("{}: {}", l.words, l.why));
    Document {
        answers: (0..r.colonies.len()).map(|k| answer(r, k)).collect(),
        sections: vec![Section::list(
            said("rank.left_out_because_they"),
            left_out.collect(),
        )],
        basis: head
            .basis
            .into_iter()
            .chain(listed("rank.basis").iter().cloned())
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
        let mut groups = vec![(
            said("rank.buys_honey"),
            helps.iter().filter_map(bar).collect(),
        )];
        let lists = lists(c).map(|l| (l.short, l.changes.iter().filter_map(bar).collect()));
        groups.extend(lists);
        Bars {
            head: &r.head,
            title: text!("rank.what_each_change_buys", stack = c.stack),
            groups,
            caption: text!("rank.honey_each_change_buys", stack = c.stack),
        }
    })
}

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
            said("rank.not_needed_stores_syrup"),
            said("rank.not_needed_stores"),
            c.ranking.moves.as_slice(),
            false,
        ),
        list(
            said("rank.keeps_from_starving_though"),
            said("rank.keeps_from_starving"),
            &c.ranking.saves,
            true,
        ),
        list(
            said("rank.makes_starve_though_honey"),
            said("rank.makes_starve"),
            &c.ranking.starves,
            true,
        ),
        list(
            said("rank.too_close_call_honey"),
            said("rank.too_close_call"),
            &c.ranking.close,
            true,
        ),
        list(
            said("rank.would_cost_honey"),
            said("rank.costs_honey"),
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
        lines: vec![Line::new(said("rank.now"), capital(&stands(r, c)))],
        sections: vec![Section {
            heading: text!("rank.all_changes"),
            table: Some(table(r, k)),
            list: foam(&c.ranking.top_foam).into_iter().collect(),
            ..Section::default()
        }],
        ..Answer::default()
    };
    let mut again = Vec::new();
    match c.ranking.helps.split_first() {
        None => said("rank.nothing").clone_into(&mut answer.answer),
        Some((best, others)) => {
            let (change, honey) = told(best.outcome);
            said("rank.worth_most").clone_into(&mut answer.lead);
            answer.answer = change;
            let besides = besides(r, k, best.outcome);
            answer.more = [vec![honey], besides].concat().join("; ");
            for h in others.iter().take(first - 1) {
                let place = match h.same {
                    true => text!("rank.same_place"),
                    false => text!("rank.place", place = h.place),
                };
                let (change, honey) = told(h.outcome);
                again.push((place, format!("{change}: {honey}")));
            }
            if others.len() >= first {
                let more = text!("rank.more_buy_honey", others = others.len() + 1 - first);
                again.push((text!("rank.further_down"), more));
            }
        }
    }
    let lists = lists(c).into_iter().filter(|l| !l.changes.is_empty());
    again.extend(lists.map(|l| (l.short.to_owned(), counted(l.changes, r))));
    let gone: Vec<String> = gone(r, k)
        .map(|(change, notes)| format!("{change}: {}", notes.join("; ")))
        .collect();
    if !gone.is_empty() {
        again.push((said("rank.gone").to_owned(), gone.join("; ")));
    }
    let again = again
        .into_iter()
        .map(|(what, words)| Line::again(what, words));
    answer.lines.extend(again);
    let hole = upper_hole(r, k).map(|words| Line::new(said("rank.upper_hole"), words));
    answer.lines.extend(hole);
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
        n => text!("rank.more", count = n),
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
        rows.push(Row::heading(said("rank.gone")));
    }
    rows.extend(gone.map(|(change, notes)| Row {
        cells: vec![change, "-".to_owned(), String::new()],
        notes,
    }));
    Table {
        caption: text!(
            "rank.what_each_change_buys_over",
            colonies = r.head.drawn.colonies
        ),
        columns: vec![
            Column::words(said("rank.change")).at_most(44),
            Column::figures(said("rank.place_head")),
            Column::words(said("rank.honey")).at_most(44),
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
        0 => text!("rank.finds_food_all_winters", winters = s.winters),
        n => text!("rank.starves_winters", count = n, winters = s.winters),
    };
    let unreached = if s.unreached < 0.5 {
        String::new()
    } else {
        text!("rank.out_bees_reach", unreached = kg_lb(s.unreached))
    };
    let stores = match s.spare {
        None => text!("rank.winters_too_few_target", winters = s.winters),
        Some(kg) => text!(
            "rank.stores_for",
            kg = kg_lb(kg.abs()),
            what = either(kg < 0.0, "rank.short", "rank.spare"),
            level = phrases::in_ten(r.head.level),
            unreached
        ),
    };
    text!(
        "rank.stands_usual_colony",
        stores,
        starved,
        colonies = drawn_starves(r, c).map_or_else(String::new, |n| {
            text!(
                "rank.over_draws_starves",
                count = n,
                draws = r.head.drawn.colonies
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
        all.extend(phrases::drip(&g));
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
        all.push(text!(
            "rank.costs",
            name,
            middle = size_kg_lb(g.honey.spread.middle)
        ));
    }
    if g.margin.spread.middle < 0.0
        && let Some(m) = phrases::margin(g)
    {
        all.push(format!("{name}: {m}"));
    }
    if let Some(drip) = phrases::drip(g).filter(|_| g.drip_days[1] > g.drip_days[0]) {
        all.push(format!("{name}: {drip}"));
    }
    for (n, [before, after], what, clear) in [
        (g.starved_fewer, g.starved, "starves", g.starving.clear),
        (
            g.too_cold_fewer,
            g.too_cold,
            said("rank.killed_cold_alone"),
            false,
        ),
    ] {
        if n < 0 && (clear || phrases::worth_telling(n, drawn.colonies)) {
            let sure = either(clear, "rank.more_than_chance", "");
            all.push(text!(
                "rank.instead_draws",
                name,
                what,
                after,
                before,
                draws = drawn.colonies,
                sure
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
    Some(text!("rank.top_foam_step_step", steps = steps.join(", ")))
}
