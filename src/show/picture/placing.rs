//! Where words stand on a crowded chart: beside what they name, over no other words, over as few lines as
//! can be.

use crate::show::picture::axis::Area;

/// Between points of a line that stand for it.
const SAMPLE_PX: f64 = 4.0;

/// From a point to the words that belong to it: close by, or farther off with a line that leads there.
const BESIDE_PX: [f64; 3] = [6.0, 20.0, 40.0];

/// Between words.
const GAP_PX: f64 = 3.0;

/// A line nearer than this to words seems to belong to them.
const NEAR_PX: f64 = 11.0;

/// Words on words are worse than words on all lines together.
const ON_WORDS: usize = 1_000_000;

/// Words through a line are as bad as so many points of other lines near them.
const ON_LINE: usize = 12;

/// Words nearer to another's line than to their own, or away from it.
const ASTRAY: usize = 2 * ON_LINE;

/// Some words' place, and a line to lead from them to what they name if that is far.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Spot {
    pub(super) place: Area,
    pub(super) leader: Option<[(f64, f64); 2]>,
}

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
    /// Of their first line, from which a leader starts.
    pub(super) first_line: (f64, f64),
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
    pub(super) fn place(&mut self, label: Label, anchors: &[(f64, f64)]) -> Option<Spot> {
        let (_, spot) = self.best(label, anchors, &BESIDE_PX)?;
        self.words.push(spot.place);
        if let Some(leader) = spot.leader {
            self.line(label.owner, &leader);
        }
        Some(spot)
    }

    /// The same close by, if neither words nor a line are in the way there.
    pub(super) fn place_if_free(&mut self, label: Label, anchors: &[(f64, f64)]) -> Option<Area> {
        let (trouble, spot) = self.best(label, anchors, &BESIDE_PX[..1])?;
        let is_free = trouble < ON_LINE;
        is_free.then(|| self.words.push(spot.place))?;
        Some(spot.place)
    }

    fn best(
        &self,
        label: Label,
        anchors: &[(f64, f64)],
        distances: &[f64],
    ) -> Option<(usize, Spot)> {
        let spots = distances.iter().enumerate().flat_map(|(idx, distance)| {
            let around = anchors.iter();
            let around = around.flat_map(|anchor| beside(*anchor, label, *distance));
            around.map(move |spot| (idx * ASTRAY, spot))
        });
        spots
            .filter(|(_, spot)| spot.place.lies_in(&self.area))
            .map(|(far, spot)| (far + self.trouble(label.owner, &spot), spot))
            .min_by_key(|(trouble, _)| *trouble)
    }

    fn trouble(&self, owner: usize, spot: &Spot) -> usize {
        let place = &spot.place;
        let kept = place.wider_by(GAP_PX);
        let is_on = self.words.iter().any(|words| words.meets(&kept));
        let near = place.wider_by(NEAR_PX);
        let (mut trouble, mut own_px, mut other_px) = (0, NEAR_PX, NEAR_PX);
        for (whose, at) in self.lines.iter().filter(|(_, at)| near.holds(*at)) {
            let distance_px = place.distance(*at);
            let nearest = match *whose == owner {
                true => &mut own_px,
                false => &mut other_px,
            };
            *nearest = nearest.min(distance_px);
            trouble += match distance_px < 1.0 {
                true => ON_LINE,
                false => usize::from(*whose != owner),
            };
        }
        let is_astray = spot.leader.is_none() && other_px < own_px;
        trouble
            + self.crossed(owner, spot)
            + if is_on { ON_WORDS } else { 0 }
            + if is_astray { ASTRAY } else { 0 }
    }

    /// What a leader has to cross.
    fn crossed(&self, owner: usize, spot: &Spot) -> usize {
        let Some(leader) = spot.leader else {
            return 0;
        };
        let is_near = |at: (f64, f64)| distance_px(leader, at) < 0.6 * SAMPLE_PX;
        let lines = self.lines.iter();
        let lines = lines.filter(|(whose, at)| *whose != owner && is_near(*at));
        let middle = (
            0.5 * (leader[0].0 + leader[1].0),
            0.5 * (leader[0].1 + leader[1].1),
        );
        let words = self.words.iter().filter(|words| words.holds(middle));
        lines.count() * ON_LINE / 2 + words.count() * ASTRAY
    }
}

/// From a line between two points.
fn distance_px([from, to]: [(f64, f64); 2], at: (f64, f64)) -> f64 {
    let along = (to.0 - from.0, to.1 - from.1);
    let there = (at.0 - from.0, at.1 - from.1);
    let squared = along.0 * along.0 + along.1 * along.1;
    let share = (there.0 * along.0 + there.1 * along.1) / squared.max(1e-9);
    let share = share.clamp(0.0, 1.0);
    (there.0 - share * along.0).hypot(there.1 - share * along.1)
}

/// Over and under a point, and on either side of it.
fn beside((x, y): (f64, f64), label: Label, distance: f64) -> [Spot; 8] {
    let (width, height) = (label.width, label.height);
    let (over, level, under) = (y - distance - height, y - height / 2.0, y + distance);
    let (right, middle, left) = (x + distance, x - width / 2.0, x - distance - width);
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
    .map(|(left, top)| {
        let place = Area {
            left,
            right: left + width,
            top,
            bottom: top + height,
        };
        let is_far = BESIDE_PX[0] < distance;
        let first_line = Area {
            right: left + label.first_line.0,
            bottom: top + label.first_line.1,
            ..place
        };
        Spot {
            place,
            leader: is_far.then(|| [first_line.nearest((x, y)), (x, y)]),
        }
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
        first_line: (40.0, 12.0),
    };

    #[test]
    fn words_keep_clear_of_lines_and_of_each_other() {
        let mut placing = Placing::within(PAPER);
        let line = [(0.0, 50.0), (200.0, 50.0)];
        placing.line(0, &line);
        // Another line just above: the place is below.
        placing.line(1, &[(0.0, 40.0), (200.0, 40.0)]);
        let first = placing.place(LABEL, &[(100.0, 50.0)]).expect("room");
        assert!(
            50.0 < first.place.top && first.leader.is_none(),
            "{first:?}"
        );
        let second = placing.place(LABEL, &[(100.0, 50.0)]).expect("room");
        assert!(
            !first.place.meets(&second.place) && second.place.lies_in(&PAPER),
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
