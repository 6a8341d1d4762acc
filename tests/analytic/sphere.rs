//! The immersed sphere against `1/(4 pi k R)` over the radii and cell widths of hives.

use partywall::verify::analytic::sphere_resistance;

#[test]
fn resistance_in_an_unbounded_medium_over_radii_cells_and_places() {
    // Catches a surface that is spread too far (resistance too low) or sits in single cells (too high).
    let mut worst: f64 = 0.0;
    for radius in [0.06, 0.08, 0.10, 0.15] {
        for h in [0.020, 0.025, 0.030, 0.035] {
            for offset in [[0.0; 3], [0.5, 0.5, 0.5], [0.25, 0.4, 0.1]] {
                let exact = 1.0 / (4.0 * std::f64::consts::PI * 0.08 * radius);
                let error = sphere_resistance(0.08, radius, h, offset).unwrap() / exact - 1.0;
                eprintln!("R {radius} h {h} {offset:?}: {:+.2} %", 100.0 * error);
                worst = worst.max(error.abs());
            }
        }
    }
    assert!(worst < 0.02, "off by {worst}");
}
