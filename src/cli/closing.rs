//! Closing a period and verifying what is closed, at the terminal.

use std::path::Path;

use super::{OPEN, print, progress, summary};
use crate::run::{self, Stop};

pub(super) fn close(dir: &Path, period: u32, despite: Option<&str>) -> Result<u8, Stop> {
    let bar = progress::Bar::new();
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
    let bar = progress::Bar::new();
    let verified = run::verify(dir, &|done, all| bar.tick(done, all));
    bar.finish();
    let verified = verified?;
    if json {
        let text = serde_json::to_string_pretty(&verified).map_err(|why| summary::not_printed(&why.into()))?;
        print(&format!("{text}\n"))?;
    } else {
        let lines: Vec<String> = verified.text().lines().map(run::printable).collect();
        print(&format!("{}\n", lines.join("\n")))?;
    }
    Ok(if verified.same() { 0 } else { OPEN })
}
