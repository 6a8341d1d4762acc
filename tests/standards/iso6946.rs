//! ISO 6946: a wall put together from its parts.

use partywall::boundary::cavity;
use partywall::boundary::film::{HeatFlow, inside_resistance, outside_resistance};

/// Catches resistances that do not add: 22 mm pine, 25 mm airspace, 40 mm foam, from parts and from table values.
#[test]
fn a_wall_from_parts_is_a_wall_from_table_values() {
    let boards = 0.022 / 0.12 + 0.040 / 0.034;
    let parts = inside_resistance(HeatFlow::Horizontal)
        + cavity::resistance(0.025, 5.0, HeatFlow::Horizontal, 0.9, 0.9, 10.0)
        + outside_resistance(4.0, 10.0)
        + boards;
    let table = 0.13 + 0.18 + 0.04 + boards;
    assert!((1.0 / parts - 1.0 / table).abs() < 0.002, "{parts} {table}");
}

/// Catches an order of directions turned round: a lid loses most, a floor least.
#[test]
fn lids_lose_more_than_floors() {
    let r = |flow| cavity::resistance(0.05, 3.0, flow, 0.9, 0.9, 5.0) + inside_resistance(flow);
    assert!(r(HeatFlow::Upwards) < r(HeatFlow::Horizontal));
    assert!(r(HeatFlow::Horizontal) < r(HeatFlow::Downwards));
}

/// Catches a foil that keeps its promise when wet: dew takes most of the gain of a foil face in a 25 mm side gap.
#[test]
fn dew_spoils_foil() {
    use partywall::boundary::cavity::emissivity::{FOIL, FOIL_DEWED, FOIL_WET, ORDINARY};
    let r = |e| cavity::resistance(0.025, 3.0, HeatFlow::Horizontal, e, ORDINARY, 0.0);
    let gain = |e| r(e) - r(ORDINARY);
    assert!(gain(FOIL_DEWED) < 0.5 * gain(FOIL));
    assert!(gain(FOIL_WET) < 0.15 * gain(FOIL));
}
