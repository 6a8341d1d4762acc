//! What a weighing in winter tells, as data and as text.

use super::words::{Units, day, para};
use crate::decision::feeding::Feed;
use crate::decision::update::{Forecast, Range};
use crate::ensemble::winters::Basis;
use crate::scenario::log::{Weighing, lift_text};
use jiff::civil::Date;
use serde::Serialize;
use std::fmt::Write;

/// Version of the JSON's shape.
pub const SCHEMA: &str = "partywall-update/1";

/// Everything an update found.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct UpdateResult {
    /// Shape of this document.
    pub schema: &'static str,
    /// Program version.
    pub version: &'static str,
    /// Title of the scenario.
    pub title: String,
    /// Weather record.
    pub station: String,
    /// Winters of the record, or made up from it, that were drawn from.
    pub winters: usize,
    /// Where they come from.
    pub basis: Basis,
    /// What was made of the record's winters, in words; nothing when they are as they were.
    pub weather_notes: Vec<String>,
    /// Runs the weighings are held against.
    pub runs: usize,
    /// Start of the season in the winter of the weighings.
    pub start: Date,
    /// First dependable nectar after it.
    pub first_nectar: Date,
    /// One per hive that was weighed.
    pub hives: Vec<HiveUpdate>,
    /// Weighings of earlier winters in the log, not used.
    pub of_earlier_winters: usize,
}

/// One hive.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HiveUpdate {
    /// Its name.
    pub hive: String,
    /// The weighings, oldest first.
    pub weighings: Vec<Compared>,
    /// Day on which stores run out as expected before it was weighed in winter; `None` for not before first nectar.
    pub before: Range<Option<Date>>,
    /// The same with the weighings; `None` when nothing fits them.
    pub after: Option<Range<Option<Date>>>,
    /// The reckoning with the weighings.
    pub forecast: Option<Forecast>,
    /// What to feed.
    pub feed: Option<Feed>,
    /// By when; the day of the last weighing for "now".
    pub feed_by: Option<Date>,
    /// What to mind, in words.
    pub notes: Vec<Note>,
}

/// A weighing beside what was expected of it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Compared {
    /// The weighing.
    #[serde(flatten)]
    pub weighing: Weighing,
    /// What the whole hive was expected to weigh, kg.
    pub expected: Option<Range<f64>>,
    /// How far off the reading may be, kg.
    pub error: f64,
}

/// What a keeper should mind about weighings.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case", tag = "note")]
pub enum Note {
    /// No run fits.
    NothingFits,
    /// Hardly any run fits: so many do.
    FewFit {
        /// How many the weights come to.
        runs: f64,
    },
    /// A reading far from what was expected, kg (more is positive).
    FarOff {
        /// The day.
        date: Date,
        /// By so much, kg.
        by: f64,
    },
    /// Heavier than at the weighing before, kg.
    Gained {
        /// The day.
        date: Date,
        /// By so much, kg.
        by: f64,
    },
    /// One side doubled; `butted` when the stack stands in a pair.
    OneSide {
        /// Whether it stands against another.
        butted: bool,
    },
    /// Weighed in the cold months.
    WetOrIcy,
    /// The weighings speak for another tare, kg more than given.
    Tare {
        /// By so much, kg.
        by: f64,
    },
    /// Share of cases in which the bees starve beside honey they cannot reach.
    Reach {
        /// The share.
        share: f64,
    },
}

/// The update as text.
#[must_use]
pub fn text(r: &UpdateResult, u: Units) -> String {
    let mut t = String::new();
    let _ = writeln!(t, "{}", r.title);
    para(
        &mut t,
        "",
        "Stores only: a hive that weighs enough can still die of mites, a lost queen or damp.",
    );
    for h in &r.hives {
        let _ = writeln!(t);
        hive(&mut t, r, h, u);
    }
    let _ = writeln!(t, "\nWhat this rests on");
    para(
        &mut t,
        "  ",
        &format!(
            "{} runs of winters like the {}{} of {}, each with its own count of bees (30 in 100 either way) and its own eaters within what is \
             known of bees; those that fit the weighings best count most. A hive that was weighed is taken to live.",
            r.runs,
            r.winters,
            if r.basis == Basis::Real {
                ""
            } else {
                " made up from the record"
            },
            r.station
        ),
    );
    for note in &r.weather_notes {
        para(&mut t, "  ", note);
    }
    if r.of_earlier_winters > 0 {
        para(
            &mut t,
            "  ",
            &format!(
                "{} weighings of earlier winters in the log are not used.",
                r.of_earlier_winters
            ),
        );
    }
    for line in [
        "Two weighings a few weeks apart tell more than one: the error of the tare is in both alike.",
        "Weigh at the same hour, dry, snow and ice off the lid. Do not open the hive for it.",
        "No figure here is a chance of survival.",
    ] {
        para(&mut t, "  ", line);
    }
    t
}

fn hive(t: &mut String, r: &UpdateResult, h: &HiveUpdate, u: Units) {
    let name = h.hive.to_uppercase();
    match (&h.after, &h.forecast) {
        (Some(after), Some(f)) => {
            para(
                t,
                "",
                &format!("{name}: {}", runs_out(after, r.first_nectar)),
            );
            para(t, "  ", &advice(h, f, u));
            para(
                t,
                "  ",
                &format!(
                    "Stores on {} about {}; still to be eaten by {} about {}",
                    h.weighings
                        .last()
                        .map_or_else(String::new, |w| day(w.weighing.date)),
                    u.mass_range(f.stores_now.low, f.stores_now.high),
                    day(r.first_nectar),
                    u.mass_range(f.still_to_eat.low, f.still_to_eat.high)
                ),
            );
            let before = runs_out(&h.before, r.first_nectar);
            para(
                t,
                "  ",
                &format!("Before you weighed it in winter: {before}"),
            );
        }
        _ => para(
            t,
            "",
            &format!("{name}: none of the runs fits what you read: see the notes, and weigh again"),
        ),
    }
    for w in &h.weighings {
        let expected = w.expected.map_or_else(String::new, |e| {
            format!("; {} was expected", u.mass_range(e.low, e.high))
        });
        para(
            t,
            "  ",
            &format!(
                "{}, {}: {}, give or take {}{expected}",
                w.weighing.date.strftime("%-d %b %Y"),
                lift_text(w.weighing.lift),
                u.mass(w.weighing.gross),
                u.mass(w.error)
            ),
        );
    }
    for n in &h.notes {
        para(t, "  ", &format!("Mind: {}", note(n, u)));
    }
}

/// "stores run out between 12 Mar and 9 Apr (8 times in 10), about 25 Mar".
fn runs_out(out: &Range<Option<Date>>, nectar: Date) -> String {
    match (out.low, out.middle, out.high) {
        (None, ..) => format!(
            "stores last to first nectar ({}) in at least 9 cases of 10",
            day(nectar)
        ),
        (Some(low), Some(middle), Some(high)) => format!(
            "stores run out between {} and {} in 8 cases of 10, about {}",
            day(low),
            day(high),
            day(middle)
        ),
        (Some(low), middle, None) => format!(
            "stores run out on {} at the earliest in 9 cases of 10, {}",
            day(low),
            middle.map_or_else(
                || format!("but last to first nectar ({}) in most", day(nectar)),
                |m| format!(
                    "about {} in the middle, or not before first nectar ({})",
                    day(m),
                    day(nectar)
                )
            )
        ),
        (Some(low), None, Some(_)) => format!("stores run out from {} on", day(low)),
    }
}

/// A share as cases of ten, never all or none of them unless it is so.
fn cases(share: f64) -> String {
    match (10.0 * share).round() {
        10.0 if share < 1.0 => "more than 9".to_owned(),
        0.0 if share > 0.0 => "fewer than 1".to_owned(),
        n => format!("{n:.0}"),
    }
}

/// Usual lots of winter feed, kg (blocks and boards: common practice, no source).
const SMALLEST_LOT: f64 = 2.0;
/// As above.
const LARGEST_LOT: f64 = 5.0;

fn advice(h: &HiveUpdate, f: &Forecast, u: Units) -> String {
    let weighed = h.weighings.last().map(|w| w.weighing.date);
    let Some((feed, by)) = h.feed.zip(h.feed_by) else {
        return "No feeding needed by this weighing. Heft it again in two to three weeks"
            .to_owned();
    };
    if h.after.is_some_and(|a| a.low.is_none()) {
        return format!(
            "No feeding needed to get there. To keep your reserve as well: {} of sugar by {}",
            u.mass(feed.sugar),
            day(by)
        );
    }
    let when = if Some(by) <= weighed {
        "Feed now".to_owned()
    } else {
        format!("Feed by {}", day(by))
    };
    let lots = if feed.sugar > LARGEST_LOT {
        format!(
            "up to {} of sugar in all by first nectar, {} at a time",
            u.mass(feed.sugar),
            u.mass_range(SMALLEST_LOT, LARGEST_LOT)
        )
    } else {
        format!("{} of sugar", u.mass(feed.sugar))
    };
    format!(
        "{when}: {lots}, dry or as fondant, laid on the frames against the bees; syrup only once days are warm again. Left alone it would run \
         out before first nectar in {} of 10 cases",
        cases(f.runs_out)
    )
}

fn note(n: &Note, u: Units) -> String {
    match n {
        Note::NothingFits => "no run comes near these readings. Is it the right hive, the right unit, both ends lifted, the tare right?".to_owned(),
        Note::FewFit { runs } => format!(
            "only about {runs:.0} runs fit; try --runs 2000, and look at scale and tare"
        ),
        Note::FarOff { date, by } => format!(
            "on {} it read {} {} than anything expected. Look for {}",
            day(*date),
            u.mass(by.abs()),
            if *by > 0.0 { "more" } else { "less" },
            if *by > 0.0 {
                "snow, ice on the lid, wet wood, a wrong tare, or feed that the scenario does not know of"
            } else {
                "a lift that was not clear, a wrong tare, robbing, or honey taken that the scenario does not know of"
            }
        ),
        Note::Gained { date, by } => format!(
            "on {} it was {} heavier than before: bees gain nothing in winter, so wood was wet, the lid iced, or something was fed",
            day(*date),
            u.mass(*by)
        ),
        Note::OneSide { butted: true } => "one side doubled reads too heavy in a pair late in winter, since bees eat from the centre wall outwards: \
             lift front and back"
            .to_owned(),
        Note::OneSide { butted: false } => "one side doubled is rough: lift front and back and add".to_owned(),
        Note::WetOrIcy => format!(
            "wet or snowy wood and ice on the lid add {}, frost inside {} and drains on the first mild day: do not take one drop for eating",
            u.mass_range(1.0, 3.0),
            u.mass_range(1.0, 2.0)
        ),
        Note::Tare { by } => format!(
            "the readings would fit better with an empty hive {} {} than given: weigh your own empty set in spring",
            u.mass(by.abs()),
            if *by > 0.0 { "heavier" } else { "lighter" }
        ),
        Note::Reach { share } => format!(
            "in {} of 10 cases the bees starve beside honey they cannot reach in the cold, which no scale shows: on a calm day above {} look \
             under the lid, and lay sugar over them if they sit at the top",
            cases(*share),
            u.temperature(7.0)
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    /// Catches a certainty that is none, and a date told for a hive whose stores last.
    #[test]
    fn shares_and_dates_are_not_overstated() {
        for (share, words) in [
            (0.0, "0"),
            (0.03, "fewer than 1"),
            (0.26, "3"),
            (0.97, "more than 9"),
            (1.0, "10"),
        ] {
            assert_eq!(cases(share), words);
        }
        let nectar = date(2027, 5, 19);
        let told = |low, middle, high| {
            let day = |d: Option<(i8, i8)>| d.map(|(m, d)| date(2027, m, d));
            let out = Range {
                low: day(low),
                middle: day(middle),
                high: day(high),
            };
            runs_out(&out, nectar)
        };
        let lasts = told(None, None, None);
        assert!(lasts.contains("last to first nectar (19 May)"), "{lasts}");
        let early = told(Some((3, 12)), Some((3, 25)), Some((4, 9)));
        assert_eq!(
            early,
            "stores run out between 12 Mar and 9 Apr in 8 cases of 10, about 25 Mar"
        );
        let open = told(Some((4, 26)), None, None);
        assert!(
            open.contains("26 Apr") && open.contains("in most"),
            "{open}"
        );
    }
}
