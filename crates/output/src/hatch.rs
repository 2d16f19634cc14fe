//! Hatch lines cut to an outline, for formats that know no hatch.

use std::f64::consts::FRAC_1_SQRT_2;

use dossier::drawing::{Hatch, Point, at};

/// Most lines of one direction in one shape: beyond it they move apart.
const MOST: f64 = 400.0;

/// What encloses a hatch.
pub(crate) enum Outline<'a> {
    Polygon(&'a [Point]),
    Circle { centre: Point, radius: f64 },
}

/// One line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Segment {
    pub(crate) from: Point,
    pub(crate) to: Point,
}

/// Hatch lines `pitch` mm apart; where an outline crosses itself, what is enclosed an even number of times stays free.
pub(crate) fn lines(outline: &Outline<'_>, hatch: Hatch, pitch: f64) -> Vec<Segment> {
    let slopes: &[f64] = match hatch {
        Hatch::None => &[],
        Hatch::Rising => &[1.0],
        Hatch::Falling => &[-1.0],
        Hatch::Crossed => &[1.0, -1.0],
    };
    slopes.iter().flat_map(|&slope| family(outline, slope, pitch)).collect()
}

/// One direction: places are turned so that the lines are level, `along` them and `across` them.
fn family(outline: &Outline<'_>, slope: f64, pitch: f64) -> Vec<Segment> {
    let turn = |p: Point| at((p.x + slope * p.y) * FRAC_1_SQRT_2, (p.y - slope * p.x) * FRAC_1_SQRT_2);
    let back = |p: Point| at((p.x - slope * p.y) * FRAC_1_SQRT_2, (p.y + slope * p.x) * FRAC_1_SQRT_2);
    let corners: Vec<Point> = match outline {
        Outline::Polygon(points) => points.iter().copied().map(turn).collect(),
        Outline::Circle { centre, radius } => [-radius, *radius].map(|r| at(turn(*centre).x, turn(*centre).y + r)).into(),
    };
    let low = corners.iter().map(|p| p.y).fold(f64::INFINITY, f64::min);
    let high = corners.iter().map(|p| p.y).fold(f64::NEG_INFINITY, f64::max);
    let pitch = pitch.max((high - low) / MOST);
    let mut segments = Vec::new();
    // Lines lie on whole multiples of the pitch, so that neighbouring shapes share them.
    let mut number = (low / pitch).ceil();
    while number * pitch < high {
        let across = number * pitch;
        let mut cuts: Vec<f64> = match outline {
            Outline::Polygon(_) => {
                let ends = corners.iter().zip(corners.iter().cycle().skip(1));
                let crossing = ends.filter(|(a, b)| (a.y <= across) != (b.y <= across));
                crossing.map(|(a, b)| a.x + (b.x - a.x) * (across - a.y) / (b.y - a.y)).collect()
            }
            Outline::Circle { centre, radius } => {
                let centre = turn(*centre);
                let half = (radius * radius - (across - centre.y).powi(2)).max(0.0).sqrt();
                vec![centre.x - half, centre.x + half]
            }
        };
        cuts.sort_by(f64::total_cmp);
        segments.extend(cuts.chunks_exact(2).map(|pair| Segment { from: back(at(pair[0], across)), to: back(at(pair[1], across)) }));
        number += 1.0;
    }
    segments
}

#[cfg(test)]
mod tests {
    use super::{Outline, lines};
    use dossier::drawing::{Hatch, at};

    /// Lines `pitch` apart sweep the area: their length times the pitch comes close to it.
    fn swept(outline: &Outline<'_>, hatch: Hatch, pitch: f64) -> f64 {
        lines(outline, hatch, pitch).iter().map(|s| (s.to.x - s.from.x).hypot(s.to.y - s.from.y) * pitch).sum()
    }

    #[test]
    fn lines_cover_the_area_and_nothing_else() {
        let angle = [at(0.0, 0.0), at(40.0, 0.0), at(40.0, 10.0), at(10.0, 10.0), at(10.0, 30.0), at(0.0, 30.0)];
        for hatch in [Hatch::Rising, Hatch::Falling] {
            let area = swept(&Outline::Polygon(&angle), hatch, 0.2);
            assert!((area - 600.0).abs() < 3.0, "{area}");
        }
        let disc = Outline::Circle { centre: at(3.0, -7.0), radius: 10.0 };
        let area = swept(&disc, Hatch::Crossed, 0.1) / 2.0;
        assert!((area - 314.16).abs() < 2.0, "{area}");
        for line in lines(&disc, Hatch::Crossed, 1.0) {
            assert!([line.from, line.to].iter().all(|p| ((p.x - 3.0).hypot(p.y + 7.0) - 10.0).abs() < 1e-9));
        }
    }

    #[test]
    fn a_hatch_never_grows_without_bound() {
        let wide = [at(-1e6, -1e6), at(1e6, -1e6), at(1e6, 1e6), at(-1e6, 1e6)];
        let count = lines(&Outline::Polygon(&wide), Hatch::Rising, 1e-3).len();
        assert!((100..=401).contains(&count), "{count}");
        assert_eq!(lines(&Outline::Polygon(&wide), Hatch::None, 1.0), []);
    }
}
