//! From a fault of a weather file to a message: its place, what was expected there and what the user may try.

use crate::climate::error::ClimateError;
use crate::problem::{Place, Problem, Severity};

impl ClimateError {
    /// The fault as an error in `file`.
    #[must_use]
    pub fn error(self, file: &str, place: Option<Place>) -> Problem {
        self.problem(Severity::Error, file, place)
    }

    /// The fault as a warning in `file`.
    #[must_use]
    pub fn warning(self, file: &str, place: Option<Place>) -> Problem {
        self.problem(Severity::Warning, file, place)
    }

    fn problem(self, severity: Severity, file: &str, place: Option<Place>) -> Problem {
        Problem {
            severity,
            code: "weather",
            file: file.to_owned(),
            place,
            what: self.to_string(),
            expected: self.expected(),
            help: self.help(),
        }
    }

    /// What was expected instead.
    #[must_use]
    pub fn expected(&self) -> Option<String> {
        let s = match self {
            Self::UnknownFormat { .. } => {
                "plain CSV with a header row (time,temp_c,... or date,tmin_c,tmax_c,...), an EPW file (first line LOCATION,...), or a file of one of the services named above just as downloaded"
            }
            Self::MissingColumn { expected, .. }
            | Self::BadHeader { expected, .. }
            | Self::BadTime { expected, .. }
            | Self::BadUnit { expected, .. } => expected,
            Self::BadNumber { .. } => {
                "a number with a decimal point, or nothing for a missing value"
            }
            Self::TimesGoBack { .. } => "each row later than the row before it",
            Self::TruncatedHeader { .. } => {
                "8 header lines, LOCATION to DATA PERIODS, then one row an hour"
            }
            Self::NoWholeWinter { .. } => "every day of at least one winter",
            _ => return None,
        };
        Some(s.to_owned())
    }

    /// What to try.
    #[must_use]
    pub fn help(&self) -> Option<String> {
        let s = match self {
            Self::Missing => {
                let known = crate::climate::builtin::names();
                return Some(format!(
                    "check the spelling and the folder; built-in records: {known}"
                ));
            }
            Self::Directory => "name one file inside the folder",
            Self::NoFiles => "put the weather files of one station into it, or name one file",
            Self::TooManyFiles { .. } => "name a folder that holds the files of one station only",
            Self::Unpack { .. } => {
                "download it again, or unpack it yourself and name the CSV or text file in it"
            }
            Self::Swells { .. } => {
                "it may be made to do harm; download it again from the service itself"
            }
            Self::NotOneRecord { .. } => "keep one folder for each station and kind of file",
            Self::Overlap { .. } | Self::Overlaps { .. } => {
                "remove what is wrong or out of date: the row, or the whole file from the folder"
            }
            Self::LeftAside { .. } => "move it out of the folder if it is no weather",
            Self::SeveralStations { .. } => {
                "order one station alone, or delete the rows of the others"
            }
            Self::UnknownUnit { .. } => {
                "order a whole year at least, or put a file of the same name with .station.txt added beside it (station.txt in a folder) with a line \"temperature_unit: F\", \"C\" or \"0.1 C\""
            }
            Self::BadUnit { .. } => "order the data again in one of these units",
            Self::BadJson { .. } | Self::UnevenSeries { .. } => {
                "download it again; it may have been cut short or edited"
            }
            Self::Empty => "download it again; look at its size first",
            Self::NotText { .. } => {
                "unpack it, or save the table as CSV (UTF-8), and name that file"
            }
            Self::TooLarge { .. } | Self::TooManyLines { .. } => {
                "cut the file down to the station and the years you need"
            }
            Self::LineTooLong { .. } | Self::TooManyColumns { .. } => {
                "this does not look like a weather table; open the file in a text editor and check"
            }
            Self::UnknownFormat { .. } => {
                "rename the columns as in the samples, or download an EPW file for the nearest town; `partywall climate champion` shows a built-in record"
            }
            Self::UnknownBuiltIn { .. } => {
                let known = crate::climate::builtin::names();
                return Some(format!("built-in records: {known}"));
            }
            Self::MissingColumn { .. } => {
                "rename the column in the header row; the order of columns does not matter"
            }
            Self::DuplicateColumn { .. } => "delete or rename one of them",
            Self::MissingHeader {
                example,
                in_file: true,
                ..
            } => {
                return Some(format!("add a line \"# {example}\" at the top of the file"));
            }
            Self::MissingHeader { example, .. } => {
                return Some(format!(
                    "write a line \"{example}\" into a text file beside it, called as it with .station.txt added (station.txt in a folder), with longitude, elevation_m and utc_offset_h likewise; `run` takes the place from the scenario too"
                ));
            }
            Self::LongRow { .. } => {
                "write decimal points, or put fields that hold a comma in quotation marks"
            }
            Self::OpenQuote => "delete the stray quotation mark",
            Self::BadHeader { .. } => "correct this entry of the file's header",
            Self::BadNumber { .. } => "leave the cell empty where nothing was measured",
            Self::BadTime { .. } => {
                "write dates as year-month-day; 03/04/2015 may be March or April and is refused"
            }
            Self::TimesGoBack { .. } => {
                "look at this line: a day and month may be swapped, a clock changed to summer time, or two files joined in the wrong order"
            }
            Self::Exchanged { .. } => {
                "a spreadsheet has taken day for month: export the table again with dates as year-month-day"
            }
            Self::ShortRow { .. } | Self::TruncatedHeader { .. } | Self::NoRows => {
                "download or copy the file again"
            }
            Self::NoTemperatures { .. } => {
                "check that the temperature column is filled and in degrees Celsius"
            }
            Self::ManyOutOfRange { .. } => {
                "the column may be in degrees Fahrenheit (name it temp_f, tmin_f, tmax_f) or in tenths of a degree"
            }
            Self::Fahrenheit { .. } => "if they are, name the columns temp_f, tmin_f, tmax_f",
            Self::OutOfRange { .. } | Self::Crossed { .. } => {
                "look at these lines; they are filled like any missing value"
            }
            Self::Stuck { .. } | Self::MoreStuck { .. } => {
                "look whether a neighbouring station saw other weather; leave the cells empty if so"
            }
            Self::NotAWholeYear { .. } => "the file may have been cut short; download it again",
            Self::NoWholeWinter { .. } => {
                "take a longer record, join the files of neighbouring years, or shorten the season in the scenario"
            }
            Self::NotADay { .. } => "write month and day, as in 10-01",
            _ => return None,
        };
        Some(s.to_owned())
    }
}
