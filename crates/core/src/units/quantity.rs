//! What a number can measure.

/// What kind of thing a number measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Quantity {
    /// Length, m.
    Length,
    /// Area, m2.
    Area,
    /// Volume, m3.
    Volume,
    /// Mass, kg ("weight" to a keeper).
    Mass,
    /// A temperature on a scale, degC.
    Temperature,
    /// A difference of two temperatures, K.
    TemperatureDifference,
    /// Power, W.
    Power,
    /// Thermal resistance of one square metre, m2K/W.
    RValue,
    /// Thermal conductivity, W/mK.
    Conductivity,
    /// Density, kg/m3.
    Density,
    /// Specific heat, J/kgK.
    SpecificHeat,
    /// Angle, degrees.
    Angle,
    /// Speed, m/s.
    Speed,
    /// Time, s.
    Time,
}

impl Quantity {
    /// The word a keeper would use, with its article ("a length").
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Length => "a length",
            Self::Area => "an area",
            Self::Volume => "a volume",
            Self::Mass => "a weight",
            Self::Temperature => "a temperature",
            Self::TemperatureDifference => "a temperature difference",
            Self::Power => "a power",
            Self::RValue => "an R-value",
            Self::Conductivity => "a conductivity",
            Self::Density => "a density",
            Self::SpecificHeat => "a specific heat",
            Self::Angle => "an angle",
            Self::Speed => "a speed",
            Self::Time => "a time",
        }
    }

    /// Two or three ways to write it, for messages.
    #[must_use]
    pub const fn examples(self) -> &'static str {
        match self {
            Self::Length => "\"19 mm\", \"3/4 in\" or \"1.2 m\"",
            Self::Area => "\"6 cm2\" or \"1 in2\"",
            Self::Volume => "\"10 L\", \"2 US gal\" or \"2 imp gal\"",
            Self::Mass => "\"27.4 kg\" or \"60 lb\"",
            Self::Temperature => "\"6 C\" or \"43 F\"",
            Self::TemperatureDifference => "\"4 K\"",
            Self::Power => "\"12.5 W\"",
            Self::RValue => "\"R-5\" (US) or \"RSI 0.88\"",
            Self::Conductivity => "\"0.035 W/mK\"",
            Self::Density => "\"450 kg/m3\" or \"28 lb/ft3\"",
            Self::SpecificHeat => "\"1600 J/kgK\"",
            Self::Angle => "\"180 deg\"",
            Self::Speed => "\"4 m/s\", \"15 km/h\" or \"9 mph\"",
            Self::Time => "\"50 h\" or \"7 days\"",
        }
    }
}
