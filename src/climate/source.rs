//! The text of one weather file, read with limits, and places in it for messages.

use std::fs::File;
use std::io::{BufRead, BufReader, ErrorKind};
use std::path::Path;

use crate::climate::error::ClimateError;
use crate::diagnostic::{Place, Problem, Problems};

/// Largest file read, bytes. Thirty years of hourly values are about 15 MB; common practice, no source.
const MAX_BYTES: u64 = 256_000_000;
/// Longest line read, bytes. The longest header line met in a real file has 447; common practice, no source.
const MAX_LINE: usize = 65_536;
/// Longest excerpt kept for a message, characters.
const MAX_EXCERPT: usize = 160;

/// One file's text: UTF-8, no byte order mark, lines ended by `\n` alone.
#[derive(Debug, Clone)]
pub struct Source {
    /// File as the user named it.
    pub name: String,
    /// The whole text.
    pub text: String,
    starts: Vec<usize>,
}

impl Source {
    /// Reads a file.
    ///
    /// # Errors
    /// When it is missing, a folder, empty, not text, too large or has a line longer than any table's.
    pub fn read(path: &Path) -> Result<Self, Problems> {
        let name = path.display().to_string();
        let fail = |e: ClimateError| Problems(vec![e.error(&name, None)]);
        let meta = std::fs::metadata(path).map_err(|e| fail(io_fault(&e)))?;
        if meta.is_dir() {
            return Err(fail(ClimateError::Directory));
        }
        if meta.len() > MAX_BYTES {
            return Err(fail(too_large()));
        }
        let file = File::open(path).map_err(|e| fail(io_fault(&e)))?;
        let bytes = read_limited(BufReader::new(file)).map_err(&fail)?;
        Self::from_bytes(&name, bytes)
    }

    /// Takes bytes already in memory (a built-in record, a test).
    ///
    /// # Errors
    /// As [`Source::read`].
    pub fn from_bytes(name: &str, bytes: Vec<u8>) -> Result<Self, Problems> {
        let text = decode(bytes).map_err(|e| Problems(vec![e.error(name, None)]))?;
        let starts = std::iter::once(0)
            .chain(text.match_indices('\n').map(|(i, _)| i + 1))
            .collect();
        Ok(Self {
            name: name.to_owned(),
            text,
            starts,
        })
    }

    /// The text of line `line` (1-based), without its end; empty beyond the file.
    #[must_use]
    pub fn line(&self, line: usize) -> &str {
        let Some(from) = line.checked_sub(1).and_then(|i| self.starts.get(i)) else {
            return "";
        };
        let to = self
            .starts
            .get(line)
            .map_or(self.text.len(), |next| next - 1);
        self.text.get(*from..to).unwrap_or("")
    }

    /// Byte offset where line `line` (1-based) begins; the text's length beyond the file.
    #[must_use]
    pub fn offset(&self, line: usize) -> usize {
        line.checked_sub(1)
            .and_then(|i| self.starts.get(i))
            .copied()
            .unwrap_or(self.text.len())
    }

    /// Number of lines.
    #[must_use]
    pub fn line_count(&self) -> usize {
        if self.text.ends_with('\n') {
            self.starts.len() - 1
        } else {
            self.starts.len()
        }
    }

    /// Place of a whole line.
    #[must_use]
    pub fn place(&self, line: usize) -> Place {
        let text = self.line(line);
        Place {
            line,
            column: 1,
            width: text.chars().count().clamp(1, MAX_EXCERPT),
            text: cut(text),
        }
    }

    /// Place of field `index` (0-based) of a delimited line; fields in double quotes may hold the delimiter.
    #[must_use]
    pub fn place_field(&self, line: usize, index: usize, delimiter: u8) -> Place {
        let text = self.line(line);
        let (mut field, mut quoted) = (0, false);
        let (mut column, mut width) = (1, 0);
        for (i, c) in text.chars().enumerate() {
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
        Place {
            line,
            column,
            width: width.max(1),
            text: cut(text),
        }
    }

    /// `fault` at a whole line.
    #[must_use]
    pub fn error_at(&self, fault: ClimateError, line: usize) -> Problem {
        fault.error(&self.name, Some(self.place(line)))
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
        fault.error(&self.name, Some(self.place_field(line, index, delimiter)))
    }

    /// `fault` about the file as a whole.
    #[must_use]
    pub fn error(&self, fault: ClimateError) -> Problem {
        fault.error(&self.name, None)
    }

    /// The first lines, quoted and cut, for a message about an unknown format.
    #[must_use]
    pub fn first_lines(&self, count: usize) -> String {
        let shown: Vec<String> = (1..=count.min(self.line_count()))
            .map(|l| {
                let short: String = self
                    .line(l)
                    .chars()
                    .filter(|c| !c.is_control())
                    .take(60)
                    .collect();
                format!("\"{short}\"")
            })
            .collect();
        shown.join(", ")
    }
}

fn cut(text: &str) -> String {
    text.chars().take(MAX_EXCERPT).collect()
}

fn too_large() -> ClimateError {
    ClimateError::TooLarge {
        limit_mb: MAX_BYTES / 1_000_000,
    }
}

fn io_fault(e: &std::io::Error) -> ClimateError {
    match e.kind() {
        ErrorKind::NotFound => ClimateError::Missing,
        ErrorKind::IsADirectory => ClimateError::Directory,
        _ => ClimateError::Unreadable {
            reason: e.to_string(),
        },
    }
}

/// Reads chunk by chunk and stops at the first sign that this is no weather table, so that a huge file or an endless
/// line never fills memory.
fn read_limited(mut reader: impl BufRead) -> Result<Vec<u8>, ClimateError> {
    let mut bytes = Vec::new();
    let (mut line, mut in_line) = (1_usize, 0_usize);
    loop {
        let chunk = match reader.fill_buf() {
            Ok(c) => c,
            Err(e) if e.kind() == ErrorKind::Interrupted => continue,
            Err(e) => return Err(io_fault(&e)),
        };
        if chunk.is_empty() {
            return Ok(bytes);
        }
        if bytes.is_empty() {
            binary_kind(chunk)?;
        }
        for piece in chunk.split_inclusive(|b| *b == b'\n' || *b == b'\r') {
            in_line += piece.len();
            if in_line > MAX_LINE {
                return Err(ClimateError::LineTooLong {
                    line,
                    limit: MAX_LINE,
                });
            }
            match piece.last() {
                Some(b'\n') => (line, in_line) = (line + 1, 0),
                Some(b'\r') => in_line = 0,
                _ => {}
            }
        }
        bytes.extend_from_slice(chunk);
        let used = chunk.len();
        reader.consume(used);
        if bytes.len() as u64 > MAX_BYTES {
            return Err(too_large());
        }
    }
}

/// Tells the usual non-text files apart by their first bytes.
fn binary_kind(head: &[u8]) -> Result<(), ClimateError> {
    let what = match head {
        [0x1f, 0x8b, ..] => "a gzip-compressed file",
        [b'P', b'K', 3 | 5, ..] => "a zip archive or a spreadsheet",
        [0xd0, 0xcf, 0x11, 0xe0, ..] => "an old spreadsheet or office file",
        [b'%', b'P', b'D', b'F', ..] => "a PDF document",
        [0x89, b'H', b'D', b'F', ..] | [b'C', b'D', b'F', 1 | 2 | 5, ..] => {
            "a gridded science file"
        }
        [0xff, 0xfe, ..] | [0xfe, 0xff, ..] => "text saved as UTF-16",
        _ => return Ok(()),
    };
    Err(ClimateError::NotText { what })
}

fn decode(bytes: Vec<u8>) -> Result<String, ClimateError> {
    binary_kind(&bytes)?;
    if bytes.contains(&0) {
        return Err(ClimateError::NotText {
            what: "a binary file",
        });
    }
    let mut text = match String::from_utf8(bytes) {
        Ok(t) => t,
        // Latin-1: every byte is the character of the same number.
        Err(e) => e.into_bytes().iter().map(|b| char::from(*b)).collect(),
    };
    if text.starts_with('\u{feff}') {
        text.drain(..'\u{feff}'.len_utf8());
    }
    if text.contains('\r') {
        text = text.replace("\r\n", "\n").replace('\r', "\n");
    }
    if text.trim().is_empty() {
        return Err(ClimateError::Empty);
    }
    let control = text
        .chars()
        .filter(|c| c.is_control() && !c.is_whitespace())
        .count();
    if control * 100 > text.len() {
        return Err(ClimateError::NotText {
            what: "a binary file",
        });
    }
    if let Some(line) = text.split('\n').position(|l| l.len() > MAX_LINE) {
        return Err(ClimateError::LineTooLong {
            line: line + 1,
            limit: MAX_LINE,
        });
    }
    Ok(text)
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

    /// Catches an endless line being read to its end: the reader must stop after the limit, not after the file.
    #[test]
    fn an_endless_line_is_refused_before_it_fills_memory() {
        struct Endless(usize);
        impl std::io::Read for Endless {
            fn read(&mut self, buf: &mut [u8]) -> std::io::Result<usize> {
                buf.fill(b'1');
                self.0 += buf.len();
                assert!(self.0 < 4 * MAX_LINE, "read on past the limit");
                Ok(buf.len())
            }
        }
        let e = read_limited(BufReader::new(Endless(0))).unwrap_err();
        assert_eq!(
            e,
            ClimateError::LineTooLong {
                line: 1,
                limit: MAX_LINE
            }
        );
    }
}
