//! The wintering colony; knows nothing of grids.
