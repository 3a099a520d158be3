//! # optics: what the finished mirror does to a point of light.
