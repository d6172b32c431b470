//! Closing a period, verifying what is closed, comparing results, at the terminal.

use std::path::Path;

use serde::Serialize;

use super::{OPEN, print, progress, summary};
use crate::run::{self, Stop};

pub(super) fn close(dir: &Path, period: u32, despite: Option<&str>) -> Result<u8, Stop> {
    let bar = progress::Bar::of("reading", "files");
    let closed = run::close(dir, period, despite, &|done, all| bar.tick(done, all));
    bar.finish();
    let closed = closed?;
    let folder = dir.join(&closed.folder);
    print(&format!(
        "closed    period {period}: {}/  {}\nseal      {}\n",
        folder.display(),
        closed.files.join(" "),
        closed.seal
    ))?;
    Ok(0)
}

pub(super) fn verify(dir: &Path, json: bool) -> Result<u8, Stop> {
    let bar = progress::Bar::of("reading", "files");
    let verified = run::verify(dir, &|done, all| bar.tick(done, all));
    bar.finish();
    let verified = verified?;
    show(&verified, &verified.text(), json)?;
    Ok(if verified.same() { 0 } else { OPEN })
}

pub(super) fn compare((first, second): (&Path, &Path), all: bool, json: bool) -> Result<u8, Stop> {
    let bar = progress::Bar::of("reading", "files");
    let difference = run::compare(first, second, &|done, all| bar.tick(done, all));
    bar.finish();
    let difference = difference?;
    show(&difference, &difference.text(all), json)?;
    Ok(if difference.none() { 0 } else { OPEN })
}

/// An answer as JSON or in words.
fn show(answer: &impl Serialize, words: &str, json: bool) -> Result<(), Stop> {
    if json {
        let text = serde_json::to_string_pretty(answer).map_err(|why| summary::not_printed(&why.into()))?;
        return print(&format!("{text}\n"));
    }
    let lines: Vec<String> = words.lines().map(run::printable).collect();
    print(&format!("{}\n", lines.join("\n")))
}
