//! What the picture of a weighed hive shows.

use super::hive::Readings;
use super::season::Season;
use crate::commands::reports::Calendar;
use partywall_core::decision::update::{Weighed, course, seen};
use partywall_core::ensemble::members::Member;
use partywall_core::scenario::log::Weighing;
use partywall_core::stand::{Colony, Scenario};

impl Season {
    /// Stores by day as expected, weighed, and expected since, from the readings that [`Season::hive`] takes.
    pub(super) fn calendar(
        &self,
        scenario: &Scenario,
        colony: &Colony,
        members: &[Member],
        mine: &[&Weighing],
    ) -> Calendar {
        let Readings { known, autumn, all } = self.readings(scenario, colony, mine);
        let all: Vec<Weighed> = all.into_iter().map(|(_, w)| w).collect();
        Calendar {
            before: course(members, &known, &autumn).unwrap_or_default(),
            after: course(members, &known, &all).unwrap_or_default(),
            seen: all
                .iter()
                .filter_map(|w| seen(members, &known, w))
                .collect(),
        }
    }
}
