//! What `partywall climate` says, in words.

use super::{ClimateSummary, ENOUGH_FOR_NINE_IN_TEN, ToldLevel, ToldWinter};
use partywall_core::calendar::words;
use partywall_core::climate::sums::SPELL_DAYS;
use partywall_core::ensemble::levels::Method;
use partywall_report::document::Column;
use partywall_report::pictures::axis;
use partywall_report::words::Units;

/// Label and words, the answer first.
pub(super) fn summary(told: &ClimateSummary, units: Units) -> Vec<(&'static str, String)> {
    let find = |label: &Option<String>| {
        label
            .as_ref()
            .and_then(|l| told.winters.iter().find(|w| w.winter == *l))
    };
    let n = told.winters.len();
    let tell = |w: &ToldWinter| {
        format!(
            "{}, mean {}, coldest hour {}",
            w.winter,
            units.temperature(w.mean_c),
            units.temperature(w.coldest_hour_c)
        )
    };
    let (Some(hard), Some(mild)) = (find(&told.hardest), find(&told.mildest)) else {
        let only = match told.winters.first() {
            Some(only) => format!(
                "one whole winter ({}): mean {}, coldest hour {}; nothing can be said about other winters",
                only.winter,
                units.temperature(only.mean_c),
                units.temperature(only.coldest_hour_c)
            ),
            None => "no whole winter: this record cannot be used to run a hive".to_owned(),
        };
        return vec![("", only)];
    };
    let enough = if n >= ENOUGH_FOR_NINE_IN_TEN {
        "enough to say what holds in nine winters of ten"
    } else {
        "too few to say by counting what holds in nine winters of ten (9 needed)"
    };
    let mut all = vec![
        ("", format!("{n} whole winters: {enough}")),
        ("hardest", tell(hard)),
        ("mildest", tell(mild)),
    ];
    if let Some(average) = find(&told.average) {
        all.push(("average", tell(average)));
    }
    if let Some((late, day)) = find(&told.latest_spring).and_then(|w| Some((w, w.nectar_by_rule?)))
    {
        all.push((
            "latest",
            format!(
                "spring after the winter {}: first dependable nectar about {} by a rule of thumb",
                late.winter,
                axis::day(day)
            ),
        ));
    }
    if let (Some(l), Some(first), Some(last)) =
        (&told.nine_in_ten, told.winters.first(), told.winters.last())
    {
        let like = format!("{} to {}", first.winter, last.winter);
        let like = format!("winters like those of {like}");
        all.push(("nine in ten", level_words(l, &like, units)));
    }
    all
}

/// "in 9 of 10 winters ...".
fn level_words(l: &ToldLevel, like: &str, units: Units) -> String {
    let how = match l.method {
        Method::Rank => "",
        Method::Spread => " (reckoned from how much they differ)",
    };
    format!(
        "in 9 of 10 {like} ({}), the mean stays above {} and the coldest {SPELL_DAYS} days above {}{how}",
        l.winters,
        units.temperature(l.mean_c),
        units.temperature(l.coldest_spell_c)
    )
}

/// What holds in nine of ten winters made up, or referred to the last years.
pub(super) fn made_words(told: &ClimateSummary, units: Units) -> Option<String> {
    let made = told.made.as_ref()?;
    let like = if made.synthetic {
        "winters made up"
    } else {
        "such winters"
    };
    made.nine_in_ten
        .as_ref()
        .map(|l| level_words(l, like, units))
}

/// What the columns of the table are.
pub(super) fn legend(moves: &str) -> Vec<String> {
    vec![
        format!(
            "Cold spell: mean of the coldest {SPELL_DAYS} days in a row, and the day it began."
        ),
        format!(
            "Days without moving: longest spell without an hour above {moves}, below which clusters hardly move."
        ),
        "Hours of flight: hours warm and bright enough for cleansing flights out of the wind."
            .to_owned(),
        "Nectar: first dependable nectar by the rule of thumb.".to_owned(),
        "Hard and mild: the coldest and the warmest quarter; late spring: the last quarter."
            .to_owned(),
    ]
}

/// Gaps told one by one.
const GAPS_SHOWN: usize = 3;

/// How much is missing, and the longest gaps.
pub(super) fn gaps(told: &ClimateSummary) -> Option<(String, Vec<String>)> {
    let mut longest: Vec<_> = told.gaps.iter().collect();
    longest.sort_by_key(|g| std::cmp::Reverse(g.missing));
    let unit = longest.first()?.unit;
    let total: i64 = told.gaps.iter().map(|g| g.missing).sum();
    let heading = format!(
        "Gaps in the temperature: {total} {unit} in {}; the longest",
        count(longest.len(), "gap")
    );
    let shown = longest.iter().take(GAPS_SHOWN).map(|g| {
        let missing = usize::try_from(g.missing).unwrap_or(0);
        let missing = count(missing, unit.trim_end_matches('s'));
        format!("{} to {}: {missing}", g.from, g.to)
    });
    Some((heading, shown.collect()))
}

/// What was measured, and in how many of the rows.
pub(super) fn measured(told: &ClimateSummary) -> Vec<String> {
    let fields = told.fields.iter().filter(|f| f.share > 0.0);
    let told = fields.map(|f| {
        let share = if f.share >= 0.9995 {
            "every row".to_owned()
        } else {
            // Never "100 %" for a field that has gaps.
            format!("{:.1} % of the rows", (f.share * 1000.0).floor() / 10.0)
        };
        format!("{}: {share}", f.field)
    });
    told.collect()
}

/// What the table shows.
pub(super) fn table_of(told: &ClimateSummary, units: Units) -> String {
    format!(
        "Winters, {} to {} ({})",
        words(told.season.from),
        words(told.season.to),
        match units {
            Units::Metric => "degrees C",
            Units::Us => "degrees F",
            Units::Both => "degrees C, in brackets F",
        }
    )
}

/// Winters told one by one in which something was mended.
const MENDED_SHOWN: usize = 12;

/// What was filled, struck out or doubtful: a heading, and winter by winter.
pub(super) fn mended(winters: &[ToldWinter]) -> (String, Vec<String>) {
    let mended: Vec<_> = winters
        .iter()
        .filter(|w| w.filled_days + w.stuck_days + w.impossible_readings > 0)
        .collect();
    if mended.is_empty() {
        let none = "No temperature of these winters had to be filled.".to_owned();
        return ("Mended".to_owned(), vec![none]);
    }
    let heading = format!("Mended: {} of {} winters", mended.len(), winters.len());
    let mut lines = Vec::new();
    for w in mended.iter().take(MENDED_SHOWN) {
        let mut what = Vec::new();
        if w.filled_days > 0 {
            let hours = w.filled_hours;
            let days = count(w.filled_days, "day");
            what.push(if hours == 24 * w.filled_days {
                format!("{days} filled")
            } else {
                format!("{} filled on {days}", count(hours, "hour"))
            });
        }
        if w.impossible_readings > 0 {
            let readings = count(w.impossible_readings, "impossible reading");
            what.push(format!("{readings} struck out"));
        }
        if w.stuck_days > 0 {
            let days = count(w.stuck_days, "day");
            what.push(format!("{days} used though the readings repeat"));
        }
        lines.push(format!("{}: {}", w.winter, what.join(", ")));
    }
    if mended.len() > MENDED_SHOWN {
        lines.push(format!(
            "and {} more (--format json lists them all)",
            mended.len() - MENDED_SHOWN
        ));
    }
    (heading, lines)
}

/// "1 day", "3 days".
pub(super) fn count(n: usize, what: &str) -> String {
    format!("{n} {what}{}", if n == 1 { "" } else { "s" })
}

/// The table's columns.
pub(super) fn columns() -> Vec<Column> {
    vec![
        Column::words("winter"),
        Column::figures("mean"),
        Column::figures("coldest\nhour"),
        Column::figures("cold\nspell"),
        Column::figures("from"),
        Column::figures("days without\nmoving"),
        Column::figures("from"),
        Column::figures("hours of\nflight"),
        Column::figures("nectar"),
        Column::words("verdict"),
    ]
}

/// A row of it.
pub(super) fn row(w: &ToldWinter, units: Units) -> [String; 10] {
    [
        w.winter.clone(),
        units.degrees(w.mean_c),
        units.degrees(w.coldest_hour_c),
        units.degrees(w.coldest_spell_c),
        w.coldest_spell_from.clone(),
        format!("{:.0}", w.longest_without_moving_h as f64 / 24.0),
        if w.longest_without_moving_h < 12 {
            String::new()
        } else {
            w.longest_without_moving_from.clone()
        },
        w.flight_hours.to_string(),
        w.nectar_by_rule.map_or_else(|| "-".to_owned(), axis::day),
        [w.verdict, w.spring]
            .into_iter()
            .filter(|s| !s.is_empty())
            .collect::<Vec<_>>()
            .join(", "),
    ]
}

/// Where it was measured.
pub(super) fn place(told: &ClimateSummary) -> String {
    let s = &told.station;
    let side = |x: f64, pos: &str, neg: &str| {
        format!("{:.2} {}", x.abs(), if x < 0.0 { neg } else { pos })
    };
    let longitude = s
        .longitude_deg
        .map_or_else(String::new, |l| format!(" {}", side(l, "E", "W")));
    // Without longitude and offset the clock is solar time; the notes say so.
    let clock = if s.longitude_deg.is_none() && s.utc_offset_h == 0.0 {
        String::new()
    } else {
        format!("; clock UTC{:+} h all year", s.utc_offset_h)
    };
    format!(
        "{}{longitude}, {:.0} m above sea level{clock}",
        side(s.latitude_deg, "N", "S"),
        s.elevation_m
    )
}

/// What is in it.
pub(super) fn holds(told: &ClimateSummary) -> String {
    let r = &told.record;
    format!(
        "{}, {}, {} rows ({}, {})",
        r.kind, r.span, r.rows, told.format, told.source
    )
}
