//! The house rules: arrows between rooms, a `//!` on every file, the fixed top level.
