//! The look of every picture: one style sheet, light and dark.
//!
//! Ink on paper first: everything that matters is told by line, hatching, shape and word, and
//! stays so in black-and-white print. Two colours come third, a blue for what holds and an amber
//! for what does not, which differ in lightness and keep apart in the common kinds of colour
//! blindness. No custom properties, and no media query around the light colours: converters to
//! paper that know only plain rules then draw the light picture. Paper is always light.

/// The style sheet of all pictures, for a page that has pictures inside and one sheet for all of
/// them. Holds no character that XML would need escaped.
pub const SHEET: &str = "
.lw-drawing{font-family:'Noto Sans','Liberation Sans',Arial,sans-serif;max-width:100%;height:auto}
.lw-drawing text{fill:#17252c;font-size:15px}
.lw-drawing text.small{font-size:14px}
.lw-drawing text.strong{font-weight:700}
.lw-drawing text.head{font-size:21px;font-weight:700}
.lw-drawing .paper{fill:#fbfaf6}
.lw-drawing .metal{fill:#dbe2e1}
.lw-drawing .open{fill:#c3def0}
.lw-drawing .edge{fill:none;stroke:#17252c;stroke-width:2}
.lw-drawing .thin{fill:none;stroke:#17252c;stroke-width:1}
.lw-drawing .faint{fill:none;stroke:#8b989e;stroke-width:1}
.lw-drawing .dashed{fill:none;stroke:#17252c;stroke-width:1;stroke-dasharray:6 4}
.lw-drawing .curve{fill:none;stroke:#17252c;stroke-width:2.5;stroke-linejoin:round}
.lw-drawing .curve-dashed{fill:none;stroke:#17252c;stroke-width:1.8;stroke-dasharray:9 5;stroke-linejoin:round}
.lw-drawing .halo{fill:none;stroke:#fbfaf6;stroke-width:6;stroke-linejoin:round}
.lw-drawing .reach{fill:none;stroke:#8f4700;stroke-width:3.5;stroke-dasharray:0.1 7;stroke-linecap:round}
.lw-drawing .teeth{fill:none;stroke:#17252c;stroke-width:5;stroke-dasharray:4 4}
.lw-drawing .axis{fill:none;stroke:#17252c;stroke-width:1;stroke-dasharray:14 4 3 4}
.lw-drawing .ink{fill:#17252c}
.lw-drawing .good{fill:#0b5a8a;stroke:#17252c;stroke-width:1}
.lw-drawing .good-edge{fill:none;stroke:#0b5a8a;stroke-width:3}
.lw-drawing .bad{fill:#e39a2d;stroke:#17252c;stroke-width:2}
.lw-drawing .bad-edge{fill:none;stroke:#8f4700;stroke-width:3}
.lw-drawing .plain-mark{fill:#fbfaf6;stroke:#17252c;stroke-width:2}
.lw-drawing .hatch{fill:none;stroke:#17252c;stroke-width:1}
.lw-drawing .hatch-warm{fill:none;stroke:#8f4700;stroke-width:1.2}
.lw-drawing .dot{fill:#17252c}
@media screen and (prefers-color-scheme:dark){
.lw-drawing text{fill:#eef2f0}
.lw-drawing .paper{fill:#12191d}
.lw-drawing .metal{fill:#35444c}
.lw-drawing .open{fill:#1d4a66}
.lw-drawing .halo{stroke:#12191d}
.lw-drawing .edge,.lw-drawing .curve,.lw-drawing .curve-dashed,.lw-drawing .thin,.lw-drawing .dashed,.lw-drawing .teeth,.lw-drawing .axis,.lw-drawing .hatch{stroke:#eef2f0}
.lw-drawing .faint{stroke:#6f7f87}
.lw-drawing .ink,.lw-drawing .dot{fill:#eef2f0}
.lw-drawing .good{fill:#7cc0f2;stroke:#eef2f0}
.lw-drawing .good-edge{stroke:#7cc0f2}
.lw-drawing .bad{fill:#f0a53a;stroke:#eef2f0}
.lw-drawing .bad-edge,.lw-drawing .reach,.lw-drawing .hatch-warm{stroke:#f0a53a}
.lw-drawing .plain-mark{fill:#12191d;stroke:#eef2f0}
}
";

/// What pictures of a wanted reading have besides: the heavy lines that mark it.
pub const WANTED: &str = "
.lw-drawing .wanted{fill:none;stroke:#0b5a8a;stroke-width:5}
.lw-drawing .wanted-under{fill:none;stroke:#fbfaf6;stroke-width:10;stroke-linejoin:round}
.lw-drawing .wanted-face{fill:#c3def0;stroke:#0b5a8a;stroke-width:5}
@media screen and (prefers-color-scheme:dark){
.lw-drawing .wanted{stroke:#7cc0f2}
.lw-drawing .wanted-under{stroke:#12191d}
.lw-drawing .wanted-face{fill:#1d4a66;stroke:#7cc0f2}
}
";
