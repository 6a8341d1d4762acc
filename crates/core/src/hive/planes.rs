//! Cell boundary planes from the bounds of the parts and the cutting rules.

use super::parts::{FAR, Part, Rule, Step};
use crate::heat::{Grid, HeatError, graded_axis};

/// Planes closer than this become one, m: less than half the thinnest layer that is kept.
const SAME: f64 = 1e-4;
/// Outside air kept around everything, m. It holds no unknowns; any width gives the same answer.
const MARGIN: f64 = 0.05;

/// The grid on which every part has its faces on planes.
pub fn grid(parts: &[Part], rules: &[Rule]) -> Result<Grid, HeatError> {
    let [x, y, z] = [0, 1, 2].map(|axis| axis_planes(parts, rules, axis));
    Grid::new(x, y, z)
}

fn axis_planes(parts: &[Part], rules: &[Rule], axis: usize) -> Vec<f64> {
    let mut breaks: Vec<f64> = parts
        .iter()
        .flat_map(|p| p.at[axis])
        .filter(|v| v.abs() < FAR)
        .collect();
    breaks.sort_by(f64::total_cmp);
    let mut merged: Vec<f64> = Vec::with_capacity(breaks.len() + 2);
    for v in breaks {
        if merged.last().is_none_or(|last| v - last > SAME) {
            merged.push(v);
        }
    }
    let (Some(&first), Some(&last)) = (merged.first(), merged.last()) else {
        return Vec::new();
    };
    let rules: Vec<&Rule> = rules.iter().filter(|r| r.axis == axis).collect();
    let mut planes = vec![first - MARGIN];
    for pair in merged.windows(2) {
        let cut = segment(pair[0], pair[1], &rules);
        planes.extend(cut.iter().take(cut.len().saturating_sub(1)));
    }
    planes.extend([last, last + MARGIN]);
    at_least(planes, &rules)
}

/// Planes of one stretch without interfaces inside, under all rules that cover it.
fn segment(a: f64, b: f64, rules: &[&Rule]) -> Vec<f64> {
    let middle = 0.5 * (a + b);
    let (mut widest, mut edge, mut growth) = (f64::INFINITY, f64::INFINITY, 1.0);
    for r in rules
        .iter()
        .filter(|r| r.span[0] < middle && middle < r.span[1])
    {
        match r.step {
            Step::AtLeast(_) => {}
            Step::AtMost(w) => widest = f64::min(widest, w),
            Step::Graded(h, g, w) => {
                widest = f64::min(widest, w);
                edge = f64::min(edge, h);
                growth = f64::max(growth, g);
            }
        }
    }
    if widest.is_infinite() {
        return vec![a, b];
    }
    graded_axis(&[a, b], 1, edge.min(widest), growth, widest)
}

/// Halves the widest cells of stretches that have too few.
fn at_least(mut planes: Vec<f64>, rules: &[&Rule]) -> Vec<f64> {
    for r in rules {
        let Step::AtLeast(n) = r.step else { continue };
        loop {
            let inside: Vec<usize> = (0..planes.len() - 1)
                .filter(|&i| {
                    let middle = 0.5 * (planes[i] + planes[i + 1]);
                    r.span[0] < middle && middle < r.span[1]
                })
                .collect();
            if inside.is_empty() || inside.len() >= n {
                break;
            }
            // Cut the widest cell into as many equal ones as are still missing, so that a plain layer comes out even.
            let width = |i: &usize| planes[i + 1] - planes[*i];
            let Some(widest) = inside
                .iter()
                .copied()
                .max_by(|a, b| width(a).total_cmp(&width(b)))
            else {
                break;
            };
            let missing = if inside.len() == 1 { n } else { 2 };
            let (a, b) = (planes[widest], planes[widest + 1]);
            let new = (1..missing).map(|m| a + (b - a) * m as f64 / missing as f64);
            planes.splice(widest + 1..widest + 1, new);
        }
    }
    planes
}

/// Cells of an axis between two positions: the planes nearest to them.
pub fn cell_range(planes: &[f64], span: [f64; 2]) -> std::ops::Range<usize> {
    let nearest = |v: f64| {
        let above = planes.partition_point(|p| *p < v);
        match (
            above.checked_sub(1).map(|i| v - planes[i]),
            planes.get(above).map(|p| p - v),
        ) {
            (Some(below), Some(over)) if below < over => above - 1,
            (_, Some(_)) => above,
            (_, None) => planes.len() - 1,
        }
    };
    nearest(span[0])..nearest(span[1])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hive::parts::What;

    fn part(x: [f64; 2]) -> Part {
        Part {
            at: [x, [0.0, 1.0], [0.0, 1.0]],
            what: What::Air(0),
        }
    }

    /// Would catch a wall layer with fewer cells than asked, an interface without a plane, or a cell wider than allowed.
    #[test]
    fn rules_are_kept() {
        let parts = [
            part([0.0, 0.019]),
            part([0.019, 0.394]),
            part([0.394, 0.413]),
        ];
        let rules = [
            Rule {
                axis: 0,
                span: [0.0, 0.019],
                step: Step::AtLeast(2),
            },
            Rule {
                axis: 0,
                span: [0.394, 0.413],
                step: Step::AtLeast(3),
            },
            Rule {
                axis: 0,
                span: [0.019, 0.394],
                step: Step::AtMost(0.0375 * 1.01),
            },
        ];
        let p = axis_planes(&parts, &rules, 0);
        assert_eq!(cell_range(&p, [0.0, 0.019]).len(), 2);
        assert_eq!(cell_range(&p, [0.394, 0.413]).len(), 3);
        assert_eq!(cell_range(&p, [0.019, 0.394]).len(), 10);
        assert_eq!(p.len(), 1 + 1 + 2 + 10 + 3 + 1);
        assert!(p.windows(2).all(|w| w[1] > w[0]));
    }

    /// Would catch slivers from interfaces that differ by rounding only.
    #[test]
    fn nearly_equal_interfaces_become_one() {
        let p = axis_planes(&[part([0.0, 0.1]), part([0.100_05, 0.2])], &[], 0);
        assert_eq!(p.len(), 5);
        assert_eq!(cell_range(&p, [0.100_05, 0.2]), 2..3);
        assert_eq!(cell_range(&p, [-FAR, FAR]), 0..4);
    }
}
