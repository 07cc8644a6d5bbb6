//! Hatchings: what an area is, without colour.

use maud::{Markup, html};

/// What an area is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Hatch {
    /// A wall of the engine: wide slanting lines.
    Wall,
    /// The rotor's land: dots.
    Land,
    /// Stock to be removed: close lines the other way.
    Stock,
    /// Not allowed, or an overlap of two parts: crossed lines.
    Barred,
}

impl Hatch {
    const ALL: [Self; 4] = [Self::Wall, Self::Land, Self::Stock, Self::Barred];

    const fn name(self) -> &'static str {
        match self {
            Self::Wall => "wall",
            Self::Land => "land",
            Self::Stock => "stock",
            Self::Barred => "barred",
        }
    }

    /// The paint that fills an area with it, in the picture with this name.
    pub(crate) fn paint(self, id: &str) -> String {
        format!("url(#{id}-{})", self.name())
    }

    fn pattern(self, id: &str) -> Markup {
        let name = format!("{id}-{}", self.name());
        // One tile each; lines run past its edge so that neighbours join.
        let (tile, path, class) = match self {
            Self::Wall => ("10", "M-2,2 2,-2M0,10 10,0M8,12 12,8", "hatch"),
            Self::Land => ("7", "M2,2h1.6v1.6h-1.6zM5.5,5.5h1.6v1.6h-1.6z", "dot"),
            Self::Stock => ("6", "M-1,5 1,7M0,0 6,6M5,-1 7,1", "hatch-warm"),
            Self::Barred => ("9", "M0,0 9,9M0,9 9,0", "hatch-warm"),
        };
        html! {
            pattern id=(name) width=(tile) height=(tile) patternUnits="userSpaceOnUse" {
                path class=(class) d=(path) {}
            }
        }
    }
}

/// The definitions of all hatchings, for the picture with this name.
pub(crate) fn definitions(id: &str) -> Markup {
    html! { defs { @for hatch in Hatch::ALL { (hatch.pattern(id)) } } }
}
