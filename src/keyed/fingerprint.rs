//! The fingerprint of a file's text, by which a report says exactly which contract and rules it followed.

use std::fmt::Write as _;

use sha2::{Digest, Sha256};

/// SHA-256 of a text, in hexadecimal.
///
/// ```
/// // The text of FIPS 180-2, appendix B.1.
/// let abc = slabtally::keyed::fingerprint("abc");
/// assert_eq!(abc, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
/// ```
#[must_use]
pub fn fingerprint(text: &str) -> String {
    let mut hex = String::with_capacity(64);
    for byte in Sha256::digest(text.as_bytes()) {
        // Writing to a String cannot fail.
        let _ = write!(hex, "{byte:02x}");
    }
    hex
}
