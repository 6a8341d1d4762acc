//! Several hives on the same draws: as data, as text, as CSV.

use super::phrases::{self, WIDE_MARGIN, kelvin, kg_lb, para, size_kg_lb};
use crate::contest::HeadWords;
use partywall_core::answer::compare::{CompareResult, ComparedColony, Split};
use partywall_core::answer::head::Drawn;
use partywall_core::decision::gains::{Difference, Gain, Standing};
use partywall_core::decision::pairing::Part;
use std::fmt::Write;

/// Widest name in the table, characters.
const NAME: usize = 38;
/// Honey out of reach is told from here on, kg: what rounds to none is not (as `run` does it).
const WORTH_TELLING: f64 = 0.5;

/// The comparison as a keeper reads it.
#[must_use]
pub fn text(r: &CompareResult) -> String {
    let mut t = String::new();
    r.head.opening(&mut t);
    for c in &r.colonies {
        colony(&mut t, r, c);
        let _ = writeln!(t);
    }
    phrases::tail(&mut t, &phrases::basis(&r.head));
    t
}

fn colony(t: &mut String, r: &CompareResult, c: &ComparedColony) {
    para(
        t,
        "",
        "  ",
        &format!("{}: {}", c.stack.to_uppercase(), what_is_needed(r)),
    );
    let usual = c.rows.iter().find_map(|row| row.standing.as_ref());
    let usual = usual.map_or_else(String::new, |s| {
        format!("the usual colony in {} winters", s.winters)
    });
    let _ = writeln!(
        t,
        "  {:NAME$} {:>16} {:>17} {:>9} {:>14}",
        usual, "needs", "to spare", "in hand", "starved"
    );
    for row in &c.rows {
        let name = short(&row.name);
        let Some(s) = &row.standing else {
            let _ = writeln!(t, "  {name:NAME$} no colony there");
            continue;
        };
        if let Some(day) = &row.dies {
            let _ = writeln!(t, "  {name:NAME$} taken to die on {day}");
            continue;
        }
        let [needs, spare, in_hand, starved] = figures(s);
        let _ = writeln!(
            t,
            "  {name:NAME$} {needs:>16} {spare:>17} {in_hand:>9} {starved:>14}"
        );
        if let Some(g) = &row.gain {
            para(t, "      ", "      ", &difference(g, r.head.drawn));
        }
        for words in [left_over(s), too_late(s), no_room(s), killed(s)]
            .into_iter()
            .flatten()
        {
            para(t, "      ", "      ", &words);
        }
    }
    if let Some(p) = &c.pairing {
        para(t, "  ", "    ", &split(p));
    }
    if let Some(d) = &c.doubts {
        para(t, "  ", "    ", &phrases::doubts(d, c.weighed));
    }
}

/// What the first column of figures is of.
pub(super) fn what_is_needed(r: &CompareResult) -> String {
    format!(
        "stores needed on {} for {}, {} of them in reserve",
        r.head.start,
        phrases::in_ten(r.head.level),
        kg_lb(r.head.reserve)
    )
}

/// Stores needed and to spare, heat in hand, winters starved.
pub(super) fn figures(s: &Standing) -> [String; 4] {
    [
        s.stores_needed.map_or_else(
            || kg_lb(s.need_middling),
            |kg| super::words::Units::Both.need(kg),
        ),
        s.spare.map_or_else(|| "too few winters".to_owned(), kg_lb),
        in_hand(s),
        format!("{} of {}", s.starved, s.winters),
    ]
}

/// Honey that stays where bees do not get at it, if it is worth telling.
pub(super) fn left_over(s: &Standing) -> Option<String> {
    (s.unreached >= WORTH_TELLING).then(|| {
        format!(
            "{} of what it needs stays where bees do not get at it",
            kg_lb(s.unreached)
        )
    })
}

/// Stores of syrup planned that come too late, if they are worth telling.
pub(super) fn too_late(s: &Standing) -> Option<String> {
    (s.late >= WORTH_TELLING).then(|| {
        format!(
            "{} of its syrup comes too late for all of it to be taken in autumn and is not in what it has to spare; give dry sugar or fondant then",
            kg_lb(s.late)
        )
    })
}

/// Stores of the feeding planned that find no room, if they are worth telling.
pub(super) fn no_room(s: &Standing) -> Option<String> {
    (s.no_room >= WORTH_TELLING).then(|| {
        format!(
            "{} of the feeding planned finds no room in its combs in autumn and is not in what it has to spare; give less, or more drawn comb",
            kg_lb(s.no_room)
        )
    })
}

/// Winters in which the cold alone kills, if there are any.
pub(super) fn killed(s: &Standing) -> Option<String> {
    (s.too_cold > 0).then(|| {
        format!(
            "the usual colony is killed by cold alone in {} of {} winters",
            s.too_cold, s.winters
        )
    })
}

fn short(name: &str) -> String {
    if name.chars().count() <= NAME {
        return name.to_owned();
    }
    let cut: String = name.chars().take(NAME - 2).collect();
    format!("{cut}..")
}

fn in_hand(s: &Standing) -> String {
    if s.heat_in_hand > WIDE_MARGIN {
        format!("> {WIDE_MARGIN:.0} C")
    } else if s.heat_in_hand < 0.5 {
        "none".to_owned()
    } else {
        format!("{:.0} C", s.heat_in_hand)
    }
}

/// What a row gains over the draws, with how much of the spread is winters.
pub(super) fn difference(g: &Gain, drawn: Drawn) -> String {
    let mut parts = vec![format!(
        "{} draws: {}",
        drawn.colonies,
        phrases::honey(&g.honey, false)
    )];
    if let (false, Some(w)) = (g.honey.close, g.honey_by_winters) {
        parts[0].push_str(&format!(
            "; the usual colony {:.1} to {:.1} by winters",
            w.low.abs().min(w.high.abs()),
            w.low.abs().max(w.high.abs())
        ));
    }
    parts.extend(phrases::margin(g));
    parts.extend(phrases::counts(g, drawn.colonies));
    parts.extend(phrases::odd(g).map(str::to_owned));
    parts.join("; ")
}

/// What pairing buys, and where it comes from.
pub(super) fn split(p: &Split) -> String {
    let said = |d: &Difference| {
        if d.close {
            "nothing a scale would show".to_owned()
        } else if d.spread.middle > 0.0 {
            size_kg_lb(d.spread.middle)
        } else {
            format!("-{}", size_kg_lb(d.spread.middle))
        }
    };
    let part = |want: Part| {
        let found = p.parts.iter().find(|(w, _)| *w == want);
        found.map_or_else(String::new, |(_, g)| said(&g.honey))
    };
    let wide = p.whole.heat_in_hand.iter().all(|h| *h > WIDE_MARGIN);
    let margin = if p.whole.margin.close || wide {
        "the weakest moment is as safe either way".to_owned()
    } else {
        let k = p.whole.margin.spread.middle;
        format!(
            "the weakest moment is {} safer {}",
            kelvin(k.abs()),
            if k > 0.0 { "together" } else { "apart" }
        )
    };
    format!(
        "Together against apart ({}): honey saved {}; of that out of the wind {}, with the gap between them shut {}, through the \
         centre wall {}; {margin}",
        p.of,
        said(&p.whole.honey),
        part(Part::Wind),
        part(Part::Wrap),
        part(Part::Wall)
    )
}

/// One row per colony and hive.
///
/// # Errors
/// Writing failed.
pub fn csv(r: &CompareResult) -> Result<Vec<u8>, ::csv::Error> {
    let mut out = ::csv::Writer::from_writer(Vec::new());
    out.write_record([
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
    ])?;
    let kg = |v: f64| format!("{v:.3}");
    let some = |v: Option<f64>| v.map_or_else(String::new, kg);
    for c in &r.colonies {
        for row in &c.rows {
            let Some(s) = &row.standing else { continue };
            let g = row.gain;
            out.write_record([
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
            ])?;
        }
    }
    out.into_inner()
        .map_err(|e| ::csv::Error::from(e.into_error()))
}
