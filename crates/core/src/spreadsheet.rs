//! Cells of CSV files that a spreadsheet opens: text that it would take for a formula is written behind an apostrophe, and read without it.

use std::borrow::Cow;

/// Signs that begin a formula. Control characters do too, since spreadsheets pass over them.
const FORMULA: [char; 4] = ['=', '+', '-', '@'];
const GUARD: char = '\'';

fn begins_formula(c: char) -> bool {
    FORMULA.contains(&c) || c.is_control()
}

/// A cell that no spreadsheet takes for a formula: what begins like one and is no number is put behind an apostrophe.
///
/// ```
/// use partywall_core::spreadsheet::harmless;
/// assert_eq!(harmless("=1+1"), "'=1+1");
/// assert_eq!(harmless("-4.5"), "-4.5");
/// ```
#[must_use]
pub fn harmless(cell: &str) -> Cow<'_, str> {
    let mut signs = cell.chars();
    let guarded = match signs.next() {
        // Else reading would take the apostrophe of the text itself for a guard.
        Some(GUARD) => signs
            .next()
            .is_some_and(|c| c == GUARD || begins_formula(c)),
        Some(c) => begins_formula(c) && !cell.parse::<f64>().is_ok_and(f64::is_finite),
        None => false,
    };
    if guarded {
        format!("{GUARD}{cell}").into()
    } else {
        cell.into()
    }
}

/// The text of a cell that [`harmless`] wrote.
#[must_use]
pub fn plain(cell: &str) -> &str {
    match cell.strip_prefix(GUARD) {
        Some(rest) if rest.starts_with(|c| c == GUARD || begins_formula(c)) => rest,
        _ => cell,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Catches a formula let through, and numbers or plain words that are changed.
    #[test]
    fn only_formulas_are_guarded() {
        for formula in [
            "=cmd|'/C calc'!A0",
            "+1+1",
            "-2 kg",
            "@SUM(A1)",
            "\t=1",
            "-",
            "\r=1",
            "-inf",
        ] {
            assert_eq!(harmless(formula), format!("'{formula}"));
        }
        for cell in [
            "",
            "dry, snow off",
            "'tis dry",
            "-4",
            "+2.5e3",
            "2027-01-15",
            "'",
        ] {
            assert_eq!(harmless(cell), cell);
        }
    }

    proptest! {
        /// Catches a text that does not come back as it went in, and a written cell that begins a formula.
        #[test]
        fn cells_come_back(text in "['=+@\\-\t a1.]{0,6}") {
            let cell = harmless(&text);
            prop_assert_eq!(plain(&cell), text.as_str());
            let formula = cell.starts_with(begins_formula) && cell.parse::<f64>().is_err();
            prop_assert!(!formula, "{}", cell);
        }
    }
}
