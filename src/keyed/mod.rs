//! Rank 4. Strict reading of TOML: every value with its line, column and text as written; every mistake at once.
//!
//! What a file may hold is said once, in a table of [`Key`]s: from it come the check for unknown, missing and mistyped
//! keys ([`Reader`]), the JSON Schema ([`schema`]) and the description for people ([`markdown`]), so that the three cannot
//! drift apart. What the values *mean* together is checked by whoever reads the file: the contract, a rule set.
//!
//! Where the file is not TOML at all, only that is reported: what stands behind a broken line cannot be trusted. Keys
//! written twice are reported together with everything else.

mod describe;
mod group;
mod key;
mod many;
mod measure;
mod name;
mod number;
mod reader;
mod schema;
mod take;

pub use describe::{markdown, markdown_of_table, markdown_of_tables, rows};
pub use group::{Found, Group, Taken};
pub use key::{Form, Key, Need};
pub use measure::Measure;
pub use name::nearest;
pub use reader::{At, Reader, Terms, UNITS};
pub use schema::schema;
