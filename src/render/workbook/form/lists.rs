//! The sheet of lists: what the drop-downs offer, with what stands beside each word. It is not hidden, so that nobody has to
//! wonder what it holds, and not read.

use rust_xlsxwriter::{ColNum, RowNum, Worksheet, XlsxError, utility};

use super::{clean, plain};
use crate::dossier::{FormBook, FormList};

const NAME: &str = "Lists";
/// Row of the first word.
const FIRST: RowNum = 4;

/// Where a list begins, and the last column that any takes.
fn column(form: &FormBook, list: usize) -> ColNum {
    let taken = |l: &FormList| l.beside.len() + 2;
    ColNum::try_from(form.lists.iter().take(list).map(taken).sum::<usize>()).unwrap_or(0)
}

/// `=Lists!$A$5:$A$9`.
pub(super) fn range(form: &FormBook, list: usize) -> String {
    let at = column(form, list);
    let words = form.lists.get(list).map_or(1, |l| l.words.len().max(1));
    let last = FIRST + RowNum::try_from(words - 1).unwrap_or(0);
    format!("={NAME}!{}", utility::cell_range_absolute(FIRST, at, last, at))
}

pub(super) fn write(sheet: &mut Worksheet, form: &FormBook) -> Result<(), XlsxError> {
    sheet.set_name(NAME)?;
    sheet.write_string_with_format(0, 0, form.lists_mark, &plain().set_bold())?;
    let why = "The drop-downs of the form offer these words of the contract. Changing them here changes no contract.";
    sheet.write_string_with_format(1, 0, why, &plain())?;
    for (n, list) in form.lists.iter().enumerate() {
        let at = column(form, n);
        write_column(sheet, at, (&list.heading, &list.words))?;
        for (beside, at) in list.beside.iter().zip(at + 1..) {
            write_column(sheet, at, (&beside.0, &beside.1))?;
        }
    }
    sheet.set_freeze_panes(FIRST, 0)?;
    sheet.set_landscape().set_paper_size(if form.a4 { super::A4 } else { super::LETTER });
    sheet.set_print_fit_to_pages(1, 0);
    sheet.protect();
    Ok(())
}

fn write_column(sheet: &mut Worksheet, at: ColNum, (heading, words): (&str, &[String])) -> Result<(), XlsxError> {
    let widest = words.iter().map(|word| word.chars().count()).chain([heading.chars().count()]).max().unwrap_or(0);
    sheet.set_column_width(at, u32::try_from(widest.clamp(8, 50) + 2).unwrap_or(12))?;
    sheet.write_string_with_format(FIRST - 1, at, heading, &plain().set_bold())?;
    for (row, word) in (FIRST..).zip(words) {
        sheet.write_string_with_format(row, at, clean::cell(word), &plain().set_num_format("@"))?;
    }
    Ok(())
}
