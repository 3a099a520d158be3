//! # show: finished answers as text and JSON. Computes nothing physical.

pub mod reach;
