//! Checks of honey use in hives through real winters: C1, C14, C15.

use super::slopes::{days, mean, months_rising};
use super::yard::{BARE, Yard, average, daily_grams, nearest, record, winters};
use super::{BiologyError, Kept, row};
use crate::{Evidence, Row, Used};
use partywall_core::climate::Record;
use partywall_core::climate::series::Winter;
use partywall_core::ensemble::runner::spread;

/// Bees of the Swedish colonies: the middle of 8-15,000.
const SWEDISH_BEES: f64 = 11_500.0;
/// Mean of that winter, degC.
const SWEDISH_MEAN: f64 = 3.5;
const NORRSTROM: &str =
    "Norrstrom et al. 2021, PLoS ONE 16:e0258398, abstract: 32 colonies, SW Sweden 2019/20";
/// Bees of a full-size colony on 1 November.
const FULL_SIZE: f64 = 15_000.0;
/// Mean of November to February taken for the Czech winter 2017/18, degC (from memory).
const CZECH_MEAN: f64 = 1.0;
/// Means of November and December in Denmark, degC.
const DANISH: [f64; 2] = [5.9, 4.3];

/// The mild place whose winters stand in for those of the sources, with the hive in it.
pub(super) struct Wageningen {
    station: Record,
    yard: Yard,
}

impl Wageningen {
    /// Reads the record and readies the hive.
    pub fn new() -> Result<Self, BiologyError> {
        let station = record("wageningen")?;
        let yard = Yard::new(BARE, station.station.elevation, |_| ())?;
        Ok(Self { station, yard })
    }

    /// C1: mean use in a mild winter, and its sign against temperature and light.
    pub fn mild(&self, kept: &Kept) -> Result<Vec<Row>, BiologyError> {
        let winter = nearest(winters(&self.station, (11, 1), (2, 28))?, |w| {
            (mean(days(w).iter()) - SWEDISH_MEAN).abs()
        })?;
        let days = days(&winter);
        let [grams, warmth, light] = kept.measure(|p| {
            let used = daily_grams(&self.yard.winter(&winter, SWEDISH_BEES, p, None)?);
            let [warmth, light, _] = months_rising(&days, &used);
            Ok([average(&used), warmth, light])
        })?;
        let place = format!(
            "taken: Wageningen {}, November to February, {:.1} degC, 11,500 bees in two ten-frame deeps of 19 mm pine",
            winter.label,
            mean(days.iter())
        );
        let sign = |id, with: &str, got| {
            row(
                id,
                format!(
                    "months of four in which daily use rises with {with}, of one fit to temperature and light in each month \
                 (three are most of the winter); {place}"
                ),
                (4.0, 1.0, "months"),
                got,
                NORRSTROM,
                Evidence::Published,
                Used::No,
            )
        };
        Ok(vec![
            row(
                "c1-mean",
                format!("honey a day in a mild winter; {place}"),
                (39.0, 11.0, "g/d"),
                grams,
                NORRSTROM,
                Evidence::Published,
                Used::Yes,
            ),
            sign("c1-warmth", "temperature", warmth),
            sign("c1-light", "light", light),
        ])
    }

    /// C14: single hives weighed in Denmark and in the Czech lands.
    pub fn single_hives(&self, kept: &Kept) -> Result<Vec<Row>, BiologyError> {
        let months = |w: &Winter| {
            let days = days(w);
            [11, 12].map(|m| mean(days.iter().filter(|d| d.month == m)))
        };
        let danish = nearest(winters(&self.station, (11, 1), (12, 31))?, |w| {
            months(w)
                .iter()
                .zip(DANISH)
                .map(|(a, b)| (a - b) * (a - b))
                .sum()
        })?;
        let czech = nearest(winters(&self.station, (11, 1), (2, 28))?, |w| {
            (mean(days(w).iter()) - CZECH_MEAN).abs()
        })?;
        let use_of = |winter: &Winter| {
            kept.measure(|p| {
                let c = self.yard.winter(winter, FULL_SIZE, p, None)?;
                Ok([average(&daily_grams(&c))])
            })
            .map(|[g]| g)
        };
        let hive = "15,000 bees in two ten-frame deeps of 19 mm pine";
        let [november, december] = months(&danish);
        Ok(vec![
            row(
                "c14-denmark",
                format!(
                    "honey a day of a hive in November and December, months of 5.9 and 4.3 degC; taken: Wageningen {} \
                 ({november:.1} and {december:.1} degC), {hive}; bees that die weigh with the measured loss, not with ours",
                    danish.label
                ),
                (56.0, 0.4 * 56.0, "g/d"),
                use_of(&danish)?,
                "one hive on a hand scale, Denmark 2013, keeper's log",
                Evidence::Published,
                Used::No,
            ),
            row(
                "c14-czech",
                format!(
                    "honey a day of two hives over a winter, 33 to 50 g, their middle expected; taken: Wageningen {}, \
                 November to February, {:.1} degC (a Czech winter's {CZECH_MEAN} from memory), {hive}",
                    czech.label,
                    mean(days(&czech).iter())
                ),
                (41.5, 0.4 * 41.5, "g/d"),
                use_of(&czech)?,
                "two hives on scales at a Czech quarry 2017/18, log",
                Evidence::Published,
                Used::No,
            ),
        ])
    }

    /// C15: how use is spread over the season.
    pub fn by_season(&self, kept: &Kept) -> Result<Vec<Row>, BiologyError> {
        let winter = spread(winters(&self.station, (11, 1), (4, 30))?, 1)
            .into_iter()
            .next()
            .ok_or(BiologyError::Lacks("a winter"))?;
        let days = days(&winter);
        let [early, march, april] = kept.measure(|p| {
            let used = daily_grams(&self.yard.winter(&winter, FULL_SIZE, p, None)?);
            let kg = |months: &[i8]| {
                days.iter()
                    .zip(&used)
                    .filter(|(d, _)| months.contains(&d.month))
                    .map(|(_, u)| 1e-3 * u)
                    .sum::<f64>()
            };
            Ok([kg(&[11, 12, 1]) / 3.0, kg(&[3]), kg(&[4])])
        })?;
        let place = format!(
            "taken: Wageningen {}, the middle of its winters by mean temperature; 15,000 bees on 1 November in two ten-frame \
         deeps of 19 mm pine, brood from 1 February, full by 15 March",
            winter.label
        );
        let one = |id, when: &str, kg: f64, got, source, used| {
            row(
                id,
                format!("honey a month, {when}; {place}"),
                (kg, 0.4 * kg, "kg/mo"),
                got,
                source,
                Evidence::Published,
                used,
            )
        };
        Ok(vec![
            one(
                "c15-winter",
                "November to January (0.6 to 1.2 kg)",
                0.9,
                early,
                "Russian handbook 0.6-0.7 kg, German log",
                Used::Yes,
            ),
            one(
                "c15-march",
                "March (2 to 3 kg)",
                2.5,
                march,
                "guidance of Swedish keepers",
                Used::Part,
            ),
            one(
                "c15-april",
                "April (4 to 5 kg)",
                4.5,
                april,
                "guidance of Swedish keepers; Austrian scales 1 kg a week",
                Used::Part,
            ),
        ])
    }
}
