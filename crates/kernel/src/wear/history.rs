//! A part's sizes and the runs between them.

use super::error::WearError;

/// One reading of a size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Size {
    /// The size at 20 °C, m.
    pub m: f64,
    /// Its standard uncertainty, m, without what it shares with the others: a zero of the one
    /// gauge that read them all cancels in what is lost. With another gauge its zero is part of it.
    pub u_m: f64,
}

/// From assembly to teardown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Run {
    /// Hours run, more than none; taken as exact.
    pub hours: f64,
    /// Which of the sizes it was assembled with, after any cut; from 0.
    pub assembled: usize,
    /// Which of the sizes it came apart with, before any cut; from 0. It may be the one that the
    /// next run was assembled with: their losses are then correlated, and weighed so.
    pub apart: usize,
}

/// Which way wear moves a size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wears {
    /// It becomes less: a width over the lands, a step, a seal's height.
    Less,
    /// It becomes more: the width of a groove, a bearing's clearance.
    More,
}

/// A part's sizes and the runs between them.
#[derive(Debug, Clone, PartialEq)]
pub struct History {
    /// Every reading that a run begins or ends with, or from which life is counted.
    pub sizes: Vec<Size>,
    /// The runs, in any order; each has a reading at both its ends of its own kind.
    pub runs: Vec<Run>,
    /// Which way wear goes.
    pub wears: Wears,
}

impl History {
    /// What a run took, m: positive where it wore.
    pub(super) fn lost_m(&self, run: &Run) -> f64 {
        let less = self.sizes[run.assembled].m - self.sizes[run.apart].m;
        match self.wears {
            Wears::Less => less,
            Wears::More => -less,
        }
    }

    /// Share of a size's error in what a run lost, for a size that wear makes less.
    pub(super) fn share(run: &Run, size: usize) -> f64 {
        f64::from(u8::from(run.assembled == size)) - f64::from(u8::from(run.apart == size))
    }

    pub(super) fn check(&self) -> Result<(), WearError> {
        if self.runs.is_empty() {
            return Err(WearError::NoRuns);
        }
        for (index, size) in self.sizes.iter().enumerate() {
            let &Size { m, u_m } = size;
            if !(m.is_finite() && u_m.is_finite() && u_m > 0.0) {
                return Err(WearError::Size { reading: index + 1, m, u_m });
            }
        }
        let sizes = self.sizes.len();
        for (index, run) in self.runs.iter().enumerate() {
            let &Run { hours, assembled, apart } = run;
            if !(hours.is_finite() && hours > 0.0) {
                return Err(WearError::Hours { run: index + 1, hours });
            }
            if assembled >= sizes || apart >= sizes || assembled == apart {
                return Err(WearError::Readings {
                    run: index + 1,
                    assembled: assembled + 1,
                    apart: apart + 1,
                    sizes,
                });
            }
            for (first, other) in self.runs[..index].iter().enumerate() {
                let (with, reading) = if other.assembled == assembled {
                    ("begin with", assembled)
                } else if other.apart == apart {
                    ("end with", apart)
                } else {
                    continue;
                };
                return Err(WearError::Twice {
                    first: first + 1,
                    second: index + 1,
                    with,
                    reading: reading + 1,
                });
            }
        }
        Ok(())
    }
}
