//! Words of what must be said before the answer.

use super::words::{SyrupWords, Units};
use partywall_core::decision::warnings::Warning;

/// As it stands before an answer.
#[must_use]
pub fn mind(warning: &Warning, u: Units) -> String {
    format!("Mind: {}", words(warning, u))
}

/// As a keeper reads it.
#[must_use]
pub fn words(warning: &Warning, u: Units) -> String {
    match warning {
        Warning::EarlyNectar {
            written,
            by_rule,
            days,
            per_week,
        } => {
            let uses: Vec<String> = per_week
                .iter()
                .map(|(hive, kg)| format!("{hive} {}", u.mass(*kg)))
                .collect();
            let weeks = (*days as f64 / 7.0).round();
            format!(
                "the count ends on {written}, but by this weather first dependable nectar comes about {by_rule} in a middling year (a rule of \
                 thumb, give or take two weeks): some {weeks:.0} weeks are not counted, and each would take about {} more. If {written} is not \
                 this place's own date, change first_nectar under [season]",
                uses.join(", ")
            )
        }
        Warning::LateSyrup {
            hive,
            given,
            lost,
            late,
        } => format!(
            "{hive}: of the feeding you plan, {} of stores in all, {} is not counted: syrup put on as late as {late} is not taken whole. Give \
             it earlier, or dry or as fondant",
            u.mass(*given),
            u.mass(*lost)
        ),
        Warning::Dies { hive, day } => format!(
            "{hive} is taken to die on {day}, as the scenario says: what it eats, its target and its margins are told up to that day only, and \
             its neighbours stand beside a dead hive from then on. Take dies out of its colony for the answer of a living one"
        ),
        Warning::Passed { hive, date, on } => format!(
            "{hive}: the feed planned for {date} has passed on {on} and is counted as given. If it was not given, take it out of the scenario"
        ),
        Warning::NoRoom {
            hive,
            given,
            no_room,
            litres,
        } => format!(
            "{hive}: of the feeding you plan, {} of stores in all, {} finds no room in the combs and is not counted: as much as {} of 2:1 \
             syrup would leave. Give less, or more drawn comb",
            u.mass(*given),
            u.mass(*no_room),
            u.syrup(*litres)
        ),
        Warning::Input {
            file,
            line,
            what,
            help,
        } => {
            let place = line.map_or_else(String::new, |l| format!(", line {l}"));
            let help = help.as_ref().map_or_else(String::new, |h| format!(": {h}"));
            format!("{file}{place}: {what}{help}")
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use partywall_core::decision::stores::STORES_PER_LITRE_SYRUP;

    /// Catches feed without room that is told in kilograms only, or without its hive.
    #[test]
    fn feed_without_room_is_told_in_litres_too() {
        let w = Warning::NoRoom {
            hive: "Left".to_owned(),
            given: 9.7,
            no_room: 3.88,
            litres: 3.88 / STORES_PER_LITRE_SYRUP,
        };
        let told = words(&w, Units::Metric);
        for part in [
            "Left: of the feeding",
            "9.7 kg",
            "3.9 kg finds no room",
            "4 litres",
        ] {
            assert!(told.contains(part), "{told}");
        }
    }
}
