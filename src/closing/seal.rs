//! Sealing a closing: its statement names every other file with its hash, then bears the hash of itself.

use super::{Closing, Draft, FORM, Hashed, Link, STATEMENT};
use crate::fingerprint::fingerprint;

/// The digits of a seal while it is being computed.
const BLANK: &str = "0000000000000000000000000000000000000000000000000000000000000000";

/// The files of a closing, `closing.json` among them, by name.
///
/// # Errors
/// Where the statement cannot be written as JSON.
pub fn sealed(
    draft: Draft,
    before: Option<&Closing>,
    mut files: Vec<(String, Vec<u8>)>,
) -> Result<Vec<(String, Vec<u8>)>, String> {
    files.sort_by(|a, b| a.0.cmp(&b.0));
    let closing = Closing {
        form: FORM.into(),
        seal: BLANK.into(),
        contract: draft.contract,
        period: draft.period,
        through: draft.through,
        program: draft.program,
        before: before.map(|closing| Link { period: closing.period, seal: closing.seal.clone() }),
        despite: draft.despite,
        files: files.iter().map(|(name, bytes)| Hashed::of(name.clone(), bytes)).collect(),
        inputs: draft.inputs,
        amounts: draft.amounts,
        quantities: draft.quantities,
        adjustments: draft.adjustments,
    };
    let mut text = serde_json::to_string_pretty(&closing).map_err(|why| why.to_string())?;
    text.push('\n');
    let seal = fingerprint(&text);
    files.push((STATEMENT.into(), text.replacen(BLANK, &seal, 1).into_bytes()));
    Ok(files)
}

/// A statement whose seal holds.
///
/// # Errors
/// What is wrong with it, in words.
pub(super) fn opened(bytes: &[u8]) -> Result<Closing, String> {
    let text =
        std::str::from_utf8(bytes).map_err(|why| format!("is not UTF-8 text (byte {})", why.valid_up_to() + 1))?;
    let closing: Closing = serde_json::from_str(text).map_err(|why| format!("does not read as a closing: {why}"))?;
    let found = fingerprint(text.replacen(&closing.seal, BLANK, 1));
    let seal = |hash: &str| hash.chars().take(12).collect::<String>();
    if found != closing.seal {
        return Err(format!("bears the seal {}..., but its text makes {}...", seal(&closing.seal), seal(&found)));
    }
    if closing.form != FORM {
        return Err(format!("is of form {}, which this program does not read (it reads {FORM})", closing.form));
    }
    Ok(closing)
}
