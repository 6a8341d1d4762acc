//! The text of one weather file, or of several laid end to end, and places in it for messages.

use crate::climate::decode::decode;
use crate::climate::error::ClimateError;
use crate::problem::{Place, Problem, Problems};

/// Longest excerpt kept for a message, characters.
const MAX_EXCERPT: usize = 160;
/// Of so many lines one is remembered by its place: lines are read one after the other, only messages look for one.
const STRIDE: usize = 16;

impl From<Problem> for Problems {
    fn from(only: Problem) -> Self {
        Self(vec![only])
    }
}

/// Refuses what has problems.
pub(super) fn refuse_any(problems: Vec<Problem>) -> Result<(), Problems> {
    if problems.is_empty() {
        Ok(())
    } else {
        Err(Problems(problems))
    }
}

/// One text: UTF-8, no byte order mark, lines ended by `\n` alone. Several files laid end to end are one text too; then
/// line numbers run on, and every message names the file and the line in that file.
#[derive(Debug, Clone)]
pub struct Source {
    /// File (or folder) as the user named it.
    pub name: String,
    /// The whole text.
    pub text: String,
    /// Byte at which each line begins whose 0-based number is a multiple of [`STRIDE`].
    starts: Vec<usize>,
    line_count: usize,
    /// Files laid end to end: the number of lines before each, and its name. Empty for a single file.
    parts: Vec<(usize, String)>,
}

impl Source {
    /// Takes bytes already in memory (a built-in record, a test).
    ///
    /// # Errors
    /// When they are empty, not text, or have a line longer than any table's.
    pub fn from_bytes(name: &str, bytes: Vec<u8>) -> Result<Self, Problems> {
        Self::decoded(name, bytes).map_err(|e| e.error(name, None).into())
    }

    /// As [`Source::from_bytes`], the bare fault for the caller to place.
    pub(super) fn decoded(name: &str, bytes: Vec<u8>) -> Result<Self, ClimateError> {
        Ok(Self::of_text(name, decode(bytes)?))
    }

    fn of_text(name: &str, text: String) -> Self {
        let (mut starts, mut ends) = (vec![0], 0);
        for (at, _) in text.match_indices('\n') {
            ends += 1;
            if ends % STRIDE == 0 {
                starts.push(at + 1);
            }
        }
        Self {
            name: name.to_owned(),
            line_count: ends + usize::from(!text.ends_with('\n')),
            text,
            starts,
            parts: Vec::new(),
        }
    }

    /// Several files laid end to end under one name, and the number of lines before each.
    #[must_use]
    pub fn joined(name: &str, files: Vec<Self>) -> (Self, Vec<usize>) {
        let mut text = String::with_capacity(files.iter().map(|f| f.text.len() + 1).sum());
        let (mut parts, mut before) = (Vec::new(), 0);
        for file in files {
            text.push_str(&file.text);
            if !text.ends_with('\n') {
                text.push('\n');
            }
            let lines = file.line_count();
            parts.push((before, file.name));
            before += lines;
        }
        let offsets = parts.iter().map(|(before, _)| *before).collect();
        let mut out = Self::of_text(name, text);
        out.parts = parts;
        (out, offsets)
    }

    /// Number of files laid end to end.
    #[must_use]
    pub fn part_count(&self) -> usize {
        self.parts.len().max(1)
    }

    /// File a line (1-based) stands in, and its number there.
    #[must_use]
    pub fn whereabouts(&self, line: usize) -> (&str, usize) {
        let part = self.parts.partition_point(|(before, _)| *before < line);
        match part.checked_sub(1).and_then(|i| self.parts.get(i)) {
            Some((before, name)) => (name, line - before),
            None => (&self.name, line),
        }
    }

    /// A line of another row for a message: its number, with the file's name when several are read together.
    #[must_use]
    pub fn line_name(&self, line: usize) -> String {
        let (file, local) = self.whereabouts(line);
        if self.parts.is_empty() {
            format!("line {local}")
        } else {
            format!("line {local} of {file}")
        }
    }

    /// The text of line `line` (1-based), without its end; empty beyond the file.
    #[must_use]
    pub fn line(&self, line: usize) -> &str {
        self.lines(line).next().map_or("", |(_, text)| text)
    }

    /// The lines from `first` (1-based) on as [`Source::line`] gives them, each with its number.
    pub fn lines(&self, first: usize) -> impl Iterator<Item = (usize, &str)> {
        let rest = self.text.get(self.offset(first)..).unwrap_or("");
        (first..=self.line_count).zip(rest.split('\n'))
    }

    /// Byte offset where line `line` (1-based) begins; the text's length beyond the file.
    #[must_use]
    pub fn offset(&self, line: usize) -> usize {
        let kept = line.checked_sub(1).map(|above| above / STRIDE);
        let Some(&from) = kept.and_then(|i| self.starts.get(i)) else {
            return self.text.len();
        };
        let rest = self.text.get(from..).unwrap_or("").split_inclusive('\n');
        from + rest.take((line - 1) % STRIDE).map(str::len).sum::<usize>()
    }

    /// Number of lines.
    #[must_use]
    pub fn line_count(&self) -> usize {
        self.line_count
    }

    /// Place of a whole line.
    #[must_use]
    pub fn place(&self, line: usize) -> Place {
        let width = self.line(line).chars().count();
        self.place_of(line, 1, width.min(MAX_EXCERPT))
    }

    fn place_of(&self, line: usize, column: usize, width: usize) -> Place {
        Place {
            line: self.whereabouts(line).1,
            column,
            width: width.max(1),
            text: cut(self.line(line)),
        }
    }

    /// Place of field `index` (0-based) of a delimited line; fields in double quotes may hold the delimiter.
    #[must_use]
    pub fn place_field(&self, line: usize, index: usize, delimiter: u8) -> Place {
        let (mut field, mut quoted) = (0, false);
        let (mut column, mut width) = (1, 0);
        for (i, c) in self.line(line).chars().enumerate() {
            if c == '"' {
                quoted = !quoted;
            }
            if !quoted && c == char::from(delimiter) {
                field += 1;
                if field == index {
                    column = i + 2;
                    width = 0;
                }
                if field > index {
                    break;
                }
            } else if field == index {
                width += 1;
            }
        }
        self.place_of(line, column, width)
    }

    /// `fault` at a whole line.
    #[must_use]
    pub fn error_at(&self, fault: ClimateError, line: usize) -> Problem {
        fault.error(self.whereabouts(line).0, Some(self.place(line)))
    }

    /// `fault` at a whole line, as a warning.
    #[must_use]
    pub fn warning_at(&self, fault: ClimateError, line: usize) -> Problem {
        fault.warning(self.whereabouts(line).0, Some(self.place(line)))
    }

    /// `fault` at field `index` (0-based) of a delimited line.
    #[must_use]
    pub fn error_at_field(
        &self,
        fault: ClimateError,
        line: usize,
        index: usize,
        delimiter: u8,
    ) -> Problem {
        let place = self.place_field(line, index, delimiter);
        fault.error(self.whereabouts(line).0, Some(place))
    }

    /// `fault` about the file as a whole.
    #[must_use]
    pub fn error(&self, fault: ClimateError) -> Problem {
        fault.error(&self.name, None)
    }

    /// The first lines, quoted and cut, for a message about an unknown format.
    #[must_use]
    pub fn first_lines(&self, count: usize) -> String {
        let quoted = |l| {
            let plain = self.line(l).chars().filter(|c| !c.is_control());
            format!("\"{}\"", plain.take(60).collect::<String>())
        };
        let shown: Vec<String> = (1..=count.min(self.line_count())).map(quoted).collect();
        shown.join(", ")
    }
}

fn cut(text: &str) -> String {
    text.chars().take(MAX_EXCERPT).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn source(bytes: &[u8]) -> Source {
        Source::from_bytes("t.csv", bytes.to_vec()).unwrap()
    }

    /// Catches a byte order mark, CRLF or Latin-1 bytes reaching the parsers.
    #[test]
    fn marks_line_ends_and_latin_1_are_normalised() {
        let s = source(b"\xef\xbb\xbfa,b\r\nc,d\r\n");
        assert_eq!((s.line(1), s.line(2), s.line_count()), ("a,b", "c,d", 2));
        assert_eq!(
            source(b"# station: K\xf6nigsberg\n").line(1),
            "# station: K\u{f6}nigsberg"
        );
        assert_eq!(source(b"a\rb\r").line(2), "b");
        assert_eq!(source(b"a\r\r\nb\n\r").text, "a\n\nb\n\n");
    }

    /// Catches a line that is not where it is looked for, around those whose places are remembered and beyond the last.
    #[test]
    fn every_line_is_found() {
        for count in [1, 2, STRIDE - 1, STRIDE, STRIDE + 1, 3 * STRIDE, 100] {
            for end in ["", "\n", "\n\n"] {
                let lines: Vec<String> = (0..count).map(|i| "x".repeat(i % 5)).collect();
                let s = source(format!("a{}{end}", lines.join("\n")).as_bytes());
                let wanted: Vec<&str> = s.text.lines().collect();
                assert_eq!(s.line_count(), wanted.len());
                assert!(s.lines(1).eq((1..).zip(wanted.iter().copied())));
                for line in 0..wanted.len() + 3 {
                    let found = line.checked_sub(1).and_then(|i| wanted.get(i));
                    assert_eq!(s.line(line), found.copied().unwrap_or(""), "{line}");
                    assert!(s.text[s.offset(line)..].starts_with(s.line(line)));
                }
            }
        }
    }

    /// Catches an excerpt that points at the wrong cell, also behind a quoted comma.
    #[test]
    fn a_field_is_found_behind_quotes() {
        let s = source(b"\"x, y\",12,abc\n");
        let p = s.place_field(1, 2, b',');
        assert_eq!((p.line, p.column, p.width), (1, 11, 3));
        assert_eq!(s.place_field(1, 0, b',').width, 6);
    }

    /// Catches compressed, binary and empty files being parsed as tables.
    #[test]
    fn files_that_are_no_text_are_named() {
        for (bytes, word) in [
            (&b"\x1f\x8b\x08\0"[..], "gzip"),
            (b"PK\x03\x04abc", "zip"),
            (b"\xff\xfed\0a\0", "UTF-16"),
            (b"abc\0def", "binary"),
            (b"\x01\x02\x03\x04\x05\x06", "binary"),
            (b" \n\n", "empty"),
            (b"", "empty"),
        ] {
            let e = Source::from_bytes("f", bytes.to_vec()).unwrap_err();
            assert!(e.0[0].what.contains(word), "{}", e.0[0].what);
        }
    }

    /// Catches a message that names the joined text's line, or the folder, instead of the file and its own line.
    #[test]
    fn lines_of_joined_files_keep_their_file() {
        let one = Source::from_bytes("a.csv", b"x\ny".to_vec()).unwrap();
        let two = Source::from_bytes("b.csv", b"u\nv\n".to_vec()).unwrap();
        let (both, before) = Source::joined("folder", vec![one, two]);
        assert_eq!(before, [0, 2]);
        assert_eq!(both.line(3), "u");
        assert_eq!(both.whereabouts(2), ("a.csv", 2));
        assert_eq!(both.whereabouts(4), ("b.csv", 2));
        let p = both.error_at(ClimateError::OpenQuote, 4);
        let place = p.place.unwrap();
        assert_eq!(
            (p.file.as_str(), place.line, place.text.as_str()),
            ("b.csv", 2, "v")
        );
    }
}
