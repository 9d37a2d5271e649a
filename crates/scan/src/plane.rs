//! From the squares of a code to places in the picture: a flat sheet seen from anywhere.

/// A place.
pub(crate) type Point = [f64; 2];

/// The eight numbers of a perspective.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Plane([f64; 8]);

impl Plane {
    /// The perspective that brings places of a code nearest to places in the picture, by least squares;
    /// four pairs or more.
    pub(crate) fn through(pairs: &[(Point, Point)]) -> Option<Self> {
        // Normal equations, each row of them with what it comes to behind it.
        let mut rows = [[0.0; 9]; 8];
        for ([x, y], [u, v]) in pairs {
            let of_u = [*x, *y, 1.0, 0.0, 0.0, 0.0, -u * x, -u * y, *u];
            let of_v = [0.0, 0.0, 0.0, *x, *y, 1.0, -v * x, -v * y, *v];
            for line in [of_u, of_v] {
                for (row, factor) in rows.iter_mut().zip(line) {
                    for (sum, term) in row.iter_mut().zip(line) {
                        *sum += factor * term;
                    }
                }
            }
        }
        for turn in 0..8 {
            let largest = (turn..8).max_by(|a, b| rows[*a][turn].abs().total_cmp(&rows[*b][turn].abs()))?;
            rows.swap(turn, largest);
            let lead = rows[turn];
            if lead[turn].abs() < 1e-12 {
                return None;
            }
            for other in (0..8).filter(|other| *other != turn) {
                let factor = rows[other][turn] / lead[turn];
                for (cell, part) in rows[other].iter_mut().zip(lead) {
                    *cell -= factor * part;
                }
            }
        }
        Some(Self(std::array::from_fn(|n| rows[n][8] / rows[n][n])))
    }

    /// Where a place of the code lies in the picture.
    pub(crate) fn at(&self, [x, y]: Point) -> Point {
        let [a, b, c, d, e, f, g, h] = self.0;
        let away = g * x + h * y + 1.0;
        [(a * x + b * y + c) / away, (d * x + e * y + f) / away]
    }

    /// How far in the picture one square to the right and one square down are, at a place of the code.
    pub(crate) fn steps(&self, [x, y]: Point) -> [Point; 2] {
        let here = self.at([x - 0.5, y - 0.5]);
        let less = |there: Point| [there[0] - here[0], there[1] - here[1]];
        [less(self.at([x + 0.5, y - 0.5])), less(self.at([x - 0.5, y + 0.5]))]
    }
}

#[cfg(test)]
mod tests {
    use super::Plane;

    #[test]
    fn a_perspective_is_found_again_from_four_places_and_from_more() {
        let far = |[x, y]: [f64; 2]| {
            let away = 0.002 * x + 0.004 * y + 1.0;
            [(3.0 * x + 0.2 * y + 100.0) / away, (-0.1 * x + 2.5 * y + 40.0) / away]
        };
        let places = [[3.5, 3.5], [90.0, 3.5], [3.5, 90.0], [87.0, 87.0], [40.0, 60.0]];
        for count in [4, 5] {
            let pairs: Vec<_> = places[..count].iter().map(|place| (*place, far(*place))).collect();
            let plane = Plane::through(&pairs).expect("a plane");
            let (seen, wanted) = (plane.at([20.0, 70.0]), far([20.0, 70.0]));
            assert!((seen[0] - wanted[0]).abs() < 1e-6 && (seen[1] - wanted[1]).abs() < 1e-6, "{seen:?}");
        }
        // Places on one line lie in many planes.
        let line: Vec<_> = (0..5).map(|n| ([f64::from(n), 0.0], [f64::from(n), 0.0])).collect();
        assert!(Plane::through(&line).is_none());
    }
}
