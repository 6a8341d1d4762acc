//! Page one: what each colony needs, has and risks, in the words of the text answer.

use super::PageError;
use crate::report::pictures::axis::day;
use crate::report::result::{ColonyResult, RunResult};
use crate::report::text::{
    celsius, in_hand, kg_lb, lifts, pairing, poor_winter, standing, starving,
};
use jiff::civil::Date;

/// One colony as page one shows it.
pub struct Colony {
    /// Name of the hive.
    pub name: String,
    /// "comfortable", "watch" or "act now", and the number behind it.
    pub status: (&'static str, String),
    /// What the scale must read; `None` with too few winters.
    pub target: Option<Target>,
    /// Rows of the table: what, and how much.
    pub rows: Vec<(&'static str, String)>,
}

/// The target reading.
pub struct Target {
    /// "57 kg (125 lb)".
    pub reading: String,
    /// How it is lifted.
    pub lifts: String,
    /// Give or take.
    pub error: String,
}

/// What is left on the day of first nectar when so much has been eaten, both kg.
fn left(r: &RunResult, stores: f64, need: f64) -> String {
    let (rest, on) = (stores - need, &r.first_nectar);
    if rest < 0.0 {
        format!("none on {on}: {} too little", kg_lb(-rest))
    } else {
        format!("{} on {on}", kg_lb(rest))
    }
}

/// Puts one colony together; `until` is the last day for syrup.
pub fn colony(r: &RunResult, c: &ColonyResult, until: Option<Date>) -> Colony {
    let n = c.winters.len();
    let small = 2 * c.too_cold > n;
    let mut rows = Vec::new();
    match &c.target {
        Some(g) if !small => {
            let mut now = standing(c, g);
            if g.spare < -g.tare_error
                && let Some(day_words) = until.map(day)
            {
                now += &format!(
                    "; fed by about {day_words}, when highs fall below 13 C (55 F) in a middling year"
                );
            }
            rows.push(("On the scale", now));
            rows.push((
                "Left in a middling winter",
                left(r, c.stores, g.need_middling),
            ));
            rows.push((
                "Left in a poor winter",
                format!("{} ({})", left(r, c.stores, g.need_poor), poor_winter(r, g)),
            ));
            if g.ran_out > 0 {
                rows.push(("Starving", starving(r, c, g)));
            }
        }
        _ => {
            rows.push(("Stores now", kg_lb(c.stores)));
            let mut eaten: Vec<f64> = c.winters.iter().map(|w| w.eaten).collect();
            eaten.sort_by(f64::total_cmp);
            if let (Some(least), Some(most)) = (eaten.first(), eaten.last()) {
                rows.push(("Left in the mildest winter", left(r, c.stores, *least)));
                rows.push(("Left in the hardest winter", left(r, c.stores, *most)));
            }
        }
    }
    if let Some(club) = c.club_stores {
        rows.push(("Your club's stores", kg_lb(club)));
    }
    let m = &c.weakest.moment;
    rows.push((
        "Weakest moment",
        format!(
            "{} {}, {} outside{}: {}",
            day(m.time.date()),
            m.time.year(),
            celsius(m.outside_c),
            if m.brood {
                ", with brood to keep warm"
            } else {
                ""
            },
            in_hand(m)
        ),
    ));
    if let Some(p) = &c.pairing {
        let line = pairing(p, n);
        let text = line.split_once(": ").map_or(line.as_str(), |(_, t)| t);
        rows.push(("Butted or apart", text.to_owned()));
    }
    Colony {
        name: c.stack.clone(),
        status: status(c),
        target: c.target.as_ref().filter(|_| !small).map(|g| Target {
            reading: kg_lb(g.gross),
            lifts: lifts(c, g).trim_start_matches(", ").to_owned(),
            error: kg_lb(g.tare_error),
        }),
        rows,
    }
}

/// Three words only, each with the number behind it.
fn status(c: &ColonyResult) -> (&'static str, String) {
    let n = c.winters.len();
    let Some(g) = &c.target else {
        let starved = c.winters.iter().filter(|w| w.starved.is_some()).count();
        let words = format!(
            "starved in {starved} of {n}, killed by cold in {} of {n}",
            c.too_cold
        );
        let bad = starved > 0 || c.too_cold > 0;
        return (if bad { "act now" } else { "watch" }, words);
    };
    // The words of the row below, so that no two roundings of one number meet.
    let now = standing(c, g);
    let numbers = now
        .split_once(": ")
        .map_or_else(|| now.clone(), |(_, t)| t.to_owned());
    if 2 * c.too_cold > n {
        let words = format!(
            "too small: the cold kills it in {} of {n} winters",
            c.too_cold
        );
        ("act now", words)
    } else if g.spare < -g.tare_error {
        ("act now", numbers)
    } else if g.spare < g.tare_error {
        ("watch", numbers)
    } else if g.ran_out > 0 || c.too_cold > 0 {
        let lost = g.ran_out.max(c.too_cold);
        (
            "watch",
            format!("heavy enough, but lost in {lost} of {n} winters as it stands"),
        )
    } else {
        ("comfortable", numbers)
    }
}

/// Refuses a result with a number that is none.
pub fn finite(r: &RunResult) -> Result<(), PageError> {
    for c in &r.colonies {
        let mut all = vec![("stores", c.stores), ("gross", c.gross), ("bees", c.bees)];
        // What the others are made of comes first.
        all.extend(c.winters.iter().map(|w| ("eaten", w.eaten)));
        let (w, k) = (&c.weakest.moment, &c.coldest);
        all.extend([
            (
                "weakest moment",
                w.outside_c + w.around_c + w.mantle_margin + w.heat_in_hand,
            ),
            (
                "coldest hour",
                k.outside_c + k.mantle_margin + k.heat_in_hand,
            ),
        ]);
        if let Some(g) = &c.target {
            all.extend([("target", g.gross), ("need", g.need_middling + g.need_poor)]);
        }
        if let Some(p) = &c.pairing {
            all.push(("pairing", p.saved_middling + p.heat_in_hand_gained));
        }
        if let Some((what, v)) = all.iter().find(|(_, v)| !v.is_finite()) {
            return Err(PageError::NotANumber(format!("{} {what}: {v}", c.stack)));
        }
    }
    Ok(())
}
