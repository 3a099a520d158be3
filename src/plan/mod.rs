//! # plan: finished answers.

pub mod reach;
