//! Bees, honey and syrup.

use super::{Gather, Group, LeftOut, Patch, Stock, hive};
use crate::calendar;
use crate::decision::margins::WORTH_FEEDING;
use crate::decision::reading::capacity;
use crate::decision::stores::STORES_PER_LITRE_SYRUP;
use crate::stand::Colony;

/// Syrup fed, L.
const SYRUP: [f64; 2] = [5.0, 10.0];
/// Most syrup tried at once, L: what two large feeders hold (common practice, no source).
const MOST_SYRUP: f64 = 20.0;
/// Frames of bees moved, at once.
const FRAME_OF_BEES: f64 = 0.31;
/// Frames of honey moved at once.
const FRAMES_OF_HONEY: f64 = 2.0;

const DISEASE: &str = "spreads disease: check brood and mites first";

const OWN_HONEY: &str = "its combs cannot hold what it needs; take honey of your own from a healthy colony only, for it spreads disease";

impl Gather<'_> {
    /// Syrup in the usual lots, and as much as a colony is short of.
    pub(super) fn feed(&mut self, stock: &[Option<Stock>]) {
        let date = calendar::words(self.on);
        let fed: Vec<(usize, usize)> = self.colonies().map(|(i, c)| (i, c.feeds.len())).collect();
        for (i, feeds) in fed {
            let short = stock.get(i).copied().flatten().map_or(0.0, |s| -s.spare);
            let missing = (short / STORES_PER_LITRE_SYRUP).ceil();
            let mut lots = SYRUP.to_vec();
            if short > WORTH_FEEDING && missing <= MOST_SYRUP && !lots.contains(&missing) {
                lots.push(missing);
                lots.sort_by(f64::total_cmp);
            }
            for litres in lots {
                let event =
                    format!("{{ date = \"{date}\", kind = \"syrup\", amount = \"{litres} L\" }}");
                let p = if feeds == 0 {
                    self.pinned().with(hive(i, "feed"), format!("[{event}]"))
                } else {
                    self.pinned()
                        .with(hive(i, &format!("feed.{}", feeds + 1)), event)
                };
                let words = format!(
                    "feed {} {litres:.0} litres ({:.1} US gal) of 2:1 syrup on {date}",
                    self.name(i),
                    litres / 3.785_411_784
                );
                match (self.taken)(i, litres) {
                    None => self.add(Group::Feed, words, &p, None),
                    Some(why) => self.found.left_out.push(LeftOut { words, why }),
                }
            }
        }
    }

    /// The stacks with the most and the fewest bees, if there are two colonies.
    fn strong_and_weak(&self) -> Option<(usize, usize)> {
        let bees = |a: &(usize, &Colony), b: &(usize, &Colony)| a.1.bees.total_cmp(&b.1.bees);
        let strong = self.colonies().max_by(bees)?.0;
        let weak = self.colonies().min_by(bees)?.0;
        (strong != weak).then_some((strong, weak))
    }

    fn with_bees(p: Patch, i: usize, c: &Colony, kg: f64) -> Patch {
        let p = if c.frames_of_bees.is_some() {
            p.without(hive(i, "colony.frames_of_bees"))
        } else {
            p
        };
        p.with(hive(i, "colony.bees"), format!("\"{kg:.4} kg\""))
    }

    pub(super) fn bees(&mut self) {
        let Some((strong, weak)) = self.strong_and_weak() else {
            return;
        };
        let (Some(a), Some(b)) = (&self.s.stacks[strong].colony, &self.s.stacks[weak].colony)
        else {
            return;
        };
        let (big, small) = (self.name(strong).to_owned(), self.name(weak).to_owned());
        let mut p = Self::with_bees(self.pinned(), strong, a, a.bees + b.bees);
        p.set.retain(|key, _| !key.starts_with(&hive(weak, "")));
        p = p.without(hive(weak, "colony"));
        if b.scale.gross.is_some() {
            p = p.without(hive(weak, "scale"));
        }
        if !b.feeds.is_empty() {
            p = p.without(hive(weak, "feed"));
        }
        // Its honey goes with it, as far as the combs hold it: left in an empty hive it would feed nobody.
        let holds = capacity(&self.s.stacks[strong]);
        let honey = (a.stores + b.stores).min(holds.max(a.stores));
        let p = p.with(hive(strong, "colony.honey"), format!("\"{honey:.4} kg\""));
        let over = a.stores + b.stores - honey;
        let rest = if over < 0.05 {
            String::new()
        } else {
            format!(" ({over:.1} kg of it finds no room)")
        };
        self.add(
            Group::Bees,
            format!("combine {small} with {big}, honey and all{rest}"),
            &p,
            Some("check brood for disease first"),
        );
        if a.bees - b.bees > 2.0 * FRAME_OF_BEES {
            let p = Self::with_bees(self.pinned(), strong, a, a.bees - FRAME_OF_BEES);
            let p = Self::with_bees(p, weak, b, b.bees + FRAME_OF_BEES);
            self.add(
                Group::Bees,
                format!("move a frame of bees (without the queen) from {big} to {small}"),
                &p,
                Some(DISEASE),
            );
        }
    }

    /// A box more, full of honey, where the combs there are cannot hold what a colony needs.
    pub(super) fn boxes(&mut self, stock: &[Option<Stock>]) {
        let needed = |i: usize| stock.get(i).copied().flatten()?.needed;
        let full: Vec<usize> = self
            .colonies()
            .map(|(i, _)| i)
            .filter(|i| needed(*i).is_some_and(|kg| kg > capacity(&self.s.stacks[*i])))
            .collect();
        for i in full {
            let stack = &self.s.stacks[i];
            let (Some(top), Some(c)) = (stack.boxes.last(), &stack.colony) else {
                continue;
            };
            let kg = f64::from(top.frames) * top.full_frame;
            if kg <= 0.0 {
                continue;
            }
            let pattern = toml::Value::from(top.pattern.as_str());
            let p = self
                .pinned()
                .with(
                    hive(i, &format!("boxes.{}", stack.boxes.len() + 1)),
                    format!("{{ pattern = {pattern}, honey_frames = {} }}", top.frames),
                )
                .with(
                    hive(i, "colony.honey"),
                    format!("\"{:.4} kg\"", c.stores + kg),
                );
            let words = format!(
                "set a {} full of honey ({kg:.1} kg) on {}",
                top.pattern, stack.name
            );
            self.add(Group::Box, words, &p, Some(OWN_HONEY));
        }
    }

    pub(super) fn honey(&mut self, stock: &[Option<Stock>]) {
        let known: Vec<(usize, f64)> = self
            .colonies()
            .filter_map(|(i, _)| Some((i, stock.get(i).copied().flatten()?.spare)))
            .collect();
        let rich = known.iter().max_by(|a, b| a.1.total_cmp(&b.1));
        let poor = known.iter().min_by(|a, b| a.1.total_cmp(&b.1));
        let (Some((rich, _)), Some((poor, _))) = (rich, poor) else {
            return;
        };
        let (Some(a), Some(b)) = (&self.s.stacks[*rich].colony, &self.s.stacks[*poor].colony)
        else {
            return;
        };
        let Some(from) = self.s.stacks[*rich].boxes.last() else {
            return;
        };
        let kg = FRAMES_OF_HONEY * from.full_frame;
        if rich == poor || kg <= 0.0 || a.stores <= kg {
            return;
        }
        let p = self
            .pinned()
            .with(
                hive(*rich, "colony.honey"),
                format!("\"{:.4} kg\"", a.stores - kg),
            )
            .with(
                hive(*poor, "colony.honey"),
                format!("\"{:.4} kg\"", b.stores + kg),
            );
        let words = format!(
            "move {FRAMES_OF_HONEY:.0} frames of honey ({kg:.1} kg) from {} to {}",
            self.name(*rich),
            self.name(*poor)
        );
        self.add(Group::Honey, words, &p, Some(DISEASE));
    }
}
