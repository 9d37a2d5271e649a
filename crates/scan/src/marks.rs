//! The marks at three corners of every QR code: a black square in a white ring in a black one, so that every
//! line through its middle goes 1 : 1 : 3 : 1 : 1 (ISO/IEC 18004, finder pattern).
//!
//! Every step is a walk over a few runs of one row or column, so the work grows with the pixels and never
//! with what is drawn on them.

use super::light::MEAN;
use lidcard_pixels::Grey;

/// A corner mark.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Mark {
    /// Its middle.
    pub at: [f64; 2],
    /// How long a seventh of it is, along rows and columns.
    pub seventh: f64,
}

/// More marks than this are no sheet but a wallpaper; the rest is not looked at.
const MOST: usize = 240;
/// Pixels of a row are taken for ink where they are darker than this.
const INK: u8 = MEAN - MEAN / 16;
/// Side of a cell of the map that tells which pixels belong to a mark already.
const CELL: usize = 4;

/// The marks of an evenly lit picture.
pub(crate) fn marks(even: &Grey) -> Vec<Mark> {
    let mut found = Found {
        marks: Vec::new(),
        counts: Vec::new(),
        across: even.width() / CELL + 1,
        taken: vec![0; (even.width() / CELL + 1) * (even.height() / CELL + 1)],
    };
    for (y, row) in even.pixels().chunks_exact(even.width().max(1)).enumerate() {
        let mut runs = [0usize; 5];
        let mut black = false;
        let mut length = 0;
        let mut end_of_run = |runs: &mut [usize; 5], length: usize, black: bool, x: usize| {
            runs.rotate_left(1);
            runs[4] = length;
            if black && fits(runs) {
                let middle = x as f64 - (runs[4] + runs[3]) as f64 - runs[2] as f64 / 2.0;
                found.look(even, [middle, y as f64 + 0.5], runs.iter().sum());
            }
        };
        for (x, [pixel]) in row.iter().enumerate() {
            if (*pixel < INK) == black {
                length += 1;
                continue;
            }
            end_of_run(&mut runs, length, black, x);
            black = !black;
            length = 1;
        }
        end_of_run(&mut runs, length, black, row.len());
    }
    // What only one row or two ran through is chance.
    let often =
        found.marks.iter().zip(&found.counts).filter(|(mark, count)| **count as f64 >= mark.seventh / 2.0);
    often.map(|(mark, _)| *mark).take(MOST).collect()
}

/// Whether five runs are those of a mark, each to within a good half of a seventh.
fn fits(runs: &[usize; 5]) -> bool {
    let sum: usize = runs.iter().sum();
    if runs.contains(&0) || sum < 7 {
        return false;
    }
    let seventh = sum as f64 / 7.0;
    let wanted = [1.0, 1.0, 3.0, 1.0, 1.0];
    runs.iter().zip(wanted).all(|(run, times)| {
        let off = if times > 1.0 { 1.4 } else { 0.7 };
        (*run as f64 - times * seventh).abs() < off * seventh + 0.5
    })
}

struct Found {
    marks: Vec<Mark>,
    /// How many rows ran through each.
    counts: Vec<u32>,
    across: usize,
    /// By cell of the picture: the mark there, from 1.
    taken: Vec<u32>,
}

impl Found {
    /// Looks along the column and the row through a place that one row takes for the middle of a mark.
    fn look(&mut self, even: &Grey, at: [f64; 2], across: usize) {
        if let Some(known) = self.known(at) {
            self.counts[known] += 1;
            return;
        }
        let Some((y, down)) = centred(even, at, across, [0, 1]) else { return };
        let Some((x, across)) = centred(even, [at[0], y], down, [1, 0]) else { return };
        let Some((y, down)) = centred(even, [x, y], across, [0, 1]) else { return };
        // So does every other line through the middle; few things that are no mark come through all four.
        let slanting =
            [[1, 1], [1, -1]].into_iter().all(|step| centred(even, [x, y], across, step).is_some());
        if !slanting {
            return;
        }
        let mark = Mark { at: [x, y], seventh: (across + down) as f64 / 14.0 };
        if let Some(known) = self.known(mark.at) {
            self.counts[known] += 1;
            return;
        }
        // Twice as many as are kept: some will turn out to be chance.
        if self.marks.len() == 2 * MOST {
            return;
        }
        self.marks.push(mark);
        self.counts.push(1);
        let number = self.marks.len() as u32;
        let span = |middle: f64| {
            let cell = |edge: f64| (edge.max(0.0) as usize) / CELL;
            cell(middle - 1.5 * mark.seventh)..=cell(middle + 1.5 * mark.seventh)
        };
        for row in span(y) {
            for column in span(x).filter(|column| *column < self.across) {
                if let Some(cell) = self.taken.get_mut(row * self.across + column) {
                    *cell = number;
                }
            }
        }
    }

    fn known(&self, [x, y]: [f64; 2]) -> Option<usize> {
        let cell = (y.max(0.0) as usize / CELL) * self.across + x.max(0.0) as usize / CELL;
        self.taken.get(cell).filter(|number| **number > 0).map(|number| *number as usize - 1)
    }
}

/// The middle of the mark along a row, a column or a slanting line through a place in its black middle, and how long it is
/// there; nothing where the runs are not those of a mark about as long as `about`.
fn centred(even: &Grey, at: [f64; 2], about: usize, step: [i64; 2]) -> Option<(f64, usize)> {
    let start = at.map(|place| place.floor() as i64);
    let black = |n: i64| {
        let [x, y] = [start[0] + n * step[0], start[1] + n * step[1]];
        let (x, y) = (usize::try_from(x).ok()?, usize::try_from(y).ok()?);
        (x < even.width() && y < even.height()).then(|| even.at(x, y)[0] < INK)
    };
    if black(0) != Some(true) {
        return None;
    }
    // None of the runs is longer than the whole.
    let most = about as i64;
    let walk = |direction: i64| {
        let mut runs = [0i64; 3];
        let mut n = if direction > 0 { 0 } else { -1 };
        for (run, ink) in runs.iter_mut().zip([true, false, true]) {
            while black(n) == Some(ink) && *run <= most {
                *run += 1;
                n += direction;
            }
        }
        runs
    };
    let (back, ahead) = (walk(-1), walk(1));
    let runs = [back[2], back[1], back[0] + ahead[0], ahead[1], ahead[2]].map(|run| run as usize);
    let sum: usize = runs.iter().sum();
    let alike = sum * 3 >= about && sum <= about * 2;
    let from = if step[0] == 0 { start[1] } else { start[0] };
    (alike && fits(&runs)).then(|| (from as f64 + (ahead[0] - back[0]) as f64 / 2.0, sum))
}

#[cfg(test)]
mod tests {
    use super::marks;
    use crate::light::even;
    use lidcard_pixels::Grey;

    fn ring(x: usize, y: usize) -> bool {
        let away = x.abs_diff(3).max(y.abs_diff(3));
        away != 2 && away <= 3
    }

    #[test]
    fn a_mark_is_found_at_its_middle_and_a_square_is_none() {
        let picture = Grey::from_fn(200, 120, |x, y| {
            let mark = x >= 40 && y >= 30 && x < 75 && y < 65 && ring((x - 40) / 5, (y - 30) / 5);
            let square = (120..155).contains(&x) && (30..65).contains(&y);
            [if mark || square { 10 } else { 240 }]
        });
        let found = marks(&even(&picture));
        assert_eq!(found.len(), 1, "{found:?}");
        assert!((found[0].at[0] - 57.5).abs() < 0.6 && (found[0].at[1] - 47.5).abs() < 0.6, "{found:?}");
        assert!((found[0].seventh - 5.0).abs() < 0.3);
    }

    #[test]
    fn of_a_wallpaper_of_marks_only_so_many_are_kept() {
        let picture = Grey::from_fn(1400, 1400, |x, y| {
            [if ring(x % 9, y % 9) && x % 9 < 7 && y % 9 < 7 { 0 } else { 255 }]
        });
        assert!(marks(&even(&picture)).len() <= super::MOST);
    }
}
