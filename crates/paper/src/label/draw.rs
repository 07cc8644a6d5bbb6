//! A label as SVG. No font is at hand where it is made, so widths of letters are taken from above.

use super::code::{Modules, QUIET};
use super::{GearFace, Kind, Label, LabelError, Size, cure};
use maud::{Markup, PreEscaped, html};
use std::fmt::Write as _;

/// Sans-serifs with clear figures, the first that is there.
const FONTS: &str = "Noto Sans, Liberation Sans, Arial, sans-serif";
/// Smallest letters of a serial: read at arm's length. Common practice, no source.
const LEAST_SERIAL_MM: f64 = 2.2;
/// Letters of everything else: six points.
const SMALL_MM: f64 = 2.1;
/// From one base line to the next, as a fraction of the type's size.
const LEADING: f64 = 1.15;
/// Sizes are tried in steps of this.
const STEP_MM: f64 = 0.1;

/// Where a text may stand: left, top, width, height.
#[derive(Debug, Clone, Copy)]
struct Room {
    x: f64,
    y: f64,
    width: f64,
    height: f64,
}

/// Advance of a bold letter as a fraction of the type's size, from above for the sans-serifs that
/// the list of fonts can end in.
const fn advance(c: char) -> f64 {
    match c {
        'i' | 'j' | 'l' | '.' | ',' | '\'' | '|' | ' ' => 0.40,
        'f' | 't' | 'r' | '(' | ')' | '[' | ']' | '/' | '-' | ':' | ';' | 'I' | 'J' => 0.50,
        'm' | 'w' | 'M' | 'W' | '%' | '@' => 1.13,
        'A'..='Z' => 0.89,
        'a'..='z' | '0'..='9' => 0.73,
        '!'..='~' => 0.95,
        _ => 1.13,
    }
}

/// Of bold letters; others are narrower.
fn width(text: &str, size: f64) -> f64 {
    text.chars().map(advance).sum::<f64>() * size
}

/// Breaks a text into lines no wider than the room: at spaces, inside a word where it must.
fn wrapped(text: &str, size: f64, room: f64) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split_inclusive([' ', '-']) {
        let last = lines.last().map_or("", String::as_str);
        if !last.is_empty() && width(last, size) + width(word.trim_end(), size) > room {
            lines.push(String::new());
        }
        for c in word.chars() {
            let last = lines.last().map_or("", String::as_str);
            let full = width(last, size) + advance(c) * size > room && !last.is_empty();
            if full && c != ' ' {
                lines.push(String::new());
            }
            if let Some(last) = lines.last_mut() {
                last.push(c);
            }
        }
    }
    lines.into_iter().map(|line| line.trim_end().to_owned()).collect()
}

/// The largest type in which a text fits, not larger than the room's height allows for one line.
fn largest(text: &str, room: Room, most: f64, least: f64) -> Option<(f64, Vec<String>)> {
    let mut size = most;
    while size >= least {
        let lines = wrapped(text, size, room.width);
        if lines.len() as f64 * size * LEADING <= room.height {
            return Some((size, lines));
        }
        size -= STEP_MM;
    }
    None
}

/// A millimetre figure of the drawing: three decimals, none that say nothing.
fn mm(value: f64) -> String {
    let text = format!("{value:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn text(x: f64, y: f64, size: f64, (bold, middle): (bool, bool), words: &str) -> Markup {
    html! {
        text x=(mm(x)) y=(mm(y)) font-size=(mm(size)) font-weight=[bold.then_some("bold")]
            text-anchor=[middle.then_some("middle")] { (words) }
        "\n"
    }
}

fn code(modules: &Modules, (x, y): (f64, f64), side: f64) -> Markup {
    let module = side / modules.side_with_quiet();
    let mut d = String::new();
    for (column, row, length) in modules.runs() {
        let _ = write!(d, "M{} {}h{length}v1h-{length}z", column + QUIET, row + QUIET);
    }
    // In units of a module: every edge lies on a whole number.
    html! {
        path transform=(format!("translate({} {}) scale({module:.6})", mm(x), mm(y)))
            shape-rendering="crispEdges" d=(d) {}
        "\n"
    }
}

/// The rotor as it is seen on its gear face: its tips in their numbers, clockwise, tip 1 with its
/// mark.
fn gear_face_mark((x, y): (f64, f64), radius: f64) -> Markup {
    let at = |tip: f64, r: f64| {
        // Tip 1 on top, y down: angles that grow go clockwise.
        let angle = (120.0 * tip - 90.0_f64).to_radians();
        (x + r * angle.cos(), y + r * angle.sin())
    };
    let (a, b, c) = (at(0.0, radius), at(1.0, radius), at(2.0, radius));
    // Flanks bulge: an arc about twice as wide as the rotor.
    let arc =
        |to: (f64, f64)| format!("A{0} {0} 0 0 1 {1} {2}", mm(2.2 * radius), mm(to.0), mm(to.1));
    let d = format!("M{} {}{}{}{}z", mm(a.0), mm(a.1), arc(b), arc(c), arc(a));
    let dot = at(0.0, 0.9 * radius);
    html! {
        path d=(d) fill="none" stroke="#000" stroke-width="0.25" {}
        "\n"
        circle cx=(mm(x)) cy=(mm(y)) r=(mm(0.2 * radius)) fill="none" stroke="#000" stroke-width="0.25" {}
        "\n"
        circle cx=(mm(dot.0)) cy=(mm(dot.1)) r="0.3" {}
        "\n"
        @for (tip, number) in [(0.0, "1"), (1.0, "2"), (2.0, "3")] {
            @let (tx, ty) = at(tip, 0.52 * radius);
            (text(tx, ty + 0.7, 1.9, (true, true), number))
        }
    }
}

/// What the part is, and where it sits.
fn what(label: &Label<'_>) -> String {
    match (label.kind, label.place) {
        (Kind::SideHousing, Some(place)) if place.of > 1 => {
            let which = match place.number {
                1 => "front",
                number if number == place.of => "rear",
                _ => "intermediate",
            };
            format!("{which} side housing, {} of {}", place.number, place.of)
        }
        // Where there is one alone, its number says nothing.
        (kind, Some(place)) if place.of > 1 => {
            format!("{} {} of {}", kind.word(), place.number, place.of)
        }
        (kind, _) => kind.word().to_owned(),
    }
}

/// Which way a rotor's gear face looks, where a build says so.
const fn looks(label: &Label<'_>) -> Option<&'static str> {
    match label.gear_face {
        Some(GearFace::Front) => Some("to the front"),
        Some(GearFace::Rear) => Some("to the rear"),
        None => None,
    }
}

/// Lines from a room's top, the first base line so far below it as the letters are high.
fn lines(room: Room, size: f64, (bold, middle): (bool, bool), words: &[String]) -> Markup {
    html! {
        @for (i, line) in words.iter().enumerate() {
            (text(room.x, room.y + (i as f64 * LEADING + 0.85) * size, size, (bold, middle), line))
        }
    }
}

fn bag(label: &Label<'_>, modules: &Modules) -> Option<Markup> {
    let side = Size::Bag.code_mm();
    let rotor = label.kind == Kind::Rotor;
    let serial = Room { x: 27.5, y: 2.0, width: 22.0, height: 9.0 };
    let (size, serials) = largest(label.serial, serial, 7.0, LEAST_SERIAL_MM)?;
    let below = |y: f64| Room { y, height: if rotor { 20.6 - y } else { 28.5 - y }, ..serial };
    let room = below(serial.y + serials.len() as f64 * size * LEADING + 0.4);
    let what = wrapped(&what(label), SMALL_MM, room.width);
    let of_build = below(room.y + what.len() as f64 * SMALL_MM * LEADING + 0.4);
    let build = label.build.map(|build| {
        largest(build, of_build, 2.6, SMALL_MM)
            // The code has the whole name.
            .unwrap_or_else(|| (SMALL_MM, shortened(build, of_build)))
    });
    let mark = Room { x: serial.x + 4.0, y: 25.4, width: 0.0, height: 0.0 };
    let face: Vec<String> =
        std::iter::once("gear face").chain(looks(label)).map(str::to_owned).collect();
    Some(html! {
        (code(modules, (1.0, 0.5 * (Size::Bag.mm().1 - side)), side))
        (lines(serial, size, (true, false), &serials))
        (lines(room, SMALL_MM, (false, false), &what))
        @if let Some((size, words)) = &build { (lines(of_build, *size, (true, false), words)) }
        @if rotor {
            (gear_face_mark((mark.x, mark.y), 3.9))
            (lines(Room { x: mark.x + 5.2, y: 23.2, ..mark }, SMALL_MM, (false, false), &face))
        }
    })
}

/// As many lines as the room has, the last with an ellipsis.
fn shortened(words: &str, room: Room) -> Vec<String> {
    let most = ((room.height / (SMALL_MM * LEADING)).floor() as usize).max(1);
    let mut lines = wrapped(words, SMALL_MM, room.width);
    lines.truncate(most);
    if let Some(last) = lines.last_mut() {
        while !last.is_empty() && width(&format!("{last}\u{2026}"), SMALL_MM) > room.width {
            last.pop();
        }
        last.push('\u{2026}');
    }
    lines
}

fn tag(label: &Label<'_>, modules: &Modules) -> Option<Markup> {
    const NOTE_MM: f64 = 1.6;
    let side = Size::Tag.code_mm();
    let (width, height) = Size::Tag.mm();
    let notes: Vec<String> = std::iter::once(what(label))
        .chain(looks(label).map(|way| format!("gear face {way}")))
        .collect();
    // The serial has what is left between the code and its notes.
    let foot = height - 0.2 - notes.len() as f64 * NOTE_MM * LEADING;
    let middle = 0.5 * width;
    let serial = Room { x: middle, y: side, width: width - 1.0, height: foot - side };
    let (size, serials) = largest(label.serial, serial, 4.6, LEAST_SERIAL_MM)?;
    Some(html! {
        (code(modules, (0.5 * (width - side), 0.0), side))
        (lines(serial, size, (true, true), &serials))
        (lines(Room { y: foot, ..serial }, NOTE_MM, (false, true), &notes))
    })
}

pub(super) fn svg(label: &Label<'_>, size: Size, modules: &Modules) -> Result<String, LabelError> {
    let body = match size {
        Size::Bag => bag(label, modules),
        Size::Tag => tag(label, modules),
    };
    let body = body.ok_or_else(|| LabelError::TooSmall {
        serial: label.serial.to_owned(),
        least_mm: LEAST_SERIAL_MM,
        size: size.word(),
        cure: cure(size),
    })?;
    let (width, height) = size.mm();
    let svg = html! {
        svg xmlns="http://www.w3.org/2000/svg" width=(format!("{width}mm")) height=(format!("{height}mm"))
            viewBox=(format!("0 0 {width} {height}")) role="img" font-family=(FONTS) {
            "\n"
            title { "Label: " (label.kind.word()) " " (label.serial) }
            desc { (label.words()) }
            "\n"
            rect width=(width) height=(height) fill="#fff" {}
            "\n"
            (PreEscaped(body.0))
        }
    };
    Ok(format!("{}\n", svg.0))
}
