//! Differences draw by draw, and how a colony stands.

use super::*;
use crate::calendar::MonthDay;

pub(crate) fn draw(need: f64, had: f64, heat_in_hand: f64) -> Option<DrawOutcome> {
    Some(DrawOutcome {
        need,
        had,
        starved: had < need,
        beside: false,
        unreached: None,
        chilled_hours: 0.0,
        too_cold: false,
        heat_in_hand,
        bees_left: 10_000.0,
        bees: 1.0,
        flight_hours: 50,
        eaten_while_fed: [0.0; 2],
        water: WinterWater::default(),
    })
}

/// Catches a rule that calls noise a difference: eight of ten draws are not enough, nine are, and nine of a size no scale
/// shows are not either.
#[test]
fn nine_draws_in_ten_must_agree() {
    let draws = |minus: usize, size: f64| -> Vec<f64> {
        (0..20)
            .map(|i| if i < minus { -size } else { size })
            .collect()
    };
    assert!(Difference::of(&draws(4, 1.0), NO_HONEY).unwrap().close);
    assert!(!Difference::of(&draws(2, 1.0), NO_HONEY).unwrap().close);
    assert!(Difference::of(&draws(0, 0.2), NO_HONEY).unwrap().close);
    let none = Difference::of(&[0.0; 20], 0.0).unwrap();
    assert!(none.close && none.better == 0 && none.worse == 0);
}

/// Catches differences that are not taken draw by draw: winters of 10 and 30 kg must not hide a steady kilogram.
#[test]
fn a_steady_kilogram_shows_among_unlike_winters() {
    let old: Vec<_> = (0..10)
        .map(|i| draw(10.0 + 2.0 * f64::from(i), 40.0, 20.0))
        .collect();
    let new: Vec<_> = (0..10)
        .map(|i| draw(9.0 + 2.0 * f64::from(i), 40.0, 21.0))
        .collect();
    let g = gain(&old, &new, Some([&old, &new])).unwrap();
    assert!((g.honey.spread.middle - 1.0).abs() < 1e-12 && !g.honey.close);
    assert!(g.honey.spread.half() < 1e-12);
    assert!((g.margin.spread.middle - 1.0).abs() < 1e-12);
    let without: Vec<_> = (0..10).map(|_| None).collect();
    assert!(gain(&old, &without, None).is_none());
}

/// Catches stores needed and spare that contradict each other, a level at the wrong end, feed that is not counted, and honey out
/// of reach that is taken for food.
#[test]
fn spare_is_what_is_there_less_what_a_poor_winter_needs() {
    let drawn_outcomes: Vec<_> = (1..=9)
        .map(|i| draw(10.0 + f64::from(i), 25.0, 20.0))
        .collect();
    let s = standing(&drawn_outcomes, 0.9, 3.0).unwrap();
    assert_eq!(s.stores_needed, Some(22.0));
    assert_eq!(s.spare, Some(3.0));
    assert_eq!((s.starved, s.winters), (0, 9));
    let fed: Vec<_> = (1..=9)
        .map(|i| draw(10.0 + f64::from(i), 30.0, 20.0))
        .collect();
    assert_eq!(standing(&fed, 0.9, 3.0).unwrap().spare, Some(8.0));
    assert!(
        standing(&drawn_outcomes[..4], 0.9, 3.0)
            .unwrap()
            .spare
            .is_none()
    );
    // What stays out of reach in the middling winter is needed too: 1 to 9 kg, 5 in the middle.
    let far: Vec<_> = drawn_outcomes
        .iter()
        .zip(1..)
        .map(|(f, i)| {
            f.map(|f| DrawOutcome {
                unreached: Some(f64::from(i)),
                ..f
            })
        })
        .collect();
    let s = standing(&far, 0.9, 3.0).unwrap();
    assert_eq!(
        (s.unreached, s.stores_needed, s.spare),
        (5.0, Some(27.0), Some(-2.0))
    );
    assert!(standing(&[None, None], 0.9, 3.0).is_none());
    // Of the feeding planned only what counts: of 10 kg two come too late and three find no room.
    let planned = Planned {
        given: 10.0,
        counted: 5.0,
        no_room: 3.0,
        late: Some(MonthDay { month: 11, day: 20 }),
    };
    let s = s.with_planned(25.0, &planned);
    assert_eq!(
        (s.has, s.spare, s.late, s.no_room),
        (30.0, Some(3.0), 2.0, 3.0)
    );
}

/// Catches drip before and after swapped, taken from the worst draw, or counted where it hit no bees.
#[test]
fn drip_is_told_before_and_after() {
    let wet = |days: fn(u32) -> u32| -> Vec<Option<DrawOutcome>> {
        (0..19)
            .map(|i| {
                draw(15.0, 20.0, 20.0).map(|f| DrawOutcome {
                    water: WinterWater {
                        drip_days: days(i),
                        lid_most: 0.01 * f64::from(i),
                        ..WinterWater::default()
                    },
                    ..f
                })
            })
            .collect()
    };
    let g = gain(&wet(|i| i), &wet(|_| 0), None).unwrap();
    assert_eq!((g.drip_days, g.dripped), ([17.0, 0.0], [18, 0]));
    assert!((g.lid_most[0] - 0.17).abs() < 1e-12);
    let s = standing(&wet(|i| i), 0.9, 3.0).unwrap();
    assert_eq!(s.water.drip_days.poor, Some(17.0));
}
