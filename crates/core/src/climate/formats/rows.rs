//! The data rows of a delimited text, cell by cell.
//!
//! Where no cell is quoted, as in all but a few files, lines are split where they stand; only a text with quotes in it goes through
//! the CSV parser, which takes three times as long.

use std::ops::Range;

use csv::{ByteRecord, ReaderBuilder};

use crate::climate::source::Source;

/// Walks the rows on these lines (1-based), comments (`#`) and blank ones passed over; `take` gets the line and the cells, blanks
/// around them cut off, or `None` when a quote is opened and runs over the line's end, and says whether to go on. Quotation
/// marks mean nothing unless `quoting`.
pub(super) fn walk(
    source: &Source,
    lines: Range<usize>,
    delimiter: u8,
    quoting: bool,
    mut take: impl FnMut(usize, Option<&[&str]>) -> bool,
) {
    let (from, to) = (source.offset(lines.start), source.offset(lines.end));
    let body = source.text.get(from..to).unwrap_or("");
    if quoting && body.contains('"') {
        quoted(source, lines.start, delimiter, body, take);
        return;
    }
    let mut cells = Vec::new();
    for (line, text) in source.lines(lines.start).take(lines.len()) {
        let blank = |b: u8| b == delimiter || b.is_ascii_whitespace();
        if text.starts_with('#') || text.bytes().all(blank) {
            continue;
        }
        split(text, delimiter, &mut cells);
        if !take(line, Some(&cells)) {
            return;
        }
    }
}

fn quoted(
    source: &Source,
    first: usize,
    delimiter: u8,
    body: &str,
    mut take: impl FnMut(usize, Option<&[&str]>) -> bool,
) {
    let mut reader = ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(delimiter)
        .comment(Some(b'#'))
        .from_reader(body.as_bytes());
    let skipped = |text: &str| text.trim().is_empty() || text.starts_with('#');
    let mut lines = source.lines(first).filter(|(_, text)| !skipped(text));
    let mut record = ByteRecord::new();
    while reader.read_byte_record(&mut record).unwrap_or(false) {
        if record.iter().all(|f| f.trim_ascii().is_empty()) {
            continue;
        }
        // The parser counts blank lines and comments before a record as its own.
        let start = record.position().map_or(1, csv::Position::line);
        let start = first - 1 + usize::try_from(start).unwrap_or(1);
        let line = lines.find(|(l, _)| *l >= start).map_or(start, |(l, _)| l);
        let text = |f| trimmed(std::str::from_utf8(f).unwrap_or(""));
        let cells: Vec<&str> = record.iter().map(text).collect();
        let open = record.iter().any(|f| f.contains(&b'\n'));
        if !take(line, Some(&cells[..]).filter(|_| !open)) {
            return;
        }
    }
}

/// Splits a line without quotes.
fn split<'a>(text: &'a str, delimiter: u8, cells: &mut Vec<&'a str>) {
    cells.clear();
    let mut from = 0;
    for (i, b) in text.bytes().enumerate() {
        if b == delimiter {
            cells.push(trimmed(text.get(from..i).unwrap_or("")));
            from = i + 1;
        }
    }
    cells.push(trimmed(text.get(from..).unwrap_or("")));
}

/// A cell without the blanks around it.
fn trimmed(text: &str) -> &str {
    let plain = |b: Option<&u8>| b.is_some_and(|b| (0x21..0x7f).contains(b));
    let bytes = text.as_bytes();
    if plain(bytes.first()) && plain(bytes.last()) {
        text
    } else if text.is_ascii() {
        text.trim_ascii()
    } else {
        text.trim()
    }
}

/// A decimal number of at most 15 digits, without an exponent: such a number and the power of ten it is divided by are both exact, so
/// that their quotient is the nearest there is, as the library's own, slower way gives it (Clinger 1990, "How to read floating point
/// numbers accurately"). `None` for anything else, which is no verdict on it.
pub(super) fn short_decimal(text: &str) -> Option<f64> {
    const TENS: [f64; 16] = [
        1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
    ];
    let bytes = text.as_bytes();
    let (minus, bytes) = match bytes.first()? {
        b'-' => (true, bytes.get(1..)?),
        _ => (false, bytes),
    };
    if bytes.len() > 16 {
        return None;
    }
    let (mut digits, mut after, mut value) = (0_usize, None, 0_u64);
    for b in bytes {
        match b {
            b'0'..=b'9' => {
                value = 10 * value + u64::from(b - b'0');
                digits += 1;
            }
            b'.' if after.is_none() => after = Some(digits),
            _ => return None,
        }
    }
    if !(1..=15).contains(&digits) {
        return None;
    }
    let behind = after.map_or(0, |point| digits - point);
    let value = value as f64 / TENS.get(behind)?;
    Some(if minus { -value } else { value })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches a number read differently from the library's way, down to the last bit, and anything taken for a number that is none.
    #[test]
    fn short_decimals_are_the_nearest_numbers() {
        let mut seed = crate::random::Random(11);
        for _ in 0..20_000 {
            let digits = 1 + seed.below(15);
            let mut text: String = (0..digits)
                .map(|_| char::from(b'0' + seed.below(10) as u8))
                .collect();
            text.insert(seed.below(digits + 1), '.');
            if seed.below(2) == 0 {
                text.insert(0, '-');
            }
            let ours = short_decimal(&text).unwrap();
            let theirs: f64 = text.parse().unwrap();
            assert_eq!(ours.to_bits(), theirs.to_bits(), "{text}");
        }
        for text in ["", "-", ".", "-.", "1e3", "+1", "1.2.3", "nan", " 1", "1,5"] {
            assert!(short_decimal(text).is_none(), "{text}");
        }
        assert!(short_decimal("1234567890123456").is_none());
        assert_eq!(short_decimal("-0").unwrap().to_bits(), (-0.0_f64).to_bits());
    }

    /// Catches rows that come out differently by the quick way than by the CSV parser: cells, blanks, comments, blank rows, lines.
    #[test]
    fn both_ways_find_the_same_rows() {
        let text = "a;b\n# note\n1; 2 ;3\n\n ; \n\u{a0}x\u{a0};y\n;\u{a0}\n#;1\n4\n5;\n";
        let rows = |text: &str| -> Vec<(usize, Vec<String>)> {
            let source = Source::from_bytes("t", text.as_bytes().to_vec()).unwrap();
            let mut out = Vec::new();
            walk(
                &source,
                2..source.line_count() + 1,
                b';',
                true,
                |line, cells| {
                    let cells = cells.expect("no quote is left open");
                    out.push((line, cells.iter().map(|c| (*c).to_owned()).collect()));
                    true
                },
            );
            out
        };
        let quick = rows(text);
        let mut slow = rows(&format!("{text}\"q\";\n"));
        assert_eq!(slow.pop(), Some((11, vec!["q".to_owned(), String::new()])));
        assert_eq!(quick, slow);
        assert_eq!(quick.len(), 5);
    }
}
