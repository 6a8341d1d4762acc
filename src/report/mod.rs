//! Results to text, JSON and CSV.
