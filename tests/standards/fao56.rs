//! FAO-56 (Allen et al. 1998), worked examples not among the printed checks.

use partywall::climate::solar::{
    angstrom_global, clear_sky_daily, daylight_h, extraterrestrial_daily, hargreaves_global,
};

/// Example 18: Brussels, 50.8 N, 6 July: Ra 41.09, N 16.1 h, Rs 22.07 MJ/m2 day.
#[test]
fn example_18() {
    let ra = extraterrestrial_daily(50.8, 187);
    let n = daylight_h(50.8, 187);
    assert!((ra / 1e6 - 41.09).abs() < 0.05, "{ra}");
    assert!((n - 16.1).abs() < 0.05, "{n}");
    let rs = angstrom_global(ra, 9.25, n) / 1e6;
    assert!((rs - 22.07).abs() < 0.05, "{rs}");
}

/// Catches a hemisphere or season swapped: winter values computed independently.
#[test]
fn winter_radiation() {
    for (lat, doy, ra) in [
        (45.0, 15, 11.931),
        (45.0, 355, 10.441),
        (50.0, 46, 14.449),
        (60.0, 15, 3.254),
    ] {
        let got = extraterrestrial_daily(lat, doy) / 1e6;
        assert!((got - ra).abs() < 2e-3, "{lat} N, J {doy}: {got}");
    }
}

/// Catches a cap that is not applied, or a range that is negative: a wide range of temperature meets the clear sky.
#[test]
fn hargreaves_stays_under_the_clear_sky() {
    let ra = extraterrestrial_daily(45.0, 15);
    assert!(
        (hargreaves_global(ra, -30.0, 10.0, 0.16, 300.0) - clear_sky_daily(ra, 300.0)).abs() < 1e-6
    );
    assert_eq!(hargreaves_global(ra, 5.0, 1.0, 0.16, 300.0), 0.0);
}
