//! Values that copies share until one of them is changed.

use std::ops::{Deref, DerefMut};
use std::sync::Arc;

/// A value that costs nothing to copy: copies share it, and one that is changed gets its own first. For what is large and changes
/// seldom, like the facts of a position: after an edit of one position all others go on as they are.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Shared<T>(Arc<T>);

impl<T> From<T> for Shared<T> {
    fn from(value: T) -> Self {
        Self(Arc::new(value))
    }
}

impl<T> Deref for Shared<T> {
    type Target = T;

    fn deref(&self) -> &T {
        &self.0
    }
}

impl<T: Clone> DerefMut for Shared<T> {
    fn deref_mut(&mut self) -> &mut T {
        Arc::make_mut(&mut self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_change_reaches_no_other_copy() {
        let first = Shared::from(vec![1, 2]);
        let mut second = first.clone();
        assert!(Arc::ptr_eq(&first.0, &second.0), "a copy is shared");
        second.push(3);
        assert_eq!((&*first, &*second), (&vec![1, 2], &vec![1, 2, 3]));
        assert_ne!(first, second);
    }
}
