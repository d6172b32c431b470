//! The house rules that a compiler does not hold: who may import whom, and who may touch the outside world.

use std::fs;
use std::path::{Path, PathBuf};

/// Modules by rank, as lib.rs lists them: `// 3` above the modules of rank 3.
fn ranks() -> Vec<(String, u32)> {
    let lib = fs::read_to_string("src/lib.rs").unwrap();
    let (mut rank, mut modules) = (0, Vec::new());
    for line in lib.lines() {
        if let Some(number) = line.strip_prefix("// ").and_then(|n| n.parse().ok()) {
            rank = number;
        } else if let Some(name) = line.strip_prefix("pub mod ").and_then(|l| l.strip_suffix(';')) {
            modules.push((name.to_string(), rank));
        }
    }
    modules
}

fn sources(at: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(at).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|e| e == "rs") {
            found.push(path);
        }
    }
}

fn all_sources() -> Vec<PathBuf> {
    let mut found = Vec::new();
    sources(Path::new("src"), &mut found);
    found.sort();
    found
}

/// `src/line/lots.rs` and `src/line.rs` are of module `line`.
fn module_of(path: &Path) -> String {
    let part = path.iter().nth(1).unwrap().to_string_lossy();
    part.strip_suffix(".rs").unwrap_or(&part).to_string()
}

/// Code without its tests, which may use whatever they need.
fn code_of(path: &Path) -> String {
    let text = fs::read_to_string(path).unwrap();
    text.split("#[cfg(test)]\nmod tests {").next().unwrap_or_default().to_string()
}

fn is_test_file(path: &Path) -> bool {
    ["tests.rs", "fixture.rs", "example.rs"].iter().any(|name| path.ends_with(name))
        || path.iter().any(|p| p == "tests")
}

/// Every module named after `crate::` in a text, `use crate::{a, b::c}` included.
fn imported(text: &str) -> Vec<String> {
    let mut names = Vec::new();
    for after in text.split("crate::").skip(1) {
        if let Some(group) = after.strip_prefix('{') {
            let inside = group.split('}').next().unwrap_or_default();
            names.extend(inside.split(',').map(|p| first_word(p.trim())));
        } else {
            names.push(first_word(after));
        }
    }
    names
}

fn first_word(text: &str) -> String {
    text.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect()
}

#[test]
fn a_module_imports_only_from_above_its_rank() {
    let ranks = ranks();
    assert!(ranks.len() > 12, "lib.rs lists the modules under their ranks");
    let rank = |name: &str| ranks.iter().find(|(n, _)| n == name).map(|(_, r)| *r);
    let mut wrong = Vec::new();
    let mut checked = 0;
    for path in all_sources().into_iter().filter(|p| !is_test_file(p)) {
        let own = module_of(&path);
        let Some(own_rank) = rank(&own) else { continue };
        for name in imported(&code_of(&path)) {
            let Some(other) = rank(&name) else { continue };
            checked += 1;
            if name != own && other >= own_rank {
                wrong.push(format!("{} (rank {own_rank}) imports {name} (rank {other})", path.display()));
            }
        }
    }
    assert!(checked > 50, "only {checked} imports were seen: the test no longer reads them");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn only_the_doors_touch_clock_environment_and_files() {
    let doors = ["intake", "outbox", "cli"];
    let outside = [
        "std::fs",
        "std::env",
        "SystemTime",
        "Instant::now",
        "Utc::now",
        "Local::now",
        "File::open",
        "println!",
        "eprintln!",
    ];
    let mut wrong = Vec::new();
    for path in all_sources().into_iter().filter(|p| !is_test_file(p) && !doors.contains(&module_of(p).as_str())) {
        let code = code_of(&path);
        wrong.extend(
            outside.iter().filter(|word| code.contains(**word)).map(|word| format!("{}: {word}", path.display())),
        );
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_engine_holds_no_number_of_a_rule() {
    // Limits, factors and tolerances are data: a decimal literal in accept, line, reconcile or pay is one too many.
    let engine = ["accept", "reconcile", "pay"];
    let mut wrong = Vec::new();
    for path in all_sources().into_iter().filter(|p| !is_test_file(p) && engine.contains(&module_of(p).as_str())) {
        for (n, line) in code_of(&path).lines().enumerate() {
            if line.contains("dec!(") && !line.trim_start().starts_with("//") {
                wrong.push(format!("{}:{}: {}", path.display(), n + 1, line.trim()));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_source_file_opens_with_what_it_is_for() {
    let bare: Vec<String> = all_sources()
        .into_iter()
        .filter(|p| !fs::read_to_string(p).unwrap().starts_with("//!"))
        .map(|p| p.display().to_string())
        .collect();
    assert!(bare.is_empty(), "{}", bare.join("\n"));
}
