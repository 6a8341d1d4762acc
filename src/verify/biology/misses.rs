//! Measured values that the colony misses, and what is known of why.

/// Identifier of the check, and the explanation.
pub const KNOWN: &[(&str, &str)] = &[];
