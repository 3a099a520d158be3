//! The workshop file: TOML text in, checked values or complaints out.
//!
//! The text is parsed once into a tree that knows its lines; each table is then read key by key
//! against `keys`, one sibling module a subject. Reading stops at the first complaint of a table
//! and goes on with the next table, so that one look at the message mends several lines.

mod bands_seen;
mod comma;
mod evening;
mod eyepieces;
mod figure;
mod focal_length;
mod jupiter;
pub(super) mod keys;
mod knife_edge;
mod notes;
mod place;
mod section;
mod sheet;
mod small_bodies;
mod syntax;
mod telescope;
mod window;

use toml::Spanned;
use toml::de::DeTable;

use super::error::Complaint;
use super::near::near_miss;
use super::{Assumed, Error, Eyepiece, Telescope, Workshop, wording};

use self::keys::FILE;
use self::section::{LARGEST_FILE_BYTES, Page, Section, Value};
use self::sheet::ReadBeside;

impl Workshop {
    /// Reads a workshop file.
    ///
    /// `file_name` is how messages call the file. `read_beside` is asked for a table named by
    /// `file = "..."` in a figure: it gets that name and returns the table's text or the reason
    /// why it cannot.
    ///
    /// ```
    /// use skyworthy::workshop::Workshop;
    ///
    /// let text = "
    ///     [site]
    ///     latitude_deg = 47.5
    ///     longitude_deg = 8.2
    ///     [[telescope]]
    ///     aperture_mm = 150
    ///     focal_length_mm = 1200
    /// ";
    /// let workshop = Workshop::from_toml(text, "mine.toml", &|_| Err("no tables".to_string()));
    /// assert_eq!(workshop.unwrap().telescopes[0].aperture_mm, 150.0);
    ///
    /// let error = Workshop::from_toml("[site]", "mine.toml", &|_| Err("no tables".to_string()));
    /// assert!(error.unwrap_err().to_string().starts_with("mine.toml, line 1: [site] needs latitude_deg"));
    /// ```
    pub fn from_toml(
        text: &str,
        file_name: &str,
        read_beside: &dyn Fn(&str) -> Result<String, String>,
    ) -> Result<Workshop, Error> {
        let whole = |wording| Error::from(Complaint::new(file_name, None, wording));
        if text.len() > LARGEST_FILE_BYTES {
            return Err(whole(wording::too_large(text.len())));
        }
        if text.contains(['\0', char::REPLACEMENT_CHARACTER]) {
            return Err(whole(wording::not_text()));
        }
        let page = Page { file_name, text };
        let tree = DeTable::parse(text).map_err(|refused| syntax::complaint(page, &refused))?;
        if tree.get_ref().is_empty() {
            return Err(whole(wording::empty()));
        }
        read(page, &tree, read_beside)
    }

    /// The same from a file's bytes, which may not be text at all.
    pub fn from_toml_bytes(
        bytes: &[u8],
        file_name: &str,
        read_beside: &dyn Fn(&str) -> Result<String, String>,
    ) -> Result<Workshop, Error> {
        let whole = |wording| Error::from(Complaint::new(file_name, None, wording));
        if bytes.len() > LARGEST_FILE_BYTES {
            return Err(whole(wording::too_large(bytes.len())));
        }
        match std::str::from_utf8(bytes) {
            Ok(text) => Workshop::from_toml(text, file_name, read_beside),
            Err(_) => Err(whole(wording::not_text())),
        }
    }

    /// The telescope whose name is nearest to one that none of them has, if one is near enough to be meant.
    pub fn telescope_near(&self, name: &str) -> Option<&str> {
        near_miss(
            name,
            self.telescopes.iter().map(|known| known.name.as_str()),
        )
    }
}

/// Keeps what was read, or what was wrong.
fn keep<T>(read: Result<T, Complaint>, complaints: &mut Vec<Complaint>) -> Option<T> {
    read.map_err(|complaint| complaints.push(complaint)).ok()
}

fn read(page: Page, tree: &Spanned<DeTable>, read_beside: ReadBeside) -> Result<Workshop, Error> {
    let file = Section::of_table(page, &FILE, 0, tree.get_ref())?;
    let mut complaints = Vec::new();
    let mut notes = Vec::new();

    let site = match file.value("site") {
        Some(value) => keep(place::site(page, value, &mut notes), &mut complaints),
        None => {
            complaints.push(Complaint::new(page.file_name, None, wording::no_site()));
            None
        }
    };
    let observer = keep(place::observer(&file, &mut notes), &mut complaints);
    let red_spot = keep(jupiter::red_spot(&file, &mut notes), &mut complaints);
    let evening = keep(evening::evening(&file, &mut notes), &mut complaints);
    let eyepieces = read_eyepieces(&file, &mut notes, &mut complaints);
    let barlows = read_each(&file, "barlow", &mut complaints, |value| {
        let (barlow, offset) = eyepieces::barlow(page, value)?;
        Ok((barlow.name.clone(), offset, barlow))
    });
    let telescopes = read_telescopes(
        &file,
        eyepieces.as_deref(),
        read_beside,
        &mut notes,
        &mut complaints,
    );

    let small_bodies = keep(
        small_bodies::small_bodies(&file, read_beside),
        &mut complaints,
    );

    match (site, observer, red_spot, evening, eyepieces, small_bodies) {
        (
            Some(site),
            Some(observer),
            Some(red_spot),
            Some(evening),
            Some(eyepieces),
            Some(small_bodies),
        ) if complaints.is_empty() => Ok(Workshop {
            site,
            observer,
            eyepieces,
            barlows,
            telescopes,
            small_bodies,
            red_spot,
            evening,
            assumed: notes,
        }),
        _ => Err(Error::new(complaints, page.file_name)),
    }
}

/// `None` if something was wrong with them: then nobody complains about names that are unknown.
fn read_eyepieces(
    file: &Section,
    notes: &mut Vec<Assumed>,
    complaints: &mut Vec<Complaint>,
) -> Option<Vec<Eyepiece>> {
    let n_before = complaints.len();
    let eyepieces = read_each(file, "eyepiece", complaints, |value| {
        let (eyepiece, offset) = eyepieces::eyepiece(file.page, value, notes)?;
        Ok((eyepiece.name.clone(), offset, eyepiece))
    });
    if complaints.len() > n_before {
        return None;
    }
    Some(match eyepieces.is_empty() {
        true => eyepieces::usual_eyepieces(notes),
        false => eyepieces,
    })
}

fn read_telescopes(
    file: &Section,
    eyepieces: Option<&[Eyepiece]>,
    read_beside: ReadBeside,
    notes: &mut Vec<Assumed>,
    complaints: &mut Vec<Complaint>,
) -> Vec<Telescope> {
    let n_before = complaints.len();
    let telescopes = read_each(file, "telescope", complaints, |value| {
        let (telescope, offset) =
            telescope::telescope(file.page, value, eyepieces, read_beside, notes)?;
        Ok((telescope.name.clone(), offset, telescope))
    });
    if telescopes.is_empty() && complaints.len() == n_before {
        complaints.push(Complaint::new(
            file.page.file_name,
            None,
            wording::no_telescope(),
        ));
    }
    telescopes
}

/// Reads the tables of one `[[heading]]`, each into its name, where that stands, and its value.
fn read_each<'a, T>(
    file: &Section<'a>,
    heading: &'static str,
    complaints: &mut Vec<Complaint>,
    mut read: impl FnMut(&'a Value<'a>) -> Result<(String, usize, T), Complaint>,
) -> Vec<T> {
    let Some(list) = keep(file.list(heading), complaints).flatten() else {
        return Vec::new();
    };
    let mut lines_of_names = std::collections::BTreeMap::new();
    let mut things = Vec::new();
    for value in list {
        let Some((name, offset, thing)) = keep(read(value), complaints) else {
            continue;
        };
        match lines_of_names.get(&name) {
            Some(line) => {
                let trouble = wording::same_name(heading, &name, *line);
                complaints.push(file.page.complaint(offset, trouble));
            }
            None => {
                lines_of_names.insert(name, file.page.line(offset));
                things.push(thing);
            }
        }
    }
    things
}
