//! Weather records: readers, winters, sums and the command that shows them.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stdout
)]

mod bad_files;
mod command;
mod daily_curve;
mod layouts;
mod mended;
mod nonsense;
mod readers;
mod stand_ins;
mod synthetic;
mod winter_sums;
mod winters_chosen;

use partywall::calendar::MonthDay;
use partywall::climate::ClimateChoice;
use partywall::climate::{self, Record};
use partywall::files::weather;

/// 1 October.
const OCTOBER: MonthDay = MonthDay { month: 10, day: 1 };
/// 31 March.
const MARCH: MonthDay = MonthDay { month: 3, day: 31 };
/// 31 May.
const MAY: MonthDay = MonthDay { month: 5, day: 31 };

fn built_in(name: &str) -> Record {
    weather::load(&ClimateChoice::BuiltIn(name.into())).unwrap()
}

fn read(text: &str) -> Record {
    climate::from_bytes("t.csv", text.as_bytes().to_vec()).unwrap_or_else(|p| panic!("{p}"))
}

fn file(path: &str) -> ClimateChoice {
    ClimateChoice::File(std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(path))
}

const CHICAGO_EPW: &str = "climate-samples/USA_IL_Chicago.OHare.Intl.AP.725300_TMY3.epw";
