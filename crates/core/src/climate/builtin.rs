//! The weather records built into the program; origin and licence of each in `climate-samples/SOURCES.md`.

use crate::climate::error::ClimateError;
use crate::climate::source::Source;
use crate::problem::Problems;
use std::path::PathBuf;

/// Where the weather comes from.
#[derive(Debug, Clone, PartialEq)]
pub enum ClimateChoice {
    /// One of the records built into the program, by its short name.
    BuiltIn(String),
    /// A file of the user's, path already resolved against the scenario file's folder.
    File(PathBuf),
}

/// A record built into the program.
#[derive(Debug, Clone, Copy)]
pub struct BuiltIn {
    /// Short name a scenario uses.
    pub name: &'static str,
    /// What it is, in a few words.
    pub about: &'static str,
    text: &'static str,
}

/// All built-in records.
pub const BUILT_IN: &[BuiltIn] = &[
    BuiltIn {
        name: "champion",
        about: "Champion, Nebraska: daily with sun, 36 winters from 1982/83",
        text: include_str!("../../../../climate-samples/champion-ne_daily_1982-2018.csv"),
    },
    BuiltIn {
        name: "baskatong",
        about: "Baskatong, Quebec: daily means, 37 very cold winters from 1980/81",
        text: include_str!("../../../../climate-samples/baskatong-qc_daily-mean_1980-2017.csv"),
    },
    BuiltIn {
        name: "chicago",
        about: "Chicago O'Hare, Illinois: hourly, winters 2015/16 and 2016/17",
        text: include_str!("../../../../climate-samples/chicago-ohare_hourly_2015-2017.csv"),
    },
    BuiltIn {
        name: "northway",
        about: "Northway, Alaska: hourly, winter 2018/19, down to -44 degC",
        text: include_str!("../../../../climate-samples/northway-ak_hourly_2018-2019.csv"),
    },
    BuiltIn {
        name: "wageningen",
        about: "Wageningen, Netherlands: daily with sun, wind and humidity, 22 mild winters from 1976/77",
        text: include_str!("../../../../climate-samples/wageningen-nl_daily_1976-1999.csv"),
    },
];

/// The short names, for messages.
#[must_use]
pub fn names() -> String {
    BUILT_IN
        .iter()
        .map(|b| b.name)
        .collect::<Vec<_>>()
        .join(", ")
}

/// The record of that name, whatever its case.
fn find(name: &str) -> Option<&'static BuiltIn> {
    let wanted = name.trim();
    BUILT_IN
        .iter()
        .find(|b| b.name.eq_ignore_ascii_case(wanted))
}

/// What a word on the command line means: a built-in record's name, whatever its case, else a file. A file of the same
/// name is reached with a folder before it, as in `./champion`.
#[must_use]
pub fn choose(word: &str) -> ClimateChoice {
    match find(word) {
        Some(b) => ClimateChoice::BuiltIn(b.name.to_owned()),
        None => ClimateChoice::File(word.into()),
    }
}

/// The text of the built-in record of exactly that name.
#[must_use]
pub fn text(name: &str) -> Option<&'static str> {
    BUILT_IN.iter().find(|b| b.name == name).map(|b| b.text)
}

/// The text of the built-in record of that name, whatever its case.
///
/// # Errors
/// When there is none; the message lists those there are.
pub fn source(name: &str) -> Result<Source, Problems> {
    let Some(found) = find(name) else {
        let name = name.trim().to_owned();
        let file = name.clone();
        return Err(ClimateError::UnknownBuiltIn { name }
            .error(&file, None)
            .into());
    };
    Source::from_bytes(found.name, found.text.as_bytes().to_vec())
}
