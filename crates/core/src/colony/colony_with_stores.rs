//! A colony with its combs: what the hour loop carries along for each hive.
//!
//! The loop solves the heats, then hands each hour over with [`ColonyWithStores::hour`]; at midnight it calls
//! [`ColonyWithStores::end_day`]. Everything is plain numbers: where the cluster sits and how large it is are read off with
//! [`ColonyWithStores::place`].

use super::brood::{BroodClock, BroodDay};
use super::cluster::ClusterHour;
use super::feeding::{Feed, Feeder};
use super::flights::{self, FlightHour, FlightLog};
use super::movement::{Around, ClusterPosition, Step};
use super::stores::{ForagingState, Meal, Place, ReachableStores, Stores};
use super::{Colony, DayEnd};
use crate::region::Region;

/// What a cluster reaches is worked out anew when its seat has moved so far, m, or its radius changed by this share: it then differs by a millimetre.
const MOVED: f64 = 0.002;
const CHANGED: f64 = 0.01;
/// How often the bees fill up and look around, s: their crops hold food for days, and cells are emptied over days.
const MEAL_EVERY: f64 = 12.0 * 3600.0;

/// Outside air of an hour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outside {
    /// Air temperature, degC.
    pub outdoor_c: f64,
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
pub struct ColonyWithStores {
    /// The bees.
    pub colony: Colony,
    /// Honey, need and hunger.
    pub foraging: ForagingState,
    /// The feeder.
    pub feeder: Feeder,
    seat: ClusterPosition,
    clock: BroodClock,
    flights: FlightLog,
    region: Region,
    reachable: ReachableStores,
    /// How far it reached on foot at the last look, m, and how many times the radius of a sphere that is.
    seen_radius: f64,
    stretch: f64,
    /// Where, m, and at which radius of a sphere, m, that was worked out.
    stretched: ([f64; 3], f64),
    looked: f64,
    /// Time since in which bees could walk their hive, s.
    walked: f64,
    density: f64,
    /// Eaten by the colony's account that foraging has been asked for, kg.
    asked: f64,
}

impl ColonyWithStores {
    /// A colony among its combs, settled where it finds honey ([`Stores::seat`]) within the space of its combs.
    #[must_use]
    pub fn new(colony: Colony, stores: Stores, clock: BroodClock, region: Region) -> Self {
        let radius = colony.radius();
        let stores = stores.within(region.clone());
        let mut seat = ClusterPosition::new(stores.seat(radius));
        seat.keep_within(&region);
        let seen_radius = region.ball(seat.centre(), radius).radius;
        let stretched = (seat.centre(), radius);
        let density = stores.density();
        let asked = colony.eaten();
        let mut all = Self {
            colony,
            foraging: ForagingState::new(stores),
            feeder: Feeder::default(),
            seat,
            clock,
            flights: FlightLog::default(),
            region,
            reachable: ReachableStores::default(),
            seen_radius,
            stretch: seen_radius / radius,
            stretched,
            looked: 0.0,
            walked: 0.0,
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
            radius: self.colony.radius() * self.stretch,
        }
    }

    /// Puts the cluster somewhere (m), within its region.
    pub fn put(&mut self, centre: [f64; 3]) {
        self.seat = self.seat.at(centre);
        self.seat.keep_within(&self.region);
        self.stretch();
    }

    /// Works out how far the cluster reaches from where it sits, if it has moved or changed.
    fn stretch(&mut self) {
        let (seat, size) = (self.seat.centre(), self.colony.radius());
        let (before, then) = self.stretched;
        let still = seat.iter().zip(before).all(|(a, b)| (a - b).abs() <= MOVED);
        if size > 0.0 && !(still && (size / then - 1.0).abs() <= CHANGED) {
            self.stretch = self.region.ball(seat, size).radius / size;
            self.stretched = (seat, size);
        }
    }

    /// The last look around: honey in contact and where the nearest other honey is; half a day old at most.
    #[must_use]
    pub fn reachable_stores(&self) -> &ReachableStores {
        &self.reachable
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
        self.feeder.give(feed, &mut self.foraging.stores, &place, p);
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
            outside.outdoor_c,
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
            outside.outdoor_c,
            bees,
            &mut self.foraging.stores,
            &place,
            self.colony.parameters(),
        );
        self.looked += dt;
        if around.air_c >= self.colony.parameters().carry_c {
            self.walked += dt;
        }
        let mut meal = Meal::NONE;
        if self.looked >= MEAL_EVERY {
            meal = self.eat(&place);
            self.look();
            self.fetch();
        }
        let step = if self.colony.alive() {
            self.seat.advance(
                dt,
                place.radius,
                &self.region,
                around,
                &self.reachable,
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
        if self.foraging.starved().is_some() {
            return enough;
        }
        let crops = self.colony.crops();
        let held = if crops > 0.0 {
            1.0 - (self.foraging.hunger() / crops).min(1.0)
        } else {
            0.0
        };
        held * self.foraging.stores.total().min(enough)
    }

    /// Eats what the colony's account has grown by since the last meal.
    fn eat(&mut self, place: &Place) -> Meal {
        let due = self.colony.eaten() - self.asked;
        self.asked = self.colony.eaten();
        self.foraging.feed(place, due, self.colony.crops())
    }

    /// Fetches honey from all over the hive to where the cluster touches it, as far as bees could walk, until there is as much there as they carry in
    /// their crops: food for the next days, and no reason to stay where there is no more.
    fn fetch(&mut self) {
        let able = self.colony.parameters().carry_rate * self.colony.mass() * self.walked;
        let wanting = self.colony.crops() - self.reachable.contact;
        self.walked = 0.0;
        if self.colony.alive() && able.min(wanting) > 0.0 {
            let place = self.place();
            let stores = &mut self.foraging.stores;
            if stores.carry(&place, able.min(wanting)) > 0.0 {
                self.reachable = stores.reachable_stores(&place);
            }
        }
    }

    fn look(&mut self) {
        self.stretch();
        let place = self.place();
        let mut seen = self.foraging.stores.reachable_stores(&place);
        let shrunk = self.seen_radius - place.radius;
        if self.colony.alive()
            && shrunk > 0.0
            && self
                .seat
                .draw_together(shrunk, &self.region, &seen, self.reachable.pull)
        {
            self.stretch();
            seen = self.foraging.stores.reachable_stores(&self.place());
        }
        self.reachable = seen;
        self.seen_radius = place.radius;
        self.looked = 0.0;
    }
}

#[cfg(test)]
mod tests;
