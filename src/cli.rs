//! Command-line definitions only.
