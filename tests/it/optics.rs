//! Optics against closed forms, another library's wave optics, and handbook values.

mod mtf;

mod wavefront;

mod instrument;
