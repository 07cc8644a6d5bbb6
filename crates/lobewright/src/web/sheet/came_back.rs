//! An engine came back: hours, speed and boost, and what each tip of each face shows, entered on one
//! page and shown beside what was predicted; and tips that were pushed in a clamped housing.

use super::super::fields::{Field, choice, form};
use super::super::figures::{self, moment};
use super::super::frame::{self, due_mark, holds_mark, stopped_mark, wide};
use super::super::picture::inline;
use super::super::reply::Reply;
use super::super::visit::Visit;
use super::super::wrong::Wrong;
use super::{Seen, gathered};
use crate::build_file::teardown::{
    CONTACTS, FACES, MOST_REPEATS, NOT_LOOKED_AT, TeardownText, TiltText, TipText, WornText,
};
use crate::ops::gauges::{Standing, refuses_overdue, standing};
use crate::ops::phrase::capitalised;
use crate::ops::teardown::{
    CameBack, Entered, GapBand, Says, Telling, TellingError, TipBeside, as_file, blank_face,
    face_picture, tell, tell_tilt,
};
use crate::text::teardown::{in_all, seen as ran};
use drawings::Origin;
use kernel::units::Length;
use maud::{Markup, html};
use records::{BuildId, Face, PartKind, TeardownId, TiltTest, TiltTestId};

/// Tips of a face.
const TIPS: usize = 3;
/// Readings of a tilt test that the form has room for.
const REPEATS: usize = 3;
/// Where on a tip something is usually seen.
const PLACES: [&str; 4] = ["leading edge", "trailing edge", "around the corner seal", "whole tip"];

/// What a tip says of its prediction, by shape and word.
pub(in super::super) fn says(says: Says) -> Markup {
    let mark = match says {
        Says::Agrees => holds_mark(),
        Says::SeenUnpredicted => stopped_mark(),
        Says::PredictedUnseen | Says::NotLookedAt => due_mark(),
        Says::NotPredicted => html! {},
    };
    html! { span.stands { (mark) (says.words()) } }
}

fn band(band: Option<GapBand>, first: kernel::units::System) -> Markup {
    let amount = |m: f64| figures::amount(Length::m(m), first);
    html! { @if let Some(band) = band {
        (amount(band.gap_m)) br; span.hint { "from " (amount(band.least_m())) " to " (amount(band.most_m())) }
    } @else { "none" } }
}

/// Every tip beside what was predicted for it.
pub(in super::super) fn beside(tips: &[&TipBeside], first: kernel::units::System) -> Markup {
    let worn = |tip: &TipBeside| {
        let mark = tip.mark.as_ref()?;
        let depth = |depth: &Option<records::Depth>, of: &str| {
            depth.as_ref().map(|depth| format!("{of} {}", depth.value.text()))
        };
        let all: Vec<String> = mark
            .place
            .iter()
            .cloned()
            .chain(depth(&mark.rotor, "rotor worn"))
            .chain(depth(&mark.wall, "wall worn"))
            .chain(Some(mark.note.clone()).filter(|note| !note.is_empty()))
            .collect();
        Some(all.join("; "))
    };
    wide(
        "Tips beside what was predicted",
        html! {
            table {
                thead { tr { th scope="col" { "Tip" } th scope="col" { "Seen" }
                    th scope="col" { "Predicted gap" } th scope="col" { "Together" }
                    th scope="col" { "Where, and how deep" } } }
                tbody { @for tip in tips {
                    tr { th scope="row" { (tip.serial) ", " (tip.face) " face, tip " (tip.tip) }
                        td { (tip.contact()) } td { (band(tip.predicted, first)) }
                        td { (says(tip.says)) } td { (worn(tip).unwrap_or_default()) } }
                } }
            }
        },
    )
}

/// What the sheet says of it, with the way to its page.
pub(super) fn on_sheet(seen: &Seen<'_>) -> Markup {
    let all = &seen.sheet.came_back;
    html! {
        @for back in all {
            h3 { "Came back, revision " (back.teardown.revision) }
            p { (capitalised(&ran(back))) ". " (capitalised(&in_all(&back.tips))) "." }
            @let wrong: Vec<&TipBeside> = back.tips.iter().filter(|tip| {
                matches!(tip.says, Says::SeenUnpredicted | Says::PredictedUnseen)
            }).collect();
            @if !wrong.is_empty() { (beside(&wrong, seen.first)) }
        }
        @if !seen.open() || !all.is_empty() {
            p.row { a.button.quiet href=(seen.at("teardown")) {
                @if all.is_empty() { "Tell what its teardown shows" } @else { "Its teardown, tip by tip" }
            } }
        }
    }
}

pub(super) fn page(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let seen = gathered(visit)?;
    shown(&seen, None)
}

/// What is asked back before it is kept, with what was typed.
struct Asked<'a> {
    why: &'a [String],
    told: &'a TeardownText,
}

fn shown(seen: &Seen<'_>, asked: Option<&Asked<'_>>) -> Result<Reply, Wrong> {
    let sheet = &seen.sheet;
    let build = sheet.build.id;
    let all = &sheet.came_back;
    let tests = seen.visit.shop().tilt_tests_of(build)?;
    let standing = all.iter().find(|back| back.teardown.revision == sheet.build.revision);
    let title = format!("Teardown of {}", sheet.build.head.name);
    let body = html! {
        p.crumb { a href=(format!("/builds/{build}#teardown")) { (sheet.build.head.name) } }
        h1 { (title) }
        @if let Some(asked) = asked {
            p.told { (due_mark()) span { "Nothing is kept yet. Look again: "
                (asked.why.join("; ")) ". If it is so, tick that you are sure and send it again." } }
        }
        @for back in all { (told(seen, back)) }
        @if sheet.build.open {
            p { "An engine comes apart after it was signed: this one is open in revision "
                (sheet.build.revision) "." }
        } @else if seen.visit.may(super::super::rights::Work::Builds) {
            (tell_form(seen, standing, asked)?)
        }
        (tilt_tests(seen, &tests)?)
    };
    Ok(frame::page(seen.visit, &title, body))
}

/// What was told, beside what was predicted.
fn told(seen: &Seen<'_>, back: &CameBack) -> Markup {
    let teardown = &back.teardown;
    let sizes = seen.sheet.sizes.as_ref();
    html! {
        h2 { "Revision " (teardown.revision) " as it came apart" }
        p { (capitalised(&ran(back))) ". Told " (moment(&teardown.at)) " by "
            (seen.sheet.name_of(teardown.person))
            @if let Some(before) = teardown.supersedes { ", in the place of teardown " (before) } "." }
        @if !teardown.note.is_empty() { p { (teardown.note) } }
        @if let Some(kept) = &back.kept {
            p.hint { "Predicted " (moment(&kept.at)) " by " (kept.program) " from revision "
                (kept.revision) " as it was signed; kept as it was said then. Gaps are the least over a \
                 cycle, the rotor pushed to the wall where the tip is nearest; nine in ten lie in the \
                 band. Below zero the tip would touch before the land." }
        }
        @if let Some(why) = &back.unpredicted { p.told { (due_mark()) span { "Nothing is predicted: " (why) "." } } }
        p { (capitalised(&in_all(&back.tips))) "." }
        @for (at, (_, serial)) in back.rotors.iter().enumerate() {
            h3 { "Rotor " (serial) }
            div.pictures { @for (n, face) in Face::ALL.iter().enumerate() {
                (inline(&face_picture(back, (serial, *face), (sizes, origin(seen, at)),
                    (&format!("came-back-{}-{at}-{n}", teardown.id), seen.first)), None))
            } }
            @let tips: Vec<&TipBeside> = back.tips.iter().filter(|tip| tip.serial == *serial).collect();
            (beside(&tips, seen.first))
        }
    }
}

fn origin(seen: &Seen<'_>, at: usize) -> Origin {
    let sheet = &seen.sheet;
    let housing = sheet.of_kind(PartKind::RotorHousing).nth(at);
    let housing = housing.map_or_else(|| "none".to_owned(), |part| part.fitted.serial.clone());
    let spec =
        sheet.spec.as_ref().map_or_else(|| "of its own file".to_owned(), |spec| spec.0.clone());
    Origin { build: sheet.build.head.name.clone(), housing, spec }
}

/// The name of a field of one tip.
fn name(what: &str, at: usize, face: usize, tip: usize) -> String {
    format!("{what}-{}-{}-{tip}", at + 1, FACES[face])
}

fn gauges(seen: &Seen<'_>) -> Result<Vec<(String, String)>, Wrong> {
    let refuses = refuses_overdue(seen.visit.shop())?;
    let mut all = vec![(String::new(), "Not noted".to_owned())];
    for gauge in &seen.sheet.gauges {
        let said = match standing(gauge, &seen.sheet.today) {
            Standing::OutOfUse => continue,
            Standing::Overdue(_) if refuses => continue,
            Standing::Overdue(due) => format!(" (calibration overdue since {due})"),
            _ => String::new(),
        };
        all.push((gauge.name.clone(), format!("{}, {}{said}", gauge.name, gauge.kind)));
    }
    Ok(all)
}

fn tell_form(
    seen: &Seen<'_>,
    standing: Option<&CameBack>,
    asked: Option<&Asked<'_>>,
) -> Result<Markup, Wrong> {
    let sheet = &seen.sheet;
    let kept = match standing {
        Some(back) => Some(as_file(seen.visit.shop(), &back.teardown, &[])?),
        None => None,
    };
    // What was just typed goes before what stands.
    let begun = asked.map(|asked| asked.told).or(kept.as_ref());
    let said =
        |of: fn(&TeardownText) -> Option<&String>| begun.and_then(of).cloned().unwrap_or_default();
    let gauges = gauges(seen)?;
    let rotors: Vec<&str> =
        sheet.of_kind(PartKind::Rotor).map(|part| part.fitted.serial.as_str()).collect();
    let expected = standing.map_or_else(String::new, |back| back.teardown.id.to_string());
    let fields = html! {
        input type="hidden" name="revision" value=(sheet.build.revision);
        input type="hidden" name="expected" value=(expected);
        (Field::text("running", "Hours run since it was put together").value(said(|t| t.running.as_ref()))
            .hint("Such as 11.5 h. Empty where nobody knows."))
        (Field::text("speed", "Highest speed that was seen").value(said(|t| t.speed.as_ref()))
            .hint("Such as 9300 rpm. Speed and boost are what the gaps are predicted for."))
        (Field::text("boost", "Highest boost that was seen").value(said(|t| t.boost.as_ref()))
            .hint("Such as 0.9 bar; 0 bar for an engine without."))
        @for (at, serial) in rotors.iter().enumerate() {
            h3 { "Rotor " (serial) }
            @for (face, word) in FACES.iter().enumerate() {
                (inline(&blank_face((serial, Face::ALL[face]), (sheet.sizes.as_ref(), origin(seen, at)),
                    (&format!("tell-{at}-{face}"), seen.first)), None))
                @for tip in 1..=TIPS {
                    @let known = begun.and_then(|told| told.tips.iter().find(|known| {
                        known.rotor == *serial && known.face == face && known.tip == tip
                    }));
                    (tip_fields((at, serial), (face, word, tip), known, &gauges))
                }
            }
        }
        (Field::lines("note", "What else is seen", 3).value(begun.map(|told| told.note.clone()).unwrap_or_default()))
        @if asked.is_some() {
            label.choice { input type="checkbox" name="sure" value="yes"; span { "I looked again, and it is so" } }
        }
    };
    let (heading, button) = match standing {
        Some(_) => ("Correct what was told", "Put this in its place"),
        None => ("Tell what the teardown shows", "Keep the teardown"),
    };
    Ok(html! {
        section.not-on-paper {
            h2 { (heading) }
            @if standing.is_some() {
                p { "What was told first is kept beside it. Where speed and boost stay, so does the \
                     prediction; else it is made for the new ones." }
            }
            (form(&seen.at("teardown"), button, fields))
        }
    })
}

/// One tip of one face: what it shows, and where and how deep if that is to be said.
fn tip_fields(
    (at, serial): (usize, &str),
    (face, word, tip): (usize, &str, usize),
    known: Option<&TipText>,
    gauges: &[(String, String)],
) -> Markup {
    let chosen = known.map_or(NOT_LOOKED_AT, |known| known.contact);
    let seen = name("seen", at, face, tip);
    let text = |what: &str, label: &str, value: Option<&String>, hint: &str| {
        let name = name(what, at, face, tip);
        let id = format!("f-{name}");
        html! { div.field { label for=(id) { (label) span.may { " (may be empty)" } }
        input id=(id) name=(name) type="text" value=(value.map_or("", String::as_str))
            list=[(what == "where").then_some("places-on-a-tip")] aria-describedby=(format!("{id}-hint"));
        p.hint id=(format!("{id}-hint")) { (hint) } } }
    };
    let depth = |worn: Option<&WornText>| worn.map(|worn| worn.depth.clone());
    let gauge =
        |worn: Option<&WornText>| worn.and_then(|worn| worn.gauge.clone()).unwrap_or_default();
    let (worn, wall) =
        (known.and_then(|known| known.worn.as_ref()), known.and_then(|known| known.wall.as_ref()));
    let told = known.is_some_and(|known| {
        known.place.is_some() || worn.is_some() || wall.is_some() || !known.note.is_empty()
    });
    html! {
        fieldset.tip {
            legend { (serial) ", " (word) " face, tip " (tip) }
            div.row { @for (index, contact) in CONTACTS.iter().enumerate() {
                label.choice.as-button { input type="radio" name=(seen) value=(contact) checked[index == chosen];
                    span { (capitalised(contact)) } }
            } }
            details open[told] {
                summary { "Where, and how deep, on " (word) " face, tip " (tip) " of " (serial) }
                (text("where", "Where on the tip", known.and_then(|known| known.place.as_ref()),
                    "Such as trailing edge."))
                (text("worn", "How deep the rotor is worn there", depth(worn).as_ref(), "Such as 4 um."))
                (choice(&name("worn-gauge", at, face, tip), "Read with", gauges, &gauge(worn)))
                (text("wall", "How deep the wall opposite is worn", depth(wall).as_ref(), "Such as 2 um."))
                (choice(&name("wall-gauge", at, face, tip), "Read with", gauges, &gauge(wall)))
                (text("what", "What else is seen", known.map(|known| &known.note), "Such as bright over a third."))
            }
        }
        @if at == 0 && face == 0 && tip == 1 {
            datalist id="places-on-a-tip" { @for place in PLACES { option value=(place) {} } }
        }
    }
}

/// A number alone gets the unit of its field.
fn with_unit(text: &str, unit: &str) -> String {
    let bare = !text.is_empty() && text.chars().all(|c| c.is_ascii_digit() || "+-.".contains(c));
    if bare { format!("{text} {unit}") } else { text.to_owned() }
}

fn said(text: String) -> Option<String> {
    Some(text).filter(|text| !text.is_empty())
}

/// What the form says.
fn typed(visit: &Visit<'_>, rotors: &[String]) -> Result<TeardownText, Wrong> {
    let mut tips = Vec::new();
    for (at, serial) in rotors.iter().enumerate() {
        for (face, _) in FACES.iter().enumerate() {
            for tip in 1..=TIPS {
                let field = |what: &str| visit.field(&name(what, at, face, tip)).to_owned();
                let contact = match field("seen").as_str() {
                    "" => NOT_LOOKED_AT,
                    word => CONTACTS.iter().position(|known| *known == word).ok_or_else(|| {
                        Wrong::ask(format!("{word:?} is none of {}", CONTACTS.join(", ")))
                    })?,
                };
                let worn = |what: &str, gauge: &str| {
                    let depth = said(with_unit(&field(what), "um"))?;
                    Some(WornText { depth, gauge: said(field(gauge)) })
                };
                tips.push(TipText {
                    rotor: serial.clone(),
                    face,
                    tip,
                    contact,
                    place: said(field("where")),
                    worn: worn("worn", "worn-gauge"),
                    wall: worn("wall", "wall-gauge"),
                    note: field("what"),
                });
            }
        }
    }
    let of = |name: &str, unit: &str| said(with_unit(visit.field(name), unit));
    Ok(TeardownText {
        build: None,
        running: of("running", "h"),
        speed: of("speed", "rpm"),
        boost: of("boost", "bar"),
        note: visit.field("note").to_owned(),
        tips,
        tilt_tests: Vec::new(),
    })
}

/// Why it is not taken, as a page tells it.
pub(in super::super) fn refused(error: TellingError) -> Wrong {
    match error {
        TellingError::Shop(error) => error.into(),
        TellingError::Open { .. } => Wrong::NotSo(error.to_string()),
        other => Wrong::ask(other.to_string()),
    }
}

pub(super) fn post(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let seen = gathered(visit)?;
    let build = seen.sheet.build.id;
    let rotors: Vec<String> =
        seen.sheet.of_kind(PartKind::Rotor).map(|part| part.fitted.serial.clone()).collect();
    let told = typed(visit, &rotors)?;
    let telling = Telling {
        build,
        revision: visit.number("revision", "The revision")?.unwrap_or(seen.sheet.build.revision),
        told: &told,
        expected: visit.id_field::<TeardownId>("expected", "What was looked at")?,
        sure: visit.field("sure") == "yes",
        person: visit.who()?,
        at: &visit.now,
    };
    match tell(visit.shop(), &telling, visit.first()).map_err(refused)? {
        Entered::Kept { .. } => Ok(Reply::see(seen.at("teardown"))),
        Entered::AskedBack { why } => shown(&seen, Some(&Asked { why: &why, told: &told })),
    }
}

/// Tips that were pushed, and the form for one more.
fn tilt_tests(seen: &Seen<'_>, tests: &[TiltTest]) -> Result<Markup, Wrong> {
    let sheet = &seen.sheet;
    let rotors: Vec<(String, String)> = sheet
        .of_kind(PartKind::Rotor)
        .map(|part| (part.fitted.serial.clone(), part.fitted.serial.clone()))
        .collect();
    let serial = |test: &TiltTest| {
        let found = sheet.of_kind(PartKind::Rotor).find(|part| part.fitted.part == test.told.part);
        found.map_or_else(|| test.told.part.to_string(), |part| part.fitted.serial.clone())
    };
    let gauges = gauges(seen)?;
    let offered: Vec<(String, String)> = gauges.into_iter().skip(1).collect();
    let faces: Vec<(String, String)> =
        FACES.map(|face| (face.to_owned(), format!("{face} face"))).into();
    let tips: Vec<(String, String)> =
        (1..=TIPS).map(|tip| (tip.to_string(), format!("tip {tip}"))).collect();
    let again: Vec<(String, String)> =
        std::iter::once((String::new(), "none: it is one more".to_owned()))
            .chain(tests.iter().map(|test| (test.id.to_string(), format!("tilt test {}", test.id))))
            .collect();
    Ok(html! {
        h2 { "Tips pushed in a clamped housing" }
        p { "A rotor in its clamped housing is pushed at a tip by a spring scale, and an indicator beside it \
             is read: under a small load that takes up the float, and under a large one. How far it tilts \
             says what the leaning of the model is worth." }
        @if tests.is_empty() { p { "None is told." } } @else {
            (wide("Tilt tests", html! { table {
                thead { tr { th scope="col" { "Test" } th scope="col" { "Tip" } th scope="col" { "Loads" }
                    th scope="col" { "Indicator" } th scope="col" { "By whom, when" } } }
                tbody { @for test in tests { @let told = &test.told;
                    tr { th scope="row" { (test.id) }
                        td { (serial(test)) ", " (told.face) " face, tip " (told.tip) ", at " (told.radius.text()) }
                        td { (told.least.text()) " and " (told.most.text()) ", each within " (told.load_u.text()) }
                        td { @for [least, most] in &told.readings { p { (least.text()) ", then " (most.text()) } } }
                        td { (sheet.name_of(told.person)) ", " (moment(&told.at))
                            @if !told.note.is_empty() { p { (told.note) } } } }
                } }
            } }))
        }
        @if offered.is_empty() {
            p { "The shop has no gauge that may be read: enter the indicator among the gauges first." }
        } @else if !rotors.is_empty() && seen.visit.may(super::super::rights::Work::Builds) {
            details.not-on-paper {
                summary { "Tell a tilt test" }
                (form(&seen.at("tilt-test"), "Keep the tilt test", html! {
                    (choice("rotor", "Rotor", &rotors, ""))
                    (choice("face", "Pushed and read on the", &faces, ""))
                    (choice("tip", "At", &tips, ""))
                    (Field::text("radius", "How far from the axis").needed().hint("Such as 95 mm."))
                    (Field::text("least", "Small load").needed().hint("Such as 20 N."))
                    (Field::text("most", "Large load").needed().hint("Such as 120 N."))
                    (Field::text("load_u", "Standard uncertainty of a load").needed()
                        .hint("Of the spring scale, such as 1 N."))
                    (choice("gauge", "Indicator", &offered, ""))
                    @for n in 1..=REPEATS {
                        (Field::text(&format!("least-{n}"), &format!("Reading {n} under the small load")).hint("Such as 2 um."))
                        (Field::text(&format!("most-{n}"), &format!("Reading {n} under the large load")).hint("Such as 14 um."))
                    }
                    @if again.len() > 1 { (choice("supersedes", "In the place of", &again, "")) }
                    (Field::lines("note", "What else there is to it", 2))
                }))
            }
        }
    })
}

pub(super) fn push(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let build = visit.id::<BuildId>("build")?;
    let word = |name: &str| visit.field(name);
    let face = FACES.iter().position(|face| *face == word("face"));
    let mut readings = Vec::new();
    for n in 1..=MOST_REPEATS {
        let both = ["least", "most"].map(|load| with_unit(word(&format!("{load}-{n}")), "um"));
        match &both {
            [least, most] if least.is_empty() && most.is_empty() => {}
            [least, most] if least.is_empty() || most.is_empty() => {
                return Err(Wrong::ask(format!(
                    "reading {n} is there under one load alone; give it under both, or leave both empty"
                )));
            }
            _ => readings.push(both),
        }
    }
    let told = TiltText {
        rotor: word("rotor").to_owned(),
        face: face.ok_or_else(|| Wrong::ask("say on which face it was pushed"))?,
        tip: visit.number("tip", "The tip")?.unwrap_or(0),
        radius: with_unit(visit.needed("radius", "The radius")?, "mm"),
        least: with_unit(visit.needed("least", "The small load")?, "N"),
        most: with_unit(visit.needed("most", "The large load")?, "N"),
        load_u: with_unit(visit.needed("load_u", "The uncertainty of a load")?, "N"),
        gauge: word("gauge").to_owned(),
        readings,
        note: word("note").to_owned(),
    };
    let supersedes = visit.id_field::<TiltTestId>("supersedes", "In the place of")?;
    let by = (visit.who()?, &visit.now);
    tell_tilt(visit.shop(), (build, &told), supersedes, by).map_err(refused)?;
    Ok(Reply::see(format!("/builds/{build}/teardown")))
}
