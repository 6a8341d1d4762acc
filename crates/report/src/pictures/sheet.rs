//! What stands above, between and below the panels of a picture: title, captions, remarks, the key to its marks. Each goes a gap below
//! what is drawn so far, and takes its room.

use super::drawing::{Colour, Drawing, SMALL, Side, Span, Stroke};
use super::letters::{text_width, wrapped};

/// Captions of panels, drawing units.
const CAPTION: f64 = 14.0;
/// The title, drawing units.
const TITLE: f64 = 18.0;
/// Length of a sample in a key.
const SAMPLE: f64 = 34.0;

/// How something is shown in the key.
pub enum Sample {
    /// A line.
    Line(Stroke),
    /// A band, with a line in it if any.
    Band(Colour, Option<Stroke>),
    /// Anything else, drawn into a rectangle.
    Mark(fn(&mut Drawing, [Span; 2])),
}

impl Drawing {
    /// Left end of titles, captions and keys.
    pub(super) fn left(&self) -> f64 {
        self.pick(20.0, 10.0)
    }

    /// Lines of words one below the other, each as wide as the sheet, `most` of them.
    fn lines(&mut self, gap: f64, words: &str, size: f64, most: usize) {
        let (from, mut y) = (self.left(), self.size[1] + gap);
        let room = self.size[0] - 2.0 * from;
        for line in wrapped(words, size, room, most) {
            self.words_of(size, &line, [from, y], Side::Left, room);
            self.size[1] = y;
            y += 1.35 * size;
        }
    }

    /// Title and the line below it.
    pub fn heading(&mut self, title: &str, below: &str) {
        self.lines(24.0, title, TITLE, self.pick(1, 3));
        self.lines(24.0, below, SMALL, self.pick(1, 4));
    }

    /// A caption above a panel.
    pub fn caption(&mut self, gap: f64, words: &str) {
        self.lines(gap, words, CAPTION, self.pick(1, 3));
    }

    /// Small words below or between panels.
    pub fn remark(&mut self, gap: f64, words: &str) {
        self.lines(gap, words, SMALL, self.pick(3, 8));
    }

    /// The key: samples with their words, in as many rows as it takes.
    pub fn key(&mut self, gap: f64, entries: &[(Sample, &str)]) {
        let (from, right) = (self.left(), self.size[0] - 10.0);
        let (mut x, mut y) = (from, self.size[1] + gap);
        for (sample, words) in entries {
            let wide = SAMPLE + 6.0 + text_width(words, SMALL);
            if x > from && x + wide > right {
                (x, y) = (from, y + 22.0);
            }
            let across = [x, x + SAMPLE];
            match sample {
                Sample::Line(stroke) => self.across(across, y, *stroke),
                Sample::Mark(mark) => mark(self, [across, [y - 8.0, y + 8.0]]),
                Sample::Band(colour, line) => {
                    self.rectangle([across, [y - 6.0, y + 6.0]], *colour);
                    if let Some(stroke) = line {
                        self.across(across, y, *stroke);
                    }
                }
            }
            let at = x + SAMPLE + 6.0;
            self.words(words, [at, y], Side::Left, right - at);
            x += wide + 18.0;
        }
        self.size[1] = y;
    }
}
