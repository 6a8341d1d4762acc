//! A run as a keeper reads it in a kitchen: the number asked for first, whole numbers, counts of winters.

use super::result::{ColonyResult, Pairing, RunResult};
use crate::decision::stores::Target;
use std::fmt::Write;

/// Kilograms in a pound, by definition of the pound.
const KG_PER_LB: f64 = 0.453_592_37;
/// Litres in a US gallon, by definition.
const LITRES_PER_US_GAL: f64 = 3.785_411_784;

fn kg_lb(kg: f64) -> String {
    format!("{:.0} kg ({:.0} lb)", kg, kg / KG_PER_LB)
}

fn celsius(c: f64) -> String {
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
    let n = r.climate.winters.len();
    let _ = writeln!(t, "{}", r.title);
    let _ = writeln!(
        t,
        "Heat and stores only. A warm, heavy hive with many mites usually dies: count mites first."
    );
    let _ = writeln!(t);
    for c in &r.colonies {
        colony(&mut t, r, c);
        let _ = writeln!(t);
    }
    let _ = writeln!(t, "What this rests on");
    let _ = writeln!(
        t,
        "  Weather: {} of {} whole winters, {} to {}, {} ({}).",
        n,
        r.climate.available,
        r.climate.winters.first().map_or("-", String::as_str),
        r.climate.winters.last().map_or("-", String::as_str),
        r.climate.station,
        r.climate.source
    );
    if n < r.climate.available {
        let _ = writeln!(
            t,
            "  Chosen to stand for all of them, from mild to cold, so that the answer comes within a minute; --winters all runs them all."
        );
    }
    for note in &r.climate.notes {
        let _ = writeln!(t, "  {note}");
    }
    let _ = writeln!(
        t,
        "  Hive: {} unknowns on the {} grid{}.",
        r.solver.unknowns,
        r.grid,
        if r.grid == "coarse" {
            " with quick steps; --grid normal is finer and slower"
        } else {
            ""
        }
    );
    let _ = writeln!(
        t,
        "  Solved: energy books close to {:.0e}; cluster and hive agree to {:.3} C.",
        r.solver.energy_residual, r.solver.coupling_residual
    );
    let _ = writeln!(
        t,
        "  Not counted yet: whether all honey can be reached, flights on mild days, and nectar before first dependable nectar.\n  \
         The cluster sits in the middle of its combs and creeps up; it does not gather at the centre wall.\n  \
         Only winters differ here. Colonies that look alike eat up to twice or half as much: your scale goes first."
    );
    let _ = writeln!(t);
    let _ = writeln!(t, "Cautions");
    for c in CAUTIONS {
        let _ = writeln!(t, "  {c}");
    }
    t
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
    match &c.target {
        Some(g) => {
            let _ = writeln!(
                t,
                "{}: the scale must read {} on {}{}",
                c.stack.to_uppercase(),
                kg_lb(g.gross),
                r.start,
                lifts(c, g)
            );
            let _ = writeln!(t, "  {}", standing(c, g));
            let _ = writeln!(
                t,
                "  Stores needed {}: eaten in a poor winter ({}) {}, kept in reserve {}",
                kg_lb(g.stores),
                in_ten(r.level),
                kg_lb(g.need_poor),
                kg_lb(g.reserve)
            );
            let _ = writeln!(t, "  Eaten in a middling winter {}", kg_lb(g.need_middling));
            if let Some(club) = c.club_stores {
                let _ = writeln!(t, "  {}", beside_club(g, club));
            }
            if g.ran_out == 0 {
                let _ = writeln!(
                    t,
                    "  Stores would have lasted to {} in all {n} winters",
                    r.first_nectar
                );
            } else {
                let first = g.earliest_out.map_or_else(String::new, |d| {
                    format!(", the earliest on {}", d.strftime("%-d %b"))
                });
                let _ = writeln!(
                    t,
                    "  Stores would have run out before {} in {} of {n} winters{first}",
                    r.first_nectar, g.ran_out
                );
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
        None => {
            let _ = writeln!(
                t,
                "{}: {} too few for a target (five at least). Honey eaten to {}:",
                c.stack.to_uppercase(),
                if n == 1 {
                    "one winter is".to_owned()
                } else {
                    format!("{n} winters are")
                },
                r.first_nectar
            );
            for w in &c.winters {
                let _ = writeln!(t, "  {}: {}", w.winter, kg_lb(w.eaten));
            }
        }
    }
    let m = &c.weakest.moment;
    let _ = writeln!(
        t,
        "  Weakest moment: {}, {} outside, {} around the cluster",
        m.time.strftime("%-d %b %Y"),
        celsius(m.outside_c),
        celsius(m.around_c)
    );
    if m.heat_in_hand > 0.5 {
        let _ = writeln!(
            t,
            "    the bees could have stood {} colder for long; the outermost bees {} above chill coma",
            kelvin(m.heat_in_hand),
            kelvin(m.mantle_margin)
        );
    } else {
        let _ = writeln!(
            t,
            "    the bees were making all the heat they can; the outermost bees {} from chill coma",
            kelvin(m.mantle_margin)
        );
    }
    if c.weakest.chilled_hours > 0.0 {
        let _ = writeln!(
            t,
            "    in the worst winter the outermost bees spent {:.0} hours in chill coma (about 50 kill)",
            c.weakest.chilled_hours
        );
    }
    if let Some(p) = &c.pairing {
        let _ = writeln!(t, "  {}", pairing(p, n));
    }
}

/// Less than this is no difference a scale could show, kg (a choice: half a pound, finer than a luggage scale reads).
const NO_DIFFERENCE: f64 = 0.25;

fn pairing(p: &Pairing, n: usize) -> String {
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
        "the weakest moment is the same".to_owned()
    } else {
        format!(
            "at the weakest moment it could be {} colder {}",
            kelvin(hand.abs()),
            if hand > 0.0 {
                "than apart"
            } else {
                "if they stood apart"
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
        "{said}, {} more than ours: ours leaves out honey the bees cannot reach,\n    \
         robbing, and colonies that eat more than most. Until you know your own hives, go by the club's",
        kg_lb(club - g.stores)
    )
}

fn lifts(c: &ColonyResult, g: &Target) -> String {
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

fn standing(c: &ColonyResult, g: &Target) -> String {
    if g.spare >= 0.0 {
        format!("Now {}: {} to spare", kg_lb(c.gross), kg_lb(g.spare))
    } else {
        format!(
            "Now {}: short {}, about {:.0} litres ({:.1} US gal) of 2:1 syrup",
            kg_lb(c.gross),
            kg_lb(-g.spare),
            g.syrup_litres,
            g.syrup_litres / LITRES_PER_US_GAL
        )
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
