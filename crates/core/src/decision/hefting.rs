//! When to heft in winter: the first time, and the times after it.

use crate::calendar::MonthDay;
use crate::calendar::{days_between, later};
use crate::stand::Season;
use jiff::civil::Date;

/// Days before the earliest day on which any winter starved the colony (a choice: time to feed, and a cold spell between).
const AHEAD: u32 = 21;
/// Days before brood is at full by which to have hefted at the latest (a choice: before brood takes most; mid February for a
/// season whose brood is at full in mid March).
const BEFORE_BROOD: u32 = 28;
/// Days after the weighing in autumn before which hefting tells nothing new (a choice).
const SETTLED: u32 = 31;
/// Days from one heft to the next (common practice: every two weeks).
const EVERY: u32 = 14;

/// The day of the first heft: three weeks before the earliest day on which any of the winters starved the colony, four weeks before brood
/// is at full at the latest, a month after the weighing in autumn at the earliest.
///
/// ```
/// use partywall_core::decision::hefting::first_heft;
/// use partywall_core::calendar::MonthDay;
/// use partywall_core::stand::Season;
/// let day = |month, day| MonthDay { month, day };
/// let season = Season { start: day(10, 1), first_nectar: day(5, 19), brood_start: day(2, 1), brood_full: day(3, 15) };
/// assert_eq!(first_heft(&season, &[]), day(2, 15));
/// let starved = [jiff::civil::date(2001, 4, 2), jiff::civil::date(1996, 2, 18)];
/// assert_eq!(first_heft(&season, &starved), day(1, 28));
/// assert_eq!(first_heft(&season, &[jiff::civil::date(1996, 11, 10)]), day(11, 1));
/// ```
#[must_use]
pub fn first_heft(season: &Season, starved: &[Date]) -> MonthDay {
    let latest = days_between(season.start, season.brood_full)
        .saturating_sub(BEFORE_BROOD)
        .max(SETTLED);
    let part = |x: i8| u8::try_from(x).unwrap_or(1);
    let earliest = starved
        .iter()
        .map(|d| {
            let day = part(d.day());
            let leap = d.month() == 2 && day == 29;
            let day = MonthDay {
                month: part(d.month()),
                day: if leap { 28 } else { day },
            };
            days_between(season.start, day).saturating_sub(AHEAD)
        })
        .min();
    let days = earliest.map_or(latest, |d| d.clamp(SETTLED, latest));
    later(season.start, days)
}

/// The days on which to heft: the first, then every two weeks, the last before first dependable nectar.
///
/// ```
/// use partywall_core::decision::hefting::hefts;
/// use partywall_core::calendar::MonthDay;
/// use partywall_core::stand::Season;
/// let day = |month, day| MonthDay { month, day };
/// let season = Season { start: day(10, 1), first_nectar: day(4, 1), brood_start: day(2, 1), brood_full: day(3, 15) };
/// assert_eq!(hefts(&season, &[]), [day(2, 15), day(3, 1), day(3, 15), day(3, 29)]);
/// ```
#[must_use]
pub fn hefts(season: &Season, starved: &[Date]) -> Vec<MonthDay> {
    let length = days_between(season.start, season.first_nectar);
    let first = days_between(season.start, first_heft(season, starved));
    std::iter::once(first)
        .chain((1..).map(|n| first + n * EVERY).take_while(|d| *d < length))
        .map(|days| later(season.start, days))
        .collect()
}
