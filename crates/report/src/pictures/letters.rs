//! How wide words are, so that they can be kept apart and shortened to their room without a font at hand.

/// Widths of the letters from space to tilde of the shipped font, DejaVu Sans, thousandths of an em.
const WIDTHS: [u16; 95] = [
    318, 401, 460, 838, 636, 950, 780, 275, 390, 390, 500, 838, 318, 361, 318, 337, 636, 636, 636,
    636, 636, 636, 636, 636, 636, 636, 337, 337, 838, 838, 838, 531, 1000, 684, 686, 698, 770, 632,
    575, 775, 752, 295, 295, 656, 557, 863, 748, 787, 603, 787, 695, 635, 611, 732, 684, 989, 685,
    611, 685, 390, 337, 390, 838, 500, 500, 613, 635, 550, 635, 615, 352, 635, 634, 278, 278, 579,
    278, 974, 634, 612, 635, 635, 411, 521, 392, 634, 592, 818, 592, 592, 525, 636, 337, 636, 838,
];
/// The same of any other letter, em: few of Latin, Greek and Cyrillic are wider.
const OTHER: f64 = 0.7;
/// The same of letters that fill a square, from Hangul on.
const SQUARE: f64 = 1.0;
/// Letters of a text that are looked at: a title of a megabyte must not be measured a million times.
const MOST: usize = 400;

/// Width of text of the given size (em), in the same unit.
pub fn text_width(text: &str, size: f64) -> f64 {
    let of = |c: char| match WIDTHS.get((c as usize).wrapping_sub(0x20)) {
        Some(w) => f64::from(*w) / 1000.0,
        None if c >= '\u{1100}' && !('\u{1e00}'..'\u{2e80}').contains(&c) => SQUARE,
        None => OTHER,
    };
    size * text.chars().map(of).sum::<f64>()
}

/// The text, or as much of its start as fits into `room` with "..." after it; empty when not even that fits.
pub fn fitted(text: &str, size: f64, room: f64) -> String {
    if text_width(text, size) <= room {
        return text.to_owned();
    }
    let mut kept: String = text.chars().take(MOST).collect();
    while kept.pop().is_some() {
        let short = format!("{}...", kept.trim_end());
        if text_width(&short, size) <= room {
            return short;
        }
    }
    String::new()
}

/// The text in lines that fit into `room`, `most` of them; what is more is cut off the last.
pub fn wrapped(text: &str, size: f64, room: f64, most: usize) -> Vec<String> {
    let text: String = text.chars().take(MOST).collect();
    let mut lines = vec![String::new()];
    for word in text.split_whitespace() {
        let full = lines.len() >= most;
        let Some(line) = lines.last_mut() else { break };
        let longer = match line.as_str() {
            "" => word.to_owned(),
            line => format!("{line} {word}"),
        };
        if full || line.is_empty() || text_width(&longer, size) <= room {
            *line = longer;
        } else {
            lines.push(word.to_owned());
        }
    }
    lines
}
