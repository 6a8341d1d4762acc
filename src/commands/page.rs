//! What a report says of how it was made.

/// Name of the report in the folder.
pub const NAME: &str = "report.html";

/// The command line as it was typed, without the folder of the program; words with anything but letters, digits and
/// `-_./=` in quotes.
#[must_use]
pub fn command() -> String {
    let mut words = vec!["partywall".to_owned()];
    for word in std::env::args_os().skip(1) {
        let word = word.to_string_lossy().into_owned();
        let plain = |c: char| c.is_ascii_alphanumeric() || "-_./=".contains(c);
        words.push(if word.chars().all(plain) && !word.is_empty() {
            word
        } else {
            format!("'{}'", word.replace('\'', "'\\''"))
        });
    }
    words.join(" ")
}
