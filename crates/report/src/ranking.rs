//! What each change buys: as data, as text, as CSV.

mod rows;

pub use rows::{csv, variants};

use super::phrases::{self, capital, kg_lb, para, size_kg_lb};
use super::together::{no_more, whole};
use crate::contest::HeadWords;
use partywall_core::answer::head::Drawn;
use partywall_core::answer::rank::{RankResult, RankedColony};
use partywall_core::decision::changes::Group;
use partywall_core::decision::gains::Gain;
use partywall_core::decision::ranking::Outcome;
use std::fmt::Write;

/// The ranking as a keeper reads it.
#[must_use]
pub fn text(r: &RankResult) -> String {
    let mut t = String::new();
    r.head.opening(&mut t);
    for k in 0..r.colonies.len() {
        colony(&mut t, r, k);
        let _ = writeln!(t);
    }
    if !r.left_out.is_empty() {
        let _ = writeln!(t, "Left out, because they cannot be done on this stand");
        for l in &r.left_out {
            para(&mut t, "  ", "    ", &format!("{}: {}", l.words, l.why));
        }
        let _ = writeln!(t);
    }
    phrases::tail(&mut t, &basis(r));
    t
}

/// What a ranking rests on, one paragraph each.
pub(super) fn basis(r: &RankResult) -> Vec<String> {
    let mut lines = phrases::basis(&r.head);
    lines.push(
        "Syrup is put on on the day told; `partywall run` tells until when bees still take it."
            .to_owned(),
    );
    lines.push(
        "One change at a time: two together do not simply add up. = marks what cannot be told from the line above it."
            .to_owned(),
    );
    lines
}

/// Heading of what is moved to a colony that is not short.
pub(super) const NOT_SHORT: &str =
    "Not needed by its stores: syrup, honey or bees moved buy it what they cost elsewhere";

/// Heading of what saves winters without saving honey.
pub(super) const SAVES: &str = "Keeps it from starving, though its honey is too close to call";

/// Heading of what costs winters without costing honey.
pub(super) const STARVES: &str = "Makes it starve, though its honey is too close to call";

/// Heading of what cannot be told from nothing.
pub(super) const CLOSE: &str = "Too close to call for its honey, and for starving";

/// Told when nothing helps.
pub(super) const NOTHING: &str = "No change to the hive buys it honey that a scale would show";

fn colony(t: &mut String, r: &RankResult, k: usize) {
    let c = &r.colonies[k];
    para(t, "", "  ", &head(r, c));
    if c.ranking.helps.is_empty() {
        let _ = writeln!(t, "  {NOTHING}");
    }
    for h in &c.ranking.helps {
        let o = &r.changes[h.outcome];
        let Some(g) = o.gains[k] else { continue };
        let place = if h.same {
            "  =".to_owned()
        } else {
            format!("{:>3}", h.place)
        };
        para(
            t,
            &format!("{place}  "),
            "       ",
            &format!(
                "{}: {}",
                capital(&o.change.words),
                phrases::honey(&g.honey, o.change.group.is_move())
            ),
        );
        beside(t, r, k, h.outcome);
    }
    if !c.ranking.moves.is_empty() {
        let _ = writeln!(t, "  {NOT_SHORT}");
        for i in &c.ranking.moves {
            let o = &r.changes[*i];
            let Some(g) = o.gains[k] else { continue };
            let words = format!(
                "{}: {}",
                capital(&o.change.words),
                phrases::honey(&g.honey, o.change.group.is_move())
            );
            para(t, "    -  ", "       ", &words);
            beside(t, r, k, *i);
        }
    }
    for (heading, list) in [
        (SAVES, &c.ranking.saves),
        (STARVES, &c.ranking.starves),
        (CLOSE, &c.ranking.close),
    ] {
        if !list.is_empty() {
            let _ = writeln!(t, "  {heading}");
        }
        for i in list {
            let o = &r.changes[*i];
            let Some(g) = o.gains[k] else { continue };
            para(
                t,
                "    -  ",
                "       ",
                &format!("{} ({})", capital(&o.change.words), numbers(&g)),
            );
            beside(t, r, k, *i);
        }
    }
    if !c.ranking.costs.is_empty() {
        let _ = writeln!(t, "  Would cost it honey");
        for i in &c.ranking.costs {
            let o = &r.changes[*i];
            let Some(g) = o.gains[k] else { continue };
            para(
                t,
                "    -  ",
                "       ",
                &format!(
                    "{}: {}{}",
                    capital(&o.change.words),
                    phrases::honey(&g.honey, o.change.group.is_move()),
                    phrases::odd(&g).map_or_else(String::new, |why| format!("; {why}"))
                ),
            );
            beside(t, r, k, *i);
        }
    }
    let gone = gone(r, k);
    if !gone.is_empty() {
        let _ = writeln!(t, "  {GONE}");
    }
    for words in gone {
        para(t, "    -  ", "       ", &words);
    }
    if let Some(words) = foam(&c.ranking.top_foam) {
        para(t, "  ", "    ", &words);
    }
    if let Some(d) = &c.doubts {
        para(t, "  ", "    ", &phrases::doubts(d, c.weighed));
    }
}

/// Heading of changes that take the colony away.
pub(super) const GONE: &str = "Or gives it up";

/// Changes that take a colony away, with what they do to the stand.
pub(super) fn gone(r: &RankResult, k: usize) -> Vec<String> {
    let c = &r.colonies[k];
    let takes = r
        .changes
        .iter()
        .filter(|o| o.gains.get(k).is_some_and(Option::is_none));
    let told = |o: &Outcome| {
        let mut all = vec![no_more(c)];
        all.extend(o.whole.as_ref().map(|w| whole(w, r.head.drawn.colonies)));
        all.extend(o.change.beware.map(str::to_owned));
        format!("{}: {}", capital(&o.change.words), all.join("; "))
    };
    takes.map(told).collect()
}

/// The middle and the range of a change that is too close to call.
fn numbers(g: &Gain) -> String {
    let s = g.honey.spread;
    format!("{:+.1} kg, {:+.1} to {:+.1}", s.middle, s.low, s.high).replace("-0.0", "+0.0")
}

/// How the colony stands, and the first thing to do.
fn head(r: &RankResult, c: &RankedColony) -> String {
    format!(
        "{}: {}. What each change buys, over {} draws:",
        c.stack.to_uppercase(),
        stands(r, c),
        r.head.drawn.colonies
    )
}

/// How the colony stands now, over the winters and over the draws.
pub(super) fn stands(r: &RankResult, c: &RankedColony) -> String {
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

/// Writes what else a change does.
fn beside(t: &mut String, r: &RankResult, k: usize, i: usize) {
    let all = besides(r, k, i);
    if !all.is_empty() {
        para(t, "       ", "       ", &all.join("; "));
    }
}

/// What else a change does: the margin, starving, the neighbours, what is not computed.
pub(super) fn besides(r: &RankResult, k: usize, i: usize) -> Vec<String> {
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
fn worse(name: &str, g: &Gain, drawn: Drawn) -> Vec<String> {
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
pub(super) fn foam(by: &[(f64, f64)]) -> Option<String> {
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
