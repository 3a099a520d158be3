//! Type for pictures of dots: the letters that drawings have on most machines, in grey.

use std::sync::LazyLock;

use ab_glyph::{Font, FontRef, ScaleFont, point};

use crate::show::picture::raster::Grey;

/// Ordinary or bold letters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Weight {
    Ordinary,
    Bold,
}

/// Where on their line words have their place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Anchor {
    Start,
    Middle,
}

/// How words look.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Type {
    /// The font's size, as in a drawing.
    pub(super) size_px: f64,
    pub(super) weight: Weight,
    pub(super) anchor: Anchor,
}

/// Pixels across the words.
pub(super) fn width_of(words: &str, look: Type) -> f64 {
    let font = look.font();
    let scaled = font.as_scaled(look.scale());
    let advances = words.chars().map(|letter| {
        let advance = scaled.h_advance(font.glyph_id(letter));
        f64::from(advance)
    });
    advances.sum()
}

/// Writes words in black on a line; what hangs over the edge is cut off, letters that the typeface lacks are boxes.
pub(super) fn write(picture: &mut Grey, (x, line_y): (f64, f64), words: &str, look: Type) {
    let font = look.font();
    let scaled = font.as_scaled(look.scale());
    let mut at_x = match look.anchor {
        Anchor::Start => x,
        Anchor::Middle => x - width_of(words, look) / 2.0,
    };
    for letter in words.chars() {
        let id = font.glyph_id(letter);
        let glyph = id.with_scale_and_position(look.scale(), point(at_x as f32, line_y as f32));
        at_x += f64::from(scaled.h_advance(id));
        let Some(outline) = font.outline_glyph(glyph) else {
            continue;
        };
        let (left, top) = (outline.px_bounds().min.x, outline.px_bounds().min.y);
        outline.draw(|column, row, covered| {
            let (x, y) = (left as i64 + i64::from(column), top as i64 + i64::from(row));
            picture.ink((x, y), covered);
        });
    }
}

impl Type {
    fn font(self) -> &'static FontRef<'static> {
        match self.weight {
            Weight::Ordinary => &ORDINARY,
            Weight::Bold => &BOLD,
        }
    }

    /// A drawing's size is that of the em; the crate counts from the highest letter to the lowest.
    fn scale(self) -> f32 {
        let font = self.font();
        let per_em = font.height_unscaled() / font.units_per_em().unwrap_or(1000.0);
        self.size_px as f32 * per_em
    }
}

static ORDINARY: LazyLock<FontRef<'static>> =
    LazyLock::new(|| of_file(include_bytes!("../../../data/lettering.bin")));

static BOLD: LazyLock<FontRef<'static>> =
    LazyLock::new(|| of_file(include_bytes!("../../../data/lettering_bold.bin")));

/// A head of lines, an empty line, a TrueType font.
fn of_file(file: &'static [u8]) -> FontRef<'static> {
    let head_ends = file.windows(2).position(|pair| pair == b"\n\n");
    let font = head_ends.map(|at| FontRef::try_from_slice(&file[at + 2..]));
    let font = font.expect("a head and a font, parsed by a test");
    font.expect("a font, parsed by a test")
}

#[cfg(test)]
mod tests {
    use super::*;

    const PLAIN: Type = Type {
        size_px: 20.0,
        weight: Weight::Ordinary,
        anchor: Anchor::Start,
    };

    #[test]
    fn european_names_are_in_the_case() {
        let words = "a sphere, the paraboloid; 0123456789. 6.0 mm (outside/inside) Åström Łódź Ελένη Юлия “’–…";
        for look in [
            PLAIN,
            Type {
                weight: Weight::Bold,
                ..PLAIN
            },
        ] {
            let missing: Vec<char> = (words.chars())
                .filter(|letter| look.font().glyph_id(*letter).0 == 0)
                .collect();
            assert_eq!(missing, []);
        }
    }

    /// DejaVu Sans: an em of 2048, of which an n takes 1298 and its back stands 1120 high.
    #[test]
    fn letters_have_the_size_of_a_drawing() {
        assert!((width_of("nn", PLAIN) - 2.0 * 20.0 * 1298.0 / 2048.0).abs() < 1e-3);
        let mut picture = Grey::white(40, 40);
        write(&mut picture, (2.0, 30.0), "x", PLAIN);
        let row_has_ink = |y: usize| {
            picture.pixels[y * 40..][..40]
                .iter()
                .any(|grey| *grey < 128)
        };
        let rows: Vec<usize> = (0..40).filter(|y| row_has_ink(*y)).collect();
        assert_eq!((rows.first(), rows.last()), (Some(&19), Some(&29)));
    }

    #[test]
    fn words_stand_about_their_middle_and_are_cut_at_the_edge() {
        let mut picture = Grey::white(60, 30);
        let middle = Type {
            anchor: Anchor::Middle,
            ..PLAIN
        };
        write(&mut picture, (30.0, 20.0), "oo", middle);
        let ink = |x: usize| {
            let column = picture.pixels.iter().skip(x).step_by(60);
            column.map(|grey| 255 - u32::from(*grey)).sum::<u32>()
        };
        let (left, right) = (
            (0..30).map(ink).sum::<u32>(),
            (30..60).map(ink).sum::<u32>(),
        );
        assert!(left.abs_diff(right) < (left + right) / 20, "{left} {right}");
        write(&mut picture, (55.0, 2.0), "WW", PLAIN);
    }
}
