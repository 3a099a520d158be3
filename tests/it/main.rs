//! Everything through the public door, one module a subject.
mod bands;
mod cli;
mod eye;
mod golden;
mod knife;
mod mirror;
mod optics;
mod pictures;
mod plan;
mod precision;
mod precision_sky;
mod sky;
mod targets;
mod tidy;
mod tube;
mod wave;
mod workshop;
