//! Which ids somebody probably meant who said one that nothing has: by the ids and by the common names.

use crate::sky::Body;
use crate::targets::beyond::beyond;
use crate::targets::details::details;
use crate::workshop::near::near_miss;

/// A way to call something, and the ids that were meant by it.
type Called = (String, Vec<String>);

/// Of details, as `seen` and `reach --explain` take them.
pub(super) fn near_details(said: &str) -> Vec<String> {
    nearest(said, of_bodies().chain(of_stars()).collect())
}

/// Of whole subjects, as a session takes them.
pub(super) fn near_subjects(said: &str) -> Vec<String> {
    nearest(said, of_subjects().collect())
}

/// Of either, as one wishes for them.
pub(super) fn near_wishes(said: &str) -> Vec<String> {
    // `saturn_casini` is as near to the planet as to the division, `jupite` as near to each of its belts.
    let known = match said.contains('_') {
        true => of_bodies().chain(of_subjects()).chain(of_stars()).collect(),
        false => of_subjects().chain(of_bodies()).chain(of_stars()).collect(),
    };
    nearest(said, known)
}

fn nearest(said: &str, known: Vec<Called>) -> Vec<String> {
    let near = near_miss(said, known.iter().map(|(called, _)| called.as_str()));
    let found = near.and_then(|near| known.iter().find(|(called, _)| called == near));
    found.map(|(_, ids)| ids.clone()).unwrap_or_default()
}

fn of_subjects() -> impl Iterator<Item = Called> {
    let bodies = Body::ALL.into_iter().filter(|body| *body != Body::Sun);
    let bodies = bodies.map(|body| (body.id().to_string(), vec![body.id().to_string()]));
    let stars = beyond().flat_map(|there| {
        (there.names()).map(move |called| (called, vec![there.id().to_string()]))
    });
    bodies.chain(stars)
}

/// Details of the Moon and the planets.
fn of_bodies() -> impl Iterator<Item = Called> {
    details().iter().flat_map(|detail| {
        let without_body = detail.id.split_once('_').map(|(_, rest)| rest.to_string());
        let called = [detail.id.clone(), detail.name.clone()].into_iter();
        (called.chain(without_body)).map(|called| (called, vec![detail.id.clone()]))
    })
}

/// What there is to see of everything beyond them; the name of the whole means all of that.
fn of_stars() -> impl Iterator<Item = Called> {
    beyond().flat_map(|there| {
        let ids: Vec<String> = (there.asked(0.0).into_iter())
            .map(|asked| asked.caption.id)
            .collect();
        let each: Vec<Called> = (ids.iter())
            .map(|id| (id.clone(), vec![id.clone()]))
            .collect();
        let whole = there.names().map(move |called| (called, ids.clone()));
        each.into_iter().chain(whole)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn common_names_lead_to_ids() {
        let ways = [
            "omega_centauri",
            "Omega Centauri",
            "omega_centuri",
            "NGC 5139",
        ];
        for said in ways {
            assert_eq!(
                near_details(said),
                ["ngc5139_glow", "ngc5139_stars"],
                "{said}"
            );
            assert_eq!(near_subjects(said), ["ngc5139"], "{said}");
            assert_eq!(near_wishes(said), ["ngc5139"], "{said}");
        }
        assert_eq!(near_details("alpha_centauri"), ["alpha_cen"]);
        assert_eq!(near_details("red_spot"), ["jupiter_red_spot"]);
        assert_eq!(near_details("saturn_casini"), ["saturn_cassini"]);
        assert_eq!(near_wishes("saturn_casini"), ["saturn_cassini"]);
        assert_eq!(near_wishes("jupite"), ["jupiter"]);
        assert_eq!(near_subjects("jupitre"), ["jupiter"]);
        let nothing: [&str; 0] = [];
        assert_eq!(near_details("jupiter_moustache"), nothing);
        assert_eq!(near_subjects("kitchen"), nothing);
    }
}
