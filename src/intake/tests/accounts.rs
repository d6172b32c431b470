//! Batch weights, levels, deliveries of materials and invoice lines, as they come.

use super::*;
use crate::intake::setting::MaterialWords;
use crate::intake::{Charge, Ingredient, Surface};

fn with_materials() -> Setting {
    let words = |name: &str, unit| MaterialWords { name: name.into(), also: vec![], unit };
    Setting {
        materials: vec![words("Millings base", Unit::Ton), words("Curing compound", Unit::Gallon)],
        mixes: vec!["P-4000".into()],
        ..setting()
    }
}

fn of(file: &str, rows: &[&str], setting: &Setting) -> Intake {
    let intake = understand(vec![sheet(file, "1", rows)], setting);
    for sheet in &intake.sheets {
        assert!(sheet.rows.closes(), "{:?}", sheet.rows);
    }
    intake
}

fn said(intake: &Intake) -> Vec<&str> {
    intake.findings.iter().map(|f| f.message.as_str()).collect()
}

#[test]
fn an_export_of_loads_with_their_weights_is_both() {
    let row = format!("1001 | {DAY} | 7:05 | 12 | 8.5 | 3600 | 1200 | 10100 | 15700 | 240 | 4.5");
    let rows = [
        "Ticket | Date | Batch time | Truck | CY | Cement (lb) | Fly ash (lb) | Sand (lb) | Stone (lb) | Water (gal) | Sand moisture (%)",
        row.as_str(),
    ];
    let intake = of("plant.csv", &rows, &setting());
    assert_eq!((intake.records.loads.len(), intake.records.batches.len()), (1, 1), "{:?}", said(&intake));
    assert!(intake.records.loads[0].water.is_none(), "the water is the plant's");
    let batch = &intake.records.batches[0];
    assert_eq!(batch.weights[&Ingredient::Coarse].value, dec!(15700));
    // 240 gal x 8.33 lb/gal.
    assert_eq!(batch.weights[&Ingredient::Water].value, dec!(1999.20));
    assert_eq!(batch.weights[&Ingredient::Water].typed.as_deref(), Some("240 gal"));
    assert_eq!(batch.moistures[&Ingredient::Fine].value, dec!(4.5));
}

#[test]
fn weights_on_a_sheet_of_their_own_are_batches() {
    let row = format!("1001 | {DAY} | P-4000 | 3600 | 10100 | 15700 | 2000 | 31400");
    let rows = ["Ticket No | Date | Mix | Cement, lb | Fine agg, lb | Coarse agg, lb | Water, lb | Total wt, lb", &row];
    let intake = of("weights.csv", &rows, &setting());
    assert_eq!(intake.records.batches.len(), 1, "{:?}", said(&intake));
    assert_eq!(intake.records.batches[0].total.as_ref().unwrap().value, dec!(31400));
    assert!(intake.records.loads.is_empty());
}

#[test]
fn a_word_for_no_water_loses_no_load() {
    let (a, b, c) =
        (format!("1 | {DAY} | 8 | none | 20"), format!("2 | {DAY} | 8 | 5 | -"), format!("3 | {DAY} | 8 | N/A |"));
    let intake =
        of("t.csv", &["Ticket | Date | CY | Water added (gal) | Water withheld (gal)", &a, &b, &c], &setting());
    let loads = &intake.records.loads;
    assert_eq!(loads.len(), 3, "{:?}", said(&intake));
    assert_eq!(
        loads.iter().map(|l| l.water.as_ref().map(|w| w.value)).collect::<Vec<_>>(),
        [None, Some(dec!(5)), None]
    );
    assert_eq!(loads[0].withheld.as_ref().unwrap().value, dec!(20));
}

#[test]
fn levels_say_their_surface_by_the_words_about_them() {
    let row = format!("1 | {DAY} | NB-1 | 12+00 | 4 ft Rt | 101.25 | 101.23");
    let heads = "Point | Date | Lane | Station | Offset | Design elevation (ft) | Measured elevation (ft)";
    let intake = of("trimmed base.csv", &[heads, &row], &setting());
    let level = &intake.records.levels[0];
    assert_eq!((level.surface, level.measured.value), (Surface::Base, dec!(101.23)));
    let silent = of("shots.csv", &[heads, &row], &setting());
    assert!(silent.records.levels.is_empty());
    assert!(said(&silent)[0].contains("nothing says whether the subgrade, the base or the pavement was levelled"));
}

#[test]
fn a_material_is_kept_in_its_own_unit() {
    let (a, b) = (
        format!("T1 | {DAY} | millings base | 42600 lb | 4.2 | NB-1 | 12+00 | 14+00"),
        format!("T2 | {DAY} | Curing Compound | 55 | | NB-1 | |"),
    );
    let rows = ["Ticket | Date | Material | Net | Moisture (%) | Lane | From station | To station", &a, &b];
    let intake = of("base.csv", &rows, &with_materials());
    let delivered = &intake.records.delivered;
    assert_eq!(delivered.len(), 2, "{:?}", said(&intake));
    assert_eq!((delivered[0].quantity.value, delivered[0].between.is_some()), (dec!(21.3), true));
    assert_eq!((delivered[1].material.value, delivered[1].between.is_some()), (1, false));
    let wrong = format!("T3 | {DAY} | millings base | 5 gal | | NB-1 | |");
    let refused = of("base.csv", &[rows[0], &wrong], &with_materials());
    assert!(
        said(&refused)[0].contains("is in gal, and the account of its material is kept in ton"),
        "{:?}",
        said(&refused)
    );
}

#[test]
fn an_invoice_line_says_what_it_bills_for() {
    let line = |text: &str| format!("4711 | {DAY} | {text}");
    let rows = [
        line("1001 | P-4000 | 8.5 | CY | $118.50 | $1,007.25"),
        line("1002 | Short load charge | 1 | EA | 85.00 | 85.00"),
        line("1003 | Waiting time | 0.5 | HR | 135.00 | 67.50"),
        line("1003 | Standby | 12 | | 2.25 | 27.00"),
        line("| Fuel surcharge | 1 | EA | 40.00 | (40.00)"),
    ];
    let heads = "Invoice No | Date | Ticket | Description | Qty | UOM | Unit price | Amount";
    let rows: Vec<&str> = std::iter::once(heads).chain(rows.iter().map(String::as_str)).collect();
    let intake = of("invoice.csv", &rows, &with_materials());
    let billed = &intake.records.billed;
    assert_eq!(billed.len(), 5, "{:?}", said(&intake));
    let charges: Vec<Charge> = billed.iter().map(|b| b.charge).collect();
    assert_eq!(charges, [Charge::Concrete, Charge::ShortLoad, Charge::Waiting, Charge::Waiting, Charge::Other]);
    assert_eq!(billed[0].volume.as_ref().unwrap().value, dec!(8.5));
    assert_eq!(billed[0].mix.as_ref().map(|m| &*m.value), Some("P-4000"));
    assert_eq!(billed[0].amount.value, dec!(1007.25));
    assert_eq!(billed[2].minutes.as_ref().unwrap().value, dec!(30));
    assert_eq!(billed[2].price.as_ref().unwrap().value, dec!(2.25), "135 an hour");
    assert_eq!(billed[2].price.as_ref().unwrap().typed.as_deref(), Some("135 an hour"));
    assert!(billed[3].minutes.is_none(), "12 of what is not said");
    assert_eq!(billed[4].amount.value, dec!(-40));
}

#[test]
fn minutes_of_waiting_may_have_a_column_of_their_own() {
    let rows = [
        "Invoice | Date | Ticket | For | Volume (CY) | Minutes | Price | Amount",
        &format!("4711 | {DAY} | 1003 | waiting | | 45 | 2.25 | 101.25"),
    ];
    let intake = of("invoice.csv", &rows, &with_materials());
    let billed = &intake.records.billed[0];
    assert_eq!(billed.minutes.as_ref().map(|m| m.value), Some(dec!(45)));
    assert_eq!(billed.price.as_ref().map(|p| p.value), Some(dec!(2.25)));
}

#[test]
fn a_line_that_stands_twice_on_an_invoice_is_kept_and_an_invoice_sent_twice_is_not() {
    let line = format!("4711 | {DAY} | 1001 | concrete | 8 | CY | 118.50 | 948.00");
    let rows = ["Invoice No | Date | Ticket | Description | Qty | UOM | Unit price | Amount", &line, &line];
    let intake = understand(vec![sheet("a.csv", "1", &rows), sheet("b.csv", "1", &rows)], &with_materials());
    assert_eq!(intake.records.billed.len(), 2);
    assert_eq!(intake.findings.iter().filter(|f| f.code == Code::Repeated).count(), 2);
}

/// Date, ticket and quantity are what loads need too; the price tells that these are billed.
#[test]
fn an_invoice_that_says_its_number_above_is_never_taken_for_loads() {
    let line = format!("{DAY} | 1001 | P-4000 | 8.5 CY | $118.50 | $1,007.25");
    let heads = "Date | Ticket # | Description | Qty | Unit Price | Ext. Price";
    let numbered = of("rm.csv", &["Invoice No: | 4711", heads, &line], &with_materials());
    assert!(numbered.records.loads.is_empty());
    assert_eq!(numbered.records.billed.len(), 1, "{:?}", said(&numbered));
    let bare = of("rm.csv", &[heads, &line], &with_materials());
    assert!(bare.records.loads.is_empty() && bare.records.billed.is_empty());
    assert!(!said(&bare).is_empty(), "the sheet is refused, with the words that settle it");
}

#[test]
fn a_surcharge_on_concrete_is_no_concrete() {
    let rows = [
        "Invoice | Date | Ticket | Description | Qty (yd3) | Unit price | Amount",
        &format!("7 | {DAY} | 1 | Fuel surcharge, ready mix | 8.5 | 2.00 | 17.00"),
        &format!("7 | {DAY} | 1 | Environmental fee per yd3 of concrete | 8.5 | 2.00 | 17.00"),
        &format!("7 | {DAY} | 1 | Ready mix concrete | 8.5 | 120.00 | 1020.00"),
    ];
    let intake = of("invoice.csv", &rows, &setting());
    let charges: Vec<Charge> = intake.records.billed.iter().map(|b| b.charge).collect();
    assert_eq!(charges, [Charge::Other, Charge::Other, Charge::Concrete], "{:?}", said(&intake));
}

#[test]
fn charges_of_one_amount_but_other_words_are_not_one_line_sent_twice() {
    let rows = |what: &str| {
        ["Invoice | Date | Ticket | Description | Amount".to_owned(), format!("7 | {DAY} | 1 | {what} | 17.00")]
    };
    let (fuel, fee) = (rows("Fuel surcharge"), rows("Environmental fee"));
    let of_file = |name: &str, rows: &[String; 2]| sheet(name, "1", &[rows[0].as_str(), rows[1].as_str()]);
    let both = understand(vec![of_file("a.csv", &fuel), of_file("b.csv", &fee)], &setting());
    assert_eq!(both.records.billed.len(), 2, "{:?}", said(&both));
    let twice = understand(vec![of_file("a.csv", &fuel), of_file("b.csv", &fuel)], &setting());
    assert_eq!(twice.records.billed.len(), 1, "{:?}", said(&twice));
}

#[test]
fn a_line_that_another_file_bills_twice_is_billed_twice() {
    let line = format!("7 | {DAY} | 1 | Ready mix concrete | 8 | 960.00");
    let head = "Invoice | Date | Ticket | Description | Qty (yd3) | Amount";
    let (once, twice) = ([head, &line], [head, &line, &line]);
    for files in [[("a.csv", &once[..]), ("b.csv", &twice[..])], [("a.csv", &twice[..]), ("b.csv", &once[..])]] {
        let sheets = files.iter().map(|(name, rows)| sheet(name, "1", rows)).collect();
        let intake = understand(sheets, &setting());
        assert_eq!(intake.records.billed.len(), 2, "{:?}", said(&intake));
        assert_eq!(intake.findings.iter().filter(|f| f.code == Code::Repeated).count(), 1, "{:?}", said(&intake));
    }
}

#[test]
fn concrete_billed_by_the_piece_is_no_volume() {
    let line = format!("7 | {DAY} | 1 | Ready mix concrete | 8.5 EA | 960.00");
    let rows = ["Invoice | Date | Ticket | Description | Qty | Amount", &line];
    let intake = of("invoice.csv", &rows, &setting());
    assert!(said(&intake).iter().any(|m| m.contains("concrete is billed by volume")), "{:?}", said(&intake));
    assert!(intake.records.billed.iter().all(|line| line.volume.is_none()));
}

#[test]
fn a_plants_short_word_for_water_tears_no_load_from_its_weights() {
    let row = format!("1001 | {DAY} | 7:05 | 12 | 8.5 | 3600 | 10100 | 15700 | 240");
    let rows = ["Ticket | Date | Batch time | Truck | CY | Cement (lb) | Sand (lb) | Stone (lb) | Wtr (gal)", &row];
    let intake = of("plant.csv", &rows, &setting());
    assert_eq!((intake.records.loads.len(), intake.records.batches.len()), (1, 1), "{:?}", said(&intake));
    assert!(intake.records.loads[0].water.is_none(), "the water is the plant's");
    assert_eq!(intake.records.batches[0].weights[&Ingredient::Water].typed.as_deref(), Some("240 gal"));
}
