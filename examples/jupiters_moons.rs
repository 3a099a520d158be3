//! Where Jupiter's four moons stand, every hour of a night: in the planet's radii, east to the left as in the sky.
//!
//! `cargo run --example jupiters_moons`

use std::error::Error;

use chrono::{DateTime, TimeDelta, Utc};
use skyworthy::plan::sky_now::sky_now;
use skyworthy::sky::Body;
use skyworthy::sky::earth::Place;

fn main() -> Result<(), Box<dyn Error>> {
    let place = Place::new(46.3, 13.1, 110.0);
    let dusk: DateTime<Utc> = "2027-02-12T18:00:00Z".parse()?;
    println!("UTC         Io  Europa  Ganymede  Callisto   west of Jupiter, radii");
    for hour in 0..10 {
        let at = dusk + TimeDelta::hours(hour);
        let sky = sky_now(place, at)?;
        let moons = sky
            .satellites
            .iter()
            .filter(|moon| moon.of == Body::Jupiter);
        let [io, europa, ganymede, callisto] = moons
            .map(|moon| {
                format!(
                    "{:+.1}{}",
                    moon.x_west_radii,
                    if moon.is_hidden() { "*" } else { " " }
                )
            })
            .collect::<Vec<_>>()
            .try_into()
            .map_err(|_| "four moons")?;
        println!(
            "{}  {io:>7} {europa:>7} {ganymede:>9} {callisto:>9}",
            at.format("%H:%M")
        );
    }
    println!("* before the disc, behind it or in its shadow");
    Ok(())
}
