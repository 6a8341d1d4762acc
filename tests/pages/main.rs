//! What stands in the README and on the pages of `tests/pages` is what the program prints: each block is run and compared.
//!
//! After a change that is meant, run the tests with `TRYCMD=overwrite` and read the difference.

/// Catches a README that promises what the program does not say, and any text that changed without being looked at:
/// `check`, `climate`, `parameters`, `run`, `yard`, `update`, helps.
#[test]
fn pages_are_what_the_program_prints() {
    trycmd::TestCases::new()
        .env("PARTYWALL_TODAY", "2027-02-28")
        .case("README.md")
        .case("tests/pages/*.trycmd")
        .run();
}

/// As above, for the page of questions, whose answers take all winters.
#[test]
#[ignore = "long"]
fn questions_are_answered_as_the_program_does() {
    trycmd::TestCases::new()
        .env("PARTYWALL_TODAY", "2027-02-28")
        .case("docs/questions.md")
        .run();
}
