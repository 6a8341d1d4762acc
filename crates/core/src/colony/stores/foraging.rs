//! What a colony needs against what it gets: hunger, and the two ways to starve.

use super::sum::Sum;
use super::{Place, Stores};

/// Less honey than this in the whole stack is none, kg (a choice: a week's food, scattered over many cells; a colony that starves beside it
/// has run out, and more weight would have helped).
const NOTHING: f64 = 0.25;

/// Why a meal was short.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Lack {
    /// It was not.
    None,
    /// There is honey in the hive, but the cluster touches none of it.
    Isolated {
        /// Honey in the hive, kg.
        left: f64,
    },
    /// There is none left in the hive.
    RanOut,
}

/// One meal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Meal {
    /// Taken from the combs, kg.
    pub taken: f64,
    /// Needed and not found, kg.
    pub short: f64,
    /// Why it was short.
    pub lack: Lack,
}

impl Meal {
    /// Between meals.
    pub const NONE: Self = Self {
        taken: 0.0,
        short: 0.0,
        lack: Lack::None,
    };
}

/// The stores of a colony with the account of what it needed.
///
/// At all times `need = eaten from the combs + hunger + shadow`: hunger is lived on from the bees' crops and made good
/// when honey is found, shadow is what bees would have eaten that had nothing left to eat.
#[derive(Debug, Clone)]
pub struct ForagingState {
    /// The honey.
    pub stores: Stores,
    need: Sum,
    hunger: f64,
    shadow: Sum,
    starved: Option<Lack>,
}

impl ForagingState {
    /// Foraging in stores from which nothing was eaten.
    #[must_use]
    pub fn new(stores: Stores) -> Self {
        Self {
            stores,
            need: Sum::default(),
            hunger: 0.0,
            shadow: Sum::default(),
            starved: None,
        }
    }

    /// Feeds the colony `kg`, and what it went without before as far as there is. `crops` is what all bees together
    /// carry in their crops, kg: hunger beyond it is starvation. Colonies that starved go on in the shadow account, so
    /// that the need of the winter is known.
    pub fn feed(&mut self, place: &Place, kg: f64, crops: f64) -> Meal {
        let kg = if kg.is_finite() { kg.max(0.0) } else { 0.0 };
        self.need.add(kg);
        let want = kg + self.hunger;
        let taken = self.stores.eat(place, want);
        let missing = (want - taken).max(0.0);
        let crops = crops.max(0.0);
        self.hunger = missing.min(crops);
        let beyond = missing - self.hunger;
        self.shadow.add(beyond);
        let short = (kg - taken).max(0.0);
        // Some rounding may be left of a meal that was whole.
        let lack = if short <= 1e-12 {
            Lack::None
        } else {
            let left = self.stores.total();
            if left > NOTHING {
                Lack::Isolated { left }
            } else {
                Lack::RanOut
            }
        };
        if beyond > 0.0 && self.starved.is_none() && lack != Lack::None {
            self.starved = Some(lack);
        }
        Meal { taken, short, lack }
    }

    /// All the colony needed so far, kg, whether or not it got it.
    #[must_use]
    pub fn need(&self) -> f64 {
        self.need.value()
    }

    /// What the bees live on from their crops and have not made good, kg.
    #[must_use]
    pub fn hunger(&self) -> f64 {
        self.hunger
    }

    /// What starved bees would have eaten, kg.
    #[must_use]
    pub fn shadow(&self) -> f64 {
        self.shadow.value()
    }

    /// Whether the colony has starved, and which way.
    #[must_use]
    pub fn starved(&self) -> Option<Lack> {
        self.starved
    }
}
