//! One of several of a kind, counted from 1.

/// Number `number` of `of`, where a picture tells at most `MOST` apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Counted<const MOST: usize> {
    number: usize,
    of: usize,
}

impl<const MOST: usize> Counted<MOST> {
    /// The most that are told apart in a picture.
    pub const MOST: usize = MOST;

    /// Number `number` of `of`, counted from 1; none where there is no such one, or more than
    /// [`Counted::MOST`] of them.
    #[must_use]
    pub fn new(number: usize, of: usize) -> Option<Self> {
        ((1..=of).contains(&number) && of <= MOST).then_some(Self { number, of })
    }

    /// Its number, from 1.
    #[must_use]
    pub const fn number(self) -> usize {
        self.number
    }

    /// How many there are.
    #[must_use]
    pub const fn of(self) -> usize {
        self.of
    }
}

/// One of the stations round a rotor housing at which its width is read.
pub type WidthStation = Counted<24>;

/// One of the journals of a shaft, counted from the front: of a kind at most the mains of six rotors.
pub type Journal = Counted<7>;

#[cfg(test)]
mod tests {
    use super::Journal;

    #[test]
    fn a_journal_that_is_not_there_is_refused() {
        assert!(Journal::new(0, 2).is_none() && Journal::new(3, 2).is_none());
        assert!(Journal::new(1, 8).is_none());
        let last = Journal::new(7, 7).unwrap();
        assert_eq!((last.number(), last.of()), (7, 7));
    }
}
