//! From bytes to the text of a weather file, and what is no text.

use crate::climate::error::ClimateError;

/// Longest line read, bytes. The longest header line met in a real file has 1,071; common practice, no source. JSON has
/// no lines to speak of and is bounded as a whole.
pub(super) const MAX_LINE: usize = 65_536;

/// Tells the usual non-text files apart by their first bytes.
pub(super) fn binary_kind(head: &[u8]) -> Result<(), ClimateError> {
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

/// Whether bytes begin like JSON.
pub(super) fn is_json(head: &[u8]) -> bool {
    let head = head.strip_prefix(b"\xef\xbb\xbf").unwrap_or(head);
    let head = head.trim_ascii_start();
    let head = head.strip_prefix(b"[").unwrap_or(head);
    head.trim_ascii_start().first() == Some(&b'{')
}

/// What is no text of any kind.
pub(super) const BINARY: ClimateError = ClimateError::NotText {
    what: "a binary file",
};

/// Whether a byte is a control character that no text has.
pub(super) fn is_control(byte: u8) -> bool {
    byte.is_ascii_control() && !matches!(byte, b'\t'..=b'\r')
}

/// Whether so many control characters among so many are more than a few slips in a text.
pub(super) fn is_binary(control: usize, of: usize) -> bool {
    control * 100 > of
}

/// Ends every line by `\n` alone.
fn unify_line_ends(bytes: &mut Vec<u8>) {
    let mut before = 0;
    bytes.retain_mut(|b| {
        let second = *b == b'\n' && before == b'\r';
        before = *b;
        if *b == b'\r' {
            *b = b'\n';
        }
        !second
    });
}

/// The text in bytes: UTF-8 or Latin-1, without a byte order mark, lines ended by `\n` alone.
///
/// # Errors
/// When they are empty, not text, or have a line longer than any table's.
pub(super) fn decode(mut bytes: Vec<u8>) -> Result<String, ClimateError> {
    binary_kind(&bytes)?;
    if bytes.contains(&0) {
        return Err(BINARY);
    }
    if bytes.contains(&b'\r') {
        unify_line_ends(&mut bytes);
    }
    let mut text = match String::from_utf8(bytes) {
        Ok(t) => t,
        // Latin-1: every byte is the character of the same number.
        Err(e) => e.into_bytes().iter().map(|b| char::from(*b)).collect(),
    };
    if text.starts_with('\u{feff}') {
        text.drain(..'\u{feff}'.len_utf8());
    }
    if text.trim().is_empty() {
        return Err(ClimateError::Empty);
    }
    // Byte by byte where every character is one: most files, and ten times quicker.
    let control = if text.is_ascii() {
        text.bytes().filter(|b| is_control(*b)).count()
    } else {
        text.chars()
            .filter(|c| c.is_control() && !c.is_whitespace())
            .count()
    };
    if is_binary(control, text.len()) {
        return Err(BINARY);
    }
    // A short text has no long line, and a long one is looked through by bytes.
    if text.len() > MAX_LINE
        && !is_json(text.as_bytes())
        && let Some(line) = text
            .as_bytes()
            .split(|b| *b == b'\n')
            .position(|l| l.len() > MAX_LINE)
    {
        return Err(ClimateError::LineTooLong {
            line: line + 1,
            limit: MAX_LINE,
        });
    }
    Ok(text)
}
