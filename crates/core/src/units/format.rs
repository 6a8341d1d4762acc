//! SI values back to the words of a keeper. Returns text; prints nothing.

use super::quantity::Quantity;
use super::spellings::SPELLINGS;

/// A value in a named unit with all its digits, so that [`super::parse`] gives it back; `None` when the unit is not one
/// of that quantity or the value is not finite.
#[must_use]
pub fn exact(inner: f64, quantity: Quantity, unit: &str) -> Option<String> {
    let s = SPELLINGS
        .iter()
        .find(|s| s.quantity == quantity && s.words.contains(&unit))?;
    let x = s.to_unit(inner);
    x.is_finite().then(|| match unit {
        "R" | "RSI" => format!("{unit} {x}"),
        _ => format!("{x} {unit}"),
    })
}

/// Rounds to `digits` decimals and drops trailing zeros; "-0" becomes "0".
#[must_use]
pub fn trimmed(x: f64, digits: usize) -> String {
    let text = format!("{x:.digits$}");
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.')
    } else {
        &text
    };
    if text == "-0" {
        "0".to_owned()
    } else {
        text.to_owned()
    }
}

fn to(inner: f64, quantity: Quantity, unit: &str) -> f64 {
    SPELLINGS
        .iter()
        .find(|s| s.quantity == quantity && s.words.contains(&unit))
        .map_or(f64::NAN, |s| s.to_unit(inner))
}

/// Mass in kilograms as pounds.
#[must_use]
pub fn pounds(kg: f64) -> f64 {
    to(kg, Quantity::Mass, "lb")
}

/// Temperature in degC as degF.
#[must_use]
pub fn fahrenheit(temp_c: f64) -> f64 {
    to(temp_c, Quantity::Temperature, "F")
}

/// Length in metres as inches.
#[must_use]
pub fn inches(m: f64) -> f64 {
    to(m, Quantity::Length, "in")
}

/// "27.4 kg (60 lb)": one decimal below 100 kg, whole pounds; grams and ounces are left to kilograms with two decimals
/// below 10 kg.
#[must_use]
pub fn mass(kg: f64) -> String {
    let digits = if kg.abs() < 10.0 { 2 } else { 1 };
    let lb = if kg.abs() < 10.0 {
        trimmed(pounds(kg), 1)
    } else {
        trimmed(pounds(kg), 0)
    };
    format!("{} kg ({lb} lb)", trimmed(kg, digits))
}

/// "19 mm (3/4 in)": millimetres with one decimal, inches to the nearest sixteenth.
#[must_use]
pub fn length(m: f64) -> String {
    if m.abs() >= 10.0 {
        return format!(
            "{} m ({} ft)",
            trimmed(m, 1),
            trimmed(to(m, Quantity::Length, "ft"), 0)
        );
    }
    if m.abs() < 0.0016 {
        return format!("{} mm", trimmed(m * 1000.0, 2));
    }
    format!(
        "{} mm ({} in)",
        trimmed(m * 1000.0, 1),
        sixteenths(inches(m))
    )
}

/// Inches to the nearest sixteenth as a rule shows them: "9-5/8", "3/4", "2".
#[must_use]
pub fn sixteenths(inches: f64) -> String {
    if !inches.is_finite() || inches.abs() > 1e9 {
        return trimmed(inches, 0);
    }
    let sign = if inches < 0.0 { "-" } else { "" };
    let n = (inches.abs() * 16.0).round();
    let whole = (n / 16.0).floor();
    let (mut above, mut below) = ((n - whole * 16.0) as u32, 16_u32);
    if above == 0 {
        return format!("{sign}{whole}");
    }
    while above % 2 == 0 {
        above /= 2;
        below /= 2;
    }
    if whole == 0.0 {
        format!("{sign}{above}/{below}")
    } else {
        format!("{sign}{whole}-{above}/{below}")
    }
}

/// "6 C (43 F)".
#[must_use]
pub fn temperature(temp_c: f64) -> String {
    format!(
        "{} C ({} F)",
        trimmed(temp_c, 1),
        trimmed(fahrenheit(temp_c), 0)
    )
}

/// "6.8 cm2".
#[must_use]
pub fn area(m2: f64) -> String {
    format!("{} cm2", trimmed(m2 * 1e4, 2))
}

/// "10 L (2.6 US gal, 2.2 imp gal)".
#[must_use]
pub fn volume(m3: f64) -> String {
    format!(
        "{} L ({} US gal, {} imp gal)",
        trimmed(m3 * 1000.0, 1),
        trimmed(to(m3, Quantity::Volume, "US gal"), 1),
        trimmed(to(m3, Quantity::Volume, "imp gal"), 1)
    )
}

/// "RSI 0.88 (R 5)".
#[must_use]
pub fn r_value(m2k_per_w: f64) -> String {
    format!(
        "RSI {} (R {})",
        trimmed(m2k_per_w, 2),
        trimmed(to(m2k_per_w, Quantity::RValue, "R"), 1)
    )
}

/// Any quantity in the form used in reports; the ones only an appendix shows in their inner unit.
#[must_use]
pub fn any(inner: f64, quantity: Quantity) -> String {
    match quantity {
        Quantity::Length => length(inner),
        Quantity::Area => area(inner),
        Quantity::Volume => volume(inner),
        Quantity::Mass => mass(inner),
        Quantity::Temperature => temperature(inner),
        Quantity::RValue => r_value(inner),
        Quantity::TemperatureDifference => format!("{} K", trimmed(inner, 1)),
        Quantity::Power => format!("{} W", trimmed(inner, 2)),
        Quantity::Conductivity => format!("{} W/mK", trimmed(inner, 4)),
        Quantity::Density => format!("{} kg/m3", trimmed(inner, 1)),
        Quantity::SpecificHeat => format!("{} J/kgK", trimmed(inner, 0)),
        Quantity::Angle => format!("{} deg", trimmed(inner, 2)),
        Quantity::Speed => format!("{} m/s", trimmed(inner, 2)),
        Quantity::Time => format!("{} h", trimmed(inner / 3600.0, 2)),
    }
}
