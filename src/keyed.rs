//! Rank 3. Strict reading of TOML: every value with its line, column and text as written; every mistake at once.
