//! # sheet: a public evening on paper
//!
//! A sheet a telescope ([`station`]), a poster for the line ([`poster`]), an overview for who leads the evening
//! ([`overview`]): each one HTML file that needs nothing else, prints on A4 and can be read in the dark. Words only:
//! everything told was computed by [`crate::plan::session`].

pub mod card;

mod fit;

mod page;

pub mod poster;

pub mod safety;

pub mod station;
