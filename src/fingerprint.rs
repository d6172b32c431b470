//! Rank 0. The fingerprint of a file, by which a report or a closing says exactly which contract, rules and sheets it
//! followed.

use std::fmt::Write as _;

use sha2::{Digest, Sha256};

/// SHA-256 of some bytes, in hexadecimal.
///
/// ```
/// // The text of FIPS 180-2, appendix B.1.
/// let abc = slabtally::fingerprint::fingerprint("abc");
/// assert_eq!(abc, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
/// ```
#[must_use]
pub fn fingerprint(bytes: impl AsRef<[u8]>) -> String {
    let mut hex = String::with_capacity(64);
    for byte in Sha256::digest(bytes) {
        // Writing to a String cannot fail.
        let _ = write!(hex, "{byte:02x}");
    }
    hex
}
