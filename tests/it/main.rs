//! Everything through the public door, one module a subject.
mod bands;
mod cli;
mod eye;
mod optics;
mod plan;
mod precision;
mod sky;
mod targets;
mod tidy;
mod wave;
mod workshop;
