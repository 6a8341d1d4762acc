//! One hive of the winter: what its weighings leave to be expected, and what to mind about them.

use super::result::{Compared, HiveUpdate, Note};
use super::season::Season;
use super::weights::weights;
use crate::answer::AnswerError;
use crate::decision::feeding::feed;
use crate::decision::reading::{COUNT_ERROR, POLLEN_ERROR, WET, lift_error, tare_error};
use crate::decision::update::{Forecast, Known, PLUS_MINUS, Range, Weighed, expected, forecast};
use crate::ensemble::members::Member;
use crate::scenario::log::Weighing;
use crate::stand::{Colony, Joint, Lift, Scenario};
use jiff::civil::Date;

/// Days before the earliest day of running out by which to feed (a choice: two weeks, since bees must find it and a cold spell may
/// come between).
const AHEAD: i64 = 14;
/// Less than this is not fed for, kg (a choice).
const LEAST_FEED: f64 = 0.5;
/// On fewer runs than these no date is told (a choice: with 15 equal ones, one lies before the earliest day of nine in ten).
pub(super) const FEW: f64 = 15.0;

/// Standard deviation of stores of which nothing is known, kg.
const ANYTHING: f64 = 30.0;

/// The readings of one hive as the reckoning takes them, oldest first, each with its day.
pub(super) struct Readings {
    pub known: Known,
    pub autumn: Vec<Weighed>,
    pub all: Vec<(Date, Weighed)>,
}

impl Season {
    pub(super) fn readings(
        &self,
        scenario: &Scenario,
        colony: &Colony,
        mine: &[&Weighing],
    ) -> Readings {
        let (known, autumn) = known(scenario, colony);
        let autumn: Vec<Weighed> = autumn
            .into_iter()
            // The keeper's own weighing of that day is the same one.
            .filter(|_| mine.iter().all(|w| w.date != self.start))
            .collect();
        let of_winter = mine.iter().map(|w| {
            let weighed = Weighed {
                day: self.day(w.date),
                gross: w.gross,
                sd: reading_sd(w, colony.stores),
            };
            (w.date, weighed)
        });
        let all = autumn
            .iter()
            .map(|w| (self.start, *w))
            .chain(of_winter)
            .collect();
        Readings { known, autumn, all }
    }

    /// How many runs fit the readings of a hive, and how many of them the answer rests on.
    pub(super) fn fitting(
        &self,
        scenario: &Scenario,
        colony: &Colony,
        members: &[Member],
        mine: &[&Weighing],
    ) -> (usize, f64) {
        let r = self.readings(scenario, colony, mine);
        let f = forecast(members, &r.known, &weighed_of(&r.all));
        f.map_or((0, 0.0), |f| (f.fitting, f.effective))
    }

    pub(super) fn hive(
        &self,
        scenario: &Scenario,
        stack: usize,
        colony: &Colony,
        members: &[Member],
        mine: &[&Weighing],
    ) -> Result<HiveUpdate, AnswerError> {
        let r = self.readings(scenario, colony, mine);
        let known = r.known;
        let before = forecast(members, &known, &r.autumn).ok_or(AnswerError::NoRun)?;
        let mut weighings = Vec::new();
        let mut notes = Vec::new();
        for w in mine {
            let sd = reading_sd(w, colony.stores);
            let expected = expected(members, &known, &r.autumn, self.day(w.date));
            if let Some(e) = expected {
                let by =
                    (w.gross - e.high - 2.0 * sd).max(0.0) + (w.gross - e.low + 2.0 * sd).min(0.0);
                if by != 0.0 {
                    notes.push(Note::FarOff { date: w.date, by });
                }
            }
            weighings.push(Compared {
                weighing: (*w).clone(),
                expected,
                error: PLUS_MINUS * sd,
            });
        }
        for pair in mine.windows(2) {
            let by = pair[1].gross - pair[0].gross;
            if by > 0.5 {
                notes.push(Note::Gained {
                    date: pair[1].date,
                    by,
                });
            }
        }
        let after = forecast(members, &known, &weighed_of(&r.all));
        let fit = after
            .as_ref()
            .map_or(0, |f| f.fitting.min(f.effective.ceil() as usize));
        // So few say nothing: no date, no amount.
        let after = after.filter(enough);
        let strange = if after.is_none() {
            strange(members, &known, &r.all)
        } else {
            Vec::new()
        };
        self.notes(scenario, stack, mine, after.as_ref(), fit, &mut notes);
        // A last reading that nothing fits is taken for true until it is cleared up where it is light or asks for feed: by it alone, whatever
        // was there in autumn.
        let light = weighings
            .last()
            .is_some_and(|w| w.expected.is_some_and(|e| w.weighing.gross < e.low));
        let alone = r
            .all
            .last()
            .filter(|_| after.is_none())
            .and_then(|(_, last)| {
                let open = Known {
                    stores_sd: ANYTHING,
                    ..known
                };
                forecast(members, &open, &[*last])
            })
            .filter(|f| light || f.missing >= LEAST_FEED);
        let missing = after.as_ref().or(alone.as_ref()).map_or(0.0, |f| f.missing);
        let feed = (missing >= LEAST_FEED).then(|| feed(missing));
        let last = mine.last().map_or(self.start, |w| w.date);
        let feed_by = after.as_ref().filter(|_| feed.is_some()).map(|f| {
            let out = self.date(f.out.low, f.days).unwrap_or(self.nectar);
            let by = out
                .checked_sub(jiff::Span::new().days(AHEAD))
                .unwrap_or(out);
            by.max(last)
        });
        let feed_by = feed_by.or(feed.map(|_| last));
        let as_dates = |f: &Forecast| Range {
            low: self.date(f.out.low, f.days),
            middle: self.date(f.out.middle, f.days),
            high: self.date(f.out.high, f.days),
        };
        Ok(HiveUpdate {
            hive: mine.first().map_or_else(String::new, |w| w.hive.clone()),
            weighings,
            before: as_dates(&before),
            after: after.as_ref().map(as_dates),
            forecast: after,
            strange,
            by_last_alone: alone.map(|f| f.stores_now),
            feed,
            last_syrup: None,
            feed_by,
            notes,
        })
    }

    fn notes(
        &self,
        scenario: &Scenario,
        stack: usize,
        mine: &[&Weighing],
        after: Option<&Forecast>,
        fit: usize,
        notes: &mut Vec<Note>,
    ) {
        if mine.iter().any(|w| w.lift == Lift::OneSide) {
            let joint = |i: Option<usize>| i.and_then(|i| scenario.joints.get(i));
            let adjoining = [joint(stack.checked_sub(1)), joint(Some(stack))]
                .into_iter()
                .flatten()
                .any(|j| matches!(j, Joint::Adjoining { .. }));
            notes.push(Note::OneSide { adjoining });
        }
        if let Some((k, colony)) = scenario
            .stacks
            .get(stack)
            .and_then(|k| Some((k, k.colony.as_ref()?)))
        {
            let weights = weights(k, colony);
            let leaning = mine.iter().filter_map(|w| {
                let [front, back] = w.lifts.front_back?;
                weights.leaning(&w.lifts)?;
                Some(Note::Leaning {
                    date: w.date,
                    front,
                    back,
                })
            });
            notes.extend(leaning);
        }
        if mine.iter().any(|w| cold_month(w.date)) {
            notes.push(Note::WetOrIcy);
        }
        match after {
            None if fit > 0 => notes.insert(0, Note::FewFit { runs: fit }),
            None => notes.insert(0, Note::NothingFits),
            Some(f) => {
                if f.tare_off.abs() >= 1.0 {
                    notes.push(Note::Tare { by: f.tare_off });
                }
                if f.starves_beside >= 0.1 {
                    notes.push(Note::Reach {
                        share: f.starves_beside,
                    });
                }
            }
        }
    }
}

fn weighed_of(all: &[(Date, Weighed)]) -> Vec<Weighed> {
    all.iter().map(|(_, w)| *w).collect()
}

/// Whether a date may rest on so many runs.
fn enough(f: &Forecast) -> bool {
    f.effective >= FEW && f.fitting as f64 >= FEW
}

/// The readings each of which the others would fit without; the last when there is no other.
fn strange(members: &[Member], known: &Known, all: &[(Date, Weighed)]) -> Vec<Date> {
    if let [(date, _)] = all {
        return vec![*date];
    }
    (0..all.len())
        .filter(|&i| {
            let mut others = all.to_vec();
            others.remove(i);
            forecast(members, known, &weighed_of(&others)).is_some_and(|f| enough(&f))
        })
        .map(|i| all[i].0)
        .collect()
}

/// Months in which wood is wet, lids ice over and frost lies inside.
fn cold_month(date: Date) -> bool {
    matches!(date.month(), 11 | 12 | 1..=4)
}

/// Standard deviation of one weighing, kg.
fn reading_sd(w: &Weighing, stores: f64) -> f64 {
    let (scale, side) = lift_error(w.lift, stores);
    let wet = if cold_month(w.date) { WET } else { 0.0 };
    scale.hypot(side).hypot(wet) / PLUS_MINUS
}

/// What is known in autumn, and the weighing then if there was one. Stores worked out from that weighing alone are left open, so
/// that it counts once.
fn known(scenario: &Scenario, colony: &Colony) -> (Known, Option<Weighed>) {
    let scale = &colony.scale;
    let autumn = scale.gross.map(|gross| {
        let (reading, side) = lift_error(scale.lift, colony.stores);
        Weighed {
            day: 0,
            gross,
            sd: reading.hypot(side) / PLUS_MINUS,
        }
    });
    let by_scale = scale.gross.is_some_and(|g| {
        let left = g - scale.tare - colony.bees - colony.pollen;
        (left - colony.stores).abs() < 1e-6
    });
    let stores_sd = if by_scale {
        // As good as nothing beside a scale.
        10.0 * tare_error(scale.tare_source).max(1.0)
    } else {
        (COUNT_ERROR * colony.stores).max(0.5) / PLUS_MINUS
    };
    let known = Known {
        tare: scale.tare + colony.pollen,
        stores: colony.stores,
        tare_sd: tare_error(scale.tare_source).hypot(POLLEN_ERROR) / PLUS_MINUS,
        stores_sd,
        reserve: scenario.reserve,
        level: scenario.level,
    };
    (known, autumn)
}
