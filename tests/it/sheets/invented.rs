//! Stand-ins for a plan: sheets with words of every length.

use skyworthy::show::sheet::card::{Card, More};
use skyworthy::show::sheet::safety::Stops;
use skyworthy::show::sheet::station::StationSheet;
use skyworthy::show::sheet::talk::Talk;

const NAMES: [&str; 10] = [
    "Saturn",
    "Moon",
    "Jupiter",
    "Albireo",
    "Mars",
    "Double Cluster",
    "Orion Nebula",
    "Pleiades",
    "Castor",
    "Uranus",
];

/// A sentence as long as those of helpers.
const TOLD: &str = "No: a crater has to be about 2.6 km wide to show here; the flag is about a metre, and so nobody sees it.";

/// Words as long as the plan's usually are.
pub fn card(idx: usize) -> Card {
    let name = NAMES[idx % NAMES.len()];
    let clock = |minutes: usize| format!("{:02}:{:02}", 19 + minutes / 60, minutes % 60);
    Card {
        meanwhile: None,
        id: name.to_lowercase(),
        from: clock(30 * idx),
        until: clock(30 * idx + 30),
        name: String::from(name),
        also: String::new(),
        place: String::from(
            "between south and south-west, four fists up, a fist left of the bell tower",
        ),
        then: (idx == 0).then(|| String::from("gone behind the skyline at 20:10")),
        stop: None,
        with: String::from("10 mm 120x, 26' of sky, crossed in 104 s; eyepiece 1.14 m up"),
        look_for: String::from("the ring"),
        surely: String::from("easy"),
        more: (0..3)
            .map(|_| More {
                name: String::from("Cassini Division"),
                surely: String::from("with a quiet minute"),
                say: String::from(
                    "A thin dark line in the ring, to be looked for at its two ends.",
                ),
            })
            .collect(),
        you_see: String::from(
            "A cream ball with a flat ring around it, open by a hand's breadth. In the eyepiece it is 1.4 times as wide as \
             the Moon to the bare eye.",
        ),
        facts: Some(String::from(
            "1430 million km away; its light takes 80 minutes; 121 thousand km across",
        )),
        facts_apart: vec![
            ("Distance", String::from("1430 million km")),
            ("Light takes", String::from("80 minutes")),
        ],
        talk: Talk {
            about: String::from(name),
            tells: vec![String::from(TOLD); 3],
            asks: vec![(String::from("How far is it?"), String::from(TOLD)); 3],
        },
        cloud: Some(String::from(
            "Moon, east, three fists up, 32 mm eyepiece, 37x",
        )),
        note: None,
        is_followed: true,
    }
}

pub fn sheet(name: &str, n_cards: usize) -> StationSheet {
    let head = [
        "150 mm f/8, by the south wall. Saturday 12 December 2026, times UTC+1",
        "Old Tannery roof: helpers 18:30, first look 19:00, last look 22:00",
        "Before: outside by 17:30, capped, in the shade; collimate from 18:40; ready 19:00",
        "Eyepiece 0.9 to 1.3 m up. Step: children 30 cm, grown-ups none",
    ];
    StationSheet {
        name: String::from(name),
        head: head.map(String::from).to_vec(),
        note: None,
        cards: (0..n_cards).map(card).collect(),
        stops: Stops::default(),
    }
}
