//! # plan: finished answers.
