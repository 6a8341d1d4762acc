//! The winters of a run: every arrangement through each, again with just the honey it takes, and one held against the full network.

use super::{AnswerError, Progress, Stage};
use crate::climate::series::Winter;
use crate::colony::parameters::Parameters;
use crate::ensemble::runner::{Arrangement, run_all};
use crate::ensemble::{CheckWindow, sets_the_answer};
use crate::parallel::prelude::*;
use crate::season::outcome::{SolverReport, WinterOutcome};
use crate::season::{Comparison, HeatModel, WinterRun};

/// Everything that is to be run.
pub(super) struct WinterJobs<'a> {
    pub(super) arrangements: &'a [Arrangement],
    pub(super) winters: &'a [Winter],
    pub(super) parameters: &'a Parameters,
    pub(super) level: f64,
    pub(super) progress: &'a dyn Progress,
}

/// All that came of it.
pub(super) struct WinterResults {
    /// Outcome of each winter in each arrangement.
    pub(super) outcomes: Vec<Vec<WinterOutcome>>,
    /// The first arrangement's winters with just the honey they take.
    pub(super) emptied: Vec<WinterOutcome>,
    /// The reduced network held against the full one, if it was.
    pub(super) check: Option<Comparison>,
}

impl WinterResults {
    /// The check, if it is beyond what is let pass.
    pub(super) fn strays(&self) -> Option<&Comparison> {
        self.check.as_ref().filter(|c| !c.holds())
    }
}

impl WinterJobs<'_> {
    /// Every winter, again with just the honey it takes, and over `checked` of one winter with the full network.
    pub(super) fn through(
        &self,
        model: HeatModel,
        checked: Option<CheckWindow>,
    ) -> Result<WinterResults, AnswerError> {
        let outcomes = self.run(model)?;
        // The full network goes through its winter on one core while the others are at work.
        let (check, emptied) = crate::parallel::join(
            || checked.map_or(Ok(None), |stretch| self.check(&outcomes, stretch)),
            || self.emptied(&outcomes[0]),
        );
        Ok(WinterResults {
            check: check?,
            emptied: emptied?,
            outcomes,
        })
    }

    /// Every arrangement through every winter.
    fn run(&self, model: HeatModel) -> Result<Vec<Vec<WinterOutcome>>, AnswerError> {
        let progress = self.progress;
        progress.begin(Stage::Winters, self.arrangements.len() * self.winters.len());
        let outcomes = run_all(
            self.arrangements,
            self.winters,
            self.parameters,
            model,
            &|| progress.step(),
            progress.stop(),
        );
        progress.end();
        Ok(outcomes?)
    }

    /// Every winter again with just the honey it takes in each hive: what is then left behind is out of the bees' reach. Always with the
    /// reduced network, which is close enough for that.
    fn emptied(&self, outcomes: &[WinterOutcome]) -> Result<Vec<WinterOutcome>, AnswerError> {
        let arrangement = &self.arrangements[0];
        let all: Result<Vec<_>, _> = self
            .winters
            .par_iter()
            .zip(outcomes)
            .map(|(winter, o)| {
                let eaten: Vec<f64> = o.colonies.iter().map(|c| c.eaten).collect();
                WinterRun {
                    scenario: &arrangement.scenario.with_stores(&eaten),
                    stand: &arrangement.stand,
                    winter,
                    parameters: self.parameters,
                    stop: self.progress.stop(),
                }
                .run(HeatModel::Reduced, None)
            })
            .collect();
        Ok(all?)
    }

    /// Holds the reduced network against the full one in the winter that sets the answer. `None` without colonies.
    fn check(
        &self,
        outcomes: &[Vec<WinterOutcome>],
        stretch: CheckWindow,
    ) -> Result<Option<Comparison>, AnswerError> {
        let eaten = |o: &WinterOutcome| o.colonies.iter().map(|c| c.eaten).sum::<f64>();
        let eaten: Vec<f64> = outcomes[0].iter().map(eaten).collect();
        let Some(poor) = sets_the_answer(&eaten, self.level) else {
            return Ok(None);
        };
        let winter_run = WinterRun {
            scenario: &self.arrangements[0].scenario,
            stand: &self.arrangements[0].stand,
            winter: &self.winters[poor],
            parameters: self.parameters,
            stop: self.progress.stop(),
        };
        Ok(winter_run.check(&outcomes[0][poor], stretch)?)
    }
}

/// Counts of all winters together, with the worst of the residuals.
pub(super) fn worst(outcomes: &[Vec<WinterOutcome>]) -> SolverReport {
    let zero = SolverReport {
        unknowns: outcomes
            .first()
            .and_then(|o| o.first())
            .map_or(0, |o| o.solver.unknowns),
        steps: 0,
        solves: 0,
        iterations: 0,
        energy_residual: 0.0,
        coupling_residual: 0.0,
    };
    outcomes.iter().flatten().fold(zero, |sum, o| SolverReport {
        steps: sum.steps + o.solver.steps,
        solves: sum.solves + o.solver.solves,
        iterations: sum.iterations + o.solver.iterations,
        energy_residual: sum.energy_residual.max(o.solver.energy_residual),
        coupling_residual: sum.coupling_residual.max(o.solver.coupling_residual),
        ..sum
    })
}
