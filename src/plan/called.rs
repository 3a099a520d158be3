//! What somebody means who says a target or a detail as it is printed: by its name, the beginning of it, or its id.

use crate::sky::Body;
use crate::sky::small_bodies::SmallBody;
use crate::targets::beyond::beyond;
use crate::targets::caption::CaptionName;
use crate::targets::details::details;
use crate::workshop::SessionNotes;
use crate::workshop::near::plain_letters;

/// What was meant.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Meant {
    /// The detail of this id.
    One(String),
    /// Any of these, each with its id: `Mare Imbrium (moon_mare_imbrium)`.
    Several(Vec<String>),
    /// Nothing that is known.
    Nothing,
}

/// Something that can be looked for, and all that it may be called.
struct Known {
    id: String,
    /// As lists have it.
    name: String,
    /// Letters and digits alone.
    ways: Vec<String>,
}

impl Known {
    fn new(id: &str, name: String, ways: impl IntoIterator<Item = String>) -> Known {
        let ways = ways.into_iter().chain([id.to_string(), name.clone()]);
        Known {
            id: id.to_string(),
            ways: ways.map(|way| plain_letters(&way)).collect(),
            name,
        }
    }

    fn is_called(&self, letters: &str) -> bool {
        self.ways.iter().any(|way| way == letters)
    }

    /// `m 3` does not begin `M 31`.
    fn begins(&self, letters: &str) -> bool {
        let is_digit = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
        let goes_on =
            |rest: &str| !(is_digit(letters.chars().last()) && is_digit(rest.chars().next()));
        let mut ways = self.ways.iter();
        ways.any(|way| way.strip_prefix(letters).is_some_and(goes_on))
    }
}

/// Of details. Case, accents and what joins words do not count. A whole name goes before the beginning of another; what is
/// printed behind a name (`, 34.6" apart`, `(among stars: with a chart)`, hours) may be said with it.
///
/// ```
/// use skyworthy::plan::called::{Meant, meant};
///
/// assert_eq!(meant("great red", &[]), Meant::One(String::from("jupiter_red_spot")));
/// assert!(matches!(meant("Mare", &[]), Meant::Several(_)));
/// ```
pub fn meant(said: &str, small: &[SmallBody]) -> Meant {
    one_of(said, &[&details_and(small)])
}

/// Of what a telescope is pointed at: the Moon, planets, what lies beyond them. Nobody means the Sun.
///
/// ```
/// use skyworthy::plan::called::{Meant, subject_meant};
///
/// assert_eq!(subject_meant("Ring Neb"), Meant::One(String::from("m57")));
/// ```
pub fn subject_meant(said: &str) -> Meant {
    one_of(said, &[&subjects()])
}

/// Of both: a whole target goes before its details.
pub fn wish_meant(said: &str) -> Meant {
    one_of(said, &[&subjects(), &details_and(&[])])
}

/// With the id of each target that is called by another name; what may be several things or none stays as written.
pub fn with_ids(mut notes: SessionNotes) -> SessionNotes {
    for of in &mut notes.telescopes {
        let turns = of.turns.iter_mut().map(|turn| &mut turn.target);
        for target in of.order.iter_mut().chain(turns) {
            if let Meant::One(id) = subject_meant(target) {
                *target = id;
            }
        }
    }
    notes
}

/// Looked for by whole names in each of the lists, one after the other, then by beginnings.
fn one_of(said: &str, lists: &[&[Known]]) -> Meant {
    let found = (lists.iter().find_map(|known| whole(said, known)))
        .or_else(|| lists.iter().find_map(|known| begun(said, known)));
    match found.unwrap_or_default()[..] {
        [] => Meant::Nothing,
        [one] => Meant::One(one.id.clone()),
        ref more => Meant::Several(
            (more.iter())
                .map(|it| format!("{} ({})", it.name, it.id))
                .collect(),
        ),
    }
}

/// Called just so, with or without what is printed behind it.
fn whole<'a>(said: &str, known: &'a [Known]) -> Option<Vec<&'a Known>> {
    let letters = heads(said).into_iter().map(plain_letters);
    let found = letters.map(|letters| known.iter().filter(|it| it.is_called(&letters)).collect());
    found
        .into_iter()
        .find(|found: &Vec<&Known>| !found.is_empty())
}

/// Whose name begins so.
fn begun<'a>(said: &str, known: &'a [Known]) -> Option<Vec<&'a Known>> {
    let letters = plain_letters(said);
    let begins = |it: &&Known| !letters.is_empty() && it.begins(&letters);
    let found: Vec<&Known> = known.iter().filter(begins).collect();
    (!found.is_empty()).then_some(found)
}

fn details_and(small: &[SmallBody]) -> Vec<Known> {
    (of_bodies().chain(of_stars()).chain(of_small(small))).collect()
}

fn subjects() -> Vec<Known> {
    let bodies = Body::ALL.into_iter().filter(|body| *body != Body::Sun);
    let bodies = bodies.map(|body| Known::new(body.id(), body.name().to_string(), []));
    let beyond = beyond().map(|it| Known::new(it.id(), it.name().to_string(), it.names()));
    bodies.chain(beyond).collect()
}

/// All of it, and what is left of it without what is printed behind names; the longest first.
fn heads(said: &str) -> Vec<&str> {
    let is_behind = |rest: &str| {
        let rest = rest.trim_start();
        let hours = rest.as_bytes().get(..5);
        let is_hour = hours
            .is_some_and(|it| it[2] == b':' && it[0].is_ascii_digit() && it[4].is_ascii_digit());
        rest.starts_with([',', '(']) || is_hour
    };
    let cuts = said
        .char_indices()
        .map(|(at, _)| at)
        .filter(|at| 0 < *at && is_behind(&said[*at..]));
    let mut heads: Vec<&str> = cuts.map(|at| &said[..at]).collect();
    heads.push(said);
    heads.reverse();
    heads
}

/// `North Equatorial Belt`, `Jupiter: North Equatorial Belt`, `north_belt`.
fn of_bodies() -> impl Iterator<Item = Known> {
    details().iter().map(|detail| {
        let on = format!("{}: {}", detail.body.name(), detail.name);
        let without_body = detail.id.split_once('_').map(|(_, rest)| rest.to_string());
        let ways = without_body.into_iter().chain([detail.name.clone()]);
        Known::new(&detail.id, on, ways)
    })
}

/// By each of its names, with and without what of it: `Omega Centauri (NGC 5139), its stars`.
fn of_stars() -> impl Iterator<Item = Known> {
    beyond().flat_map(|there| {
        let asked = there.asked(0.0).into_iter();
        asked.map(move |asked| {
            let part = match &asked.caption.name {
                CaptionName::Part { part, .. } => Some(part.id()),
                _ => None,
            };
            let ways = there.names().flat_map(|name| {
                let with_part = part.map(|part| format!("{name} its {part}"));
                with_part.into_iter().chain([name])
            });
            let name = part.map_or_else(
                || there.name().to_string(),
                |part| format!("{}: {part}", there.name()),
            );
            Known::new(&asked.caption.id, name, ways.collect::<Vec<_>>())
        })
    })
}

fn of_small(small: &[SmallBody]) -> impl Iterator<Item = Known> + '_ {
    small
        .iter()
        .map(|body| Known::new(&body.id, body.name.clone(), []))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::small_bodies::asteroids;

    #[track_caller]
    fn check(said: &str, want: &str) {
        assert_eq!(
            meant(said, asteroids()),
            Meant::One(want.to_string()),
            "{said}"
        );
    }

    #[test]
    fn what_is_printed_is_taken() {
        for (said, want) in [
            ("jupiter_red_spot", "jupiter_red_spot"),
            ("Great Red Spot", "jupiter_red_spot"),
            ("GREAT RED SPOT 18:58-21:11", "jupiter_red_spot"),
            ("great r", "jupiter_red_spot"),
            ("Jupiter: Great Red Spot", "jupiter_red_spot"),
            ("Jüpitér: gréat red", "jupiter_red_spot"),
            ("red spot", "jupiter_red_spot"),
            ("Cassini Div", "saturn_cassini"),
            ("Albireo", "albireo"),
            ("Albireo, 34.6\" apart", "albireo"),
            ("M 3, its stars", "m3_stars"),
            ("m3 its gl", "m3_glow"),
            ("Ring Nebula", "m57_glow"),
            ("Ring Nebula (M 57), its glow", "m57_glow"),
            ("Omega Centauri, its stars", "ngc5139_stars"),
            ("Iapetus (among stars: with a chart)", "saturn_iapetus"),
            ("Vesta", "vesta"),
            ("Vesta, asteroid of magnitude 6.1", "vesta"),
            (
                "Ring Nebula (M 57), its glow (limited by the air)",
                "m57_glow",
            ),
        ] {
            check(said, want);
        }
    }

    #[test]
    fn targets_go_before_their_details() {
        for (said, subject, wish) in [
            ("Moon", Some("moon"), "moon"),
            ("jup", Some("jupiter"), "jupiter"),
            ("M 13", Some("m13"), "m13"),
            ("Ring Nebula (M 57)", Some("m57"), "m57"),
            ("beta Cygni", Some("albireo"), "albireo"),
            ("Cassini Division", None, "saturn_cassini"),
            ("m13_stars", None, "m13_stars"),
        ] {
            let one = |id: &str| Meant::One(id.to_string());
            let want = subject.map_or(Meant::Nothing, one);
            assert_eq!(subject_meant(said), want, "{said}");
            assert_eq!(wish_meant(said), one(wish), "{said}");
        }
        // A whole name goes before the beginnings of others.
        assert!(matches!(subject_meant("Io"), Meant::Several(_)));
        assert_eq!(wish_meant("Io"), Meant::One(String::from("jupiter_io")));
        assert_eq!(wish_meant("Sun"), Meant::Nothing);
        for it in &subjects() {
            assert_eq!(subject_meant(&it.id), Meant::One(it.id.clone()));
            assert_eq!(subject_meant(&it.name), Meant::One(it.id.clone()));
        }
    }

    #[test]
    fn what_may_be_several_things_or_none_is_not_guessed() {
        let several = |said: &str| match meant(said, asteroids()) {
            Meant::Several(all) => all,
            other => panic!("{said}: {other:?}"),
        };
        assert_eq!(
            several("M 3"),
            ["M 3: glow (m3_glow)", "M 3: stars (m3_stars)"]
        );
        assert!(several("Mare").contains(&String::from("Moon: Mare Imbrium (moon_mare_imbrium)")));
        assert!(several("jup").iter().all(|it| it.contains("(jupiter_")));
        assert!(1 < several("phase").len());
        for nothing in [
            "",
            " ",
            "-",
            "jupiter_moustache",
            "Albireos",
            "Titan's twin",
        ] {
            assert_eq!(meant(nothing, asteroids()), Meant::Nothing, "{nothing}");
        }
    }

    /// Every name as lists print it leads back to its id, or is shared and says so.
    #[test]
    fn every_printed_name_leads_back() {
        for it in &details_and(asteroids()) {
            check(&it.id, &it.id);
            match meant(&it.name, asteroids()) {
                Meant::One(id) => assert_eq!(id, it.id),
                Meant::Several(all) => {
                    let own = format!("{} ({})", it.name, it.id);
                    assert!(all.contains(&own), "{own}: {all:?}");
                }
                Meant::Nothing => panic!("{}", it.name),
            }
        }
    }
}
