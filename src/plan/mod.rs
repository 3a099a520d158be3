//! # plan: finished answers
//!
//! Brings the rooms below together into what somebody asked: the sky at an instant ([`sky_now`]), what a night will show
//! ([`night`], its picture [`night_curves`]), what happens between two dates ([`happenings`]), which evenings suit
//! ([`dates`]), a public evening ([`session`]), what a telescope can reach ([`reach`]), one detail from the sky to the eye
//! ([`explain`]), what to take to the tester ([`mod@bench`]), what a mirror is worth ([`mirror`], its [`pictures`], its
//! [`bands`] at the bench), one look with its promise ([`seen`]), what was promised and seen ([`record`]). Everything a
//! page or a JSON field needs is in these answers; `show` only words them.
//!
//! In reading order: the words all answers share, what is known of one night whatever is asked of it, then one answer
//! after the other.

pub mod refusal; // why there is no answer, in words

pub mod time_span; // a stretch of time

pub mod local; // nights and instants on the clocks of a place

pub mod clock_window; // hours of a night on them

pub mod sun; // when it sets and rises

pub mod onlooker; // who looks, through which air

pub mod outlook; // when and where something is to be looked at

pub mod faces; // what a face has besides details

pub mod caution; // what can hurt

pub mod put_out; // when a telescope has to be outside

mod assumed; // what the file does not say

mod conditions; // the site's darkness and seeing

mod lookout; // when something is clear of the skyline in the dark

mod watch; // one night over one place

mod times; // its rising, setting, dusk and dawn

pub mod sky_now; // answer: where everything stands

pub mod night; // answer: what each telescope shows in a night

pub mod night_table; // every target in every telescope, at a glance

mod beyond_tonight; // stars, clusters, nebulae beside a night's planets

pub mod night_curves; // answer: a night's picture

mod best_time; // the hour in which something shows best

mod eclipse_light; // the Moon's light in the Earth's shadow

mod climbing; // what stands higher after the evening

mod night_hours; // a night, for whoever chooses the hour of a detail

pub mod best_moment; // when to look at one body or a pair

pub mod happenings; // answer: what happens between two dates

pub mod dates; // answer: which evenings suit

pub mod assignment; // who shows what when: the solver, which knows no sky

pub mod session; // answer: a public evening

pub mod reach; // answer: what a telescope can reach

pub mod tube; // what stands around its mirror

pub mod explain; // answer: one detail from the sky to the eye

pub mod bench; // answer: what to know before the test, and while the glass is ground

pub mod mirror; // answer: what a mirror is worth

pub mod week; // what another week of figuring would buy

pub mod pictures; // answer: a mirror's pictures

pub mod bands; // answer: what is seen at the bench through lines

pub mod called; // which detail is called so

pub mod seen; // answer: one look with its promise

pub mod record; // answer: what was promised and seen
