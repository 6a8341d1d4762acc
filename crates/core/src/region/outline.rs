//! The outline of a ball on a plane cut through its hive.

use super::{Ball, Region};

/// Lines across by which an outline is drawn, but for those at ledges.
const LINES: usize = 48;
/// Steps in which the nearest point of a line, and its ends, are found.
const STEPS: usize = 40;

impl Region {
    /// The outline of a ball where a plane cuts it, as points across (x) and along the axis `along` (1 from front to back, 2 up), m: up the left
    /// side and down the right. The plane lies at `level` of the third axis, m. Nothing where it passes the ball by.
    #[must_use]
    pub fn outline(&self, ball: &Ball, along: usize, level: f64) -> Vec<[f64; 2]> {
        let hull = self.hull()[along];
        let low = (ball.seat[along] - ball.radius).max(hull[0]);
        let high = (ball.seat[along] + ball.radius).min(hull[1]);
        if ball.radius.is_nan() || ball.radius <= 0.0 || low >= high {
            return Vec::new();
        }
        let even = (0..=LINES).map(|i| low + (high - low) * i as f64 / LINES as f64);
        let mut lines: Vec<f64> = even.collect();
        if along == 2 {
            let ledges = self.rooms[1..].iter().map(|r| r[2][0]);
            let both = ledges.flat_map(|z| [z.next_down(), z]);
            lines.extend(both.filter(|z| *z > low && *z < high));
            lines.sort_by(f64::total_cmp);
        }
        let spans = lines
            .into_iter()
            .filter_map(|v| Some((v, self.span_across(ball, along, v, level)?)));
        let spans: Vec<(f64, [f64; 2])> = spans.collect();
        let left = spans.iter().map(|(v, [l, _])| [*l, *v]);
        let right = spans.iter().rev().map(|(v, [_, r])| [*r, *v]);
        left.chain(right).collect()
    }

    /// From where to where a ball covers a line across.
    fn span_across(&self, ball: &Ball, along: usize, v: f64, level: f64) -> Option<[f64; 2]> {
        let at = |x: f64| {
            if along == 2 {
                [x, level, v]
            } else {
                [x, v, level]
            }
        };
        let room = &self.rooms[self.storey(at(0.0)[2])];
        let off = |x: f64| self.distance(&ball.seat, &at(x)) - ball.radius;
        let fits = |a: usize| at(0.0)[a] >= room[a][0] && at(0.0)[a] <= room[a][1];
        if !(fits(1) && fits(2)) {
            return None;
        }
        // A way gets no shorter but towards one place: it is convex along a line.
        let (mut a, mut b) = (room[0][0], room[0][1]);
        for _ in 0..STEPS {
            let third = (b - a) / 3.0;
            if off(a + third) < off(b - third) {
                b -= third;
            } else {
                a += third;
            }
        }
        let nearest = 0.5 * (a + b);
        if off(nearest) > 0.0 {
            return None;
        }
        let end = |wall: f64| {
            if off(wall) <= 0.0 {
                return wall;
            }
            let (mut within, mut beyond) = (nearest, wall);
            for _ in 0..STEPS {
                let middle = 0.5 * (within + beyond);
                if off(middle) <= 0.0 {
                    within = middle;
                } else {
                    beyond = middle;
                }
            }
            within
        };
        Some([end(room[0][0]), end(room[0][1])])
    }
}
