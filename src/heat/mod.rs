//! The heat equation on a graded grid with air nodes; knows nothing of bees.
