//! "Upper hole or sealed lid, with my lid?" in words.

use crate::phrases::{self, size_kg_lb};
use crate::text;
use crate::texts::{either, said};
use crate::words::{LightWords, Units};
use partywall_core::answer::rank::RankResult;
use partywall_core::decision::changes::Group;
use partywall_core::decision::gains::Gain;
use partywall_core::decision::margins::DRIP_ACT;
use partywall_core::decision::upper_hole::UpperHole;

/// The upper hole or none, with the lid as it is, and what a warmer lid would do instead where that is not enough; `None` where only one of
/// the two was run.
pub(super) fn upper_hole(r: &RankResult, colony: usize) -> Option<String> {
    let h = r.colonies.get(colony)?.upper_hole.as_ref()?;
    let [lid_with, lid_without] = h.lid_most.map(|kg| Units::Both.light(kg));
    let d = &h.honey.spread;
    let honey = if h.honey.close {
        text!("rank.hole_honey_close")
    } else {
        text!(
            "rank.hole_honey",
            costs = either(d.middle < 0.0, "rank.hole_costs", "rank.hole_saves"),
            honey = size_kg_lb(d.middle)
        )
    };
    let k = h.margin.spread.middle;
    let margin = if h.margin.close {
        String::new()
    } else {
        text!(
            "rank.hole_margin",
            kelvins = phrases::kelvin(k.abs()),
            more_or_less = either(k > 0.0, "contest.more", "contest.less")
        )
    };
    let least = h.drip_days[0].min(h.drip_days[1]);
    let foam = (least >= phrases::DRIP_TOLD)
        .then(|| foam(r, colony))
        .flatten();
    Some(text!(
        "rank.hole_or_none",
        drip = drip(h),
        lid_with,
        lid_without,
        honey,
        margin,
        foam = foam.unwrap_or_default()
    ))
}

/// What it does to the drip on the bees.
fn drip(h: &UpperHole) -> String {
    let [with, without] = h.drip_days;
    let [with_it, without_it] = h.drip_days.map(phrases::days);
    if with < 0.5 && without < 0.5 {
        return text!("rank.hole_dry_both_ways");
    }
    let does = if (with - without).abs() < phrases::DRIP_TOLD {
        said("rank.hardly_changes")
    } else if with > without {
        said("rank.brings_on")
    } else {
        either(with < DRIP_ACT, "rank.keeps_off", "rank.lessens")
    };
    text!("rank.hole_matters", does, with_it, without_it)
}

/// The thinnest top foam that keeps the drip off with the openings as they are, in words.
fn foam(r: &RankResult, colony: usize) -> Option<String> {
    let tried = r
        .changes
        .iter()
        .filter(|o| o.change.group == Group::TopFoam);
    let known = tried.filter_map(|o| Some((o, o.change.foam?, o.gains.get(colony)?.as_ref()?)));
    let dry = |g: &Gain| g.drip_days[1] < phrases::DRIP_TOLD;
    let (o, _, g) = known
        .filter(|(_, _, g)| dry(g))
        .min_by(|a, b| a.1.total_cmp(&b.1))?;
    Some(text!(
        "rank.foam_instead",
        foam = o.change.words,
        days = phrases::days(g.drip_days[1])
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use partywall_core::decision::gains::Difference;

    /// Catches with and without swapped, a hole praised that leaves the bees wet, one told to matter for a thaw more or less, and a drip of
    /// no day told as one.
    #[test]
    fn the_hole_is_told_by_the_days_it_saves() {
        let none = Difference::of(&[0.0], 0.0).unwrap();
        let told = |drip_days| {
            drip(&UpperHole {
                there: true,
                drip_days,
                dripped: [0; 2],
                lid_most: [0.0; 2],
                honey: none,
                margin: none,
            })
        };
        let dry = told([0.0, 12.0]);
        assert!(
            dry.contains(
                "keeps water off the bees: drip on no day of a poor winter with it, 12 days without"
            ),
            "{dry}"
        );
        for (days, words) in [
            ([12.0, 21.0], "lessens the drip on the bees, but not enough"),
            ([21.0, 12.0], "lets more water drip on the bees"),
            (
                [1.0, 3.0],
                "hardly changes the drip on the bees: drip on 1 day",
            ),
            ([0.0, 0.0], "no water drips on the bees"),
        ] {
            let said = told(days);
            assert!(said.contains(words), "{said}");
        }
    }
}
