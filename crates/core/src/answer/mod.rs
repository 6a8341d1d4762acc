//! The calls that give an answer: [`run()`], [`yard`], [`compare()`], [`rank()`] and [`update()`].
//!
//! Each takes what was read from a scenario text and from a weather record, plain options and a [`Progress`], and gives a result that can be
//! serialised. Nothing here prints, opens a file or looks at a clock; the same input gives the same result on any number of threads.
//!
//! ```
//! use partywall_core::answer::{self, RunOptions};
//! use partywall_core::{climate, scenario};
//!
//! let stand = scenario::parse(scenario::built_in_text("single").unwrap(), "my-hive.toml", None)?;
//! # let weather = climate::builtin::text("champion").unwrap().as_bytes().to_vec();
//! // `weather`: the bytes of a weather file in any of the formats of [`climate`].
//! let record = climate::from_bytes("weather.csv", weather)?;
//! # let quick = answer::WinterChoice { count: Some(5), ..Default::default() };
//! # let quick = RunOptions { winters: quick, heat: answer::HeatOptions { check: None, ..answer::HeatOptions::COARSE }, ..Default::default() };
//! # let options = quick;
//! # /*
//! let options = RunOptions::default();
//! # */
//! let answer = answer::run(&stand, record, &options, &())?;
//! for colony in &answer.result.colonies {
//!     let reading = colony.advice.as_ref().and_then(|a| a.reading.as_ref());
//!     println!("{}: the scale should read {:.1} kg", colony.stack, reading.map_or(0.0, |r| r.gross));
//! }
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

pub mod compare;
mod comparison;
mod error;
mod full_network_check;
pub mod head;
pub mod heater;
pub mod network;
mod options;
mod progress;
pub mod rank;
pub mod run;
pub mod update;
pub mod weather;
mod winters;

pub use crate::ensemble::CheckWindow;
pub use crate::ensemble::winters::Asked as WinterChoice;
pub use compare::{CompareResult, Entry, compare};
pub use error::AnswerError;
pub use heater::{HeaterResult, heated_boxes};
pub use options::{ComparisonOptions, HeatOptions, RankOptions, RunOptions, UpdateOptions};
pub use progress::{Notice, Progress, Stage};
pub use rank::{RankResult, rank};
pub use run::{RunAnswer, RunResult, run, yard};
pub use update::{UpdateAnswer, update};
