//! What a build file left out and was taken as assumed: every output that rests on it says so.

/// Sentences, each once, in the order in which they were taken.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Assumed {
    sentences: Vec<String>,
}

impl Assumed {
    /// Notes an assumption.
    pub fn note(&mut self, sentence: impl Into<String>) {
        let sentence = sentence.into();
        if !self.sentences.contains(&sentence) {
            self.sentences.push(sentence);
        }
    }

    /// All of them.
    #[must_use]
    pub fn sentences(&self) -> &[String] {
        &self.sentences
    }
}
