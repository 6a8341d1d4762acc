//! What water can gather on in a stack, and what drives it in an hour.

use super::skin::Skin;
use super::surface::{InnerSurface, Wall, inner_surfaces};
use super::vapour::Streams;
use crate::boundary::condensation::vapour_transfer;
use crate::boundary::film::{HeatFlow, convective_inside};
use crate::hive::{AirPort, Hive, StackAir};
use crate::stand::{Floor, OpeningPlace, Scenario};

/// Temperature at which vapour's transfer is taken, degC: it changes by 1 % in 6 K.
const FILM_C: f64 = 5.0;
/// Heat from air between two plates to them, all along a slot: `7.54 k/(2 w)` (laminar flow, even temperature, textbook); k of air at 5 degC.
const SLOT: f64 = 7.54 * 0.0245 / 2.0;

/// Something water gathers on.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    /// The side it is; `None` for combs.
    pub wall: Option<Wall>,
    /// From-to along it and the other way, m, as of a [`Patch`](super::Patch).
    pub bounds: [[f64; 2]; 2],
    /// Area, m2.
    pub area: f64,
    /// Spaces whose air it meets, with their shares.
    pub meets: Vec<(usize, f64)>,
    /// Share of the heat set free on it that goes to them; the rest goes outside.
    pub inward: f64,
    /// Space whose temperature it has, for combs.
    pub space: Option<usize>,
    /// Vapour from air to its surface, kg/(m2 s Pa).
    pub transfer: f64,
    /// Wood that takes up water.
    pub skin: Option<Skin>,
    /// Vapour through what lies behind it, kg/(m2 s Pa).
    pub outwards: f64,
}

/// A stack's water, ready for the weather.
#[derive(Debug, Clone, PartialEq)]
pub struct PreparedWater {
    pub(super) air: StackAir,
    /// Inner surfaces first, then combs.
    pub(super) places: Vec<Place>,
    /// How many of them are surfaces.
    surfaces: usize,
    /// The floor among them.
    pub(super) floor: Option<usize>,
    /// Whether water on the floor can run out.
    pub(super) drained: bool,
    pub(super) run_off: f64,
    pub(super) lid_holds: f64,
}

/// Air of an hour as water meets it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HourAir<'a> {
    /// On its way.
    pub streams: Streams<'a>,
    /// Vapour pressure outside, Pa.
    pub outside: f64,
    /// Air pressure, Pa.
    pub pressure: f64,
    /// Outside air that passes, kg/s.
    pub fresh: f64,
}

/// Bees of an hour as water meets them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bees<'a> {
    /// Water they give off, kg/s.
    pub water: f64,
    /// Carbon dioxide, kg/s.
    pub carbon_dioxide: f64,
    /// Spaces that their breath rises to, with their shares.
    pub rises: &'a [(usize, f64)],
    /// Space with most of them.
    pub space: usize,
    /// Middle of the cluster, m.
    pub centre: [f64; 3],
    /// Its radius, m.
    pub radius: f64,
    /// Temperature around it, degC.
    pub around_c: f64,
}

impl PreparedWater {
    /// The water of stack `i`, and the unknowns that make the temperatures of its surfaces, with their shares.
    #[must_use]
    pub fn of(hive: &Hive, s: &Scenario, i: usize) -> (Self, Vec<Vec<(usize, f64)>>) {
        let air = &hive.stacks[i].air;
        let mut readings = Vec::new();
        let mut places = Vec::new();
        for surface in inner_surfaces(hive, s, i) {
            let meets = meets(air, &surface);
            if !meets.is_empty() {
                places.push(place(&surface, meets));
                readings.push(surface.reading);
            }
        }
        let surfaces = places.len();
        places.extend(combs(air));
        let stack = &s.stacks[i];
        let low = |o: &crate::stand::Opening| match o.place {
            OpeningPlace::Floor => true,
            OpeningPlace::Box(_) | OpeningPlace::Head => false,
        };
        let prepared = Self {
            floor: places.iter().position(|p| p.wall == Some(Wall::Floor)),
            drained: stack.openings.iter().any(low)
                || matches!(stack.floor, Floor::OpenMesh { .. }),
            run_off: hive.combs.run_off,
            lid_holds: hive.combs.lid_holds,
            air: air.clone(),
            places,
            surfaces,
        };
        (prepared, readings)
    }

    /// How many surfaces have a temperature of their own.
    #[must_use]
    pub fn surfaces(&self) -> usize {
        self.surfaces
    }

    /// What water gathers on: inner surfaces first, then combs.
    #[must_use]
    pub fn places(&self) -> &[Place] {
        &self.places
    }
}

/// Spaces this much further off than the nearest still meet a surface, m.
const AS_NEAR: f64 = 0.005;

/// Spaces that a surface faces, with their shares of it.
fn meets(air: &StackAir, surface: &InnerSurface) -> Vec<(usize, f64)> {
    let faced = air
        .spaces
        .iter()
        .map(|s| s.faces(surface.axis, surface.at, surface.bounds));
    let faced: Vec<(f64, f64)> = faced.collect();
    let nearest = faced.iter().map(|f| f.0).fold(f64::INFINITY, f64::min);
    let near = |f: &(f64, f64)| f.0 <= nearest + AS_NEAR && f.1 > 0.0;
    let sum: f64 = faced.iter().filter(|f| near(f)).map(|f| f.1).sum();
    let all = faced.iter().enumerate().filter(|(_, f)| near(f));
    all.map(|(s, f)| (s, f.1 / sum)).collect()
}

fn place(surface: &InnerSurface, meets: Vec<(usize, f64)>) -> Place {
    Place {
        wall: Some(surface.wall),
        bounds: surface.bounds,
        area: surface.area,
        inward: surface.inward,
        meets,
        space: None,
        transfer: vapour_transfer(surface.convective, FILM_C),
        skin: surface.skin,
        outwards: surface.outwards,
    }
}

/// Combs, zone by zone: wax takes up nothing, and has the temperature of the air in its seams.
fn combs(air: &StackAir) -> impl Iterator<Item = Place> + '_ {
    let zones = air.spaces.iter().enumerate();
    zones.filter_map(|(s, space)| {
        let AirPort::Region(_) = space.port else {
            return None;
        };
        // Air of a seam has a comb on either side.
        let area = 2.0 * space.area() * (space.z[1] - space.z[0]) / space.slot();
        Some(Place {
            wall: None,
            bounds: [[0.0; 2]; 2],
            area,
            meets: vec![(s, 1.0)],
            inward: 1.0,
            space: Some(s),
            transfer: vapour_transfer(
                (SLOT / space.slot()).max(convective_inside(HeatFlow::Horizontal)),
                FILM_C,
            ),
            skin: None,
            outwards: 0.0,
        })
    })
}
