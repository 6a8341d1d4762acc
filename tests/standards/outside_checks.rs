//! The checks that `partywall verify` prints, one by one.

use partywall::verify::boundary::checks;

/// Ids that must be there: a check that silently disappears is worse than one that fails.
const IDS: [&str; 61] = [
    "iso6946-rsi-up",
    "iso6946-rsi-horizontal",
    "iso6946-rsi-down",
    "iso6946-rse",
    "iso6946-hr0-0",
    "iso6946-hr0-10",
    "iso6946-airspace-10",
    "iso6946-airspace-25",
    "iso6946-airspace-50",
    "iso6946-airspace-10-sharp",
    "iso6946-airspace-25-sharp",
    "iso6946-airspace-50-sharp",
    "iso6946-airspace-warm",
    "iso6946-small-void",
    "wood-conductivity",
    "wood-specific-heat",
    "ashrae-psat-m20",
    "ashrae-psat-0",
    "ashrae-psat-10",
    "ashrae-psat-20",
    "ashrae-psat-35",
    "iso13788-psat-m10",
    "iso13788-psat-0",
    "iso13788-psat-20",
    "dew-point",
    "humidity-ratio",
    "enthalpy",
    "dew-rate",
    "stack-flow",
    "stack-pressure",
    "stack-neutral",
    "series-area",
    "slot-two-way",
    "slot-general",
    "discharge-two-way",
    "sun-zenith",
    "sun-azimuth",
    "sun-elevation-45n",
    "sun-azimuth-45n",
    "sun-elevation-60n",
    "sun-azimuth-60n",
    "sun-elevation-50n",
    "sun-azimuth-50n",
    "sun-elevation-44n",
    "sun-azimuth-44n",
    "hay-davies",
    "face-sun",
    "sky-clark-allen",
    "sky-berdahl-martin",
    "sky-berdahl-martin-temperature",
    "erbs-3",
    "erbs-5",
    "erbs-7",
    "fao56-ra",
    "fao56-daylight",
    "fao56-rs",
    "fao56-hargreaves",
    "fao56-e-24",
    "fao56-e-15",
    "parton-logan-noon",
    "parton-logan-evening",
];

/// Catches any of the published or independently computed values being missed, or its check being lost.
#[test]
fn every_check_is_there_and_passes() {
    let all = checks();
    for id in IDS {
        let check = all
            .iter()
            .find(|c| c.id == id)
            .unwrap_or_else(|| panic!("{id} is missing"));
        assert!(
            check.passes(),
            "{id}: {} expected {} {}, got {} (tolerance {})",
            check.what,
            check.expected,
            check.unit,
            check.got,
            check.tolerance
        );
    }
    assert_eq!(all.len(), IDS.len(), "a check without an id in the list");
}

/// Catches two checks under one id.
#[test]
fn ids_are_unique() {
    let all = checks();
    for (i, a) in all.iter().enumerate() {
        assert!(all[i + 1..].iter().all(|b| b.id != a.id), "{} twice", a.id);
    }
}
