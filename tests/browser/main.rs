//! The reports in a real browser: chromium without a window, if it is installed. `PARTYWALL_BROWSER=1` demands it, and what checks
//! accessibility as well; a path there names the program.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stderr
)]

mod axe;
mod chromium;
mod first_page;
mod made;
mod pages;
mod yard;
