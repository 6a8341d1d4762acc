//! What weighings tell, in words.

use super::super::words::{Units, day, sugar_over};
use crate::network::NetworkWords;
use crate::text;
use crate::texts::{either, said};
use crate::words::SyrupWords;
use partywall_core::answer::update::{Compared, HiveUpdate, Note, UpdateResult};

use jiff::civil::Date;
use partywall_core::decision::update::{Forecast, Range};
use partywall_core::ensemble::winters::Basis;
use partywall_core::scenario::log::lift_text;
use partywall_core::stand::plausible::LEANING_HELP;

/// What an update rests on, one paragraph each.
pub(super) fn basis(r: &UpdateResult, u: Units) -> Vec<String> {
    let mut lines = vec![text!(
        "update.runs_winters_like_each",
        runs = r.runs,
        winters = r.winters,
        made = if r.basis == Basis::Real {
            ""
        } else {
            said("update.made_up_from_record")
        },
        station = r.station
    )];
    lines.extend(r.weather_notes.iter().cloned());
    lines.push(text!(
        "update.heat_network_grid",
        kind = r.network.kind,
        grid = r.grid
    ));
    lines.extend(r.network.checked(u));
    if r.of_earlier_winters > 0 {
        lines.push(text!(
            "update.weighings_earlier_winters_log",
            of_earlier_winters = r.of_earlier_winters
        ));
    }
    lines.extend(
        [
            said("update.two_weighings_few_weeks"),
            said("update.weigh_at_same_hour"),
        ]
        .map(str::to_owned),
    );
    lines
}

/// Told instead of an answer.
pub(super) fn does_not_fit(h: &HiveUpdate, u: Units) -> String {
    text!(
        "update.so_no_date_told",
        fit = if h.notes.iter().any(|n| matches!(n, Note::FewFit { .. })) {
            said("update.what_you_read_hardly")
        } else {
            said("update.what_you_read_does")
        },
        strange = strange(h, u)
    )
}

/// Stores on the day of the last weighing, and what is still to be eaten.
pub(super) fn stores_words(r: &UpdateResult, h: &HiveUpdate, f: &Forecast, u: Units) -> String {
    text!(
        "update.stores_about_still_eaten",
        date = h
            .weighings
            .last()
            .map_or_else(String::new, |w| day(w.weighing.date)),
        now = u.mass_range(f.stores_now.low, f.stores_now.high),
        first_nectar = day(r.first_nectar),
        to_eat = u.mass_range(f.still_to_eat.low, f.still_to_eat.high)
    )
}

/// A weighing beside what was expected of it.
pub(super) fn weighing_words(w: &Compared, u: Units) -> String {
    let expected = w.expected.map_or_else(String::new, |e| {
        text!("update.was_expected", range = u.mass_range(e.low, e.high))
    });
    text!(
        "update.give_take",
        date = w.weighing.date.strftime("%-d %b %Y"),
        lift = lift_text(w.weighing.lift),
        gross = u.mass(w.weighing.gross),
        error = u.mass(w.error),
        expected
    )
}

/// Which reading to look at, and what to do meanwhile.
fn strange(h: &HiveUpdate, u: Units) -> String {
    let days: Vec<String> = h.strange.iter().map(|d| day(*d)).collect();
    let which = match (days.as_slice(), h.weighings.len()) {
        ([], _) => text!("update.no_one_reading_alone"),
        ([only], 1)
            if h.weighings
                .first()
                .is_some_and(|w| w.weighing.date == h.strange[0]) =>
        {
            text!("update.look_again_at_reading", only)
        }
        ([only], _) => {
            text!("update.strange_one_others_go", only)
        }
        (all, _) => text!("update.readings_do_not_go", all = all.join(" and ")),
    };
    let meanwhile = match (&h.by_last_alone, &h.feed) {
        (Some(left), Some(feed)) => text!(
            "update.until_cleared_up_take",
            left = u.mass_range(left.low, left.high),
            sugar = u.need(feed.sugar),
            lots = u.mass_range(SMALLEST_LOT, LARGEST_LOT)
        ),
        (Some(left), None) => text!(
            "update.low_reading_alone_stores",
            left = u.mass_range(left.low, left.high)
        ),
        (None, _) => text!("update.do_not_take_stores"),
    };
    text!("update.weigh_again_dry_day", which, meanwhile)
}

/// "stores run out between 12 Mar and 9 Apr (8 times in 10), about 25 Mar".
pub(super) fn runs_out(out: &Range<Option<Date>>, nectar: Date) -> String {
    match (out.low, out.middle, out.high) {
        (None, ..) => text!("update.stores_last_first_nectar", nectar = day(nectar)),
        (Some(low), Some(middle), Some(high)) => text!(
            "update.stores_run_out_between",
            low = day(low),
            high = day(high),
            middle = day(middle)
        ),
        (Some(low), middle, None) => text!(
            "update.stores_run_out_at",
            low = day(low),
            then = middle.map_or_else(
                || text!("update.but_last_first_nectar", nectar = day(nectar)),
                |m| text!(
                    "update.about_middle_not_before",
                    day = day(m),
                    nectar = day(nectar)
                )
            )
        ),
        (Some(low), None, Some(_)) => text!("update.stores_run_out_from", low = day(low)),
    }
}

/// A share as cases of ten, never all or none of them unless it is so.
fn cases(share: f64) -> String {
    match (10.0 * share).round() {
        10.0 if share < 1.0 => text!("update.more_than"),
        0.0 if share > 0.0 => text!("update.fewer_than"),
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
        text!(
            "update.weigh_again_first_dry",
            initial = words.chars().next().unwrap_or_default().to_lowercase(),
            rest = words.chars().skip(1).collect::<String>()
        )
    } else {
        words
    }
}

/// The feeding by the weighings as they are.
fn what_to_feed(h: &HiveUpdate, f: &Forecast, u: Units) -> String {
    let weighed = h.weighings.last().map(|w| w.weighing.date);
    let Some((feed, by)) = h.feed.zip(h.feed_by) else {
        return text!("update.no_feeding_needed_weighing");
    };
    if h.after.is_some_and(|a| a.low.is_none()) {
        return text!(
            "update.no_feeding_needed_get",
            sugar = u.need(feed.sugar),
            by = day(by)
        );
    }
    let when = if Some(by) <= weighed {
        text!("update.feed_now")
    } else {
        text!("update.feed", by = day(by))
    };
    let lots = if feed.sugar > LARGEST_LOT {
        text!(
            "update.up_sugar_all_first",
            sugar = u.need(feed.sugar),
            lots = u.mass_range(SMALLEST_LOT, LARGEST_LOT)
        )
    } else {
        text!("update.sugar", sugar = u.need(feed.sugar))
    };
    let syrup = match &h.last_syrup {
        Some(l) if !l.too_late => text!(
            "update.syrup_only_if_all",
            litres = u.syrup(l.litres),
            date = day(l.date)
        ),
        _ => text!("update.syrup_only_once_days"),
    };
    text!(
        "update.dry_fondant_laid_frames",
        when,
        lots,
        syrup,
        runs_out = cases(f.runs_out)
    )
}

/// What to mind.
pub(super) fn note(n: &Note, u: Units) -> String {
    match n {
        Note::NothingFits => text!("update.no_run_comes_near"),
        Note::FewFit { runs } => text!(
            "update.no_more_than_about",
            runs_come = match runs {
                1 => text!("update.one_run_comes"),
                n => text!("update.runs_come", count = n),
            }
        ),
        Note::FarOff { date, by } => text!(
            "update.read_than_anything_expected",
            date = day(*date),
            by = u.mass(by.abs()),
            more_or_less = either(*by > 0.0, "update.more", "update.less"),
            causes = either(
                *by > 0.0,
                "update.snow_ice_lid_wet",
                "update.lift_was_not_clear"
            )
        ),
        Note::Gained { date, by } => text!(
            "update.was_heavier_than_before",
            date = day(*date),
            by = u.mass(*by)
        ),
        Note::OneSide { adjoining: true } => text!("update.one_side_doubled_reads"),
        Note::OneSide { adjoining: false } => text!("update.one_side_doubled_rough"),
        Note::Leaning { date, front, back } => text!(
            "update.front_back_further_apart",
            date = day(*date),
            front = u.mass(*front),
            back = u.mass(*back),
            leaning_help = LEANING_HELP
        ),
        Note::WetOrIcy => text!(
            "update.wet_snowy_wood_ice",
            outside = u.mass_range(1.0, 3.0),
            inside = u.mass_range(1.0, 2.0)
        ),
        Note::Tare { by } => text!(
            "update.readings_would_fit_better",
            by = u.mass(by.abs()),
            how = either(*by > 0.0, "update.heavier", "update.lighter")
        ),
        Note::Reach { share } => text!(
            "update.cases_bees_starve_beside",
            share = cases(*share),
            sugar_over = sugar_over(u)
        ),
    }
}

#[cfg(test)]
mod tests;
