//! Why a text is not the quantity that is needed.

use thiserror::Error;

use super::quantity::Quantity;

/// Why a text is not the quantity that is needed.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum UnitError {
    /// Nothing but blanks.
    #[error("{} is needed, but nothing is written", want.word())]
    Empty {
        /// What is needed.
        want: Quantity,
    },
    /// The text is far longer than any quantity.
    #[error("{} is needed, but the text is {bytes} bytes long", want.word())]
    TooLong {
        /// What is needed.
        want: Quantity,
        /// Length of the text.
        bytes: usize,
    },
    /// There is no number where one must stand.
    #[error("\"{text}\" has no number that can be read")]
    NoNumber {
        /// The text.
        text: String,
        /// What is needed.
        want: Quantity,
    },
    /// A decimal comma or a thousands comma: which of the two cannot be known.
    #[error("\"{text}\" has a comma in its number; write a decimal point and no thousands mark")]
    Comma {
        /// The text.
        text: String,
    },
    /// A fraction with zero below the line.
    #[error("\"{text}\" divides by zero")]
    ZeroDenominator {
        /// The text.
        text: String,
    },
    /// The number is too large to be held.
    #[error("\"{text}\" is too large a number")]
    Overflow {
        /// The text.
        text: String,
    },
    /// A bare number where a unit matters.
    #[error("\"{text}\" has no unit; {} needs one", want.word())]
    NoUnit {
        /// The text.
        text: String,
        /// What is needed.
        want: Quantity,
    },
    /// The unit is in no table.
    #[error("\"{unit}\" is not a unit known here{}", near.as_ref().map(|n| format!("; did you mean \"{n}\"?")).unwrap_or_default())]
    UnknownUnit {
        /// The unit as written.
        unit: String,
        /// What is needed.
        want: Quantity,
        /// Nearest spelling, if one is near.
        near: Option<String>,
    },
    /// The unit has more than one meaning.
    #[error("\"{unit}\" can mean {meanings}; write which")]
    Ambiguous {
        /// The unit as written.
        unit: String,
        /// The choices.
        meanings: &'static str,
        /// What is needed.
        want: Quantity,
    },
    /// A good quantity, but of another kind.
    #[error("\"{text}\" is {}, but {} is needed", is.word(), want.word())]
    WrongKind {
        /// The text.
        text: String,
        /// What it is.
        is: Quantity,
        /// What is needed.
        want: Quantity,
    },
    /// A temperature below absolute zero.
    #[error("\"{text}\" is colder than absolute zero")]
    BelowAbsoluteZero {
        /// The text.
        text: String,
    },
}

impl UnitError {
    /// What to write instead, if the error itself does not say it.
    #[must_use]
    pub fn hint(&self) -> Option<String> {
        match self {
            Self::Empty { want }
            | Self::TooLong { want, .. }
            | Self::NoNumber { want, .. }
            | Self::NoUnit { want, .. }
            | Self::UnknownUnit { want, .. }
            | Self::WrongKind { want, .. } => {
                Some(format!("write for example {}", want.examples()))
            }
            Self::Ambiguous { meanings, .. } => {
                Some(format!("choose one of {meanings}, or give litres or grams"))
            }
            _ => None,
        }
    }
}
