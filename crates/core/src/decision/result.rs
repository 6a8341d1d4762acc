//! What the winters of a run come to, colony by colony.

use super::advice::Advice;
use crate::calendar::words;
use crate::decision::hive_water::HiveWater;
use crate::decision::planned::Planned;
use crate::decision::stores::{Target, target};
use crate::ensemble::levels::level;
use crate::season::outcome::{Closest, ColonyOutcome, Moment, Starved, WinterOutcome};
use crate::stand::{Lift, Scenario, TareSource};
use crate::water::WinterWater;
use serde::Serialize;

/// What one colony's winters come to.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ColonyResult {
    /// Stack.
    pub stack: String,
    /// Bees on the start date, kg.
    pub bees: f64,
    /// Stores on the start date, kg.
    pub stores: f64,
    /// Gross weight that goes with these stores, kg.
    pub gross: f64,
    /// What the keeper's scale read, kg, if it did: another weight where the count of honey was used, being less.
    pub read: Option<f64>,
    /// How it is weighed.
    pub lift: Lift,
    /// Whether the tare is added up from parts.
    pub tare_from_parts: bool,
    /// The keeper's club's stores, kg.
    pub club_stores: Option<f64>,
    /// Need and target; `None` below five winters.
    pub target: Option<Target>,
    /// Day on which the scenario takes it to die: need, target and margins are told up to then.
    pub dies: Option<String>,
    /// Winter by winter.
    pub winters: Vec<ColonyWinter>,
    /// Weight of the empty hive, kg.
    pub tare: f64,
    /// Pollen, kg.
    pub pollen: f64,
    /// Hours of chill coma that kill, h.
    pub coma_lethal_h: f64,
    /// Winters in which the cold alone would have killed the colony: its outermost bees too long in chill coma.
    pub too_cold: usize,
    /// The weakest moment of all winters, and the winter it fell in.
    pub weakest: Weakest,
    /// The coldest hour of all winters.
    pub coldest: Moment,
    /// Where the water of its bees went.
    pub water: HiveWater,
    /// Against standing apart, if the stacks stand side by side.
    pub pairing: Option<Pairing>,
    /// The feeding planned in the scenario, and what of it counts.
    pub planned: Planned,
    /// What only a whole run tells.
    pub advice: Option<Advice>,
}

/// One colony in one winter.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ColonyWinter {
    /// Label.
    pub winter: String,
    /// Honey eaten, kg.
    pub eaten: f64,
    /// Honey eaten with the stacks apart, kg.
    pub eaten_apart: Option<f64>,
    /// Honey fed to brood, kg.
    pub fed_to_brood: f64,
    /// Honey spent on flights, kg.
    pub flown: f64,
    /// When and how it starved.
    pub starved: Option<Starved>,
    /// When its food was nearest to running out while there was honey in the hive; `None` if it always touched some.
    pub closest: Option<Closest>,
    /// Honey left in the hive at the end, kg.
    pub left: f64,
    /// Whether it lived, starving left aside.
    pub alive: bool,
    /// Hours with flight.
    pub flight_hours: u32,
    /// How far the cluster moved: across, along, up, m.
    pub moved: [f64; 3],
    /// Hours of the mantle in chill coma.
    pub chilled_hours: f64,
    /// Bees at the end.
    pub bees_left: f64,
    /// Least heat in hand, K of colder air.
    pub heat_in_hand: f64,
    /// Warmth around the cluster over outside air, December to February, K.
    pub warmth_mid_winter: f64,
    /// What became of the water of its bees.
    pub water: WinterWater,
}

/// The weakest moment.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Weakest {
    /// Winter.
    pub winter: String,
    /// The hour.
    #[serde(flatten)]
    pub moment: Moment,
    /// Hours of chill coma in the worst winter.
    pub chilled_hours: f64,
}

/// Side by side against apart, over the same winters.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Pairing {
    /// Honey saved in a middling winter, kg (middle of the winter-by-winter differences).
    pub saved_middling: f64,
    /// Least and most saved in any winter, kg.
    pub saved_range: [f64; 2],
    /// Share of what is eaten apart.
    pub saved_share: f64,
    /// Heat in hand gained at the weakest moment, K.
    pub heat_in_hand_gained: f64,
    /// Winters in which pairing saved honey.
    pub winters_better: usize,
}

/// Gathers outcomes (as the scenario stands, and apart where that differs) into one colony's result per colony; hours of
/// chill coma from `coma_lethal_h` on kill.
#[must_use]
pub fn colonies(
    s: &Scenario,
    coma_lethal_h: f64,
    as_is: &[WinterOutcome],
    apart: Option<&[WinterOutcome]>,
) -> Vec<ColonyResult> {
    s.colonies()
        .enumerate()
        .filter_map(|(c, (stack, colony))| {
            let of = |o: &'_ WinterOutcome| -> Option<ColonyOutcome> { o.colonies.get(c).cloned() };
            let mine: Vec<(String, ColonyOutcome)> = as_is
                .iter()
                .filter_map(|o| Some((o.winter.clone(), of(o)?)))
                .collect();
            let other: Option<Vec<ColonyOutcome>> =
                apart.map(|a| a.iter().filter_map(of).collect());
            let eaten: Vec<f64> = mine.iter().map(|(_, o)| o.eaten).collect();
            let out: Vec<_> = mine
                .iter()
                .map(|(_, o)| o.starved.map(|s| s.date))
                .collect();
            let (winter, weakest) = mine.iter().min_by(|a, b| {
                a.1.weakest
                    .heat_in_hand
                    .total_cmp(&b.1.weakest.heat_in_hand)
            })?;
            Some(ColonyResult {
                stack: stack.name.clone(),
                bees: colony.bees,
                stores: colony.stores,
                gross: colony.scale.tare + colony.bees + colony.pollen + colony.stores,
                read: colony.scale.gross,
                lift: colony.scale.lift,
                tare_from_parts: colony.scale.tare_source == TareSource::Parts,
                club_stores: colony.club_stores,
                dies: colony.dies.map(words),
                tare: colony.scale.tare,
                pollen: colony.pollen,
                coma_lethal_h,
                too_cold: mine
                    .iter()
                    // One that is taken to die on a day is cold for that.
                    .filter(|(_, o)| colony.dies.is_none() && o.chilled_hours >= coma_lethal_h)
                    .count(),
                coldest: mine
                    .iter()
                    .map(|(_, o)| o.coldest)
                    .min_by(|a, b| a.outdoor_c.total_cmp(&b.outdoor_c))?,
                target: target(colony, &eaten, &out, s.level, s.reserve, s.season.start),
                water: HiveWater::of(
                    &mine.iter().map(|(_, o)| &o.water).collect::<Vec<_>>(),
                    s.level,
                ),
                planned: Planned::default(),
                advice: None,
                weakest: Weakest {
                    winter: winter.clone(),
                    moment: weakest.weakest,
                    chilled_hours: mine
                        .iter()
                        .map(|(_, o)| o.chilled_hours)
                        .fold(0.0, f64::max),
                },
                pairing: other.as_deref().and_then(|other| pairing(&mine, other)),
                winters: mine
                    .iter()
                    .enumerate()
                    .map(|(i, (label, o))| ColonyWinter {
                        winter: label.clone(),
                        eaten: o.eaten,
                        eaten_apart: other.as_ref().and_then(|a| a.get(i)).map(|a| a.eaten),
                        fed_to_brood: o.fed_to_brood,
                        flown: o.flown,
                        closest: o.closest,
                        starved: o.starved,
                        left: o.left,
                        alive: o.alive,
                        flight_hours: o.flight_hours,
                        moved: o.moved,
                        chilled_hours: o.chilled_hours,
                        bees_left: o.bees_left,
                        heat_in_hand: o.weakest.heat_in_hand,
                        warmth_mid_winter: o.warmth_mid_winter,
                        water: o.water.sums,
                    })
                    .collect(),
            })
        })
        .collect()
}

fn pairing(mine: &[(String, ColonyOutcome)], apart: &[ColonyOutcome]) -> Option<Pairing> {
    let saved: Vec<f64> = mine
        .iter()
        .zip(apart)
        .map(|((_, m), a)| a.eaten - m.eaten)
        .collect();
    let eaten_apart: Vec<f64> = apart.iter().map(|a| a.eaten).collect();
    let middle = |v: &[f64]| {
        level(v, 0.5).map_or_else(
            || v.iter().sum::<f64>() / v.len().max(1) as f64,
            |l| l.value,
        )
    };
    let least = |v: &mut dyn Iterator<Item = f64>| v.fold(f64::INFINITY, f64::min);
    if saved.is_empty() {
        return None;
    }
    Some(Pairing {
        saved_middling: middle(&saved),
        saved_range: [
            saved.iter().copied().fold(f64::INFINITY, f64::min),
            saved.iter().copied().fold(f64::NEG_INFINITY, f64::max),
        ],
        saved_share: middle(&saved) / middle(&eaten_apart),
        heat_in_hand_gained: least(&mut mine.iter().map(|(_, m)| m.weakest.heat_in_hand))
            - least(&mut apart.iter().map(|a| a.weakest.heat_in_hand)),
        winters_better: saved.iter().filter(|s| **s > 0.0).count(),
    })
}
