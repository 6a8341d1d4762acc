//! Numbers as written on a ruler or a scale: "19", "19.5", "3/4", "9-5/8", "1 1/2", "1½".

use super::error::UnitError;
use super::quantity::Quantity;

/// A finite number read from the front of a text.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Number(f64);

impl Number {
    /// The value, finite.
    pub(super) const fn value(self) -> f64 {
        self.0
    }
}

/// Why the front of a text is no number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum NumberError {
    None,
    Comma,
    ZeroDenominator,
    Overflow,
}

impl NumberError {
    /// The same in the words of the units layer.
    pub(super) fn into_unit_error(self, text: &str, want: Quantity) -> UnitError {
        let text = text.to_owned();
        match self {
            Self::None => UnitError::NoNumber { text, want },
            Self::Comma => UnitError::Comma { text },
            Self::ZeroDenominator => UnitError::ZeroDenominator { text },
            Self::Overflow => UnitError::Overflow { text },
        }
    }
}

/// Single-character fractions and what they stand for.
const SIGNS: &[(char, f64)] = &[
    ('½', 0.5),
    ('¼', 0.25),
    ('¾', 0.75),
    ('⅛', 0.125),
    ('⅜', 0.375),
    ('⅝', 0.625),
    ('⅞', 0.875),
];

/// Reads a number from the front; gives it and the rest.
pub(super) fn leading(text: &str) -> Result<(Number, &str), NumberError> {
    let text = text.trim_start();
    let (negative, rest) = match text.strip_prefix(['-', '\u{2212}']) {
        Some(r) => (true, r.trim_start()),
        None => (false, text.strip_prefix('+').unwrap_or(text)),
    };
    let (size, rest) = unsigned(rest)?;
    if !size.is_finite() {
        return Err(NumberError::Overflow);
    }
    Ok((Number(if negative { -size } else { size }), rest))
}

fn unsigned(text: &str) -> Result<(f64, &str), NumberError> {
    if let Some((f, rest)) = sign_fraction(text) {
        return Ok((f, rest));
    }
    let (first, rest) = decimal(text)?;
    let whole = !text[..text.len() - rest.len()].contains('.');
    if !whole {
        return Ok((first, rest));
    }
    if let Some(below) = rest.trim_start().strip_prefix('/') {
        let below = below.trim_start();
        if below.starts_with(|c: char| c.is_ascii_digit()) {
            let (d, rest) = decimal(below)?;
            return Ok((divide(first, d)?, rest));
        }
        return Ok((first, rest));
    }
    // A whole number with a fraction behind it: "9-5/8", "1 1/2", "1½".
    let tail = rest.trim_start_matches([' ', '\u{a0}']);
    let tail = tail.strip_prefix('-').unwrap_or(tail);
    if let Some((f, rest)) = sign_fraction(tail) {
        return Ok((first + f, rest));
    }
    if tail.len() < rest.len() && tail.starts_with(|c: char| c.is_ascii_digit()) {
        let (above, rest2) = decimal(tail)?;
        if let Some(below) = rest2.strip_prefix('/') {
            let (d, rest3) = decimal(below)?;
            return Ok((first + divide(above, d)?, rest3));
        }
        return Err(NumberError::None);
    }
    Ok((first, rest))
}

fn divide(above: f64, below: f64) -> Result<f64, NumberError> {
    if below == 0.0 {
        Err(NumberError::ZeroDenominator)
    } else {
        Ok(above / below)
    }
}

fn sign_fraction(text: &str) -> Option<(f64, &str)> {
    let c = text.chars().next()?;
    let (_, f) = SIGNS.iter().find(|(s, _)| *s == c)?;
    Some((*f, &text[c.len_utf8()..]))
}

/// Digits with at most one decimal point and at least one digit.
fn decimal(text: &str) -> Result<(f64, &str), NumberError> {
    let mut end = 0;
    let mut points = 0;
    let mut digits = 0;
    for c in text.chars() {
        match c {
            '0'..='9' => digits += 1,
            '.' if points == 0 => points += 1,
            _ => break,
        }
        end += 1;
    }
    let (number, rest) = text.split_at(end);
    if digits == 0 {
        return Err(NumberError::None);
    }
    if rest.starts_with(',') && rest[1..].starts_with(|c: char| c.is_ascii_digit()) {
        return Err(NumberError::Comma);
    }
    if rest.starts_with('.') {
        return Err(NumberError::None);
    }
    let value: f64 = number.parse().map_err(|_| NumberError::None)?;
    Ok((value, rest))
}
