//! Blank forms: what is written for a contract, and that it comes back as it was filled in.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use slabtally::contract::{self, Contract};
use slabtally::dossier::{self, FormBook, FormCell, FormCheck};
use slabtally::intake::{self, Intake};
use slabtally::render;
use tempfile::TempDir;

const CONTRACTS: [&str; 4] =
    ["tests/findings/base", "sample-inputs/harrow-road", "sample-inputs/quay-lane", "sample-inputs/mill-street"];

fn contract(at: &str) -> Contract {
    contract::load(&fs::read_to_string(Path::new(at).join("contract.toml")).unwrap()).unwrap()
}

/// What intake makes of forms laid into a field folder, each under its own name.
fn read(contract: &Contract, books: &[FormBook]) -> Intake {
    let dir = TempDir::new().unwrap();
    fs::create_dir(dir.path().join("field")).unwrap();
    for book in books {
        let file = dir.path().join("field").join(format!("{}.xlsx", book.kind));
        fs::write(file, render::form(book).unwrap()).unwrap();
    }
    let through = contract.periods.last().unwrap().through;
    // What the contract says of its own sheets speaks of none of these.
    let mut setting = contract.setting(through);
    (setting.sheets, setting.set_aside) = (Vec::new(), Vec::new());
    let read = intake::read(dir.path(), &setting, &|_, _| ()).unwrap();
    assert!(read.sheets.iter().all(|s| s.rows.closes()));
    read
}

/// How many records of each kind there are.
fn counted(read: &Intake) -> BTreeMap<&'static str, usize> {
    let r = &read.records;
    [
        ("placements", r.placements.len()),
        ("loads", r.loads.len()),
        ("cores", r.cores.len()),
        ("probes", r.probes.len()),
        ("specimens", r.specimens.len()),
        ("fresh", r.fresh.len()),
        ("profiles", r.profiles.len()),
        ("straightedge", r.straightedge.len()),
        ("measured", r.measured.len()),
        ("levels", r.levels.len()),
        ("batches", r.batches.len()),
        ("materials", r.delivered.len()),
        ("invoices", r.billed.len()),
        ("work", r.works.len()),
        ("density", r.densities.len()),
        ("compaction", r.compactions.len()),
        ("bars", r.bars.len()),
        ("weather", r.weather.len()),
        ("logger", r.logged.len()),
        ("calibration", r.calibrated.len()),
        ("documents", r.documents.len()),
    ]
    .into_iter()
    .filter(|(_, count)| *count > 0)
    .collect()
}

/// The example as a record.
fn example(book: &FormBook) -> Vec<FormCell> {
    book.columns.iter().map(|column| column.sample.clone()).collect()
}

fn filled(mut book: FormBook, rows: Vec<Vec<FormCell>>) -> FormBook {
    book.rows = rows;
    book
}

#[test]
fn an_empty_form_of_every_kind_is_read_without_a_word() {
    for at in CONTRACTS {
        let contract = contract(at);
        let books = dossier::forms(&contract);
        let read = read(&contract, &books);
        assert_eq!(read.findings, [], "{at}");
        assert_eq!(counted(&read), BTreeMap::new(), "{at}");
        assert_eq!(read.unused, [], "{at}");
        assert!(read.sheets.iter().all(|s| s.rows.blank <= 1 && s.rows.seen < 40), "prepared rows cost nothing");
    }
}

#[test]
fn a_form_of_every_kind_filled_in_as_its_example_gives_that_record() {
    for at in CONTRACTS {
        let contract = contract(at);
        for book in dossier::forms(&contract) {
            let kind = book.kind;
            let row = example(&book);
            let read = read(&contract, &[filled(book, vec![row])]);
            assert_eq!(read.findings, [], "{at}, {kind}");
            assert_eq!(counted(&read), BTreeMap::from([(kind, 1)]), "{at}");
            let used: u32 = read.sheets.iter().map(|s| s.rows.used).sum();
            assert_eq!(used, 1, "{at}, {kind}");
        }
    }
}

#[test]
fn what_is_filled_in_is_what_is_read() {
    let contract = contract("sample-inputs/harrow-road");
    let books = dossier::forms(&contract);
    let of = |kind: &str| {
        let book = books.iter().find(|book| book.kind == kind).unwrap().clone();
        let row = example(&book);
        read(&contract, &[filled(book, vec![row])]).records
    };
    let core = &of("cores").cores[0];
    assert_eq!((&*core.number.value, core.date.value.to_string()), ("C-31", "2031-06-16".into()));
    let readings: Vec<String> = core.readings.iter().map(|r| r.value.to_string()).collect();
    assert_eq!(readings, ["9.6", "9.7", "9.6"]);
    assert_eq!((core.lane.value.0, core.station.value.along.normalize().to_string()), (0, "0".into()));
    let load = &of("loads").loads[0];
    assert_eq!((&*load.ticket.value, load.volume.value.to_string()), ("88213", "9.5".into()));
    assert_eq!(load.batched.as_ref().unwrap().value.to_string(), "06:20:00");
    assert_eq!(load.water.as_ref().unwrap().value.to_string(), "4");
    let step = &of("work").works[0];
    assert_eq!(
        (step.step.word(), step.passed, step.depth.as_ref().unwrap().value.to_string()),
        ("saw", Some(true), "3.2".into())
    );
    let bar = &of("bars").bars[0];
    assert_eq!((bar.bar.word(), bar.skew.as_ref().unwrap().value.to_string()), ("dowel", "-0.1".into()));
}

#[test]
fn every_word_that_a_closed_list_offers_can_be_read() {
    for at in CONTRACTS {
        let contract = contract(at);
        for book in dossier::forms(&contract) {
            for (place, column) in book.columns.iter().enumerate() {
                let FormCheck::List { list, .. } = column.check else { continue };
                let list = &book.lists[list];
                // A quantity goes with the unit of its item or material; another unit is refused, as it must be.
                let words = if column.heading == "Unit" { &list.words[..1] } else { &list.words[..] };
                for (n, word) in words.iter().enumerate() {
                    let mut row = example(&book);
                    row[place] = FormCell::Text(word.clone());
                    let at_heading = |heading: &str| book.columns.iter().position(|c| c.heading == heading).unwrap();
                    if let Some((_, units)) = list.beside.last() {
                        row[at_heading("Unit")] = FormCell::Text(units[n].clone());
                    }
                    if word == "void" {
                        row[at_heading("Remarks")] = FormCell::Text("dropped on the way".into());
                    }
                    let said = read(&contract, &[filled(book.clone(), vec![row])]);
                    let refused: u32 = said.sheets.iter().map(|s| s.rows.refused).sum();
                    assert_eq!(refused, 0, "{at}, {}, {}: {word}: {:#?}", book.kind, column.heading, said.findings);
                }
            }
        }
    }
}

#[test]
fn lanes_steps_and_items_are_lists_of_the_contract() {
    let contract = contract("sample-inputs/harrow-road");
    let books = dossier::forms(&contract);
    let offered = |kind: &str, heading: &str| {
        let book = books.iter().find(|book| book.kind == kind).unwrap();
        let column = book.columns.iter().find(|c| c.heading == heading).unwrap();
        let FormCheck::List { list, only } = column.check else { panic!("{kind}, {heading} has no list") };
        (book.lists[list].words.clone(), only)
    };
    let lanes = ["NB-1", "NB-2", "NB-S", "SB-1", "SB-2", "SB-S"].map(String::from).to_vec();
    assert_eq!(offered("cores", "Lane *"), (lanes.clone(), true), "a core lies in one lane");
    assert_eq!(offered("placements", "Lane *"), (lanes, false), "lanes may be placed together");
    assert_eq!(offered("measured", "Item no *").0, ["101", "405", "406"].map(String::from));
    let materials: Vec<String> = contract.materials.iter().map(|m| m.name.clone()).collect();
    assert_eq!(offered("materials", "Material *"), (materials, true));
    let steps: Vec<&str> = intake::Step::ALL.iter().map(|s| s.word()).collect();
    assert_eq!(offered("work", "Step *").0, steps);
}

#[test]
fn the_same_contract_gives_the_same_bytes() {
    let contract = contract("sample-inputs/quay-lane");
    let all = || dossier::forms(&contract).iter().map(|book| render::form(book).unwrap()).collect::<Vec<_>>();
    assert_eq!(all(), all());
}

#[test]
fn messages_fit_into_what_a_check_holds() {
    for at in CONTRACTS {
        for book in dossier::forms(&contract(at)) {
            for column in &book.columns {
                let (title, text) = &column.prompt;
                assert!(title.chars().count() <= 32, "{at}, {}: {title}", book.kind);
                assert!(text.chars().count() <= 255, "{at}, {}: {text}", book.kind);
                assert!(column.fault.chars().count() <= 255, "{at}, {}: {}", book.kind, column.fault);
            }
        }
    }
}

#[test]
fn the_command_writes_all_that_fit_says_which_do_not_and_replaces_only_when_asked() {
    let dir = TempDir::new().unwrap();
    let out = dir.path().join("forms").display().to_string();
    let run = |more: &[&str]| {
        let mut command = assert_cmd::Command::cargo_bin("slabtally").unwrap();
        let done = command.args(["forms", "tests/findings/base", "--out", &out]).args(more).output().unwrap();
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
        (done.status.code(), text(done.stdout), text(done.stderr))
    };
    let (code, said, _) = run(&[]);
    assert_eq!(code, Some(0));
    assert!(said.ends_with("no form   materials: the contract keeps an account of no material\n"), "{said}");
    let names = || {
        let mut names: Vec<String> =
            fs::read_dir(&out).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    };
    assert_eq!(names().len(), 20);
    let (code, _, why) = run(&[]);
    assert_eq!(code, Some(3));
    assert!(why.contains("--replace"), "{why}");
    let (code, _, why) = run(&["--kind", "materials", "--replace"]);
    assert_eq!(code, Some(3));
    assert!(why.contains("the contract keeps an account of no material"), "{why}");
    assert_eq!(names().len(), 20, "a refusal leaves what stands there");
    let one = dir.path().join("one").display().to_string();
    let mut command = assert_cmd::Command::cargo_bin("slabtally").unwrap();
    let done = command.args(["forms", "tests/findings/base", "--kind", "cores", "--out", &one]).output().unwrap();
    assert_eq!(String::from_utf8(done.stdout).unwrap(), format!("wrote     {one}/  cores.xlsx\n"));
}
