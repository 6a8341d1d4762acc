//! From the outcomes of a run to what a keeper does: target on the scale, feeding, margins.

use super::result::ColonyResult;
use crate::calendar::MonthDay;
use crate::calendar::days_between;
use crate::climate::series::Winter;
use crate::colony::parameters::Parameters;
use crate::decision::feeding::{feed, last_feeding};
use crate::decision::hefting::{first_heft, hefts};
use crate::decision::lasting::{Fixed, Heft, readings};
use crate::decision::margins::{Facts, WORTH_FEEDING, margins, on_a_hair};
use crate::decision::planned::{Planned, Weather, planned};
use crate::decision::reading::{Reading, as_frames, capacity, reading};
use crate::decision::stores::{STORES_PER_LITRE_SYRUP, left_behind};
use crate::season::outcome::{ColonyOutcome, WinterOutcome};
use crate::stand::{Colony, Joint, Scenario, Stack};
use jiff::civil::Date;

use super::advice::{Advice, Asked};
/// Syrup for which the last feeding day is told when nothing is short, litres (a choice: a usual lot).
pub const USUAL_LOT: f64 = 10.0;

/// What is worked out beyond the winters themselves.
pub struct AdviceInputs<'a> {
    /// The scenario.
    pub scenario: &'a Scenario,
    /// The colonies' parameters.
    pub parameters: &'a Parameters,
    /// Autumns of the record.
    pub autumns: &'a [Winter],
    /// First and last day of an autumn there.
    pub autumn: (MonthDay, MonthDay),
    /// The day on which it is asked, within the season; `None`: that of the weighing.
    pub on: Option<MonthDay>,
    /// The winters that were run.
    pub winters: &'a [Winter],
    /// What became of the colonies in them: one list a winter, one outcome a colony.
    pub outcomes: &'a [WinterOutcome],
    /// The winters run again with just the stores each takes: one list a winter, one outcome a colony.
    pub emptied: &'a [WinterOutcome],
}

impl AdviceInputs<'_> {
    /// Puts targets, readings, feeding and margins to the colonies.
    pub fn complete(&self, colonies: &mut [ColonyResult]) {
        let stacks = self.scenario.stacks.iter().enumerate();
        let stacks = stacks.filter(|(_, s)| s.colony.is_some());
        for (c, (result, (i, stack))) in colonies.iter_mut().zip(stacks).enumerate() {
            let beside: Vec<f64> = self
                .emptied
                .iter()
                .filter_map(|o| o.colonies.get(c))
                .map(ColonyOutcome::starved_beside)
                .collect();
            let unreached = left_behind(&beside).unwrap_or(0.0);
            result.target = result.target.take().map(|t| t.with_unreached(unreached));
            result.planned = stack
                .colony
                .as_ref()
                .map_or_else(Planned::default, |colony| {
                    self.planned(c, result, colony, capacity(stack))
                });
            let joint = |i: Option<usize>| i.and_then(|i| self.scenario.joints.get(i));
            let adjoining = [joint(i.checked_sub(1)), joint(Some(i))]
                .into_iter()
                .flatten()
                .any(|j| matches!(j, Joint::Adjoining { .. }));
            result.advice = self.advice(result, stack, adjoining, c);
        }
    }

    fn planned(&self, c: usize, result: &ColonyResult, colony: &Colony, holds: f64) -> Planned {
        let start = self.scenario.season.start;
        let eaten: Vec<[f64; 2]> = self
            .outcomes
            .iter()
            .filter_map(|o| o.colonies.get(c))
            .map(|o| o.eaten_while_fed(&colony.feeds, start))
            .collect();
        let bees_left: Vec<f64> = result.winters.iter().map(|w| w.bees_left).collect();
        let weather = Weather {
            autumns: self.autumns,
            autumn: self.autumn,
            winters: self.winters,
            bees_left: &bees_left,
            eaten: &eaten,
        };
        planned(
            &colony.feeds,
            (
                colony.bees / self.parameters.bee_mass,
                holds - colony.stores,
            ),
            start,
            &weather,
            self.scenario.level,
            self.parameters,
        )
    }

    /// A day to act on, or the day on which it is asked where that is later.
    fn not_before(&self, day: MonthDay) -> MonthDay {
        let start = self.scenario.season.start;
        match self.on {
            Some(on) if days_between(start, on) > days_between(start, day) => on,
            _ => day,
        }
    }

    /// What the scale should read on the day on which it is asked, from the readings of all days.
    fn asked(
        &self,
        colony: &Colony,
        start: Option<&Reading>,
        stores: f64,
        hefts: &[Heft],
    ) -> Option<Asked> {
        let day = self.asked_on()?;
        let gross = hefts.iter().find(|h| h.day == day)?.gross?;
        let lighter = start?.gross - gross;
        Some(Asked {
            day,
            start: self.scenario.season.start,
            reading: reading(colony, gross, stores - lighter),
        })
    }

    /// The day on which it is asked, where that is later than the start.
    fn asked_on(&self) -> Option<MonthDay> {
        self.on.filter(|on| *on != self.scenario.season.start)
    }

    /// The start date, the day on which it is asked and the days to heft with their readings; `number` counts the colonies from the left.
    fn hefts(
        &self,
        result: &ColonyResult,
        colony: &Colony,
        number: usize,
        starved: &[Date],
    ) -> Vec<Heft> {
        let season = &self.scenario.season;
        let mut days = vec![season.start];
        days.extend(hefts(season, starved));
        if let Some(on) = self.asked_on().filter(|on| !days.contains(on)) {
            let into = |d: MonthDay| days_between(season.start, d);
            days.insert(days.partition_point(|d| into(*d) < into(on)), on);
        }
        let winters: Vec<(Date, &ColonyOutcome)> = self
            .winters
            .iter()
            .zip(self.outcomes)
            .filter_map(|(w, o)| Some((w.start, o.colonies.get(number)?)))
            .collect();
        let unreached = result.target.as_ref().map_or(0.0, |t| t.unreached);
        let fixed = Fixed {
            tare: colony.scale.tare + colony.pollen,
            bees: colony.bees,
            kept: unreached + self.scenario.reserve,
            lift: colony.scale.lift,
        };
        readings(&winters, &days, self.scenario.level, &fixed)
    }

    fn advice(
        &self,
        result: &ColonyResult,
        stack: &Stack,
        adjoining: bool,
        number: usize,
    ) -> Option<Advice> {
        let colony = stack.colony.as_ref()?;
        let t = result.target.as_ref();
        let reading = t.map(|t| reading(colony, t.gross, t.stores));
        let spare = t.map(|t| t.spare + result.planned.counted);
        let holds = capacity(stack);
        let room = holds - colony.stores - result.planned.counted;
        // No more than there is room for, then in whole litres, since what is needed is told rounded up.
        let filled = (room / STORES_PER_LITRE_SYRUP).floor() * STORES_PER_LITRE_SYRUP;
        let short = spare
            .map(|s| if -s > room { filled } else { -s })
            .filter(|kg| *kg >= WORTH_FEEDING)
            .map(feed);
        let litres = short.map_or(USUAL_LOT, |f| f.syrup_litres);
        let last = last_feeding(
            self.autumns,
            colony.bees,
            litres,
            self.scenario.level,
            self.parameters,
            self.on.unwrap_or(self.scenario.season.start),
        );
        let starved: Vec<_> = result
            .winters
            .iter()
            .map(|w| w.starved.map(|s| (s.date, s.beside_honey.is_some())))
            .collect();
        let starved_on: Vec<_> = starved.iter().flatten().map(|(d, _)| *d).collect();
        let closest: Vec<_> = result
            .winters
            .iter()
            .map(|w| w.closest.map(|c| c.share))
            .collect();
        let drips: Vec<_> = result
            .winters
            .iter()
            .map(|w| (w.water.drip_days, w.water.first_drip))
            .collect();
        let margins = margins(&Facts {
            spare: spare.zip(reading.map(|r| r.error)),
            last_syrup: last.as_ref().filter(|l| !l.too_late).map(|l| l.date),
            bees: colony.bees,
            start: self.scenario.season.start,
            starved: &starved,
            closest: &closest,
            too_cold: result.too_cold,
            level: self.scenario.level,
            weakest: (
                result.weakest.moment.heat_in_hand,
                result.weakest.moment.time.date(),
            ),
            drips: &drips,
        });
        let hefts = self.hefts(result, colony, number, &starved_on);
        let asked = t.and_then(|t| self.asked(colony, reading.as_ref(), t.stores, &hefts));
        Some(Advice {
            frames: t.map_or_else(Vec::new, |t| as_frames(stack, t.stores)),
            capacity: holds,
            beyond_combs: t
                .map(|t| t.stores - holds)
                .filter(|kg| *kg >= WORTH_FEEDING),
            reading,
            feed: short,
            last_feeding: last,
            margins,
            first_heft: self.not_before(first_heft(&self.scenario.season, &starved_on)),
            on: self.on,
            asked,
            hefts,
            near_starving: on_a_hair(&starved, &closest).0,
            adjoining,
        })
    }
}
