#![allow(clippy::unwrap_used)] // a test that fails says so

use super::super::vapour::Streams;
use super::*;
use crate::hive::{self, Hive, Resolution};
use crate::scenario;
use crate::stand::Scenario;
use jiff::civil::date;

fn demo(change: impl Fn(&str) -> String) -> (Scenario, Hive) {
    let text = change(scenario::built_in_text("single").unwrap());
    let s = scenario::parse(&text, "x.toml", None).unwrap().scenario;
    let hive = hive::build(&s, Resolution::Coarse).unwrap();
    (s, hive)
}

fn sealed(text: &str) -> String {
    text.replace("[[hive]]", "[[hive]]\nupper_hole = false")
}

/// Fresh air (kg/s) that comes in by the floor, rises through one column and leaves by the top; without it all is still.
fn rising(stack: &PreparedWater, fresh: f64) -> (Vec<f64>, Vec<f64>) {
    let air = &stack.air;
    let mut enters = vec![0.0; air.spaces.len()];
    let mut channels = vec![0.0; air.ways.channels.len()];
    let mut at = 0;
    enters[at] = fresh;
    let top = air.spaces.len() - 1;
    while at != top {
        let ways = air.ways.channels.iter().enumerate();
        let up = ways
            .filter_map(|(c, w)| match w.ends {
                [a, b] if a == at && air.spaces[b].z[0] > air.spaces[a].z[0] + 1e-3 => {
                    Some((c, b, 1.0))
                }
                [a, b] if b == at && air.spaces[a].z[0] > air.spaces[b].z[0] + 1e-3 => {
                    Some((c, a, -1.0))
                }
                _ => None,
            })
            .next();
        let Some((c, next, sign)) = up else { break };
        channels[c] = sign * fresh;
        at = next;
    }
    (channels, enters)
}

struct Trial {
    stack: PreparedWater,
    water: StackWater,
}

impl Trial {
    fn new(change: impl Fn(&str) -> String) -> Self {
        let (s, hive) = demo(change);
        let (stack, _) = PreparedWater::of(&hive, &s, 0);
        let water = StackWater::new(&stack);
        Self { stack, water }
    }

    /// Hours with surfaces of `cold` and air of `warm` degC, `outside` Pa, and bees that give `made` kg/s.
    fn pass(
        &mut self,
        hours: usize,
        [cold, warm, lid]: [f64; 3],
        outside: f64,
        fresh: f64,
        made: f64,
    ) {
        let (channels, enters) = rising(&self.stack, fresh);
        let air = HourAir {
            streams: Streams {
                channels: &channels,
                enters: &enters,
                mouths: &[],
                fanned: None,
            },
            outside,
            pressure: 101_325.0,
            fresh,
        };
        let lids = |p: &Place| if p.wall == Some(Wall::Lid) { lid } else { cold };
        let surfaces: Vec<f64> = self.stack.places.iter().map(lids).collect();
        let bees = Bees {
            water: made,
            carbon_dioxide: 1.82 * made,
            rises: &[(self.stack.air.spaces.len() - 1, 1.0)],
            space: 3,
            centre: [0.2, 0.2, 0.3],
            radius: 0.1,
            around_c: warm,
        };
        let surfaces = &surfaces[..self.stack.surfaces()];
        for i in 0..hours {
            let day = date(2020, 11, 1 + (i / 24 % 28) as i8);
            self.water
                .hour(&self.stack, &air, Some(&bees), surfaces, |_| warm, day);
            if i % 24 == 23 {
                self.water.end_day(day);
            }
        }
    }
}

/// Catches water that is made or lost on any way: cold and warm hours in turn, ice that thaws, wood that takes up and gives back, with
/// much air and with none.
#[test]
fn all_water_is_accounted_for() {
    let mut t = Trial::new(sealed);
    for round in 0..6 {
        let cold = if round % 2 == 0 { -8.0 } else { 6.0 };
        let fresh = [0.0, 1e-5, 2e-4][round % 3];
        t.pass(100, [cold, cold + 6.0, cold + 3.0], 300.0, fresh, 3e-7);
        let b = &t.water.books.sums;
        assert!(b.missed().abs() < 1e-9 * b.made, "{round}: {b:?}");
        assert!(t.water.pools.iter().all(|p| p.on >= 0.0 && p.within >= 0.0));
        assert!(
            t.water.pressures.iter().all(|p| *p >= 0.0),
            "{:?}",
            t.water.pressures
        );
    }
    let b = &t.water.books.sums;
    assert!(
        b.carried > 0.0 && b.run_off > 0.0 && b.dripped > 0.0,
        "{b:?}"
    );
    let by_month: f64 = t.water.books.months.iter().map(|m| m.made).sum();
    assert!((by_month / b.made - 1.0).abs() < 1e-12);
}

/// Catches a wrong law of what air carries, or a surface that takes water out of air too dry for it: 17 g a day in 0.1 g/s of air make 200 Pa a gram
/// a kilogram, `0.622 dp/P`, once wood has come to terms.
#[test]
fn air_carries_what_it_can_hold() {
    let mut t = Trial::new(str::to_owned);
    let (made, fresh) = (17e-3 / 86_400.0, 1e-4);
    t.pass(2_400, [14.0, 15.0, 14.0], 500.0, fresh, made);
    let before = t.water.books.sums;
    t.pass(240, [14.0, 15.0, 14.0], 500.0, fresh, made);
    let carried = (t.water.books.sums.carried - before.carried) / (240.0 * STEP);
    let top = *t.water.pressures.last().unwrap();
    let by_air = fresh * 0.622 * (top - 500.0) / 101_325.0;
    assert!((by_air / carried - 1.0).abs() < 0.02, "{by_air} {carried}");
    assert!(carried > 0.9 * made && carried < made);
    assert_eq!(t.water.books.sums.left, 0.0);
}

/// Catches dew that forms without cold, ice that drips, a thaw that does not, and a drip that is not counted on the bees below it.
#[test]
fn a_lid_drips_when_it_thaws() {
    let mut t = Trial::new(sealed);
    t.pass(24 * 20, [4.0, 8.0, 14.0], 400.0, 2e-4, 3e-7);
    assert_eq!(t.water.lies.lid, 0.0, "a warm lid stays dry");
    t.pass(24 * 28, [2.0, 8.0, -6.0], 200.0, 2e-5, 3e-7);
    assert!(t.water.lies.lid > 0.05, "{:?}", t.water.lies);
    assert_eq!(t.water.books.sums.dripped, 0.0, "ice hangs");
    t.pass(48, [2.0, 8.0, 1.0], 400.0, 2e-5, 3e-7);
    let b = &t.water.books.sums;
    assert!(
        b.dripped > 0.0 && b.on_bees > 0.0 && b.on_bees < b.dripped,
        "{b:?}"
    );
    assert!(b.drip_days >= 1 && b.first_drip.is_some() && b.lid_most > 0.05);
}

/// Catches heat that is made of nothing: what condenses gives its heat back, what dries takes it, and over a round of frost and thaw fusion
/// cancels.
#[test]
fn heat_goes_with_the_water() {
    let mut t = Trial::new(sealed);
    let mut sum = 0.0;
    let whole: f64 = t.stack.places.iter().map(|p| p.inward).fold(1.0, f64::min);
    assert!(whole > 0.3, "{whole}");
    for cold in [-6.0, 3.0, -6.0, 3.0] {
        for _ in 0..200 {
            t.pass(1, [cold, cold + 5.0, cold], 300.0, 0.0, 3e-7);
            sum += t.water.warms.iter().sum::<f64>() * STEP;
        }
    }
    let b = &t.water.books.sums;
    let taken = b.made - b.carried;
    let [least, most] = [whole, 1.0].map(|share| share * taken * HEAT_OF_EVAPORATION);
    assert!(
        sum > 0.9 * least && sum < 1.1 * most,
        "{sum} {least} {most}"
    );
}

/// Catches heat of evaporation that bees pay and surfaces give back by two numbers: it would be made or lost.
#[test]
fn bees_pay_what_surfaces_give_back() {
    let p = crate::colony::parameters::Parameters::with(&[]).unwrap();
    let back = p.water(10.0) * HEAT_OF_EVAPORATION;
    assert!((back - 10.0 * p.latent_share()).abs() < 1e-12, "{back}");
}
