//! Checks of colonies of two sizes in a cellar, and of deaths to spring: C4, C11.

use super::yard::{BARE, Yard, average, daily_grams, record, winters};
use super::{BiologyError, Kept, row};
use crate::{Evidence, Row, Used};
use partywall_core::calendar::MonthDay;
use partywall_core::climate::series::{Hour, Winter};

/// Temperature of the cellar: the middle of 0 to 4 degC.
const CELLAR_C: f64 = 2.0;
/// Days of the first half of winter: November to January.
const FIRST_HALF: usize = 92;
/// Stefan-Boltzmann constant, W/m2K4.
const SIGMA: f64 = 5.670_374e-8;
const ESKOV: &str = "Russian wintering handbook (data of Eskov): food of 12,000 and 30,000 bees, first half of winter";
const AVITABILE: &str = "Avitabile 1978, J Apic Res, abstract: 20,800 to 12,000 adults November to March, NE United States";

/// A winter in a cellar: the same air all the time, no wind, no sun, surfaces around as warm as the air.
fn cellar() -> Winter {
    let hour = Hour {
        outdoor_c: CELLAR_C,
        dewpoint_c: CELLAR_C - 2.0,
        wind: 0.0,
        ghi: 0.0,
        dni: 0.0,
        dhi: 0.0,
        sky_longwave: SIGMA * (CELLAR_C + 273.15).powi(4),
        snow_depth: 0.0,
        sun_elevation_deg: -10.0,
        sun_azimuth_deg: 0.0,
    };
    Winter {
        label: "cellar".into(),
        start: jiff::civil::date(2000, 11, 1),
        hours: vec![hour; 24 * FIRST_HALF],
        filled_days: 0,
        stuck_days: 0,
    }
}

/// C4: food of a small and a large colony.
pub(super) fn sizes(kept: &Kept) -> Result<Vec<Row>, BiologyError> {
    let yard = Yard::new(BARE, 0.0, |_| ())?;
    let winter = cellar();
    let [small, large, per_bee] = kept.measure(|p| {
        let grams = |bees: f64| {
            yard.winter(&winter, bees, p, None)
                .map(|c| average(&daily_grams(&c)))
        };
        let (small, large) = (grams(12_000.0)?, grams(30_000.0)?);
        Ok([small, large, (small / 12.0) / (large / 30.0)])
    })?;
    let place =
        "taken: 92 days from 1 November in a cellar of 2 degC, two ten-frame deeps of 19 mm pine";
    let one = |id, bees: &str, grams: f64, got| {
        row(
            id,
            format!("honey a day of {bees} bees; {place}"),
            (grams, 0.3 * grams, "g/d"),
            got,
            ESKOV,
            Evidence::Published,
            Used::Part,
        )
    };
    Ok(vec![
        one("c4-small", "12,000", 29.0, small),
        one("c4-large", "30,000", 37.0, large),
        row(
            "c4-per-bee",
            format!(
                "use per bee of 12,000 over that of 30,000 (measured 1.96; 1.5 to 2.4 allowed); {place}"
            ),
            (1.95, 0.45, "-"),
            per_bee,
            ESKOV,
            Evidence::Published,
            Used::No,
        ),
    ])
}

/// Bees in November.
const NOVEMBER: f64 = 20_800.0;

/// C11: adults left in March.
pub(super) fn deaths(kept: &Kept) -> Result<Vec<Row>, BiologyError> {
    let station = record("chicago")?;
    let yard = Yard::new(BARE, station.station.elevation, |s| {
        s.season.brood_start = MonthDay { month: 12, day: 22 };
        s.season.brood_full = MonthDay { month: 2, day: 2 };
    })?;
    let winters = winters(&station, (11, 15), (3, 15))?;
    let [left] = kept.measure(|p| {
        let shares = winters
            .iter()
            .map(|w| Ok(yard.winter(w, NOVEMBER, p, None)?.bees_left / NOVEMBER))
            .collect::<Result<Vec<f64>, BiologyError>>()?;
        Ok([average(&shares)])
    })?;
    let labels: Vec<&str> = winters.iter().map(|w| w.label.as_str()).collect();
    Ok(vec![row(
        "c11-adults",
        format!(
            "adults in mid-March over those in mid-November; taken: Chicago {}, 20,800 bees in two ten-frame deeps of \
             19 mm pine, brood from 22 December when warm enough, full six weeks later",
            labels.join(" and ")
        ),
        (0.58, 0.10, "-"),
        left,
        AVITABILE,
        Evidence::Published,
        Used::Part,
    )])
}
