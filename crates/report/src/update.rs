//! What a weighing in winter tells, as text.

mod words;

pub use words::text;
pub(super) use words::{
    FIRST, advice, basis, does_not_fit, mind, note, runs_out, stores_words, weighing_words,
};
