//! Units of the texts.

use clap::ValueEnum;
use partywall_core::units::spoken;

/// Which units a text is told in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
pub enum Units {
    /// Kilograms, degrees Celsius, litres
    Metric,
    /// Pounds, degrees Fahrenheit, US gallons
    Us,
    /// Both, the metric first
    #[default]
    Both,
}

impl From<Units> for spoken::Units {
    fn from(u: Units) -> Self {
        match u {
            Units::Metric => Self::Metric,
            Units::Us => Self::Us,
            Units::Both => Self::Both,
        }
    }
}
