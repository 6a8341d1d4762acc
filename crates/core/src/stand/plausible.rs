//! Whether a weight can be that of a hive: between its wood with bees and its wood with all combs full, and lifted at its two ends without
//! leaning further than what is in it can.

use super::{HiveBox, Lifts};
use crate::units::format;

/// One pound, kg (exact).
const POUND: f64 = 0.453_592_37;
/// What a pair of readings at the two ends may be off beyond any lean, kg (a luggage scale, two lifts; as in `decision::reading`).
const LIFT_ERROR: f64 = 2.0;

/// Honey that all combs hold when full, kg.
#[must_use]
pub fn capacity(boxes: &[HiveBox]) -> f64 {
    boxes
        .iter()
        .map(|b| f64::from(b.frames) * b.full_frame)
        .sum()
}

/// What a hive can weigh.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weights {
    /// Wood, frames, wax, covers, kg, and how far that may be off.
    pub tare: f64,
    /// How far the tare may be off, kg.
    pub tare_error: f64,
    /// Bees and pollen, kg.
    pub bees_and_pollen: f64,
    /// Honey that all combs hold, kg.
    pub holds: f64,
    /// Length of the combs as a share of the outside length of the hive.
    pub comb_share: f64,
}

impl Weights {
    /// Those of a hive with `bees_and_pollen` kg in it.
    #[must_use]
    pub fn of(boxes: &[HiveBox], tare: f64, tare_error: f64, bees_and_pollen: f64) -> Self {
        let longest = |of: fn(&HiveBox) -> f64| boxes.iter().map(of).fold(0.0, f64::max);
        let length = longest(|b| b.length);
        Self {
            tare,
            tare_error,
            bees_and_pollen,
            holds: capacity(boxes),
            comb_share: if length > 0.0 {
                longest(|b| b.comb_length) / length
            } else {
                1.0
            },
        }
    }

    /// Least and most the whole can weigh: no honey, and all combs full, kg.
    #[must_use]
    pub fn band(&self) -> [f64; 2] {
        let empty = self.tare + self.bees_and_pollen;
        [empty, empty + self.holds]
    }

    /// A number of kilograms or pounds that lies outside the band as it was written and inside it in the other unit: "127 kg cannot be, 127 lb
    /// (57.6 kg) could: try pounds". `gross` in kg, `pounds` when it was written in pounds.
    ///
    /// Only that direction is asked in which a slip of the unit goes: what was meant as pounds and written as kilograms is too heavy, the other
    /// way round too light.
    #[must_use]
    pub fn other_unit(&self, gross: f64, pounds: bool) -> Option<String> {
        let [low, high] = self.band();
        other_unit(
            gross,
            pounds,
            [low, high],
            [low - self.tare_error, high + self.tare_error],
        )
    }

    /// Share of the whole that a lift at the front can read, least and most, with `gross` kg on the scale: derived, by moments about the
    /// other end.
    ///
    /// Wood and covers have their middle in the middle. Honey `H` out of `C` that the combs hold fills at least that part of their length
    /// `l`, so that its middle lies `l/2 (1 - H/C)` off at most; bees may sit at the very end, `l/2`. The reading at the front then differs
    /// from half the whole by `(H (1 - H/C) + B) l / (2 L)` at most, `L` the length of the hive, and by what a scale may be off. `H` is
    /// the one within the error of the tare that leans most.
    #[must_use]
    pub fn front_share(&self, gross: f64) -> [f64; 2] {
        let honey = gross - self.band()[0];
        let low = (honey - self.tare_error).clamp(0.0, self.holds);
        let high = (honey + self.tare_error).clamp(0.0, self.holds);
        let most = (0.5 * self.holds).clamp(low, high);
        let leans = if self.holds > 0.0 {
            most * (1.0 - most / self.holds)
        } else {
            0.0
        };
        let off = 0.5 * (leans + self.bees_and_pollen) * self.comb_share + 0.5 * LIFT_ERROR;
        let share = if gross > 0.0 {
            (off / gross).min(0.5)
        } else {
            0.5
        };
        [0.5 - share, 0.5 + share]
    }

    /// What is odd about two ends that differ by more than what is in the hive can lean; `None` when they can be.
    #[must_use]
    pub fn leaning(&self, lifts: &Lifts) -> Option<String> {
        let [front, back] = lifts.front_back?;
        let gross = front + back;
        let [low, high] = self.front_share(gross);
        let share = front / gross;
        (share < low || share > high).then(|| {
            format!(
                "front {} and back {} are further apart than honey and bees in these combs can lean: of {} in all, the front reads {} to {}",
                format::mass(front),
                format::mass(back),
                format::mass(gross),
                format::mass(low * gross),
                format::mass(high * gross)
            )
        })
    }
}

/// What to try about ends that lean too far.
pub const LEANING_HELP: &str = "read both ends again, lifting at the edges; is one of the two in another unit, or the hive stuck to its stand?";

/// Whether a weight `kg` that lies outside `can` would lie inside `band` in the other unit, and how that is told.
#[must_use]
pub fn other_unit(kg: f64, pounds: bool, band: [f64; 2], can: [f64; 2]) -> Option<String> {
    let within = |kg: f64| (band[0]..=band[1]).contains(&kg);
    if !pounds && kg > can[1] && within(kg * POUND) {
        Some(format!(
            "as pounds it would make sense: {0} lb is {1} kg. Were they pounds?",
            format::trimmed(kg, 1),
            format::trimmed(kg * POUND, 1)
        ))
    } else if pounds && kg < can[0] && within(kg / POUND) {
        Some(format!(
            "as kilograms it would make sense, {} kg. Were they kilograms?",
            format::trimmed(kg / POUND, 1)
        ))
    } else {
        None
    }
}

/// Whether a weight is written in pounds.
#[must_use]
pub fn in_pounds(text: &str) -> bool {
    let text = text.to_lowercase();
    text.contains("lb") || text.contains("pound")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn weights() -> Weights {
        let s = crate::scenario::built_in("larch-flats").unwrap().scenario;
        let c = s.stacks[0].colony.clone().unwrap();
        Weights::of(&s.stacks[0].boxes, c.scale.tare, 1.0, c.bees + c.pollen)
    }

    /// Catches a lean that is passed without a word (8 kg in front, 33 behind), one that honey at one end explains and that is nagged
    /// about, and a limit that does not narrow when the combs are full and nothing in them can lean.
    #[test]
    fn ends_lean_no_further_than_what_is_in_the_hive() {
        let w = weights();
        let odd = |front, back| {
            w.leaning(&Lifts {
                front_back: Some([front, back]),
                pounds: false,
            })
        };
        assert!(odd(8.0, 33.0).unwrap().contains("33 kg"));
        assert!(odd(33.0, 8.0).is_some());
        assert_eq!(odd(28.7, 29.6), None);
        // Half the combs full, all of it in the back halves: what can be must not be told.
        let (honey, bees) = (0.5 * w.holds, w.bees_and_pollen);
        let gross = w.band()[0] + honey;
        let most = 0.5 * gross + 0.25 * honey * w.comb_share + 0.5 * bees * w.comb_share;
        assert_eq!(odd(gross - most, most), None);
        assert!(odd(gross - most - 1.5, most + 1.5).is_some());
        let wide = |gross| w.front_share(gross)[1] - 0.5;
        assert!(wide(w.band()[1] + 1.0) < 0.5 * wide(gross));
        let whole = Lifts::default();
        assert_eq!(w.leaning(&whole), None);
    }

    /// Catches pounds written as kilograms and the other way round that are not told as such, and a unit blamed for a weight that fits in
    /// neither or in both.
    #[test]
    fn a_slip_of_the_unit_is_named() {
        let w = weights();
        let told = |kg, pounds| w.other_unit(kg, pounds);
        assert!(told(127.0, false).unwrap().contains("127 lb is 57.6 kg"));
        assert!(told(58.0 * POUND, true).unwrap().contains("58 kg"));
        assert_eq!(told(58.0, false), None);
        assert_eq!(told(127.0, true), None);
        assert_eq!(told(10.0, false), None);
        assert_eq!(told(400.0, false), None);
        assert!(in_pounds("\"63.5 lbs\"") && in_pounds("60 Pounds") && !in_pounds("28.7 kg"));
    }
}
