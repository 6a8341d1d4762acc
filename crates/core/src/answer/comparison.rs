//! What [`compare`](super::compare()) and [`rank`](super::rank()) share: weather for several hives, the same winters for all.

use super::head::{Drawn, Head, WarningList};
use super::network::Networks;
use super::weather::{Climate, for_season};
use super::{AnswerError, ComparisonOptions, HeatOptions, Progress, Stage};
use crate::calendar::{self, MonthDay};
use crate::climate::Record;
use crate::climate::series::Winter;
use crate::colony::feeding::SYRUPS;
use crate::colony::parameters::Parameters;
use crate::decision::feeding::autumns_of;
use crate::decision::gains::{Standing, of_stack, standing};
use crate::decision::planned::{NO_LOSS, Planned, Weather, planned};
use crate::decision::reading::capacity;
use crate::ensemble::draws::{self, ComparisonCase, Draw, DrawOutcome, DrawOutcomes, Sets};
use crate::ensemble::winters::{Chosen, check_season, choose};
use crate::hive::{self, Resolution, colony_overrides};
use crate::stand::{FeedEvent, Scenario};
use crate::units::spoken::Units;
use std::sync::Arc;

/// The ground all hives of a comparison stand on.
pub(super) struct ComparisonContext<'p> {
    /// How the heat is computed.
    pub(super) heat: HeatOptions,
    /// The weather record.
    pub(super) record: Record,
    /// First and last day of its autumns.
    autumn: (MonthDay, MonthDay),
    /// Its whole autumns.
    autumns: Vec<Winter>,
    /// The winters, before any stress, over a span that holds the seasons of all hives.
    pub(super) chosen: Chosen,
    /// Parameter sets.
    pub(super) sets: Sets,
    pub(super) progress: &'p dyn Progress,
}

/// A stand with the weather its bees take feed in.
struct Feeding<'a> {
    s: &'a Scenario,
    autumns: &'a [Winter],
    autumn: (MonthDay, MonthDay),
    winters: Vec<Winter>,
    usual: Arc<Parameters>,
}

impl Feeding<'_> {
    /// What such feeds are worth to the colony of a stack with these outcomes in the winters; `None` where there is no colony.
    fn worth(
        &self,
        stack: usize,
        plain: &[Option<DrawOutcome>],
        feeds: &[FeedEvent],
    ) -> Option<Planned> {
        let hive = self.s.stacks.get(stack)?;
        let colony = hive.colony.as_ref()?;
        let known = || plain.iter().flatten();
        let weather = Weather {
            autumns: self.autumns,
            autumn: self.autumn,
            winters: &self.winters,
            bees_left: &known().map(|f| f.bees_left).collect::<Vec<_>>(),
            eaten: &known().map(|f| f.eaten_while_fed).collect::<Vec<_>>(),
        };
        Some(planned(
            feeds,
            (
                colony.bees / self.usual.bee_mass,
                capacity(hive) - colony.stores,
            ),
            self.s.season.start,
            &weather,
            self.s.level,
            &self.usual,
        ))
    }
}

impl<'p> ComparisonContext<'p> {
    /// Loads the weather, chooses winters that all hives have whole (the same weather for all, also where it is made up or moved), and draws the kinds of colony.
    ///
    /// # Errors
    /// Weather that cannot be used, hives under different weather, colonies missing.
    pub(super) fn lay(
        record: Record,
        options: &ComparisonOptions,
        hives: &[(&str, &Scenario)],
        progress: &'p dyn Progress,
    ) -> Result<Self, AnswerError> {
        let Some((_, first)) = hives.first() else {
            return Err(AnswerError::NothingToCompare);
        };
        for (name, s) in hives {
            if s.climate != first.climate {
                return Err(AnswerError::OtherWeather {
                    name: (*name).to_owned(),
                });
            }
            if s.colonies().next().is_none() {
                return Err(AnswerError::NoHoney {
                    name: (*name).to_owned(),
                });
            }
        }
        // A hive that cannot be built is told with its name, and all of them at once, before the long run.
        let unbuilt: Vec<_> = hives
            .iter()
            .filter_map(|(name, s)| {
                let e = hive::build(s, Resolution::Coarse).err()?;
                Some(((*name).to_owned(), e))
            })
            .collect();
        if !unbuilt.is_empty() {
            return Err(AnswerError::Hives(unbuilt));
        }
        let record = for_season(record, first)?;
        let mut seasons = Vec::new();
        for (_, s) in hives {
            let (start, end) = (s.season.start, s.season.first_nectar);
            check_season(&record, start, end, s.site.latitude_deg)?;
            seasons.push((start, end));
        }
        let (start, end) = calendar::spanning(&seasons).ok_or(AnswerError::SeasonsFillYear)?;
        let chosen = choose(&record, start, end, options.winters)?;
        let (autumn, autumns) = autumns_of(&record);
        let count = draws::count(chosen.winters.len(), options.colonies);
        // Values a scenario sets for itself are held against its own in `parameters`; the sets are the first one's.
        let sets = Sets::draw(count, &colony_overrides(&first.parameters)?)?;
        Ok(Self {
            heat: options.heat,
            autumn,
            autumns,
            record,
            chosen,
            sets,
            progress,
        })
    }

    /// Why a colony of `s`, by stack, does not take so many litres of syrup put on on a day beside the feeding planned for it: no room
    /// in its combs, or it is too late in more of the record's autumns than the level allows. `None` when it takes them.
    pub(super) fn takes_syrup<'a>(
        &'a self,
        s: &'a Scenario,
        on: MonthDay,
        plain: &'a [Vec<Option<DrawOutcome>>],
    ) -> Result<impl Fn(usize, f64) -> Option<String> + use<'a>, AnswerError> {
        let feeding = self.feeding(s)?;
        Ok(move |stack: usize, litres: f64| {
            let colony = s.stacks.get(stack)?.colony.as_ref()?;
            let drawn_outcomes = of_stack(plain, stack);
            let lot = FeedEvent {
                date: on,
                feed: SYRUPS[0].litres(litres),
            };
            let before = feeding.worth(stack, &drawn_outcomes, &colony.feeds)?;
            let with = feeding.worth(
                stack,
                &drawn_outcomes,
                &[&colony.feeds[..], &[lot]].concat(),
            )?;
            let kg = with.given - before.given;
            let over = with.no_room - before.no_room;
            if over > NO_LOSS {
                return Some(format!(
                    "no room: {litres:.0} litres come to {} of stores, and {} of that finds none in the combs{}",
                    Units::Both.mass(kg),
                    Units::Both.mass(over),
                    if colony.feeds.is_empty() {
                        ""
                    } else {
                        " beside what is planned"
                    }
                ));
            }
            (with.too_late() - before.too_late() > NO_LOSS).then(|| {
                "too late: in some autumns bees no longer take all of it; dry sugar or fondant instead"
                    .to_owned()
            })
        })
    }

    /// How a stack's colony stands, with what counts of the feeding planned for it; `plain` are its outcomes in the winters.
    pub(super) fn standing(
        &self,
        s: &Scenario,
        stack: usize,
        plain: &[Option<DrawOutcome>],
    ) -> Result<Option<Standing>, AnswerError> {
        let Some(standing) = standing(plain, s.level, s.reserve) else {
            return Ok(None);
        };
        let colony = s.stacks.get(stack).and_then(|k| k.colony.as_ref());
        let Some(colony) = colony.filter(|c| !c.feeds.is_empty()) else {
            return Ok(Some(standing));
        };
        let planned = self.feeding(s)?.worth(stack, plain, &colony.feeds);
        Ok(Some(match planned {
            Some(p) => standing.with_planned(colony.stores, &p),
            None => standing,
        }))
    }

    /// What is needed to tell what feeds are worth on a stand.
    fn feeding<'a>(&'a self, s: &'a Scenario) -> Result<Feeding<'a>, AnswerError> {
        Ok(Feeding {
            s,
            autumns: &self.autumns,
            autumn: self.autumn,
            winters: self.winters(s)?,
            usual: self.parameters(s)?,
        })
    }

    /// Height of a hive above sea level, m.
    fn elevation(&self, s: &Scenario) -> f64 {
        s.site.elevation.unwrap_or(self.record.station.elevation)
    }

    /// How many winters there are.
    fn count(&self) -> usize {
        self.chosen.winters.len()
    }

    /// What was drawn.
    pub(super) fn drawn(&self) -> Drawn {
        Drawn {
            winters: self.count(),
            colonies: self.sets.sets.len(),
        }
    }

    /// The head of the answer, told of `reference` under the title of the first hive.
    pub(super) fn head(
        &self,
        schema: &'static str,
        title: &str,
        reference: &Scenario,
        (told, network): (&WarningList, Networks),
    ) -> Head {
        let labels = self.chosen.winters.iter().map(|w| w.label.clone());
        Head {
            schema,
            version: env!("CARGO_PKG_VERSION"),
            title: title.to_owned(),
            climate: Climate::of(
                &self.record,
                reference,
                labels.collect(),
                (self.chosen.available, self.chosen.basis),
                self.chosen.notes.clone(),
            ),
            start: calendar::words(reference.season.start),
            first_nectar: calendar::words(reference.season.first_nectar),
            level: reference.level,
            reserve: reference.reserve,
            grid: self.heat.resolution.name(),
            network,
            drawn: self.drawn(),
            warnings: told.warnings(),
        }
    }

    /// The winters as they are for a scenario: its season, its stress.
    fn winters(&self, s: &Scenario) -> Result<Vec<Winter>, AnswerError> {
        let (start, end) = (s.season.start, s.season.first_nectar);
        let parts = self.chosen.winters.iter().map(|w| w.part(start, end));
        let parts: Option<Vec<Winter>> = parts.collect();
        let mut mine = parts.ok_or_else(|| AnswerError::Incomplete {
            start: calendar::words(start),
            end: calendar::words(end),
        })?;
        if s.stress.colder != 0.0 {
            mine.iter_mut().for_each(|w| w.make_colder(s.stress.colder));
        }
        Ok(mine)
    }

    /// Hives with their winters, alike ones shared. Parameters that a scenario sets for itself differently from the first's are
    /// put over every draw.
    ///
    /// # Errors
    /// A season without whole winters, a parameter that cannot be.
    pub(super) fn cases(
        &self,
        hives: Vec<(Scenario, Vec<Draw>)>,
    ) -> Result<Vec<ComparisonCase>, AnswerError> {
        let mut known: Vec<(Scenario, Arc<Vec<Winter>>)> = Vec::new();
        hives
            .into_iter()
            .map(|(scenario, draws)| {
                let same =
                    |s: &Scenario| s.season == scenario.season && s.stress == scenario.stress;
                let winters = match known.iter().find(|(s, _)| same(s)) {
                    Some((_, w)) => Arc::clone(w),
                    None => {
                        let w = Arc::new(self.winters(&scenario)?);
                        known.push((scenario.clone(), Arc::clone(&w)));
                        w
                    }
                };
                Ok(ComparisonCase {
                    elevation: self.elevation(&scenario),
                    scenario,
                    winters,
                    draws,
                })
            })
            .collect()
    }

    /// The default parameters of a scenario.
    ///
    /// # Errors
    /// A parameter that cannot be.
    pub(super) fn parameters(&self, s: &Scenario) -> Result<Arc<Parameters>, AnswerError> {
        Parameters::with(&colony_overrides(&s.parameters)?)
            .map(Arc::new)
            .map_err(AnswerError::from)
    }

    /// Each winter once with the scenario's parameters.
    ///
    /// # Errors
    /// A parameter that cannot be.
    pub(super) fn plain(&self, s: &Scenario) -> Result<Vec<Draw>, AnswerError> {
        Ok(draws::plain(self.count(), &self.parameters(s)?))
    }

    /// The kinds of colony in turn.
    ///
    /// # Errors
    /// A parameter that cannot be.
    pub(super) fn mixed(&self, s: &Scenario) -> Result<Vec<Draw>, AnswerError> {
        let own = colony_overrides(&s.parameters)?;
        let sets = Sets::over(&self.sets.sets, &own)?;
        Ok(draws::mixed(self.count(), &sets))
    }

    /// Runs all.
    ///
    /// # Errors
    /// A hive that cannot be built, a winter that cannot be run, or a stop.
    pub(super) fn run(&self, cases: &[ComparisonCase]) -> Result<Vec<DrawOutcomes>, AnswerError> {
        let all: usize = cases.iter().map(|e| e.draws.len()).sum();
        let progress = self.progress;
        progress.begin(Stage::Winters, all);
        let how = (self.heat.resolution, self.heat.model());
        let drawn_outcomes = draws::run(cases, how, &|| progress.step(), progress.stop());
        progress.end();
        Ok(drawn_outcomes?)
    }
}
