//! What the picture of a weighed hive shows.

use super::hive::Readings;
use super::season::Season;
use crate::decision::update::{Range, Seen, Weighed, course, seen};
use crate::ensemble::members::Member;
use crate::scenario::log::Weighing;
use crate::stand::{Colony, Scenario};

/// What the picture of one hive shows, day by day.
pub struct Calendar {
    /// Expected before it was weighed in winter.
    pub before: Vec<Range<f64>>,
    /// Expected since; empty when nothing fits.
    pub after: Vec<Range<f64>>,
    /// The weighings.
    pub seen: Vec<Seen>,
}

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
