//! # eye: what an observer at the eyepiece can detect.
