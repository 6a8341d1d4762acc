//! Quantities as keepers write them ("19 mm", "9-5/8 in", "60 lb", "-5 F", "R-5") to SI and back, from one table of
//! spellings.
//!
//! Inner units: m, m2, m3, kg, degC, K, W, m2K/W, W/mK, kg/m3, J/kgK, degrees of angle, m/s, s.

mod error;
pub mod format;
mod number;
mod quantity;
mod spellings;
pub mod spoken;

use crate::units::number::Number;
use crate::units::spellings::{AMBIGUOUS, SPELLINGS, Spelling};

pub use error::UnitError;
pub use quantity::Quantity;

/// Longest text that is looked at, bytes: no quantity needs more.
const LONGEST: usize = 80;

/// Reads one quantity, in the inner unit of [`Quantity`].
///
/// A unit is always needed. A temperature and a temperature difference are told apart by what is wanted: "10 F" is
/// -12.2 degC as a temperature and 5.6 K as a difference; "4 K" is only ever a difference.
///
/// ```
/// use partywall_core::units::{parse, Quantity};
/// assert_eq!(parse("3/4 in", Quantity::Length), Ok(0.01905));
/// assert_eq!(parse("9-5/8 in", Quantity::Length), Ok(0.244475));
/// assert_eq!(parse("60 lbs", Quantity::Mass), Ok(27.2155422));
/// assert_eq!(parse("-5 F", Quantity::Temperature).map(|t| (t * 100.0).round()), Ok(-2056.0));
/// assert!((parse("R-5", Quantity::RValue)? - 0.8806).abs() < 1e-4);
/// assert!(parse("2 gal", Quantity::Volume).is_err());
/// assert!(parse("19", Quantity::Length).is_err());
/// # Ok::<(), partywall_core::units::UnitError>(())
/// ```
///
/// # Errors
/// [`UnitError`] when the text is no number with a known unit of the wanted kind.
pub fn parse(text: &str, want: Quantity) -> Result<f64, UnitError> {
    let shown = text.trim();
    if shown.is_empty() {
        return Err(UnitError::Empty { want });
    }
    if shown.len() > LONGEST {
        return Err(UnitError::TooLong {
            want,
            bytes: shown.len(),
        });
    }
    let (number, unit) = split(shown, want)?;
    let Some(unit) = unit else {
        return Err(UnitError::NoUnit {
            text: shown.to_owned(),
            want,
        });
    };
    let spelling = find(&unit, want).map_err(|e| match e {
        Lookup::Ambiguous(meanings) => UnitError::Ambiguous {
            unit: unit.clone(),
            meanings,
            want,
        },
        Lookup::Unknown(near) => UnitError::UnknownUnit {
            unit: unit.clone(),
            want,
            near,
        },
    })?;
    if spelling.quantity != want {
        return Err(UnitError::WrongKind {
            text: shown.to_owned(),
            is: spelling.quantity,
            want,
        });
    }
    let value = spelling.to_inner(number);
    if !value.is_finite() {
        return Err(UnitError::Overflow {
            text: shown.to_owned(),
        });
    }
    // -273.15 degC is absolute zero (definition of the Celsius scale).
    if want == Quantity::Temperature && value < -273.15 {
        return Err(UnitError::BelowAbsoluteZero {
            text: shown.to_owned(),
        });
    }
    Ok(value)
}

/// Reads "75 x 9 mm", "75 mm x 9 mm" or "3 in by 3/8 in": `count` lengths, m. A length without a unit takes that of the next
/// one that has one.
///
/// # Errors
/// [`UnitError`] as [`parse`]; `NoNumber` when the text has another count of lengths.
pub fn parse_size(text: &str, count: usize) -> Result<Vec<f64>, UnitError> {
    let want = Quantity::Length;
    let shown = text.trim();
    if shown.len() > LONGEST {
        return Err(UnitError::TooLong {
            want,
            bytes: shown.len(),
        });
    }
    let spaced = shown.replace(['×', 'X'], "x").replace(" by ", " x ");
    let parts: Vec<&str> = spaced.split('x').map(str::trim).collect();
    if parts.len() != count {
        return Err(UnitError::NoNumber {
            text: shown.to_owned(),
            want,
        });
    }
    let mut unit: Option<String> = None;
    let mut sizes = Vec::with_capacity(count);
    for part in parts.iter().rev() {
        let (_, own) = split(part, want)?;
        let length = match (&own, &unit) {
            (None, Some(u)) => parse(&format!("{part} {u}"), want),
            _ => parse(part, want),
        };
        sizes.push(length.map_err(|e| match e {
            UnitError::NoUnit { .. } => UnitError::NoUnit {
                text: shown.to_owned(),
                want,
            },
            other => other,
        })?);
        if own.is_some() {
            unit = own;
        }
    }
    sizes.reverse();
    Ok(sizes)
}

/// What kind of quantity a text is, if it is one: for telling a user what was written in the wrong place.
#[must_use]
pub fn kind_of(text: &str) -> Option<Quantity> {
    match parse(text, Quantity::Length) {
        Ok(_) => Some(Quantity::Length),
        Err(UnitError::WrongKind { is, .. }) => Some(is),
        Err(_) => None,
    }
}

/// Splits into number and unit; a unit that stands in front ("R-5") is moved behind.
fn split(text: &str, want: Quantity) -> Result<(f64, Option<String>), UnitError> {
    let no_number = || UnitError::NoNumber {
        text: text.to_owned(),
        want,
    };
    let upper = text.to_ascii_uppercase();
    for prefix in ["RSI", "R"] {
        if let Some(rest) = upper.strip_prefix(prefix) {
            let rest = rest.trim_start();
            let rest = rest.strip_prefix(['-', '=']).unwrap_or(rest).trim_start();
            if rest.starts_with(|c: char| c.is_ascii_digit() || c == '.') {
                let (n, tail) = number::leading(rest).map_err(|e| e.into_unit_error(text, want))?;
                return if tail.trim().is_empty() {
                    Ok((n.value(), Some(prefix.to_owned())))
                } else {
                    Err(no_number())
                };
            }
        }
    }
    let (n, tail): (Number, &str) =
        number::leading(text).map_err(|e| e.into_unit_error(text, want))?;
    let unit = tail.trim().trim_end_matches('.').trim_end();
    Ok((n.value(), (!unit.is_empty()).then(|| unit.to_owned())))
}

enum Lookup {
    Ambiguous(&'static str),
    Unknown(Option<String>),
}

/// The spelling of a unit, that of the wanted kind first.
fn find(unit: &str, want: Quantity) -> Result<&'static Spelling, Lookup> {
    let plain = spellings::plain(unit);
    if let Some((_, meanings)) = AMBIGUOUS
        .iter()
        .find(|(words, _)| words.contains(&plain.as_str()))
    {
        return Err(Lookup::Ambiguous(meanings));
    }
    let mut other = None;
    for s in SPELLINGS {
        if s.words.iter().any(|w| spellings::plain(w) == plain) {
            if s.quantity == want {
                return Ok(s);
            }
            other = other.or(Some(s));
        }
    }
    other.ok_or_else(|| {
        let words = SPELLINGS
            .iter()
            .filter(|s| s.quantity == want)
            .flat_map(|s| s.words.iter().copied());
        Lookup::Unknown(nearest(unit, words).map(str::to_owned))
    })
}

/// The candidate nearest to a word by edit distance, if it is near enough to be meant (a third of its letters, at
/// least one). Ties go to the first.
#[must_use]
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let word: Vec<char> = word.to_lowercase().chars().take(60).collect();
    let allowed = (word.len() / 3).max(1);
    let mut best: Option<(usize, &str)> = None;
    for candidate in candidates {
        let d = distance(&word, &candidate.to_lowercase().chars().collect::<Vec<_>>());
        if d <= allowed && d < candidate.chars().count() && best.is_none_or(|(b, _)| d < b) {
            best = Some((d, candidate));
        }
    }
    best.map(|(_, c)| c)
}

/// Edit distance with neighbouring letters swapped counted as one step (optimal string alignment; Damerau 1964,
/// Levenshtein 1966).
fn distance(a: &[char], b: &[char]) -> usize {
    let width = b.len() + 1;
    let mut before = vec![0_usize; width];
    let mut last: Vec<usize> = (0..width).collect();
    for (i, &ca) in a.iter().enumerate() {
        let mut row = vec![i + 1; width];
        for (j, &cb) in b.iter().enumerate() {
            let mut d = (last[j] + usize::from(ca != cb))
                .min(last[j + 1] + 1)
                .min(row[j] + 1);
            if i > 0 && j > 0 && ca == b[j - 1] && a[i - 1] == cb {
                d = d.min(before[j - 1] + 1);
            }
            row[j + 1] = d;
        }
        before = std::mem::replace(&mut last, row);
    }
    last[b.len()]
}

#[cfg(test)]
mod tests;
