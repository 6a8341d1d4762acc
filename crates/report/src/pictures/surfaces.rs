//! The inner surfaces of each hive laid out flat: how cold they are, and where the bees' water gathers.

use super::cutaway::{Tile, merged};
use super::drawing::{BLACK, Drawing, SMALL, Side, Stroke};
use super::panel::{caption, heading, remark};
use super::render::text_width;
use super::shades::Shades;
use super::{Picture, PictureError, drawable};
use crate::words::Units;
use partywall_core::boundary::condensation::WaterBalance;
use partywall_core::season::moisture::{Patch, Wall};

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
    /// Parts: across, up, and temperature.
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
const EDGE: Stroke = Stroke::solid(BLACK, 1.0);

/// Seconds.
const DAY: f64 = 86_400.0;

fn named(w: Wall) -> (&'static str, &'static str) {
    match w {
        Wall::Left => ("left wall", "front at the left"),
        Wall::Right => ("right wall", "front at the left"),
        Wall::Front => ("front wall", "as seen from behind"),
        Wall::Back => ("back wall", "as seen from behind"),
        Wall::Lid => ("under the lid", "front above"),
        Wall::Floor => ("floor", "front above"),
    }
}

/// "12 g (0.4 oz)", from kg.
fn grams(kg: f64) -> String {
    /// Kilograms in an ounce, by definition.
    const KG_PER_OZ: f64 = 0.028_349_523_125;
    format!("{:.0} g ({:.1} oz)", 1e3 * kg, kg / KG_PER_OZ)
}

/// A hive from its surfaces; `water` is what becomes of its bees' water, `air` what goes through, kg/s.
#[must_use]
pub fn hive(name: &str, patches: &[Patch], water: Option<&WaterBalance>, air: f64) -> SurfaceHive {
    let gathered = |i: usize| {
        water
            .and_then(|w| w.gathered.get(i).copied())
            .unwrap_or(0.0)
    };
    let walls = Wall::ALL.iter().filter_map(|&wall| {
        let (name, end) = named(wall);
        let mine = || {
            patches
                .iter()
                .enumerate()
                .filter(move |(_, p)| p.wall == wall)
        };
        let flat = matches!(wall, Wall::Lid | Wall::Floor);
        let tiles: Vec<Tile> = mine()
            .map(|(_, p)| Tile {
                x: p.along,
                z: if flat { [-p.up[1], -p.up[0]] } else { p.up },
                c: p.temp_c,
            })
            .collect();
        (!tiles.is_empty()).then(|| SurfaceWall {
            name,
            end,
            tiles,
            wet: mine().map(|(i, _)| gathered(i) > 0.0).collect(),
        })
    });
    let most = Wall::ALL.iter().copied().map(|wall| {
        let of = patches.iter().enumerate().filter(|(_, p)| p.wall == wall);
        (of.map(|(i, _)| gathered(i)).sum::<f64>(), wall)
    });
    let (most, wall) = most.fold((0.0, Wall::Lid), |a, b| if b.0 > a.0 { b } else { a });
    let words = match water {
        None => {
            "The inside is open to the air outside, or holds no bees: only temperatures are told."
                .to_owned()
        }
        Some(w) => {
            let (stays, leaves) = (w.gathered.iter().sum::<f64>(), w.carried.max(0.0));
            let dew = format!(
                "the dew point of its air is {}",
                Units::Both.temperature(w.dew_point_c)
            );
            let litres =
                air / partywall_core::boundary::air::density(
                    0.0,
                    partywall_core::boundary::air::STANDARD_PRESSURE,
                ) * 1e3;
            if stays > 0.0 {
                format!(
                    "The bees give off water at a rate of {} a day. {litres:.2} litres of air a second go through and carry out {}; {} gather where \
                     hatched, most on the {} ({:.0} in 100 of that): {dew}.",
                    grams(DAY * (stays + leaves)),
                    grams(DAY * leaves),
                    grams(DAY * stays),
                    match wall {
                        Wall::Lid => "underside of the lid",
                        w => named(w).0,
                    },
                    100.0 * most / stays
                )
            } else {
                format!(
                    "The bees give off water at a rate of {} a day; {litres:.2} litres of air a second go through and carry all of it out: {dew}, \
                     and no surface is colder.",
                    grams(DAY * leaves)
                )
            }
        }
    };
    SurfaceHive {
        name: name.to_owned(),
        walls: walls.collect(),
        water: words,
    }
}

/// Draws the inner surfaces.
///
/// # Errors
/// Without a surface, or with a value that is not a number.
pub fn surfaces(p: &SurfacesPicture<'_>) -> Result<Picture, PictureError> {
    Picture::new("surfaces".to_owned(), |width| sheet(p, width))
}

/// Least and greatest across and up.
fn extent(w: &SurfaceWall) -> [[f64; 2]; 2] {
    let nothing = [f64::INFINITY, f64::NEG_INFINITY];
    w.tiles.iter().fold([nothing; 2], |[x, z], t| {
        [
            [x[0].min(t.x[0]), x[1].max(t.x[1])],
            [z[0].min(t.z[0]), z[1].max(t.z[1])],
        ]
    })
}

/// The drawing of [`surfaces`].
pub(super) fn sheet(p: &SurfacesPicture<'_>, width: f64) -> Result<Drawing, PictureError> {
    let walls = || p.hives.iter().flat_map(|h| &h.walls);
    for t in walls().flat_map(|w| &w.tiles) {
        drawable(p.title, "temperature of a surface, degC", t.c, p.below)?;
        for v in t.x.iter().chain(&t.z) {
            drawable(p.title, "edge of a surface, m", *v, p.below)?;
        }
    }
    let sizes = || {
        walls().map(|w| {
            let [x, z] = extent(w);
            [x[1] - x[0], z[1] - z[0]]
        })
    };
    let most = |a: usize| sizes().map(|s| s[a]).fold(0.0, f64::max);
    if !(most(0) > 0.0 && most(1) > 0.0) {
        return Err(PictureError::Empty(p.title.to_owned()));
    }
    let mut d = Drawing::new(width, 0.0);
    let (left, beside) = if d.narrow() { (14.0, 2.0) } else { (20.0, 4.0) };
    let room = width - 2.0 * left;
    // As many side by side as the sheet is to hold, were all as wide as the widest.
    let k = ((room - GAP * (beside - 1.0)) / (beside * most(0))).min(UP / most(1));
    let shades = Shades::over(walls().flat_map(|w| w.tiles.iter().map(|t| t.c)));
    let mut y = heading(&mut d, p.title, p.below) + 44.0;
    let (from, to) = if d.narrow() {
        (40.0, 420.0)
    } else {
        (90.0, 500.0)
    };
    shades.key(&mut d, [from, to], y + 6.0);
    let (x, at) = if d.narrow() {
        (from, y + 46.0)
    } else {
        (560.0, y + 6.0)
    };
    hatch(&mut d, &[[[x, x + 40.0], [at - 8.0, at + 8.0]]]);
    outline(&mut d, [x, x + 40.0], [at - 8.0, at + 8.0]);
    let words = "dew or frost gathers";
    d.words(words, [x + 50.0, at], Side::Left, SMALL, width - x - 60.0);
    y = at + 44.0;
    for h in p.hives {
        y = caption(&mut d, y, &h.name) + 24.0;
        let (mut x, mut tallest) = (left, 0.0_f64);
        for w in &h.walls {
            let [ex, ez] = extent(w);
            let (wide, tall) = (k * (ex[1] - ex[0]), k * (ez[1] - ez[0]));
            if x > left && x + wide > width - left + 0.5 {
                (x, y) = (left, y + tallest + 66.0);
                tallest = 0.0;
            }
            one(&mut d, w, [x, y], k, &shades);
            tallest = tallest.max(tall);
            x += wide.max(words_width(w)) + GAP;
        }
        y = remark(&mut d, y + tallest + 72.0, &h.water) + 40.0;
    }
    d.size[1] = y - 14.0;
    Ok(d)
}

fn words_width(w: &SurfaceWall) -> f64 {
    let all = [w.name.to_owned(), w.end.to_owned(), coldest(w)];
    all.iter().map(|t| text_width(t, SMALL)).fold(0.0, f64::max)
}

fn coldest(w: &SurfaceWall) -> String {
    let least = w.tiles.iter().map(|t| t.c).fold(f64::INFINITY, f64::min);
    format!("coldest {}", Units::Both.temperature(least))
}

/// One side with its upper left corner below its name.
fn one(d: &mut Drawing, w: &SurfaceWall, at: [f64; 2], k: f64, shades: &Shades) {
    let [x, z] = extent(w);
    let (left, top) = (at[0], at[1] + 12.0);
    let across = |v: f64| left + k * (v - x[0]);
    let up = |v: f64| top + k * (z[1] - v);
    d.words(w.name, [left, at[1]], Side::Left, SMALL, 200.0);
    for t in merged(&w.tiles, |t| shades.step(t.c)) {
        let (l, r, o, u) = (across(t.x[0]), across(t.x[1]), up(t.z[1]), up(t.z[0]));
        // A little over the neighbours: hair lines between areas are a fault of viewers.
        d.rectangle([l, r + 0.6], [o, u + 0.6], shades.colour(shades.step(t.c)));
    }
    let wet: Vec<Tile> = w
        .tiles
        .iter()
        .zip(&w.wet)
        .filter(|(_, wet)| **wet)
        .map(|(t, _)| *t)
        .collect();
    let wet: Vec<[[f64; 2]; 2]> = merged(&wet, |_| 0)
        .iter()
        .map(|t| [[across(t.x[0]), across(t.x[1])], [up(t.z[1]), up(t.z[0])]])
        .collect();
    hatch(d, &wet);
    outline(d, [across(x[0]), across(x[1])], [up(z[1]), up(z[0])]);
    let foot = up(z[0]);
    d.words(w.end, [left, foot + 12.0], Side::Left, SMALL, 200.0);
    d.words(&coldest(w), [left, foot + 28.0], Side::Left, SMALL, 200.0);
}

fn outline(d: &mut Drawing, x: [f64; 2], y: [f64; 2]) {
    let corners = [
        [x[0], y[0]],
        [x[1], y[0]],
        [x[1], y[1]],
        [x[0], y[1]],
        [x[0], y[0]],
    ];
    d.line(&corners, EDGE);
}

/// Slanting lines over rectangles (across, down), in step with one another, each as long as the rectangles beside one another let it be.
fn hatch(d: &mut Drawing, areas: &[[[f64; 2]; 2]]) {
    let mut pieces: Vec<(i64, [f64; 2])> = Vec::new();
    for [x, y] in areas {
        let first = ((x[0] + y[0]) / HATCH).ceil() as i64;
        let last = ((x[1] + y[1]) / HATCH).floor() as i64;
        for i in first..=last {
            // All points of a line have one sum of across and down.
            let sum = HATCH * i as f64;
            let (from, to) = (x[0].max(sum - y[1]), x[1].min(sum - y[0]));
            if to - from > 0.3 {
                pieces.push((i, [from, to]));
            }
        }
    }
    pieces.sort_by(|a, b| a.0.cmp(&b.0).then(a.1[0].total_cmp(&b.1[0])));
    let mut joined: Vec<(i64, [f64; 2])> = Vec::new();
    for (i, piece) in pieces {
        match joined.last_mut() {
            Some((line, last)) if *line == i && piece[0] <= last[1] + 0.5 => {
                last[1] = last[1].max(piece[1]);
            }
            _ => joined.push((i, piece)),
        }
    }
    for (i, [from, to]) in joined {
        let sum = HATCH * i as f64;
        d.line(&[[from, sum - from], [to, sum - to]], WET);
    }
}

#[cfg(test)]
mod tests {
    use super::super::drawing::Item;
    use super::super::tests::{both, complaints};
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

    fn water(patches: &[Patch], dew: f64) -> WaterBalance {
        WaterBalance {
            pressure: 500.0,
            dew_point_c: dew,
            carried: 2e-7,
            gathered: patches
                .iter()
                .map(|p| (dew - p.temp_c).max(0.0) * 1e-9)
                .collect(),
        }
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

    /// Catches hatching where nothing gathers, none where something does, a wall told as the wettest that is not, and words over one another:
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
        let sample =
            hatched(&drawn(&[hive("Left", &mixed, Some(&water(&mixed, -30.0)), 1e-4)]).unwrap());
        let wet = hive("Left", &mixed, Some(&water(&mixed, -2.0)), 1e-4);
        assert!(
            wet.water
                .contains("most on the underside of the lid (100 in 100"),
            "{}",
            wet.water
        );
        assert!(
            wet.water.contains("dew point of its air is -2 C (28 F)"),
            "{}",
            wet.water
        );
        let one = hatched(&drawn(std::slice::from_ref(&wet)).unwrap());
        let all = hive("Left", &mixed, Some(&water(&mixed, 20.0)), 1e-4);
        let every = hatched(&drawn(std::slice::from_ref(&all)).unwrap());
        assert!(sample < one && one < every, "{sample} {one} {every}");
        let dry = hive("Left", &mixed, Some(&water(&mixed, -30.0)), 1e-4);
        assert!(dry.water.contains("carry all of it out"), "{}", dry.water);
        let flat = patches(|_, _| 5.0);
        let flat = hive("Right", &flat, None, 0.0);
        assert!(flat.water.contains("only temperatures"));
        for hives in [
            vec![flat.clone()],
            vec![wet.clone(), flat.clone()],
            vec![wet, dry, all, flat],
        ] {
            assert_eq!(complaints(&drawn(&hives).unwrap()), [""; 0]);
        }
    }

    /// Catches a surface temperature that is no number drawn as if it were one, and a picture of nothing.
    #[test]
    fn what_is_no_number_is_not_drawn() {
        for bad in [f64::NAN, f64::INFINITY] {
            let odd = patches(|_, i| if i == 7 { bad } else { 0.0 });
            let told = drawn(&[hive("Left", &odd, None, 0.0)]);
            assert!(matches!(told, Err(PictureError::Value { .. })));
        }
        assert!(matches!(drawn(&[]), Err(PictureError::Empty(_))));
        let nothing = drawn(&[hive("Left", &[], None, 0.0)]);
        assert!(matches!(nothing, Err(PictureError::Empty(_))));
    }
}
