//! Words of what must be said before the answer.

use super::words::{SyrupWords, Units};
use crate::text;
use partywall_core::decision::warnings::Warning;

/// As it stands before an answer.
#[must_use]
pub fn mind(warning: &Warning, u: Units) -> String {
    text!("warnings.mind", words = words(warning, u))
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
            text!(
                "warnings.count_ends_but_weather",
                written,
                by_rule,
                weeks = format!("{weeks:.0}"),
                uses = uses.join(", ")
            )
        }
        Warning::LateSyrup {
            hive,
            given,
            lost,
            late,
        } => text!(
            "warnings.feeding_you_plan_stores",
            hive,
            given = u.mass(*given),
            lost = u.mass(*lost),
            late
        ),
        Warning::Dies { hive, day } => {
            text!("warnings.taken_die_scenario_says", hive, day)
        }
        Warning::Passed { hive, date, on } => {
            text!("warnings.feed_planned_has_passed", hive, date, on)
        }
        Warning::NoRoom {
            hive,
            given,
            no_room,
            litres,
        } => text!(
            "warnings.feeding_you_plan_stores_all",
            hive,
            given = u.mass(*given),
            no_room = u.mass(*no_room),
            litres = u.syrup(*litres)
        ),
        Warning::Input {
            file,
            line,
            what,
            help,
        } => {
            let place = line.map_or_else(String::new, |l| text!("warnings.line", line = l));
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
