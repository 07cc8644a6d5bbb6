//! Every form of every page, filled with what nobody should type: nothing of it is a fault of the
//! program, and the record holds together afterwards. The same for bodies that are no form at all.

use crate::bench::{Answer, Bench, begun, sprint_boat};
use records::{Moment, Session, Sha};
use std::collections::BTreeMap;

/// How often each form is sent.
const TIMES: usize = 24;

/// Numbers that look like chance and are the same every time (xorshift; from memory, no source).
struct Chance(u64);

impl Chance {
    fn below(&mut self, most: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 % most as u64).unwrap()
    }

    fn of<'a, T: ?Sized>(&mut self, all: &[&'a T]) -> &'a T {
        all[self.below(all.len())]
    }
}

const HOSTILE: [&str; 30] = [
    "",
    " ",
    "\u{0}",
    "\u{1b}[31m\r\nSet-Cookie: a=b",
    "-1",
    "0",
    "1",
    "9223372036854775808",
    "1e400",
    "NaN",
    "79.914 mm",
    "-79.914 mm",
    "1e308 mm",
    "0.000000000000000000001 um",
    "95 um",
    "4312 g",
    "9800 rpm",
    "2026-02-30",
    "2026-12-24",
    "yes",
    "no",
    "rotor",
    "'; DROP TABLE build; --",
    "<script>alert(1)</script>",
    "\"]\n[engine]\nrotors = 9\n#",
    "../../../etc/passwd",
    "\u{202e}\u{2066}\u{feff}\u{10ffff}",
    "\u{7f16}\u{1f980}e\u{301}",
    "%00%ff%",
    "[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[",
];

/// A form: where it goes, and its fields with the values that they have.
type Form = (String, Vec<(String, String)>);

fn attribute<'t>(tag: &'t str, name: &str) -> Option<&'t str> {
    tag.split_once(&format!(" {name}=\"")).map(|(_, rest)| rest.split('"').next().unwrap())
}

/// The forms of all pages, each address once for its kind.
fn forms(bench: &mut Bench) -> Vec<Form> {
    let mut found: BTreeMap<String, Form> = BTreeMap::new();
    let further = ["/builds/2", "/shelf/3", "/builds/1/values/build", "/builds/1/values/engine"]
        .map(str::to_owned);
    for path in crate::rights::pages().chain(further) {
        let page = bench.get(&path).text();
        for form in page.split("<form ").skip(1) {
            let form = form.split("</form>").next().unwrap();
            let tag = format!(" {}", form.split('>').next().unwrap());
            let Some(action) = attribute(&tag, "action") else { continue };
            if attribute(&tag, "method") != Some("post") || action == "/out" {
                continue;
            }
            let fields: Vec<(String, String)> = form
                .split('<')
                .filter_map(|tag| {
                    let name = attribute(tag, "name").filter(|name| *name != "form_token")?;
                    Some((name.to_owned(), attribute(tag, "value").unwrap_or("").to_owned()))
                })
                .collect();
            let names: Vec<&str> = fields.iter().map(|(name, _)| name.as_str()).collect();
            let kind: String =
                action.chars().map(|c| if c.is_ascii_digit() { '0' } else { c }).collect();
            let key = format!("{kind} {}", names.join(" "));
            found.entry(key).or_insert_with(|| (action.to_owned(), fields));
        }
    }
    found.into_values().collect()
}

/// Signs the owner in without a password, whatever the forms did to their session.
fn sign_in(bench: &mut Bench, count: usize) {
    let shop = bench.shop();
    let owner = shop.people().unwrap().into_iter().find(|p| p.active && p.role == "owner").unwrap();
    let [now, until] =
        ["2026-11-28T09:30:00Z", "2026-11-28T19:30:00Z"].map(|at| Moment::new(at).unwrap());
    let token = format!("{count:064x}");
    let session = Session { person: owner.id, until };
    shop.open_session(Sha::of(token.as_bytes()), &session, &now).unwrap();
    bench.cookie = Some(format!("lobewright={token}"));
}

/// One form, filled by chance.
fn filled(chance: &mut Chance, fields: &[(String, String)], long: &str) -> Vec<(String, String)> {
    let mut sent = Vec::new();
    for (name, value) in fields {
        let other = match chance.below(12) {
            0 => continue,
            1 => long.to_owned(),
            2 => (0..chance.below(40))
                .map(|_| char::from_u32(chance.below(0xd000) as u32).unwrap())
                .collect(),
            3..=6 => chance.of(&HOSTILE).to_owned(),
            7 => format!("{value}{}", chance.of(&HOSTILE)),
            _ => value.clone(),
        };
        sent.push((name.clone(), other));
        if chance.below(10) == 0 {
            sent.push((name.clone(), chance.of(&HOSTILE).to_owned()));
        }
    }
    if chance.below(6) == 0 {
        sent.push((chance.of(&HOSTILE).to_owned(), chance.of(&HOSTILE).to_owned()));
    }
    sent
}

fn no_fault(answer: &Answer, what: &str) {
    let told: String = what.chars().take(2000).collect();
    assert!(answer.status.as_u16() < 500, "{told}: {} {}", answer.status, answer.text());
}

#[test]
fn no_form_filled_by_chance_is_a_fault() {
    let (_folder, mut bench) = begun();
    sprint_boat(&mut bench);
    bench.must("/customers", &[("name", "Reed Racing")]);
    bench.must("/gauges", &[("name", "M-3"), ("kind", "micrometer"), ("repeat", "2 um")]);
    bench.must(
        "/people",
        &[
            ("name", "Ben Rowe"),
            ("role", "builder"),
            ("password", "warm start 9"),
            ("again", "warm start 9"),
        ],
    );
    bench.must("/shelf", &[("part-kind", "shaft"), ("part-serial", "S-9")]);
    let all = forms(&mut bench);
    assert!(all.len() >= 25, "{:?}", all.iter().map(|(to, _)| to).collect::<Vec<_>>());
    let mut chance = Chance(0x05ee_d0fa_5409);
    let long = "x\u{e9}".repeat(20_000);
    let (mut count, mut statuses) = (0, BTreeMap::new());
    for (to, fields) in &all {
        for _ in 0..TIMES {
            count += 1;
            sign_in(&mut bench, count);
            let sent = filled(&mut chance, fields, &long);
            let pairs: Vec<(&str, &str)> =
                sent.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
            let answer = bench.send(to, &pairs);
            no_fault(&answer, &format!("{to} {sent:?}"));
            *statuses.entry(answer.status.as_u16()).or_insert(0) += 1;
        }
    }
    // Some of it was taken, most was not.
    assert!(statuses[&303] > 20 && statuses[&422] > 100, "{statuses:?}");
    bench.shop().check().unwrap();
    bench.shop().audit().unwrap();
    // What was taken is shown again without a fault.
    count += 1;
    sign_in(&mut bench, count);
    for path in crate::rights::pages() {
        no_fault(&bench.get(&path), &path);
    }
}

#[test]
fn no_body_that_is_no_form_is_a_fault() {
    let (_folder, mut bench) = begun();
    sprint_boat(&mut bench);
    let mut chance = Chance(0x0dd_b0d1e5);
    let kinds = [
        "application/x-www-form-urlencoded",
        "application/json",
        "multipart/form-data",
        "multipart/form-data; boundary=",
        "multipart/form-data; boundary=b0",
        "text/plain",
        "application/x-www-form-urlencoded; charset=utf-16",
        "",
    ];
    let mut count = 0;
    for row in lobewright::web::addresses().iter().filter(|row| row.method == "POST") {
        let address = crate::rights::filled(row.path);
        for kind in kinds {
            count += 1;
            sign_in(&mut bench, count);
            let token = bench.form_token();
            let mut body = format!("form_token={token}&").into_bytes();
            if kind.ends_with("b0") {
                let begins = "--b0\r\nContent-Disposition: form-data; name=";
                body = format!(
                    "{begins}\"form_token\"\r\n\r\n{token}\r\n{begins}\"photo\"; filename=\""
                )
                .into_bytes();
                body.extend_from_slice(b"\xff\"\r\n\r\n");
            }
            body.extend((0..chance.below(600)).map(|_| u8::try_from(chance.below(256)).unwrap()));
            let answer = bench.ask(
                "POST",
                &address,
                &[("content-type", kind), ("sec-fetch-site", "same-origin")],
                &body,
            );
            no_fault(&answer, &format!("{address} {kind}"));
        }
    }
    // Addresses and what stands after the question mark.
    for row in lobewright::web::addresses().iter().filter(|row| row.method == "GET") {
        if ["in-full", "sweep", "speed", "worked-out"].iter().any(|long| row.path.contains(long)) {
            continue;
        }
        for _ in 0..4 {
            count += 1;
            sign_in(&mut bench, count);
            let pieces: Vec<String> = row
                .path
                .split('/')
                .map(|piece| match piece.starts_with('{') {
                    true => encoded(chance.of(&HOSTILE)),
                    false => piece.to_owned(),
                })
                .collect();
            let mut query = form_urlencoded::Serializer::new(String::new());
            for name in [
                "find", "from", "which", "serial", "kind", "at", "unit", "speed", "boost",
                "machine", "piece",
            ] {
                if chance.below(2) == 0 {
                    query.append_pair(name, chance.of(&HOSTILE));
                }
            }
            let address = format!("{}?{}", pieces.join("/"), query.finish());
            no_fault(&bench.get(&address), &address);
        }
    }
    bench.shop().audit().unwrap();
}

/// A piece of an address.
fn encoded(text: &str) -> String {
    text.bytes().map(|byte| format!("%{byte:02X}")).collect()
}
