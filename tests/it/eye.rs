//! The eye against published thresholds.
