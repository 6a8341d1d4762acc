//! Outcomes to decisions: need, target reading, margins.
