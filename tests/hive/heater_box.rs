//! The heated empty box: published, and by hand.

use partywall::hive::Resolution;
use partywall::materials::MaterialOverride;
use partywall::scenario::built_in;
use partywall::stand::Scenario;
use partywall::verify::heater_box::{checks, conductance};

/// The published box is missed: 1.10 W/K against 0.78 and 0.86, 41 and 28 % too much where 20 % is allowed, and nothing was
/// changed to close it. By hand the walls alone, 0.50 m2 of larch (0.13 + 0.025/0.152 + 0.13 m2K/W), pass 1.19 W/K if both
/// boxes are equally warm (ours: 1.02 W/K with k 0.12, 1.00 with the least exchange between boxes, 0.88 with boxes of 0.25 m
/// inside), so the published box must have been smaller, of drier wood, or warm in its upper part only. The
/// test would catch a change of the model that moves the answer, for better or worse, without anyone noticing.
#[test]
fn published_box_is_missed_by_a_known_amount() {
    let all = checks().unwrap();
    for (c, miss) in all.iter().zip([0.41, 0.28]) {
        assert!(
            !c.passes(),
            "{} is met now: say so here and in the docs",
            c.id
        );
        let got = c.got / c.expected - 1.0;
        assert!((got - miss).abs() < 0.02, "{}: {got:+.3}", c.id);
    }
}

/// Would catch a box whose heat does not go where hand calculation says: what the unknown parts of the published set-up are
/// worth.
#[test]
fn what_would_close_the_gap() {
    let s = built_in("heater-box").unwrap().scenario;
    let base = conductance(&s, Resolution::Normal).unwrap();
    let with = |edit: fn(&mut Scenario)| {
        let mut s = s.clone();
        edit(&mut s);
        conductance(&s, Resolution::Normal).unwrap()
    };
    let dry = with(|s| {
        s.materials.push(MaterialOverride {
            key: "larch".into(),
            conductivity: 0.12,
            density: 550.0,
            specific_heat: 1600.0,
        });
    });
    let layered = with(|s| s.parameters.push(("open_exchange".into(), 5.0)));
    let small = with(|s| {
        for b in &mut s.stacks[0].boxes {
            (b.length, b.width) = (0.30, 0.30);
        }
    });
    assert!(dry < base && layered < base && small < base);
    // Less wood in series: between the bounds of all and none of the heat going through larch.
    assert!(dry > base * 0.12 / 0.152);
}

/// Would catch an answer that is the grid's and not the box's, or a quilt that does nothing; says what the depth of
/// the quilt, which the source does not state, is worth.
#[test]
fn grid_and_quilt() {
    let s = built_in("heater-box").unwrap().scenario;
    let at = |r| conductance(&s, r).unwrap();
    let (normal, fine) = (at(Resolution::Normal), at(Resolution::Fine));
    assert!((normal / fine - 1.0).abs() < 0.02, "{normal} {fine}");
    let mut thin = s.clone();
    for l in &mut thin.stacks[0].top {
        if l.material == "shavings" {
            l.thickness = 0.05;
        }
    }
    let thin = conductance(&thin, Resolution::Normal).unwrap();
    assert!(thin > normal && thin < 1.15 * normal, "{thin} {normal}");
}
