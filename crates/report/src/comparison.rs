//! Several hives on the same draws: as a document, as CSV.

use super::contest::{self, Bars, Drawn};
use super::document::{Answer, Column, Document, Line, Row, Section, Table};
use super::phrases::{self, WIDE_MARGIN, capital, kelvin, kg_lb, size_kg_lb};
use super::pictures::PictureError;
use super::words::{LightWords, Units};
use crate::csv::Sheet;
use crate::text;
use crate::texts::{either, said};
use partywall_core::answer::compare::{CompareResult, ComparedColony, Row as Hive, Split};
use partywall_core::answer::head::Drawn as Draws;
use partywall_core::decision::gains::{Difference, Gain, Standing};
use partywall_core::decision::pairing::Part;

/// Widest name in the table of a text, characters.
const NAME: usize = 38;
/// Honey out of reach is told from here on, kg: what rounds to none is not (as `run` does it).
const WORTH_TELLING: f64 = 0.5;

/// The comparison as a keeper reads it.
#[must_use]
pub fn document(r: &CompareResult) -> Document {
    let question = text!("compare.which_way_winter_them", against = r.against);
    Document {
        answers: r.colonies.iter().map(|c| answer(r, c)).collect(),
        ..contest::document(&r.head, &question)
    }
}

/// A bar for each hive that a colony gains or loses in; none for a colony that no other hive has.
///
/// # Errors
/// A value that is not a number.
pub fn bars(r: &CompareResult) -> Result<Vec<Drawn>, PictureError> {
    contest::bars(&r.colonies, |k, c| {
        let bar = |row: &Hive| Some(contest::bar(row.name.clone(), &row.gain?.honey));
        Bars {
            head: &r.head,
            title: text!(
                "compare.honey_against",
                stack = c.stack,
                against = r.against
            ),
            groups: vec![(
                said("compare.order_file"),
                c.rows.iter().filter_map(bar).collect(),
            )],
            caption: text!(
                "compare.honey_more_less_than",
                stack = r.colonies[k].stack,
                against = r.against
            ),
        }
    })
}

fn answer(r: &CompareResult, c: &ComparedColony) -> Answer {
    let gains = || c.rows.iter().filter_map(|row| Some((row, row.gain?)));
    let clear = || gains().filter(|(_, g)| !g.honey.close);
    let by_honey = |a: &(&Hive, Gain), b: &(&Hive, Gain)| {
        let honey = |g: &Gain| g.honey.spread.middle;
        honey(&a.1).total_cmp(&honey(&b.1))
    };
    let told = |g: &Gain| difference(g, r.head.drawn);
    let against = format!("\"{}\"", r.against);
    let mut answer = Answer {
        name: c.stack.clone(),
        sections: vec![Section::table(said("compare.all_hives"), table(r, c))],
        ..Answer::default()
    };
    let best = clear().max_by(by_honey);
    match best.filter(|(_, g)| g.honey.spread.middle > 0.0) {
        Some((row, g)) => {
            said("compare.most_honey").clone_into(&mut answer.lead);
            answer.answer.clone_from(&row.name);
            answer.more = told(&g);
        }
        None => {
            said("compare.much_can_told_nothing").clone_into(&mut answer.lead);
            answer.answer.clone_from(&against);
        }
    }
    let own = c.rows.iter().find(|row| row.name == r.against);
    if let Some(s) = own.and_then(|row| row.standing) {
        let [needs, spare, in_hand, starved] = figures(&s);
        let words = text!(
            "compare.needs_spare_heat_hand",
            needs,
            spare,
            in_hand,
            starved
        );
        answer.lines.push(Line::again(against, words));
    }
    let worst = clear().min_by(by_honey);
    if let Some((row, g)) = worst.filter(|(_, g)| g.honey.spread.middle < 0.0) {
        let words = format!("{}: {}", row.name, told(&g));
        answer
            .lines
            .push(Line::again(said("compare.least_honey"), words));
    }
    let close = gains().filter(|(_, g)| g.honey.close).count();
    if close > 0 {
        let words = format!("{close} of {}", gains().count());
        answer
            .lines
            .push(Line::again(said("compare.too_close_call"), words));
    }
    let pairing = c
        .pairing
        .iter()
        .map(|p| Line::new(said("compare.pairing"), split(p)));
    answer.lines.extend(pairing);
    answer
        .lines
        .extend(contest::how_sure(c.doubts.as_ref(), c.weighed));
    answer
}

fn table(r: &CompareResult, c: &ComparedColony) -> Table {
    let usual = c.rows.iter().find_map(|row| row.standing.as_ref());
    let usual = usual.map_or_else(String::new, |s| {
        text!("compare.usual_colony_winters", winters = s.winters)
    });
    Table {
        caption: format!("{}{usual}", capital(&what_is_needed(r))),
        columns: vec![
            Column::words(said("compare.hive")).at_most(NAME),
            Column::figures(said("compare.needs")),
            Column::figures(said("compare.spare")),
            Column::figures(said("compare.hand")),
            Column::figures(said("compare.starved")),
        ],
        rows: c.rows.iter().map(|row| told(r, row)).collect(),
        ..Table::default()
    }
}

/// A row of the table; without figures where there is no living colony.
fn told(r: &CompareResult, row: &Hive) -> Row {
    let (figures, notes) = match (&row.standing, &row.dies) {
        (None, _) => (Default::default(), vec![text!("compare.no_colony_there")]),
        (_, Some(day)) => (Default::default(), vec![text!("compare.taken_die", day)]),
        (Some(s), None) => {
            let gain = row.gain.iter().map(|g| difference(g, r.head.drawn));
            let more = [left_over(s), too_late(s), no_room(s), killed(s)];
            let more = more.into_iter().flatten().chain([damp(s)]);
            (figures(s), gain.chain(more).collect())
        }
    };
    Row {
        cells: [row.name.clone()].into_iter().chain(figures).collect(),
        notes,
    }
}

/// What the first column of figures is of.
fn what_is_needed(r: &CompareResult) -> String {
    text!(
        "compare.stores_needed_them_reserve",
        start = r.head.start,
        level = phrases::in_ten(r.head.level),
        reserve = kg_lb(r.head.reserve)
    )
}

/// Stores needed and to spare, heat in hand, winters starved.
fn figures(s: &Standing) -> [String; 4] {
    [
        s.stores_needed
            .map_or_else(|| kg_lb(s.need_middling), |kg| Units::Both.need(kg)),
        s.spare
            .map_or_else(|| text!("compare.too_few_winters"), kg_lb),
        in_hand(s),
        format!("{} of {}", s.starved, s.winters),
    ]
}

/// Honey that stays where bees do not get at it, if it is worth telling.
fn left_over(s: &Standing) -> Option<String> {
    (s.unreached >= WORTH_TELLING).then(|| {
        text!(
            "compare.what_needs_stays_where",
            unreached = kg_lb(s.unreached)
        )
    })
}

/// Stores of syrup planned that come too late, if they are worth telling.
fn too_late(s: &Standing) -> Option<String> {
    (s.late >= WORTH_TELLING).then(|| text!("compare.syrup_comes_too_late", late = kg_lb(s.late)))
}

/// Stores of the feeding planned that find no room, if they are worth telling.
fn no_room(s: &Standing) -> Option<String> {
    (s.no_room >= WORTH_TELLING).then(|| {
        text!(
            "compare.feeding_planned_finds_no",
            no_room = kg_lb(s.no_room)
        )
    })
}

/// Winters in which the cold alone kills, if there are any.
fn killed(s: &Standing) -> Option<String> {
    (s.too_cold > 0).then(|| {
        text!(
            "compare.usual_colony_killed_cold",
            too_cold = s.too_cold,
            winters = s.winters
        )
    })
}

/// Drip on the bees and dew under the lid in a poor winter; below five winters in the worst of them.
fn damp(s: &Standing) -> String {
    let w = &s.water;
    let lid = Units::Both.light(w.lid_most.poor.unwrap_or(w.lid_worst));
    match w.drip_days.poor {
        Some(days) => text!("compare.damp", days = phrases::days(days), lid),
        None => text!(
            "compare.damp_few_winters",
            dripped = w.winters_dripped,
            winters = s.winters,
            lid
        ),
    }
}

fn in_hand(s: &Standing) -> String {
    if s.heat_in_hand > WIDE_MARGIN {
        format!("> {WIDE_MARGIN:.0} C")
    } else if s.heat_in_hand < 0.5 {
        text!("compare.none")
    } else {
        format!("{:.0} C", s.heat_in_hand)
    }
}

/// What a row gains over the draws, with how much of the spread is winters.
fn difference(g: &Gain, drawn: Draws) -> String {
    let mut parts = vec![text!(
        "compare.draws",
        colonies = drawn.colonies,
        words = phrases::honey(&g.honey, false)
    )];
    if let (false, Some(w)) = (g.honey.close, g.honey_by_winters) {
        parts[0].push_str(&text!(
            "compare.usual_colony_range",
            from = format!("{:.1}", w.low.abs().min(w.high.abs())),
            to = format!("{:.1}", w.low.abs().max(w.high.abs()))
        ));
    }
    parts.extend(phrases::margin(g));
    parts.extend(phrases::counts(g, drawn.colonies));
    parts.extend(phrases::odd(g).map(str::to_owned));
    parts.join("; ")
}

/// What pairing buys, and where it comes from.
fn split(p: &Split) -> String {
    let told = |d: &Difference| {
        if d.close {
            text!("compare.nothing_scale_would_show")
        } else if d.spread.middle > 0.0 {
            size_kg_lb(d.spread.middle)
        } else {
            format!("-{}", size_kg_lb(d.spread.middle))
        }
    };
    let part = |want: Part| {
        let found = p.parts.iter().find(|(w, _)| *w == want);
        found.map_or_else(String::new, |(_, g)| told(&g.honey))
    };
    let wide = p.whole.heat_in_hand.iter().all(|h| *h > WIDE_MARGIN);
    let margin = if p.whole.margin.close || wide {
        text!("compare.weakest_moment_safe_either")
    } else {
        let k = p.whole.margin.spread.middle;
        text!(
            "compare.weakest_moment_safer",
            kelvins = kelvin(k.abs()),
            how = either(k > 0.0, "compare.together", "compare.apart")
        )
    };
    text!(
        "compare.together_against_apart_honey",
        of = p.of,
        honey = told(&p.whole.honey),
        wind = part(Part::Wind),
        wrap = part(Part::Wrap),
        wall = part(Part::Wall),
        margin
    )
}

/// One row per colony and hive.
///
/// # Errors
/// Writing failed.
pub fn csv(r: &CompareResult) -> Result<Vec<u8>, ::csv::Error> {
    let mut out = Sheet::new([
        "colony",
        "hive",
        "stores_needed_kg",
        "spare_kg",
        "has_kg",
        "need_middling_kg",
        "least_heat_in_hand_k",
        "starved",
        "beside_honey",
        "killed_by_cold",
        "winters",
        "gain_kg",
        "gain_low_kg",
        "gain_high_kg",
        "draws_better",
        "draws_worse",
        "too_close",
        "margin_gain_k",
        "margin_gain_low_k",
        "margin_gain_high_k",
        "drip_days_poor",
        "winters_dripped",
        "lid_most_poor_kg",
    ])?;
    let kg = |v: f64| format!("{v:.3}");
    let some = |v: Option<f64>| v.map_or_else(String::new, kg);
    for c in &r.colonies {
        for row in &c.rows {
            let Some(s) = &row.standing else { continue };
            let g = row.gain;
            out.row([
                c.stack.clone(),
                row.name.clone(),
                some(s.stores_needed),
                some(s.spare),
                kg(s.has),
                kg(s.need_middling),
                format!("{:.2}", s.heat_in_hand),
                s.starved.to_string(),
                s.beside.to_string(),
                s.too_cold.to_string(),
                s.winters.to_string(),
                some(g.map(|g| g.honey.spread.middle)),
                some(g.map(|g| g.honey.spread.low)),
                some(g.map(|g| g.honey.spread.high)),
                g.map_or_else(String::new, |g| g.honey.better.to_string()),
                g.map_or_else(String::new, |g| g.honey.worse.to_string()),
                g.map_or_else(String::new, |g| g.honey.close.to_string()),
                some(g.map(|g| g.margin.spread.middle)),
                some(g.map(|g| g.margin.spread.low)),
                some(g.map(|g| g.margin.spread.high)),
                s.water
                    .drip_days
                    .poor
                    .map_or_else(String::new, |d| format!("{d:.0}")),
                s.water.winters_dripped.to_string(),
                some(s.water.lid_most.poor),
            ])?;
        }
    }
    out.bytes()
}
