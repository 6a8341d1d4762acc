//! What must each scale read? `cargo run --release --example target -- scenarios/single.toml climate-samples/champion-ne_daily_1982-2018.csv`

use partywall::answer::{self, RunOptions};
use partywall::{climate, scenario};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let [hive, weather] = [1, 2].map(|i| std::env::args().nth(i).ok_or("a scenario and a weather file"));
    let (hive, weather) = (hive?, weather?);
    let stand = scenario::parse(&std::fs::read_to_string(&hive)?, &hive, None)?;
    let record = climate::from_bytes(&weather, std::fs::read(&weather)?)?;
    let answer = answer::run(&stand, record, &RunOptions::default(), &())?;
    for colony in &answer.result.colonies {
        match colony.advice.as_ref().and_then(|a| a.reading.as_ref()) {
            Some(r) => println!("{}: {:.1} kg, give or take {:.1}", colony.stack, r.gross, r.error),
            None => println!("{}: five winters at least are needed", colony.stack),
        }
    }
    Ok(())
}
