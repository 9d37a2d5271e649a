//! The drag coefficient of a hull that moves broadside.

/// Drag coefficient of a cylinder from the side by its length over its breadth, for the area length times
/// breadth: Aeronautical Engineer's Data Book, fig. 5.13(b), with straight lines between, and its ends
/// beyond. A hull is rounder at its ends and has fittings: off by a third either way.
pub fn broadside(slenderness: f64) -> f64 {
    const POINTS: [(f64, f64); 5] = [(1.0, 0.63), (2.0, 0.68), (5.0, 0.74), (10.0, 0.82), (40.0, 0.98)];
    let first = POINTS[0];
    if slenderness <= first.0 {
        return first.1;
    }
    let pair = POINTS.windows(2).find(|pair| slenderness <= pair[1].0);
    pair.map_or(POINTS[POINTS.len() - 1].1, |pair| {
        let share = (slenderness - pair[0].0) / (pair[1].0 - pair[0].0);
        pair[0].1 + (pair[1].1 - pair[0].1) * share
    })
}

#[cfg(test)]
mod tests {
    use super::broadside;

    #[test]
    fn points_lines_and_ends_are_those_of_the_figure() {
        for (ratio, cd) in [(0.5, 0.63), (5.0, 0.74), (7.5, 0.78), (10.0, 0.82), (100.0, 0.98)] {
            assert!((broadside(ratio) - cd).abs() < 1e-12, "{ratio}");
        }
    }
}
