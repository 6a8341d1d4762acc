//! The reduced heat network behind a contest held against the full one, hive by hive.

use super::comparison::ComparisonContext;
use super::network::{self, Networks};
use super::{AnswerError, Stage};
use crate::ensemble::draws::{ComparisonCase, DrawOutcome};
use crate::ensemble::full_network_check::{Candidate, alike, hold, poor_winter};
use crate::stand::Scenario;

/// A hive of a contest by its name.
pub(super) struct Named<'a> {
    pub(super) name: &'a str,
    pub(super) case: &'a ComparisonCase,
    /// Its outcomes in each winter, or those of the hive it is a change of.
    pub(super) plain: &'a [Vec<Option<DrawOutcome>>],
}

impl ComparisonContext<'_> {
    /// The hives of a contest as candidates to be held against the full network, each in the winter that sets its answer.
    ///
    /// # Errors
    /// A parameter that cannot be.
    pub(super) fn candidates<'a>(
        &self,
        hives: &[Named<'a>],
    ) -> Result<Vec<Candidate<'a>>, AnswerError> {
        let candidate = |h: &Named<'a>| {
            let s: &Scenario = &h.case.scenario;
            Ok(Candidate {
                name: h.name.to_owned(),
                case: h.case,
                winter: poor_winter(h.plain, s.level).unwrap_or_default(),
                parameters: self.parameters(s)?,
            })
        };
        hives.iter().map(candidate).collect()
    }

    /// Holds the candidates against the full network as far as that is asked for, `stands` is how many stands
    /// that differ in heat the contest has in all.
    ///
    /// # Errors
    /// A hive that cannot be built, a winter that cannot be run, or a stop.
    pub(super) fn hold(
        &self,
        candidates: &[Candidate<'_>],
        stands: usize,
    ) -> Result<Networks, AnswerError> {
        let kind = network::name(self.heat.model());
        let Some(stretch) = self.heat.checked() else {
            return Ok(Networks::new(kind, stands, Vec::new()));
        };
        let progress = self.progress;
        progress.begin(Stage::Checks, alike(candidates).len());
        let held = hold(
            candidates,
            self.heat.resolution,
            stretch,
            &|| progress.step(),
            progress.stop(),
        );
        progress.end();
        Ok(Networks::new(kind, stands, held?))
    }
}
