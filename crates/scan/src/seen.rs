//! Which marks belong together, and what the codes between them say.

use super::code::{Corners, Eye};
use super::marks::{Mark, marks};

/// Groups of three marks that are tried. A page of nine codes has 27 marks, and takes some hundred tries.
const MOST_TRIES: usize = 600;
/// Groups that are weighed against each other before any is tried.
const MOST_GROUPS: usize = 200_000;

/// The texts of the codes in an evenly lit picture.
pub(crate) fn texts(eye: &Eye) -> Vec<String> {
    let marks = marks(&eye.even);
    let mut used = vec![false; marks.len()];
    let mut texts = Vec::new();
    for (_, group) in groups(&marks) {
        if group.iter().any(|mark| used[*mark]) {
            continue;
        }
        if let Some(text) = Corners(group.map(|mark| marks[mark])).read(eye) {
            group.iter().for_each(|mark| used[*mark] = true);
            if !texts.contains(&text) {
                texts.push(text);
            }
        }
    }
    texts
}

/// Three marks each that may be corners of one code, the nearest to each other first: in a sheet full of
/// codes those of one are nearer than those of several.
fn groups(marks: &[Mark]) -> Vec<(f64, [usize; 3])> {
    let mut all = Vec::new();
    for (corner, mark) in marks.iter().enumerate() {
        let near: Vec<(usize, [f64; 2], f64)> = marks
            .iter()
            .enumerate()
            .filter(|(other, _)| *other != corner)
            .filter_map(|(other, to)| {
                let way = [to.at[0] - mark.at[0], to.at[1] - mark.at[1]];
                let long = libm::hypot(way[0], way[1]);
                let (small, large) = (mark.seventh.min(to.seventh), mark.seventh.max(to.seventh));
                let of_a_code = (9.0 * small..=180.0 * large).contains(&long);
                (large < 1.7 * small && of_a_code).then_some((other, way, long))
            })
            .collect();
        for (right, a, a_long) in &near {
            for (below, b, b_long) in &near {
                let turn = a[0] * b[1] - a[1] * b[0];
                let lean = (a[0] * b[0] + a[1] * b[1]).abs();
                let (short, long) = (a_long.min(*b_long), a_long.max(*b_long));
                // Right, then a quarter turn to below; seen from one side no more than so far from square.
                if turn <= 0.0 || lean > 0.35 * turn || long > 1.45 * short {
                    continue;
                }
                let sevenths = [corner, *right, *below].map(|mark| marks[mark].seventh);
                let most = sevenths.iter().copied().fold(0.0, f64::max);
                let least = sevenths.iter().copied().fold(most, f64::min);
                let unlike = lean / turn + (long / short - 1.0) + (most / least - 1.0);
                all.push((long * (1.0 + 4.0 * unlike), [corner, *right, *below]));
            }
        }
        if all.len() > MOST_GROUPS {
            break;
        }
    }
    all.sort_by(|x, y| x.0.total_cmp(&y.0).then(x.1.cmp(&y.1)));
    all.truncate(MOST_TRIES);
    all
}
