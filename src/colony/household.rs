//! A colony with its combs: what the hour loop carries along for each hive.
//!
//! The loop solves the heats, then hands each hour over with [`Household::hour`]; at midnight it calls
//! [`Household::end_day`]. Everything is plain numbers: where the cluster sits and how large it is are read off with
//! [`Household::place`].

use super::brood::{BroodClock, BroodDay};
use super::cluster::ClusterHour;
use super::feeding::{Feed, Feeder};
use super::flights::{self, FlightHour, FlightLog};
use super::movement::{Around, Seat, Step};
use super::stores::{Bounds, Larder, Meal, Place, Stores, Survey};
use super::{Colony, DayEnd};

/// How often the bees fill up and look around, s: their crops hold food for days, and cells are emptied over days.
const MEAL_EVERY: f64 = 12.0 * 3600.0;

/// Outside air of an hour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outside {
    /// Air temperature, degC.
    pub temp_c: f64,
    /// Global horizontal irradiance, W/m2.
    pub ghi: f64,
    /// Wind at the hives, m/s.
    pub wind: f64,
}

/// What an hour did besides heat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HouseholdHour {
    /// The meal.
    pub meal: Meal,
    /// The cluster's displacement.
    pub step: Step,
    /// Flight.
    pub flight: FlightHour,
    /// Syrup taken from the feeder, kg.
    pub syrup: f64,
}

/// A colony with its stores, its seat, its feeder and its brood season.
#[derive(Debug, Clone)]
pub struct Household {
    /// The bees.
    pub colony: Colony,
    /// Honey, need and hunger.
    pub larder: Larder,
    /// The feeder.
    pub feeder: Feeder,
    seat: Seat,
    clock: BroodClock,
    flights: FlightLog,
    bounds: Bounds,
    survey: Survey,
    /// Radius at the last look, m.
    seen_radius: f64,
    looked: f64,
    density: f64,
    /// Eaten by the colony's account that the larder has been asked for, kg.
    asked: f64,
}

impl Household {
    /// A colony among its combs, settled where it finds honey ([`Stores::seat`]) within `bounds` (the room of the combs, m).
    #[must_use]
    pub fn new(colony: Colony, stores: Stores, clock: BroodClock, bounds: Bounds) -> Self {
        let radius = colony.radius();
        let mut seat = Seat::new(stores.seat(radius));
        seat.keep_within(&bounds, radius);
        let density = stores.density();
        let asked = colony.eaten();
        let mut all = Self {
            colony,
            larder: Larder::new(stores),
            feeder: Feeder::default(),
            seat,
            clock,
            flights: FlightLog::default(),
            bounds,
            survey: Survey::default(),
            seen_radius: radius,
            looked: 0.0,
            density,
            asked,
        };
        all.look();
        all
    }

    /// Where the cluster is now and how large.
    #[must_use]
    pub fn place(&self) -> Place {
        Place {
            centre: self.seat.centre(),
            radius: self.colony.radius(),
            clip: Some(self.bounds),
        }
    }

    /// Puts the cluster somewhere (m), within its bounds.
    pub fn put(&mut self, centre: [f64; 3]) {
        self.seat = self.seat.at(centre);
        self.seat.keep_within(&self.bounds, self.colony.radius());
    }

    /// The last look around: honey in contact and where the nearest other honey is; half a day old at most.
    #[must_use]
    pub fn survey(&self) -> &Survey {
        &self.survey
    }

    /// Flights so far.
    #[must_use]
    pub fn flights(&self) -> &FlightLog {
        &self.flights
    }

    /// Day on which brood started.
    #[must_use]
    pub fn brood_onset(&self) -> Option<i32> {
        self.clock.onset()
    }

    /// Gives a feed now.
    pub fn feed(&mut self, feed: &Feed) {
        let place = self.place();
        let p = self.colony.parameters();
        self.feeder.give(feed, &mut self.larder.stores, &place, p);
        self.look();
    }

    /// Takes an hour over: heat from `done`, the temperature `ambient_c` (degC) around the cluster, what the cluster feels of
    /// the hive, and outside air. The need goes on in the shadow account when nothing is left; whether a
    /// colony that starved is then to be taken for dead ([`Colony::kill`]) is the caller's to say.
    pub fn hour(
        &mut self,
        done: &ClusterHour,
        ambient_c: f64,
        around: &Around,
        outside: &Outside,
        dt: f64,
    ) -> HouseholdHour {
        self.colony.commit(done, ambient_c, dt);
        let bees = self.colony.bees();
        let flight = flights::hour(
            outside.temp_c,
            outside.ghi,
            outside.wind,
            bees,
            self.colony.parameters(),
        );
        self.flights.hour(&flight);
        self.colony
            .fly(flight.power * dt / self.colony.parameters().honey_energy);
        let place = self.place();
        let syrup = self.feeder.pass(
            dt,
            outside.temp_c,
            bees,
            &mut self.larder.stores,
            &place,
            self.colony.parameters(),
        );
        self.looked += dt;
        let mut meal = Meal::NONE;
        if self.looked >= MEAL_EVERY {
            meal = self.eat(&place);
            self.look();
        }
        let step = if self.colony.alive() {
            self.seat.advance(
                dt,
                place.radius,
                &self.bounds,
                around,
                &self.survey,
                meal.taken,
                self.density,
                self.colony.parameters(),
            )
        } else {
            Step {
                moved: [0.0; 3],
                loose: false,
            }
        };
        HouseholdHour {
            meal,
            step,
            flight,
            syrup,
        }
    }

    /// Ends day number `day` (counted as in the brood clock) of mean outside temperature `mean_c` (degC).
    pub fn end_day(&mut self, day: i32, mean_c: f64) -> BroodDay {
        let brood_share = self.clock.day(day, mean_c, self.colony.parameters());
        self.flights.end_day();
        let done = self.colony.end_day_within(&DayEnd {
            brood_share,
            honey: self.food(),
        });
        let place = self.place();
        self.eat(&place);
        done
    }

    /// Honey that brood can count on, kg: what is in the hive, for bees carry it to the nest; while they go hungry, less in
    /// proportion to what their crops still hold, so that a cell out of reach at midnight does not stop a queen for a day.
    /// A colony that starved goes on as if it had been fed, so that the need of the winter does not hang on how much honey there was.
    fn food(&self) -> f64 {
        let enough = self.colony.parameters().brood_stores;
        if self.larder.starved().is_some() {
            return enough;
        }
        let crops = self.colony.crops();
        let held = if crops > 0.0 {
            1.0 - (self.larder.hunger() / crops).min(1.0)
        } else {
            0.0
        };
        held * self.larder.stores.total().min(enough)
    }

    /// Eats what the colony's account has grown by since the last meal.
    fn eat(&mut self, place: &Place) -> Meal {
        let due = self.colony.eaten() - self.asked;
        self.asked = self.colony.eaten();
        self.larder.feed(place, due, self.colony.crops())
    }

    fn look(&mut self) {
        let place = self.place();
        let mut seen = self.larder.stores.survey(&place);
        let shrunk = self.seen_radius - place.radius;
        if self.colony.alive()
            && shrunk > 0.0
            && self
                .seat
                .draw_together(shrunk, place.radius, &self.bounds, &seen, self.survey.pull)
        {
            seen = self.larder.stores.survey(&self.place());
        }
        self.survey = seen;
        self.seen_radius = place.radius;
        self.looked = 0.0;
    }
}

#[cfg(test)]
mod tests {
    use super::super::parameters::Parameters;
    use super::super::stores::{BoxCombs, Lack, Placement};
    use super::*;

    const HOUR: f64 = 3600.0;
    const BOUNDS: Bounds = [[0.0, 0.372], [0.02, 0.47], [0.04, 0.44]];

    fn combs() -> Vec<BoxCombs> {
        let one = |z: [f64; 2], full_frame| BoxCombs {
            frames_x: (0..10).map(|i| 0.024 + 0.036 * f64::from(i)).collect(),
            pitch: 0.036,
            y: [0.03, 0.46],
            z,
            full_frame,
        };
        vec![one([0.05, 0.253], 2.7), one([0.30, 0.433], 1.7)]
    }

    fn household(bees: f64, placement: Placement<'_>) -> Household {
        let p = Parameters::with(&[]).unwrap();
        let stores = Stores::new(combs(), placement, p.contact_reach).unwrap();
        let colony = Colony::new(bees, 5.0, 0.05, p);
        Household::new(colony, stores, BroodClock::new(120, 160), BOUNDS)
    }

    /// Some days in outside air of `air` degC on day d; the hive is 4 K warmer around the cluster, 1 K beside it, in a gradient.
    fn live(h: &mut Household, days: i32, gradient: [f64; 3], air: impl Fn(i32) -> f64) {
        for day in 0..days {
            for hour in 0..24 {
                let sun = (std::f64::consts::TAU * f64::from(hour - 6) / 24.0).sin();
                let out = air(day) + 4.0 * sun;
                let done = h.colony.prepare(HOUR).at(out + 4.0);
                let around = Around {
                    air_c: out + 1.0,
                    gradient,
                };
                let outside = Outside {
                    temp_c: out,
                    ghi: 300.0 * sun.max(0.0),
                    wind: 1.0,
                };
                h.hour(&done, out + 4.0, &around, &outside, HOUR);
            }
            h.end_day(day, air(day));
        }
    }

    /// Catches honey or need lost between colony, larder and combs over a whole winter with brood and flights.
    #[test]
    fn a_winter_adds_up() {
        let mut h = household(1.7, Placement::Natural(30.0));
        let start = h.place().centre[2];
        live(&mut h, 210, [0.0; 3], |d| {
            6.0 - 10.0 * (std::f64::consts::PI * f64::from(d) / 180.0).sin()
        });
        let l = &h.larder;
        assert!((l.need() - h.colony.eaten()).abs() < 1e-9);
        let counted: f64 = l.stores.cells().iter().map(|c| c.left).sum();
        assert!((l.stores.put_in() - counted - l.stores.eaten()).abs() < 1e-11);
        assert!((l.need() - l.stores.eaten() - l.hunger() - l.shadow()).abs() < 1e-9);
        assert_eq!(l.starved(), None, "{:?}", h.survey());
        assert!((5.0..20.0).contains(&l.need()), "{} kg", l.need());
        let rise = h.place().centre[2] - start;
        assert!((0.03..0.35).contains(&rise), "risen {rise} m");
        assert!(h.flights().hours > 20 && h.brood_onset().is_some());
        assert!(h.colony.tally().pollen > 0.0 && h.colony.tally().flown > 0.0);
    }

    /// Catches a run that ends when the stores do: the need of the whole winter must be known all the same, and be the same.
    #[test]
    fn need_is_known_beyond_the_stores() {
        let need = |kg: f64| {
            let mut h = household(1.7, Placement::Natural(kg));
            live(&mut h, 100, [0.0; 3], |_| 0.0);
            (h.larder.need(), h.larder.starved())
        };
        let (full, lived) = need(40.0);
        let (short, died) = need(1.5);
        assert_eq!(lived, None);
        assert!(matches!(died, Some(Lack::RanOut | Lack::Isolated { .. })));
        assert!((full - short).abs() < 1e-9, "{full} {short}");
    }

    /// Catches syrup that never becomes food: a colony short of stores fed in a warm autumn must live on it.
    #[test]
    fn autumn_syrup_is_lived_on() {
        let run = |feed: bool| {
            let mut h = household(1.7, Placement::Natural(1.5));
            if feed {
                h.feed(&Feed::Syrup {
                    sugar: 10.0,
                    mass: 15.0,
                });
            }
            live(&mut h, 100, [0.0; 3], |d| if d < 25 { 14.0 } else { 0.0 });
            h
        };
        assert!(run(false).larder.starved().is_some());
        let fed = run(true);
        assert_eq!(fed.larder.starved(), None, "{:?}", fed.survey());
        assert!(fed.feeder.in_feeder() < 1e-9, "{}", fed.feeder.in_feeder());
    }

    /// Catches a gathering that is written in: with the gradient turned round, the cluster goes to the other wall, with
    /// none it stays, and in the cold it does not cross at all.
    #[test]
    fn the_gradient_alone_gathers() {
        let x = |gx: f64, air: f64| {
            let mut h = household(1.7, Placement::Natural(35.0));
            live(&mut h, 20, [gx, 0.0, 0.0], |_| air);
            h.place().centre[0]
        };
        let (right, left, none) = (x(15.0, 9.0), x(-15.0, 9.0), x(0.0, 9.0));
        assert!(
            right > none + 0.03 && left < none - 0.03,
            "{left} {none} {right}"
        );
        assert!((right + left - 2.0 * none).abs() < 0.01);
        assert!((x(15.0, -8.0) - x(0.0, -8.0)).abs() < 1e-12);
    }

    /// Catches the sign of mild winters wrong: use is least somewhere from -2 to +10 degC outside (check T_Pmin) and rises from
    /// there with temperature and with light (Norrstrom et al. 2021); nothing was tuned to either.
    #[test]
    fn mild_and_bright_days_cost_more() {
        let use_at = |air: f64, noon: f64| {
            let mut h = household(11_500.0 * 0.113e-3, Placement::Natural(25.0));
            let mut before = 0.0;
            for day in 0..8 {
                before = h.larder.need();
                for hour in 0..24 {
                    let sun = (std::f64::consts::TAU * f64::from(hour - 6) / 24.0).sin();
                    let out = air + 3.0 * sun;
                    let done = h.colony.prepare(HOUR).at(out + 2.0);
                    let around = Around {
                        air_c: out,
                        gradient: [0.0; 3],
                    };
                    let outside = Outside {
                        temp_c: out,
                        ghi: noon * sun.max(0.0),
                        wind: 2.0,
                    };
                    h.hour(&done, out + 2.0, &around, &outside, HOUR);
                }
                h.end_day(day, air);
            }
            h.larder.need() - before
        };
        let airs: Vec<f64> = (-4..=4).map(|i| 3.0 * f64::from(i)).collect();
        let grams: Vec<f64> = airs.iter().map(|&a| 1e3 * use_at(a, 250.0)).collect();
        let least = (0..airs.len())
            .min_by(|&a, &b| grams[a].total_cmp(&grams[b]))
            .unwrap();
        assert!((-2.0..=10.0).contains(&airs[least]), "{grams:?}");
        for i in least..airs.len() - 1 {
            if airs[i + 1] <= 9.0 {
                assert!(grams[i + 1] > grams[i], "{airs:?} {grams:?}");
            }
        }
        assert!(use_at(6.0, 250.0) > 1.1 * use_at(6.0, 100.0));
    }

    /// Catches brood that stops for a day when a few grams were out of reach at midnight, and a starving colony that goes on as if fed:
    /// what is begun falls in a line with what the crops still hold.
    #[test]
    fn hunger_cuts_brood_back_in_a_line() {
        let begun = |missing: f64| {
            let mut h = household(1.7, Placement::Natural(20.0));
            let far = Place {
                centre: [10.0; 3],
                ..h.place()
            };
            let crops = h.colony.crops();
            h.larder.feed(&far, missing * crops, crops);
            assert!((h.larder.hunger() - missing * crops).abs() < 1e-12);
            h.end_day(160, 8.0).begun
        };
        let fed = begun(0.0);
        assert!(fed > 1.0);
        for missing in [0.001, 0.1, 0.5, 1.0] {
            let share = begun(missing) / fed;
            assert!((share - (1.0 - missing)).abs() < 1e-9, "{missing}: {share}");
        }
    }

    /// Catches the dead eating, flying or walking about.
    #[test]
    fn the_dead_stay_where_they_are() {
        let mut h = household(1.7, Placement::Natural(20.0));
        live(&mut h, 5, [5.0; 3], |_| 5.0);
        h.colony.kill();
        let (at, left, need) = (h.place().centre, h.larder.stores.total(), h.larder.need());
        live(&mut h, 20, [5.0; 3], |_| 9.0);
        assert_eq!((h.place().centre, h.larder.stores.total()), (at, left));
        assert_eq!(h.larder.need(), need);
    }
}
