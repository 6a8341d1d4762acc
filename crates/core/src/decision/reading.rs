//! What a hive of a given weight reads on the keeper's scale, by the way it is lifted, and how far off that may be.

use super::stores::{TARE_ERROR_PARTS, TARE_ERROR_WEIGHED};
use crate::stand::{Colony, Lift, Stack, TareSource};
use serde::Serialize;

/// Error of a luggage scale over two lifts, front and back, kg (trade notes: 2 kg; no source for the figure).
pub const SCALE_ERROR_LIFTS: f64 = 2.0;
/// Error of a platform scale under the whole hive, kg (common practice, no source).
pub const SCALE_ERROR_WHOLE: f64 = 0.5;
/// How far the middle of the stores lies off the middle of the hive, as a share of its width (a choice: 5 cm of 40 cm). One
/// side doubled then reads off by twice that share of the stores: the moments about the other edge give
/// `2 F = W + 2 S e / w`.
pub const STORES_OFF_CENTRE: f64 = 0.125;
/// Share by which a count of frames of bees may be wrong (trade notes: 30 %).
pub const BEES_ERROR: f64 = 0.3;
/// Error of the pollen, kg (1 to 2 kg in a wintering hive: common practice, no source).
pub const POLLEN_ERROR: f64 = 0.5;

/// Share by which stores counted in frames of honey may be wrong (trade notes: 15 in 100).
pub const COUNT_ERROR: f64 = 0.15;
/// What wet wood, snow and ice may add or leave in the cold months, kg (keepers tell of 1 to 3 kg; taken as so much either way).
pub const WET: f64 = 1.5;

/// What the scale is to read, and how far off that may be. All in kg.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Reading {
    /// The whole hive.
    pub gross: f64,
    /// Each lift: the whole, the mean of front and back, or the one side.
    pub each: f64,
    /// How far the whole may be off: the parts below together, as independent errors (root of the sum of squares).
    pub error: f64,
    /// The same for one lift.
    pub error_each: f64,
    /// From the scale.
    pub scale: f64,
    /// From the tare.
    pub tare: f64,
    /// From the count of bees.
    pub bees: f64,
    /// From the pollen.
    pub pollen: f64,
    /// From doubling one side.
    pub one_side: f64,
}

/// Error of a tare by where it comes from, kg.
#[must_use]
pub fn tare_error(source: TareSource) -> f64 {
    match source {
        TareSource::OwnWeighing => TARE_ERROR_WEIGHED,
        TareSource::Parts => TARE_ERROR_PARTS,
    }
}

/// Error of a reading taken in a way of lifting, kg, with `stores` kg of honey in the hive: scale, and one side's leaning.
#[must_use]
pub fn lift_error(lift: Lift, stores: f64) -> (f64, f64) {
    match lift {
        Lift::Whole => (SCALE_ERROR_WHOLE, 0.0),
        Lift::FrontAndBack => (SCALE_ERROR_LIFTS, 0.0),
        Lift::OneSide => (SCALE_ERROR_LIFTS, 2.0 * STORES_OFF_CENTRE * stores.max(0.0)),
    }
}

/// What the scale reads when the colony's hive weighs `gross` kg with `stores` kg of honey.
///
/// ```
/// use partywall_core::decision::reading::reading;
/// let demo = partywall_core::scenario::built_in("larch-flats").unwrap().scenario;
/// let left = demo.stacks[0].colony.as_ref().unwrap();
/// let r = reading(left, 58.0, 30.0);
/// assert_eq!(r.each, 29.0);
/// assert!(r.error > r.scale && r.error < r.scale + r.tare + r.bees + r.pollen);
/// ```
#[must_use]
pub fn reading(colony: &Colony, gross: f64, stores: f64) -> Reading {
    let lift = colony.scale.lift;
    let (scale, one_side) = lift_error(lift, stores);
    let tare = tare_error(colony.scale.tare_source);
    let bees = if colony.frames_of_bees.is_some() {
        BEES_ERROR * colony.bees
    } else {
        0.0
    };
    let all = [scale, tare, bees, POLLEN_ERROR, one_side];
    let error = all.iter().map(|e| e * e).sum::<f64>().sqrt();
    let lifts = lift.parts();
    Reading {
        gross,
        each: gross / lifts,
        error,
        error_each: error / lifts,
        scale,
        tare,
        bees,
        pollen: POLLEN_ERROR,
        one_side,
    }
}

/// Stores of one box as full frames.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BoxFrames {
    /// Pattern of the box.
    pub pattern: String,
    /// Frames that hang in it.
    pub frames: u32,
    /// Honey one full frame holds, kg.
    pub full_frame: f64,
    /// Full frames of honey needed in it.
    pub needed: f64,
    /// Full frames of honey there now.
    pub now: f64,
}

/// `stores` kg as full frames, bottom box first: filled from the top down, as bees store it. What the combs cannot hold is
/// left out; [`capacity`] tells whether there is such.
#[must_use]
pub fn as_frames(stack: &Stack, stores: f64) -> Vec<BoxFrames> {
    let mut left = stores.max(0.0);
    let mut all: Vec<BoxFrames> = stack
        .boxes
        .iter()
        .rev()
        .filter(|b| b.frames > 0 && b.full_frame > 0.0)
        .map(|b| {
            let here = left.min(f64::from(b.frames) * b.full_frame);
            left -= here;
            BoxFrames {
                pattern: b.pattern.clone(),
                frames: b.frames,
                full_frame: b.full_frame,
                needed: here / b.full_frame,
                now: b.honey_frames,
            }
        })
        .collect();
    all.reverse();
    all
}

/// Honey that all combs of a hive hold when full, kg.
#[must_use]
pub fn capacity(stack: &Stack) -> f64 {
    crate::stand::plausible::capacity(&stack.boxes)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario;

    fn demo() -> crate::stand::Scenario {
        scenario::built_in("larch-flats").unwrap().scenario
    }

    /// Catches frames that do not weigh what they stand for, or a box told to hold more frames than hang in it.
    #[test]
    fn frames_weigh_what_they_stand_for() {
        let s = demo();
        for stack in &s.stacks {
            for kg in [0.0, 3.0, 17.5, 30.0, 300.0] {
                let frames = as_frames(stack, kg);
                let sum: f64 = frames.iter().map(|f| f.needed * f.full_frame).sum();
                assert!((sum - kg.min(capacity(stack))).abs() < 1e-9);
                assert!(frames.iter().all(|f| f.needed <= f64::from(f.frames)));
                // The top box is filled before the lower one.
                let top = frames.last().unwrap();
                assert!(top.needed >= f64::from(top.frames) - 1e-9 || frames[0].needed == 0.0);
            }
        }
    }

    /// Catches a way of lifting that is no worse than a better one, or a tare from parts that is as good as a weighed one.
    #[test]
    fn rough_ways_are_told_to_be_rough() {
        let s = demo();
        let mut c = s.stacks[0].colony.clone().unwrap();
        let mut error = |lift, source| {
            c.scale.lift = lift;
            c.scale.tare_source = source;
            reading(&c, 58.0, 30.0).error
        };
        let own = TareSource::OwnWeighing;
        let (whole, both, one) = (
            error(Lift::Whole, own),
            error(Lift::FrontAndBack, own),
            error(Lift::OneSide, own),
        );
        assert!(whole < both && both < one - 3.0, "{whole} {both} {one}");
        assert!(error(Lift::FrontAndBack, TareSource::Parts) > both + 1.0);
    }
}
