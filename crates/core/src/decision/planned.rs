//! What the feeding planned in a scenario is worth: syrup counts only as far as bees still take it.
//!
//! Dry sugar, fondant and honey frames are there when they are given. Syrup is taken in warm hours, at the rate of the feeder of a winter
//! run ([`crate::colony::feeding`]): what is given in autumn by the end of the autumn, for what freezes in the feeder until March helps nobody in
//! winter; what is given after it by first nectar, by as many bees as are left then.
//!
//! Nor does what finds no room in the combs: in autumn there is the room of the weighing and of what is eaten while the feeder is on, after it
//! also that of what was eaten in the meantime, in the winter in which the least was. Dry sugar and fondant lie on the frames and need none.

use super::feeding::{since, taken_in_an_hour};
use crate::calendar::MonthDay;
use crate::calendar::{days_between, later};
use crate::climate::series::Winter;
use crate::colony::feeding::Feed;
use crate::colony::parameters::Parameters;
use crate::ensemble::levels::{FEWEST, level};
use crate::stand::FeedEvent;
use serde::Serialize;

/// Less than this that is lost of a feed is not worth telling, kg (a choice: a spoonful).
pub const NO_LOSS: f64 = 0.05;

/// Feeding that is planned, and what of it counts.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Planned {
    /// Stores all of it would bring, kg.
    pub given: f64,
    /// Stores it brings in so many autumns as the level asks for, kg.
    pub counted: f64,
    /// Stores of syrup and honey frames that would find no room in the combs, kg; not in `counted`.
    pub no_room: f64,
    /// The day of the last syrup of which some is left in the feeder; `None` when all is taken.
    pub late: Option<MonthDay>,
}

/// The weather in which bees take syrup.
#[derive(Clone, Copy)]
pub struct Weather<'a> {
    /// Autumns of the record; none when it holds too few whole ones.
    pub autumns: &'a [Winter],
    /// First and last day of an autumn.
    pub autumn: (MonthDay, MonthDay),
    /// The winters that were run.
    pub winters: &'a [Winter],
    /// Bees at the end of each of them.
    pub bees_left: &'a [f64],
    /// Honey eaten in each of them while the feeder is on in autumn, and up to the last feed planned, kg
    /// ([`eaten_while_fed`](crate::season::outcome::ColonyOutcome::eaten_while_fed)).
    pub eaten: &'a [[f64; 2]],
}

impl Planned {
    /// Stores of syrup that comes too late to be taken, kg; what would find no room anyway is not among them.
    #[must_use]
    pub fn too_late(&self) -> f64 {
        self.late
            .map_or(0.0, |_| self.given - self.no_room - self.counted)
            .max(0.0)
    }
}

/// Syrup put on: hour of the weather, mass, kg, and stores per mass, kg/kg.
type Syrup = (usize, f64, f64);

/// What the feeds are worth for a colony of `bees` bees that is weighed on `start` with room for `room` kg of honey in its combs, in a share
/// `p_level` of the years.
///
/// With fewer than five years to count in, the worst of them counts.
#[must_use]
pub fn planned(
    feeds: &[FeedEvent],
    (bees, room): (f64, f64),
    start: MonthDay,
    weather: &Weather<'_>,
    p_level: f64,
    p: &Parameters,
) -> Planned {
    let mut all = Planned {
        given: feeds.iter().map(|f| f.feed.stores(p)).sum(),
        ..Planned::default()
    };
    let (first, last) = weather.autumn;
    let length = i64::from(days_between(first, last));
    // An autumn without records of its own is looked at in the winters that were run, from their start on.
    let (autumns, from) = if weather.autumns.len() >= FEWEST {
        (weather.autumns, first)
    } else {
        (weather.winters, start)
    };
    let syrups = |autumn: bool, from: MonthDay| -> Vec<Syrup> {
        let in_autumn = |day: MonthDay| since(first, day) <= length;
        let mut list: Vec<Syrup> = feeds
            .iter()
            .filter(|f| in_autumn(f.date) == autumn)
            .filter_map(|f| match f.feed {
                Feed::Syrup { mass, .. } if mass > 0.0 => {
                    // What is given before the first day of the weather is there on it.
                    let day = usize::try_from(since(from, f.date)).unwrap_or(0);
                    Some((24 * day, mass, f.feed.stores(p) / mass))
                }
                _ => None,
            })
            .collect();
        list.sort_by_key(|s| s.0);
        list
    };
    let autumn_ends = 24 * (days_between(from, later(last, 1)) as usize);
    let mut lost = |list: &[Syrup], taken: Vec<f64>, from: MonthDay| {
        let whole: f64 = list.iter().map(|s| s.1 * s.2).sum();
        let least: Vec<f64> = taken.iter().map(|t| -t).collect();
        let counted = level(&least, p_level)
            .map(|l| -l.value)
            .or_else(|| taken.iter().copied().reduce(f64::min))
            .map_or(whole, |kg| kg.clamp(0.0, whole));
        if whole - counted <= NO_LOSS {
            return 0.0;
        }
        all.late = list.last().map(|s| later(from, (s.0 / 24) as u32));
        whole - counted
    };
    let mut lost_then = [0.0; 2];
    let list = syrups(true, from);
    if !list.is_empty() {
        let taken = autumns
            .iter()
            .map(|a| taken(a, &list, autumn_ends, bees, p));
        lost_then[0] = lost(&list, taken.collect(), from);
    }
    let list = syrups(false, start);
    if !list.is_empty() {
        let taken = weather
            .winters
            .iter()
            .zip(weather.bees_left)
            .map(|(w, left)| taken(w, &list, w.hours.len(), left.min(bees), p));
        lost_then[1] = lost(&list, taken.collect(), start);
    }
    // In autumn, then after it with the room that eating made.
    let least = |i: usize| {
        weather
            .eaten
            .iter()
            .map(|e| e[i])
            .reduce(f64::min)
            .unwrap_or(0.0)
    };
    let mut room = room.max(0.0) + least(0);
    let mut hung = 0.0;
    for (autumn, lost) in [true, false].into_iter().zip(lost_then) {
        let mine = feeds
            .iter()
            .filter(|f| needs_room(&f.feed) && (since(first, f.date) <= length) == autumn);
        let whole: f64 = mine.map(|f| f.feed.stores(p)).sum();
        if !autumn {
            room += (least(1) - least(0)).max(0.0);
        }
        let put = (whole - lost).min(room);
        all.no_room += (whole - room).max(0.0);
        room -= put;
        hung += put;
    }
    if all.no_room <= NO_LOSS {
        all.no_room = 0.0;
    }
    let on_top = feeds.iter().filter(|f| !needs_room(&f.feed));
    all.counted = hung + on_top.map(|f| f.feed.stores(p)).sum::<f64>();
    all
}

/// Whether it goes into the combs.
fn needs_room(feed: &Feed) -> bool {
    matches!(feed, Feed::Syrup { .. } | Feed::Frames { .. })
}

/// Stores that come of the syrup taken up to hour `end`, kg: first put on, first taken.
fn taken(weather: &Winter, list: &[Syrup], end: usize, bees: f64, p: &Parameters) -> f64 {
    let mut feeder: Vec<Syrup> = list.to_vec();
    let mut stores = 0.0;
    for (i, hour) in weather.hours.iter().enumerate().take(end) {
        let mut appetite = taken_in_an_hour(hour.outdoor_c, bees, p);
        for (_, mass, worth) in feeder.iter_mut().take_while(|(on, ..)| *on <= i) {
            let here = mass.min(appetite);
            *mass -= here;
            appetite -= here;
            stores += here * *worth;
        }
    }
    stores
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::climate;
    use crate::colony::feeding::SYRUPS;
    use crate::decision::feeding::{autumn, last_feeding};

    const START: MonthDay = MonthDay { month: 10, day: 1 };

    fn litres(l: f64, month: u8, day: u8) -> FeedEvent {
        FeedEvent {
            date: MonthDay { month, day },
            feed: SYRUPS[0].litres(l),
        }
    }

    /// Catches syrup credited in full on a day too late for it, dry sugar that is not, a level that helps, and a last day that does not
    /// agree with what is counted: on it all of ten litres is taken, a fortnight later not.
    #[test]
    fn only_what_bees_still_take_counts() {
        let p = Parameters::with(&[]).unwrap();
        let record = climate::built_in("champion", &Default::default()).unwrap();
        let days = autumn(40.0);
        let autumns = record.winters(days.0, days.1).unwrap();
        let nectar = MonthDay { month: 5, day: 19 };
        let winters = record.winters(START, nectar).unwrap();
        let bees_left = vec![12_000.0; winters.len()];
        let bees = 2.8 / p.bee_mass;
        let told = last_feeding(&autumns, 2.8, 10.0, 0.9, &p, START).unwrap();
        let on = |autumns: &[Winter], feeds: &[FeedEvent], level| {
            let weather = Weather {
                autumns,
                autumn: days,
                winters: &winters,
                bees_left: &bees_left,
                eaten: &[],
            };
            planned(feeds, (bees, 60.0), START, &weather, level, &p)
        };
        let whole = 10.0 * 0.975;
        let month = |x: i8| u8::try_from(x).unwrap();
        let last = litres(10.0, month(told.date.month()), month(told.date.day()));
        let in_time = on(&autumns, &[last], 0.9);
        assert!((in_time.counted - whole).abs() < 0.02, "{in_time:?}");
        assert_eq!(in_time.late, None);
        let late = on(&autumns, &[litres(10.0, 11, 20)], 0.9);
        assert!(late.counted < 0.5 * whole, "{late:?}");
        assert_eq!(late.late, Some(MonthDay { month: 11, day: 20 }));
        assert!((late.given - whole).abs() < 0.02);
        assert!(on(&autumns, &[litres(10.0, 11, 20)], 0.5).counted > late.counted);
        // The same from the winters that were run, where the record has no autumns.
        let other = on(&[], &[litres(10.0, 11, 20)], 0.9);
        assert!(
            (other.counted - late.counted).abs() < 0.05 * whole,
            "{other:?}"
        );
        let sugar = FeedEvent {
            date: MonthDay { month: 11, day: 20 },
            feed: Feed::DrySugar(5.0),
        };
        assert_eq!(on(&autumns, &[sugar], 0.9).counted, 5.5);
        // In spring they take it again.
        let spring = on(&autumns, &[litres(2.0, 4, 10)], 0.9);
        assert!((spring.counted - spring.given).abs() < 0.05, "{spring:?}");
        assert!(on(&autumns, &[litres(10.0, 1, 10), litres(10.0, 5, 17)], 0.9).counted < 19.0);
    }

    /// Catches honey credited beyond what the combs hold: syrup fed into a full box, frames of honey hung into it, room that is counted
    /// twice; and dry sugar or spring feed turned away, for which there is room.
    #[test]
    fn what_finds_no_room_does_not_count() {
        let p = Parameters::with(&[]).unwrap();
        let record = climate::built_in("champion", &Default::default()).unwrap();
        let days = autumn(40.0);
        let autumns = record.winters(days.0, days.1).unwrap();
        let winters = record
            .winters(START, MonthDay { month: 5, day: 19 })
            .unwrap();
        let on = |feeds: &[FeedEvent], room, eaten| {
            let weather = Weather {
                autumns: &autumns,
                autumn: days,
                winters: &winters,
                bees_left: &vec![12_000.0; winters.len()],
                eaten: &vec![[0.0, eaten]; winters.len()],
            };
            planned(feeds, (2.8 / p.bee_mass, room), START, &weather, 0.9, &p)
        };
        let early = litres(10.0, 10, 3);
        let kg = early.feed.stores(&p);
        let full = on(&[early], 0.0, 20.0);
        assert_eq!((full.counted, full.late), (0.0, None));
        assert!((full.no_room - kg).abs() < 1e-12 && full.too_late() < 1e-12);
        let some = on(&[early], 4.0, 20.0);
        assert!((some.counted - 4.0).abs() < 1e-12 && (some.no_room - (kg - 4.0)).abs() < 1e-9);
        assert!((on(&[early], 30.0, 0.0).counted - kg).abs() < 0.02);
        // Late and without room: the two are told apart.
        let late = on(&[litres(10.0, 11, 20)], 9.0, 20.0);
        assert!(late.too_late() > 3.0 && (late.no_room - (kg - 9.0)).abs() < 1e-9);
        let frames = FeedEvent {
            date: START,
            feed: Feed::Frames {
                honey: 5.0,
                at: None,
            },
        };
        assert_eq!(on(&[frames], 2.0, 0.0).counted, 2.0);
        assert!((on(&[frames, early], 6.0, 0.0).counted - 6.0).abs() < 1e-12);
        let sugar = FeedEvent {
            date: START,
            feed: Feed::DrySugar(5.0),
        };
        assert_eq!(on(&[sugar], 0.0, 0.0).counted, 5.5);
        // What is eaten while the feeder is on makes room.
        let weather = Weather {
            autumns: &autumns,
            autumn: days,
            winters: &winters,
            bees_left: &[],
            eaten: &[[1.5, 1.5], [1.0, 2.0]],
        };
        let bees = 2.8 / p.bee_mass;
        let some = planned(&[early], (bees, 3.0), START, &weather, 0.9, &p);
        assert!((some.counted - 4.0).abs() < 1e-12, "{some:?}");
        // By spring the bees have made room.
        let spring = on(&[litres(2.0, 4, 10)], 0.0, 12.0);
        assert!((spring.counted - spring.given).abs() < 0.05 && spring.no_room == 0.0);
        assert!(on(&[early, litres(2.0, 4, 10)], 0.0, 1.0).counted < 1.01);
    }
}
