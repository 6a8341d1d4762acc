//! ISO 10211 cases 1 to 4: catches wrong link conductances, films, contrasts of 1 : 8000 and corner handling.

use partywall::verify::iso10211;

#[test]
fn every_value_of_the_four_cases_is_met() {
    let checks = iso10211::checks().unwrap();
    assert_eq!(checks.len(), 31);
    let failed: Vec<_> = checks.iter().filter(|c| !c.passes()).collect();
    for c in &checks {
        eprintln!(
            "{:36} {:12.6} {:12.6} {:9.2e} {}",
            c.id,
            c.expected,
            c.got,
            c.tolerance,
            c.passes()
        );
    }
    assert!(failed.is_empty(), "{failed:#?}");
}

#[test]
fn case_1_converges_with_second_order() {
    // Catches a Dirichlet face without its half cell: the order would drop to one.
    let [coarse, fine] = [32, 64].map(|n| iso10211::case_1_error(n).unwrap());
    let order = (coarse / fine).log2();
    assert!(
        (order - 2.0).abs() < 0.1,
        "order {order} from {coarse} and {fine}"
    );
}
