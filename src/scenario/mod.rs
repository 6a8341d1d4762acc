//! What the user wrote: typed, checked, with every default stated.

pub mod model;
