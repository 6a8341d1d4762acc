//! Bounds on what is read, and the reading that keeps them.

use std::io::{BufRead, ErrorKind};

use crate::climate::decode::{BINARY, MAX_LINE, binary_kind, is_binary, is_control, is_json};
use crate::climate::error::ClimateError;

/// Most bytes read in all, unpacked: as many lines as there may be, of 130 bytes each. Thirty years of hourly values are about
/// 15 MB; common practice, no source.
pub(super) const MAX_BYTES: u64 = 512 << 20;
/// Most bytes of one JSON file; thirty years of six hourly values are about 17 MB; common practice, no source.
const MAX_JSON: u64 = 32_000_000;
/// Most bytes of a zip archive: its list of members is read as a whole. Archives of single stations have a few million; common
/// practice, no source.
pub(super) const MAX_ZIP: u64 = 32_000_000;
/// Most lines read in all: a century of half-hours has 1.8 million; common practice, no source. A line becomes a row of up to 96
/// bytes, so this bounds memory where lines are short.
pub(super) const MAX_LINES: usize = 4_000_000;
/// Bytes from which the share of control characters is looked at.
const CONTROL_FROM: usize = 65_536;
/// Bytes from which the ratio of unpacked to packed is looked at.
const RATIO_FROM: u64 = 4_000_000;
/// Unpacked over packed size no weather table reaches: station tables shrink to between a tenth and a fortieth (own
/// measurement on the samples); the format's own limit is near 1030.
const MAX_RATIO: u64 = 200;
pub(super) fn too_large(limit: u64) -> ClimateError {
    ClimateError::TooLarge {
        limit_mb: limit / 1_000_000,
    }
}

/// A fault of reading as one of a weather file.
#[must_use]
pub fn io_fault(e: &std::io::Error) -> ClimateError {
    match e.kind() {
        ErrorKind::NotFound => ClimateError::Missing,
        ErrorKind::IsADirectory => ClimateError::Directory,
        _ => ClimateError::Unreadable {
            reason: e.to_string(),
        },
    }
}

/// Reads chunk by chunk and stops at the first sign that this is no weather table, so that a huge file, an endless line,
/// a device or an archive made to swell never fills memory. At most one byte more than allowed is kept.
pub(super) fn read_limited(
    mut reader: impl BufRead,
    left: u64,
    lines_left: usize,
    packed: Option<u64>,
) -> Result<Vec<u8>, ClimateError> {
    let mut bytes = Vec::new();
    let (mut line, mut in_line) = (1_usize, 0_usize);
    let (mut limit, mut lines_bounded, mut control) = (left, true, 0);
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
            if is_json(chunk) {
                (limit, lines_bounded) = (left.min(MAX_JSON), false);
            }
        }
        let room = limit.saturating_add(1) - bytes.len() as u64;
        let chunk = chunk
            .get(..usize::try_from(room).unwrap_or(usize::MAX))
            .unwrap_or(chunk);
        control += chunk.iter().filter(|b| is_control(**b)).count();
        let read = bytes.len() + chunk.len();
        if chunk.contains(&0) || read >= CONTROL_FROM && is_binary(control, read) {
            return Err(BINARY);
        }
        for piece in chunk.split_inclusive(|b| *b == b'\n' || *b == b'\r') {
            in_line += piece.len();
            if lines_bounded && in_line > MAX_LINE {
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
        if line > lines_left {
            return Err(ClimateError::TooManyLines { limit: MAX_LINES });
        }
        bytes.extend_from_slice(chunk);
        let used = chunk.len();
        reader.consume(used);
        let size = bytes.len() as u64;
        if size > limit {
            return Err(too_large(if lines_bounded { MAX_BYTES } else { limit }));
        }
        if let Some(packed) = packed
            && size > RATIO_FROM
            && size / packed.max(1) > MAX_RATIO
        {
            return Err(ClimateError::Swells { ratio: MAX_RATIO });
        }
    }
}

#[cfg(test)]
mod tests {
    use std::io::{BufReader, Cursor, Read};

    use super::*;

    /// Bytes without end, counted.
    struct Endless {
        byte: u8,
        read: usize,
        most: usize,
    }

    impl Read for Endless {
        fn read(&mut self, buf: &mut [u8]) -> std::io::Result<usize> {
            buf.fill(self.byte);
            self.read += buf.len();
            assert!(self.read < self.most, "read on past the limit");
            Ok(buf.len())
        }
    }

    fn endless(byte: u8, most: u64) -> BufReader<Endless> {
        BufReader::new(Endless {
            byte,
            read: 0,
            most: usize::try_from(most).unwrap(),
        })
    }

    /// Catches an endless line being read to its end: the reader must stop after the limit, not after the file.
    #[test]
    fn an_endless_line_is_refused_before_it_fills_memory() {
        let e = read_limited(
            endless(b'1', 4 * MAX_LINE as u64),
            MAX_BYTES,
            MAX_LINES,
            None,
        )
        .unwrap_err();
        assert!(matches!(e, ClimateError::LineTooLong { line: 1, .. }));
    }

    /// Catches JSON, whose lines are not bounded, being read without end.
    #[test]
    fn endless_json_is_refused_at_its_own_limit() {
        let head = Cursor::new(b"{\"hourly\":".to_vec());
        let reader = BufReader::new(head.chain(endless(b' ', MAX_JSON + 100_000)));
        let e = read_limited(reader, MAX_BYTES, MAX_LINES, None).unwrap_err();
        assert_eq!(e, ClimateError::TooLarge { limit_mb: 32 });
    }

    /// Catches bytes that are no text being read on to a limit on lines or bytes.
    #[test]
    fn binary_bytes_are_refused_in_their_first_chunks() {
        let lines = || Cursor::new(b"1,2\n".repeat(10));
        for byte in [0, 1, 0x7f] {
            let reader = BufReader::new(lines().chain(endless(byte, 2 * CONTROL_FROM as u64)));
            let e = read_limited(reader, MAX_BYTES, MAX_LINES, None).unwrap_err();
            assert_eq!(e, BINARY);
        }
        // A slip is none: the text as a whole decides.
        let slip = Cursor::new([b"\x01".to_vec(), b"1,2\n".repeat(40)].concat());
        assert!(read_limited(slip, MAX_BYTES, MAX_LINES, None).is_ok());
    }

    /// Catches a limit off by one.
    #[test]
    fn the_limit_is_held_to_the_byte() {
        let of = |limit| read_limited(Cursor::new(b"1,2\n".to_vec()), limit, 9, None);
        assert_eq!(of(4).unwrap().len(), 4);
        assert!(matches!(of(3), Err(ClimateError::TooLarge { .. })));
    }

    /// Catches memory filled by millions of rows of a few bytes each, far below the bound on bytes.
    #[test]
    fn short_lines_are_counted() {
        let many = Cursor::new(b"1,2\n".repeat(1000));
        let e = read_limited(many, MAX_BYTES, 999, None).unwrap_err();
        assert!(matches!(e, ClimateError::TooManyLines { .. }));
    }
}
