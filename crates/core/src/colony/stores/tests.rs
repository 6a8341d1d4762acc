use super::*;
use proptest::prelude::*;

/// Ten deep frames over which ten medium ones hang.
fn combs() -> Vec<BoxCombs> {
    let frames_x: Vec<f64> = (0..10).map(|i| 0.03 + 0.036 * f64::from(i)).collect();
    let comb = |z: [f64; 2], full_frame| BoxCombs {
        frames_x: frames_x.clone(),
        pitch: 0.036,
        y: [0.03, 0.46],
        z,
        full_frame,
    };
    vec![comb([0.05, 0.253], 2.7), comb([0.30, 0.433], 1.7)]
}

const REACH: f64 = 0.009;

/// Honey counted cell by cell, kg.
fn counted(s: &Stores) -> f64 {
    s.cells().iter().map(|c| c.left).collect::<Sum>().value()
}

fn at(centre: [f64; 3], radius: f64) -> Place {
    Place { centre, radius }
}

/// Deep box only; frame 2 and up from the cluster's comb hold honey: `frames` says which, full.
fn deep_with(frames: &[usize]) -> Stores {
    let mut kg = vec![0.0; 10];
    for &f in frames {
        kg[f] = 2.7;
    }
    Stores::new(combs()[..1].to_vec(), Placement::PerFrame(&[kg]), REACH).unwrap()
}

/// Catches a dome turned upside down or inside out: honey must lie above and to the outside, nest room low, inside and in front.
#[test]
fn natural_honey_hangs_above_and_outside() {
    let s = Stores::new(combs(), Placement::Natural(25.0), REACH).unwrap();
    assert!((counted(&s) - 25.0).abs() < 1e-12);
    assert!(s.fullness(1) > s.fullness(0));
    let low = s.by_frame(0);
    assert!(low[0] > low[2] && low[2] > low[4], "{low:?}");
    assert!((low[0] - low[9]).abs() < 0.1, "{low:?}");
    let levels = s.by_height();
    assert!(
        levels.windows(2).all(|w| w[1].1 >= w[0].1 - 1e-9),
        "{levels:?}"
    );
    let front: f64 = half(&s, |y| y < 0.245);
    let back: f64 = half(&s, |y| y > 0.245);
    assert!(back > front, "{back} {front}");
}

fn half(s: &Stores, of: impl Fn(f64) -> bool) -> f64 {
    s.cells()
        .iter()
        .filter(|c| of(c.at[1]))
        .map(|c| c.left)
        .sum()
}

/// Catches a cluster that is settled away from its honey, or high up when it need not be.
#[test]
fn settles_low_and_beside_honey() {
    let s = Stores::new(combs(), Placement::Natural(25.0), REACH).unwrap();
    let seat = s.seat(0.12);
    assert!(s.reachable(&at(seat, 0.12)) >= 0.25);
    assert!(seat[2] < 0.253, "{seat:?}");
    // All the honey in the upper box: the cluster goes up to it.
    let top = Stores::new(combs(), Placement::PerBox(&[0.0, 17.0]), REACH).unwrap();
    let high = top.seat(0.10);
    assert!(
        high[2] > 0.15 + 0.02 && top.reachable(&at(high, 0.10)) >= 0.25,
        "{high:?}"
    );
    // All of it in one outer frame: it goes there.
    let side = deep_with(&[9]);
    let there = side.seat(0.08);
    assert!(
        there[0] > 0.24 && side.reachable(&at(there, 0.08)) > 0.2,
        "{there:?}"
    );
}

/// Catches combs that are spread out of their box, and a box without frames that cannot be passed through.
#[test]
fn evenly_spread_combs() {
    let b = BoxCombs::evenly([0.10, 0.46], 10, [0.0, 0.4], [0.0, 0.2], 2.5);
    assert!((b.frames_x[0] - 0.118).abs() < 1e-12 && (b.frames_x[9] - 0.442).abs() < 1e-12);
    let eke = BoxCombs::evenly([0.10, 0.46], 0, [0.0, 0.4], [0.2, 0.25], 0.0);
    let s = Stores::new(
        vec![b, eke],
        Placement::PerBoxOrFrame(&[HoneyPlacement::InBox(3.0), HoneyPlacement::InFrames(vec![])]),
        REACH,
    )
    .unwrap();
    assert!((counted(&s) - 3.0).abs() < 1e-12 && s.fullness(1) == 0.0);
}

/// Catches honey made of nothing when amounts do not fit, and a panic on nonsense.
#[test]
fn refuses_what_cannot_be() {
    let too_much = Stores::new(combs(), Placement::Natural(44.1), REACH);
    assert!(matches!(too_much, Err(StoresError::TooMuch { .. })));
    assert!(Stores::new(combs(), Placement::Natural(44.0), REACH).is_ok());
    for kg in [f64::NAN, -1.0, f64::INFINITY] {
        assert!(Stores::new(combs(), Placement::Natural(kg), REACH).is_err());
    }
    let count = Stores::new(combs(), Placement::PerBox(&[1.0]), REACH);
    assert!(matches!(count, Err(StoresError::Count { of: "boxes", .. })));
    let frames = Stores::new(
        combs(),
        Placement::PerFrame(&[vec![0.0; 10], vec![0.0; 9]]),
        REACH,
    );
    assert!(matches!(
        frames,
        Err(StoresError::Count {
            of: "frames",
            given: 9,
            there: 10
        })
    ));
    let mut flat = combs();
    flat[0].z = [0.1, 0.1];
    assert!(Stores::new(flat, Placement::Natural(1.0), REACH).is_err());
    assert!(Stores::new(Vec::new(), Placement::Natural(1.0), REACH).is_err());
    let mut none = Stores::new(Vec::new(), Placement::Natural(0.0), REACH).unwrap();
    assert_eq!(none.eat(&at([0.0; 3], 0.1), f64::NAN), 0.0);
    assert_eq!(none.density(), 0.0);
}

/// Catches a reach that is too long across the combs: the comb at the cluster's outermost seam is touched, the next one is not.
#[test]
fn contact_ends_one_seam_out() {
    // Cluster centred in the seam between combs 4 and 5 (x = 0.192), radius 40 mm: combs 3 to 6 stand within 54 mm.
    let place = at([0.192, 0.245, 0.15], 0.040);
    for (frame, touched) in [(4, true), (3, true), (6, true), (2, false), (7, false)] {
        let kg = deep_with(&[frame]).reachable(&place);
        assert_eq!(kg > 0.0, touched, "comb {frame}: {kg} kg");
    }
}

/// Catches eating that skips the near honey for the far, or goes on beyond contact.
#[test]
fn eats_nearest_first_and_only_what_it_touches() {
    let mut s = Stores::new(combs(), Placement::Natural(44.0), REACH).unwrap();
    let place = at([0.192, 0.2, 0.15], 0.10);
    let near = |s: &Stores| -> f64 {
        let v = |c: &Cell| c.distance(&place.centre);
        s.cells()
            .iter()
            .filter(|c| v(c) < 0.05)
            .map(|c| c.left)
            .sum()
    };
    let (inner, contact) = (near(&s), s.reachable(&place));
    assert!(inner > 0.1 && contact > 3.0 * inner);
    assert_eq!(s.eat(&place, 0.5 * inner), 0.5 * inner);
    assert!((near(&s) - 0.5 * inner).abs() < 1e-9);
    let rest = s.eat(&place, 100.0);
    assert!((rest - (contact - 0.5 * inner)).abs() < 1e-9);
    assert_eq!(s.reachable(&place), 0.0);
    let look = s.reachable_stores(&place);
    let nearest = look.nearest.unwrap();
    assert!(nearest.gap > REACH && nearest.gap < 0.06, "{nearest:?}");
}

/// Catches walls that are walked through: honey over a ledge is further on foot than as the crow flies, and the way to it sets out towards the
/// opening.
#[test]
fn honey_over_a_ledge_is_further_on_foot() {
    let two = |full: usize| {
        let mut upper = vec![0.0; 10];
        upper[full] = 1.7;
        Stores::new(combs(), Placement::PerFrame(&[vec![0.0; 10], upper]), REACH).unwrap()
    };
    // Frame 5 of the upper box is 20 mm over the cluster, or behind the ledge of a lower box that ends at 0.11 m.
    let place = at([0.10, 0.245, 0.21], 0.12);
    let open = two(4).reachable_stores(&place);
    let narrow = Region::of([
        [[0.0, 0.11], [0.02, 0.47], [0.04, 0.28]],
        [[0.0, 0.372], [0.02, 0.47], [0.28, 0.44]],
    ]);
    let walled = two(4).within(narrow.unwrap());
    let seen = walled.reachable_stores(&place);
    assert!(
        seen.contact < open.contact,
        "{} {}",
        seen.contact,
        open.contact
    );
    let far = two(8).within(walled.region.clone().unwrap());
    let way = far.reachable_stores(&place).nearest.unwrap().direction;
    let straight = two(8).reachable_stores(&place).nearest.unwrap().direction;
    assert!(
        way[2] > straight[2] + 0.1 && way[0] > 0.0,
        "{way:?} {straight:?}"
    );
}

/// Catches honey that is lost or made while it is carried, that comes from within reach or from the far end first, that overfills cells or ends out of
/// reach, and more of it than was asked for.
#[test]
fn carried_honey_comes_to_the_cluster() {
    let mut s = deep_with(&[0, 1, 8, 9]);
    let place = at([0.192, 0.245, 0.15], 0.08);
    let all = counted(&s);
    assert_eq!(s.reachable(&place), 0.0);
    assert!((s.carry(&place, 0.3) - 0.3).abs() < 1e-12);
    assert!((s.reachable(&place) - 0.3).abs() < 1e-12);
    let left = s.by_frame(0);
    assert!(left[0].min(left[9]) > 2.699, "{left:?}");
    assert!(left[1].min(left[8]) < 2.6, "{left:?}");
    // All the room there is, and no more.
    let more = s.carry(&place, 100.0);
    assert!(more > 1.0 && s.carry(&place, 1.0) == 0.0, "{more}");
    assert!((counted(&s) - all).abs() < 1e-9 && (s.total() - all).abs() < 1e-12);
    assert!(s.cells().iter().all(|c| c.left >= 0.0 && c.left <= c.room));
    assert_eq!(s.carry(&place, f64::NAN), 0.0);
}

/// Catches the confusion of the two ways to starve: a small cluster with honey two frames away is isolated, the same cluster with
/// honey beside it is not, and one that has eaten all has run out.
#[test]
fn isolated_is_not_run_out() {
    let place = at([0.192, 0.245, 0.15], 0.045);
    let live = |frames: &[usize], days: usize| {
        let mut l = ForagingState::new(deep_with(frames));
        for _ in 0..days {
            l.feed(&place, 0.020, 0.05);
        }
        l
    };
    let away = live(&[0, 1, 8, 9], 10);
    assert!(matches!(away.starved(), Some(Lack::Isolated { left }) if left > 10.0));
    let beside = live(&[5], 10);
    assert_eq!(beside.starved(), None);
    assert_eq!((beside.hunger(), beside.shadow()), (0.0, 0.0));
    let none = live(&[], 10);
    assert_eq!(none.starved(), Some(Lack::RanOut));
    for l in [away, beside, none] {
        assert!((l.need() - 0.2).abs() < 1e-12);
        assert!((l.need() - l.stores.eaten() - l.hunger() - l.shadow()).abs() < 1e-12);
    }
}

/// Catches hunger that kills at once, or that is forgotten when honey is found again.
#[test]
fn hunger_is_made_good() {
    let place = at([0.192, 0.245, 0.15], 0.045);
    let mut l = ForagingState::new(deep_with(&[9]));
    for _ in 0..3 {
        let m = l.feed(&place, 0.010, 0.05);
        assert!(matches!(m.lack, Lack::Isolated { .. }) && m.taken == 0.0);
    }
    assert_eq!(l.starved(), None);
    assert!((l.stores.hang(0, 4, 2.7) - 2.7).abs() < 1e-12);
    let m = l.feed(&place, 0.010, 0.05);
    assert!((m.taken - 0.040).abs() < 1e-12 && m.lack == Lack::None);
    assert_eq!(l.hunger(), 0.0);
}

/// Catches fondant that lies out of reach of a cluster under the top bars, or that is stored away as comb honey.
#[test]
fn a_pat_on_the_frames_is_eaten_from_below() {
    let mut s = deep_with(&[]);
    let under = at([0.192, 0.245, 0.20], 0.06);
    assert_eq!(s.reachable(&under), 0.0);
    s.lay_on_top([0.192, 0.245], 1.5);
    let touched = s.reachable(&under);
    assert!(touched > 0.1 && touched <= 1.5, "{touched}");
    assert!(s.reachable_stores(&under).pull[2] > 0.5);
    assert_eq!(s.fullness(0), 0.0);
    let got = s.eat(&under, 0.1);
    assert!((counted(&s) - 1.4).abs() < 1e-12 && (got - 0.1).abs() < 1e-12);
}

/// Catches syrup that is put where no bee is, or into the cluster's own cells first.
#[test]
fn bees_store_beside_the_cluster() {
    let mut s = deep_with(&[]);
    let place = at([0.192, 0.245, 0.15], 0.08);
    assert_eq!(s.store(&place, 2.0), 2.0);
    let inside: f64 = s
        .cells()
        .iter()
        .filter(|c| c.distance(&place.centre) < deposition::NEST * place.radius)
        .map(|c| c.left)
        .sum();
    assert_eq!(inside, 0.0);
    let mean: f64 = s
        .cells()
        .iter()
        .map(|c| c.left * c.distance(&place.centre))
        .sum::<f64>()
        / 2.0;
    assert!(mean < 0.13, "{mean}");
    // What finds no room is not stored.
    let stored = s.store(&place, 100.0);
    assert!((stored - 25.0).abs() < 1e-9 && s.free() < 1e-9);
}

proptest! {
    /// Catches honey lost or made by any order of eating, storing, hanging in and feeding on top.
    #[test]
    fn honey_is_conserved(
        start in 0.0..44.0f64,
        steps in prop::collection::vec((0..5usize, 0.0..3.0f64, 0.0..0.4f64, 0.0..0.5f64, 0.04..0.2f64), 1..40),
    ) {
        let mut s = Stores::new(combs(), Placement::Natural(start), REACH).unwrap();
        let (mut given, mut got) = (start, 0.0);
        for (what, kg, x, z, r) in steps {
            let place = at([x, 0.2, z], r);
            match what {
                0 | 1 => got += s.eat(&place, kg),
                2 => given += s.store(&place, kg),
                3 => given += s.hang(usize::from(z > 0.3), (x * 24.0) as usize, kg),
                _ => { s.lay_on_top([x, 0.2], kg); given += kg; }
            }
        }
        let scale = given.max(1.0);
        prop_assert!((s.put_in() - counted(&s) - s.eaten()).abs() <= 1e-12 * scale);
        prop_assert!((s.total() - counted(&s)).abs() <= 1e-12 * scale);
        prop_assert!((given - s.put_in()).abs() <= 1e-12 * scale && (got - s.eaten()).abs() <= 1e-12 * scale);
        prop_assert!(s.cells().iter().all(|c| c.left >= 0.0 && c.left <= c.room * (1.0 + 1e-12)));
    }

    /// Catches need that is lost between combs, hunger and the shadow account.
    #[test]
    fn need_is_accounted_for(meals in prop::collection::vec((0.0..0.2f64, 0.0..0.1f64), 1..60), frame in 0..10usize) {
        let mut l = ForagingState::new(deep_with(&[frame]));
        let place = at([0.192, 0.245, 0.15], 0.06);
        for (kg, crops) in meals {
            l.feed(&place, kg, crops);
            prop_assert!((l.need() - l.stores.eaten() - l.hunger() - l.shadow()).abs() < 1e-12);
        }
    }
}
