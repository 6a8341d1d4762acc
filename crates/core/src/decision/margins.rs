//! Margins in three words, each with the number that set it.
//!
//! | of | comfortable | act now | where the limits come from |
//! |---|---|---|---|
//! | stores | above the target by more than the weighing may be off | below it by as much, or all eaten in more winters than the level allows, rounded up | the target's own error |
//! | reach | no winter starved beside honey, or came near it | more winters than the level allows, rounded up, and by more than winters on a hair could make | this program's choice |
//! | cluster size | 7 deep frames of bees | under 5 | common practice: 7 to 8 wanted in Ontario and Atlantic Canada, under 5 in October called marginal |
//! | cold | 10 K in hand at the weakest moment | under 3 K, or the cold alone kills in more winters than the level allows, rounded up | this program's choice |
//!
//! Whatever is neither is "watch". None of it is a chance of survival.

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
mod tests {
    use super::*;
    use jiff::civil::date;

    const OCTOBER: MonthDay = MonthDay { month: 10, day: 1 };

    /// A hive in which all is well.
    fn fine() -> Facts<'static> {
        Facts {
            spare: Some((2.6, 2.5)),
            last_syrup: Some(date(2018, 10, 5)),
            bees: 2.8,
            start: OCTOBER,
            starved: &[None; 36],
            closest: &[None; 36],
            too_cold: 0,
            level: 0.9,
            weakest: (12.0, date(2018, 1, 5)),
        }
    }

    fn words(f: &Facts<'_>) -> [Word; 4] {
        let m = margins(f);
        let stores = m.stores.map_or(Word::Watch, |s| s.word);
        [stores, m.reach.word, m.size.word, m.cold.word]
    }

    /// Catches a word that does not turn at its limit, and one that is better for a worse hive.
    #[test]
    fn words_turn_at_their_limits() {
        use Word::{ActNow, Comfortable, Watch};
        let base = fine();
        assert_eq!(words(&base), [Comfortable; 4]);
        for (spare, word) in [(2.4, Watch), (-2.4, Watch), (-2.6, ActNow)] {
            let f = Facts {
                spare: Some((spare, 2.5)),
                ..base
            };
            assert_eq!(words(&f)[0], word, "{spare}");
        }
        for (bees, word) in [
            (2.18, Comfortable),
            (2.1, Watch),
            (1.56, Watch),
            (1.5, ActNow),
        ] {
            assert_eq!(words(&Facts { bees, ..base })[2], word, "{bees}");
        }
        for (k, too_cold, word) in [
            (10.0, 0, Comfortable),
            (9.9, 0, Watch),
            (2.9, 0, ActNow),
            (30.0, 4, Watch),
            (30.0, 5, ActNow),
        ] {
            let f = Facts {
                weakest: (k, date(2018, 1, 5)),
                too_cold,
                ..base
            };
            assert_eq!(words(&f)[3], word, "{k} {too_cold}");
        }
        for (isolated, word) in [(1, Watch), (4, Watch), (5, ActNow)] {
            let mut starved = vec![None; 36];
            starved[..isolated].fill(Some((date(2010, 2, 3), true)));
            starved[20] = Some((date(2001, 12, 3), false));
            let out: Vec<_> = starved.iter().map(|s| s.map(|(d, _)| (d, false))).collect();
            let f = Facts {
                starved: &out,
                ..base
            };
            let stores = if isolated > 3 { ActNow } else { Comfortable };
            assert_eq!(words(&f)[0], stores, "{isolated}");
            let f = Facts {
                starved: &starved,
                ..base
            };
            let m = margins(&f);
            assert_eq!((m.reach.word, m.reach.value), (word, isolated as f64));
            assert_eq!(m.reach.date, Some(date(2010, 2, 3)));
        }
    }

    /// Catches a verdict of reach that turns on one winter which another grid would turn: on a hair it is watch, and said to be close;
    /// far from it, as before.
    #[test]
    fn a_verdict_on_a_hair_is_said_to_be_close() {
        use Word::{ActNow, Comfortable, Watch};
        let told = |dead: &[f64], alive: &[f64]| {
            let mut starved = vec![None; 36];
            let mut closest = vec![None; 36];
            for (i, c) in dead.iter().enumerate() {
                starved[i] = Some((date(2010, 2, 3), true));
                closest[i] = Some(*c);
            }
            for (i, c) in alive.iter().enumerate() {
                closest[35 - i] = Some(*c);
            }
            let m = margins(&Facts {
                starved: &starved,
                closest: &closest,
                ..fine()
            })
            .reach;
            (m.word, m.close)
        };
        assert_eq!(told(&[], &[0.9, 0.6]), (Comfortable, false));
        assert_eq!(told(&[], &[0.3]), (Watch, true));
        assert_eq!(told(&[-9.0], &[]), (Watch, false));
        assert_eq!(told(&[-9.0; 5], &[]), (ActNow, false));
        assert_eq!(told(&[-0.1; 5], &[0.2; 3]), (Watch, true));
        assert_eq!(told(&[-0.1; 4], &[0.2; 3]), (Watch, true));
        assert_eq!(told(&[-0.1; 9], &[0.2; 3]), (ActNow, false));
        assert_eq!(told(&[-0.1; 2], &[0.2; 2]), (Watch, false));
    }

    /// Catches a date that points to a day too late to feed, or to the wrong end of the winter.
    #[test]
    fn a_short_hive_is_told_the_day_for_syrup() {
        let starved = [
            Some((date(2010, 4, 3), false)),
            Some((date(2011, 12, 30), false)),
        ];
        let mut f = Facts {
            spare: Some((-5.0, 2.0)),
            starved: &starved,
            closest: &[],
            ..fine()
        };
        assert_eq!(margins(&f).stores.unwrap().date, Some(date(2018, 10, 5)));
        f.last_syrup = None;
        assert_eq!(margins(&f).stores.unwrap().date, Some(date(2011, 12, 30)));
        f.spare = Some((5.0, 2.0));
        f.last_syrup = Some(date(2018, 10, 5));
        assert_eq!(margins(&f).stores.unwrap().date, Some(date(2011, 12, 30)));
    }
}
