//! Quotes of a row: a field in quotes begins and ends on its line, with nothing else between it and the commas. By the looser rules of CSV a
//! quote too many makes the rows after it part of a note, and a weighing is gone without a word.

/// Where the reader is in a field.
#[derive(Clone, Copy)]
enum At {
    /// At its beginning.
    Start,
    /// In a field without quotes.
    Plain,
    /// In quotes, which were opened in that column.
    Quoted(usize),
    /// Behind a quote that ends the text opened in that column, or is the first of two.
    Closed(usize),
    /// In blanks behind the quotes.
    Behind,
}

/// The first quote of a line that stands where none can: its column, from 1, and the code of what is wrong with it.
pub(super) fn fault(line: &str) -> Option<(usize, &'static str)> {
    let mut at = At::Start;
    for (i, c) in line.chars().enumerate() {
        at = match (at, c) {
            (At::Start, '"') => At::Quoted(i + 1),
            (At::Closed(column), '"') => At::Quoted(column),
            (At::Quoted(column), '"') => At::Closed(column),
            (At::Quoted(column), _) => At::Quoted(column),
            (_, ',') => At::Start,
            (At::Closed(_) | At::Behind, c) if c.is_whitespace() => At::Behind,
            (At::Closed(_) | At::Behind, _) | (At::Plain, '"') => {
                return Some((i + 1, "log_stray_quote"));
            }
            (At::Start | At::Plain, _) => At::Plain,
        };
    }
    match at {
        At::Quoted(column) => Some((column, "log_open_quote")),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches a quote let through that would take rows after it along, and the quotes of a spreadsheet taken for such.
    #[test]
    fn quotes_end_on_their_line() {
        for good in [
            "a,b",
            r#""dry, snow off",b"#,
            r#"a,"6"" of snow" ,b"#,
            r#""","""""#,
        ] {
            assert_eq!(fault(good), None, "{good}");
        }
        for (bad, column, code) in [
            (r#"a,"dry"#, 3, "log_open_quote"),
            (r#"a,wet""#, 6, "log_stray_quote"),
            (r#"a,6" of snow"#, 4, "log_stray_quote"),
            (r#"a, "dry",b"#, 4, "log_stray_quote"),
            (r#"a,"dry" snow,b"#, 9, "log_stray_quote"),
            (r#"a,"dry" "snow",b"#, 9, "log_stray_quote"),
            (r#"a,"dry"",b"#, 3, "log_open_quote"),
        ] {
            assert_eq!(fault(bad), Some((column, code)), "{bad}");
        }
    }
}
