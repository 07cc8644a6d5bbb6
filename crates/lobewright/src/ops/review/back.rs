//! How a build came back.

use crate::ops::shop::ShopError;
use crate::ops::teardown::{CameBack, came_back, counted};
use records::{BuildId, Mark, Shop};

/// What a teardown showed.
#[derive(Debug, Clone, PartialEq)]
pub struct Back {
    /// Hours run, if that is said.
    pub hours: Option<f64>,
    /// The highest speed that it saw, as it was written, if that is said.
    pub speed: Option<String>,
    /// The highest boost, likewise.
    pub boost: Option<String>,
    /// Tips without a mark, with a light one, with a heavy one, and those that nobody looked at.
    pub marks: [usize; 4],
    /// Tips that agree with what was predicted, that touched unpredicted, that did not touch
    /// although it was predicted, and that nobody looked at.
    pub says: [usize; 4],
}

impl Back {
    /// Tips that touched.
    #[must_use]
    pub fn touched(&self) -> usize {
        self.marks[1] + self.marks[2]
    }
}

/// How a build came back the last time; nothing while it runs.
pub(super) fn of(shop: &Shop, build: BuildId) -> Result<Option<Back>, ShopError> {
    Ok(came_back(shop, build)?.last().map(told))
}

fn told(came: &CameBack) -> Back {
    let count = |mark: Mark| came.tips.iter().filter(|tip| tip.contact() == mark).count();
    Back {
        hours: came.hours(),
        speed: came.teardown.speed.as_ref().map(|speed| speed.text().to_owned()),
        boost: came.teardown.boost.as_ref().map(|boost| boost.text().to_owned()),
        marks: [Mark::None, Mark::Light, Mark::Heavy, Mark::NotLookedAt].map(count),
        says: counted(&came.tips),
    }
}
