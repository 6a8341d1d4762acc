//! Quantities with units as users write them ("19 mm", "60 lb", "-5 F") to and from SI.
