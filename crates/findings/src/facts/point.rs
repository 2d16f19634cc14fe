//! One completion of the survey.

use std::sync::Arc;

/// Coordinates that a point has of its own before it takes them all.
const OWN: usize = 16;

/// One completion of the survey: for each uncertain fact a coordinate, 0 to 1 through a range, or an index into a list.
///
/// Points of one survey share the numbers of the point that they began as, and have of their own only what was moved: most checks move a
/// handful of facts out of a few hundred, and there are tens of thousands of checks.
#[derive(Clone, Debug, Default)]
pub struct Point {
    began: Arc<[f64]>,
    moved: Vec<(u16, f64)>,
}

impl Point {
    /// With these coordinates.
    pub(super) fn of(coordinates: Arc<[f64]>) -> Self {
        Self { began: coordinates, moved: Vec::new() }
    }

    /// The coordinate at `at` (see [`super::Survey::uncertain`]).
    #[must_use]
    pub fn get(&self, at: usize) -> f64 {
        self.moved.iter().find(|(own, _)| usize::from(*own) == at).map_or_else(|| self.began[at], |(_, value)| *value)
    }

    /// Sets a coordinate.
    pub fn set(&mut self, at: usize, value: f64) {
        if let Some((_, own)) = self.moved.iter_mut().find(|(own, _)| usize::from(*own) == at) {
            *own = value;
            return;
        }
        match u16::try_from(at) {
            Ok(place) if self.moved.len() < OWN => self.moved.push((place, value)),
            _ => {
                let mut all: Arc<[f64]> = (0..self.len()).map(|at| self.get(at)).collect();
                if let Some(own) = Arc::make_mut(&mut all).get_mut(at) {
                    *own = value;
                }
                *self = Self::of(all);
            }
        }
    }

    /// How many coordinates.
    #[must_use]
    pub fn len(&self) -> usize {
        self.began.len()
    }

    /// True when nothing is uncertain.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.began.is_empty()
    }

    /// Places whose coordinates may not be those of the survey's middle, with their coordinates; of no fact twice.
    pub fn moved<'p>(&'p self, middle: &'p Self) -> impl Iterator<Item = (usize, f64)> + 'p {
        let all = if Arc::ptr_eq(&self.began, &middle.began) { 0 } else { self.len() };
        let own = self.moved.iter().filter(move |_| all == 0).map(|(at, value)| (usize::from(*at), *value));
        own.chain((0..all).map(|at| (at, self.get(at)))).filter(|(at, value)| value.to_bits() != middle.get(*at).to_bits())
    }
}

impl PartialEq for Point {
    fn eq(&self, other: &Self) -> bool {
        self.len() == other.len() && self.moved(other).next().is_none() && other.moved(self).next().is_none()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_point_is_what_was_set() {
        let middle = Point::of((0..40).map(f64::from).collect());
        let mut point = middle.clone();
        let mut plain: Vec<f64> = (0..40).map(f64::from).collect();
        // More coordinates than a point keeps apart, some of them twice.
        let mut value = 100.0;
        for at in [3, 7, 3, 0, 39].into_iter().chain(5..35).chain([7]) {
            value += 1.0;
            point.set(at, value);
            plain[at] = value;
            assert!((0..40).all(|at| point.get(at).to_bits() == plain[at].to_bits()), "{point:?}");
            let mut again = middle.clone();
            point.moved(&middle).for_each(|(at, value)| again.set(at, value));
            assert_eq!(again, point);
            assert_eq!(point, again);
            assert_ne!(again, middle);
            assert_ne!(middle, again);
        }
        // Set back, it is the middle again.
        let mut back = middle.clone();
        back.set(2, 9.0);
        back.set(2, 2.0);
        assert_eq!(back, middle);
        assert_eq!(middle.get(3).to_bits(), 3f64.to_bits());
    }
}
