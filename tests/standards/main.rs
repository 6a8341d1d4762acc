//! Validation cases printed in standards.

mod iso10211;
