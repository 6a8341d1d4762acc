//! Progress as a terminal shows it: a bar on standard error, and Ctrl-C.

use indicatif::{ProgressBar, ProgressStyle};
use partywall_core::answer::{Notice, Progress, Stage};
use partywall_core::calendar::words;
use partywall_report::network::astray;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, PoisonError};

/// Bars and notices on standard error; Ctrl-C stops the work, a second one ends the program at once.
pub(super) struct Terminal {
    bar: Mutex<ProgressBar>,
    stop: Arc<AtomicBool>,
}

impl Terminal {
    pub(super) fn new() -> Self {
        let stop = Arc::new(AtomicBool::new(false));
        let flag = Arc::clone(&stop);
        // Without a handler Ctrl-C ends the program, which is as well: files are written whole or not at all.
        let _ = ctrlc::set_handler(move || {
            if flag.swap(true, Ordering::Relaxed) {
                std::process::exit(130);
            }
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

impl Progress for Terminal {
    fn begin(&self, stage: Stage, steps: usize) {
        let of = match stage {
            Stage::Runs => "runs",
            Stage::Checks => "stands checked",
            _ => "winters",
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
            Notice::Refined(c) => format!(
                "the quick heat model strays from the full one, {}: once more with twice as many places to a comb",
                astray(c)
            ),
            Notice::FellBack(c) => format!(
                "it still strays, {}: going over all winters with the full one, half a minute and more for each. Ctrl-C stops it; \
                 `--check none` goes without",
                astray(c)
            ),
            Notice::MoreRuns { few, runs } => {
                format!("fewer than {few:.0} of {runs} runs fit: as many again are run")
            }
            Notice::OutsideSeason { on, start, end } => format!(
                "warning: {} lies outside the season, {} to {}: the answer is that of its start",
                words(*on),
                words(*start),
                words(*end)
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
