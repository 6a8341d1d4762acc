//! Command-line definitions only.

mod former;
mod heat;
mod units;
mod values;

pub use heat::{Check, HeatArgs, NetworkKind};
pub use units::Units;
pub use values::{Format, Grid, Print, WinterCount, YardFormat};

use clap::{Args, Parser, Subcommand};
use clap_complete::Shell;
use partywall_core::answer::{ComparisonOptions, WinterChoice};
use partywall_core::calendar::MonthDay;
use std::path::PathBuf;
use values::{count, day};

/// Winter-readiness simulator for honey bee colonies on one stand.
#[derive(Debug, Parser)]
#[command(name = "partywall", version, about, long_about = LONG, max_term_width = 100, arg_required_else_help = true)]
pub struct Cli {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

const LONG: &str = "Winter-readiness simulator for honey bee colonies on one stand.\n\n\
Reads your hive and a weather record and says what your scale must read in autumn, per queen, when the weakest moment \
of the winter comes, and what standing side by side buys each colony.\n\n\
Heat and stores only: a warm, heavy hive with many mites usually dies. Count mites first.";

/// The subcommands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Run a hive through past winters (without a file: the built-in demo hive)
    #[command(
        after_help = "Examples:\n  partywall run\n  partywall run my-hive.toml --winters all --out results\n  partywall run my-hive.toml --climate station.epw --format json"
    )]
    Run(RunArgs),
    /// Half a page per hive for the shed wall: targets, dates, checklist, room for pencil
    #[command(
        after_help = "Examples:\n  partywall yard my-hive.toml\n  partywall yard my-hive.toml --units us > shed.txt"
    )]
    Yard(YardArgs),
    /// Tell from a weighing in winter when the stores run out
    #[command(
        after_help = "Examples:\n  partywall update my-hive.toml --hive Left --date 2027-01-15 --front \"24.9 kg\" --back \"25.7 kg\"\n  \
                      partywall update my-hive.toml --log weighings.csv\n  \
                      partywall update my-hive.toml --log weighings.csv --hive Left --date 2027-02-14 --whole \"104 lb\"   (is added to the log)\n\n\
                      The log is a CSV file with the header date,hive,front,back,whole,one_side,note and a row a weighing."
    )]
    Update(UpdateArgs),
    /// Compare hives, or the variants in one file, on the same winters and the same kinds of colony
    #[command(
        after_help = "Examples:\n  partywall compare\n  partywall compare my-hive.toml --against \"with foam\"\n  partywall compare this.toml that.toml --winters 9"
    )]
    Compare(CompareArgs),
    /// Try the changes that make sense for a hive and list what each buys each colony
    #[command(
        after_help = "Examples:\n  partywall rank\n  partywall rank my-hive.toml --winters 9 --colonies 9   (a quick look)\n  partywall rank my-hive.toml --out results"
    )]
    Rank(RankArgs),
    /// Show how a scenario file was read: every conversion and every default
    #[command(after_help = "Example:\n  partywall check my-hive.toml")]
    Check(CheckArgs),
    /// Tell what is in weather files: which winter was hard, which spring late, what was missing
    #[command(
        after_help = "Examples:\n  partywall climate champion\n  partywall climate 2016.csv 2017.csv 2018.csv --out winters\n  partywall climate champion --synthetic 200 --detrend"
    )]
    Climate(ClimateArgs),
    /// Run the outside checks of the heat model and print them in one table
    #[command(after_help = "Example:\n  partywall verify")]
    Verify(VerifyArgs),
    /// List the colony parameters: value, range, how well founded, source
    #[command(
        after_help = "Examples:\n  partywall parameters\n  partywall parameters --format json\n  partywall parameters --accepted --format csv"
    )]
    Parameters(ParametersArgs),
    /// Print a built-in scenario to start your own from, as it is in the program; without a name, list them
    #[command(
        after_help = "Examples:\n  partywall example\n  partywall example single > my-hive.toml"
    )]
    Example {
        /// Name of a built-in scenario
        name: Option<String>,
    },
    /// Print the JSON Schema of the scenario file, for editors that complete and check as you type
    #[command(after_help = "Example:\n  partywall schema > partywall.schema.json")]
    Schema,
    /// Print completions for a shell
    #[command(
        after_help = "Examples:\n  partywall completions bash > ~/.local/share/bash-completion/completions/partywall\n  partywall completions fish > ~/.config/fish/completions/partywall.fish"
    )]
    Completions {
        /// Which shell
        #[arg(value_enum)]
        shell: Shell,
    },
    /// Print the manual page
    #[command(after_help = "Example:\n  partywall man > partywall.1")]
    Man,
}

/// Arguments of `run`.
#[derive(Debug, Args)]
pub struct RunArgs {
    /// Scenario file, or the name of a built-in one (larch-flats, larch-twelve, cold-larch, far-honey, heater-box, single)
    #[arg(default_value = "larch-flats")]
    pub scenario: String,
    /// Weather file or built-in record to use instead of the scenario's (champion, baskatong, chicago, northway, wageningen)
    #[arg(long, value_name = "FILE|NAME")]
    pub climate: Option<String>,
    /// How many winters: a number (chosen to stand for all, from mild to cold), or `all` [default: all]
    #[arg(long, value_name = "N|all", allow_negative_numbers = true)]
    pub winters: Option<WinterCount>,
    /// The day on which you ask, such as "15 Nov" or 2026-11-15: what had to be done before it has passed [default: the day of the weighing]
    #[arg(long, value_name = "DAY", value_parser = day)]
    pub on: Option<MonthDay>,
    /// Winters made up instead of the real ones
    #[command(flatten)]
    pub made: SyntheticArgs,
    /// How finely the hive is divided
    #[arg(long, value_enum, default_value_t = Grid::Normal)]
    pub grid: Grid,
    /// Which heat network, and its check.
    #[command(flatten)]
    pub heat: HeatArgs,
    /// Write the report (HTML), pictures, CSV traces and the JSON result into this folder
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// What to print
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,
    /// Units of the text
    #[arg(long, value_enum, default_value_t = Units::Both)]
    pub units: Units,
    /// Threads to use (default: all cores); the answer does not depend on it
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = count::<u16, 1, 256>)]
    pub threads: Option<u16>,
}

/// Arguments of `yard`.
#[derive(Debug, Args)]
pub struct YardArgs {
    /// Scenario file, or the name of a built-in one
    #[arg(default_value = "larch-flats")]
    pub scenario: String,
    /// Weather file or built-in record to use instead of the scenario's
    #[arg(long, value_name = "FILE|NAME")]
    pub climate: Option<String>,
    /// How many winters: a number, or `all` [default: all]
    #[arg(long, value_name = "N|all", allow_negative_numbers = true)]
    pub winters: Option<WinterCount>,
    /// The day on which you ask, such as "15 Nov" or 2026-11-15: what had to be done before it has passed [default: the day of the weighing]
    #[arg(long, value_name = "DAY", value_parser = day)]
    pub on: Option<MonthDay>,
    /// How finely the hive is divided
    #[arg(long, value_enum, default_value_t = Grid::Normal)]
    pub grid: Grid,
    /// Which heat network, and its check.
    #[command(flatten)]
    pub heat: HeatArgs,
    /// What to print
    #[arg(long, value_enum, default_value_t = YardFormat::Text)]
    pub format: YardFormat,
    /// Units of the text
    #[arg(long, value_enum, default_value_t = Units::Both)]
    pub units: Units,
    /// Threads to use (default: all cores); the answer does not depend on it
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = count::<u16, 1, 256>)]
    pub threads: Option<u16>,
}

/// Arguments of `update`.
#[derive(Debug, Args)]
pub struct UpdateArgs {
    /// Scenario file, or the name of a built-in one, as it stood in autumn
    pub scenario: String,
    /// Which hive was weighed; not needed when there is one colony only. With a log and no reading: the hive to tell of
    #[arg(long, value_name = "NAME", allow_hyphen_values = true)]
    pub hive: Option<String>,
    /// Day of the weighing, such as 2027-01-15
    #[arg(long, value_name = "YYYY-MM-DD", allow_hyphen_values = true)]
    pub date: Option<String>,
    /// Reading with the front lifted, with its unit
    #[arg(long, value_name = "WEIGHT", allow_hyphen_values = true)]
    pub front: Option<String>,
    /// Reading with the back lifted
    #[arg(long, value_name = "WEIGHT", allow_hyphen_values = true)]
    pub back: Option<String>,
    /// Reading of the whole hive
    #[arg(long, value_name = "WEIGHT", allow_hyphen_values = true, conflicts_with_all = ["front", "back", "one_side"])]
    pub whole: Option<String>,
    /// Reading with one side lifted; it is doubled, which is rough
    #[arg(long, value_name = "WEIGHT", allow_hyphen_values = true, conflicts_with_all = ["front", "back"])]
    pub one_side: Option<String>,
    /// A note to keep with the weighing
    #[arg(long, value_name = "TEXT", allow_hyphen_values = true)]
    pub note: Option<String>,
    /// Log of weighings (CSV); a weighing given here is added to it
    #[arg(long, value_name = "FILE")]
    pub log: Option<PathBuf>,
    /// Weather file or built-in record to use instead of the scenario's
    #[arg(long, value_name = "FILE|NAME")]
    pub climate: Option<String>,
    /// Winters made up instead of the real ones
    #[command(flatten)]
    pub made: SyntheticArgs,
    /// How many winters to weigh the readings against, each with its own bees and parameters
    #[arg(long, value_name = "N", default_value_t = 200, allow_negative_numbers = true, value_parser = count::<u32, 50, 20_000>)]
    pub runs: u32,
    /// How finely the hive is divided
    #[arg(long, value_enum, default_value_t = Grid::Coarse)]
    pub grid: Grid,
    /// Which heat network, and its check.
    #[command(flatten)]
    pub heat: HeatArgs,
    /// Write the report (HTML), pictures and the result as JSON into this folder
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// What to print
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,
    /// Units of the text
    #[arg(long, value_enum, default_value_t = Units::Both)]
    pub units: Units,
    /// Threads to use (default: all cores); the answer does not depend on it
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = count::<u16, 1, 256>)]
    pub threads: Option<u16>,
}

/// What `compare` and `rank` have in common.
#[derive(Debug, Args)]
pub struct ContestArgs {
    /// Weather file or built-in record to use instead of the scenario's
    #[arg(long, value_name = "FILE|NAME")]
    pub climate: Option<String>,
    /// How many winters: a number (chosen to stand for all, from mild to cold), or `all` [default: all]
    #[arg(long, value_name = "N|all", allow_negative_numbers = true)]
    pub winters: Option<WinterCount>,
    /// Winters made up instead of the real ones
    #[command(flatten)]
    pub made: SyntheticArgs,
    /// How many kinds of colony, drawn within what was measured, at least: each change and variant goes through so many winters
    /// whatever --winters says, so that a quick look wants both few, as in --winters 9 --colonies 9
    #[arg(long, value_name = "N", default_value = "32", allow_negative_numbers = true, value_parser = count::<u16, 1, 1000>)]
    pub colonies: u16,
    /// How finely the hives are divided [default: normal for compare, coarse for rank]
    #[arg(long, value_enum)]
    pub grid: Option<Grid>,
    /// Which heat network, and its check.
    #[command(flatten)]
    pub heat: HeatArgs,
    /// Write the report (HTML), pictures and the result as JSON and CSV into this folder
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// What to print
    #[arg(long, value_enum, default_value_t = Print::Text)]
    pub format: Print,
    /// Threads to use (default: all cores); the answer does not depend on it
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = count::<u16, 1, 256>)]
    pub threads: Option<u16>,
}

/// Arguments of `compare`.
#[derive(Debug, Args)]
pub struct CompareArgs {
    /// Scenario files or names of built-in ones: one with variants in it, or several
    #[arg(default_value = "larch-twelve", num_args = 1.., value_name = "SCENARIO")]
    pub scenarios: Vec<String>,
    /// The one the others are held against [default: the first, as written]
    #[arg(long, value_name = "NAME", allow_hyphen_values = true)]
    pub against: Option<String>,
    /// The rest.
    #[command(flatten)]
    pub contest: ContestArgs,
}

/// Arguments of `rank`.
#[derive(Debug, Args)]
pub struct RankArgs {
    /// Scenario file, or the name of a built-in one
    #[arg(default_value = "larch-flats")]
    pub scenario: String,
    /// The day on which you ask, such as "15 Nov" or 2026-11-15: what had to be done before it has passed [default: the day of the weighing]
    #[arg(long, value_name = "DAY", value_parser = day)]
    pub on: Option<MonthDay>,
    /// The rest.
    #[command(flatten)]
    pub contest: ContestArgs,
}

/// Arguments of `check`.
#[derive(Debug, Args)]
pub struct CheckArgs {
    /// Scenario file, or the name of a built-in one
    pub scenario: String,
    /// What to print
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,
}

/// What is made of a record's winters, in `run`, `update`, `compare`, `rank` and `climate` alike.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Args)]
pub struct SyntheticArgs {
    /// Make up so many winters (5 to 500): chained from months of 15 real ones or more, or spread about a typical year by an
    /// assumed amount
    #[arg(long, value_name = "N")]
    pub synthetic: Option<usize>,
    /// Take the drift of the climate out: every winter as it would be in the record's last years (20 winters or more)
    #[arg(long)]
    pub detrend: bool,
}

/// Arguments of `climate`.
#[derive(Debug, Args)]
pub struct ClimateArgs {
    /// Weather files or folders of one station, read as one record; or the name of a built-in record
    #[arg(required = true, value_name = "FILE|NAME")]
    pub files: Vec<String>,
    /// Winters made up from the real ones
    #[command(flatten)]
    pub made: SyntheticArgs,
    /// Refused with a hint: all winters are told
    #[arg(long, hide = true, value_name = "N", value_parser = no_choice)]
    pub winters: Option<String>,
    /// Write the report (HTML), the table of winters (CSV), all of it (JSON) and a picture (SVG and PNG) into this folder
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// What to print
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,
    /// Units of the text
    #[arg(long, value_enum, default_value_t = Units::Both)]
    pub units: Units,
}

/// `climate` tells of all winters.
fn no_choice(_: &str) -> Result<String, String> {
    Err("climate tells of every winter of the record; --winters belongs to run, yard, compare and rank".to_owned())
}

/// Arguments of `verify`.
#[derive(Debug, Args)]
pub struct VerifyArgs {
    /// What to print
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,
}

/// Arguments of `parameters`.
#[derive(Debug, Args)]
pub struct ParametersArgs {
    /// Instead: the sets of parameters that agree with what was measured, of a fixed draw
    #[arg(long)]
    pub accepted: bool,
    /// What to print
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,
}

impl SyntheticArgs {
    /// Which winters are asked for, together with `--winters`.
    #[must_use]
    pub fn with(self, winters: Option<WinterCount>) -> WinterChoice {
        WinterChoice {
            count: match winters {
                Some(WinterCount::Some(n)) => Some(n),
                Some(WinterCount::All) | None => None,
            },
            synthetic: self.synthetic,
            detrend: self.detrend,
        }
    }
}

impl ContestArgs {
    /// What is asked for, on a grid of the command's own unless one is named.
    #[must_use]
    pub fn options(&self, usual: Grid) -> ComparisonOptions {
        ComparisonOptions {
            winters: self.made.with(self.winters),
            colonies: usize::from(self.colonies),
            heat: self.heat.on(self.grid.unwrap_or(usual)),
        }
    }
}
