//! Places of a build that are alike, taken together.

use super::{Place, Wanted};

/// Places of one kind with the same parts in them.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) struct Group {
    /// What they are like.
    pub(super) like: Place,
    /// Which places, counted from 0 from the front.
    pub(super) places: Vec<usize>,
}

/// The places of a build in groups.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) struct Slots {
    pub(super) groups: Vec<Group>,
    pub(super) by_mass: bool,
}

impl Slots {
    pub(super) fn of(wanted: &Wanted) -> Self {
        let mut groups: Vec<Group> = Vec::new();
        for (place, like) in wanted.places.iter().enumerate() {
            // A part that is given fills one place: such places are never alike.
            match groups.iter_mut().find(|g| g.like == *like && like.is_open()) {
                Some(group) => group.places.push(place),
                None => groups.push(Group { like: *like, places: vec![place] }),
            }
        }
        Self { groups, by_mass: wanted.by_mass }
    }

    /// Number of places.
    pub(super) fn len(&self) -> usize {
        self.groups.iter().map(|group| group.places.len()).sum()
    }

    /// The group of each place, groups in their order, one place of `without` left out.
    pub(super) fn but_one_of(&self, without: usize) -> Vec<usize> {
        let count = |(k, group): (usize, &Group)| {
            std::iter::repeat_n(k, group.places.len() - usize::from(k == without))
        };
        self.groups.iter().enumerate().flat_map(count).collect()
    }
}

impl Place {
    /// Whether both parts are to be chosen.
    pub(super) const fn is_open(&self) -> bool {
        self.rotor.is_none() && self.housing.is_none()
    }
}
