//! What the picture of a weighed hive shows.

use super::{Season, known, reading_sd};
use crate::commands::reports::Calendar;
use crate::decision::update::{Weighed, course, seen};
use crate::ensemble::members::Member;
use crate::scenario::log::Weighing;
use crate::scenario::model::{Colony, Scenario};

impl Season {
    /// Stores by day as expected, weighed, and expected since, from the readings that [`Season::hive`] takes.
    pub(super) fn calendar(
        &self,
        scenario: &Scenario,
        colony: &Colony,
        members: &[Member],
        mine: &[&Weighing],
    ) -> Calendar {
        let (known, autumn) = known(scenario, colony);
        let mut weighed: Vec<Weighed> = autumn
            .into_iter()
            // The keeper's own weighing of that day is the same one.
            .filter(|_| mine.iter().all(|w| w.date != self.start))
            .collect();
        let before = course(members, &known, &weighed).unwrap_or_default();
        weighed.extend(mine.iter().map(|w| Weighed {
            day: self.day(w.date),
            gross: w.gross,
            sd: reading_sd(w, colony.stores),
        }));
        Calendar {
            before,
            after: course(members, &known, &weighed).unwrap_or_default(),
            seen: weighed
                .iter()
                .filter_map(|w| seen(members, &known, w))
                .collect(),
        }
    }
}
