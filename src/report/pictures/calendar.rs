//! Honey left by day: one course of it or two, each a line in a band, against the reserve.

use super::axis::{Dates, span};
use super::drawing::{Colour, Drawing, Stroke, VERMILION};
use super::panel::{MASS, Panel};
use super::sheet::Sample;

const EDGE: Stroke = Stroke::solid([120; 3], 0.8);
const RESERVE: Stroke = Stroke::dashed(VERMILION, 1.8, &[8.0, 4.0]);

/// One course.
pub(super) struct Course<'a> {
    /// Lower edge, line and upper edge by day, kg; edges without a day for a line alone.
    pub lines: [&'a [f64]; 3],
    /// The line.
    pub stroke: Stroke,
    /// The band.
    pub fill: Colour,
    /// In the key.
    pub words: &'a str,
}

/// What is drawn.
pub(super) struct Calendar<'a> {
    pub title: &'a str,
    /// Words below the title.
    pub below: &'a str,
    /// Caption of the panel.
    pub caption: &'a str,
    pub dates: Dates,
    pub courses: &'a [Course<'a>],
    /// What else stands in the key.
    pub also: Option<(Sample, &'a str)>,
    /// Other weights the scale must hold, kg.
    pub weights: &'a [f64],
    /// Honey that must be left at the end, kg,
    pub reserve: f64,
    /// and what it is called.
    pub reserve_words: &'a str,
    /// The day at the end, in words.
    pub end: &'a str,
}

impl Calendar<'_> {
    /// The drawing, and the panel for what else goes into it.
    pub(super) fn sheet(self, width: f64) -> (Drawing, Panel) {
        let mut d = Drawing::new(width);
        d.heading(self.title, self.below);
        d.caption(32.0, self.caption);
        let entry = |c: &Course<'_>| match c.lines[0] {
            [] => Sample::Line(c.stroke),
            _ => Sample::Band(c.fill, Some(c.stroke)),
        };
        let courses = self.courses;
        let mut entries: Vec<_> = courses.iter().map(|c| (entry(c), c.words)).collect();
        entries.extend(self.also);
        entries.push((Sample::Line(RESERVE), self.reserve_words));
        d.key(22.0, &entries);
        let lines = courses.iter().flat_map(|c| c.lines);
        let all = lines.flatten().chain(self.weights);
        let range = span(all.copied().chain([0.0, self.reserve]));
        let panel = Panel::of_days(&mut d, [16.0, 302.0], self.dates, (range, 7), MASS);
        for c in courses {
            panel.band(&mut d, c.lines[0], c.lines[2], c.fill);
        }
        for c in courses {
            panel.line(&mut d, c.lines[0], EDGE);
            panel.line(&mut d, c.lines[2], EDGE);
        }
        panel.level(&mut d, self.reserve, RESERVE);
        for c in courses {
            panel.line(&mut d, c.lines[1], c.stroke);
        }
        panel.frame(&mut d);
        let end = format!("to first dependable nectar, {}", self.end);
        panel.months(&mut d, self.dates, &end);
        (d, panel)
    }
}
