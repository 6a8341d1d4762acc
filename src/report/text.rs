//! A run as a keeper reads it in a kitchen: the number asked for first, whole numbers, counts of winters.

use super::result::{ColonyResult, Pairing, RunResult};
use crate::decision::stores::Target;
use crate::ensemble::levels::Method;
use crate::ensemble::winters::Basis;
use crate::season::outcome::{Moment, Starved};
use std::fmt::Write;

/// Kilograms in a pound, by definition of the pound.
const KG_PER_LB: f64 = 0.453_592_37;
/// Litres in a US gallon, by definition.
const LITRES_PER_US_GAL: f64 = 3.785_411_784;

pub(super) fn kg_lb(kg: f64) -> String {
    format!("{:.0} kg ({:.0} lb)", kg, kg / KG_PER_LB)
}

pub(super) fn celsius(c: f64) -> String {
    let sign = |v: f64| if v.round() == 0.0 { 0.0 } else { v.round() };
    format!("{} C ({} F)", sign(c), sign(c * 1.8 + 32.0))
}

fn kelvin(k: f64) -> String {
    format!("{:.0} C ({:.0} F)", k, k * 1.8)
}

/// The whole answer as text.
#[must_use]
pub fn run(r: &RunResult) -> String {
    let mut t = String::new();
    let _ = writeln!(t, "{}", r.title);
    let _ = writeln!(t, "{MITES}");
    let _ = writeln!(t);
    for c in &r.colonies {
        colony(&mut t, r, c);
        let _ = writeln!(t);
    }
    let _ = writeln!(t, "What this rests on");
    for line in basis(r) {
        para(&mut t, "  ", &line);
    }
    let _ = writeln!(t);
    let _ = writeln!(t, "Cautions");
    for c in CAUTIONS {
        para(&mut t, "  ", c);
    }
    t
}

/// The first line of every answer.
pub const MITES: &str =
    "Heat and stores only. A warm, heavy hive with many mites usually dies: count mites first.";

/// Widest line, characters.
const WIDTH: usize = 100;

/// Writes a paragraph with its first line behind `indent` and the rest two further in, no line over [`WIDTH`].
fn para(t: &mut String, indent: &str, text: &str) {
    let mut line = indent.to_owned();
    let mut empty = true;
    for word in text.split_whitespace() {
        if !empty && line.chars().count() + 1 + word.chars().count() > WIDTH {
            let _ = writeln!(t, "{line}");
            line = format!("{indent}  ");
            empty = true;
        }
        if !empty {
            line.push(' ');
        }
        line.push_str(word);
        empty = false;
    }
    let _ = writeln!(t, "{line}");
}

/// What the answer rests on, one paragraph each.
pub(super) fn basis(r: &RunResult) -> Vec<String> {
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
    if let Some(c) = &r.network.check {
        lines.push(format!(
            "Checked against every piece over {} days of {}: the air around a cluster within {:.2} C ({:.3} C as a rule), \
             honey eaten within {:.2} in 100, the weakest moment within {:.1} C{}.",
            c.hours / 24,
            c.winter,
            c.around_k,
            c.around_rms_k,
            100.0 * c.eaten,
            c.heat_in_hand_k,
            if r.network.fell_back {
                "; that was too far off, so all winters were gone over with every piece"
            } else {
                ""
            }
        ));
    }
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
    "A full deep can be 40 kg (90 lb), a two-box hive 60 kg (130 lb): tilt, do not lift; two people; mind ice; strap against wind.",
    "Feed white sugar only, no honey of unknown origin, no syrup in frost.",
    "No figure here is a chance of survival.",
];

fn colony(t: &mut String, r: &RunResult, c: &ColonyResult) {
    let n = c.winters.len();
    let name = c.stack.to_uppercase();
    if 2 * c.too_cold > n {
        let _ = writeln!(
            t,
            "{name}: too small for these winters, whatever its stores"
        );
        para(
            t,
            "  ",
            &format!(
                "In {} of {n} winters the outermost bees would have sat in chill coma for more than {:.0} hours, which kills. \
                 No weight on the scale helps: combine it in autumn with a colony that has been seen to be healthy, or give it more bees.",
                c.too_cold, c.coma_lethal_h
            ),
        );
        weakest(t, c);
        return;
    }
    match &c.target {
        Some(g) => target(t, r, c, g),
        None => {
            let few = if n == 1 {
                "one winter is".to_owned()
            } else {
                format!("{n} winters are")
            };
            let _ = writeln!(
                t,
                "{name}: {few} too few for a target (five at least). Now {} of stores; eaten to {}:",
                kg_lb(c.stores),
                r.first_nectar
            );
            for w in &c.winters {
                let out = w.starved.map_or_else(String::new, |s| {
                    format!(
                        ", but it would have starved on {}{}",
                        s.date.strftime("%-d %b"),
                        beside(&s)
                    )
                });
                let _ = writeln!(t, "  {}: {}{out}", w.winter, kg_lb(w.eaten));
            }
        }
    }
    if c.too_cold > 0 {
        let _ = writeln!(
            t,
            "  In {} of {n} winters the cold alone would have killed it: hours in chill coma up to {:.0}, about {:.0} kill",
            c.too_cold, c.weakest.chilled_hours, c.coma_lethal_h
        );
    }
    weakest(t, c);
    if let Some(p) = &c.pairing {
        para(t, "  ", &pairing(p, n));
    }
}

fn target(t: &mut String, r: &RunResult, c: &ColonyResult, g: &Target) {
    let n = c.winters.len();
    let _ = writeln!(
        t,
        "{}: the scale must read {} on {}{}",
        c.stack.to_uppercase(),
        kg_lb(g.gross),
        r.start,
        lifts(c, g)
    );
    let _ = writeln!(t, "  {}", standing(c, g));
    para(
        t,
        "  ",
        &format!(
            "Stores needed {}: eaten in a poor winter ({}) {}, kept in reserve {}",
            kg_lb(g.stores),
            poor_winter(r, g),
            kg_lb(g.need_poor),
            kg_lb(g.reserve)
        ),
    );
    let fed: f64 = c.winters.iter().map(|w| w.fed_to_brood).sum::<f64>() / n.max(1) as f64;
    let _ = writeln!(
        t,
        "  Eaten in a middling winter {}, of which {} fed to brood, mostly in spring",
        kg_lb(g.need_middling),
        kg_lb(fed)
    );
    let _ = writeln!(
        t,
        "  On the scale: empty hive {}, bees {}, pollen {}, stores {}",
        kg_lb(c.tare),
        kg_lb(c.bees),
        kg_lb(c.pollen),
        kg_lb(g.stores)
    );
    if let Some(club) = c.club_stores {
        para(t, "  ", &beside_club(g, club));
    }
    if g.ran_out == 0 {
        let _ = writeln!(
            t,
            "  As it stands, the bees would have reached food to {} in all {n} winters",
            r.first_nectar
        );
    } else {
        para(t, "  ", &starving(r, c, g));
    }
    let tare = if c.tare_from_parts {
        "added up from parts; weigh your own empty set to halve it"
    } else {
        "your own weighing"
    };
    let _ = writeln!(
        t,
        "  Give or take {} for the tare ({tare})",
        kg_lb(g.tare_error)
    );
}

/// In how many winters the colony starved as it stands, and how.
pub(super) fn starving(r: &RunResult, c: &ColonyResult, g: &Target) -> String {
    let n = c.winters.len();
    let beside: Vec<f64> = c
        .winters
        .iter()
        .filter_map(|w| w.starved?.beside_honey)
        .collect();
    let first = g.earliest_out.map_or_else(String::new, |d| {
        format!(", the earliest on {}", d.strftime("%-d %b"))
    });
    let how = match beside.len() {
        0 => String::new(),
        k => format!(
            "; in {k} of them with honey in the hive that they could not reach in the cold, up to {}. \
             More weight does not cure that: while it is warm, hang full frames beside and above the cluster",
            kg_lb(beside.iter().copied().fold(0.0, f64::max))
        ),
    };
    format!(
        "As it stands, the bees would have starved before {} in {} of {n} winters{first}{how}",
        r.first_nectar, g.ran_out
    )
}

/// Honey beside which a colony starved, if it did.
fn beside(s: &Starved) -> String {
    s.beside_honey.map_or_else(String::new, |kg| {
        format!(" beside {} that it could not reach", kg_lb(kg))
    })
}

/// The weakest moment, why it is that one, and the coldest hour.
fn weakest(t: &mut String, c: &ColonyResult) {
    let m = &c.weakest.moment;
    let why = if m.brood {
        ", with brood to keep warm"
    } else {
        ""
    };
    let _ = writeln!(
        t,
        "  Weakest moment: {}, {} outside, {} around the cluster{why}",
        m.time.strftime("%-d %b %Y"),
        celsius(m.outside_c),
        celsius(m.around_c)
    );
    let _ = writeln!(t, "    {}", in_hand(m));
    let out = c.winters.iter().find(|w| w.winter == c.weakest.winter);
    if let Some(day) = out.and_then(|w| w.starved).map(|s| s.date)
        && day < m.time.date()
    {
        let _ = writeln!(
            t,
            "    that is as if it had been fed: that winter it starved on {}",
            day.strftime("%-d %b")
        );
    }
    let cold = &c.coldest;
    if cold.time.date() != m.time.date() {
        let _ = writeln!(
            t,
            "  Coldest hour: {}, {} outside",
            cold.time.strftime("%-d %b %Y"),
            celsius(cold.outside_c)
        );
        let _ = writeln!(t, "    {}", in_hand(cold));
    }
}

/// Margins above this are told as "more than": nobody has seen a cluster in air so cold, K.
const WIDE_MARGIN: f64 = 30.0;

/// The margins of an hour, by heat alone: damp, draughts through leaks, mites and disease are not in it.
pub(super) fn in_hand(m: &Moment) -> String {
    let coma = format!(
        "outermost bees {} {} chill coma",
        kelvin(m.mantle_margin.abs()),
        if m.mantle_margin < 0.0 {
            "below"
        } else {
            "above"
        }
    );
    if m.heat_in_hand > WIDE_MARGIN {
        format!(
            "fed and dry, they could have kept warm in air more than {} colder; {coma}",
            kelvin(WIDE_MARGIN)
        )
    } else if m.heat_in_hand > 0.5 {
        format!(
            "fed and dry, they could have kept warm in air {} colder; {coma}",
            kelvin(m.heat_in_hand)
        )
    } else {
        format!("the bees were making all the heat they can; {coma}")
    }
}

/// Less than this is no difference a scale could show, kg (a choice: half a pound, finer than a luggage scale reads).
const NO_DIFFERENCE: f64 = 0.25;

pub(super) fn pairing(p: &Pairing, n: usize) -> String {
    let honey = if p.saved_middling.abs() < NO_DIFFERENCE {
        "no difference in honey that a scale would show".to_owned()
    } else {
        let (amount, word) = (
            p.saved_middling.abs(),
            if p.saved_middling > 0.0 {
                "less"
            } else {
                "more"
            },
        );
        format!(
            "{amount:.1} kg ({:.1} lb, {:.0} in 100) {word} honey in a middling winter, less in {} of {n} winters",
            amount / KG_PER_LB,
            100.0 * p.saved_share.abs(),
            p.winters_better
        )
    };
    let hand = p.heat_in_hand_gained;
    let margin = if hand.abs() < 0.5 {
        "the weakest moment is as safe either way".to_owned()
    } else {
        format!(
            "at the weakest moment it could stand {} more cold {}",
            kelvin(hand.abs()),
            if hand > 0.0 {
                "butted together"
            } else {
                "apart"
            }
        )
    };
    format!("Butted together against apart: {honey}; {margin}")
}

/// The local rule beside our figure, and which of the two to go by.
fn beside_club(g: &Target, club: f64) -> String {
    let said = format!("Your club's figure is {} of stores", kg_lb(club));
    if club - g.stores < g.tare_error {
        return said;
    }
    format!(
        "{said}, {} more than ours: ours leaves out honey the bees cannot reach, \
         robbing, and colonies that eat more than most. Until you know your own hives, go by the club's",
        kg_lb(club - g.stores)
    )
}

pub(super) fn lifts(c: &ColonyResult, g: &Target) -> String {
    match c.lift {
        "front and back" => format!(
            ", front and back together (about {} each)",
            kg_lb(g.per_lift)
        ),
        "one side" => format!(
            ", that is {} on one side (doubling one side is rough: lift both)",
            kg_lb(g.per_lift)
        ),
        _ => String::new(),
    }
}

pub(super) fn standing(c: &ColonyResult, g: &Target) -> String {
    // From the rounded readings, so that the sum on the page is right.
    let off = |unit: f64| (c.gross / unit).round() - (g.gross / unit).round();
    let (kg, lb) = (off(1.0), off(KG_PER_LB));
    let both = format!("{:.0} kg ({:.0} lb)", kg.abs(), lb.abs());
    let now = kg_lb(c.gross);
    if g.spare.abs() < g.tare_error {
        let side = if g.spare < 0.0 {
            "just short"
        } else {
            "just enough"
        };
        format!("Now {now}: {side}, by less than the tare may be wrong")
    } else if g.spare < 0.0 {
        format!(
            "Now {now}: short {both}, about {:.0} litres ({:.1} US gal) of 2:1 syrup",
            g.syrup_litres,
            g.syrup_litres / LITRES_PER_US_GAL
        )
    } else {
        format!("Now {now}: {both} to spare")
    }
}

/// How the level was come by: counted, or reckoned from the winters' spread when they are too few to count.
pub(super) fn poor_winter(r: &RunResult, g: &Target) -> String {
    match g.level.method {
        Method::Rank => in_ten(r.level),
        Method::Spread => format!(
            "{}; {} winters are too few to count that, so it is reckoned from how much they differ",
            in_ten(r.level),
            r.climate.winters.len()
        ),
    }
}

fn in_ten(level: f64) -> String {
    let ten = level * 10.0;
    if (ten - ten.round()).abs() < 1e-9 {
        format!("enough for {ten:.0} winters in 10")
    } else {
        format!("enough for {:.0} winters in 100", level * 100.0)
    }
}
