//! Measured values that the colony misses, and what is known of why.

/// Identifier of the check, and the explanation.
pub const KNOWN: &[(&str, &str)] = &[
    (
        "c4-large",
        "the measured food is 1.8 W/kg, which is the resting heat of bees at 15 degC on average and leaves the middle of 3 kg of bees at \
         about 16 degC; ours hold it at 22, as measured in clusters without brood, and burn 2.6 W/kg for that. With 18 degC, \
         the low end of the range, they would burn 2.0. That low oxygen deepens the rest of large clusters is known (Van \
         Nerum & Buelens 1997) but not by how much. The place of wintering is assumed",
    ),
    (
        "c11-adults",
        "deaths alone would leave 0.61; the rest is brood, which depends on the winter: 0.98 of the bees are there after the mild one of \
         2015/16, with brood at full speed by February, and 0.67 after that of 2016/17. Ours rear more before March than was \
         counted in winter quarters (34-50 % of the adults of March: Harris, J Apic Res); the weather and the brood of the \
         source are not known",
    ),
    ("c21-november", VAPOUR),
    ("c21-december", VAPOUR),
    ("c21-january", VAPOUR),
    ("c21-february", VAPOUR),
    ("c21-march", VAPOUR),
];

const VAPOUR: &str = "the sensor read 17 to 28 degC while it was 5 to 12 outside, so it sat among the bees, whose breath is not mixed with the hive's air yet: \
         carbon dioxide of 1.29 in 100, as measured in clusters (Bahreini & Currie 2015), goes with 1,750 Pa of vapour. Ours is the air of the \
         seam the cluster sits in, and air of 800 Pa over outside would wet every wall";
