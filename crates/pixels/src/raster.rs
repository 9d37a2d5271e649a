//! A rectangle of pixels.

/// Pixels row by row from the top, each with `N` levels from black (0) to full (255).
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Raster<const N: usize> {
    width: usize,
    height: usize,
    pixels: Vec<[u8; N]>,
}

/// Shades of grey.
pub type Grey = Raster<1>;
/// Red, green and blue.
pub type Rgb = Raster<3>;

impl<const N: usize> Raster<N> {
    /// A picture of these pixels, or nothing where they are more or fewer than its sides say.
    pub fn new(width: usize, height: usize, pixels: Vec<[u8; N]>) -> Option<Self> {
        (width.checked_mul(height) == Some(pixels.len())).then_some(Self { width, height, pixels })
    }

    /// A picture whose pixels are asked for one by one: how far from the left, how far from the top.
    pub fn from_fn(width: usize, height: usize, mut pixel: impl FnMut(usize, usize) -> [u8; N]) -> Self {
        let mut pixels = Vec::with_capacity(width * height);
        for y in 0..height {
            pixels.extend((0..width).map(|x| pixel(x, y)));
        }
        Self { width, height, pixels }
    }

    /// Pixels in a row.
    pub fn width(&self) -> usize {
        self.width
    }

    /// Rows.
    pub fn height(&self) -> usize {
        self.height
    }

    /// Width and height.
    pub fn sides(&self) -> (usize, usize) {
        (self.width, self.height)
    }

    /// All pixels, row by row.
    pub fn pixels(&self) -> &[[u8; N]] {
        &self.pixels
    }

    /// All pixels, to be changed.
    pub fn pixels_mut(&mut self) -> &mut [[u8; N]] {
        &mut self.pixels
    }

    /// The bytes of all pixels, row by row.
    pub fn bytes(&self) -> &[u8] {
        self.pixels.as_flattened()
    }

    /// One pixel. Panics outside the picture, as an index does.
    pub fn at(&self, x: usize, y: usize) -> [u8; N] {
        assert!(x < self.width, "column {x} of {}", self.width);
        self.pixels[y * self.width + x]
    }

    /// Changes one pixel. Panics outside the picture, as an index does.
    pub fn set(&mut self, x: usize, y: usize, pixel: [u8; N]) {
        assert!(x < self.width, "column {x} of {}", self.width);
        self.pixels[y * self.width + x] = pixel;
    }

    /// The same picture with rows for columns.
    #[must_use]
    pub fn turned(&self) -> Self {
        Self::from_fn(self.height, self.width, |x, y| self.at(y, x))
    }
}

#[cfg(test)]
mod tests {
    use super::Grey;

    #[test]
    fn pixels_that_do_not_fill_the_sides_are_no_picture() {
        assert!(Grey::new(2, 2, vec![[0]; 4]).is_some());
        assert!(Grey::new(2, 2, vec![[0]; 3]).is_none());
        assert!(Grey::new(usize::MAX, 2, vec![[0]; 4]).is_none());
    }

    #[test]
    fn rows_become_columns() {
        let picture = Grey::from_fn(3, 2, |x, y| [(10 * y + x) as u8]);
        assert_eq!(picture.turned().bytes(), [0, 10, 1, 11, 2, 12]);
        assert_eq!(picture.turned().sides(), (2, 3));
    }
}
