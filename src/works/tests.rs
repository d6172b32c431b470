//! Steps on a small contract.
