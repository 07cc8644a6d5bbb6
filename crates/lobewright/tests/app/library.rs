//! The shop's library: every page and every form once, what is refused and with which cure, who
//! may do what, and text that would be more than text.

use crate::bench::{Answer, Bench, OWNER, PASSWORD, begun};
use axum::http::StatusCode;
use kernel::units::Length;
use records::{
    AttachmentId, BuildId, BuildSearch, Day, Due, GaugeId, Head, Line, Moment, NewCalibration,
    NewFinding, PartKind, PartSearch, Shop, SpecId, Stage, Written,
};

const BOAT: &str = include_str!("../../../../examples/sprint-boat.toml");
/// What must come back as text wherever it was typed.
const UGLY: [&str; 4] = [
    "<script>alert(1)</script>",
    "\"><img src=x onerror=alert(1)>",
    "'; DROP TABLE part; --",
    "\u{1f980} crab",
];

/// A form that is refused for this reason, with nothing written.
fn refused(bench: &mut Bench, path: &str, fields: &[(&str, &str)], why: &str) -> Answer {
    let before = count(bench.shop());
    let answer = bench.send(path, fields);
    assert!(answer.status.is_client_error(), "{path}: {} {}", answer.status, answer.text());
    // A message begins with a capital, whatever it begins with.
    let said = answer.text().to_lowercase();
    assert!(said.contains(&why.to_lowercase()), "{path}: {}", answer.text());
    assert_eq!(count(bench.shop()), before, "{path}");
    answer
}

/// How many of everything there are.
fn count(shop: &Shop) -> Vec<usize> {
    let parts = shop.parts(&PartSearch { most: 1000, ..PartSearch::default() }).unwrap();
    let of_parts = parts.iter().map(|found| {
        let history = shop.part_history(found.part.id).unwrap();
        history.events.len() + history.readings.len() + usize::from(history.part.retired) * 1000
    });
    let gauges = shop.gauges().unwrap();
    let of_gauges = gauges
        .iter()
        .map(|g| shop.calibrations(g.id).unwrap().len() + usize::from(g.active) * 1000);
    let specs = shop.specs().unwrap();
    let engines = shop.engines().unwrap();
    let of_lines: usize = specs.iter().map(|s| shop.spec_lines(s.id).unwrap().len()).sum::<usize>()
        + engines.iter().map(|e| shop.engine_lines(e.id).unwrap().len()).sum::<usize>();
    vec![
        parts.len(),
        of_parts.sum(),
        gauges.len(),
        of_gauges.sum(),
        specs.len(),
        engines.len(),
        of_lines,
        shop.materials().unwrap().len(),
        shop.machine_tools().unwrap().len(),
        shop.customers("").unwrap().len(),
        shop.intakes_without_build().unwrap().len(),
        shop.people().unwrap().iter().filter(|p| p.active).count(),
        shop.people().unwrap().iter().filter(|p| p.role == "owner").count(),
    ]
}

/// Another browser, in which somebody who is no owner is signed in.
fn builder(bench: &mut Bench) -> Bench {
    let new = [
        ("name", "Ben Reed"),
        ("role", "builder"),
        ("password", "warm start 8"),
        ("again", "warm start 8"),
    ];
    bench.must("/people", &new);
    let mut other = Bench { cookie: None, ..bench.clone() };
    other.must("/in", &[("name", "Ben Reed"), ("password", "warm start 8")]);
    other
}

fn upload(bench: &mut Bench, path: &str, name: &str, bytes: &[u8]) -> Answer {
    let mut body = format!(
        "--b0\r\nContent-Disposition: form-data; name=\"photo\"; filename=\"{name}\"\r\n\
         Content-Type: application/octet-stream\r\n\r\n"
    )
    .into_bytes();
    body.extend_from_slice(bytes);
    let token = bench.form_token();
    body.extend_from_slice(
        format!(
            "\r\n--b0\r\nContent-Disposition: form-data; name=\"form_token\"\r\n\r\n{token}\r\n--b0--\r\n"
        )
        .as_bytes(),
    );
    let headers =
        [("content-type", "multipart/form-data; boundary=b0"), ("sec-fetch-site", "same-origin")];
    bench.ask("POST", path, &headers, &body)
}

fn lines(table: &str) -> Vec<(String, String)> {
    lobewright::build_file::places::placed(BOAT)
        .unwrap()
        .into_iter()
        .filter(|v| v.place.starts_with(&format!("{table}.")) && v.place != "spec.name")
        .map(|v| (format!("at:{}", v.place), v.value.trim_matches('"').to_owned()))
        .collect()
}

fn with<'a>(
    fields: &'a [(String, String)],
    further: &[(&'a str, &'a str)],
) -> Vec<(&'a str, &'a str)> {
    let mut all: Vec<(&str, &str)> = fields.iter().map(|(n, v)| (n.as_str(), v.as_str())).collect();
    for (name, value) in further {
        match all.iter_mut().find(|(known, _)| known == name) {
            Some(known) => known.1 = value,
            None => all.push((name, value)),
        }
    }
    all
}

#[test]
fn a_part_from_its_first_day_to_its_last() {
    let (_folder, mut bench) = begun();
    assert!(bench.page("/shelf").contains("No such parts."));
    let part = bench.must("/shelf", &[("part-kind", "rotor"), ("part-serial", "R-114")]);
    assert_eq!(part, "/shelf/1");
    bench.must("/shelf", &[("part-kind", "rotor housing"), ("part-serial", "H-31")]);
    let twice = [("part-kind", "rotor"), ("part-serial", "R-114")];
    refused(&mut bench, "/shelf", &twice, "there is a rotor of this name already");
    refused(
        &mut bench,
        "/shelf",
        &[("part-kind", "rotor"), ("part-serial", " ")],
        "Serial is empty",
    );
    refused(
        &mut bench,
        "/shelf",
        &[("part-kind", "wheel"), ("part-serial", "W")],
        "choose one of the list",
    );

    let read = |station, value, seen| {
        [
            ("station", station),
            ("value", value),
            ("gauge", ""),
            ("temperature", "22 degC"),
            ("seen", seen),
        ]
    };
    let to = bench.must("/shelf/1/reading", &read("land_width.1", "79.915 mm", "0"));
    assert_eq!(to, "/shelf/1?station=land_width.2&gauge=");
    bench.must("/shelf/1/reading", &read("land_width.1", "3.1463 in", "1"));
    refused(&mut bench, "/shelf/1/reading", &read("land_width.1", "79.9 mm", "1"), "look at both");
    refused(&mut bench, "/shelf/1/reading", &read("land_width.2", "79.915", "2"), "has no unit");
    refused(&mut bench, "/shelf/1/reading", &read("width.1", "80 mm", "2"), "has no station");
    refused(&mut bench, "/shelf/9/reading", &read("land_width.1", "79.9 mm", "0"), "no part 9");
    let page = bench.page("/shelf/1");
    assert!(page.contains("<s>79.915 mm</s>") && page.contains("corrected by reading 2"), "{page}");
    assert!(page.contains("79.916 mm (3.1463 in)") && page.contains("Ada Quill"), "{page}");
    assert!(bench.page("/shelf?serial=r-1").contains("land width at tip 1: 3.1463 in"));
    assert!(!bench.page("/shelf?kind=shaft").contains("R-114"));

    bench.must("/shelf/1/event", &[("what", "dropped, looked at with dye: no crack")]);
    refused(&mut bench, "/shelf/1/event", &[("what", "")], "What happened is empty");
    refused(&mut bench, "/shelf/9/event", &[("what", "x")], "no part 9");
    refused(&mut bench, "/shelf/1/retire", &[("retired", "yes"), ("why", "")], "Why is empty");
    bench.must("/shelf/1/retire", &[("retired", "yes"), ("why", "worn out")]);
    assert!(bench.page("/shelf/1").contains("retired: worn out"));
    assert!(!bench.page("/shelf").contains("R-114"));
    assert!(bench.page("/shelf?which=all").contains("R-114"));
    bench.must("/shelf/1/retire", &[("retired", "no"), ("why", "mended")]);
    assert!(bench.page("/shelf").contains("R-114"));
    assert_eq!(bench.get("/shelf/9").status, StatusCode::NOT_FOUND);
    assert_eq!(bench.get("/shelf/x").status, StatusCode::NOT_FOUND);
}

#[test]
fn a_part_in_a_build_is_read_there() {
    let (_folder, mut bench) = begun();
    let now = Moment::new("2026-11-28T09:30:00Z").unwrap();
    let build = lobewright::ops::import(bench.shop(), BOAT, None, (OWNER, &now)).unwrap().build;
    let rotor = bench.shop().part_of(PartKind::Rotor, "R-114").unwrap().unwrap().id;
    let finding = NewFinding {
        build,
        part: Some(rotor),
        place: "gear face, tip 1",
        contact: records::Contact::Seen,
        running: Some("12 h"),
        note: "bright patch",
        person: bench.shop().people().unwrap()[0].id,
        at: &now,
    };
    bench.shop().add_finding(&finding).unwrap();
    let page = bench.page(&format!("/shelf/{rotor}"));
    for text in ["/builds/1", "gear face to the rear", "gear face, tip 1", "bright patch", "12 h"] {
        assert!(page.contains(text), "{text}: {page}");
    }
    assert!(!page.contains("Enter the reading") && !page.contains("Retire it"));
    let path = format!("/shelf/{rotor}/reading");
    let typed = [("station", "land_width.1"), ("value", "79.9 mm"), ("seen", "0")];
    refused(&mut bench, &path, &typed, "enter it there");
    let path = format!("/shelf/{rotor}/retire");
    refused(&mut bench, &path, &[("retired", "yes"), ("why", "x")], "take it out");
    assert!(!bench.page("/shelf").contains("R-114"));
    assert!(bench.page("/shelf?which=all&serial=R").contains("Merganser, boat 7"));
}

#[test]
fn a_page_lists_fifty_parts_and_says_that_there_are_more() {
    let (_folder, mut bench) = begun();
    let now = Moment::new("2026-11-28T09:30:00Z").unwrap();
    let ada = bench.shop().people().unwrap()[0].id;
    for n in 0..60 {
        bench.shop().add_part(PartKind::Rotor, &format!("R-{n:03}"), (ada, &now)).unwrap();
    }
    let page = bench.page("/shelf");
    assert!(page.contains("R-049") && !page.contains("R-050"), "{page}");
    assert!(page.contains("Type more of the serial"));
    assert!(bench.page("/shelf?serial=r-05").contains("R-059"));
    for n in 0..60 {
        bench.shop().add_customer(&format!("Customer {n:03}"), "", "").unwrap();
    }
    let page = bench.page("/customers");
    assert!(page.contains("Customer 049") && !page.contains("Customer 050"));
    assert!(page.contains("/customers?find=&amp;from=50"), "{page}");
    let page = bench.page("/customers?find=&from=50");
    assert!(page.contains("Customer 059") && !page.contains("Customer 049"));
    assert!(!bench.page("/customers?from=99999999999").contains("Customer 0"));
}

#[test]
fn attachments_come_back_as_what_they_are() {
    let (_folder, mut bench) = begun();
    bench.must("/shelf", &[("part-kind", "rotor"), ("part-serial", "R-114")]);
    let png = b"\x89PNG\r\n\x1a\nnot much of a picture";
    let answer = upload(&mut bench, "/shelf/1/photo", "C:\\photos\\tip.png", png);
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text());
    let answer = upload(&mut bench, "/shelf/1/photo", "a\u{e9}report.pdf", b"%PDF-1.7\n...");
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text());
    let page = bench.page("/shelf/1");
    assert!(page.contains("<img src=\"/attachments/1\" alt=\"tip.png\""), "{page}");
    assert!(page.contains("Save the PDF"), "{page}");
    let picture = bench.get("/attachments/1");
    assert_eq!(picture.body, png);
    assert_eq!(picture.headers["content-type"], "image/png");
    assert_eq!(picture.headers["x-content-type-options"], "nosniff");
    assert_eq!(picture.headers["cache-control"], "no-store");
    let pdf = bench.get("/attachments/2");
    assert_eq!(pdf.headers["content-type"], "application/pdf");
    let disposition = pdf.headers["content-disposition"].to_str().unwrap();
    assert!(disposition.starts_with("attachment; filename=\"a-report.pdf"), "{disposition}");
    let html = upload(&mut bench, "/shelf/1/photo", "a.png", b"<html><script>1</script>");
    assert_eq!(html.status, StatusCode::UNSUPPORTED_MEDIA_TYPE);
    assert!(html.text().contains("attach one of these"));
    let large = [&png[..], &vec![0; 16 * 1024 * 1024]].concat();
    let large = upload(&mut bench, "/shelf/1/photo", "a.png", &large);
    assert_eq!(large.status, StatusCode::PAYLOAD_TOO_LARGE);
    assert!(bench.shop().attachment(AttachmentId(3)).is_err());
    let none = upload(&mut bench, "/shelf/1/photo", "", b"");
    assert!(none.text().contains("choose a photo or a PDF"), "{}", none.text());
    assert_eq!(upload(&mut bench, "/shelf/9/photo", "a.png", png).status, StatusCode::NOT_FOUND);
    assert_eq!(bench.get("/attachments/9").status, StatusCode::NOT_FOUND);
    bench.must("/out", &[]);
    assert_eq!(bench.get("/attachments/1").to(), "/in");
}

#[test]
fn a_spec_in_versions() {
    let (_folder, mut bench) = begun();
    assert!(bench.page("/specs").contains("No specs yet."));
    let empty = bench.page("/specs/new");
    assert!(empty.contains("name=\"at:spec.side_clearance.target\""));
    assert!(empty.contains("A clearance from 0 mm to 3 mm"), "{empty}");
    let of_boat = lines("spec");
    let sprint = bench.must("/specs", &with(&of_boat, &[("name", "sprint, boosted")]));
    assert_eq!(sprint, "/specs/1");
    let kept = bench.shop().spec_lines(SpecId(1)).unwrap();
    assert_eq!(kept[0], Line { place: "spec.name".into(), value: "\"sprint, boosted\"".into() });
    assert_eq!(kept.len(), of_boat.len() + 1);
    let page = bench.page("/specs/1");
    for text in [
        "side clearance, target",
        "0.220 mm (0.0087 in)",
        "seals, spring margin",
        "Keep as version 2",
        "Change version 1 itself",
    ] {
        assert!(page.contains(text), "{text}: {page}");
    }
    assert!(bench.page("/specs/new?from=1").contains("value=\"0.22 mm\""));

    // What is wrong is told by the words of the form, and nothing is kept.
    let wrong = with(
        &of_boat,
        &[("name", "x"), ("at:spec.step.target", "5"), ("at:spec.match", "8 parsec")],
    );
    let said = refused(&mut bench, "/specs", &wrong, "step, target: ").text();
    assert!(said.contains("Match: ") && said.contains("parsec"), "{said}");
    refused(&mut bench, "/specs", &with(&of_boat, &[("name", "")]), "is called is empty");
    refused(
        &mut bench,
        "/specs",
        &with(&of_boat, &[("name", "x"), ("at:spec.step.target", "")]),
        "step",
    );
    refused(
        &mut bench,
        "/specs",
        &with(&of_boat, &[("name", "x"), ("at:engine.rotors", "2")]),
        "has no place here",
    );
    refused(
        &mut bench,
        "/specs",
        &with(&of_boat, &[("name", "x"), ("at:spec.colour", "2")]),
        "no such place",
    );
    refused(&mut bench, "/specs", &[("name", "x")], "is missing");
    for (place, value, why) in [
        ("spec.contact_chance", "", "has no value"),
        ("", "0.01", "it is not said of what"),
        ("spec.contact_chance", "often", "contact chance"),
        ("spec.match", "9 um", "filled in twice"),
    ] {
        let further = with(&of_boat, &[("more-place", place), ("more-value", value)]);
        refused(&mut bench, "/specs/1/next", &further, why);
    }
    // A version that no build refers to is changed itself, a further line with it.
    let tighter = with(
        &of_boat,
        &[("at:spec.match", "6 um"), ("more-place", "spec.contact_chance"), ("more-value", "0.01")],
    );
    assert_eq!(bench.must("/specs/1/change", &tighter), "/specs/1");
    let kept = bench.shop().spec_lines(SpecId(1)).unwrap();
    assert!(kept.contains(&Line { place: "spec.contact_chance".into(), value: "0.01".into() }));
    // One that a build refers to is not.
    let now = Moment::new("2026-11-28T09:30:00Z").unwrap();
    let ada = bench.shop().people().unwrap()[0].id;
    let head = Head { name: "B".into(), customer: None, engine: None, spec: Some(SpecId(1)) };
    let due = Due { stage: Stage::Inspection, next: String::new(), by: None, holder: None };
    bench.shop().add_build(&head, None, &due, (ada, &now)).unwrap();
    let page = bench.page("/specs/1");
    assert!(
        page.contains("fixed: 1 build refers to it") && !page.contains("Change version 1 itself"),
        "{page}"
    );
    let before = bench.shop().spec_lines(SpecId(1)).unwrap();
    refused(&mut bench, "/specs/1/change", &with(&of_boat, &[]), "");
    assert_eq!(bench.shop().spec_lines(SpecId(1)).unwrap(), before);
    assert_eq!(bench.must("/specs/1/next", &with(&of_boat, &[])), "/specs/2");
    assert!(bench.page("/specs/2").contains("sprint, boosted, version 2"));
    assert_eq!(bench.get("/specs/9").status, StatusCode::NOT_FOUND);
    assert_eq!(bench.get("/specs/new?from=9").status, StatusCode::NOT_FOUND);
    refused(&mut bench, "/specs/9/next", &with(&of_boat, &[]), "no spec 9");
    refused(&mut bench, "/specs/9/change", &with(&of_boat, &[]), "no spec 9");
}

/// A mill as the form of a new machine tool asks for it.
const MILL: [(&str, &str); 20] = [
    ("name", "west mill"),
    ("kind", "vertical mill"),
    ("units", "mm"),
    ("units_word", "G21"),
    ("x_reads", ""),
    ("most_speed", "4000 rpm"),
    ("rapid", "5 m/min"),
    ("fixture.held_by", "land"),
    ("fixture.clamp_radius", "34 mm"),
    ("fixture.clamp_height", "18 mm"),
    ("cutter.diameter", "16 mm"),
    ("cutter.corner_radius", "0.4 mm"),
    ("cutter.teeth", "3"),
    ("cutter.reach", "40 mm"),
    ("cutter.holder_diameter", "40 mm"),
    ("rough.cutting_speed", "230 ft/min"),
    ("rough.feed", "0.08 mm"),
    ("rough.depth", "0.3 mm"),
    ("finish.cutting_speed", "90 m/min"),
    ("finish.feed", "0.05 mm"),
];

fn mill(name: &str, stock: &str) -> Vec<(String, String)> {
    let with = MILL.into_iter().skip(1).chain([("name", name), ("finish.stock", stock)]);
    with.map(|(key, value)| (key.to_owned(), value.to_owned())).collect()
}

#[test]
fn machine_tools() {
    let (_folder, mut bench) = begun();
    assert!(bench.page("/machine-tools").contains("No machine tools yet."));
    let new = bench.page("/machine-tools/new");
    for part in [
        "Cutting speed",
        "Teeth, of a mill",
        "X reads, of a lathe",
        "<option value=\"vertical mill\"",
    ] {
        assert!(new.contains(part), "{part}");
    }
    let send = |bench: &mut Bench, name: &str, stock: &str, changes: &[(&str, &str)]| {
        let mut fields = mill(name, stock);
        for (key, value) in changes {
            fields.retain(|(known, _)| known != key);
            fields.push(((*key).to_owned(), (*value).to_owned()));
        }
        refused(bench, "/machine-tools", &with(&fields, &[]), "").text()
    };
    let said = send(&mut bench, "west mill", "30", &[]);
    assert!(said.contains("Finish, stock: &quot;30&quot; has no unit"), "{said}");
    let said = send(&mut bench, "west mill", "30 um", &[("cutter.teeth", "")]);
    assert!(said.contains("teeth is missing"), "{said}");
    let said = send(&mut bench, "west mill", "30 um", &[("x_reads", "radius")]);
    assert!(said.contains("X reads: x_reads of a vertical mill"), "{said}");
    let said = send(&mut bench, "west mill", "30 um", &[("units_word", "G20")]);
    assert!(said.contains("G20 does not make the numbers mm"), "{said}");
    let said = send(&mut bench, "", "30 um", &[]);
    assert!(said.contains("What the machine is called"), "{said}");

    let fields = mill("west mill", "30 um");
    assert_eq!(bench.must("/machine-tools", &with(&fields, &[])), "/machine-tools/1");
    let page = bench.page("/machine-tools/1");
    assert!(page.contains("230 ft/min") && page.contains("16.000 mm (0.6299 in)"), "{page}");
    assert!(page.contains("<caption>Machine tool</caption>"), "{page}");
    assert!(bench.page("/machine-tools").contains("west mill"));
    refused(&mut bench, "/machine-tools", &with(&fields, &[]), "of this name already");
    let of_it = bench.shop().machine_tool_lines(records::MachineToolId(1)).unwrap();
    assert_eq!(of_it.len(), 19);
    let fields: Vec<(String, String)> = of_it
        .iter()
        .map(|l| (format!("at:{}", l.place), l.value.trim_matches('"').replace("4000", "3000")))
        .collect();
    let more = [("more-place", "machine_tool.\"west mill\".least_speed"), ("more-value", "60 rpm")];
    bench.must("/machine-tools/1", &with(&fields, &more));
    let page = bench.page("/machine-tools/1");
    assert!(page.contains("3000 rpm") && page.contains("60 rpm"), "{page}");
    refused(&mut bench, "/machine-tools/9", &with(&fields, &[]), "no machine tool 9");
    assert_eq!(bench.get("/machine-tools/9").status, StatusCode::NOT_FOUND);
}

#[test]
fn engines_and_materials() {
    let (_folder, mut bench) = begun();
    assert!(bench.page("/engines").contains("Built in: "));
    assert!(bench.page("/engines/new").contains("name=\"at:engine.generating_radius\""));
    let iron = [
        ("material-name", "EN-GJS 500"),
        ("expansion", "11.5e-6 /K"),
        ("density", "7150 kg/m3"),
        ("young", "170 GPa"),
        ("poisson", "0.28"),
    ];
    assert_eq!(bench.must("/materials", &iron), "/materials/1");
    assert!(bench.page("/materials/1").contains("11.5e-6 /K"));
    refused(&mut bench, "/materials", &iron, "of this name already");
    let wrong = |key, value| {
        let mut fields = iron;
        fields[0].1 = "other";
        fields.iter_mut().filter(|(name, _)| *name == key).for_each(|field| field.1 = value);
        fields
    };
    refused(&mut bench, "/materials", &wrong("density", "7150"), "density: ");
    refused(&mut bench, "/materials", &wrong("poisson", "a third"), "Poisson's ratio: ");
    refused(&mut bench, "/materials", &wrong("material-name", "nodular iron"), "is built in");
    refused(&mut bench, "/materials", &wrong("expansion", ""), "expansion");
    let lines_of = bench.shop().material_lines(records::MaterialId(1)).unwrap();
    let fields: Vec<(String, String)> = lines_of
        .iter()
        .map(|l| (format!("at:{}", l.place), l.value.trim_matches('"').replace("7150", "7200")))
        .collect();
    bench.must("/materials/1", &with(&fields, &[]));
    assert!(bench.page("/materials/1").contains("7200 kg/m3"));
    refused(&mut bench, "/materials/9", &with(&fields, &[]), "no material 9");
    assert_eq!(bench.get("/materials/9").status, StatusCode::NOT_FOUND);

    let engine = lines("engine");
    let own = [("name", "two, peripheral"), ("at:engine.rotor_material", "EN-GJS 500")];
    assert_eq!(bench.must("/engines", &with(&engine, &own)), "/engines/1");
    let page = bench.page("/engines/1");
    assert!(page.contains("101.500 mm (3.9961 in)") && page.contains("Keep this text"), "{page}");
    refused(&mut bench, "/engines", &with(&engine, &own), "of this name already");
    let small = [("name", "x"), ("at:engine.eccentricity", "14.5")];
    refused(&mut bench, "/engines", &with(&engine, &small), "eccentricity: ");
    let unknown = [("name", "x"), ("at:engine.rotor_material", "mithril")];
    refused(&mut bench, "/engines", &with(&engine, &unknown), "rotor material: ");
    let three = [("at:engine.rotors", "3"), ("more-place", "gear.offset"), ("more-value", "30 mm")];
    bench.must("/engines/1", &with(&engine, &three));
    assert!(bench.page("/engines/1").contains("30 mm"));
    refused(&mut bench, "/engines/9", &with(&engine, &[]), "no engine 9");

    let text = "[engine]\nrotors = 1\ngenerating_radius = \"101.5 mm\"\neccentricity = \"14.5 mm\"\n\
                parallel_shift = \"2.5 mm\"\nland_radius = \"61 mm\"\nrotor_tip_radius = \"99 mm\"\n\
                rotor_material = \"nodular iron\"\nhousing_material = \"cast aluminium\"\n\
                [seals.apex]\nlength = \"79.95 mm\"\n";
    assert_eq!(bench.must("/engines", &[("text-name", "one"), ("text", text)]), "/engines/2");
    let longer = text.replace("79.95 mm", "79.96 mm").replace('\n', "\r\n");
    bench.must("/engines/2/text", &[("text", &longer)]);
    assert!(bench.page("/engines/2").contains("79.96 mm"));
    let slip = text.replace("land_radius", "land_raduis");
    let said = refused(&mut bench, "/engines/2/text", &[("text", &slip)], "did you mean").text();
    assert!(said.contains("land_radius"), "{said}");
    refused(&mut bench, "/engines/2/text", &[("text", "[engine")], "cannot be read");
    refused(&mut bench, "/engines/2/text", &[("text", "[build]\nname = \"x\"")], "no place here");
    refused(&mut bench, "/engines/2/text", &[("text", "")], "nothing is filled in");
    assert_eq!(bench.get("/engines/9").status, StatusCode::NOT_FOUND);
}

#[test]
fn gauges_with_their_calibrations() {
    let (_folder, mut bench) = begun();
    assert!(bench.page("/gauges").contains("No gauges yet."));
    let new = |name, kind, repeat, due| {
        [
            ("name", name),
            ("kind", kind),
            ("repeat", repeat),
            ("zero", ""),
            ("day", "2026-01-10"),
            ("due", due),
            ("certificate", "C-17"),
        ]
    };
    assert_eq!(bench.must("/gauges", &new("M-3", "micrometer", "2 um", "2027-05-01")), "/gauges/1");
    bench.must("/gauges", &new("S-1", "scale", "0.2 g", "2026-11-27"));
    bench.must("/gauges", &new("D-1", "depth gauge", "3 um", "2026-12-20"));
    let list = bench.page("/gauges");
    assert!(list.contains("The calibration of 1 gauge is overdue."), "{list}");
    let at = |text: &str| list.find(text).unwrap_or_else(|| panic!("{text}: {list}"));
    assert!(at("overdue since 2026-11-27") < at("due soon, on 2026-12-20"));
    assert!(at("due soon, on 2026-12-20") < at("next due on 2027-05-01"));
    refused(&mut bench, "/gauges", &new("M-3", "micrometer", "2 um", ""), "of this name already");
    refused(
        &mut bench,
        "/gauges",
        &new("M-4", "micrometer", "2", ""),
        "uncertainty of each reading",
    );
    refused(
        &mut bench,
        "/gauges",
        &new("M-4", "scale", "2 um", ""),
        "standard uncertainty of a scale",
    );
    refused(&mut bench, "/gauges", &new("M-4", "micrometer", "2 um", "soon"), "is no day such as");
    refused(
        &mut bench,
        "/gauges",
        &new("M-4", "micrometer", "2 um", "2026-01-01"),
        "look at both days",
    );
    refused(&mut bench, "/gauges", &new("M-4", "", "2 um", ""), "What it is is empty");
    let again = [
        ("repeat", "0.1 g"),
        ("zero", "0.1 g"),
        ("day", "2026-11-28"),
        ("due", "2027-11-28"),
        ("certificate", "C-18"),
    ];
    bench.must("/gauges/2/calibration", &again);
    let page = bench.page("/gauges/2");
    assert!(page.contains("C-17") && page.contains("C-18") && page.contains("(holds)"), "{page}");
    refused(&mut bench, "/gauges/9/calibration", &again, "no gauge 9");
    refused(&mut bench, "/gauges/2/use", &[("use", "maybe")], "choose one");
    refused(&mut bench, "/gauges/9/use", &[("use", "no")], "no gauge 9");
    bench.must("/gauges/1/use", &[("use", "no")]);
    assert!(bench.page("/gauges/1").contains("out of use"));
    bench.must("/gauges/1/use", &[("use", "yes")]);
    assert!(bench.shop().gauge(GaugeId(1)).unwrap().active);
}

#[test]
fn an_overdue_gauge_is_named_or_refused_as_the_shop_says() {
    let (_folder, mut bench) = begun();
    bench.must("/shelf", &[("part-kind", "rotor"), ("part-serial", "R-1")]);
    let calibration = NewCalibration {
        day: None,
        due: Some(Day::new("2026-11-01").unwrap()),
        repeat: Written::read::<Length>("2 um").unwrap(),
        zero: None,
        certificate: String::new(),
        person: None,
    };
    bench.shop().add_gauge("M-3", "micrometer", &calibration).unwrap();
    assert!(bench.page("/shelf/1").contains("calibration overdue since 2026-11-01"));
    let read = |seen| [("station", "mass"), ("value", "4312 g"), ("gauge", "1"), ("seen", seen)];
    bench.must("/shelf/1/reading", &read("0"));
    let rule = [("name", "Quill Rotary"), ("units", "metric"), ("overdue", "refuse")];
    bench.must("/shop", &rule);
    refused(&mut bench, "/shelf/1/reading", &read("1"), "enter its new calibration");
    assert!(!bench.page("/shelf/1").contains("calibration overdue since"));
    let missing = [("station", "mass"), ("value", "4312 g"), ("gauge", "7"), ("seen", "1")];
    refused(&mut bench, "/shelf/1/reading", &missing, "no gauge 7");
}

#[test]
fn customers_and_what_they_brought() {
    let (_folder, mut bench) = begun();
    assert!(bench.page("/customers").contains("No customers yet."));
    let tern = [("name", "Tern Racing"), ("contact", "tern@example.org"), ("note", "pays late")];
    assert_eq!(bench.must("/customers", &tern), "/customers/1");
    bench.must("/customers", &[("name", "Heron Flyers"), ("contact", ""), ("note", "")]);
    assert!(bench.page("/customers?find=TERN").contains("Tern Racing"));
    assert!(!bench.page("/customers?find=tern").contains("Heron"));
    refused(&mut bench, "/customers", &[("name", "")], "is called is empty");
    let came = [("came-in", "an engine in parts"), ("wanted", "a rebuild"), ("due", "2026-12-24")];
    bench.must("/customers/1/intake", &came);
    refused(
        &mut bench,
        "/customers/1/intake",
        &[("came-in", "x"), ("wanted", "")],
        "What is wanted is empty",
    );
    let late = [("came-in", "x"), ("wanted", "y"), ("due", "24.12.")];
    refused(&mut bench, "/customers/1/intake", &late, "no day such as");
    refused(&mut bench, "/customers/9/intake", &came, "no customer 9");
    let page = bench.page("/customers/1");
    assert!(page.contains("/builds/new?intake=1") && page.contains("pays late"), "{page}");
    assert!(bench.page("/customers").contains("Came in, and no build yet"));
    // Once it has a build, that is where it leads.
    let now = Moment::new("2026-11-28T09:30:00Z").unwrap();
    let ada = bench.shop().people().unwrap()[0].id;
    let head = Head {
        name: "Boat 9".into(),
        customer: Some(records::CustomerId(1)),
        engine: None,
        spec: None,
    };
    let due = Due { stage: Stage::Teardown, next: String::new(), by: None, holder: None };
    bench.shop().add_build(&head, Some(records::IntakeId(1)), &due, (ada, &now)).unwrap();
    let page = bench.page("/customers/1");
    assert!(page.contains("/builds/1") && !page.contains("/builds/new"), "{page}");
    bench.must("/customers/1", &[("name", "Tern & Sons"), ("contact", "c"), ("note", "n")]);
    assert!(bench.page("/customers/1").contains("Tern &amp; Sons"));
    refused(&mut bench, "/customers/1", &[("name", "")], "is empty");
    refused(&mut bench, "/customers/9", &tern, "no customer 9");
    assert_eq!(bench.get("/customers/9").status, StatusCode::NOT_FOUND);
}

#[test]
fn people_come_change_and_go() {
    let (_folder, mut bench) = begun();
    let mut ben = builder(&mut bench);
    assert!(ben.page("/people").contains("Adding a person is the owner"));
    assert!(ben.page("/people/me").contains("Your password until now"));
    let new = |name, role, password| {
        [("name", name), ("role", role), ("password", password), ("again", password)]
    };
    refused(
        &mut bench,
        "/people",
        &new("Ben Reed", "builder", "warm start 8"),
        "of this name already",
    );
    refused(&mut bench, "/people", &new("Cleo", "", "warm start 8"), "a role is empty");
    refused(&mut bench, "/people", &new("Cleo", "builder", "short"), "at least 12 characters");
    refused(&mut bench, "/people", &new("", "builder", "warm start 8"), "Name is empty");
    let unlike =
        [("name", "Cleo"), ("role", "x"), ("password", "warm start 8"), ("again", "warm start 9")];
    refused(&mut bench, "/people", &unlike, "are not the same");
    // The last owner stays.
    let change = |role, active| [("name", OWNER), ("role", role), ("active", active)];
    refused(&mut bench, "/people/1", &change("builder", "yes"), "is the only owner");
    refused(&mut bench, "/people/1", &change("owner", "no"), "is the only owner");
    refused(&mut bench, "/people/1", &change("owner", "perhaps"), "choose one");
    refused(
        &mut bench,
        "/people/9",
        &[("name", "X"), ("role", "y"), ("active", "yes")],
        "no person 9",
    );
    // One's own password needs the old one, and ends every other session.
    let mut elsewhere = Bench { cookie: None, ..ben.clone() };
    elsewhere.must("/in", &[("name", "Ben Reed"), ("password", "warm start 8")]);
    let mine = |old| [("old", old), ("password", "hot soak 11 b"), ("again", "hot soak 11 b")];
    refused(&mut ben, "/people/me", &mine("warm start 9"), "is another one");
    ben.must("/people/me", &mine("warm start 8"));
    ben.page("/people");
    assert_eq!(elsewhere.get("/people").to(), "/in");
    // The owner sets another one.
    let set = [("password", "cold soak 12"), ("again", "cold soak 12")];
    bench.must("/people/2/password", &set);
    assert_eq!(ben.get("/people").to(), "/in");
    ben.must("/in", &[("name", "Ben Reed"), ("password", "cold soak 12")]);
    refused(&mut bench, "/people/9/password", &set, "no person 9");
    refused(&mut bench, "/people/1/password", &set, "where the old one is asked");
    // Who is gone is signed out, and cannot come back.
    bench.must("/people/2", &[("name", "Ben Reed"), ("role", "builder"), ("active", "no")]);
    assert_eq!(ben.get("/people").to(), "/in");
    assert!(
        ben.send("/in", &[("name", "Ben Reed"), ("password", "cold soak 12")])
            .status
            .is_client_error()
    );
    // Two owners: one may go.
    bench.must("/people/2", &[("name", "Ben Reed"), ("role", "Owner"), ("active", "yes")]);
    bench.must("/people/1", &change("builder", "yes"));
    assert_eq!(bench.get("/people").to(), "/in");
    bench.must("/in", &[("name", OWNER), ("password", PASSWORD)]);
    assert_eq!(bench.get("/people/2").status, StatusCode::FORBIDDEN);
}

#[test]
fn the_shop_its_backup_and_its_audit() {
    let (folder, mut bench) = begun();
    bench.must("/shelf", &[("part-kind", "rotor"), ("part-serial", "R-1")]);
    let read = [("station", "land_width.1"), ("value", "79.915 mm"), ("seen", "0")];
    bench.must("/shelf/1/reading", &read);
    let backup = bench.get("/shop/backup");
    assert_eq!(backup.status, StatusCode::OK);
    let disposition = backup.headers["content-disposition"].to_str().unwrap();
    assert_eq!(disposition, "attachment; filename=\"shop-2026-11-28.db\"");
    let copy = folder.path().join("copy.db");
    std::fs::write(&copy, &backup.body).unwrap();
    let now = Moment::new("2026-11-28T09:30:00Z").unwrap();
    let back = Shop::open(&copy, &now).unwrap();
    assert!(back.part_of(PartKind::Rotor, "R-1").unwrap().is_some());
    let left: Vec<_> = std::fs::read_dir(folder.path())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.contains("part-"))
        .collect();
    assert!(left.is_empty(), "{left:?}");

    let audit = bench.send("/shop/audit", &[]).text();
    assert!(
        audit.contains("The record holds together.") && audit.contains("mark holds"),
        "{audit}"
    );
    // One byte of the file, changed without the program.
    let raw = std::fs::read(bench.shop().file()).unwrap();
    let found = raw.windows(9).position(|bytes| bytes == b"79.915 mm");
    let wal = folder.path().join("shop.db-wal");
    let in_wal = std::fs::read(&wal).unwrap().windows(9).any(|bytes| bytes == b"79.915 mm");
    assert!(found.is_some() || in_wal);
    let mut raw = backup.body.clone();
    let at = raw.windows(9).position(|bytes| bytes == b"79.915 mm").unwrap();
    raw[at + 4] = b'8';
    let changed = folder.path().join("changed.db");
    std::fs::write(&changed, &raw).unwrap();
    let mut other = crate::bench::over(Shop::open(&changed, &now).unwrap());
    other.must("/in", &[("name", OWNER), ("password", PASSWORD)]);
    let audit = other.send("/shop/audit", &[]).text();
    assert!(audit.contains("does not hold together") && audit.contains("reading 1"), "{audit}");
    assert!(audit.contains("mark stopped"), "{audit}");

    let rules = |name, units, overdue| {
        let sessions = [("session_hours", "12"), ("session_idle_minutes", "120")];
        [("name", name), ("units", units), ("overdue", overdue), sessions[0], sessions[1]]
    };
    bench.must("/shop", &rules("Quill & Daughters", "inch", "refuse"));
    let page = bench.page("/shop");
    assert!(page.contains("Quill &amp; Daughters"), "{page}");
    assert!(bench.page("/shelf/1").contains("3.1463 in (79.915 mm)"));
    for (wrong, why) in [
        (rules("", "inch", "refuse"), "is empty"),
        (rules("x", "cubit", "refuse"), "units come first"),
        (rules("x", "inch", "shrug"), "overdue gauge"),
    ] {
        refused(&mut bench, "/shop", &wrong, why);
        assert_eq!(bench.shop().setting("name").unwrap().as_deref(), Some("Quill & Daughters"));
    }
}

#[test]
fn what_is_the_owners_is_refused_to_others() {
    let (_folder, mut bench) = begun();
    let boat = lines("spec");
    bench.must("/specs", &with(&boat, &[("name", "sprint")]));
    let engine = lines("engine");
    bench.must("/engines", &with(&engine, &[("name", "two")]));
    let mut ben = builder(&mut bench);
    for path in [
        "/shelf",
        "/specs",
        "/specs/1",
        "/engines",
        "/engines/1",
        "/gauges",
        "/customers",
        "/people",
        "/people/me",
        "/shop",
    ] {
        let page = ben.page(path);
        assert!(page.contains("<h1>"), "{path}");
    }
    for path in [
        "/specs",
        "/specs/1/next",
        "/specs/1/change",
        "/engines",
        "/engines/1",
        "/engines/1/text",
        "/materials",
        "/materials/1",
        "/machine-tools",
        "/machine-tools/1",
        "/people",
        "/people/1",
        "/people/1/password",
        "/shop",
    ] {
        let before = count(ben.shop());
        let answer = ben.send(path, &with(&boat, &[("name", "x")]));
        assert_eq!(answer.status, StatusCode::FORBIDDEN, "{path}");
        assert!(answer.text().contains("Only the owner may do this"));
        assert_eq!(count(ben.shop()), before);
    }
    for path in ["/specs/new", "/engines/new", "/machine-tools/new", "/people/1", "/shop/backup"] {
        assert_eq!(ben.get(path).status, StatusCode::FORBIDDEN, "{path}");
    }
    assert!(
        !ben.page("/specs/1").contains("<textarea") && !ben.page("/specs/1").contains("at:spec")
    );
    // The work of the benches is everybody's.
    ben.must("/shelf", &[("part-kind", "rotor"), ("part-serial", "R-7")]);
    ben.must("/shelf/1/event", &[("what", "came")]);
    ben.must("/customers", &[("name", "Tern")]);
    ben.must("/customers/1/intake", &[("came-in", "x"), ("wanted", "y")]);
    ben.must("/gauges", &[("name", "M"), ("kind", "micrometer"), ("repeat", "2 um")]);
    ben.must("/gauges/1/calibration", &[("repeat", "2 um")]);
    assert_eq!(ben.send("/shop/audit", &[]).status, StatusCode::OK);
    let mut nobody = Bench { cookie: None, ..bench.clone() };
    for path in [
        "/shelf",
        "/shelf/1",
        "/specs",
        "/engines",
        "/gauges",
        "/customers",
        "/people",
        "/people/me",
        "/shop",
        "/shop/backup",
        "/attachments/1",
    ] {
        assert_eq!(nobody.get(path).to(), "/in", "{path}");
    }
    assert_eq!(
        nobody.send("/shelf", &[("part-kind", "rotor"), ("part-serial", "R-8")]).status,
        StatusCode::UNAUTHORIZED
    );
    assert!(bench.shop().part_of(PartKind::Rotor, "R-8").unwrap().is_none());
}

/// As it must stand in a page.
fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

#[test]
fn text_stays_text_wherever_it_is_typed() {
    let (_folder, mut bench) = begun();
    let engine = lines("engine");
    let boat = lines("spec");
    for (n, ugly) in UGLY.into_iter().enumerate() {
        let id = n + 1;
        bench.must("/shelf", &[("part-kind", "rotor"), ("part-serial", ugly)]);
        bench.must(&format!("/shelf/{id}/event"), &[("what", ugly)]);
        bench.must(&format!("/shelf/{id}/retire"), &[("retired", "yes"), ("why", ugly)]);
        bench.must(&format!("/shelf/{id}/retire"), &[("retired", "no"), ("why", ugly)]);
        let photo = upload(
            &mut bench,
            &format!("/shelf/{id}/photo"),
            &ugly.replace('"', "'"),
            b"\x89PNG\r\n\x1a\n",
        );
        assert_eq!(photo.status, StatusCode::SEE_OTHER, "{}", photo.text());
        bench.must("/specs", &with(&boat, &[("name", ugly)]));
        let material =
            [("material-name", ugly), ("expansion", "11e-6 /K"), ("density", "7100 kg/m3")];
        bench.must("/materials", &material);
        bench.must("/machine-tools", &with(&mill(ugly, "30 um"), &[]));
        bench.must(
            "/engines",
            &with(&engine, &[("name", ugly), ("at:engine.rotor_material", ugly)]),
        );
        let gauge = [("name", ugly), ("kind", ugly), ("repeat", "2 um"), ("certificate", ugly)];
        bench.must("/gauges", &gauge);
        let customer = [("name", ugly), ("contact", ugly), ("note", ugly)];
        bench.must("/customers", &customer);
        bench.must(&format!("/customers/{id}/intake"), &[("came-in", ugly), ("wanted", ugly)]);
        let person = [
            ("name", ugly),
            ("role", ugly),
            ("password", "warm start 8"),
            ("again", "warm start 8"),
        ];
        bench.must("/people", &person);
        bench.must("/shop", &[("name", ugly), ("units", "metric"), ("overdue", "warn")]);
        let query: String = form_urlencoded::byte_serialize(ugly.as_bytes()).collect();
        for path in [
            "/shelf".to_owned(),
            format!("/shelf?serial={query}&kind={query}&which={query}"),
            format!("/shelf/{id}"),
            format!("/shelf/{id}?station={query}&gauge={query}"),
            "/specs".to_owned(),
            format!("/specs/{id}"),
            format!("/specs/new?from={id}"),
            "/engines".to_owned(),
            format!("/engines/{id}"),
            format!("/materials/{id}"),
            "/machine-tools".to_owned(),
            format!("/machine-tools/{id}"),
            "/gauges".to_owned(),
            format!("/gauges/{id}"),
            format!("/customers?find={query}"),
            format!("/customers/{id}"),
            "/people".to_owned(),
            format!("/people/{}", id + 1),
            "/shop".to_owned(),
        ] {
            let page = bench.page(&path);
            assert!(page.contains(&escaped(ugly)), "{path} lost {ugly}: {page}");
            for raw in ["<script>alert", "<img src=x", "onerror=alert(1)>\n"] {
                assert!(!page.contains(raw), "{path}: {raw}");
            }
            assert!(!page.contains("style=") && !page.contains("<style"), "{path}");
        }
        // What is refused is told as text too.
        let wrong = [("station", ugly), ("value", ugly), ("seen", "0")];
        let said = refused(&mut bench, &format!("/shelf/{id}/reading"), &wrong, "").text();
        assert!(!said.contains("<script>alert") && !said.contains("<img src=x"), "{said}");
        let next = with(&boat, &[("at:spec.match", ugly), ("at:spec.outside", ugly)]);
        let said = refused(&mut bench, &format!("/specs/{id}/next"), &next, "match: ").text();
        assert!(!said.contains("<script>alert") && !said.contains("<img src=x"), "{said}");
        let all = bench.shop().builds(&BuildSearch { most: 9, ..BuildSearch::default() }).unwrap();
        assert!(all.is_empty() && bench.shop().build(BuildId(1)).is_err());
    }
    bench.shop().audit().unwrap();
    bench.shop().check().unwrap();
}

/// Every control of a page has a label, and no two things have one id.
#[test]
fn every_control_has_a_label() {
    let (_folder, mut bench) = begun();
    bench.must("/shelf", &[("part-kind", "rotor"), ("part-serial", "R-1")]);
    bench.must("/specs", &with(&lines("spec"), &[("name", "sprint")]));
    bench.must("/engines", &with(&lines("engine"), &[("name", "two")]));
    let material = [("material-name", "own"), ("expansion", "11e-6 /K"), ("density", "7100 kg/m3")];
    bench.must("/materials", &material);
    bench.must("/machine-tools", &with(&mill("mill", "30 um"), &[]));
    bench.must("/gauges", &[("name", "M"), ("kind", "micrometer"), ("repeat", "2 um")]);
    bench.must("/customers", &[("name", "Tern")]);
    for path in [
        "/shelf",
        "/shelf/1",
        "/specs",
        "/specs/new",
        "/specs/1",
        "/engines",
        "/engines/new",
        "/engines/1",
        "/materials/1",
        "/machine-tools",
        "/machine-tools/new",
        "/machine-tools/1",
        "/gauges",
        "/gauges/1",
        "/customers",
        "/customers/1",
        "/people",
        "/people/1",
        "/people/me",
        "/shop",
    ] {
        let page = bench.page(path);
        let ids: Vec<&str> = values(&page, " id=\"");
        for (i, id) in ids.iter().enumerate() {
            assert!(!ids[..i].contains(id), "{path}: two are called {id}");
        }
        let labels = values(&page, "<label for=\"");
        for tag in page
            .split('<')
            .filter(|tag| ["input", "select", "textarea"].iter().any(|name| tag.starts_with(name)))
        {
            let tag = tag.split('>').next().unwrap();
            let own = values(tag, " id=\"");
            let labelled = tag.contains("type=\"hidden\"")
                || tag.contains("type=\"radio\"")
                || tag.contains("aria-label")
                || own.first().is_some_and(|id| labels.contains(id));
            assert!(labelled, "{path}: {tag}");
            // Or the browser forgets what was typed when it goes back from a page that refuses it.
            let kept = !tag.contains("type=\"text\"") || !tag.contains("autocomplete=\"off\"");
            assert!(kept, "{path}: {tag}");
        }
        let mut last = 0;
        for heading in values(&page, "<h") {
            let Some(level) = heading.chars().next().and_then(|c| c.to_digit(10)) else { continue };
            assert!(level <= last + 1, "{path}: a heading of level {level} after {last}");
            last = level;
        }
        let scoped = page.matches("<th ").count() == page.matches(" scope=").count();
        assert!(scoped && !page.contains("<th>"), "{path}");
    }
}

/// What follows a text, up to the next quote or bracket.
fn values<'t>(text: &'t str, before: &str) -> Vec<&'t str> {
    text.split(before).skip(1).map(|rest| rest.split(['"', '>']).next().unwrap()).collect()
}
