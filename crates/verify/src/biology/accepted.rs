//! The default set of parameters and sets that agree with the calibration.

use super::BiologyError;
use crate::Range;
use partywall_core::colony::ensemble::accepted;
use partywall_core::colony::parameters::Parameters;
use rayon::prelude::*;

/// The default set and the sets a range is taken over.
#[derive(Debug, Clone)]
pub struct Kept {
    /// Default set: the value of a check is its.
    pub default: Parameters,
    /// Sets of the range.
    pub sets: Vec<Parameters>,
}

impl Kept {
    /// The shipped defaults and the sets kept of a fixed draw: the same every time.
    ///
    /// # Errors
    /// A damaged parameter table.
    pub fn shipped() -> Result<Self, BiologyError> {
        let sets = accepted()?;
        Ok(Self {
            default: Parameters::with(&[])?,
            sets: sets
                .iter()
                .map(|s| Parameters::with(s))
                .collect::<Result<_, _>>()?,
        })
    }

    /// The same with every third set only, for rows that take whole winters in a hive.
    #[must_use]
    pub fn fewer(&self) -> Self {
        Self {
            default: self.default.clone(),
            sets: self.sets.iter().step_by(3).cloned().collect(),
        }
    }

    /// Some numbers with the default set, and their ranges over the accepted sets.
    pub(super) fn measure<const N: usize>(
        &self,
        f: impl Fn(&Parameters) -> Result<[f64; N], BiologyError> + Sync,
    ) -> Result<[(f64, Option<Range>); N], BiologyError> {
        let got = f(&self.default)?;
        let all: Vec<[f64; N]> = self.sets.par_iter().map(&f).collect::<Result<_, _>>()?;
        Ok(std::array::from_fn(|i| {
            let values: Vec<f64> = all.iter().map(|v| v[i]).collect();
            (got[i], Range::of(&values))
        }))
    }

    /// The same for numbers that cannot fail.
    pub(super) fn plain<const N: usize>(
        &self,
        f: impl Fn(&Parameters) -> [f64; N] + Sync,
    ) -> Result<[(f64, Option<Range>); N], BiologyError> {
        self.measure(|p| Ok(f(p)))
    }
}
