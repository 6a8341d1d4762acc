//! Outside checks of the weather readers: degree days other programs print for the shipped typical year, and winter sums
//! computed elsewhere.

use partywall_core::calendar::MonthDay;
use partywall_core::climate::sums::{self, DaySums, Sums};
use partywall_core::climate::{self, Record};
use partywall_core::problem::Problems;

use super::{Check, Evidence};

/// The typical year the published degree days belong to.
const CHICAGO_EPW: &[u8] =
    include_bytes!("../../../climate-samples/USA_IL_Chicago.OHare.Intl.AP.725300_TMY3.epw");
/// First and last day of the winters summed.
const SEASON: (MonthDay, MonthDay) = (
    MonthDay { month: 10, day: 1 },
    MonthDay { month: 3, day: 31 },
);

const REPORT: &str =
    "weather statistics of a building-energy program's tabular report for the same EPW file";
const LEED: &str =
    "degree days of a building-energy program's certification report for the same EPW file";
const SUMS: &str = "winter sums computed from the same station record by an independent script";

/// All checks of this room. A record that cannot be read gives checks that fail (their value is NaN).
#[must_use]
pub fn checks() -> Vec<Check> {
    let epw = climate::from_bytes("Chicago EPW", CHICAGO_EPW.to_vec());
    let year = epw.as_ref().ok().and_then(sums::year_degree_days);
    let degree_days = |id, what: &str, got: Option<f64>, expected: f64, source| {
        Check::new(
            id,
            format!("EPW Chicago O'Hare, {what}, whole year, from means of 24 hours"),
            (expected, got.map_or(f64::NAN, f64::round), 0.0),
            "K d",
            (source, Evidence::Published),
        )
    };
    let mut out = vec![
        degree_days(
            "epw-hdd18",
            "heating degree days below 18 degC",
            year.map(|y| y.hdd18),
            3430.0,
            REPORT,
        ),
        degree_days(
            "epw-cdd10",
            "cooling degree days above 10 degC",
            year.map(|y| y.cdd10),
            1743.0,
            REPORT,
        ),
        degree_days(
            "epw-hdd10",
            "heating degree days below 10 degC",
            year.map(|y| y.hdd10),
            1748.0,
            LEED,
        ),
        degree_days(
            "epw-cdd18",
            "cooling degree days above 18 degC",
            year.map(|y| y.cdd18),
            506.0,
            LEED,
        ),
    ];
    out.extend(winter_sums());
    out.push(Check::new("cold-winters-netherlands", "winters 1980/81 to 1998/99 at Wageningen with a cold sum of 100 or more; De Bilt, 25 km off, had six", (6.0, cold_winters().unwrap_or(f64::NAN), 0.0), "winters", ("a Dutch weather service's count of cold winters, in the press", Evidence::Published)));
    out
}

/// Winters from 1980/81 to 1998/99 at Wageningen with a cold sum of 100 or more, of the 18 the record holds.
fn cold_winters() -> Option<f64> {
    let sums = sums::day_sums(&built_in("wageningen").ok()?, SEASON.0, SEASON.1).ok()?;
    let counted = sums
        .iter()
        .filter(|s| ("1980/81".."1999").contains(&s.label.as_str()) && s.cold_sum >= 100.0);
    Some(counted.count() as f64)
}

/// Sums of single winters.
fn winter_sums() -> Vec<Check> {
    let computed = |id, what: String, expected, got: Option<f64>, tolerance| {
        Check::new(
            id,
            what,
            (expected, got.unwrap_or(f64::NAN), tolerance),
            "K d",
            (SUMS, Evidence::Computed),
        )
    };
    vec![
        computed(
            "hourly-chicago-2015",
            "Chicago O'Hare 2015/16, degree days below 10 degC from hours".into(),
            1254.9,
            hourly("chicago", "2015/16").map(|s| s.hdd10),
            0.05,
        ),
        computed(
            "hourly-northway-2018",
            "Northway 2018/19, degree days below 10 degC from hours, with gaps filled".into(),
            4529.1,
            hourly("northway", "2018/19").map(|s| s.hdd10),
            0.05,
        ),
        computed(
            "daily-champion-1983",
            "Champion 1983/84, degree days below 10 degC from daily extremes".into(),
            1945.3,
            daily("champion", "1983/84").map(|s| s.hdd10),
            0.05,
        ),
        computed(
            "daily-wageningen-1978",
            "Wageningen 1978/79, cold sum November to March".into(),
            239.8,
            daily("wageningen", "1978/79").map(|s| s.cold_sum),
            0.05,
        ),
    ]
}

fn built_in(name: &str) -> Result<Record, Problems> {
    climate::built_in(name, &Default::default())
}

fn hourly(name: &str, label: &str) -> Option<Sums> {
    let winters = built_in(name).ok()?.winters(SEASON.0, SEASON.1).ok()?;
    winters.iter().find(|w| w.label == label).and_then(Sums::of)
}

fn daily(name: &str, label: &str) -> Option<DaySums> {
    let sums = sums::day_sums(&built_in(name).ok()?, SEASON.0, SEASON.1).ok()?;
    sums.into_iter().find(|s| s.label == label)
}
