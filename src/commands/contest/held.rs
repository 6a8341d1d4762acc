//! The reduced heat network behind a contest held against the full one, hive by hive.

use super::{Failure, Ground, bar};
use crate::commands::run::{carrier, network_name, resolution, stretch};
use partywall_core::ensemble::draws::{Entrant, Fate};
use partywall_core::ensemble::held::{Candidate, alike, hold, poor_winter};
use partywall_core::stand::Scenario;
use partywall_report::network::Networks;

/// A hive of a contest by its name.
pub(in crate::commands) struct Named<'a> {
    pub name: &'a str,
    pub entrant: &'a Entrant,
    /// Its fates in each winter, or those of the hive it is a change of.
    pub plain: &'a [Vec<Option<Fate>>],
}

impl Ground {
    /// The hives of a contest as candidates to be held against the full network, each in the winter that sets its answer.
    ///
    /// # Errors
    /// A parameter that cannot be.
    pub fn candidates<'a>(&self, hives: &[Named<'a>]) -> Result<Vec<Candidate<'a>>, Failure> {
        let candidate = |h: &Named<'a>| {
            let s: &Scenario = &h.entrant.scenario;
            Ok(Candidate {
                name: h.name.to_owned(),
                entrant: h.entrant,
                winter: poor_winter(h.plain, s.level).unwrap_or_default(),
                parameters: self.parameters(s)?,
            })
        };
        hives.iter().map(candidate).collect()
    }

    /// Holds the candidates against the full network as far as that is asked for, with a bar on standard error; `stands` is how many stands
    /// that differ in heat the contest has in all.
    ///
    /// # Errors
    /// A hive that cannot be built, a winter that cannot be run, Ctrl-C.
    pub fn hold(&self, candidates: &[Candidate<'_>], stands: usize) -> Result<Networks, Failure> {
        let kind = network_name(carrier(self.heat, self.grid));
        let Some(stretch) = stretch(self.heat) else {
            return Ok(Networks::new(kind, stands, Vec::new()));
        };
        let bar = bar(alike(candidates).len(), "stands checked");
        let held = hold(
            candidates,
            resolution(self.grid),
            stretch,
            &|| bar.inc(1),
            &self.stop,
        );
        bar.finish_and_clear();
        Ok(Networks::new(kind, stands, held?))
    }
}
