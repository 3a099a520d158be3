//! The list of details and their verdicts.
