//! Margins in three words, each with the number that set it.
//!
//! | of | comfortable | act now | where the limits come from |
//! |---|---|---|---|
//! | stores | above the target by more than the weighing may be off | below it by as much, or all eaten in more winters than the level allows, rounded up | the target's own error |
//! | reach | no winter starved beside honey, or came near it | more winters than the level allows, rounded up, and by more than winters on a hair could make | this program's choice |
//! | cluster size | 7 deep frames of bees | under 5 | common practice: 7 to 8 wanted in Ontario and Atlantic Canada, under 5 in October called marginal |
//! | cold | 10 K in hand at the weakest moment | under 3 K, or the cold alone kills in more winters than the level allows, rounded up | this program's choice |
//! | damp | water drips on the bees on no day of a poor winter | on 10 days or more | what a lid holds before it drips: from memory of a table of British practice; 10 days: this program's choice |
//!
//! Whatever is neither is "watch". None of it is a chance of survival.

use super::hive_water::poor_days;
use crate::calendar::MonthDay;
use crate::calendar::into_season;
use jiff::civil::Date;
use serde::Serialize;

/// The three words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Word {
    /// Nothing to do.
    Comfortable,
    /// Look at it again.
    Watch,
    /// Do something.
    ActNow,
}

impl Word {
    /// As a keeper reads it.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::Comfortable => "comfortable",
            Self::Watch => "watch",
            Self::ActNow => "act now",
        }
    }
}

/// One margin.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Margin {
    /// The word.
    pub word: Word,
    /// The number that set it, in `unit`.
    pub value: f64,
    /// Unit of the numbers.
    pub unit: &'static str,
    /// From here on it is comfortable.
    pub comfortable: f64,
    /// From here on it is time to act.
    pub act: f64,
    /// The day it points to.
    pub date: Option<Date>,
    /// Whether the word hangs on a hair.
    pub close: bool,
}

impl Margin {
    /// More is better: comfortable from `comfortable` on, act now below `act`.
    fn rising(value: f64, unit: &'static str, comfortable: f64, act: f64) -> Self {
        let word = if value >= comfortable {
            Word::Comfortable
        } else if value < act {
            Word::ActNow
        } else {
            Word::Watch
        };
        Self {
            word,
            value,
            unit,
            comfortable,
            act,
            date: None,
            close: false,
        }
    }

    fn on(self, date: Option<Date>) -> Self {
        Self { date, ..self }
    }
}

/// All margins of one colony.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Margins {
    /// Stores there now less stores needed, kg; `None` below five winters. The day: the last for syrup when short, else the
    /// earliest on which any winter would have starved it.
    pub stores: Option<Margin>,
    /// Winters in which it would have starved beside honey. The day: the earliest of them.
    pub reach: Margin,
    /// Deep frames of bees.
    pub size: Margin,
    /// Heat in hand at the weakest moment, K of colder air. The day: that moment.
    pub cold: Margin,
    /// Days on which water drips on the bees in a poor winter (the worst of those run, below five). The day: the earliest of any winter.
    pub damp: Margin,
}

/// Deep frames of bees from which a colony is large enough (common practice: 7 to 8 in Ontario, 7 in Atlantic Canada).
pub const FRAMES_COMFORTABLE: f64 = 7.0;
/// Deep frames of bees below which it is marginal (common practice: under about 5 full seams in October).
pub const FRAMES_MARGINAL: f64 = 5.0;
/// Bees on one deep frame, kg (2,500 of 0.125 g; 0.19 to 0.45 are seen).
pub const BEES_PER_DEEP_FRAME: f64 = 0.31;
/// Heat in hand that is plenty, K (a choice: no winter night of the record is so much worse than the worst).
pub const COLD_COMFORTABLE: f64 = 10.0;
/// Heat in hand that is next to nothing, K (a choice: less than a thermometer in the open and one in the yard differ).
pub const COLD_ACT: f64 = 3.0;

/// Days of drip on the bees in a poor winter from which something is to be done (a choice: a wet week and more, too long to be one thaw).
pub const DRIP_ACT: f64 = 10.0;

/// Less short than this is not worth a feed, kg (a choice: half a litre of syrup).
pub const WORTH_FEEDING: f64 = 0.5;

/// What margins are made of.
#[derive(Debug, Clone, Copy)]
pub struct Facts<'a> {
    /// Stores there less stores needed, and how far off the weighing may be, kg; `None` below five winters.
    pub spare: Option<(f64, f64)>,
    /// The last day for syrup.
    pub last_syrup: Option<Date>,
    /// Bees, kg.
    pub bees: f64,
    /// First day of the seasons run.
    pub start: MonthDay,
    /// One entry per winter: when the colony starved and whether beside honey.
    pub starved: &'a [Option<(Date, bool)>],
    /// One entry per winter: how much of what bees carry in their crops was left when food was nearest to running out beside honey; below
    /// zero for one that starved.
    pub closest: &'a [Option<f64>],
    /// Winters in which the cold alone would have killed it.
    pub too_cold: usize,
    /// The level asked for, as a share of winters.
    pub level: f64,
    /// Least heat in hand of all winters, K, and its day.
    pub weakest: (f64, Date),
    /// One entry per winter: days on which water dripped on the bees, and the first of them.
    pub drips: &'a [(u32, Option<Date>)],
}

/// So many of `winters` may go wrong at the level asked for: with 36 winters and 9 in 10, four; with 9 winters, one.
pub(super) fn allowed(winters: usize, level: f64) -> f64 {
    ((1.0 - level) * winters as f64 - 1e-9).ceil().max(0.0)
}

/// Puts the words to them.
#[must_use]
pub fn margins(f: &Facts<'_>) -> Margins {
    let allowed = allowed(f.starved.len(), f.level);
    let first = |beside: bool| {
        f.starved
            .iter()
            .flatten()
            .filter(|(_, b)| *b || !beside)
            .map(|(d, _)| *d)
            .min_by_key(|d| into_season(f.start, *d))
    };
    let stores = f.spare.map(|(spare, error)| {
        let mut m = Margin::rising(spare, "kg", error, -error);
        // Whatever the weighing may be off: all eaten in more winters than the level allows.
        let out = f.starved.iter().flatten().filter(|(_, b)| !*b).count();
        if out as f64 > allowed {
            m.word = Word::ActNow;
        }
        let date = if spare <= -WORTH_FEEDING {
            f.last_syrup
        } else {
            None
        };
        m.on(date.or_else(|| first(false)))
    });
    let isolated = f.starved.iter().flatten().filter(|(_, b)| *b).count() as f64;
    // More winters are worse.
    let worse = |count: f64| Margin {
        value: count,
        ..Margin::rising(-count, "winters", 0.0, -allowed)
    };
    let mut cold =
        Margin::rising(f.weakest.0, "K", COLD_COMFORTABLE, COLD_ACT).on(Some(f.weakest.1));
    if f.too_cold > 0 {
        cold.word = cold.word.max(worse(f.too_cold as f64).word);
    }
    Margins {
        stores,
        reach: reach(f, isolated, allowed).on(first(true)),
        size: Margin::rising(
            f.bees / BEES_PER_DEEP_FRAME,
            "deep frames of bees",
            FRAMES_COMFORTABLE,
            FRAMES_MARGINAL,
        ),
        cold,
        damp: damp(f),
    }
}

/// Damp: a day of drip in a poor winter is worth a look, many of them more than that.
fn damp(f: &Facts<'_>) -> Margin {
    let days: Vec<u32> = f.drips.iter().map(|(days, _)| *days).collect();
    let value = poor_days(&days, f.level);
    let first = f.drips.iter().filter_map(|(_, first)| *first);
    let word = if value >= DRIP_ACT {
        Word::ActNow
    } else if value > 0.0 {
        Word::Watch
    } else {
        Word::Comfortable
    };
    Margin {
        word,
        value,
        unit: "days",
        comfortable: 0.0,
        act: DRIP_ACT,
        date: first.min_by_key(|d| into_season(f.start, *d)),
        close: false,
    }
}

/// Winters in which less than so much of their crops was left to the bees are on a hair: another grid or another colony turns them (a
/// choice, as is the next: the five of twice 36 winters of the demo pair in which a colony starved on one of two grids only lay within the
/// two on one grid at least, between 0.32 and -1.12).
pub const HAIR: f64 = 0.5;
/// The same for winters in which they starved: crops two and a half times as full would have carried them.
pub const HAIR_STARVED: f64 = -1.5;

/// Winters in which the colony lived, but on a hair; and those in which it starved on one.
#[must_use]
pub fn on_a_hair(starved: &[Option<(Date, bool)>], closest: &[Option<f64>]) -> (usize, usize) {
    let (mut lived, mut died) = (0, 0);
    for (s, c) in starved.iter().zip(closest) {
        match (s, c) {
            (Some((_, true)), Some(c)) if *c > HAIR_STARVED => died += 1,
            (None, Some(c)) if *c < HAIR => lived += 1,
            _ => {}
        }
    }
    (lived, died)
}

/// Reach: which winters starve is chance where they hang on a hair, so that their number may be off by half its root (that of so many
/// tosses of a coin).
fn reach(f: &Facts<'_>, isolated: f64, allowed: f64) -> Margin {
    let (lived, died) = on_a_hair(f.starved, f.closest);
    let off = 0.5 * ((lived + died) as f64).sqrt();
    let word = if isolated == 0.0 && lived == 0 {
        Word::Comfortable
    } else if isolated - off > allowed {
        Word::ActNow
    } else {
        Word::Watch
    };
    let close = (isolated == 0.0 && lived > 0)
        || (off > 0.0 && isolated - off <= allowed && isolated + off > allowed);
    Margin {
        word,
        value: isolated,
        unit: "winters",
        comfortable: 0.0,
        act: allowed + 1.0,
        date: None,
        close,
    }
}

#[cfg(test)]
mod tests;
