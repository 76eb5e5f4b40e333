//! How far apart two straight lines in space are. Millimetres throughout.

type Point3 = [f64; 3];

/// Shortest distance between two segments in space (the usual two-parameter minimum, clamped to both).
pub fn between_segments(a: (Point3, Point3), b: (Point3, Point3)) -> f64 {
    let minus = |p: Point3, q: Point3| [p[0] - q[0], p[1] - q[1], p[2] - q[2]];
    let dot = |p: Point3, q: Point3| p[0] * q[0] + p[1] * q[1] + p[2] * q[2];
    let (u, v, w) = (minus(a.1, a.0), minus(b.1, b.0), minus(a.0, b.0));
    let (uu, uv, vv, uw, vw) = (dot(u, u), dot(u, v), dot(v, v), dot(u, w), dot(v, w));
    let slant = uu * vv - uv * uv;
    let at = |s: f64, t: f64| {
        let d = [0, 1, 2].map(|i| w[i] + u[i] * s - v[i] * t);
        libm::sqrt(dot(d, d))
    };
    let unit = |value: f64| if value.is_finite() { value.clamp(0.0, 1.0) } else { 0.0 };
    // Inside both, or on the four borders of the square of parameters.
    let mut least = f64::INFINITY;
    if slant > 1e-12 {
        let (s, t) = ((uv * vw - vv * uw) / slant, (uu * vw - uv * uw) / slant);
        if (0.0..=1.0).contains(&s) && (0.0..=1.0).contains(&t) {
            least = at(s, t);
        }
    }
    for end in [0.0, 1.0] {
        least = least.min(at(end, unit((vw + uv * end) / vv)));
        least = least.min(at(unit((uv * end - uw) / uu), end));
    }
    least
}

#[cfg(test)]
mod tests {
    use super::between_segments;

    #[test]
    fn segments_in_space() {
        // Two rails crossing square, 5 apart.
        let a = ([0.0, 0.0, 0.0], [10.0, 0.0, 0.0]);
        assert_eq!(between_segments(a, ([5.0, -5.0, 5.0], [5.0, 5.0, 5.0])), 5.0);
        // End to end on one line: a gap of 2.
        assert_eq!(between_segments(a, ([12.0, 0.0, 0.0], [20.0, 0.0, 0.0])), 2.0);
        // 3-4-5: nearest are the end of one and the start of the other.
        assert_eq!(between_segments(a, ([13.0, 4.0, 0.0], [20.0, 4.0, 0.0])), 5.0);
        // Side by side.
        assert_eq!(between_segments(a, ([2.0, 0.0, 7.0], [8.0, 0.0, 7.0])), 7.0);
    }
}
