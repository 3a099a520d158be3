//! A bar for whoever waits at a terminal longer than half a second.

use std::io::{IsTerminal, stderr, stdout};
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// Nobody needs to be told of shorter waits.
const PATIENCE: Duration = Duration::from_millis(500);

/// Told by a job, from any thread, how far it is.
pub struct Progress {
    began: Instant,
    is_watched: bool,
    is_shown: AtomicBool,
    bar: ProgressBar,
}

impl Progress {
    /// Of so-called things, on standard error: the answer itself stays clean.
    pub fn new(things: &'static str) -> Progress {
        let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::hidden());
        let style = ProgressStyle::with_template("[{bar:40}] {pos} of {len} {msg}");
        bar.set_style(
            style
                .expect("a template of known keys")
                .progress_chars("=> "),
        );
        bar.set_message(things);
        Progress {
            began: Instant::now(),
            is_watched: stdout().is_terminal() && stderr().is_terminal(),
            is_shown: AtomicBool::new(false),
            bar,
        }
    }

    /// So many of so many are done.
    pub fn tell(&self, done: u64, of: u64) {
        if !self.is_watched || self.began.elapsed() < PATIENCE {
            return;
        }
        if !self.is_shown.swap(true, Ordering::Relaxed) {
            self.bar.set_length(of);
            self.bar.set_draw_target(ProgressDrawTarget::stderr());
        }
        self.bar.set_position(done);
    }

    /// Wipes the bar away.
    pub fn end(&self) {
        self.bar.finish_and_clear();
    }
}
