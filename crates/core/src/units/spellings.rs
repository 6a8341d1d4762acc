//! The one table of unit spellings.

use super::quantity::Quantity::{self, *};

/// One unit: its spellings and how to get the inner unit from it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Spelling {
    /// What it measures.
    pub(super) quantity: Quantity,
    /// Spellings; the first is the one used in output.
    pub(super) words: &'static [&'static str],
    /// Inner value = (x - zero) * over / under: a quotient of whole numbers keeps "19 mm" exactly 0.019.
    over: f64,
    under: f64,
    zero: f64,
}

impl Spelling {
    /// To the inner unit.
    pub(super) fn to_inner(self, x: f64) -> f64 {
        (x - self.zero) * self.over / self.under
    }

    /// From the inner unit.
    pub(super) fn to_unit(self, inner: f64) -> f64 {
        inner * self.under / self.over + self.zero
    }
}

const fn row(
    quantity: Quantity,
    words: &'static [&'static str],
    over: f64,
    under: f64,
) -> Spelling {
    Spelling {
        quantity,
        words,
        over,
        under,
        zero: 0.0,
    }
}

const fn scale(words: &'static [&'static str], over: f64, under: f64, zero: f64) -> Spelling {
    Spelling {
        quantity: Temperature,
        words,
        over,
        under,
        zero,
    }
}

/// Units that have more than one meaning, and the choice.
pub(super) const AMBIGUOUS: &[(&[&str], &str)] = &[
    (
        &["gal", "gals", "gallon", "gallons"],
        "US gal (3.785 L) or imp gal (4.546 L)",
    ),
    (
        &["qt", "qts", "quart", "quarts"],
        "US qt (0.946 L) or imp qt (1.137 L)",
    ),
    (
        &["pt", "pint", "pints"],
        "US pt (0.473 L) or imp pt (0.568 L)",
    ),
    (&["floz"], "US fl oz (29.6 mL) or imp fl oz (28.4 mL)"),
];

/// Every unit known. The international yard and pound agreement (1959): 1 in = 25.4 mm, 1 lb = 0.45359237 kg. US gallon 231 in3 =
/// 3.785411784 L; imperial gallon 4.54609 L. R-value: 1 h ft2 F/Btu = 0.176110 m2K/W from the international table Btu
/// (1055.05585262 J): 0.3048^2 x 3600 x (5/9) / 1055.05585262.
pub(super) const SPELLINGS: &[Spelling] = &[
    row(
        Length,
        &[
            "mm",
            "millimetre",
            "millimetres",
            "millimeter",
            "millimeters",
        ],
        1.0,
        1000.0,
    ),
    row(
        Length,
        &[
            "cm",
            "centimetre",
            "centimetres",
            "centimeter",
            "centimeters",
        ],
        1.0,
        100.0,
    ),
    row(
        Length,
        &["m", "metre", "metres", "meter", "meters"],
        1.0,
        1.0,
    ),
    row(
        Length,
        &["km", "kilometre", "kilometres", "kilometer", "kilometers"],
        1000.0,
        1.0,
    ),
    row(
        Length,
        &["in", "inch", "inches", "\"", "″"],
        254.0,
        10_000.0,
    ),
    row(Length, &["ft", "foot", "feet", "'", "′"], 3048.0, 10_000.0),
    row(Area, &["mm2", "sq mm", "mm^2"], 1.0, 1e6),
    row(Area, &["cm2", "sq cm", "cm^2"], 1.0, 1e4),
    row(Area, &["m2", "sq m", "m^2"], 1.0, 1.0),
    row(
        Area,
        &["in2", "sq in", "in^2", "square inch", "square inches"],
        64_516.0,
        1e8,
    ),
    row(
        Area,
        &["ft2", "sq ft", "ft^2", "square foot", "square feet"],
        9_290_304.0,
        1e8,
    ),
    row(
        Volume,
        &["L", "litre", "litres", "liter", "liters"],
        1.0,
        1000.0,
    ),
    row(
        Volume,
        &[
            "mL",
            "millilitre",
            "millilitres",
            "milliliter",
            "milliliters",
        ],
        1.0,
        1e6,
    ),
    row(Volume, &["m3", "m^3"], 1.0, 1.0),
    row(
        Volume,
        &["US gal", "US gals", "US gallon", "US gallons"],
        3_785_411_784.0,
        1e12,
    ),
    row(
        Volume,
        &[
            "imp gal",
            "imp gals",
            "imp gallon",
            "imp gallons",
            "imperial gal",
            "imperial gallon",
            "imperial gallons",
            "UK gal",
            "UK gallon",
            "UK gallons",
        ],
        454_609.0,
        1e8,
    ),
    row(
        Volume,
        &["US qt", "US quart", "US quarts"],
        946_352_946.0,
        1e12,
    ),
    row(
        Volume,
        &[
            "imp qt",
            "imp quart",
            "imp quarts",
            "imperial quart",
            "imperial quarts",
            "UK quart",
        ],
        11_365_225.0,
        1e10,
    ),
    row(
        Volume,
        &["US pt", "US pint", "US pints"],
        473_176_473.0,
        1e12,
    ),
    row(
        Volume,
        &[
            "imp pt",
            "imp pint",
            "imp pints",
            "imperial pint",
            "imperial pints",
            "UK pint",
        ],
        56_826_125.0,
        1e11,
    ),
    row(Volume, &["US fl oz"], 295_735_295_625.0, 1e16),
    row(Volume, &["imp fl oz", "UK fl oz"], 284_130_625.0, 1e13),
    row(
        Mass,
        &["kg", "kgs", "kilo", "kilos", "kilogram", "kilograms"],
        1.0,
        1.0,
    ),
    row(Mass, &["g", "gram", "grams"], 1.0, 1000.0),
    row(Mass, &["lb", "lbs", "pound", "pounds"], 45_359_237.0, 1e8),
    row(Mass, &["oz", "ounce", "ounces"], 45_359_237.0, 16e8),
    scale(
        &["C", "°C", "degC", "deg C", "degrees C", "Celsius"],
        1.0,
        1.0,
        0.0,
    ),
    scale(
        &["F", "°F", "degF", "deg F", "degrees F", "Fahrenheit"],
        5.0,
        9.0,
        32.0,
    ),
    row(TemperatureDifference, &["K", "kelvin", "kelvins"], 1.0, 1.0),
    row(
        TemperatureDifference,
        &["C", "°C", "degC", "deg C", "degrees C"],
        1.0,
        1.0,
    ),
    row(
        TemperatureDifference,
        &["F", "°F", "degF", "deg F", "degrees F"],
        5.0,
        9.0,
    ),
    row(Power, &["W", "watt", "watts"], 1.0, 1.0),
    row(Power, &["kW", "kilowatt", "kilowatts"], 1000.0, 1.0),
    row(Power, &["Btu/h", "BTU per hour"], 1_055.055_852_62, 3600.0),
    row(
        RValue,
        &["RSI", "m2K/W", "m2.K/W", "m2 K/W", "K m2/W", "m^2K/W"],
        1.0,
        1.0,
    ),
    row(
        RValue,
        &["R", "h ft2 F/Btu", "ft2 F h/Btu", "ft2.F.h/Btu"],
        0.092_903_04 * 3600.0 * 5.0 / 9.0,
        1_055.055_852_62,
    ),
    row(
        Conductivity,
        &[
            "W/mK", "W/m/K", "W/(m K)", "W/(mK)", "W/m.K", "W/m K", "W/(m.K)",
        ],
        1.0,
        1.0,
    ),
    row(
        Conductivity,
        &["Btu in/h ft2 F", "Btu.in/(h.ft2.F)"],
        1_055.055_852_62 * 0.0254 * 9.0 / 5.0,
        3600.0 * 0.092_903_04,
    ),
    row(Density, &["kg/m3", "kg/m^3", "kg per m3"], 1.0, 1.0),
    row(Density, &["g/cm3", "g/cm^3", "kg/L"], 1000.0, 1.0),
    row(
        Density,
        &["lb/ft3", "lb/ft^3", "lbs/ft3", "pcf"],
        0.453_592_37,
        0.028_316_846_592,
    ),
    row(
        SpecificHeat,
        &[
            "J/kgK", "J/kg/K", "J/(kg K)", "J/(kgK)", "J/kg.K", "J/kg K", "J/(kg.K)",
        ],
        1.0,
        1.0,
    ),
    row(
        SpecificHeat,
        &[
            "kJ/kgK",
            "kJ/kg/K",
            "kJ/(kg K)",
            "kJ/(kgK)",
            "kJ/kg.K",
            "kJ/kg K",
        ],
        1000.0,
        1.0,
    ),
    row(
        SpecificHeat,
        &["Btu/lbF", "Btu/lb F", "Btu/lb/F"],
        4186.8,
        1.0,
    ),
    row(Angle, &["deg", "degree", "degrees", "°"], 1.0, 1.0),
    row(Speed, &["m/s", "mps", "metres per second"], 1.0, 1.0),
    row(Speed, &["km/h", "kph", "kmh"], 10.0, 36.0),
    row(Speed, &["mph", "mi/h", "miles per hour"], 0.447_04, 1.0),
    row(Speed, &["kn", "kt", "knot", "knots"], 1852.0, 3600.0),
    row(Time, &["s", "sec", "second", "seconds"], 1.0, 1.0),
    row(Time, &["min", "minute", "minutes"], 60.0, 1.0),
    row(Time, &["h", "hr", "hrs", "hour", "hours"], 3600.0, 1.0),
    row(Time, &["d", "day", "days"], 86_400.0, 1.0),
    row(Time, &["week", "weeks"], 604_800.0, 1.0),
];

/// A spelling without blanks, case, middle dots and raised digits, for comparison.
pub(super) fn plain(word: &str) -> String {
    word.chars()
        .filter(|c| !c.is_whitespace() && !matches!(c, '·' | '⋅'))
        .map(|c| match c {
            '²' => '2',
            '³' => '3',
            other => other.to_ascii_lowercase(),
        })
        .collect()
}
