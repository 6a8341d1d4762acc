//! What the columns of a format hold, as data: names or position, quantity, unit, missing codes. Resolved once against a table,
//! they make the values of each of its rows.

use super::table::{Row, Table};
use crate::climate::error::ClimateError;
use crate::climate::quantity::{Quantity, Values};
use crate::climate::raw;
use crate::climate::readings::Readings;
use crate::problem::{Problem, Problems};

/// From a value as written to SI.
pub(super) type Si = fn(f64) -> f64;

/// Metres per second in kilometres per hour (exact).
pub(super) const KMH: Si = |x| x * (1.0 / 3.6);
/// Metres per second in miles per hour (1609.344 m / 3600 s, exact).
pub(super) const MPH: Si = |x| x * 0.447_04;
/// Degrees Celsius in degrees Fahrenheit.
pub(super) const FAHRENHEIT: Si = |x| (x - 32.0) * (1.0 / 1.8);
/// Hundredths: percent, metres in centimetres.
pub(super) const HUNDREDTHS: Si = |x| x * 0.01;
/// The same by division: the last digit differs, and each format keeps its own.
pub(super) const PERCENT: Si = |x| x / 100.0;
/// Tenths.
pub(super) const TENTHS: Si = |x| x * 0.1;
/// Metres in inches (exact).
pub(super) const INCH: Si = |x| x * 0.0254;

/// Units of which a column's own one stands in the file.
pub(super) struct Units {
    /// In words, for a unit that is none of them.
    pub(super) known: &'static str,
    /// Each without signs of degree and square, which are often mangled, and what makes SI of it.
    pub(super) each: &'static [(&'static str, Si)],
}

pub(super) const fn units(known: &'static str, each: &'static [(&'static str, Si)]) -> Units {
    Units { known, each }
}

impl Units {
    /// What makes SI of the values of `column`, which are in `unit`.
    pub(super) fn of(&self, column: &str, unit: &str) -> Result<Si, ClimateError> {
        let plain = |c: &char| c.is_ascii_alphanumeric() || "/%".contains(*c);
        let bare: String = unit.chars().filter(plain).collect();
        let bare = bare.trim_end_matches('2');
        let found = self.each.iter().find(|(name, _)| *name == bare);
        found
            .map(|(_, si)| *si)
            .ok_or_else(|| ClimateError::BadUnit {
                column: column.to_owned(),
                unit: unit.chars().take(20).collect(),
                expected: self.known,
            })
    }
}

/// A column of a format.
pub(super) struct Column<V: 'static> {
    /// Names it goes by, of which the first found counts.
    pub(super) names: &'static [&'static str],
    /// Where it is (0-based) in a format without names.
    at: Option<usize>,
    /// What it holds. Of several columns with the same quantity the first that has a value counts.
    pub(super) quantity: Quantity<V>,
    si: Si,
    /// Units, where the file names its own.
    pub(super) units: Option<&'static Units>,
    /// Values from this on are missing codes.
    missing_from: f64,
    needed: bool,
    /// Unit taken for granted where the name leaves it open.
    pub(super) guessed: Option<&'static str>,
}

/// A column in SI that may be absent.
pub(super) const fn column<V>(names: &'static [&'static str], quantity: Quantity<V>) -> Column<V> {
    Column {
        names,
        at: None,
        quantity,
        si: |x| x,
        units: None,
        missing_from: f64::INFINITY,
        needed: false,
        guessed: None,
    }
}

/// A column in SI at a position (0-based), with missing codes from a value on.
pub(super) const fn field<V>(
    at: usize,
    names: &'static [&'static str],
    missing_from: f64,
    quantity: Quantity<V>,
) -> Column<V> {
    let mut field = column(names, quantity).missing_from(missing_from);
    field.at = Some(at);
    field
}

impl<V> Column<V> {
    /// In another unit.
    pub(super) const fn si(mut self, si: Si) -> Self {
        self.si = si;
        self
    }

    /// In a unit that the file names.
    pub(super) const fn units(mut self, units: &'static Units) -> Self {
        self.units = Some(units);
        self
    }

    /// In a unit that its name leaves open.
    pub(super) const fn guessed(mut self, unit: &'static str) -> Self {
        self.guessed = Some(unit);
        self
    }

    /// With missing codes from this value on.
    pub(super) const fn missing_from(mut self, code: f64) -> Self {
        self.missing_from = code;
        self
    }

    /// Without which the table is of no use.
    pub(super) const fn needed(mut self) -> Self {
        self.needed = true;
        self
    }

    fn name(&self) -> &'static str {
        self.names.first().copied().unwrap_or(self.quantity.name)
    }
}

/// A column found in a table.
pub(super) struct Found<V: 'static> {
    pub(super) index: usize,
    pub(super) column: &'static Column<V>,
    si: Si,
}

impl Table<'_> {
    /// Those columns of a format that the table has.
    pub(super) fn columns<V>(
        &self,
        columns: &'static [Column<V>],
    ) -> Result<Vec<Found<V>>, Problems> {
        let mut out = Vec::new();
        for column in columns {
            let named = || column.names.iter().find_map(|n| self.find(n));
            let Some(index) = column.at.or_else(named) else {
                if column.needed {
                    return Err(self.no_column(column.quantity.name, column.name()).into());
                }
                continue;
            };
            let si = match column.units {
                Some(units) => units
                    .of(column.name(), self.unit(index))
                    .map_err(|fault| self.header_fault(fault, index))?,
                None => column.si,
            };
            out.push(Found { index, column, si });
        }
        Ok(out)
    }

    /// The table's rows as those of a record, each at the minute that `when` reads.
    pub(super) fn read<V: Values>(
        &self,
        columns: &'static [Column<V>],
        mut when: impl FnMut(&Row<'_>) -> Result<i64, Box<Problem>>,
    ) -> Result<Readings<V>, Problems> {
        let columns = self.columns(columns)?;
        self.rows(|row| Ok(raw::Row::new(row.line, when(row)?, row.values(&columns)?)))
    }
}

impl Row<'_> {
    /// What the columns hold in this row, in SI.
    pub(super) fn values<V: Default>(&self, columns: &[Found<V>]) -> Result<V, Box<Problem>> {
        let mut out = V::default();
        for Found { index, column, si } in columns {
            let slot = (column.quantity.slot)(&mut out);
            if slot.is_none() {
                let written = self.number(*index, column.name())?;
                *slot = written.filter(|x| *x < column.missing_from).map(si);
            }
        }
        Ok(out)
    }
}
