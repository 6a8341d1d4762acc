//! The reduced network held against the full one over a stretch of one winter.

use super::driver::Path;
use super::reduced_winter::ReducedWinter;
use super::trace::Trace;
use super::winter_run::{Method, SeasonError, WinterRun};
use serde::Serialize;
use std::ops::Range;

/// Hours after the two set out together that are not compared: the full network takes over a smoothed field.
const SETTLING: usize = 72;

/// Largest differences between reduced and full network, over all colonies.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Comparison {
    /// Winter compared.
    pub winter: String,
    /// Hours compared.
    pub hours: usize,
    /// Temperature around the clusters: largest, K.
    pub around_k: f64,
    /// The same: root of the mean square, K.
    pub around_rms_k: f64,
    /// Honey eaten in those hours, as a share.
    pub eaten: f64,
    /// Outermost bees above chill coma, K.
    pub mantle_k: f64,
    /// Smallest heat in hand of the stretch, K.
    pub heat_in_hand_k: f64,
    /// Hours in chill coma, h.
    pub chilled_h: f64,
}

impl Comparison {
    /// Largest differences that are let pass: below what a shell's place and an hour's weather are known to.
    pub const BOUND: (f64, f64, f64) = (0.3, 0.1, 0.01);

    /// How far it is off, as a multiple of what is let pass: of the three the largest.
    #[must_use]
    pub fn of_bound(&self) -> f64 {
        let (largest, rms, eaten) = Self::BOUND;
        [
            self.around_k / largest,
            self.around_rms_k / rms,
            self.eaten / eaten,
        ]
        .into_iter()
        .fold(0.0, f64::max)
    }

    /// Whether the reduced network may stand for the full one: the largest and the mean square difference around the
    /// clusters and the honey eaten within [`Comparison::BOUND`] (K, K, share).
    #[must_use]
    pub fn holds(&self) -> bool {
        let (largest, rms, eaten) = Self::BOUND;
        self.around_k <= largest && self.around_rms_k <= rms && self.eaten <= eaten
    }
}

impl WinterRun<'_> {
    /// Runs a stretch of the winter on both networks, from the state the reduced one has come to; the clusters of the second go
    /// where those of the first went.
    ///
    /// # Errors
    /// As [`WinterRun::run`]; a stretch without hours to compare gives no differences.
    pub fn compare(
        &self,
        method: Method,
        stretch: Range<usize>,
    ) -> Result<Comparison, SeasonError> {
        let stretch = stretch.start..stretch.end.min(self.winter.hours.len());
        let fill = self.first_fill();
        let mut reduced = ReducedWinter::new(self.stand, &self.first_hour(), &fill, self.rises())
            .map_err(|e| self.heat(e))?;
        let mut state = self.set_out(&mut reduced, fill)?;
        self.advance(&mut state, &mut reduced, 0..stretch.start, None)?;
        let mut full = self.go_over(method, &reduced, &state)?;
        let mut beside = state.clone();
        state.path = Path::Recorded(Vec::with_capacity(stretch.len()));
        let (mut by_reduced, mut by_full) = (Trace::default(), Trace::default());
        self.advance(
            &mut state,
            &mut reduced,
            stretch.clone(),
            Some(&mut by_reduced),
        )?;
        if let Path::Recorded(places) = std::mem::replace(&mut state.path, Path::Free) {
            beside.path = Path::Replayed(places.into_iter());
        }
        self.advance(&mut beside, &mut full, stretch, Some(&mut by_full))?;
        Ok(self.differences(&by_reduced, &by_full))
    }

    fn differences(&self, a: &Trace, b: &Trace) -> Comparison {
        let settled = |t: &Trace| SETTLING.min(t.rows.len())..t.rows.len();
        let (a, b) = (&a.rows[settled(a)], &b.rows[settled(b)]);
        let mut c = Comparison {
            winter: self.winter.label.clone(),
            hours: a.len(),
            around_k: 0.0,
            around_rms_k: 0.0,
            eaten: 0.0,
            mantle_k: 0.0,
            heat_in_hand_k: 0.0,
            chilled_h: 0.0,
        };
        for i in 0..a.first().map_or(0, |r| r.colonies.len()) {
            let (mut square, mut lowest, mut chilled) = (0.0, [f64::INFINITY; 2], [0.0; 2]);
            for (a, b) in a.iter().zip(b) {
                let (a, b) = (&a.colonies[i].moment, &b.colonies[i].moment);
                let off = (a.around_c - b.around_c).abs();
                c.around_k = c.around_k.max(off);
                square += off * off;
                c.mantle_k = c.mantle_k.max((a.mantle_margin - b.mantle_margin).abs());
                for (k, m) in [a, b].into_iter().enumerate() {
                    lowest[k] = m.heat_in_hand.min(lowest[k]);
                    chilled[k] += f64::from(u8::from(m.mantle_margin < 0.0));
                }
            }
            c.around_rms_k = c.around_rms_k.max((square / a.len() as f64).sqrt());
            c.heat_in_hand_k = c.heat_in_hand_k.max((lowest[0] - lowest[1]).abs());
            c.chilled_h = c.chilled_h.max((chilled[0] - chilled[1]).abs());
            let eaten = [a, b].map(|rows| match (rows.first(), rows.last()) {
                (Some(first), Some(last)) => last.colonies[i].eaten - first.colonies[i].eaten,
                _ => 0.0,
            });
            if eaten[1] > 0.0 {
                c.eaten = c.eaten.max((eaten[0] / eaten[1] - 1.0).abs());
            }
        }
        c
    }
}
