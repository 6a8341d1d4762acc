//! The upper hole against a shut lid, with the lid and all else as they are.

use super::gains::{Difference, Gain, Spread};
use serde::Serialize;

/// What the upper hole does to one colony, over draws that are the same with it and without.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct UpperHole {
    /// Whether it is there now.
    pub there: bool,
    /// Days on which water drips on the bees, with it and without: one draw in ten has more.
    pub drip_days: [f64; 2],
    /// Draws in which it drips on them at all, with it and without.
    pub dripped: [usize; 2],
    /// Most dew and ice under the lid, kg, with it and without: one draw in ten has more.
    pub lid_most: [f64; 2],
    /// Honey more in the hive at first nectar with it, kg.
    pub honey: Difference,
    /// Heat in hand more at the weakest moment with it, K of colder air.
    pub margin: Difference,
}

impl UpperHole {
    /// From what opening it, or shutting one that is `there`, does.
    #[must_use]
    pub fn of(there: bool, gain: &Gain) -> Self {
        fn turned<T: Copy>([before, after]: [T; 2], there: bool) -> [T; 2] {
            if there {
                [before, after]
            } else {
                [after, before]
            }
        }
        let with = |d: &Difference| if there { back(d) } else { *d };
        Self {
            there,
            drip_days: turned(gain.drip_days, there),
            dripped: turned(gain.dripped, there),
            lid_most: turned(gain.lid_most, there),
            honey: with(&gain.honey),
            margin: with(&gain.margin),
        }
    }
}

/// The same difference the other way round.
fn back(d: &Difference) -> Difference {
    Difference {
        spread: Spread {
            low: -d.spread.high,
            middle: -d.spread.middle,
            high: -d.spread.low,
        },
        better: d.worse,
        worse: d.better,
        close: d.close,
    }
}

#[cfg(test)]
mod tests {
    use super::super::gains::gain;
    use super::super::gains::tests::draw;
    use super::*;
    use crate::ensemble::draws::DrawOutcome;

    /// Catches an answer that turns round with the state the hive is in now: a hole that costs a kilogram and keeps the drip off does so
    /// whether it is opened or shut.
    #[test]
    fn with_and_without_do_not_hang_on_what_is_there() {
        let hive = |need: f64, drip_days: u32| -> Vec<Option<DrawOutcome>> {
            let mut f = draw(need, 30.0, 20.0);
            if let Some(f) = &mut f {
                f.water.drip_days = drip_days;
                f.water.lid_most = 0.01 * f64::from(drip_days);
            }
            vec![f; 12]
        };
        let (open, shut) = (hive(16.0, 0), hive(15.0, 12));
        let shutting = UpperHole::of(true, &gain(&open, &shut, None).unwrap());
        let opening = UpperHole::of(false, &gain(&shut, &open, None).unwrap());
        for told in [shutting, opening] {
            assert_eq!((told.drip_days, told.dripped), ([0.0, 12.0], [0, 12]));
            assert_eq!(told.lid_most, [0.0, 0.12]);
            assert_eq!(told.honey.spread.middle, -1.0);
            assert_eq!((told.honey.better, told.honey.worse), (0, 12));
        }
        assert!(shutting.there && !opening.there);
    }
}
