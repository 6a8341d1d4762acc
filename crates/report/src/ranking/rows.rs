//! A ranking as rows, and its changes as variants to be compared.

use crate::csv::Sheet;
use crate::texts::said;
use partywall_core::answer::rank::RankResult;
use std::fmt::Write;

/// One row per change and colony.
///
/// # Errors
/// Writing failed.
pub fn csv(r: &RankResult) -> Result<Vec<u8>, ::csv::Error> {
    let mut out = Sheet::new([
        "colony",
        "place",
        "change",
        "gain_kg",
        "gain_low_kg",
        "gain_high_kg",
        "draws_better",
        "draws_worse",
        "too_close",
        "margin_gain_k",
        "starved_fewer",
        "killed_by_cold_fewer",
        "starved_before",
        "starved_after",
        "starving_beyond_chance",
        "drip_days_before",
        "drip_days_after",
        "draws_dripped_before",
        "draws_dripped_after",
        "lid_most_before_kg",
        "lid_most_after_kg",
    ])?;
    for (k, c) in r.colonies.iter().enumerate() {
        for (i, o) in r.changes.iter().enumerate() {
            let Some(g) = o.gains[k] else { continue };
            let place = c.ranking.helps.iter().find(|h| h.outcome == i);
            out.row([
                c.stack.clone(),
                place.map_or_else(String::new, |h| h.place.to_string()),
                o.change.words.clone(),
                format!("{:.3}", g.honey.spread.middle),
                format!("{:.3}", g.honey.spread.low),
                format!("{:.3}", g.honey.spread.high),
                g.honey.better.to_string(),
                g.honey.worse.to_string(),
                g.honey.close.to_string(),
                format!("{:.2}", g.margin.spread.middle),
                g.starved_fewer.to_string(),
                g.too_cold_fewer.to_string(),
                g.starved[0].to_string(),
                g.starved[1].to_string(),
                g.starving.clear.to_string(),
                format!("{:.0}", g.drip_days[0]),
                format!("{:.0}", g.drip_days[1]),
                g.dripped[0].to_string(),
                g.dripped[1].to_string(),
                format!("{:.3}", g.lid_most[0]),
                format!("{:.3}", g.lid_most[1]),
            ])?;
        }
    }
    out.bytes()
}

/// The changes as variants, to be put under the scenario and compared.
#[must_use]
pub fn variants(r: &RankResult) -> String {
    let mut t = String::from(said("rank.changes_were_tried_one"));
    for o in &r.changes {
        // Names of stacks are the user's and may hold quotes.
        let name = serde_json::Value::String(o.change.words.chars().take(60).collect());
        let _ = write!(t, "\n[[variant]]\nname = {name}\n{}", o.change.patch);
    }
    t
}
