//! The `partywall` program: parse, dispatch, print the error, exit.

use partywall::cli::{Cli, Command};
use partywall::commands::{self, Failure};
use partywall::report::problems;
use std::io::{BufWriter, IsTerminal, Write};
use std::process::ExitCode;

fn main() -> ExitCode {
    let cli = Cli::read();
    let mut out = BufWriter::new(std::io::stdout().lock());
    let mut err = std::io::stderr();
    let colour = std::io::stderr().is_terminal()
        && std::env::var_os("NO_COLOR").is_none_or(|v| v.is_empty());
    let outcome = dispatch(&cli, &mut out, &mut err, colour)
        .and_then(|code| Ok(out.flush().map(|()| code)?));
    match outcome {
        Ok(code) => ExitCode::from(code),
        // The reader of a pipe has seen enough.
        Err(Failure::Io(e)) if e.kind() == std::io::ErrorKind::BrokenPipe => ExitCode::SUCCESS,
        Err(failure) => {
            let text = match &failure {
                Failure::Problems(p) => problems::render(p, colour),
                other => format!("error: {other}\n"),
            };
            // Nothing more can be said if standard error is gone.
            let _ = err.write_all(text.as_bytes());
            ExitCode::from(failure.code())
        }
    }
}

fn dispatch(
    cli: &Cli,
    out: &mut dyn Write,
    err: &mut dyn Write,
    colour: bool,
) -> Result<u8, Failure> {
    match &cli.command {
        Command::Run(args) => commands::run::run(args, out, err, colour).map(|()| 0),
        Command::Yard(args) => commands::yard::run(args, out, err, colour).map(|()| 0),
        Command::Update(args) => commands::update::run(args, out, err, colour).map(|()| 0),
        Command::Example { name } => {
            commands::completions::example(name.as_deref(), out).map(|()| 0)
        }
        Command::Schema => commands::completions::schema(out).map(|()| 0),
        Command::Completions { shell } => {
            commands::completions::completions(*shell, out).map(|()| 0)
        }
        Command::Man => commands::completions::man(out).map(|()| 0),
        Command::Compare(args) => commands::compare::run(args, out, err, colour).map(|()| 0),
        Command::Rank(args) => commands::rank::run(args, out, err, colour).map(|()| 0),
        Command::Check(args) => {
            let good = commands::check::run(&args.scenario, args.format, colour, out, err)?;
            Ok(if good { 0 } else { 2 })
        }
        Command::Climate(args) => commands::climate::run(args, out).map(|()| 0),
        Command::Parameters(args) => commands::parameters::run(args, out).map(|()| 0),
        Command::Verify(args) => Ok(u8::from(!commands::verify::run(args, out)?)),
    }
}
