//! Every reader of what people send, given what nobody meant to send. Each input of the corpus is read, then inputs made
//! from them at random, and what must hold is checked: not only that nothing stops, but that a number read is the number
//! that stands there, that rows close, and that a message names its place and can be shown.
//!
//! `cargo test` reads the corpus and goes on for half a minute; `tests/fuzz/run SECONDS [TARGET]` goes on as long as it is
//! told. What fails is kept as `corpus/TARGET/found-...`, and fails until it is mended.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::print_stdout, clippy::print_stderr, clippy::exit)]

#[path = "../built.rs"]
mod built;
mod cells;
mod chance;
mod files;
mod headings;
mod independent;
mod sound;
mod texts;

use std::cell::RefCell;
use std::collections::BTreeSet;
use std::env;
use std::fs;
use std::io::{Seek, Write};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::{Arc, Mutex};
use std::thread;
use std::time::{Duration, Instant, SystemTime};

use chance::{Chance, changed};

/// What one input came to: words for what was new about it, or what does not hold.
pub(crate) type Outcome = Result<Vec<String>, String>;

/// Changes an input beneath its packing; `None` where it cannot.
pub(crate) type Change = fn(&mut Chance, &[u8]) -> Option<Vec<u8>>;

/// A reader with the inputs it starts from.
pub(crate) struct Target {
    pub(crate) name: &'static str,
    /// Words of its trade.
    pub(crate) words: &'static [&'static str],
    /// Inputs beside those of its corpus.
    pub(crate) seeds: Vec<Vec<u8>>,
    /// Reads one input and checks what must hold.
    pub(crate) try_one: fn(&[u8]) -> Outcome,
    /// Changes an input in its own way; `None` for bytes.
    pub(crate) change: Option<Change>,
}

const CORPUS: &str = "tests/fuzz/corpus";

/// Longest time that an input may take. An optimised program takes a thousandth of it.
const LONGEST: Duration = Duration::from_secs(10);

/// Most memory, in MiB, that all of them may take: caps of the tests, and what the libraries need besides.
const MOST_MEMORY: u64 = 1_500;

/// All of them run when nothing else is said, in seconds.
const USUAL: u64 = 30;

thread_local! {
    static PANIC: RefCell<Option<String>> = const { RefCell::new(None) };
}

/// Panics of other threads, and those that the program itself catches: none may come from our own code.
static OWN_PANIC: Mutex<Option<String>> = Mutex::new(None);

fn targets() -> Vec<Target> {
    [cells::targets(), headings::targets(), files::targets(), texts::targets()].into_iter().flatten().collect()
}

fn main() -> ExitCode {
    let asked = env::var("SLABTALLY_FUZZ_SECONDS").ok().and_then(|seconds| seconds.parse().ok());
    // `cargo test NAME` and `--list` ask for tests by name; there are none of a name here.
    if asked.is_none() && env::args().count() > 1 && !env::args().any(|it| it.contains("fuzz") && it.len() == 4) {
        return ExitCode::SUCCESS;
    }
    std::panic::set_hook(Box::new(|panic| {
        let at = panic.location().map(ToString::to_string).unwrap_or_default();
        if at.starts_with("src/") || at.contains("/slabtally/") {
            *OWN_PANIC.lock().unwrap_or_else(std::sync::PoisonError::into_inner) = Some(panic.to_string());
        }
        PANIC.with(|last| *last.borrow_mut() = Some(panic.to_string()));
    }));
    let only = env::var("SLABTALLY_FUZZ_TARGET").unwrap_or_default();
    let chosen: Vec<Target> = targets().into_iter().filter(|it| only.is_empty() || it.name == only).collect();
    if chosen.is_empty() {
        let names: Vec<&str> = targets().iter().map(|it| it.name).collect();
        eprintln!("there is no target {only}; there are {}", names.join(", "));
        return ExitCode::FAILURE;
    }
    let now = SystemTime::now().duration_since(SystemTime::UNIX_EPOCH).map_or(1, |since| since.as_secs());
    let seed = env::var("SLABTALLY_FUZZ_SEED").ok().and_then(|seed| seed.parse().ok());
    let seed = seed.unwrap_or(if asked.is_some() { now } else { 1 });
    let share = Duration::from_secs(asked.unwrap_or(USUAL)) / u32::try_from(chosen.len()).unwrap();
    let mut failed = 0;
    for target in &chosen {
        failed += usize::from(!Run::new(target, seed).go(share));
    }
    println!(
        "test result: {}. {} passed; {failed} failed",
        if failed == 0 { "ok" } else { "FAILED" },
        chosen.len() - failed
    );
    if failed == 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

/// One target while it runs.
struct Run<'a> {
    target: &'a Target,
    seed: u64,
    /// Inputs to start from; one that came to something new joins them.
    pool: Vec<Vec<u8>>,
    known: BTreeSet<String>,
    current: fs::File,
    watched: Arc<Mutex<(Instant, bool)>>,
}

impl<'a> Run<'a> {
    fn new(target: &'a Target, seed: u64) -> Self {
        let path = current(target.name);
        let current = fs::File::create(&path).unwrap();
        let watched = Arc::new(Mutex::new((Instant::now(), true)));
        watch(target.name, path, Arc::clone(&watched));
        Self { target, seed, pool: corpus(target), known: BTreeSet::new(), current, watched }
    }

    /// Whether all inputs held.
    fn go(mut self, share: Duration) -> bool {
        let mut failed = Vec::new();
        for input in self.pool.clone() {
            failed.extend(self.one(&input).err().map(|why| (input, why)));
        }
        let from_corpus = self.pool.len();
        let mut chance = Chance::new(self.seed);
        let (start, mut count) = (Instant::now(), 0_u64);
        while failed.is_empty() && start.elapsed() < share {
            let input = self.next(&mut chance);
            count += 1;
            match self.one(&input) {
                Ok(true) if self.pool.len() < 5_000 => self.pool.push(input),
                Ok(_) => {}
                Err(why) => failed.push((self.smaller(input, &why), why)),
            }
        }
        self.watched.lock().unwrap().1 = false;
        for (input, why) in &failed {
            let kept = keep(self.target.name, input);
            println!("{}: {why}\n  seed {}, input {}, kept as {kept}", self.target.name, self.seed, shown(input));
        }
        println!(
            "fuzz {}: {from_corpus} of the corpus, {count} more, {} kinds of answer, {}",
            self.target.name,
            self.known.len(),
            if failed.is_empty() { "all held" } else { "FAILED" }
        );
        failed.is_empty()
    }

    fn next(&self, chance: &mut Chance) -> Vec<u8> {
        let from = &self.pool[chance.below(self.pool.len())];
        let own = self.target.change.filter(|_| !chance.once_in(6)).and_then(|change| change(chance, from));
        own.unwrap_or_else(|| {
            let other = &self.pool[chance.below(self.pool.len())];
            changed(chance, from, other, self.target.words)
        })
    }

    /// Whether the input came to something new.
    fn one(&mut self, input: &[u8]) -> Result<bool, String> {
        self.current.rewind().unwrap();
        self.current.set_len(0).unwrap();
        self.current.write_all(input).unwrap();
        self.watched.lock().unwrap().0 = Instant::now();
        let done = tried(self.target, input)?;
        let memory = most_memory();
        if memory > MOST_MEMORY {
            return Err(format!("it took {memory} MiB"));
        }
        let before = self.known.len();
        self.known.extend(done);
        Ok(self.known.len() > before)
    }

    /// The same failure with less around it.
    fn smaller(&self, input: Vec<u8>, why: &str) -> Vec<u8> {
        let (start, kind) = (Instant::now(), sound::plain(why));
        let (mut least, mut piece) = (input, 1 << 12);
        while piece > 0 {
            let mut at = 0;
            while at < least.len() && start.elapsed() < Duration::from_secs(5) {
                let mut less = least.clone();
                less.drain(at..(at + piece).min(less.len()));
                if tried(self.target, &less).is_err_and(|why| sound::plain(&why) == kind) {
                    least = less;
                } else {
                    at += piece;
                }
            }
            piece /= 2;
        }
        least
    }
}

fn tried(target: &Target, input: &[u8]) -> Outcome {
    let done = catch_unwind(AssertUnwindSafe(|| (target.try_one)(input)));
    let last = PANIC.with(|last| last.borrow_mut().take());
    if let Some(own) = OWN_PANIC.lock().unwrap_or_else(std::sync::PoisonError::into_inner).take() {
        return Err(format!("our own code stopped: {own}"));
    }
    done.unwrap_or_else(|_| Err(format!("it stopped: {}", last.unwrap_or_default())))
}

/// Stops the program where an input takes too long; what it was is kept.
fn watch(name: &'static str, current: PathBuf, watched: Arc<Mutex<(Instant, bool)>>) {
    thread::spawn(move || {
        loop {
            thread::sleep(Duration::from_millis(500));
            let (since, goes_on) = *watched.lock().unwrap();
            if !goes_on {
                return;
            }
            if since.elapsed() > LONGEST {
                let input = fs::read(&current).unwrap_or_default();
                println!("{name}: takes more than {LONGEST:?}; kept as {}", keep(name, &input));
                std::process::exit(1);
            }
        }
    });
}

/// Where the input that is being read lies, should the program be stopped from outside.
fn current(name: &str) -> PathBuf {
    env::temp_dir().join(format!("slabtally-fuzz-{name}-{}", std::process::id()))
}

fn corpus(target: &Target) -> Vec<Vec<u8>> {
    let mut paths: Vec<PathBuf> = fs::read_dir(Path::new(CORPUS).join(target.name))
        .unwrap_or_else(|error| panic!("{} has no corpus: {error}", target.name))
        .map(|entry| entry.unwrap().path())
        .collect();
    paths.sort();
    let mut inputs: Vec<Vec<u8>> = paths.iter().map(|path| fs::read(path).unwrap()).collect();
    inputs.extend(target.seeds.iter().cloned());
    inputs
}

fn keep(name: &str, input: &[u8]) -> String {
    let sum = input
        .iter()
        .fold(0xCBF2_9CE4_8422_2325_u64, |sum, byte| (sum ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01B3));
    let path = format!("{CORPUS}/{name}/found-{sum:016x}");
    fs::write(&path, input).unwrap();
    path
}

fn shown(input: &[u8]) -> String {
    let text = String::from_utf8_lossy(&input[..input.len().min(300)]).into_owned();
    format!("{text:?}{}", if input.len() > 300 { " ..." } else { "" })
}

/// Most memory that this program has held at once, in MiB, where the system says so.
fn most_memory() -> u64 {
    let status = fs::read_to_string("/proc/self/status").unwrap_or_default();
    let peak =
        status.lines().find_map(|line| line.strip_prefix("VmHWM:")?.trim().strip_suffix(" kB")?.parse::<u64>().ok());
    peak.unwrap_or(0) >> 10
}
