//! What each change buys each colony, sorted; changes that cannot be told apart share a place.

use super::changes::{Change, Group};
use super::gains::{Difference, Gain, NO_HONEY};
use super::stand_total::StandTotal;
use super::starving::Starving;
use crate::ensemble::draws::DrawOutcome;
use serde::Serialize;

/// A change and what it does to every colony.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Outcome {
    /// The change.
    pub change: Change,
    /// What it does, colony by colony; `None` where the change takes the colony away.
    pub gains: Vec<Option<Gain>>,
    /// What it does to the stand as a whole; `None` with one colony.
    pub whole: Option<StandTotal>,
}

/// One line of a colony's ranking.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Rank {
    /// Index of the outcome.
    pub outcome: usize,
    /// Place, from 1; those that cannot be told apart have the same.
    pub place: usize,
    /// Whether it shares its place with the one before.
    pub same: bool,
}

/// A colony's ranking.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Ranking {
    /// Changes that help, best first.
    pub helps: Vec<Rank>,
    /// Syrup, honey or bees moved where a colony is not short of stores, most first: they buy it what they cost elsewhere, and have no place
    /// among the others.
    pub moves: Vec<usize>,
    /// Changes that keep it from starving, beyond chance, though their effect on its honey is too close to call: most winters saved first.
    pub saves: Vec<usize>,
    /// Changes that make it starve more often, beyond chance, though their effect on its honey is too close to call: most winters lost first.
    pub starves: Vec<usize>,
    /// Changes whose effect on its honey and on its starving is too close to call, largest first; what is fed or given to another hive and
    /// is not felt here is left out.
    pub close: Vec<usize>,
    /// Changes that cost it honey, worst first.
    pub costs: Vec<usize>,
    /// Honey that each thickness of top foam gains against the present one, kg by m, thickest last; the present one is 0.
    pub top_foam: Vec<(f64, f64)>,
}

/// What is moved elsewhere and changes a colony's honey by less in eight draws of ten is not felt there, kg: a tenth is the last digit told.
const UNFELT: f64 = 0.05;

/// Ranks for one colony, which is `short` of stores or not. `drawn_outcomes[outcome]` are its outcomes draw by draw.
#[must_use]
pub fn rank(
    outcomes: &[Outcome],
    drawn_outcomes: &[Vec<Option<DrawOutcome>>],
    colony: usize,
    foam_now: Option<f64>,
    short: bool,
) -> Ranking {
    let gain = |i: usize| -> Option<Gain> { *outcomes[i].gains.get(colony)? };
    let honey = |i: usize| -> Option<Difference> { Some(gain(i)?.honey) };
    let middle = |i: &usize| honey(*i).map_or(0.0, |h| h.spread.middle);
    let all: Vec<usize> = (0..outcomes.len())
        .filter(|i| honey(*i).is_some())
        .collect();
    let clear = |i: &usize| honey(*i).is_some_and(|h| !h.close);
    let mut best: Vec<usize> = all
        .iter()
        .copied()
        .filter(|i| clear(i) && middle(i) > 0.0)
        .collect();
    best.sort_by(|a, b| middle(b).total_cmp(&middle(a)).then(a.cmp(b)));
    let (moves, best): (Vec<usize>, Vec<usize>) = best
        .into_iter()
        .partition(|i| !short && outcomes[*i].change.group.is_move());
    let mut costs: Vec<usize> = all
        .iter()
        .copied()
        .filter(|i| clear(i) && middle(i) < 0.0)
        .collect();
    costs.sort_by(|a, b| middle(a).total_cmp(&middle(b)).then(a.cmp(b)));
    let mut helps: Vec<Rank> = Vec::new();
    let mut head: Option<(usize, usize)> = None;
    for (n, &i) in best.iter().enumerate() {
        // Held against the first of its place, so that a chain of small steps does not make all the same.
        let same = head.is_some_and(|(h, _)| tie(&drawn_outcomes[h], &drawn_outcomes[i]));
        let place = match head {
            Some((_, place)) if same => place,
            _ => n + 1,
        };
        if !same {
            head = Some((i, place));
        }
        helps.push(Rank {
            outcome: i,
            place,
            same,
        });
    }
    let mut top_foam: Vec<(f64, f64)> = outcomes
        .iter()
        .enumerate()
        .filter(|(_, o)| o.change.group == Group::TopFoam)
        .filter_map(|(i, o)| Some((o.change.foam?, honey(i)?.spread.middle)))
        .collect();
    if let (false, Some(now)) = (top_foam.is_empty(), foam_now) {
        top_foam.push((now, 0.0));
    }
    top_foam.sort_by(|a, b| a.0.total_cmp(&b.0));
    let starving = |i: &usize| gain(*i).map_or_else(Starving::default, |g| g.starving);
    let by_starving = |count: fn(&Starving) -> usize, which: fn(&Starving) -> bool| {
        let mut list: Vec<usize> = all
            .iter()
            .copied()
            .filter(|i| !clear(i) && which(&starving(i)))
            .collect();
        list.sort_by_key(|i| (std::cmp::Reverse(count(&starving(i))), *i));
        list
    };
    let saves = by_starving(|s| s.saved - s.lost, Starving::better);
    let starves = by_starving(|s| s.lost - s.saved, Starving::worse);
    let elsewhere = |i: &usize| {
        outcomes[*i].change.group.is_move()
            && gain(*i).is_some_and(|g| {
                let s = g.honey.spread;
                s.low.abs().max(s.high.abs()) < UNFELT && g.margin.close
            })
    };
    let mut close: Vec<usize> = all
        .iter()
        .copied()
        .filter(|i| !clear(i) && !starving(i).clear && !elsewhere(i))
        .collect();
    close.sort_by(|a, b| middle(b).total_cmp(&middle(a)).then(a.cmp(b)));
    Ranking {
        helps,
        moves,
        saves,
        starves,
        close,
        costs,
        top_foam,
    }
}

/// Whether two changes cannot be told apart: their difference draw by draw is too close to call, in honey and in starving.
fn tie(a: &[Option<DrawOutcome>], b: &[Option<DrawOutcome>]) -> bool {
    let d: Vec<f64> = a
        .iter()
        .zip(b)
        .filter_map(|(a, b)| Some((*a)?.over() - (*b)?.over()))
        .collect();
    let both = a.iter().zip(b).filter_map(|(a, b)| Some(((*a)?, (*b)?)));
    let starving = Starving::of(both.map(|(a, b)| (a.starved, b.starved)));
    !starving.clear && Difference::of(&d, NO_HONEY).is_none_or(|d| d.close)
}

#[cfg(test)]
mod tests {
    use super::super::gains::gain;
    use super::super::gains::tests::draw;
    use super::*;

    /// A change that makes `new` of `old` for one colony.
    fn outcome(
        group: Group,
        foam: Option<f64>,
        old: &[Option<DrawOutcome>],
        new: &[Option<DrawOutcome>],
    ) -> Outcome {
        Outcome {
            change: Change {
                group,
                words: String::new(),
                patch: String::new(),
                foam,
                beware: None,
                warnings: Vec::new(),
            },
            gains: vec![gain(old, new, None)],
            whole: None,
        }
    }

    /// Catches a list that is filled with what is fed to the neighbour, and woodwork without effect that goes untold.
    #[test]
    fn what_is_fed_elsewhere_is_not_told_here() {
        let same: Vec<_> = (0..20).map(|_| draw(15.0, 20.0, 20.0)).collect();
        let of = |group| outcome(group, None, &same, &same);
        let outcomes = [of(Group::Feed), of(Group::Wrap)];
        let r = rank(&outcomes, &[same.clone(), same.clone()], 0, None, true);
        assert_eq!(r.close, [1]);
    }

    /// Catches a ranking in the wrong order, ties that are none or are missed, a loss among the helps, and a foam table without
    /// the present thickness.
    #[test]
    fn places_ties_and_losses() {
        let drawn_outcomes = |less: f64, noise: f64| -> Vec<Option<DrawOutcome>> {
            (0..20)
                .map(|i| {
                    let n = if i % 2 == 0 { noise } else { -noise };
                    draw(15.0 + f64::from(i) - less + n, 40.0, 20.0)
                })
                .collect()
        };
        let now = drawn_outcomes(0.0, 0.0);
        let all = [
            drawn_outcomes(1.0, 0.0),
            drawn_outcomes(2.0, 0.6),
            drawn_outcomes(2.3, 0.0),
            drawn_outcomes(0.1, 0.0),
            drawn_outcomes(-1.0, 0.0),
        ];
        let foam = [0.025, 0.05, 0.075, 0.1, 0.0];
        let outcomes: Vec<Outcome> = all
            .iter()
            .zip(foam)
            .map(|(f, foam)| outcome(Group::TopFoam, Some(foam), &now, f))
            .collect();
        let r = rank(&outcomes, &all, 0, Some(0.02), false);
        let places: Vec<(usize, usize, bool)> = r
            .helps
            .iter()
            .map(|h| (h.outcome, h.place, h.same))
            .collect();
        assert_eq!(places, [(2, 1, false), (1, 1, true), (0, 3, false)]);
        assert_eq!(
            (r.close.as_slice(), r.costs.as_slice()),
            (&[3][..], &[4][..])
        );
        let thick: Vec<f64> = r.top_foam.iter().map(|t| t.0).collect();
        assert_eq!(thick, [0.0, 0.02, 0.025, 0.05, 0.075, 0.1]);
        // What is only moved has a place where stores are short.
        let mut fed = outcomes;
        fed[2].change.group = Group::Feed;
        for (short, helps, moves) in [(true, 3, 0), (false, 2, 1)] {
            let r = rank(&fed, &all, 0, Some(0.02), short);
            assert_eq!((r.helps.len(), r.moves.len()), (helps, moves));
        }
    }

    /// Catches a change that saves winters and is hidden as too close to call because its honey is within noise: starving in 3 of 36 draws
    /// instead of 9; one that loses as many; and chance that is taken for either.
    #[test]
    fn winters_saved_are_not_hidden() {
        let starving = |which: &dyn Fn(usize) -> bool, noise: f64| -> Vec<Option<DrawOutcome>> {
            (0..36)
                .map(|i| {
                    let sign = if i % 2 == 0 { noise } else { -noise };
                    draw(15.0 + sign, 20.0, 20.0).map(|f| DrawOutcome {
                        starved: which(i),
                        beside: which(i),
                        ..f
                    })
                })
                .collect()
        };
        let now = starving(&|i| i < 9, 0.0);
        let all = [
            starving(&|i| i < 3, 0.2),
            starving(&|i| i < 18, 0.2),
            starving(&|i| (3..11).contains(&i), 0.2),
        ];
        let outcomes: Vec<Outcome> = all
            .iter()
            .map(|f| outcome(Group::Space, None, &now, f))
            .collect();
        let r = rank(&outcomes, &all, 0, None, false);
        assert_eq!(
            (r.saves, r.starves, r.close),
            (vec![0], vec![1], vec![2]),
            "saved, lost, close"
        );
        assert!(r.helps.is_empty() && r.costs.is_empty());
    }
}
