//! Optics against closed forms and handbook values.
