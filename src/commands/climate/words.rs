//! What `partywall climate` says, in words.

use super::{ClimateSummary, ENOUGH_FOR_NINE_IN_TEN, ToldLevel, ToldWinter};
use partywall_core::calendar::words;
use partywall_core::climate::sums::SPELL_DAYS;
use partywall_core::ensemble::levels::Method;
use partywall_report::document::Column;
use partywall_report::pictures::axis;
use partywall_report::text;
use partywall_report::texts::{either, said};
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
        text!(
            "record.mean_coldest_hour",
            winter = w.winter,
            mean_c = units.temperature(w.mean_c),
            coldest_hour_c = units.temperature(w.coldest_hour_c)
        )
    };
    let (Some(hard), Some(mild)) = (find(&told.hardest), find(&told.mildest)) else {
        let only = match told.winters.first() {
            Some(only) => text!(
                "record.one_whole_winter_mean",
                winter = only.winter,
                mean_c = units.temperature(only.mean_c),
                coldest_hour_c = units.temperature(only.coldest_hour_c)
            ),
            None => text!("record.no_whole_winter_record"),
        };
        return vec![("", only)];
    };
    let enough = either(
        n >= ENOUGH_FOR_NINE_IN_TEN,
        "record.enough_say_what_holds",
        "record.too_few_say_counting",
    );
    let mut all = vec![
        ("", text!("record.whole_winters", count = n, enough)),
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
            text!(
                "record.spring_after_winter_first",
                winter = late.winter,
                day = axis::day(day)
            ),
        ));
    }
    if let (Some(l), Some(first), Some(last)) =
        (&told.nine_in_ten, told.winters.first(), told.winters.last())
    {
        let like = format!("{} to {}", first.winter, last.winter);
        let like = text!("record.winters_like_those", like);
        all.push((said("record.nine_ten"), level_words(l, &like, units)));
    }
    all
}

/// "in 9 of 10 winters ...".
fn level_words(l: &ToldLevel, like: &str, units: Units) -> String {
    let how = match l.method {
        Method::Rank => "",
        Method::Spread => said("record.reckoned_from_how_much"),
    };
    text!(
        "record.mean_stays_above_coldest",
        like,
        winters = l.winters,
        mean_c = units.temperature(l.mean_c),
        spell_days = SPELL_DAYS,
        coldest_spell_c = units.temperature(l.coldest_spell_c),
        how
    )
}

/// What holds in nine of ten winters made up, or referred to the last years.
pub(super) fn made_words(told: &ClimateSummary, units: Units) -> Option<String> {
    let made = told.made.as_ref()?;
    let like = either(
        made.synthetic,
        "record.winters_made_up",
        "record.such_winters",
    );
    made.nine_in_ten
        .as_ref()
        .map(|l| level_words(l, like, units))
}

/// What the columns of the table are.
pub(super) fn legend(moves: &str) -> Vec<String> {
    vec![
        text!("record.cold_spell_mean_coldest", spell_days = SPELL_DAYS),
        text!("record.days_without_moving_longest", moves),
        text!("record.hours_flight_hours_warm"),
        text!("record.nectar_first_dependable_nectar"),
        text!("record.hard_mild_coldest_warmest"),
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
    let heading = text!(
        "record.gaps_temperature_longest",
        total,
        unit,
        longest = count(longest.len(), "gap")
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
            text!("record.every_row")
        } else {
            // Never "100 %" for a field that has gaps.
            text!(
                "record.rows",
                share = format!("{:.1}", (f.share * 1000.0).floor() / 10.0)
            )
        };
        format!("{}: {share}", f.field)
    });
    told.collect()
}

/// What the table shows.
pub(super) fn table_of(told: &ClimateSummary, units: Units) -> String {
    text!(
        "record.winters",
        from = words(told.season.from),
        to = words(told.season.to),
        unit = match units {
            Units::Metric => said("record.degrees_c"),
            Units::Us => said("record.degrees_f"),
            Units::Both => said("record.degrees_c_brackets_f"),
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
        let none = text!("record.no_temperature_these_winters");
        return (text!("record.mended"), vec![none]);
    }
    let heading = text!(
        "record.mended_winters",
        mended = mended.len(),
        winters = winters.len()
    );
    let mut lines = Vec::new();
    for w in mended.iter().take(MENDED_SHOWN) {
        let mut what = Vec::new();
        if w.filled_days > 0 {
            let hours = w.filled_hours;
            let days = count(w.filled_days, "day");
            what.push(if hours == 24 * w.filled_days {
                text!("record.filled", days)
            } else {
                text!("record.filled_on", hours = count(hours, "hour"), days)
            });
        }
        if w.impossible_readings > 0 {
            let readings = count(w.impossible_readings, said("record.impossible_reading"));
            what.push(text!("record.struck_out", readings));
        }
        if w.stuck_days > 0 {
            let days = count(w.stuck_days, "day");
            what.push(text!("record.used_though_readings_repeat", days));
        }
        lines.push(format!("{}: {}", w.winter, what.join(", ")));
    }
    if mended.len() > MENDED_SHOWN {
        lines.push(text!(
            "record.more_format_json_lists",
            mended = mended.len() - MENDED_SHOWN
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
        Column::words(said("record.winter")),
        Column::figures(said("record.mean")),
        Column::figures(said("record.coldest_hour")),
        Column::figures(said("record.cold_spell")),
        Column::figures(said("record.from")),
        Column::figures(said("record.days_without_moving")),
        Column::figures(said("record.from")),
        Column::figures(said("record.hours_flight")),
        Column::figures(said("record.nectar")),
        Column::words(said("record.verdict")),
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
        text!(
            "record.clock_utc_h_all",
            utc_offset_h = format!("{:+}", s.utc_offset_h)
        )
    };
    text!(
        "record.m_above_sea_level",
        latitude_deg = side(s.latitude_deg, "N", "S"),
        longitude,
        elevation_m = format!("{:.0}", s.elevation_m),
        clock
    )
}

/// What is in it.
pub(super) fn holds(told: &ClimateSummary) -> String {
    let r = &told.record;
    text!(
        "record.holds_rows",
        kind = r.kind,
        span = r.span,
        rows = r.rows,
        told = told.format,
        source = told.source
    )
}
