//! Comparing text with a golden file. A golden file changes only with `SLABTALLY_BLESS=1`, and the diff is read.

use std::env;
use std::fs;
use std::path::Path;

/// `text` is what stands in the file, line by line.
pub(crate) fn golden(path: impl AsRef<Path>, text: &str) {
    let path = path.as_ref();
    if env::var_os("SLABTALLY_BLESS").is_some() {
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
        return;
    }
    let expected = fs::read_to_string(path).unwrap_or_default();
    if expected == text {
        return;
    }
    let (mut wanted, mut got) = (expected.lines(), text.lines());
    let mut line = 0;
    let (was, is) = loop {
        line += 1;
        match (wanted.next(), got.next()) {
            (a, b) if a == b && a.is_some() => {}
            (a, b) => break (a.unwrap_or("(end)"), b.unwrap_or("(end)")),
        }
    };
    panic!(
        "{} differs from line {line} on\n  was: {was}\n  is:  {is}\nIf it should, SLABTALLY_BLESS=1 cargo test rewrites it; read the diff.",
        path.display()
    );
}
