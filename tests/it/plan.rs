//! Whole answers: a night, a telescope's reach.
