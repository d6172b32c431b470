//! A progress bar on a terminal, for work that takes over a second; silent everywhere else.

use std::time::{Duration, Instant};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// How long work may take before anything is shown.
const PATIENCE: Duration = Duration::from_secs(1);

pub(super) struct Bar {
    bar: ProgressBar,
    since: Instant,
}

impl Bar {
    /// A bar that counts `things`, such as `reading` `files`.
    pub(super) fn of(doing: &str, things: &str) -> Self {
        let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::hidden());
        if let Ok(style) = ProgressStyle::with_template(&format!("{doing} {{pos}} of {{len}} {things} {{wide_bar}}")) {
            bar.set_style(style.progress_chars("=> "));
        }
        // This is the one clock of the program, and it only decides whether to draw.
        Self { bar, since: Instant::now() }
    }

    pub(super) fn tick(&self, done: usize, all: usize) {
        if self.since.elapsed() > PATIENCE && self.bar.is_hidden() {
            // indicatif draws on stderr only if that is a terminal.
            self.bar.set_draw_target(ProgressDrawTarget::stderr());
        }
        self.bar.set_length(all as u64);
        self.bar.set_position(done as u64);
    }

    pub(super) fn finish(&self) {
        self.bar.finish_and_clear();
    }
}
