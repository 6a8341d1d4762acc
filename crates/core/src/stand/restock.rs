//! The same hives with other stores in them.

use super::{HiveBox, Scenario};
use crate::colony::stores::HoneyPlacement;

impl Scenario {
    /// The same with so much honey in each colony's hive, kg, left to right, hung as it hangs now: all combs less full in the same
    /// proportion, or each filled up by the same part of what it still takes. What the combs cannot hold is left out. Nothing is
    /// fed.
    #[must_use]
    pub fn with_stores(&self, kg: &[f64]) -> Self {
        let mut s = self.clone();
        let stacks = s.stacks.iter_mut().filter(|s| s.colony.is_some());
        for (stack, &kg) in stacks.zip(kg) {
            let Some(colony) = &mut stack.colony else {
                continue;
            };
            colony.feeds.clear();
            let now: f64 = colony.placements.iter().map(HoneyPlacement::kg).sum();
            let room: f64 = stack.boxes.iter().map(capacity).sum::<f64>() - now;
            for (placement, b) in colony.placements.iter_mut().zip(&mut stack.boxes) {
                let other = |honey: f64, full: f64| {
                    if kg <= now {
                        honey * if now > 0.0 { kg / now } else { 0.0 }
                    } else {
                        let part = if room > 0.0 { (kg - now) / room } else { 0.0 };
                        honey + (full - honey).max(0.0) * part.min(1.0)
                    }
                };
                match placement {
                    HoneyPlacement::InBox(honey) => *honey = other(*honey, capacity(b)),
                    HoneyPlacement::InFrames(all) => {
                        for honey in all {
                            *honey = other(*honey, b.full_frame);
                        }
                    }
                }
                b.honey_frames = if b.full_frame > 0.0 {
                    placement.kg() / b.full_frame
                } else {
                    0.0
                };
            }
            colony.stores = colony.placements.iter().map(HoneyPlacement::kg).sum();
        }
        s
    }
}

fn capacity(b: &HiveBox) -> f64 {
    f64::from(b.frames) * b.full_frame
}

#[cfg(test)]
mod tests {
    use crate::scenario;

    /// Catches honey lost or made on the way, combs fuller than full, and a colony that keeps its old weight.
    #[test]
    fn stores_are_what_was_asked_for() {
        let text = scenario::built_in_text("larch-flats").unwrap().replace(
            "honey_frames = 5 }",
            "honey_frames = [1, 1, 0.5, 0, 0, 0, 0, 0.5, 1, 1] }",
        );
        let s = scenario::parse(&text, "t", None).unwrap().scenario;
        let now = s.stacks[0].colony.as_ref().unwrap().stores;
        for kg in [0.0, 4.0, now, 35.0, 43.0, 90.0] {
            let other = s.with_stores(&[kg, 12.0]);
            let colonies: Vec<_> = other.colonies().map(|(_, c)| c).collect();
            // Ten deep frames of 2.7 kg and ten medium ones of 1.7 kg hold 44 kg.
            assert!((colonies[0].stores - kg.min(44.0)).abs() < 1e-9, "{kg}");
            assert!((colonies[1].stores - 12.0).abs() < 1e-9);
            for b in &other.stacks[0].boxes {
                assert!(b.honey_frames <= f64::from(b.frames) + 1e-9);
            }
        }
    }
}
