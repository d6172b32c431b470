//! Blank forms: the contract read, each form rendered in memory, all of them written whole or not at all.

use std::path::Path;

use super::package::{failed, not_delivered};
use super::{Stop, contract_of};
use crate::contract::Contract;
use crate::dossier::{self, FormBook};
use crate::finding::{Code, Finding, Place};
use crate::intake;
use crate::line;
use crate::outbox;
use crate::render;

/// The forms of a contract, ready to be written.
pub struct Forms {
    /// Name and bytes of each.
    pub files: Vec<(String, Vec<u8>)>,
    /// Kinds for which there is none, each with the reason.
    pub unfit: Vec<(&'static str, &'static str)>,
    folder: String,
}

/// Makes the forms that fit a contract: all, or the one of a kind.
///
/// # Errors
/// Every mistake of the contract; where there is no such kind, or the contract has no use for it.
pub fn forms(root: &Path, kind: Option<&str>) -> Result<Forms, Stop> {
    let contract = contract_of(root)?;
    if let Some(kind) = kind {
        known(&contract, kind)?;
    }
    let wanted = |one: &str| kind.is_none_or(|kind| kind == one);
    let books = dossier::forms(&contract).into_iter().filter(|book| wanted(book.kind));
    let files = books.map(|book| file(&book)).collect::<Result<_, Stop>>()?;
    let kinds = intake::kind_words().into_iter().filter(|one| wanted(one));
    let unfit = kinds.filter_map(|one| Some((one, dossier::form_unfit(&contract, one)?))).collect();
    Ok(Forms { files, unfit, folder: format!("{}-forms", line::slug(&contract.number)) })
}

fn file(book: &FormBook) -> Result<(String, Vec<u8>), Stop> {
    Ok((format!("{}.xlsx", book.kind), render::form(book).map_err(|why| failed(&why))?))
}

/// Refuses a kind that is none, or that the contract has no use for.
fn known(contract: &Contract, kind: &str) -> Result<(), Stop> {
    let kinds = intake::kind_words();
    let fits: Vec<&str> = kinds.iter().copied().filter(|k| dossier::form_unfit(contract, k).is_none()).collect();
    let why = if kinds.contains(&kind) { dossier::form_unfit(contract, kind) } else { Some("is no kind of record") };
    let refusal = |why| {
        let remedy = format!("ask for one of: {}", fits.join(", "));
        Finding::new(Code::FormUnknown, Place::Named(kind.into()), why, remedy)
    };
    why.map_or(Ok(()), |why| Err(refusal(why).into()))
}

impl Forms {
    /// `hr-31-07-forms`: the folder they are written to, unless another is named.
    #[must_use]
    pub fn folder(&self) -> &str {
        &self.folder
    }

    /// Writes them into a folder, all or none.
    ///
    /// # Errors
    /// Where the folder is there already and is not to be replaced, or cannot be written.
    pub fn deliver(&self, to: &Path, replace: bool) -> Result<(), Stop> {
        outbox::deliver(to, &self.files, replace).map_err(|why| not_delivered(to, &why.to_string()))
    }
}
