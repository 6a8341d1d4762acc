//! The inner surfaces of each hive laid out flat: how cold they are, and where the bees' water gathers.

use super::axis::span;
use super::drawing::{BLACK, Drawing, SMALL, Side, Span, Stroke};
use super::letters::text_width;
use super::plan::{EDGE, Plan, Rect, Tile, extent, merged};
use super::shades::Shades;
use super::sheet::Sample;
use super::{Picture, PictureError, all_drawable};
use crate::text;
use crate::texts::said;
use crate::words::{LightWords, Units};
use partywall_core::water::{Gathered, Patch, Wall, WinterWater};

/// What is drawn.
pub struct SurfacesPicture<'a> {
    /// Title.
    pub title: &'a str,
    /// Words below it.
    pub below: &'a str,
    /// The hives with a colony, from the left.
    pub hives: &'a [SurfaceHive],
}

/// The inside of one hive.
#[derive(Debug, Clone, PartialEq)]
pub struct SurfaceHive {
    /// Name.
    pub name: String,
    /// Its sides.
    pub walls: Vec<SurfaceWall>,
    /// What becomes of the water, in words.
    pub water: String,
}

/// One side, seen as flat; lengths in m.
#[derive(Debug, Clone, PartialEq)]
pub struct SurfaceWall {
    /// "left wall".
    pub name: &'static str,
    /// What is at its left or upper end, in words.
    pub end: &'static str,
    /// Its parts.
    pub tiles: Vec<Tile>,
    /// Whether dew or frost gathers on each.
    pub wet: Vec<bool>,
}

/// Gap between two sides, units.
const GAP: f64 = 24.0;
/// Greatest height of a side, units.
const UP: f64 = 250.0;
/// Distance of the hatching's lines, measured across or up, units.
const HATCH: f64 = 11.0;
const WET: Stroke = Stroke::solid(BLACK, 0.9);

fn named(w: Wall) -> (&'static str, &'static str) {
    match w {
        Wall::Left => (said("pictures.left_wall"), said("pictures.front_at_left")),
        Wall::Right => (said("pictures.right_wall"), said("pictures.front_at_left")),
        Wall::Front => (
            said("pictures.front_wall"),
            said("pictures.seen_from_behind"),
        ),
        Wall::Back => (
            said("pictures.back_wall"),
            said("pictures.seen_from_behind"),
        ),
        Wall::Lid => (said("pictures.under_lid"), said("pictures.front_above")),
        Wall::Floor => ("floor", said("pictures.front_above")),
    }
}

/// A film this thick is drawn and told, kg/m2 (a choice: what one sees as dew).
const SEEN: f64 = 0.005;

/// What is known of a hive's water: what lies on each patch, kg/m2, what lies in all, and the books since autumn.
#[derive(Debug, Clone, Copy)]
pub struct HiveWater<'a> {
    /// Dew and ice on each of the patches, kg/m2.
    pub on: &'a [f64],
    /// Dew and ice in the whole hive, kg.
    pub lies: Gathered,
    /// What became of the rest.
    pub books: &'a WinterWater,
}

/// A hive from its surfaces and its water.
#[must_use]
pub fn hive(name: &str, patches: &[Patch], water: &HiveWater<'_>) -> SurfaceHive {
    let of = |wall| {
        let mine = move |(_, p): &(usize, &Patch)| p.wall == wall;
        patches.iter().enumerate().filter(mine)
    };
    let wet = |i: usize| water.on.get(i).is_some_and(|on| *on > SEEN);
    let walls = Wall::ALL.map(|wall| {
        let (name, end) = named(wall);
        let flat = matches!(wall, Wall::Lid | Wall::Floor);
        SurfaceWall {
            name,
            end,
            tiles: of(wall)
                .map(|(_, p)| Tile {
                    at: [p.along, if flat { [-p.up[1], -p.up[0]] } else { p.up }],
                    c: p.temp_c,
                })
                .collect(),
            wet: of(wall).map(|(i, _)| wet(i)).collect(),
        }
    });
    SurfaceHive {
        name: name.to_owned(),
        walls: walls.into_iter().filter(|w| !w.tiles.is_empty()).collect(),
        water: water_words(water),
    }
}

/// What became of the bees' water.
fn water_words(water: &HiveWater<'_>) -> String {
    let b = water.books;
    if b.made <= 0.0 {
        return said("pictures.no_bees_no_water").to_owned();
    }
    // What rounds to nothing is left out.
    let listed = |all: &[(f64, &'static str)]| {
        let told = all.iter().filter(|(kg, _)| *kg >= 0.5e-3);
        let told = told.map(|(kg, what)| format!("{} {}", Units::Both.light(*kg), said(what)));
        told.collect::<Vec<_>>().join(", ")
    };
    let gone = listed(&[
        (b.carried, "pictures.left_with_air"),
        (b.through, "pictures.went_through"),
        (b.run_off, "pictures.ran_off"),
        (b.in_wood, "pictures.more_in_wood"),
        (-b.in_wood, "pictures.less_in_wood"),
    ]);
    let l = &water.lies;
    let lies = listed(&[
        (l.lid, "pictures.under_the_lid"),
        (l.walls, "pictures.on_the_walls"),
        (l.floor, "pictures.on_the_floor"),
        (l.combs, "pictures.on_combs"),
    ]);
    let made = Units::Both.light(b.made);
    let so_far = text!("pictures.water_so_far", made, gone);
    let now = if lies.is_empty() {
        said("pictures.nothing_lies").to_owned()
    } else {
        text!("pictures.lies_now", lies)
    };
    format!("{so_far} {now}")
}

/// Draws the inner surfaces.
///
/// # Errors
/// Without a surface, or with a value that is not a number.
pub fn surfaces(p: &SurfacesPicture<'_>) -> Result<Picture, PictureError> {
    Picture::new("surfaces".to_owned(), |width| sheet(p, width))
}

impl SurfaceWall {
    fn extent(&self) -> Rect {
        extent(self.tiles.iter().map(|t| &t.at))
    }

    /// What stands above it, and the two lines below.
    fn words(&self) -> [String; 3] {
        let [least, _] = span(self.tiles.iter().map(|t| t.c));
        let coldest = text!("pictures.coldest", least = Units::Both.temperature(least));
        [self.name.to_owned(), self.end.to_owned(), coldest]
    }
}

/// The drawing of [`surfaces`].
pub(super) fn sheet(p: &SurfacesPicture<'_>, width: f64) -> Result<Drawing, PictureError> {
    let walls = || p.hives.iter().flat_map(|h| &h.walls);
    let values = walls().flat_map(|w| &w.tiles).flat_map(|t| {
        let place = t.at.as_flattened().iter().sum();
        [
            (said("pictures.edge_surface_m"), place),
            (said("pictures.temperature_surface_degc"), t.c),
        ]
    });
    all_drawable(p.title, p.below, values)?;
    let most = |a: usize| {
        let sizes = walls().map(|w| w.extent()[a]);
        sizes.map(|[from, to]| to - from).fold(0.0, f64::max)
    };
    if !(most(0) > 0.0 && most(1) > 0.0) {
        return Err(PictureError::Empty(p.title.to_owned()));
    }
    let mut d = Drawing::new(width);
    let (left, beside) = d.pick((20.0, 4.0), (14.0, 2.0));
    let room = width - 2.0 * left;
    // As many side by side as the sheet is to hold, were all as wide as the widest.
    let k = ((room - GAP * (beside - 1.0)) / (beside * most(0))).min(UP / most(1));
    let shades = Shades::over(walls().flat_map(|w| w.tiles.iter().map(|t| t.c)));
    d.heading(p.title, p.below);
    shades.key(&mut d, 50.0);
    let wet = |d: &mut Drawing, place: [Span; 2]| {
        hatch(d, place);
        d.outline(place, EDGE);
    };
    d.key(
        28.0,
        &[(Sample::Mark(wet), said("pictures.dew_frost_gathers"))],
    );
    d.size[1] += 36.0;
    for h in p.hives {
        d.caption(0.0, &h.name);
        let (mut x, mut y, mut tallest) = (left, d.size[1] + 24.0, 0.0_f64);
        for w in &h.walls {
            let [wide, tall] = w.extent().map(|[from, to]| k * (to - from));
            if x > left && x + wide > width - left + 0.5 {
                (x, y) = (left, y + tallest + 66.0);
                tallest = 0.0;
            }
            one(&mut d, w, [x, y], k, &shades);
            tallest = tallest.max(tall);
            let words = w.words().into_iter().map(|t| text_width(&t, SMALL));
            x += words.fold(wide, f64::max) + GAP;
        }
        d.size[1] = y + tallest;
        d.remark(72.0, &h.water);
        d.size[1] += 40.0;
    }
    d.size[1] -= 14.0;
    Ok(d)
}

/// One side with its upper left corner below its name.
fn one(d: &mut Drawing, w: &SurfaceWall, at: [f64; 2], k: f64, shades: &Shades) {
    let all = w.extent();
    let plan = Plan::side(k, [all[0][0], all[1][1]], [at[0], at[1] + 12.0]);
    plan.tiles(d, &w.tiles, shades);
    let wet = w.tiles.iter().zip(&w.wet).filter(|(_, wet)| **wet);
    let wet: Vec<Tile> = wet.map(|(t, _)| *t).collect();
    for t in merged(&wet, |_| 0) {
        hatch(d, plan.rect(&t.at));
    }
    let place = plan.rect(&all);
    d.outline(place, EDGE);
    let foot = place[1][1];
    for (text, y) in w.words().iter().zip([at[1], foot + 12.0, foot + 28.0]) {
        d.words(text, [at[0], y], Side::Left, 200.0);
    }
}

/// Slanting lines over a rectangle (across, down), in step with those over others.
fn hatch(d: &mut Drawing, [x, y]: [Span; 2]) {
    let (first, last) = ((x[0] + y[0]) / HATCH, (x[1] + y[1]) / HATCH);
    for i in first.ceil() as i64..=last.floor() as i64 {
        // All points of a line have one sum of across and down.
        let sum = HATCH * i as f64;
        let (from, to) = (x[0].max(sum - y[1]), x[1].min(sum - y[0]));
        d.line(&[[from, sum - from], [to, sum - to]], WET);
    }
}

#[cfg(test)]
mod tests {
    use super::super::drawing::Item;
    use super::super::tests::both;
    use super::*;

    fn patches(c: impl Fn(Wall, usize) -> f64) -> Vec<Patch> {
        let mut all = Vec::new();
        for wall in Wall::ALL {
            for i in 0..48 {
                let (x, z) = (0.05 * (i % 8) as f64, 0.05 * (i / 8) as f64);
                all.push(Patch {
                    wall,
                    along: [x, x + 0.05],
                    up: [z, z + 0.05],
                    temp_c: c(wall, i),
                    inside_c: 5.0,
                });
            }
        }
        all
    }

    fn told(name: &str, patches: &[Patch], dew: f64, books: &WinterWater) -> SurfaceHive {
        let on: Vec<f64> = patches
            .iter()
            .map(|p| (dew - p.temp_c).max(0.0) * 0.1)
            .collect();
        let mut lies = Gathered::default();
        for (p, on) in patches.iter().zip(&on) {
            lies.add(Some(p.wall), p.area() * on);
        }
        let water = HiveWater {
            on: &on,
            lies,
            books,
        };
        hive(name, patches, &water)
    }

    fn hatched(d: &Drawing) -> usize {
        let lines = d.items.iter();
        lines
            .filter(|i| matches!(i, Item::Line(p, s) if p.len() == 2 && *s == WET))
            .count()
    }

    fn drawn(hives: &[SurfaceHive]) -> Result<Drawing, PictureError> {
        let p = SurfacesPicture {
            title: "Larch Flats: the inner surfaces",
            below: "The coldest hour",
            hives,
        };
        both(|w| sheet(&p, w))
    }

    /// Catches hatching where nothing lies, none where something does, a weight told of another side, and words over one another:
    /// all dry, all wet, one wall wet, all of one temperature, an open floor, and one to four hives.
    #[test]
    fn what_gathers_is_hatched_and_told() {
        let lid_cold = |w: Wall, i: usize| {
            if w == Wall::Lid {
                -9.0
            } else {
                1.0 + 0.1 * i as f64
            }
        };
        let mixed = patches(lid_cold);
        let books = WinterWater {
            made: 3.2,
            carried: 2.5,
            in_wood: -0.3,
            ..WinterWater::default()
        };
        let sample = hatched(&drawn(&[told("Left", &mixed, -30.0, &books)]).unwrap());
        let wet = told("Left", &mixed, -2.0, &books);
        assert!(wet.water.contains("3.2 kg (7.1 lb)"), "{}", wet.water);
        assert!(
            wet.water.contains("84 g (3.0 oz) under the lid"),
            "{}",
            wet.water
        );
        assert!(wet.water.contains("300 g"), "{}", wet.water);
        let one = hatched(&drawn(std::slice::from_ref(&wet)).unwrap());
        let all = told("Left", &mixed, 20.0, &books);
        let every = hatched(&drawn(std::slice::from_ref(&all)).unwrap());
        assert!(sample < one && one < every, "{sample} {one} {every}");
        let dry = told("Left", &mixed, -30.0, &books);
        assert!(dry.water.contains("No dew"), "{}", dry.water);
        let flat = patches(|_, _| 5.0);
        let flat = told("Right", &flat, -30.0, &WinterWater::default());
        assert!(flat.water.contains("No bees"));
        for hives in [
            vec![flat.clone()],
            vec![wet.clone(), flat.clone()],
            vec![wet, dry, all, flat],
        ] {
            drawn(&hives).unwrap();
        }
    }

    /// Catches a surface temperature that is no number drawn as if it were one, and a picture of nothing.
    #[test]
    fn what_is_no_number_is_not_drawn() {
        for bad in [f64::NAN, f64::INFINITY] {
            let odd = patches(|_, i| if i == 7 { bad } else { 0.0 });
            let told = drawn(&[told("Left", &odd, 0.0, &WinterWater::default())]);
            assert!(matches!(told, Err(PictureError::Value { .. })));
        }
        assert!(matches!(drawn(&[]), Err(PictureError::Empty(_))));
        let nothing = drawn(&[told("Left", &[], 0.0, &WinterWater::default())]);
        assert!(matches!(nothing, Err(PictureError::Empty(_))));
    }
}
