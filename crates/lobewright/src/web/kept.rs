//! What took a second to work out and is asked for again at once: a page, then the data of its
//! pictures. Nothing that is kept here is ever stored.

use records::Sha;
use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

/// As many answers as are kept.
const MOST: usize = 8;

/// Answers by the hash of everything that they depend on.
#[derive(Debug)]
pub(super) struct Kept<T> {
    last: Mutex<VecDeque<(Sha, Arc<T>)>>,
}

impl<T> Default for Kept<T> {
    fn default() -> Self {
        Self { last: Mutex::new(VecDeque::new()) }
    }
}

impl<T> Kept<T> {
    /// The answer that is kept, or a new one, which is kept.
    ///
    /// # Errors
    /// Those of working it out.
    pub(super) fn or<E>(
        &self,
        key: Sha,
        work_out: impl FnOnce() -> Result<T, E>,
    ) -> Result<Arc<T>, E> {
        let known = |last: &VecDeque<(Sha, Arc<T>)>| {
            last.iter().find(|(known, _)| *known == key).map(|(_, kept)| Arc::clone(kept))
        };
        if let Some(kept) = known(&self.last.lock().unwrap_or_else(PoisonError::into_inner)) {
            return Ok(kept);
        }
        // Without the lock: others are answered meanwhile.
        let new = Arc::new(work_out()?);
        let mut last = self.last.lock().unwrap_or_else(PoisonError::into_inner);
        last.push_front((key, Arc::clone(&new)));
        last.truncate(MOST);
        Ok(new)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_ones_are_kept_and_the_oldest_goes() {
        let kept = Kept::default();
        let key = |n: usize| Sha::of(&n.to_le_bytes());
        let ask = |n: usize, answer: usize| *kept.or::<()>(key(n), || Ok(answer)).unwrap();
        for n in 0..=MOST {
            assert_eq!(ask(n, 10 * n), 10 * n);
        }
        assert_eq!(ask(MOST, 1), 10 * MOST);
        assert_eq!(ask(1, 1), 10);
        // The first one is gone, and worked out again.
        assert_eq!(ask(0, 7), 7);
        assert_eq!(kept.or(key(99), || Err("no")).unwrap_err(), "no");
    }
}
