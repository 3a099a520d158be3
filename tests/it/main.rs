//! Everything through the public door, one module a subject.
mod cli;
mod eye;
mod knife;
mod optics;
mod plan;
mod precision;
mod sky;
mod targets;
mod tidy;
mod workshop;
