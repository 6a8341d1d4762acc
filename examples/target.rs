//! What must the scale read? `cargo run --release --example target` in the project's folder.
#![allow(clippy::print_stdout)] // an example prints

use partywall::answer::{self, RunOptions};
use partywall::{climate, scenario};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let hive = std::fs::read_to_string("scenarios/single.toml")?;
    let weather = std::fs::read("climate-samples/champion-ne_daily_1982-2018.csv")?;
    let stand = scenario::parse(&hive, "single.toml", None)?;
    let record = climate::from_bytes("champion.csv", weather)?;
    let answer = answer::run(&stand, record, &RunOptions::default(), &())?;
    for colony in &answer.result.colonies {
        if let Some(target) = &colony.target {
            println!("{}: {:.1} kg", colony.stack, target.gross);
        }
    }
    Ok(())
}
