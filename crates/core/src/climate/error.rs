//! What can be wrong with a weather file: one enum. What was expected and what to try stands in `advice.rs`.

/// A fault in a weather file or in the choice of one.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ClimateError {
    /// No file of that name.
    #[error("there is no file of this name")]
    Missing,
    /// A folder was named.
    #[error("this is a folder, not a weather file")]
    Directory,
    /// The operating system refused.
    #[error("the file cannot be opened or read ({reason})")]
    Unreadable {
        /// The system's own words.
        reason: String,
    },
    /// Nothing in it that could be weather.
    #[error("there is no weather in it")]
    NoFiles,
    /// More files than any record has.
    #[error("there are more than {limit} files in it")]
    TooManyFiles {
        /// Limit.
        limit: usize,
    },
    /// Packed bytes that do not unpack.
    #[error("this {what} cannot be unpacked ({reason})")]
    Unpack {
        /// "gzip file" or "zip archive".
        what: &'static str,
        /// The unpacker's words.
        reason: String,
    },
    /// Packed bytes that unpack to far more than any table.
    #[error("this unpacks to more than {ratio} times its size, which no weather table does")]
    Swells {
        /// Limit.
        ratio: u64,
    },
    /// Files that make no one record.
    #[error("{file} and {other} cannot be one record: {why}")]
    NotOneRecord {
        /// A file.
        file: String,
        /// An earlier one.
        other: String,
        /// What differs.
        why: String,
    },
    /// One moment twice, in one file or two, with different readings.
    #[error(
        "{when} stands twice, with different readings: the {what} is {this} here and {before} on {before_line}"
    )]
    Overlap {
        /// The moment.
        when: String,
        /// Which quantity.
        what: &'static str,
        /// Reading here.
        this: f64,
        /// The other reading.
        before: f64,
        /// Its line, and its file when there are several.
        before_line: String,
    },
    /// More disagreements than are listed.
    #[error("{count} moments in all stand twice, with different readings")]
    Overlaps {
        /// How many.
        count: usize,
    },
    /// A file of a folder that was not read.
    #[error("left aside: {why}")]
    LeftAside {
        /// Why.
        why: String,
    },
    /// Several stations in one file.
    #[error("the file holds several stations: {stations}")]
    SeveralStations {
        /// Their numbers or names.
        stations: String,
    },
    /// Nothing tells which unit the temperatures are in.
    #[error(
        "nothing in the file says which unit its temperatures are in, and the values leave it open: {evidence}"
    )]
    UnknownUnit {
        /// What was looked at.
        evidence: String,
    },
    /// A unit the reader does not know.
    #[error("column \"{column}\" is in \"{unit}\", which this program cannot convert")]
    BadUnit {
        /// Column name.
        column: String,
        /// Unit as written.
        unit: String,
        /// Units that can be read.
        expected: &'static str,
    },
    /// Not JSON, or JSON of another shape.
    #[error("this JSON cannot be read: {reason}")]
    BadJson {
        /// The parser's words.
        reason: String,
    },
    /// Series of different lengths.
    #[error("\"{column}\" has {got} values for {times} times")]
    UnevenSeries {
        /// Series name.
        column: String,
        /// Values.
        got: usize,
        /// Times.
        times: usize,
    },
    /// Nothing in it.
    #[error("the file is empty")]
    Empty,
    /// Not text.
    #[error("this is {what}, not a text file")]
    NotText {
        /// What it looks like.
        what: &'static str,
    },
    /// Larger than any weather record.
    #[error(
        "the file is larger than {limit_mb} MB, more than any weather record of this kind needs"
    )]
    TooLarge {
        /// Limit, megabytes of 1e6 bytes.
        limit_mb: u64,
    },
    /// More lines than any weather record.
    #[error("there are more than {limit} lines, more than any weather record of this kind needs")]
    TooManyLines {
        /// Limit.
        limit: usize,
    },
    /// A line no weather file has.
    #[error("line {line} is longer than {limit} bytes")]
    LineTooLong {
        /// 1-based line.
        line: usize,
        /// Limit, bytes.
        limit: usize,
    },
    /// More columns than any weather file has.
    #[error("the row has {got} columns; at most {limit} are read")]
    TooManyColumns {
        /// Columns found.
        got: usize,
        /// Limit.
        limit: usize,
    },
    /// No reader knows it.
    #[error(
        "this is in none of the weather formats this program reads; tried: {tried}; the file begins {first_lines}"
    )]
    UnknownFormat {
        /// Names of the formats tried.
        tried: String,
        /// The first lines, quoted.
        first_lines: String,
    },
    /// No such built-in record.
    #[error("there is no built-in weather record called \"{name}\"")]
    UnknownBuiltIn {
        /// As asked.
        name: String,
    },
    /// A column that cannot be done without is absent.
    #[error("no column with the {what}; the header row names {found}")]
    MissingColumn {
        /// What is missing.
        what: &'static str,
        /// What an acceptable column is called.
        expected: &'static str,
        /// Column names found.
        found: String,
    },
    /// The same quantity twice.
    #[error("two columns give the {what}: \"{first}\" and \"{second}\"")]
    DuplicateColumn {
        /// Which quantity.
        what: &'static str,
        /// First column.
        first: String,
        /// Second column.
        second: String,
    },
    /// A header entry that cannot be done without is absent.
    #[error("the file does not say the station's {what}")]
    MissingHeader {
        /// Which entry.
        what: &'static str,
        /// Line to add.
        example: &'static str,
        /// Whether the file itself has room for it, or a file beside it.
        in_file: bool,
    },
    /// A header entry that makes no sense.
    #[error("the station's {what} cannot be \"{text}\"")]
    BadHeader {
        /// Which entry.
        what: &'static str,
        /// As written.
        text: String,
        /// What is possible.
        expected: &'static str,
    },
    /// Text where a number belongs.
    #[error("\"{text}\" in column {column} is not a number")]
    BadNumber {
        /// Column name.
        column: String,
        /// As written.
        text: String,
    },
    /// Not a date or time.
    #[error("\"{text}\" is not a {what} this program can read")]
    BadTime {
        /// "date" or "time".
        what: &'static str,
        /// As written.
        text: String,
        /// Accepted form.
        expected: &'static str,
    },
    /// Times not strictly increasing.
    #[error("time does not move forward here: {this} follows {before} (line {before_line})")]
    TimesGoBack {
        /// This row's time.
        this: String,
        /// The row before.
        before: String,
        /// Its line.
        before_line: usize,
    },
    /// Day and month exchanged.
    #[error(
        "day and month are exchanged in {count} rows; the first says {written} where {meant} is meant"
    )]
    Exchanged {
        /// How many rows.
        count: usize,
        /// Date as written in the first.
        written: String,
        /// Date that puts the rows in order.
        meant: String,
    },
    /// Row with too few fields.
    #[error(
        "this row has {got} fields where {need} are needed: the file may have been cut short while it was copied or downloaded"
    )]
    ShortRow {
        /// Fields found.
        got: usize,
        /// Fields needed.
        need: usize,
    },
    /// Row with more fields than the header names.
    #[error(
        "this row has {got} fields where {need} are named: a comma may stand where a decimal point belongs"
    )]
    LongRow {
        /// Fields found.
        got: usize,
        /// Fields named.
        need: usize,
    },
    /// A quotation mark that swallows the lines after it.
    #[error("a quotation mark opens in this row and is not closed in it")]
    OpenQuote,
    /// Header of an EPW not whole.
    #[error(
        "the file stops inside its header: {got} of the 8 header lines, or no data rows after them"
    )]
    TruncatedHeader {
        /// Header lines found.
        got: usize,
    },
    /// No data rows.
    #[error("there are no data rows under the header")]
    NoRows,
    /// Nothing usable.
    #[error(
        "the file holds no usable temperature: {rows} rows, all of them missing or out of range"
    )]
    NoTemperatures {
        /// Rows seen.
        rows: usize,
    },
    /// Too many impossible temperatures.
    #[error(
        "{bad} of {of} temperatures lie outside -70 to 60 degC; the first is {first} on line {line}"
    )]
    ManyOutOfRange {
        /// How many.
        bad: usize,
        /// Of how many.
        of: usize,
        /// The first one.
        first: f64,
        /// Its line.
        line: usize,
    },
    /// Read as degC it would be the hottest place on Earth.
    #[error("these temperatures look like degrees Fahrenheit in a Celsius column: {evidence}")]
    Fahrenheit {
        /// What gives it away.
        evidence: String,
    },
    /// Values out of range, dropped.
    #[error("{count} {what} outside {range} treated as missing (first: {first}, line {line})")]
    OutOfRange {
        /// How many.
        count: usize,
        /// Which quantity.
        what: &'static str,
        /// Accepted range with unit.
        range: &'static str,
        /// The first value.
        first: f64,
        /// Its line.
        line: usize,
    },
    /// Minimum above maximum.
    #[error(
        "{count} days have a minimum above their maximum and are treated as missing (first: line {line})"
    )]
    Crossed {
        /// How many.
        count: usize,
        /// First line.
        line: usize,
    },
    /// Values that repeat.
    #[error(
        "{days} days from {from} to {to} repeat the same readings: the instrument or the record was stuck"
    )]
    Stuck {
        /// Days in the run.
        days: usize,
        /// First date.
        from: String,
        /// Last date.
        to: String,
    },
    /// More runs of repeated values than are listed.
    #[error("{runs} more runs of repeated readings, {days} days in all")]
    MoreStuck {
        /// Runs.
        runs: usize,
        /// Their days.
        days: usize,
    },
    /// Fewer rows than announced.
    #[error("the file holds {got} hours of a year's {whole}")]
    NotAWholeYear {
        /// Hours found.
        got: usize,
        /// Hours of a year.
        whole: usize,
    },
    /// No whole winter.
    #[error("no whole winter from {start} to {end} in this record, which spans {span}{rejected}")]
    NoWholeWinter {
        /// Start of the winter asked.
        start: String,
        /// End of the winter asked.
        end: String,
        /// What there is.
        span: String,
        /// Rejected winters with reasons, or empty.
        rejected: String,
    },
    /// The program's own table of stand-ins does not parse.
    #[error("the built-in table of stand-in values is broken: {reason}")]
    BrokenTable {
        /// The parser's words.
        reason: String,
    },
    /// The season's dates are no dates.
    #[error("{month:02}-{day:02} is not a day of the year")]
    NotADay {
        /// Month as given.
        month: u8,
        /// Day as given.
        day: u8,
    },
}
