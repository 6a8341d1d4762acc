//! How far the answer may be off, and from what: winters, colonies that differ, the count of bees, the weighing.

use super::gains::Spread;
use super::reading::{COUNT_ERROR, tare_error};
use crate::colony::ensemble::Set;
use crate::colony::parameters::table;
use crate::ensemble::draws::DrawOutcome;
use crate::stand::Colony;
use serde::Serialize;

/// A reading of a luggage scale in two lifts is good to this, kg (common practice, no source).
const READING_ERROR: f64 = 2.0;
/// Share of an even range that the middle eight in ten of it are.
const EIGHT_IN_TEN: f64 = 0.8;

/// Where a doubt comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum UncertaintySource {
    /// One winter is not like the next.
    Winters,
    /// Colonies are not all as the parameters say.
    Colonies,
    /// The count of bees.
    Bees,
    /// Tare and reading, or the count of honey frames.
    Weighing,
}

/// The doubts about one colony's honey to spare. Each figure is half the range that eight cases in ten lie in, kg.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct UncertaintyBudget {
    /// All of them, largest first.
    pub ranked: Vec<(UncertaintySource, f64)>,
    /// Parameters of the colony that go most with how its need departs, strongest first.
    pub parameters: Vec<SensitivityRow>,
}

/// A parameter that goes with the need.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SensitivityRow {
    /// Its key.
    pub key: String,
    /// Its name in the table.
    pub name: String,
    /// Rank correlation with the need (Spearman): positive eats more.
    pub rho: f64,
}

/// The doubts. `plain`, `mixed` and `miscounted` are the colony's outcomes; draw i of `mixed` had set i and the winter
/// `i mod plain.len()`, draw i of `miscounted` winter i and `bees[i]` times the bees.
#[must_use]
pub fn doubts(
    colony: &Colony,
    plain: &[Option<DrawOutcome>],
    mixed: &[Option<DrawOutcome>],
    miscounted: &[Option<DrawOutcome>],
    bees: &[f64],
    sets: &[Set],
) -> Option<UncertaintyBudget> {
    let over = |f: &Option<DrawOutcome>| f.map(|f| f.over());
    let winters: Vec<f64> = plain.iter().filter_map(over).collect();
    let base = |i: usize| over(plain.get(i % plain.len().max(1))?);
    let models: Vec<f64> = mixed
        .iter()
        .enumerate()
        .filter_map(|(i, f)| Some(over(f)? - base(i)?))
        .collect();
    let weighed = by_scale(colony);
    let counts: Vec<f64> = miscounted
        .iter()
        .enumerate()
        .filter_map(|(i, f)| {
            // On the scale, bees that are not there are honey.
            let heavier = if weighed {
                (bees.get(i)? - 1.0) * colony.bees
            } else {
                0.0
            };
            Some(over(f)? - base(i)? - heavier)
        })
        .collect();
    let half = |v: &[f64]| Spread::of(v).map_or(0.0, |s| s.half());
    let mut ranked = vec![
        (UncertaintySource::Winters, Spread::of(&winters)?.half()),
        (UncertaintySource::Colonies, half(&models)),
        (UncertaintySource::Bees, half(&counts)),
        (UncertaintySource::Weighing, EIGHT_IN_TEN * weighing(colony)),
    ];
    ranked.sort_by(|a, b| b.1.total_cmp(&a.1));
    Some(UncertaintyBudget {
        ranked,
        parameters: strongest(sets, &models),
    })
}

/// Whether the stores follow from the scale's reading.
#[must_use]
pub fn by_scale(c: &Colony) -> bool {
    c.scale
        .gross
        .is_some_and(|g| (g - c.scale.tare - c.bees - c.pollen - c.stores).abs() < 1e-6)
}

/// Error of the stores by weighing or counting, kg; tare and reading are independent of each other.
fn weighing(c: &Colony) -> f64 {
    if by_scale(c) {
        tare_error(c.scale.tare_source).hypot(READING_ERROR)
    } else {
        COUNT_ERROR * c.stores
    }
}

/// Parameters told, at most.
const TOLD: usize = 3;

/// The parameters whose ranks go with those of `gains` most, with the sign of the *need*. Only those beyond what chance
/// gives one parameter in a hundred, `|rho| > 2.58/sqrt(n - 1)` (normal approximation of Spearman's rho).
fn strongest(sets: &[Set], gains: &[f64]) -> Vec<SensitivityRow> {
    let n = sets.len().min(gains.len());
    if n < 8 {
        return Vec::new();
    }
    let chance = 2.58 / (n as f64 - 1.0).sqrt();
    let need: Vec<f64> = gains.iter().take(n).map(|g| -g).collect();
    let table = table().unwrap_or_default();
    let mut found: Vec<SensitivityRow> = (0..sets[0].len())
        .filter_map(|k| {
            let v: Vec<f64> = sets.iter().take(n).map(|s| s[k].1).collect();
            let rho = spearman(&v, &need);
            let key = &sets[0][k].0;
            let name = table.iter().find(|p| &p.key == key);
            (rho.abs() > chance).then(|| SensitivityRow {
                key: key.clone(),
                name: name.map_or_else(|| key.clone(), |p| p.name.clone()),
                rho,
            })
        })
        .collect();
    found.sort_by(|a, b| b.rho.abs().total_cmp(&a.rho.abs()).then(a.key.cmp(&b.key)));
    found.truncate(TOLD);
    found
}

/// Spearman's rank correlation, ties by their mean rank; 0 when one side does not vary.
///
/// ```
/// use partywall_core::decision::uncertainty::spearman;
/// assert!((spearman(&[1.0, 2.0, 3.0], &[10.0, 100.0, 1000.0]) - 1.0).abs() < 1e-12);
/// // d = 0, -1, 1, 0: 1 - 6 x 2 / (4 x 15)
/// assert!((spearman(&[1.0, 2.0, 3.0, 4.0], &[1.0, 3.0, 2.0, 4.0]) - 0.8).abs() < 1e-12);
/// ```
#[must_use]
pub fn spearman(a: &[f64], b: &[f64]) -> f64 {
    let (a, b) = (ranks(a), ranks(b));
    let mean = |v: &[f64]| v.iter().sum::<f64>() / v.len().max(1) as f64;
    let (ma, mb) = (mean(&a), mean(&b));
    let dot = |x: &[f64], mx: f64, y: &[f64], my: f64| -> f64 {
        x.iter().zip(y).map(|(p, q)| (p - mx) * (q - my)).sum()
    };
    let norm = (dot(&a, ma, &a, ma) * dot(&b, mb, &b, mb)).sqrt();
    if norm > 0.0 {
        dot(&a, ma, &b, mb) / norm
    } else {
        0.0
    }
}

fn ranks(v: &[f64]) -> Vec<f64> {
    v.iter()
        .map(|x| {
            let below = v.iter().filter(|y| *y < x).count();
            let same = v.iter().filter(|y| *y == x).count();
            below as f64 + 0.5 * (same as f64 + 1.0)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::gains::tests::draw;
    use super::*;
    use crate::scenario;

    /// Catches doubts that are mixed up or not sorted: winters that spread over 8 kg, colonies over 2, a count that does
    /// nothing.
    #[test]
    fn each_doubt_is_told_from_the_others() {
        let demo = scenario::built_in("larch-flats").unwrap().scenario;
        let mut colony = demo.stacks[0].colony.clone().unwrap();
        colony.scale.gross = None;
        let plain: Vec<_> = (0..9)
            .map(|i| draw(10.0 + f64::from(i), 30.0, 20.0))
            .collect();
        // Sets in another order than the winters, so that neither stands in for the other.
        let order = [4, 0, 7, 2, 8, 1, 6, 3, 5];
        let mixed: Vec<_> = (0..9)
            .map(|i| draw(10.0 + i as f64 + 0.25 * f64::from(order[i]), 30.0, 20.0))
            .collect();
        let sets: Vec<Set> = order
            .iter()
            .map(|k| vec![("a".to_owned(), f64::from(*k)), ("b".to_owned(), 1.0)])
            .collect();
        let d = doubts(&colony, &plain, &mixed, &plain, &[1.0; 9], &sets).unwrap();
        assert_eq!(d.ranked[0].0, UncertaintySource::Winters);
        assert!((d.ranked[0].1 - 4.0).abs() < 1e-9);
        let of = |what| d.ranked.iter().find(|r| r.0 == what).unwrap().1;
        assert!((of(UncertaintySource::Colonies) - 1.0).abs() < 1e-9);
        assert!(of(UncertaintySource::Bees) < 1e-9);
        // Without a reading stores are counted frames: 15 in 100 of them.
        assert!((of(UncertaintySource::Weighing) - 0.8 * 0.15 * colony.stores).abs() < 1e-9);
        assert_eq!(d.parameters.len(), 1);
        assert_eq!(d.parameters[0].key, "a");
        assert!(
            (d.parameters[0].rho - 1.0).abs() < 1e-9,
            "more of it, more eaten"
        );
    }
}
