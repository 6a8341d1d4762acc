//! Checks of the air of a hive in winter: its vapour, its humidity, its carbon dioxide.

use super::slopes::{days, mean};
use super::yard::{BARE, Yard, nearest, record, winters};
use super::{BiologyError, Kept, row};
use crate::{Evidence, Row, Used};
use partywall_core::climate::series::Winter;

/// Month, mean outside air in degC and vapour pressure in the hive less that outside in Pa, means of hourly readings of one hive.
const MEASURED: [(i8, f64, f64); 5] = [
    (11, 12.5, 811.0),
    (12, 8.2, 556.0),
    (1, 4.8, 617.0),
    (2, 7.1, 1636.0),
    (3, 5.2, 1398.0),
];
const HIVE: &str = "jyjeanne/beehive-data-analysis, data/Hive85.csv (MIT licence): one hive, winter 2021/22, hourly; place and seat of \
    the sensor not stated";
const HUMIDITY: &str = "50 to 80 % in winter clusters (BEEBOOK, read in a review)";
const GAS: &str = "0.1 to 4.3 % in colonies (Seeley 1974, read in reviews), to 6 % in winter clusters (from memory)";
/// Bees of a full-size colony on 1 November.
const FULL_SIZE: f64 = 15_000.0;

/// Vapour over outside air month by month, humidity and carbon dioxide of the air among the bees.
pub(super) fn winter_air(kept: &Kept) -> Result<Vec<Row>, BiologyError> {
    let station = record("wageningen")?;
    let yard = Yard::new(BARE, station.station.elevation, |_| ())?;
    let off = |w: &Winter| {
        let days = days(w);
        let month = |m: i8| mean(days.iter().filter(|d| d.month == m));
        MEASURED
            .iter()
            .map(|(m, t, _)| (month(*m) - t).powi(2))
            .sum()
    };
    let winter = nearest(winters(&station, (11, 1), (3, 31))?, off)?;
    let got = kept.measure(|p| {
        let months = yard.winter(&winter, FULL_SIZE, p, None)?.water.months;
        let of = |m: i8| {
            months
                .iter()
                .find(|w| w.month == m)
                .copied()
                .unwrap_or_default()
        };
        let cold: Vec<_> = [12, 1, 2].map(of).into_iter().collect();
        let mean = |f: fn(&partywall_core::water::MonthOfWater) -> f64| {
            cold.iter().map(f).sum::<f64>() / cold.len() as f64
        };
        let excess = |i: usize| of(MEASURED[i].0).excess;
        Ok([
            excess(0),
            excess(1),
            excess(2),
            excess(3),
            excess(4),
            100.0 * mean(|m| m.humidity),
            100.0 * mean(|m| m.carbon_dioxide),
        ])
    })?;
    let [vapour @ .., humidity, gas] = got;
    let place = format!(
        "taken: Wageningen {}, the nearest by months, 15,000 bees in two ten-frame deeps of 19 mm pine",
        winter.label
    );
    let names = [
        ("c21-november", "November"),
        ("c21-december", "December"),
        ("c21-january", "January"),
        ("c21-february", "February"),
        ("c21-march", "March"),
    ];
    let mut rows: Vec<Row> = vapour
        .into_iter()
        .zip(names)
        .zip(MEASURED)
        .map(|((got, (id, month)), (_, _, pa))| {
            row(
                id,
                format!("vapour pressure in the hive over that outside, {month}, down to half of it allowed; {place}"),
                (pa, 0.5 * pa, "Pa"),
                got,
                HIVE,
                Evidence::Published,
                Used::No,
            )
        })
        .collect();
    rows.push(row(
        "c22-humidity",
        format!("relative humidity of the air around the cluster, December to February; {place}"),
        (65.0, 15.0, "%"),
        humidity,
        HUMIDITY,
        Evidence::Published,
        Used::No,
    ));
    rows.push(row(
        "c23-carbon-dioxide",
        format!("carbon dioxide among the bees, December to February; {place}"),
        (3.05, 2.95, "%"),
        gas,
        GAS,
        Evidence::Published,
        Used::No,
    ));
    Ok(rows)
}
