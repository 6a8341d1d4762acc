//! What weighings tell, in words.

use super::super::words::{Units, day, sugar_over};
use crate::network::NetworkWords;
use crate::words::SyrupWords;
use partywall_core::answer::update::{Compared, HiveUpdate, Note, UpdateResult};

use jiff::civil::Date;
use partywall_core::decision::update::{Forecast, Range};
use partywall_core::ensemble::winters::Basis;
use partywall_core::scenario::log::lift_text;
use partywall_core::stand::plausible::LEANING_HELP;

/// What an update rests on, one paragraph each.
pub(super) fn basis(r: &UpdateResult, u: Units) -> Vec<String> {
    let mut lines = vec![format!(
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
    )];
    lines.extend(r.weather_notes.iter().cloned());
    lines.push(format!(
        "Heat: {} network on the {} grid.",
        r.network.kind, r.grid
    ));
    lines.extend(r.network.checked(u));
    if r.of_earlier_winters > 0 {
        lines.push(format!(
            "{} weighings of earlier winters in the log are not used.",
            r.of_earlier_winters
        ));
    }
    lines.extend(
        [
            "Two weighings a few weeks apart tell more than one: the error of the tare is in both alike.",
            "Weigh at the same hour, dry, snow and ice off the lid. Do not open the hive for it.",
        ]
        .map(str::to_owned),
    );
    lines
}

/// Told instead of an answer.
pub(super) fn does_not_fit(h: &HiveUpdate, u: Units) -> String {
    format!(
        "{}, so no date is told. {}",
        if h.notes.iter().any(|n| matches!(n, Note::FewFit { .. })) {
            "what you read hardly fits"
        } else {
            "what you read does not fit"
        },
        strange(h, u)
    )
}

/// Stores on the day of the last weighing, and what is still to be eaten.
pub(super) fn stores_words(r: &UpdateResult, h: &HiveUpdate, f: &Forecast, u: Units) -> String {
    format!(
        "Stores on {} about {}; still to be eaten by {} about {}",
        h.weighings
            .last()
            .map_or_else(String::new, |w| day(w.weighing.date)),
        u.mass_range(f.stores_now.low, f.stores_now.high),
        day(r.first_nectar),
        u.mass_range(f.still_to_eat.low, f.still_to_eat.high)
    )
}

/// A weighing beside what was expected of it.
pub(super) fn weighing_words(w: &Compared, u: Units) -> String {
    let expected = w.expected.map_or_else(String::new, |e| {
        format!("; {} was expected", u.mass_range(e.low, e.high))
    });
    format!(
        "{}, {}: {}, give or take {}{expected}",
        w.weighing.date.strftime("%-d %b %Y"),
        lift_text(w.weighing.lift),
        u.mass(w.weighing.gross),
        u.mass(w.error)
    )
}

/// Which reading to look at, and what to do meanwhile.
fn strange(h: &HiveUpdate, u: Units) -> String {
    let days: Vec<String> = h.strange.iter().map(|d| day(*d)).collect();
    let which = match (days.as_slice(), h.weighings.len()) {
        ([], _) => "It is no one reading alone: look at scale, tare and the hive's name".to_owned(),
        ([only], 1)
            if h.weighings
                .first()
                .is_some_and(|w| w.weighing.date == h.strange[0]) =>
        {
            format!("Look again at the reading of {only}")
        }
        ([only], _) => {
            format!("The strange one is that of {only}: the others go together without it")
        }
        (all, _) => format!(
            "The readings of {} do not go together: one of them is off",
            all.join(" and ")
        ),
    };
    let meanwhile = match (&h.by_last_alone, &h.feed) {
        (Some(left), Some(feed)) => format!(
            "until it is cleared up, take the low reading for true: by it {} of stores are left, and up to {} of sugar are wanted by first \
             nectar, dry or as fondant, {} at a time",
            u.mass_range(left.low, left.high),
            u.need(feed.sugar),
            u.mass_range(SMALLEST_LOT, LARGEST_LOT)
        ),
        (Some(left), None) => format!(
            "by the low reading alone {} of stores are left",
            u.mass_range(left.low, left.high)
        ),
        (None, _) => "do not take it for stores that are there".to_owned(),
    };
    format!("{which}. Weigh it again on a dry day, front and back; {meanwhile}")
}

/// "stores run out between 12 Mar and 9 Apr (8 times in 10), about 25 Mar".
pub(super) fn runs_out(out: &Range<Option<Date>>, nectar: Date) -> String {
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

/// What to feed, and by when.
pub(super) fn advice(h: &HiveUpdate, f: &Forecast, u: Units) -> String {
    let odd = |n: &Note| matches!(n, Note::FarOff { .. } | Note::Leaning { .. });
    let words = what_to_feed(h, f, u);
    if h.notes.iter().any(odd) {
        format!(
            "Weigh it again first, on a dry day, front and back: a reading is odd, see below. If it holds: {}{}",
            words.chars().next().unwrap_or_default().to_lowercase(),
            words.chars().skip(1).collect::<String>()
        )
    } else {
        words
    }
}

/// The feeding by the weighings as they are.
fn what_to_feed(h: &HiveUpdate, f: &Forecast, u: Units) -> String {
    let weighed = h.weighings.last().map(|w| w.weighing.date);
    let Some((feed, by)) = h.feed.zip(h.feed_by) else {
        return "No feeding needed by this weighing. Heft it again in two to three weeks"
            .to_owned();
    };
    if h.after.is_some_and(|a| a.low.is_none()) {
        return format!(
            "No feeding needed to get there. To keep your reserve as well: {} of sugar by {}",
            u.need(feed.sugar),
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
            u.need(feed.sugar),
            u.mass_range(SMALLEST_LOT, LARGEST_LOT)
        )
    } else {
        format!("{} of sugar", u.need(feed.sugar))
    };
    let syrup = match &h.last_syrup {
        Some(l) if !l.too_late => format!(
            "as {} of 2:1 syrup only if it is all on by {}",
            u.syrup(l.litres),
            day(l.date)
        ),
        _ => "syrup only once days are warm again".to_owned(),
    };
    format!(
        "{when}: {lots}, dry or as fondant, laid on the frames against the bees; {syrup}. Left alone it would run \
         out before first nectar in {} of 10 cases",
        cases(f.runs_out)
    )
}

/// What to mind.
pub(super) fn note(n: &Note, u: Units) -> String {
    match n {
        Note::NothingFits => "no run comes near these readings. Is it the right hive, the right unit, both ends lifted, the tare right?".to_owned(),
        Note::FewFit { runs } => format!(
            "no more than about {} near these readings, too few to tell a date from. Is it the right hive, the right unit, both ends lifted, the \
             tare right?",
            match runs {
                1 => "one run comes".to_owned(),
                n => format!("{n} runs come"),
            }
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
        Note::OneSide { adjoining: true } => "one side doubled reads too heavy in a pair late in winter, since bees eat from the centre wall outwards: \
             lift front and back"
            .to_owned(),
        Note::OneSide { adjoining: false } => "one side doubled is rough: lift front and back and add".to_owned(),
        Note::Leaning { date, front, back } => format!(
            "on {} front {} and back {} are further apart than honey and bees in these combs can lean: {LEANING_HELP}",
            day(*date),
            u.mass(*front),
            u.mass(*back)
        ),
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
            "in {} of 10 cases the bees starve beside honey they cannot reach in the cold, which no scale shows: {}",
            cases(*share),
            sugar_over(u)
        ),
    }
}

#[cfg(test)]
mod tests;
