//! Feeding: syrup, dry sugar, fondant, frames of honey, on a day and in an amount.
//!
//! Syrup is taken from the feeder only while it is warm, at a limited rate, hung wet in the combs and dried to stores over
//! days. All sugar counts alike once it is stores: `sugar_yield` kg each, at most 1.22 (1 kg sugar in stores of 18 % water),
//! 1.10 after handling. Dry sugar and fondant are laid over the frames and eaten there; honey frames are hung in.

use super::parameters::Parameters;
use super::stores::{Place, Stores};

/// Bees take syrup at the full rate from so many kelvins above the lowest temperature (a choice: 11 to 19 degC).
const FULL_RATE_ABOVE: f64 = 8.0;

const DAY: f64 = 86_400.0;

/// Strength of syrup.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Syrup {
    /// Name, as a keeper says it.
    pub name: &'static str,
    /// Sugar per mass of syrup, kg/kg.
    pub sugar: f64,
    /// Density, kg/m3.
    pub density: f64,
}

impl Syrup {
    /// So much of it, kg.
    #[must_use]
    pub fn mass(&self, kg: f64) -> Feed {
        Feed::Syrup {
            sugar: self.sugar * kg,
            mass: kg,
        }
    }

    /// So many litres of it.
    #[must_use]
    pub fn litres(&self, litres: f64) -> Feed {
        self.mass(1e-3 * self.density * litres)
    }
}

/// The strengths known. Sugar per mass from the recipe; densities of sucrose solutions at 20 degC from memory (1.33 kg/L and
/// 0.89 kg sugar per litre at 2:1 by weight are the trade's figures; 2:1 by volume of granulated sugar is about 62.5 %).
pub const SYRUPS: &[Syrup] = &[
    Syrup {
        name: "2:1",
        sugar: 2.0 / 3.0,
        density: 1330.0,
    },
    Syrup {
        name: "2:1 by volume",
        sugar: 0.625,
        density: 1300.0,
    },
    Syrup {
        name: "3:2",
        sugar: 0.6,
        density: 1287.0,
    },
    Syrup {
        name: "1:1",
        sugar: 0.5,
        density: 1230.0,
    },
];

/// Share of the full rate at which bees take syrup in outside air of `air_c` degC: none below the lowest temperature, a ninth at it
/// (they begin slowly), all of it from eight kelvins above.
#[must_use]
pub fn appetite(air_c: f64, p: &Parameters) -> f64 {
    if air_c < p.syrup_c {
        0.0
    } else {
        ((1.0 + air_c - p.syrup_c) / (1.0 + FULL_RATE_ABOVE)).clamp(0.0, 1.0)
    }
}

/// What is fed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Feed {
    /// Sugar syrup in a feeder.
    Syrup {
        /// Sugar in it, kg.
        sugar: f64,
        /// Syrup in all, kg.
        mass: f64,
    },
    /// Dry sugar on the frames, kg.
    DrySugar(f64),
    /// Fondant on the frames, kg.
    Fondant(f64),
    /// Honey in frames.
    Frames {
        /// Honey, kg.
        honey: f64,
        /// Box and frame, from 0; `None`: beside the cluster.
        at: Option<(usize, usize)>,
    },
}

impl Feed {
    /// Stores it comes to when all of it is taken, kg.
    ///
    /// ```
    /// use partywall_core::colony::{feeding::SYRUPS, parameters::Parameters};
    /// let p = Parameters::with(&[]).unwrap();
    /// let litre = SYRUPS[0].litres(1.0);
    /// assert!((litre.stores(&p) - 0.975).abs() < 0.001); // the trade's 0.97 kg per litre
    /// ```
    #[must_use]
    pub fn stores(&self, p: &Parameters) -> f64 {
        match *self {
            Self::Syrup { sugar, .. } => sugar * p.sugar_yield,
            Self::DrySugar(kg) => kg * p.sugar_yield,
            Self::Fondant(kg) => kg * p.fondant_sugar * p.sugar_yield,
            Self::Frames { honey, .. } => honey,
        }
    }
}

/// The feeder of a hive, and the syrup that dries in its combs.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Feeder {
    /// Syrup in the feeder, kg.
    syrup: f64,
    /// Sugar in it, kg.
    sugar: f64,
    /// Sugar in uncured stores, kg.
    wet: f64,
    /// Sugar that has become stores, kg.
    cured: f64,
    /// Honey and sugar that found no room, kg of stores.
    turned_away: f64,
}

impl Feeder {
    /// Gives a feed. Syrup waits in the feeder for [`Feeder::pass`]; the rest is put into `stores` at once.
    pub fn give(&mut self, feed: &Feed, stores: &mut Stores, place: &Place, p: &Parameters) {
        let over = [place.centre[0], place.centre[1]];
        match *feed {
            Feed::Syrup { sugar, mass } => {
                self.syrup += mass;
                self.sugar += sugar;
            }
            Feed::DrySugar(_) | Feed::Fondant(_) => stores.lay_on_top(over, feed.stores(p)),
            Feed::Frames { honey, at } => {
                let hung = match at {
                    Some((b, f)) => stores.hang(b, f, honey),
                    None => stores.store(place, honey),
                };
                self.turned_away += honey - hung;
            }
        }
    }

    /// Lets `dt` seconds pass in outside air of `air_c` degC with `bees` bees: syrup is taken down while warm, what hangs wet
    /// dries and goes into `stores`. Gives the syrup taken, kg.
    pub fn pass(
        &mut self,
        dt: f64,
        air_c: f64,
        bees: f64,
        stores: &mut Stores,
        place: &Place,
        p: &Parameters,
    ) -> f64 {
        if self.syrup <= 0.0 && self.wet <= 0.0 {
            return 0.0;
        }
        let will = appetite(air_c, p);
        let mut taken = (will * p.syrup_per_bee_day * bees.max(0.0) * dt / DAY).min(self.syrup);
        if !taken.is_finite() {
            taken = 0.0;
        }
        let sugar = if self.syrup > 0.0 {
            // No more than there will be room for when it is dry.
            let share = taken / self.syrup;
            let room = (stores.free() / p.sugar_yield - self.wet).max(0.0);
            let sugar = (share * self.sugar).min(room);
            if sugar < share * self.sugar {
                taken = if self.sugar > 0.0 {
                    self.syrup * sugar / self.sugar
                } else {
                    0.0
                };
            }
            sugar
        } else {
            0.0
        };
        self.syrup -= taken;
        self.sugar -= sugar;
        self.wet += sugar;
        let dry = self.wet * (1.0 - (-dt / (DAY * p.syrup_curing_days)).exp());
        let put = stores.store(place, dry * p.sugar_yield) / p.sugar_yield;
        self.wet -= put;
        self.cured += put;
        taken
    }

    /// Syrup in the feeder, kg.
    #[must_use]
    pub fn in_feeder(&self) -> f64 {
        self.syrup
    }

    /// Sugar in the feeder, in uncured stores, and become stores so far, kg each.
    #[must_use]
    pub fn sugar(&self) -> [f64; 3] {
        [self.sugar, self.wet, self.cured]
    }

    /// Honey that found no room, kg.
    #[must_use]
    pub fn turned_away(&self) -> f64 {
        self.turned_away
    }
}

#[cfg(test)]
mod tests {
    use super::super::stores::{BoxCombs, Placement};
    use super::*;
    use proptest::prelude::*;

    const HOUR: f64 = 3600.0;

    fn hive(kg: f64) -> Stores {
        Stores::new(vec![BoxCombs::ten_deep()], Placement::Natural(kg), 0.009).unwrap()
    }

    const PLACE: Place = Place {
        centre: [0.186, 0.2, 0.16],
        radius: 0.12,
    };

    fn ten_litres() -> Feed {
        Feed::Syrup {
            sugar: 13.3 * 2.0 / 3.0,
            mass: 13.3,
        }
    }

    /// Catches syrup that is taken in the cold, or at once and whole when warm.
    #[test]
    fn syrup_is_taken_while_warm_and_slowly() {
        let p = Parameters::with(&[]).unwrap();
        let after = |air_c: f64, days: usize| {
            let mut s = hive(5.0);
            let mut f = Feeder::default();
            f.give(&ten_litres(), &mut s, &PLACE, &p);
            for _ in 0..24 * days {
                f.pass(HOUR, air_c, 20_000.0, &mut s, &PLACE, &p);
            }
            (f.in_feeder(), s.total())
        };
        for air_c in [-10.0, 0.0, 8.0, 10.9] {
            let (left, total) = after(air_c, 60);
            assert!(left == 13.3 && (total - 5.0).abs() < 1e-12, "{air_c}");
        }
        let (left, total) = after(20.0, 1);
        assert!(
            (left - 9.3).abs() < 1e-9 && total > 5.0 && total < 8.0,
            "{left} {total}"
        );
        let (left, total) = after(20.0, 60);
        // 10 L of 2:1 give 9.7 kg of stores after handling (trade figure).
        assert!(left == 0.0 && (total - 5.0 - 9.75).abs() < 0.02, "{total}");
        assert!(after(12.0, 3).0 > after(16.0, 3).0);
    }

    /// Catches syrup that is stores the hour it is taken: uncured late feed must be known as such.
    #[test]
    fn syrup_cures_over_days() {
        let p = Parameters::with(&[]).unwrap();
        let (mut s, mut f) = (hive(5.0), Feeder::default());
        f.give(&ten_litres(), &mut s, &PLACE, &p);
        for _ in 0..72 {
            f.pass(HOUR, 20.0, 25_000.0, &mut s, &PLACE, &p);
        }
        let [feeder, wet, cured] = f.sugar();
        assert!(feeder == 0.0 && wet > 4.0 && cured > 1.0, "{wet} {cured}");
        for _ in 0..5 * 24 {
            f.pass(HOUR, 5.0, 25_000.0, &mut s, &PLACE, &p);
        }
        assert!((f.sugar()[1] / wet - (-1.0f64).exp()).abs() < 1e-9);
    }

    /// Catches a full hive that goes on taking syrup, and honey frames that vanish.
    #[test]
    fn a_full_hive_takes_no_more() {
        let p = Parameters::with(&[]).unwrap();
        let (mut s, mut f) = (hive(26.0), Feeder::default());
        f.give(&ten_litres(), &mut s, &PLACE, &p);
        for _ in 0..60 * 24 {
            f.pass(HOUR, 22.0, 25_000.0, &mut s, &PLACE, &p);
        }
        assert!(
            f.in_feeder() > 11.0 && s.free() < 0.01,
            "{} {}",
            f.in_feeder(),
            s.free()
        );
        f.give(
            &Feed::Frames {
                honey: 2.7,
                at: Some((0, 3)),
            },
            &mut s,
            &PLACE,
            &p,
        );
        assert!((f.turned_away() - 2.7).abs() < 0.01);
    }

    /// Catches conversions that leave the trade's figures: 1.10 kg a kg of sugar, 0.97 a litre of 2:1, 3.7 a US gallon, 4.4 an imperial one.
    #[test]
    fn conversions_are_the_trades() {
        let p = Parameters::with(&[]).unwrap();
        let litres = |l: f64| SYRUPS[0].litres(l).stores(&p);
        for (got, want) in [
            (litres(1.0), 0.97),
            (litres(3.785_411_784), 3.7),
            (litres(4.546_09), 4.4),
            (Feed::DrySugar(1.0).stores(&p), 1.1),
        ] {
            assert!((got / want - 1.0).abs() < 0.02, "{got} {want}");
        }
        for s in SYRUPS {
            assert!(
                (s.density - (1000.0 + 480.0 * s.sugar)).abs() < 40.0,
                "{}",
                s.name
            );
        }
    }

    proptest! {
        /// Catches sugar lost or made between feeder, wet and dry stores.
        #[test]
        fn sugar_is_conserved(airs in prop::collection::vec(-5.0..30.0f64, 1..200), kg in 0.0..30.0f64, start in 0.0..27.0f64) {
            let p = Parameters::with(&[]).unwrap();
            let (mut s, mut f) = (hive(start), Feeder::default());
            f.give(&Feed::Syrup { sugar: 0.6 * kg, mass: kg }, &mut s, &PLACE, &p);
            for air in airs {
                f.pass(4.0 * HOUR, air, 12_000.0, &mut s, &PLACE, &p);
            }
            let [feeder, wet, cured] = f.sugar();
            prop_assert!((feeder + wet + cured - 0.6 * kg).abs() < 1e-9);
            prop_assert!((s.put_in() - start - cured * p.sugar_yield).abs() < 1e-9);
            prop_assert!(feeder >= -1e-12 && wet >= -1e-12);
        }
    }
}
