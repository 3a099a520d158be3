//! Where words stand on a crowded chart: beside what they name, over no other words, over as few lines as
//! can be.

use crate::show::picture::axis::Area;

/// Between points of a line that stand for it.
const SAMPLE_PX: f64 = 4.0;

/// From a point to the words that belong to it.
const BESIDE_PX: f64 = 6.0;

/// A line nearer than this to words seems to belong to them.
const NEAR_PX: f64 = 11.0;

/// Words on words are worse than words on all lines together.
const ON_WORDS: usize = 1_000_000;

/// Words through a line are as bad as so many points of other lines near them.
const ON_LINE: usize = 12;

/// What stands on the chart already.
pub(super) struct Placing {
    area: Area,
    words: Vec<Area>,
    /// Whose, and where.
    lines: Vec<(usize, (f64, f64))>,
}

/// Some words that look for a place.
#[derive(Debug, Clone, Copy)]
pub(super) struct Label {
    /// Whose line they belong to.
    pub(super) owner: usize,
    pub(super) width: f64,
    pub(super) height: f64,
}

impl Placing {
    pub(super) fn within(area: Area) -> Placing {
        Placing {
            area,
            words: Vec::new(),
            lines: Vec::new(),
        }
    }

    /// A line somebody owns, through these points of the paper.
    pub(super) fn line(&mut self, owner: usize, points: &[(f64, f64)]) {
        for pair in points.windows(2) {
            let (dx, dy) = (pair[1].0 - pair[0].0, pair[1].1 - pair[0].1);
            let n = (dx.hypot(dy) / SAMPLE_PX).ceil().max(1.0);
            for k in 0..=n as usize {
                let share = k as f64 / n;
                let point = (pair[0].0 + share * dx, pair[0].1 + share * dy);
                self.lines.push((owner, point));
            }
        }
    }

    /// The freest place beside one of some points of its line; of equally free ones the earliest.
    pub(super) fn place(&mut self, label: Label, anchors: &[(f64, f64)]) -> Option<Area> {
        let (_, place) = self.best(label, anchors)?;
        self.words.push(place);
        Some(place)
    }

    /// The same, if neither words nor a line are in the way there.
    pub(super) fn place_if_free(&mut self, label: Label, anchors: &[(f64, f64)]) -> Option<Area> {
        let (trouble, place) = self.best(label, anchors)?;
        let is_free = trouble < ON_LINE;
        is_free.then(|| self.words.push(place))?;
        Some(place)
    }

    fn best(&self, label: Label, anchors: &[(f64, f64)]) -> Option<(usize, Area)> {
        anchors
            .iter()
            .flat_map(|anchor| beside(*anchor, label))
            .filter(|place| place.lies_in(&self.area))
            .map(|place| (self.trouble(label.owner, &place), place))
            .min_by_key(|(trouble, _)| *trouble)
    }

    fn trouble(&self, owner: usize, place: &Area) -> usize {
        let is_on = self.words.iter().any(|words| words.meets(place));
        let near = place.wider_by(NEAR_PX);
        let lines = self.lines.iter().filter(|(_, at)| near.holds(*at));
        let of_lines: usize = lines
            .map(|(whose, at)| match place.wider_by(1.0).holds(*at) {
                true => ON_LINE,
                false => usize::from(*whose != owner),
            })
            .sum();
        of_lines + if is_on { ON_WORDS } else { 0 }
    }
}

/// Over and under a point, and on either side of it.
fn beside((x, y): (f64, f64), label: Label) -> [Area; 8] {
    let (width, height) = (label.width, label.height);
    let (over, level, under) = (y - BESIDE_PX - height, y - height / 2.0, y + BESIDE_PX);
    let (right, middle, left) = (x + BESIDE_PX, x - width / 2.0, x - BESIDE_PX - width);
    [
        (middle, over),
        (right, over),
        (left, over),
        (middle, under),
        (right, under),
        (left, under),
        (right, level),
        (left, level),
    ]
    .map(|(left, top)| Area {
        left,
        right: left + width,
        top,
        bottom: top + height,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const PAPER: Area = Area {
        left: 0.0,
        right: 200.0,
        top: 0.0,
        bottom: 100.0,
    };

    const LABEL: Label = Label {
        owner: 0,
        width: 40.0,
        height: 12.0,
    };

    #[test]
    fn words_keep_clear_of_lines_and_of_each_other() {
        let mut placing = Placing::within(PAPER);
        let line = [(0.0, 50.0), (200.0, 50.0)];
        placing.line(0, &line);
        // Another line just above: the place is below.
        placing.line(1, &[(0.0, 40.0), (200.0, 40.0)]);
        let first = placing.place(LABEL, &[(100.0, 50.0)]).expect("room");
        assert!(50.0 < first.top, "{first:?}");
        let second = placing.place(LABEL, &[(100.0, 50.0)]).expect("room");
        assert!(
            !first.meets(&second) && second.lies_in(&PAPER),
            "{second:?}"
        );
        assert_eq!(placing.place_if_free(LABEL, &[(100.0, 45.0)]), None);
    }

    #[test]
    fn no_place_where_the_paper_is_too_small() {
        let mut placing = Placing::within(PAPER);
        let wide = Label {
            width: 300.0,
            ..LABEL
        };
        assert_eq!(placing.place(wide, &[(100.0, 50.0)]), None);
    }
}
