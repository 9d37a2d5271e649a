//! Pictures in other sizes.

use crate::Raster;

/// The pixels of one side that a pixel of the new side is made of: where they begin, and the share of each.
struct Mix {
    first: usize,
    shares: Vec<f32>,
}

/// The same picture with other sides, none of them zero: each pixel the mean of those around its place,
/// weighted by how near they are, so that no thin line is lost where it becomes smaller.
///
/// # Panics
/// If a side is zero.
pub fn resized<const N: usize>(picture: &Raster<N>, (width, height): (usize, usize)) -> Raster<N> {
    assert!(width > 0 && height > 0, "a picture has pixels");
    if picture.sides() == (width, height) || picture.pixels().is_empty() {
        return picture.clone();
    }
    let columns = mixes(picture.width(), width);
    let old = picture.width();
    let mut pixels = Vec::with_capacity(width * height);
    let mut row = vec![[0.0_f32; N]; old];
    for Mix { first, shares } in mixes(picture.height(), height) {
        row.fill([0.0; N]);
        for (share, from) in shares.iter().zip(picture.pixels()[first * old..].chunks_exact(old)) {
            for (sum, pixel) in row.iter_mut().zip(from) {
                add(sum, pixel.map(f32::from), *share);
            }
        }
        for Mix { first, shares } in &columns {
            let mut sum = [0.0; N];
            for (share, pixel) in shares.iter().zip(&row[*first..]) {
                add(&mut sum, *pixel, *share);
            }
            // Shares come to one but for rounding, so nothing is far outside.
            pixels.push(sum.map(|level| level.clamp(0.0, 255.0).round() as u8));
        }
    }
    let mut pixels = pixels.into_iter();
    Raster::from_fn(width, height, |_, _| pixels.next().unwrap_or([0; N]))
}

fn add<const N: usize>(sum: &mut [f32; N], pixel: [f32; N], share: f32) {
    for (sum, level) in sum.iter_mut().zip(pixel) {
        *sum += level * share;
    }
}

/// What each of `new` pixels is made of among `old`: a triangle round its middle, as wide as two pixels of
/// the coarser of the two.
fn mixes(old: usize, new: usize) -> Vec<Mix> {
    let ratio = old as f32 / new as f32;
    let reach = ratio.max(1.0);
    (0..new)
        .map(|n| {
            let middle = (n as f32 + 0.5) * ratio;
            let first = ((middle - reach).floor().max(0.0) as usize).min(old - 1);
            let end = ((middle + reach).ceil() as usize).clamp(first + 1, old);
            let share = |pixel: usize| (1.0 - ((pixel as f32 - (middle - 0.5)) / reach).abs()).max(0.0);
            let shares: Vec<f32> = (first..end).map(share).collect();
            let sum: f32 = shares.iter().sum();
            Mix { first, shares: shares.into_iter().map(|share| share / sum).collect() }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::resized;
    use crate::{Grey, Rgb};

    fn row(levels: &[u8]) -> Grey {
        Grey::from_fn(levels.len(), 1, |x, _| [levels[x]])
    }

    #[test]
    fn a_plain_picture_stays_plain_in_any_size() {
        let plain = Rgb::from_fn(7, 5, |_, _| [3, 200, 255]);
        for sides in [(1, 1), (7, 5), (6, 9), (40, 2)] {
            let other = resized(&plain, sides);
            assert_eq!(other.sides(), sides);
            assert!(other.pixels().iter().all(|pixel| *pixel == [3, 200, 255]), "{sides:?}");
        }
    }

    #[test]
    fn half_as_many_pixels_are_means_of_their_neighbours() {
        // Two to one: the middle of the second lies between the third and the fourth, and a triangle of
        // two pixels each way weighs them 3 : 3 and those beside them 1 : 1, so
        // (1*10 + 3*20 + 3*60 + 1*70) / 8 = 40. The first has nothing on its left:
        // (3*0 + 3*10 + 1*20) / 7 = 7.1; the last (1*60 + 3*70 + 3*100) / 7 = 81.4.
        assert_eq!(resized(&row(&[0, 10, 20, 60, 70, 100]), (3, 1)).bytes(), [7, 40, 81]);
    }

    #[test]
    fn twice_as_many_pixels_lie_between_the_old_ones() {
        // One to two: a quarter of a pixel beside each old one, so 3 : 1.
        assert_eq!(resized(&row(&[0, 100]), (4, 1)).bytes(), [0, 25, 75, 100]);
    }

    #[test]
    fn a_thin_line_is_not_lost() {
        let line = Grey::from_fn(90, 90, |x, _| [if x == 44 { 0 } else { 255 }]);
        let small = resized(&line, (9, 9));
        assert!((0..9).all(|y| small.at(4, y)[0] < 250));
    }
}
