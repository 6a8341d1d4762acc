//! The twelve variants of the demo, each colony against the pair as written.

use partywall_core::answer::{self, CompareResult, ComparisonOptions, Entry};
use partywall_core::climate;
use partywall_core::climate::raw::PartialStation;
use partywall_core::scenario;
use std::error::Error;
use std::fmt::Write;

/// The demo's variants held against it.
pub(crate) fn compared() -> Result<CompareResult, Box<dyn Error>> {
    let family = scenario::built_in_source("larch-twelve")?.family()?;
    let mut entries = vec![Entry {
        name: answer::rank::AS_WRITTEN.to_owned(),
        scenario: family.base.scenario,
        warnings: family.base.warnings,
    }];
    entries.extend(family.variants.into_iter().map(|v| Entry {
        name: v.name,
        scenario: v.loaded.scenario,
        warnings: v.loaded.warnings,
    }));
    let record = climate::built_in("champion", &PartialStation::default())?;
    Ok(answer::compare(
        &entries,
        0,
        record,
        &ComparisonOptions::default(),
        &(),
    )?)
}

/// A row a variant: need in a middling winter, winters starved, honey gained over the draws.
pub(crate) fn table(result: &CompareResult) -> String {
    let mut t = String::new();
    for c in &result.colonies {
        let _ = writeln!(
            t,
            "**{}**: need is honey eaten in a middling winter; the gain is honey against the stand as written, middle of {} draws with eight \
             in ten; `=` is too close to call.\n\n| | need | starved | honey gained |\n|---|---|---|---|",
            c.stack, result.head.drawn.colonies
        );
        for row in &c.rows {
            let Some(s) = &row.standing else { continue };
            let gained = row.gain.as_ref().map_or_else(String::new, |g| {
                let d = &g.honey;
                let mark = if d.close { "= " } else { "" };
                let [middle, low, high] =
                    [d.spread.middle, d.spread.low, d.spread.high].map(crate::tenths);
                format!("{mark}{middle:+.1} kg ({low:+.1} to {high:+.1})")
            });
            let _ = writeln!(
                t,
                "| {} | {:.1} kg | {} of {} | {gained} |",
                row.name, s.need_middling, s.starved, s.winters
            );
        }
        t.push('\n');
    }
    t
}
