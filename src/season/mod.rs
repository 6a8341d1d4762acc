//! The hour loop that couples weather, heat and colony.
