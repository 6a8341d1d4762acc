//! Weather records: readers, winters, sums and the command that shows them.
