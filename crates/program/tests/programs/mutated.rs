//! One number changed by chance: what is harm is refused.

use crate::mutants::{Chance, Count, Subject};
use crate::sample::{lathe, mill, step, taper};

/// Every harmful mutant of 300 is refused; what harm is, `truth.rs` finds by itself. Most of what
/// is harmless passes.
#[test]
fn harmful_mutants_are_refused() {
    let mut count = Count::default();
    let mut chance = Chance::new(1);
    Subject::new(step(), mill()).tried(&mut chance, 150, &mut count);
    Subject::new(taper(), mill()).tried(&mut chance, 50, &mut count);
    Subject::new(step(), lathe()).tried(&mut chance, 50, &mut count);
    Subject::new(taper(), lathe()).tried(&mut chance, 50, &mut count);
    assert!(count.missed.is_empty(), "{count:#?}");
    assert_eq!(count.mutants, 300);
    // Chance finds enough of either kind to say something.
    assert!(count.harmful > 60 && count.passed > 60, "{count:#?}");
}
