//! At what time a rotor is drawn.

/// The rotor's state in a build's course.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum When {
    /// As it was read; nothing is planned for it.
    AsItIs,
    /// As it was read after its cut, with nothing left to cut.
    AsMeasured,
    /// As it was read, with a cut planned.
    Before,
    /// As the planned cut leaves it.
    After,
    /// As it was read after a cut, with a second one planned.
    AfterFirst,
    /// As the second cut leaves it.
    AfterSecond,
}

impl When {
    /// In words, inside a sentence.
    pub(crate) const fn words(self) -> &'static str {
        match self {
            Self::AsItIs => "as it is",
            Self::AsMeasured => "as measured",
            Self::Before => "before the cut",
            Self::After => "after the cut",
            Self::AfterFirst => "after the first cut",
            Self::AfterSecond => "after the second cut",
        }
    }

    /// In words, as a title.
    pub(crate) const fn title(self) -> &'static str {
        match self {
            Self::AsItIs => "As it is",
            Self::AsMeasured => "As measured",
            Self::Before => "Before the cut",
            Self::After => "After the cut",
            Self::AfterFirst => "After the first cut",
            Self::AfterSecond => "After the second cut",
        }
    }
}
