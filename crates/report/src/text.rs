//! A run as a keeper reads it in a kitchen: the number asked for first, whole numbers, counts of winters.

use super::colony_text;
use super::words::{Units, para};
use crate::network::NetworkWords;
use crate::warnings;
use partywall_core::answer::run::RunResult;
use partywall_core::ensemble::winters::Basis;
use std::fmt::Write;

/// What every answer begins with: what kills more colonies than cold and hunger, and how many are lost in a usual winter
/// (keepers' surveys: 16.7 in 100 in 35 countries 2018/19, 9 to 34 in the United Kingdom over twelve years, 10 to 38 by province in
/// Canada 2014/15; one club's five-frame hives 60).
pub const FIRST: [&str; 2] = [
    "Count mites first: a warm, heavy hive with many mites usually dies. Here are heat and stores only.",
    "In a usual winter keepers lose one to three colonies in ten, and more of the small ones.",
];

/// The line about mites.
pub const MITES: &str = FIRST[0];

/// The whole answer as text.
#[must_use]
pub fn run(r: &RunResult, units: Units) -> String {
    let mut t = String::new();
    let _ = writeln!(t, "{}", r.title);
    for line in FIRST {
        para(&mut t, "", line);
    }
    for w in &r.warnings {
        para(&mut t, "", &format!("Mind: {}", warnings::words(w, units)));
    }
    let _ = writeln!(t);
    for c in &r.colonies {
        colony_text::colony(&mut t, r, c, units);
        let _ = writeln!(t);
    }
    let _ = writeln!(t, "What this rests on");
    for line in basis(r, units) {
        para(&mut t, "  ", &line);
    }
    let _ = writeln!(t);
    let _ = writeln!(t, "Cautions");
    for c in CAUTIONS {
        para(&mut t, "  ", c);
    }
    t
}

/// What the answer rests on, one paragraph each.
pub(super) fn basis(r: &RunResult, units: Units) -> Vec<String> {
    let n = r.climate.winters.len();
    let mut lines = vec![format!(
        "Weather: {}, {} ({}).",
        match (r.climate.winters.first(), r.climate.winters.last()) {
            _ if r.climate.basis != Basis::Real => format!("{n} winters made up"),
            (Some(one), _) if n == 1 => format!("the winter {one}"),
            (Some(first), Some(last)) => format!(
                "{n} of {} whole winters, {first} to {last}",
                r.climate.available
            ),
            _ => "no winters".to_owned(),
        },
        r.climate.station,
        r.climate.source
    )];
    if n < r.climate.available && r.climate.basis == Basis::Real {
        lines.push(
            "Chosen to stand for all of them, from mild to cold; --winters all runs them all."
                .to_owned(),
        );
    }
    lines.extend(r.climate.notes.iter().cloned());
    lines.push(format!(
        "Heat: the hives cut into {} pieces ({} grid){}.",
        r.network.unknowns,
        r.grid,
        match (r.network.kind, r.grid) {
            ("reduced", _) => format!(
                ", followed by their {} slowest patterns of temperature",
                r.solver.unknowns
            ),
            (_, "coarse") => ", with quick steps".to_owned(),
            _ => String::new(),
        },
    ));
    lines.extend(r.network.checked(units));
    lines.extend(
        [
            "Not counted: nectar before first dependable nectar, robbing, damp and disease. The cluster is taken for one sphere that does not split.",
            "Only winters differ here. Colonies that look alike eat up to twice or half as much: your scale goes first.",
        ]
        .map(str::to_owned),
    );
    lines
}

/// Fixed lines every answer carries.
pub const CAUTIONS: [&str; 5] = [
    "Estimates from rough counts: your scale, local club, inspector or extension office go first where they differ, and so does the law.",
    "Do not open or take hives apart in the cold to get better inputs. Do not unpair in mid-winter.",
    "A full deep can be 40 kg (88 lb), a two-box hive 60 kg (132 lb): tilt, do not lift; two people; mind ice; strap against wind.",
    "Feed white sugar only, no honey of unknown origin, no syrup in frost.",
    "No figure here is a chance of survival.",
];
