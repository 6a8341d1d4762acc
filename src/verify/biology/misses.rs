//! Measured values that the colony misses, and what is known of why.

/// Identifier of the check, and the explanation.
pub const KNOWN: &[(&str, &str)] = &[
    (
        "c4-large",
        "3.0 kg of bees (mean of the time) rest at 2.7 W/kg in ours, which follows from 2.5 W/kg at 20 degC in a hive they warm \
         themselves; the measured food is 1.8 W/kg. A large colony is at its resting heat here, not at what its surface \
         loses, and a deeper winter rest (low oxygen in the cluster) is not modelled. The place of wintering is assumed",
    ),
    (
        "c11-adults",
        "the default death rate without brood leaves 0.70 by itself (0.0045 a day would be needed, which lies within its range \
         of 0.0010 to 0.0055), and bees reared from December on add a tenth; the weather of the source is not known",
    ),
];
