//! # sky: where things are, how they face us, and what the air does to their light.
