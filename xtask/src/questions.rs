//! The questions keepers ask most, each with its command and the demo's answer.

use partywall_core::answer::compare::{CompareResult, Row};
use partywall_core::answer::rank::{RankResult, RankedColony};
use partywall_core::answer::run::RunResult;
use partywall_core::answer::{self, RankOptions, RunOptions};
use partywall_core::climate::{self, raw::PartialStation};
use partywall_core::decision::changes::Group;
use partywall_core::decision::gains::Gain;
use partywall_core::decision::margins::FRAMES_MARGINAL;
use partywall_core::decision::result::ColonyResult;
use partywall_core::scenario;
use partywall_core::units::spoken::Units;
use std::error::Error;
use std::fmt::Write;

/// The variant of `larch-twelve` that gives the weak colony one box.
const ONE_BOX: &str = "g: right in a ten-frame deep";
const UNITS: Units = Units::Both;
/// What is told of one colony, if anything.
type Words = fn(&ColonyResult) -> Option<String>;

/// A row a question.
pub(crate) fn table(twelve: &CompareResult) -> Result<String, Box<dyn Error>> {
    let source = scenario::built_in_source("larch-flats")?;
    let stand = source.family()?.base;
    let record = || climate::built_in("champion", &PartialStation::default());
    let run = answer::run(&stand, record()?, &RunOptions::default(), &())?.result;
    let rank = answer::rank(&source, &stand, record()?, &RankOptions::default(), &())?;
    let from_run: [(&str, Words); 5] = [
        ("How many pounds of honey do I leave?", stores),
        ("Is my hive heavy enough, what should the scale say?", scale),
        ("I counted frames, not weight: enough?", frames),
        ("How much syrup do I still feed?", syrup),
        ("When is it too late for syrup?", last_day),
    ];
    let mut t = String::from("| question | command | answer for the demo |\n|---|---|---|\n");
    let mut row = |question: &str, command: &str, answer: String| {
        let _ = writeln!(t, "| {question} | `partywall {command}` | {answer} |");
    };
    for (question, answer) in from_run {
        row(question, "run", each(&run, answer));
    }
    row(
        "I missed the date and the hive is light, now what?",
        "update",
        "sugar on the frames, how much and by when: the last example below".to_owned(),
    );
    row("Is my cluster big enough?", "run", each(&run, size));
    row(
        "Should I combine the weak one with the strong one?",
        "rank",
        combining(&rank),
    );
    row(
        "One box or two?",
        "compare larch-twelve",
        one_box(twelve).join("; "),
    );
    row(
        "Insulate the top only, or the sides too?",
        "rank",
        foam(&rank).join("; "),
    );
    row(
        "Upper hole or sealed lid, with my lid?",
        "rank",
        upper_hole(&rank).join("; "),
    );
    row(
        "Can it starve with honey in the hive?",
        "run",
        each(&run, beside),
    );
    Ok(t)
}

fn each(run: &RunResult, words: Words) -> String {
    let told = run.colonies.iter();
    let told: Vec<String> = told
        .filter_map(|c| Some(format!("{} {}", c.stack, words(c)?)))
        .collect();
    told.join("; ")
}

fn stores(c: &ColonyResult) -> Option<String> {
    Some(UNITS.need(c.target.as_ref()?.stores))
}

fn scale(c: &ColonyResult) -> Option<String> {
    let reading = c.advice.as_ref()?.reading.as_ref()?;
    Some(format!(
        "{}, give or take {}; now {}",
        UNITS.need(reading.gross),
        UNITS.mass(reading.error),
        UNITS.mass(c.gross)
    ))
}

fn frames(c: &ColonyResult) -> Option<String> {
    let boxes = c.advice.as_ref()?.frames.iter();
    let boxes: Vec<String> = boxes
        .map(|b| format!("{} {:.1} (now {:.1})", b.pattern, b.needed, b.now))
        .collect();
    Some(format!("full frames of honey: {}", boxes.join(", ")))
}

fn syrup(c: &ColonyResult) -> Option<String> {
    Some(match c.advice.as_ref()?.feed.as_ref() {
        None => "none".to_owned(),
        Some(f) => format!("{:.0} litres", f.syrup_litres.ceil()),
    })
}

fn last_day(c: &ColonyResult) -> Option<String> {
    let last = c.advice.as_ref()?.last_feeding.as_ref()?;
    Some(format!(
        "{:.0} litres by {}",
        last.litres,
        last.date.strftime("%-d %B")
    ))
}

fn size(c: &ColonyResult) -> Option<String> {
    let margin = &c.advice.as_ref()?.margins.size;
    Some(format!(
        "{}, {:.1} deep frames of bees",
        margin.word.text(),
        margin.value
    ))
}

fn beside(c: &ColonyResult) -> Option<String> {
    let reach = &c.advice.as_ref()?.margins.reach;
    Some(format!(
        "starved beside honey in {:.0} of {} winters",
        reach.value,
        c.winters.len()
    ))
}

fn combining(rank: &RankResult) -> String {
    let weak = |c: &RankedColony| c.too_small.is_some() || c.deep_frames < FRAMES_MARGINAL;
    let ground = if rank.colonies.iter().any(weak) {
        "a colony here is too weak for the winter"
    } else {
        "no: each stands the cold alone, with five deep frames of bees or more"
    };
    let tried = rank
        .changes
        .iter()
        .filter(|c| c.change.group == Group::Bees);
    let told: Vec<String> = tried
        .filter_map(|c| {
            let whole = c.whole.as_ref()?;
            let [before, after] = whole.colonies;
            (after < before).then(|| {
                let need = kg(-whole.need.spread.middle, whole.need.close);
                format!(
                    "{}: honey the stand needs {need}, queens left {after} of {before}",
                    c.change.words
                )
            })
        })
        .collect();
    [&[ground.to_owned()], &told[..]].concat().join("; ")
}

fn one_box(twelve: &CompareResult) -> Vec<String> {
    let told = |stack: &str, r: &Row| {
        let (gain, standing) = (r.gain.as_ref()?, r.standing.as_ref()?);
        Some(format!(
            "{stack}: honey {}, starves in {} of {} winters",
            bought(gain),
            standing.starved,
            standing.winters
        ))
    };
    let right = twelve.colonies.iter().filter(|c| c.stack == "Right");
    right
        .flat_map(|c| c.rows.iter().map(move |r| (c, r)))
        .filter(|(_, r)| r.name == ONE_BOX)
        .filter_map(|(c, r)| told(&c.stack, r))
        .collect()
}

/// Drip on the bees with the upper hole and without, and what it does to the honey.
fn upper_hole(rank: &RankResult) -> Vec<String> {
    let told = rank.colonies.iter().filter_map(|c| {
        let h = c.upper_hole.as_ref()?;
        let [with, without] = h.drip_days;
        Some(format!(
            "{}: water drips on the bees on {with:.0} days of a poor winter with the hole, {without:.0} without; honey with it {}",
            c.stack,
            kg(h.honey.spread.middle, h.honey.close)
        ))
    });
    told.collect()
}

/// What the stand is without its foam.
fn foam(rank: &RankResult) -> Vec<String> {
    let without = rank.changes.iter().filter(|c| {
        matches!(c.change.group, Group::TopFoam | Group::SideFoam) && c.change.foam == Some(0.0)
    });
    without
        .map(|c| {
            let gains = rank.colonies.iter().zip(&c.gains);
            let told: Vec<String> = gains
                .filter_map(|(k, g)| Some(without_foam(k, g.as_ref()?)))
                .collect();
            format!("{}: {}", c.change.words, told.join(", "))
        })
        .collect()
}

fn without_foam(colony: &RankedColony, gain: &Gain) -> String {
    format!(
        "{} honey {}, weakest moment {:+.0} C",
        colony.stack,
        bought(gain),
        gain.margin.spread.middle
    )
}

fn bought(gain: &Gain) -> String {
    kg(gain.honey.spread.middle, gain.honey.close)
}

/// A difference of honey, with a word where it cannot be told.
fn kg(v: f64, close: bool) -> String {
    let close = if close { " (too close to call)" } else { "" };
    format!("{:+.1} kg{close}", crate::tenths(v))
}
