//! What each built-in stand needs under its own weather.

use partywall_core::answer::{self, RunOptions};
use partywall_core::climate::raw::PartialStation;
use partywall_core::climate::{self, ClimateChoice};
use partywall_core::scenario;
use std::error::Error;
use std::fmt::Write;

/// A row a colony: what it eats, what it must hold and read, and how often it starved.
pub(crate) fn table() -> Result<String, Box<dyn Error>> {
    let mut t = String::from(
        "| stand | weather | colony | eaten in a middling winter | stores to have | the scale should read | starved |\n|---|---|---|---|---|---|---|\n",
    );
    for name in scenario::built_in_names() {
        let stand = scenario::built_in(name)?;
        let ClimateChoice::BuiltIn(weather) = &stand.scenario.climate else {
            continue;
        };
        if stand.scenario.stacks.iter().all(|s| s.colony.is_none()) {
            continue;
        }
        let record = climate::built_in(weather, &PartialStation::default())?;
        let answer = answer::run(&stand, record, &RunOptions::default(), &())?;
        for c in &answer.result.colonies {
            let starved = c.winters.iter().filter(|w| w.starved.is_some()).count();
            let reading = c.advice.as_ref().and_then(|a| a.reading.as_ref());
            let kg = |v: Option<f64>| v.map_or_else(|| "-".to_owned(), |v| format!("{v:.1} kg"));
            let _ = writeln!(
                t,
                "| {name} | {weather} | {} | {} | {} | {} | {starved} of {} winters |",
                c.stack,
                kg(c.target.as_ref().map(|t| t.need_middling)),
                kg(c.target.as_ref().map(|t| t.stores)),
                kg(reading.map(|r| r.gross)),
                c.winters.len(),
            );
        }
    }
    Ok(t)
}
