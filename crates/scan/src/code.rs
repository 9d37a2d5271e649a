//! A code from three of its corner marks: how many squares it has, where each lies, and what they say
//! (ISO/IEC 18004).

use super::light;
use super::marks::Mark;
use super::plane::{Plane, Point};
use lidcard_pixels::Grey;
use std::cell::Cell;

/// Squares along a side of the smallest code, and of the largest.
const SIDES: [i64; 2] = [21, 177];
/// How far from where it ought to be the fourth mark is looked for: a share of the side, for a sheet that
/// is seen from one side, and never fewer than so many squares.
const ASTRAY: f64 = 0.14;
const ASTRAY_AT_LEAST: f64 = 4.0;
/// Places at which the fourth mark is believed to be, at the most.
const GUESSES: usize = 3;
/// Of the 25 squares of a small mark so many must be right.
const ENOUGH: i32 = 19;
/// Of the squares of the two dotted lines this share must be right.
const DOTTED: f64 = 0.72;
/// The same before the plane is put right.
const DOTTED_AT_FIRST: f64 = 0.6;

/// Who looks for codes in an evenly lit picture, and how many places they may still look at for small marks:
/// what is drawn to keep them busy ends there.
#[derive(Debug)]
pub(crate) struct Eye {
    /// The picture.
    pub even: Grey,
    /// Looks that are left.
    pub left: Cell<u64>,
}

impl Eye {
    fn spends(&self, looks: u64) -> bool {
        let left = self.left.get().checked_sub(looks);
        self.left.set(left.unwrap_or(0));
        left.is_some()
    }
}

/// Three marks as the corners of a code: at its top left, top right and bottom left.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Corners(pub [Mark; 3]);

impl Corners {
    /// The text of the code, if it is one that can be read.
    pub(crate) fn read(&self, eye: &Eye) -> Option<String> {
        self.sides(eye).into_iter().find_map(|side| {
            let planes = self.planes(eye, side);
            planes.into_iter().find_map(|plane| {
                let flat = Sheet { eye, plane, side, places: Vec::new(), bent: Vec::new() };
                // Nobody looks for small marks where there is not even a good half of a dotted line.
                if !flat.is_dotted(DOTTED_AT_FIRST) {
                    return None;
                }
                Sheet::of(eye, plane, side, self)?.text()
            })
        })
    }

    /// How many squares a side may have, the likeliest first.
    fn sides(&self, eye: &Eye) -> Vec<i64> {
        let [corner, right, below] = self.0;
        let leg = |to: &Mark| {
            let [dx, dy] = [to.at[0] - corner.at[0], to.at[1] - corner.at[1]];
            let long = libm::hypot(dx, dy);
            // A mark that is turned is longer along rows and columns than along its sides.
            let turned = (dx.abs()).max(dy.abs()) / long.max(1.0);
            long / ((corner.seventh + to.seventh) / 2.0 * turned).max(1e-9) + 7.0
        };
        let measured = (leg(&right) + leg(&below)) / 2.0;
        let nearest = |side: f64| (((side - 17.0) / 4.0).round() as i64 * 4 + 17).clamp(SIDES[0], SIDES[1]);
        let dotted =
            [(right, below), (below, right)].map(|(along, aside)| self.dots(eye, &along, &aside, measured));
        let told = dotted.into_iter().max().unwrap_or(0);
        // Anywhere else but along its dotted lines a code changes half as often.
        if f64::from(told) < 0.7 * (measured - 13.0) - 2.0 {
            return Vec::new();
        }
        let mut all = Vec::new();
        for side in [nearest(f64::from(told) + 13.0), nearest(measured)] {
            for off in [0, 4, -4] {
                let side = side + off;
                let near = (side as f64 - measured).abs() < measured * 0.16 + 4.0;
                if near && (SIDES[0]..=SIDES[1]).contains(&side) && !all.contains(&side) {
                    all.push(side);
                }
            }
        }
        all
    }

    /// How often ink and paper change along the dotted line from one corner to another: 13 fewer than the
    /// code has squares.
    fn dots(&self, eye: &Eye, along: &Mark, aside: &Mark, side: f64) -> u32 {
        let corner = &self.0[0];
        let toward = |mark: &Mark| {
            let squares = (side - 7.0).max(1.0);
            [(mark.at[0] - corner.at[0]) / squares, (mark.at[1] - corner.at[1]) / squares]
        };
        let (step, down) = (toward(along), toward(aside));
        let from = |mark: &Mark, squares: f64| -> Point {
            [mark.at[0] + 3.0 * down[0] + squares * step[0], mark.at[1] + 3.0 * down[1] + squares * step[1]]
        };
        let (first, last) = (from(corner, 3.0), from(along, -3.0));
        let long = libm::hypot(last[0] - first[0], last[1] - first[1]);
        let count = (long * 2.0).ceil().clamp(1.0, 20_000.0) as usize;
        let mut changes = 0;
        let mut before = true;
        for n in 0..=count {
            let part = n as f64 / count as f64;
            let at = [first[0] + (last[0] - first[0]) * part, first[1] + (last[1] - first[1]) * part];
            let ink = light::at(&eye.even, at) < f64::from(light::MEAN);
            changes += u32::from(ink != before);
            before = ink;
        }
        changes
    }

    /// The planes in which the code may lie: where the small mark next to the fourth corner seems to be.
    fn planes(&self, eye: &Eye, side: i64) -> Vec<Plane> {
        let [corner, right, below] = self.0;
        let end = side as f64 - 3.5;
        let fourth = [right.at[0] + below.at[0] - corner.at[0], right.at[1] + below.at[1] - corner.at[1]];
        let pairs =
            [([3.5, 3.5], corner.at), ([end, 3.5], right.at), ([3.5, end], below.at), ([end, end], fourth)];
        let Some(flat) = Plane::through(&pairs) else { return Vec::new() };
        if side < 25 {
            return vec![flat];
        }
        let small = [side as f64 - 6.5; 2];
        let reach = (side as f64 * ASTRAY).max(ASTRAY_AT_LEAST);
        let guesses = small_marks(eye, &flat, small, reach, 0.5);
        guesses
            .into_iter()
            .filter_map(|(_, place)| {
                let mut pairs = pairs;
                pairs[3] = (small, place);
                Plane::through(&pairs)
            })
            .collect()
    }
}

/// Where a small mark seems to be about a place of the code: how well it fits, and where in the picture.
fn small_marks(eye: &Eye, plane: &Plane, about: Point, reach: f64, step: f64) -> Vec<(i32, Point)> {
    let (middle, [right, down]) = (plane.at(about), plane.steps(about));
    let steps = (reach / step).ceil() as i64;
    if !eye.spends((2 * steps as u64 + 1).pow(2)) {
        return Vec::new();
    }
    let mut found: Vec<(i32, f64, Point)> = Vec::new();
    for row in -steps..=steps {
        for column in -steps..=steps {
            let [x, y] = [column as f64 * step, row as f64 * step];
            let at = [middle[0] + x * right[0] + y * down[0], middle[1] + x * right[1] + y * down[1]];
            let (fits, contrast) = small_mark(eye, at, right, down);
            if fits >= ENOUGH {
                found.push((fits, contrast - libm::hypot(x, y), at));
            }
        }
    }
    found.sort_by(|a, b| b.0.cmp(&a.0).then(b.1.total_cmp(&a.1)));
    let mut kept: Vec<(i32, Point)> = Vec::new();
    let near = 2.0 * libm::hypot(right[0], right[1]).max(libm::hypot(down[0], down[1]));
    for (fits, _, at) in found {
        let is_new = kept.iter().all(|(_, known)| libm::hypot(known[0] - at[0], known[1] - at[1]) > near);
        if is_new {
            kept.push((fits, at));
        }
        if kept.len() == GUESSES {
            break;
        }
    }
    kept
}

/// How many squares of a small mark are right at a place, and how far ink and paper lie apart there.
fn small_mark(eye: &Eye, at: Point, right: Point, down: Point) -> (i32, f64) {
    let (mut fits, mut apart) = (0, 0.0);
    for row in -2i32..=2 {
        for column in -2i32..=2 {
            let [x, y] = [f64::from(column), f64::from(row)];
            let place = [at[0] + x * right[0] + y * down[0], at[1] + x * right[1] + y * down[1]];
            let level = light::at(&eye.even, place) - f64::from(light::MEAN);
            let ink = row.abs().max(column.abs()) != 1;
            fits += i32::from((level < 0.0) == ink);
            apart += if ink { -level } else { level };
        }
        // What is wrong by then cannot become right enough.
        if fits + 5 * (2 - row) < ENOUGH {
            return (0, 0.0);
        }
    }
    (fits, apart)
}

/// Where the middles of the small marks of a code lie, along a side.
fn small_places(side: i64) -> Vec<f64> {
    let version = (side - 17) / 4;
    if version < 2 {
        return Vec::new();
    }
    let count = version / 7 + 2;
    let step = (version * 8 + count * 3 + 5) / (count * 4 - 4) * 2;
    let mut all: Vec<f64> = (0..count - 1).map(|n| (side - 7 - n * step) as f64 + 0.5).collect();
    all.push(6.5);
    all.reverse();
    all
}

/// A code whose plane is known, with what the sheet is bent beside it.
struct Sheet<'a> {
    eye: &'a Eye,
    plane: Plane,
    side: i64,
    /// Places of small marks along a side, and by row and column how far each lies from the plane.
    places: Vec<f64>,
    bent: Vec<Vec<Point>>,
}

impl<'a> Sheet<'a> {
    /// Nothing where the dotted lines are not there.
    fn of(eye: &'a Eye, mut plane: Plane, side: i64, corners: &Corners) -> Option<Self> {
        let places = small_places(side);
        let end = side as f64 - 3.5;
        let last = places.len().saturating_sub(1);
        let mut found: Vec<Vec<Option<Point>>> = Vec::new();
        // First all of them make a better plane, then the sheet is bent to where they are.
        for reach in [2.0, 1.0] {
            let look = |row: usize, column: usize| {
                let is_corner = [[0, 0], [0, last], [last, 0]].contains(&[row, column]);
                let seen = || small_marks(eye, &plane, [places[column], places[row]], reach, 0.25);
                if is_corner { None } else { seen().first().map(|(_, at)| *at) }
            };
            let of_row = |row: usize| (0..places.len()).map(|column| look(row, column)).collect();
            found = (0..places.len()).map(of_row).collect();
            let mut pairs = vec![
                ([3.5, 3.5], corners.0[0].at),
                ([end, 3.5], corners.0[1].at),
                ([3.5, end], corners.0[2].at),
            ];
            for (row, y) in found.iter().zip(&places) {
                pairs.extend(row.iter().zip(&places).filter_map(|(at, x)| at.map(|at| ([*x, *y], at))));
            }
            if pairs.len() >= 4 {
                plane = Plane::through(&pairs)?;
            }
        }
        let away = |x: f64, y: f64, at: Option<Point>| {
            at.map_or([0.0; 2], |at| {
                let flat = plane.at([x, y]);
                [at[0] - flat[0], at[1] - flat[1]]
            })
        };
        let of_row = |(row, y): (&Vec<Option<Point>>, &f64)| {
            row.iter().zip(&places).map(|(at, x)| away(*x, *y, *at)).collect()
        };
        let bent = found.iter().zip(&places).map(of_row).collect();
        let sheet = Self { eye, plane, side, places, bent };
        sheet.is_dotted(DOTTED).then_some(sheet)
    }

    /// Where the middle of a square lies.
    fn at(&self, column: i64, row: i64) -> Point {
        let [x, y] = [column as f64 + 0.5, row as f64 + 0.5];
        let mut at = self.plane.at([x, y]);
        if self.places.len() > 2 {
            let between = |place: f64| {
                let last = self.places.len() - 2;
                let first = self.places.iter().rposition(|known| *known <= place).unwrap_or(0).min(last);
                let part = (place - self.places[first]) / (self.places[first + 1] - self.places[first]);
                (first, part.clamp(0.0, 1.0))
            };
            let ((left, right), (top, below)) = (between(x), between(y));
            for (row, share) in [(top, 1.0 - below), (top + 1, below)] {
                for (column, part) in [(left, 1.0 - right), (left + 1, right)] {
                    let by = self.bent[row][column];
                    at = [at[0] + by[0] * share * part, at[1] + by[1] * share * part];
                }
            }
        }
        at
    }

    /// How light a square is: its middle and four places around, which a grain does not move as one.
    fn level(&self, column: i64, row: i64) -> f64 {
        let at = self.at(column, row);
        let [right, down] = self.plane.steps([column as f64 + 0.5, row as f64 + 0.5]);
        let around = [[0.0, 0.0], [0.2, 0.0], [-0.2, 0.0], [0.0, 0.2], [0.0, -0.2]];
        let place = |[x, y]: Point| [at[0] + x * right[0] + y * down[0], at[1] + x * right[1] + y * down[1]];
        around.iter().map(|off| light::at(&self.eye.even, place(*off))).sum::<f64>() / around.len() as f64
    }

    /// The squares of the two dotted lines, and whether each is ink.
    fn dotted(&self) -> impl Iterator<Item = (f64, bool)> + '_ {
        (8..self.side - 8).flat_map(|n| [(self.level(n, 6), n % 2 == 0), (self.level(6, n), n % 2 == 0)])
    }

    fn is_dotted(&self, share: f64) -> bool {
        let (mut right, mut all) = (0, 0);
        for (level, ink) in self.dotted() {
            right += i32::from((level < f64::from(light::MEAN)) == ink);
            all += 1;
        }
        f64::from(right) >= share * f64::from(all)
    }

    /// What the squares say.
    fn text(&self) -> Option<String> {
        let mut sums = [(0.0, 0.0); 2];
        for (level, ink) in self.dotted() {
            let sum = &mut sums[usize::from(ink)];
            *sum = (sum.0 + level, sum.1 + 1.0);
        }
        let [paper, ink] =
            sums.map(|(sum, count)| if count > 0.0 { sum / count } else { f64::from(light::MEAN) });
        let levels: Vec<f64> = (0..self.side)
            .flat_map(|row| (0..self.side).map(move |column| self.level(column, row)))
            .collect();
        let side = self.side as usize;
        [(paper + ink) / 2.0, f64::from(light::MEAN)].into_iter().find_map(|edge| {
            let grid = rqrr::SimpleGrid::from_func(side, |x, y| levels[y * side + x] < edge);
            rqrr::Grid::new(grid).decode().ok().map(|(_, text)| text)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::small_places;

    /// ISO/IEC 18004, annex E: versions 2, 7, 22, 32 and 40.
    #[test]
    fn small_marks_lie_where_the_standard_has_them() {
        for (side, wanted) in [
            (25, vec![6, 18]),
            (45, vec![6, 22, 38]),
            (105, vec![6, 26, 50, 74, 98]),
            (145, vec![6, 34, 60, 86, 112, 138]),
            (177, vec![6, 30, 58, 86, 114, 142, 170]),
        ] {
            let wanted: Vec<f64> = wanted.into_iter().map(|place| f64::from(place) + 0.5).collect();
            assert_eq!(small_places(side), wanted, "{side}");
        }
        assert!(small_places(21).is_empty());
    }
}
