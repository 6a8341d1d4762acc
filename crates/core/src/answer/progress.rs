//! How far an answer has got, and how it is stopped.

use crate::calendar::MonthDay;
use crate::season::Comparison;
use std::sync::atomic::AtomicBool;

/// A part of the work that is counted in steps.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Stage {
    /// Winters of an arrangement, or draws of a contest.
    Winters,
    /// Runs a weighing is held against.
    Runs,
    /// Stands of a contest held against the full network.
    Checks,
}

/// Something told while the work goes on.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Notice {
    /// The reduced network strays: once more with cluster places half as far apart.
    Refined(Comparison),
    /// It still strays: all winters with the full network, which takes long.
    FellBack(Comparison),
    /// Fewer runs fit than a date may rest on: as many again.
    MoreRuns {
        /// Fewest that would do.
        few: f64,
        /// Runs so far.
        runs: usize,
    },
    /// The day asked for lies outside the season: the answer is that of its start.
    OutsideSeason {
        /// The day.
        on: MonthDay,
        /// First day of the season.
        start: MonthDay,
        /// First dependable nectar.
        end: MonthDay,
    },
}

/// Hears of progress and can stop the work. Called from several threads; `()` hears nothing and never stops.
pub trait Progress: Sync {
    /// A stage of so many steps begins.
    fn begin(&self, _stage: Stage, _steps: usize) {}
    /// One step of it is done.
    fn step(&self) {}
    /// It is over.
    fn end(&self) {}
    /// Something to tell while the work goes on.
    fn tell(&self, _notice: &Notice) {}
    /// Set by the caller to stop: the answer is then [`AnswerError::Stopped`](super::AnswerError::Stopped).
    fn stop(&self) -> &AtomicBool {
        static NEVER: AtomicBool = AtomicBool::new(false);
        &NEVER
    }
}

impl Progress for () {}
