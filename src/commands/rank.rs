//! `partywall rank`: the changes that make sense for a hive, and what each buys.

use super::forms::{self, Forms};
use super::terminal::Terminal;
use super::weather::record_of;
use super::{Failure, files, reports};
use crate::cli::{Grid, RankArgs};
use partywall_core::answer::{self, RankOptions};
use partywall_report::problems::render;
use partywall_report::ranking;
use std::io::Write;

/// Ranks and writes the answer to `out`, warnings and progress to standard error.
///
/// # Errors
/// Input that cannot be used, an output folder that cannot be written, a failed run.
pub fn run(
    args: &RankArgs,
    out: &mut dyn Write,
    err: &mut dyn Write,
    colour: bool,
) -> Result<(), Failure> {
    super::threads(args.contest.threads);
    let (source, family) = super::open_family(&args.scenario, args.contest.climate.as_deref())?;
    let mut base = family.base;
    super::under(&mut base.scenario, args.contest.climate.as_deref());
    write!(err, "{}", render(&base.warnings, colour))?;
    let terminal = Terminal::new();
    let output = files::begin(
        args.contest.out.as_deref(),
        [&*args.scenario]
            .into_iter()
            .chain(args.contest.climate.as_deref()),
    )?;
    let record = record_of(&base.scenario, err, colour)?;
    let options = RankOptions {
        contest: args.contest.options(Grid::Coarse),
        on: args.on,
    };
    let result = answer::rank(&source, &base, record, &options, &terminal)?;
    forms::mind(&result.head, err)?;
    let document = ranking::document(&result);
    let forms = Forms {
        text: document.text(),
        json: serde_json::to_vec_pretty(&result)?,
        csv: ranking::csv(&result).map_err(Failure::fault)?,
    };
    if let Some(output) = output {
        forms.save(&output)?;
        output.put("changes.toml", ranking::variants(&result).as_bytes())?;
        let drawn = ranking::bars(&result).map_err(Failure::fault)?;
        reports::report(&output, document, drawn, &[(&args.scenario, source.text())])?;
        output.finish()?;
    }
    forms.print(args.contest.format, out)
}
