//! The order of lines: each has a rank, with room between for what comes later.
//!
//! A line that moves gets a new rank, which is a new row in a table that only grows. So as few
//! as possible move: those outside the longest run that is in order already.

/// Room between two neighbours: thirty-two lines can be put between them, each in the middle of
/// what is left, before the file is numbered anew.
const ROOM: i64 = 1 << 32;

/// Ranks in rising order for lines of which some have one.
pub(crate) fn ranks(current: &[Option<i64>]) -> Vec<i64> {
    let kept = longest_rising(current);
    let mut ranks = vec![0; current.len()];
    let mut before = None;
    let mut next = 0;
    for end in kept.iter().copied().map(Some).chain([None]) {
        let to = end.unwrap_or(current.len());
        let after = end.and_then(|at| current[at]);
        match between(before, after, to - next) {
            Some(fresh) => ranks[next..to].copy_from_slice(&fresh),
            None => return anew(current.len()),
        }
        if let (Some(at), Some(rank)) = (end, after) {
            ranks[at] = rank;
            before = Some(rank);
            next = at + 1;
        }
    }
    ranks
}

fn anew(count: usize) -> Vec<i64> {
    (1..=count as i64).map(|number| number * ROOM).collect()
}

/// So many ranks between two, or beyond one; nothing if there is no room.
fn between(before: Option<i64>, after: Option<i64>, count: usize) -> Option<Vec<i64>> {
    let count = count as i64;
    let (from, step) = match (before, after) {
        (None, None) => (0, ROOM),
        (Some(before), None) => (before, ROOM),
        (None, Some(after)) => (after.checked_sub(ROOM.checked_mul(count + 1)?)?, ROOM),
        (Some(before), Some(after)) => (before, after.checked_sub(before)? / (count + 1)),
    };
    if count > 0 && step == 0 {
        return None;
    }
    (1..=count).map(|number| from.checked_add(step.checked_mul(number)?)).collect()
}

/// Places of the longest rising run among those that have a rank (patience sorting).
fn longest_rising(current: &[Option<i64>]) -> Vec<usize> {
    // The end of the best run of each length, and what comes before each in its run.
    let mut ends: Vec<(i64, usize)> = Vec::new();
    let mut before: Vec<Option<usize>> = vec![None; current.len()];
    for (at, rank) in current.iter().enumerate() {
        let Some(rank) = *rank else { continue };
        let length = ends.partition_point(|(end, _)| *end < rank);
        before[at] = length.checked_sub(1).map(|shorter| ends[shorter].1);
        match ends.get_mut(length) {
            Some(end) => *end = (rank, at),
            None => ends.push((rank, at)),
        }
    }
    let mut run = Vec::with_capacity(ends.len());
    let mut at = ends.last().map(|(_, at)| *at);
    while let Some(here) = at {
        run.push(here);
        at = before[here];
    }
    run.reverse();
    run
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn what_is_in_order_stays() {
        assert_eq!(ranks(&[Some(1), None, Some(9)]), [1, 5, 9]);
        assert_eq!(ranks(&[Some(1), Some(9), None]), [1, 9, 9 + ROOM]);
        assert_eq!(ranks(&[None, Some(1)]), [1 - ROOM, 1]);
        assert_eq!(ranks(&[]), [0; 0]);
    }

    #[test]
    fn one_that_moves_moves_alone() {
        let moved = ranks(&[Some(2 * ROOM), Some(3 * ROOM), Some(ROOM)]);
        assert_eq!(moved, [2 * ROOM, 3 * ROOM, 4 * ROOM]);
        let moved = ranks(&[Some(3 * ROOM), Some(ROOM), Some(2 * ROOM)]);
        assert_eq!(moved[1..], [ROOM, 2 * ROOM]);
    }

    #[test]
    fn without_room_all_are_numbered_anew() {
        assert_eq!(ranks(&[Some(1), None, Some(2)]), [ROOM, 2 * ROOM, 3 * ROOM]);
        assert_eq!(ranks(&[Some(i64::MAX), None]), [ROOM, 2 * ROOM]);
        assert_eq!(ranks(&[None, Some(i64::MIN)]), [ROOM, 2 * ROOM]);
    }

    proptest! {
        #[test]
        fn ranks_rise_whatever_was_there(
            current in prop::collection::vec(prop::option::of(-20i64..20), 0..30)
        ) {
            let ranks = ranks(&current);
            prop_assert_eq!(ranks.len(), current.len());
            prop_assert!(ranks.windows(2).all(|pair| pair[0] < pair[1]));
        }
    }
}
