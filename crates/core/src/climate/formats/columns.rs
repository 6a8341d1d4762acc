//! Column names of plain CSV weather tables: which quantity, in which unit, converted to SI how.

/// A quantity a column may hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quantity {
    /// Date and time.
    Time,
    /// Date.
    Date,
    /// Air temperature at an instant, degC.
    Temp,
    /// Day's minimum, degC.
    TMin,
    /// Day's maximum, degC.
    TMax,
    /// Day's mean, degC.
    TMean,
    /// Dew point, degC.
    DewPoint,
    /// Relative humidity, 0 to 1.
    RelHumidity,
    /// Vapour pressure, Pa.
    Vapour,
    /// Wind at 10 m, m/s.
    Wind10,
    /// Wind at 2 m, m/s.
    Wind2,
    /// Global horizontal irradiance, W/m2.
    Ghi,
    /// Global horizontal radiation of a day, J/m2.
    GhiSum,
    /// Direct normal irradiance, W/m2.
    Dni,
    /// Diffuse horizontal irradiance, W/m2.
    Dhi,
    /// Downward longwave, W/m2.
    SkyLongwave,
    /// Cloud cover, 0 to 1.
    Cloud,
    /// Snow depth, m.
    SnowDepth,
    /// Known and not needed by this program (precipitation, flags).
    Unused,
}

/// How many quantities there are.
pub const QUANTITIES: usize = Quantity::Unused as usize + 1;

impl Quantity {
    /// In words, for messages.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Time => "the time",
            Self::Date => "the date",
            Self::Temp => "the air temperature",
            Self::TMin => "the day's minimum",
            Self::TMax => "the day's maximum",
            Self::TMean => "the day's mean temperature",
            Self::DewPoint => "the dew point",
            Self::RelHumidity => "the relative humidity",
            Self::Vapour => "the vapour pressure",
            Self::Wind10 => "the wind at 10 m",
            Self::Wind2 => "the wind at 2 m",
            Self::Ghi => "the global radiation",
            Self::GhiSum => "the day's global radiation",
            Self::Dni => "the direct radiation",
            Self::Dhi => "the diffuse radiation",
            Self::SkyLongwave => "the longwave radiation of the sky",
            Self::Cloud => "the cloud cover",
            Self::SnowDepth => "the snow depth",
            Self::Unused => "an unused quantity",
        }
    }
}

/// One known column: SI value = (written + shift) * factor.
#[derive(Debug, Clone, Copy)]
pub struct Column {
    /// Name in the header row, lower case.
    pub name: &'static str,
    /// What it holds.
    pub quantity: Quantity,
    /// Added before scaling, in the written unit.
    pub shift: f64,
    /// Scale to SI.
    pub factor: f64,
    /// Whether the name leaves the unit open, so that the unit is a guess to be told.
    pub unit_guessed: bool,
}

const fn column(name: &'static str, quantity: Quantity, factor: f64) -> Column {
    Column {
        name,
        quantity,
        shift: 0.0,
        factor,
        unit_guessed: false,
    }
}

const fn guessed(name: &'static str, quantity: Quantity) -> Column {
    Column {
        name,
        quantity,
        shift: 0.0,
        factor: 1.0,
        unit_guessed: true,
    }
}

const fn fahrenheit(name: &'static str, quantity: Quantity) -> Column {
    Column {
        name,
        quantity,
        shift: -32.0,
        factor: 1.0 / 1.8,
        unit_guessed: false,
    }
}

/// Metres per second in one mile per hour (1609.344 m / 3600 s, exact).
const MPH: f64 = 0.447_04;
/// Metres per second in one kilometre per hour (exact).
const KMH: f64 = 1.0 / 3.6;
/// Metres in one inch (exact).
const INCH: f64 = 0.0254;

/// Every column name read.
pub const COLUMNS: &[Column] = &[
    column("time", Quantity::Time, 1.0),
    column("datetime", Quantity::Time, 1.0),
    column("date", Quantity::Date, 1.0),
    column("temp_c", Quantity::Temp, 1.0),
    fahrenheit("temp_f", Quantity::Temp),
    guessed("temp", Quantity::Temp),
    guessed("temperature", Quantity::Temp),
    column("tmin_c", Quantity::TMin, 1.0),
    fahrenheit("tmin_f", Quantity::TMin),
    guessed("tmin", Quantity::TMin),
    guessed("temp_min", Quantity::TMin),
    column("tmax_c", Quantity::TMax, 1.0),
    fahrenheit("tmax_f", Quantity::TMax),
    guessed("tmax", Quantity::TMax),
    guessed("temp_max", Quantity::TMax),
    column("tmean_c", Quantity::TMean, 1.0),
    fahrenheit("tmean_f", Quantity::TMean),
    guessed("tmean", Quantity::TMean),
    column("dewpoint_c", Quantity::DewPoint, 1.0),
    fahrenheit("dewpoint_f", Quantity::DewPoint),
    column("rh_pct", Quantity::RelHumidity, 0.01),
    column("vapour_kpa", Quantity::Vapour, 1000.0),
    column("vapour_hpa", Quantity::Vapour, 100.0),
    column("wind_ms", Quantity::Wind10, 1.0),
    column("wind_kmh", Quantity::Wind10, KMH),
    column("wind_mph", Quantity::Wind10, MPH),
    guessed("wind", Quantity::Wind10),
    column("wind2m_ms", Quantity::Wind2, 1.0),
    column("wind2m_kmh", Quantity::Wind2, KMH),
    column("wind2m_mph", Quantity::Wind2, MPH),
    column("ghi_w_m2", Quantity::Ghi, 1.0),
    column("dni_w_m2", Quantity::Dni, 1.0),
    column("dhi_w_m2", Quantity::Dhi, 1.0),
    column("ghi_mj_m2", Quantity::GhiSum, 1.0e6),
    column("sky_longwave_w_m2", Quantity::SkyLongwave, 1.0),
    column("cloud_okta", Quantity::Cloud, 0.125),
    column("cloud_tenths", Quantity::Cloud, 0.1),
    column("cloud_pct", Quantity::Cloud, 0.01),
    column("snow_depth_cm", Quantity::SnowDepth, 0.01),
    column("snow_depth_in", Quantity::SnowDepth, INCH),
    column("precip_mm", Quantity::Unused, 1.0),
    column("infilled", Quantity::Unused, 1.0),
];

/// The known column of that name; case and blanks around it do not matter.
#[must_use]
pub fn find(name: &str) -> Option<&'static Column> {
    let name = name.trim().to_ascii_lowercase();
    COLUMNS.iter().find(|c| c.name == name)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches a wrong conversion: fixed points of the units, not of the table.
    #[test]
    fn conversions_meet_fixed_points() {
        let si = |name: &str, x: f64| find(name).map(|c| (x + c.shift) * c.factor).unwrap();
        assert!((si("tmax_f", 212.0) - 100.0).abs() < 1e-12);
        assert!((si("temp_f", -40.0) + 40.0).abs() < 1e-12);
        assert!((si("wind_kmh", 36.0) - 10.0).abs() < 1e-12);
        assert!((si("wind_mph", 10.0) - 4.4704).abs() < 1e-12);
        assert!((si("cloud_okta", 8.0) - 1.0).abs() < 1e-12);
        assert!((si("snow_depth_in", 10.0) - 0.254).abs() < 1e-12);
        assert!((si("ghi_mj_m2", 2.0) - 2.0e6).abs() < 1e-6);
    }

    /// Catches a name entered twice, of which only the first would ever be found.
    #[test]
    fn names_are_unique() {
        for (i, c) in COLUMNS.iter().enumerate() {
            assert!(
                COLUMNS[i + 1..].iter().all(|d| d.name != c.name),
                "{}",
                c.name
            );
        }
    }
}
