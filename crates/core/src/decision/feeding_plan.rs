//! The feeding planned, held against the record's weather and the combs without running a winter.
//!
//! The reckoning is that of [`planned`], with what only a run knows left out: what the bees eat while the feeder is on (which makes room),
//! and how many bees are left for what is fed after the autumn.

use super::feeding::{LastFeeding, autumns_of, last_feeding};
use super::planned::{Planned, Weather, planned};
use super::reading::capacity;
use super::stores::STORES_PER_LITRE_SYRUP;
use crate::calendar::MonthDay;
use crate::climate::Record;
use crate::climate::series::Winter;
use crate::colony::feeding::Feed;
use crate::colony::parameters::Parameters;
use crate::ensemble::levels::FEWEST;
use crate::hive::colony_overrides;
use crate::stand::{Colony, FeedEvent, Scenario, Stack};

/// More than any hive holds, kg: room that is not in question.
const ANY_ROOM: f64 = 1e6;

/// The hives of a scenario that are fed.
pub struct FeedingPlan<'a> {
    scenario: &'a Scenario,
    fed: Vec<(&'a Stack, &'a Colony)>,
    parameters: Parameters,
}

/// The weather the feeding of autumn was held against.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HeldAgainst {
    /// So many whole autumns.
    Autumns(usize),
    /// So many winters: there were too few whole autumns.
    Winters(usize),
    /// None: only the room in the combs was looked at.
    NoWeather,
}

/// What was found.
#[derive(Debug, Clone, PartialEq)]
pub struct FeedingFindings<'a> {
    /// The last day of an autumn.
    pub autumn_ends: MonthDay,
    /// What it was held against.
    pub against: HeldAgainst,
    /// The hives that are fed, in the scenario's order.
    pub hives: Vec<HiveFeeding<'a>>,
}

/// What was found of one hive.
#[derive(Debug, Clone, PartialEq)]
pub struct HiveFeeding<'a> {
    /// Its name.
    pub hive: &'a str,
    /// What counts of its feeds.
    pub planned: Planned,
    /// Room in its combs on the day of the weighing, kg; negative when there is more honey than they hold.
    pub room: f64,
    /// Its latest syrup, when some of it is not taken.
    pub late: Option<LateSyrup>,
    /// The first of its feeds, by number, that needs room, when some finds none.
    pub no_room: Option<Option<usize>>,
}

/// Syrup put on too late to be taken whole.
#[derive(Debug, Clone, PartialEq)]
pub struct LateSyrup {
    /// The day it is put on.
    pub date: MonthDay,
    /// Litres of 2:1 syrup put on that day.
    pub litres: f64,
    /// The last day for so much, without the syrup before it.
    pub last: Option<LastFeeding>,
    /// The first feed of that day, by number.
    pub feed: Option<usize>,
}

impl<'a> FeedingPlan<'a> {
    /// The feeds of a scenario; `None` when nothing is fed, or when the colony's parameters cannot be.
    #[must_use]
    pub fn of(scenario: &'a Scenario) -> Option<Self> {
        let fed = scenario.colonies().filter(|(_, c)| !c.feeds.is_empty());
        let fed: Vec<_> = fed.collect();
        let parameters = Parameters::with(&colony_overrides(&scenario.parameters).ok()?).ok()?;
        (!fed.is_empty()).then_some(Self {
            scenario,
            fed,
            parameters,
        })
    }

    /// Holds the feeds against the weather of a record, if there is one, and against the combs.
    #[must_use]
    pub fn against(&self, record: Option<&Record>) -> FeedingFindings<'a> {
        let season = &self.scenario.season;
        let latitude = self.scenario.site.latitude_deg.unwrap_or(0.0);
        let (autumn, autumns) = record.map_or_else(
            || (super::feeding::autumn(latitude), Vec::new()),
            autumns_of,
        );
        let winters = record
            .filter(|_| autumns.len() < FEWEST)
            .and_then(|r| r.winters(season.start, season.first_nectar).ok())
            .unwrap_or_default();
        let against = match (autumns.len(), winters.len()) {
            (n, _) if n >= FEWEST => HeldAgainst::Autumns(n),
            (_, 0) => HeldAgainst::NoWeather,
            (_, n) => HeldAgainst::Winters(n),
        };
        let weather = Weather {
            autumns: &autumns,
            autumn,
            winters: &winters,
            // What is given after the autumn is not judged: any of it is taken, and finds room.
            bees_left: &[],
            eaten: &[[0.0, ANY_ROOM]],
        };
        let hives = self
            .fed
            .iter()
            .map(|(stack, c)| self.hive(stack, c, &weather));
        FeedingFindings {
            autumn_ends: autumn.1,
            against,
            hives: hives.collect(),
        }
    }

    fn hive(&self, stack: &'a Stack, colony: &Colony, weather: &Weather<'_>) -> HiveFeeding<'a> {
        let (s, p) = (self.scenario, &self.parameters);
        let room = capacity(stack) - colony.stores;
        let bees = colony.bees / p.bee_mass;
        let planned = planned(
            &colony.feeds,
            (bees, room),
            s.season.start,
            weather,
            s.level,
            p,
        );
        let late = planned.late.filter(|_| planned.too_late() > 0.0);
        let in_combs = |f: &FeedEvent| matches!(f.feed, Feed::Syrup { .. } | Feed::Frames { .. });
        let no_room = (planned.no_room > 0.0).then(|| colony.feeds.iter().position(in_combs));
        HiveFeeding {
            hive: &stack.name,
            room,
            late: late.map(|date| self.late(colony, date, weather.autumns)),
            no_room,
            planned,
        }
    }

    fn late(&self, colony: &Colony, date: MonthDay, autumns: &[Winter]) -> LateSyrup {
        let (s, p) = (self.scenario, &self.parameters);
        let on_it = |f: &&FeedEvent| f.date == date && matches!(f.feed, Feed::Syrup { .. });
        let that_day = colony.feeds.iter().filter(on_it);
        let litres = that_day.map(|f| f.feed.stores(p)).sum::<f64>() / STORES_PER_LITRE_SYRUP;
        LateSyrup {
            date,
            litres,
            last: last_feeding(autumns, colony.bees, litres, s.level, p, s.season.start),
            feed: colony.feeds.iter().position(|f| on_it(&f)),
        }
    }
}
