//! Progress as a terminal shows it: a bar on standard error, and Ctrl-C.

use super::Failure;
use crate::files::ending;
use indicatif::{ProgressBar, ProgressStyle};
use partywall_core::answer::{Notice, Progress, Stage};
use partywall_core::calendar::words;
use partywall_report::network::astray;
use partywall_report::text;
use partywall_report::texts::said;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

/// How long the work may take to stop (a choice: winters look at the flag every hour they reckon, far more often).
const PATIENCE: Duration = Duration::from_secs(10);

/// Bars and notices on standard error; Ctrl-C stops the work, a second one ends the program at once.
pub(super) struct Terminal {
    bar: Mutex<ProgressBar>,
    stop: Arc<AtomicBool>,
}

impl Terminal {
    pub(super) fn new() -> Self {
        let stop = Arc::new(AtomicBool::new(false));
        let flag = Arc::clone(&stop);
        // Without a handler Ctrl-C ends the program, and the next answer clears away what that leaves.
        let _ = ctrlc::set_handler(move || {
            if flag.swap(true, Ordering::Relaxed) {
                ending::now(Failure::Stopped.code().into());
            }
            // What waits for a pipe or a disk looks at no flag, and who is told to end by the system is told once.
            std::thread::spawn(|| {
                std::thread::sleep(PATIENCE);
                ending::now(Failure::Stopped.code().into());
            });
        });
        Self {
            bar: Mutex::new(ProgressBar::hidden()),
            stop,
        }
    }

    fn bar(&self) -> std::sync::MutexGuard<'_, ProgressBar> {
        self.bar.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// Lets the first Ctrl-C end a command that is done in a moment.
pub(super) fn end_at_ctrl_c() {
    // As above.
    let _ = ctrlc::set_handler(|| ending::now(Failure::Stopped.code().into()));
}

impl Progress for Terminal {
    fn begin(&self, stage: Stage, steps: usize) {
        let of = match stage {
            Stage::Runs => said("program.runs"),
            Stage::Checks => said("program.stands_checked"),
            _ => said("program.winters"),
        };
        let bar = ProgressBar::new(steps as u64);
        let form = format!("{{bar:30}} {{pos}} of {{len}} {of}, {{eta}} left");
        if let Ok(style) = ProgressStyle::with_template(&form) {
            bar.set_style(style);
        }
        *self.bar() = bar;
    }

    fn step(&self) {
        self.bar().inc(1);
    }

    fn end(&self) {
        self.bar().finish_and_clear();
    }

    fn tell(&self, notice: &Notice) {
        let words = match notice {
            Notice::Refined(c) => text!("program.quick_heat_model_strays", astray = astray(c)),
            Notice::FellBack(c) => text!("program.still_strays_going_over", astray = astray(c)),
            Notice::MoreRuns { few, runs } => {
                text!(
                    "program.fewer_than_runs_fit",
                    few = format!("{few:.0}"),
                    runs
                )
            }
            Notice::OutsideSeason { on, start, end } => text!(
                "program.warning_lies_outside_season",
                on = words(*on),
                start = words(*start),
                end = words(*end)
            ),
            _ => return,
        };
        use std::io::Write;
        // Nothing more can be said if standard error is gone.
        let _ = writeln!(std::io::stderr(), "{words}");
    }

    fn stop(&self) -> &AtomicBool {
        &self.stop
    }
}
