//! A picture as if it were evenly lit.

use lidcard_pixels::{Grey, resized};

/// How many times smaller the picture is that shows how the light falls.
const SMALLER: usize = 8;
/// What is as light as its neighbourhood on the mean.
pub(crate) const MEAN: u8 = 128;

/// A picture in which everything is compared with its neighbourhood: what is as light as that is [`MEAN`],
/// ink far darker and paper beside it lighter, whatever light falls on both.
pub(crate) fn even(grey: &Grey) -> Grey {
    // Light changes slowly: a small picture shows it as well.
    let small = |pixels: usize| pixels.div_ceil(SMALLER);
    let light = resized(grey, (small(grey.width()), small(grey.height())));
    // Some squares of any code wide, and narrower than a shadow.
    let reach = (light.width().max(light.height()) / 48).max(1);
    let light = mean_of_rows(&mean_of_rows(&light, reach).turned(), reach).turned();
    let means = resized(&light, grey.sides());
    let mut even = grey.clone();
    for ([pixel], [mean]) in even.pixels_mut().iter_mut().zip(means.pixels()) {
        let share = u16::from(*pixel) * u16::from(MEAN) / u16::from(*mean).max(1);
        *pixel = u8::try_from(share).unwrap_or(u8::MAX);
    }
    even
}

/// Each pixel as the mean of those up to `reach` beside it.
fn mean_of_rows(grey: &Grey, reach: usize) -> Grey {
    let width = grey.width();
    let mut means = grey.clone();
    for (row, out) in grey.pixels().chunks_exact(width).zip(means.pixels_mut().chunks_exact_mut(width)) {
        let mut sum: usize = row.iter().take(reach).map(|[p]| usize::from(*p)).sum();
        for x in 0..width {
            sum += row.get(x + reach).map_or(0, |[p]| usize::from(*p));
            let first = x.saturating_sub(reach);
            let count = (x + reach).min(width - 1) - first + 1;
            out[x] = [u8::try_from(sum / count).unwrap_or(u8::MAX)];
            if x >= reach {
                sum -= usize::from(row[x - reach][0]);
            }
        }
    }
    means
}

/// How light it is at a place between pixels; outside it is paper.
pub(crate) fn at(grey: &Grey, [x, y]: [f64; 2]) -> f64 {
    let (x, y) = (x - 0.5, y - 0.5);
    let (left, top) = (x.floor(), y.floor());
    let (right, below) = (x - left, y - top);
    let pixel = |dx: f64, dy: f64| {
        let (column, row) = (left + dx, top + dy);
        let inside =
            column >= 0.0 && row >= 0.0 && column < grey.width() as f64 && row < grey.height() as f64;
        if inside { f64::from(grey.at(column as usize, row as usize)[0]) } else { f64::from(u8::MAX) }
    };
    let of_row = |dy: f64| pixel(0.0, dy) * (1.0 - right) + pixel(1.0, dy) * right;
    of_row(0.0) * (1.0 - below) + of_row(1.0) * below
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{MEAN, at, even, mean_of_rows};
    use lidcard_pixels::Grey;

    #[test]
    fn a_mean_is_that_of_the_neighbours_that_are_there() {
        let row = Grey::new(5, 1, [0, 10, 20, 30, 100].map(|p| [p]).to_vec()).unwrap();
        // By hand: (0 + 10)/2, (0 + 10 + 20)/3, (10 + 20 + 30)/3, (20 + 30 + 100)/3, (30 + 100)/2.
        assert_eq!(mean_of_rows(&row, 1).bytes(), [5, 10, 20, 50, 65]);
        assert_eq!(mean_of_rows(&row, 9).bytes(), [32; 5]);
    }

    #[test]
    fn stripes_in_light_that_fades_stay_apart() {
        // Ink reflects a fifth of what paper does; the light falls to a sixth across the picture, so
        // paper in the dark is darker than ink in the light.
        let light = |x: usize| 250.0 - x as f64 * 0.52;
        let ink = |x: usize| (x / 4).is_multiple_of(2);
        let picture = Grey::from_fn(400, 40, |x, _| [(light(x) * if ink(x) { 0.2 } else { 1.0 }) as u8]);
        assert!(picture.at(396, 5)[0] < picture.at(0, 5)[0]);
        let even = even(&picture);
        for (n, [pixel]) in even.pixels().iter().enumerate() {
            let x = n % even.width();
            assert_eq!(*pixel < MEAN, ink(x), "at {x}: {pixel}");
        }
    }

    #[test]
    fn between_pixels_it_is_as_light_as_those_around() {
        let picture = Grey::new(2, 2, [0, 100, 200, 40].map(|p| [p]).to_vec()).unwrap();
        // Middles of pixels lie at halves; in the middle of all four (0 + 100 + 200 + 40) / 4.
        for (place, level) in
            [([0.5, 0.5], 0.0), ([1.0, 0.5], 50.0), ([1.0, 1.0], 85.0), ([-9.0, 3.0], 255.0)]
        {
            assert!((at(&picture, place) - level).abs() < 1e-9, "{place:?}");
        }
    }
}
