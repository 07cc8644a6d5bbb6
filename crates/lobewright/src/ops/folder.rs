//! A build of the shop as a folder: its file, its readings, its parts, what was worked out for it,
//! who signed it, what was found at its teardown, and what is attached to it and to its parts. What
//! is here can be read without this program.

use super::shop::{ShopError, export};
use super::teardown::as_file;
use crate::build_file::teardown::write_teardown;
use records::{
    AttachedTo, Attachment, Build, BuildId, Depth, GaugeId, MediaType, PartId, PersonId,
    RecordsError, Shop, WorkKind, csv_row,
};
use std::collections::{HashMap, HashSet};
use std::fmt::Write as _;

/// The most characters that a name keeps, its ending left out: file systems take 255 bytes.
const NAME_MOST: usize = 60;

/// A file of the folder.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FolderFile {
    /// Where in the folder, parts joined by `/`.
    pub path: String,
    /// All of it.
    pub bytes: Vec<u8>,
}

impl FolderFile {
    fn text(path: impl Into<String>, text: String) -> Self {
        Self { path: path.into(), bytes: text.into_bytes() }
    }
}

/// Everything of a build as files, those that a reader begins with first.
///
/// # Errors
/// Where there is no such build, or the shop's file cannot be read.
pub fn folder(shop: &Shop, build: BuildId) -> Result<Vec<FolderFile>, ShopError> {
    let whole = shop.build(build)?;
    let names: HashMap<PersonId, String> =
        shop.people()?.into_iter().map(|person| (person.id, person.name)).collect();
    let names = Names(names);
    let mut files = vec![
        FolderFile::text("build.toml", export(shop, build)?),
        FolderFile::text("readings.csv", shop.readings_csv(build)?),
        FolderFile::text("parts.csv", parts(shop, build, &names)?),
        FolderFile::text("sign-offs.txt", sign_offs(shop, &whole, &names)?),
        FolderFile::text("findings.csv", findings(shop, build, &names)?),
    ];
    files.extend(teardowns(shop, build, &names)?);
    files.extend(works(shop, build, &names)?);
    files.extend(attachments(shop, &whole, &names)?);
    Ok(files)
}

/// What people are called.
struct Names(HashMap<PersonId, String>);

impl Names {
    fn of(&self, person: PersonId) -> &str {
        self.0.get(&person).map_or("", String::as_str)
    }
}

fn parts(shop: &Shop, build: BuildId, names: &Names) -> Result<String, RecordsError> {
    let mut text = String::new();
    csv_row(
        &[
            "part",
            "serial",
            "position",
            "gear_face",
            "revision",
            "person",
            "at",
            "left",
            "left_revision",
            "left_person",
            "left_at",
        ],
        &mut text,
    );
    for part in shop.fitted(build)? {
        let (why, revision, person, at) = match &part.out {
            Some((why, revision, person, at)) => {
                (why.word(), revision.to_string(), names.of(*person), at.as_str())
            }
            None => ("", String::new(), "", ""),
        };
        csv_row(
            &[
                part.kind.word(),
                &part.serial,
                &part.position.to_string(),
                part.gear_face.map_or("", |face| face.word()),
                &part.revision.to_string(),
                names.of(part.person),
                part.at.as_str(),
                why,
                &revision,
                person,
                at,
            ],
            &mut text,
        );
    }
    Ok(text)
}

fn findings(shop: &Shop, build: BuildId, names: &Names) -> Result<String, RecordsError> {
    let mut text = String::new();
    csv_row(
        &["finding", "part", "serial", "place", "contact", "running", "note", "person", "at"],
        &mut text,
    );
    for finding in shop.findings_of(build)? {
        let part = finding.part.map(|part| shop.part(part)).transpose()?;
        csv_row(
            &[
                finding.id.to_string().as_str(),
                part.as_ref().map_or("", |part| part.kind.word()),
                part.as_ref().map_or("", |part| &part.serial),
                &finding.place,
                finding.contact.word(),
                finding.running.as_deref().unwrap_or(""),
                &finding.note,
                names.of(finding.person),
                finding.at.as_str(),
            ],
            &mut text,
        );
    }
    Ok(text)
}

/// Teardowns as files of their own, with every mark, prediction and tilt test, superseded ones
/// among them.
fn teardowns(shop: &Shop, build: BuildId, names: &Names) -> Result<Vec<FolderFile>, ShopError> {
    let (all, tests) = (shop.teardowns_of(build)?, shop.tilt_tests_ever(build)?);
    let serials: HashMap<PartId, String> =
        shop.fitted(build)?.into_iter().map(|part| (part.part, part.serial)).collect();
    let gauges: HashMap<GaugeId, String> =
        shop.gauges()?.into_iter().map(|gauge| (gauge.id, gauge.name)).collect();
    let serial = |part: PartId| serials.get(&part).map_or("", String::as_str);
    let gauge = |id: Option<GaugeId>| id.and_then(|id| gauges.get(&id)).map_or("", String::as_str);
    let number = |id: Option<i64>| id.map_or_else(String::new, |id| id.to_string());
    let (mut files, mut said) = (Vec::new(), HashSet::new());
    let mut index = String::new();
    csv_row(
        &["teardown", "revision", "prediction", "unpredicted", "person", "at", "supersedes"],
        &mut index,
    );
    let mut marks = String::new();
    csv_row(
        &[
            "teardown",
            "revision",
            "serial",
            "face",
            "tip",
            "contact",
            "where",
            "rotor",
            "rotor_si",
            "rotor_gauge",
            "wall",
            "wall_si",
            "wall_gauge",
            "note",
        ],
        &mut marks,
    );
    let standing: Vec<_> = shop.tilt_tests_of(build)?;
    for teardown in &all {
        let path = format!("teardown-{}.toml", teardown.id);
        // Those that stand, once: each of the files can be told to a shop again.
        let superseded = all.iter().any(|other| other.supersedes == Some(teardown.id));
        let with = if superseded { &[][..] } else { &standing[..] };
        files.push(FolderFile::text(path, write_teardown(&as_file(shop, teardown, with)?)));
        csv_row(
            &[
                teardown.id.to_string().as_str(),
                &teardown.revision.to_string(),
                &number(teardown.prediction.map(|id| id.0)),
                teardown.unpredicted.as_deref().unwrap_or(""),
                names.of(teardown.person),
                teardown.at.as_str(),
                &number(teardown.supersedes.map(|id| id.0)),
            ],
            &mut index,
        );
        for mark in &teardown.marks {
            let depth = |depth: &Option<Depth>| {
                let value = depth.as_ref().map(|depth| &depth.value);
                [
                    value.map_or_else(String::new, |value| value.text().to_owned()),
                    value.map_or_else(String::new, |value| value.si().to_string()),
                    gauge(depth.as_ref().and_then(|depth| depth.gauge)).to_owned(),
                ]
            };
            let (rotor, wall) = (depth(&mark.rotor), depth(&mark.wall));
            let mut row = vec![
                teardown.id.to_string(),
                teardown.revision.to_string(),
                serial(mark.part).to_owned(),
                mark.face.word().to_owned(),
                mark.tip.to_string(),
                mark.contact.word().to_owned(),
                mark.place.clone().unwrap_or_default(),
            ];
            row.extend(rotor.into_iter().chain(wall));
            row.push(mark.note.clone());
            csv_row(&row, &mut marks);
        }
        if let Some(id) = teardown.prediction.filter(|id| said.insert(*id)) {
            let kept = shop.prediction(id)?;
            files.push(FolderFile::text(format!("predictions/{id}.json"), kept.document));
        }
    }
    if !all.is_empty() {
        files.insert(0, FolderFile::text("marks.csv", marks));
        files.insert(0, FolderFile::text("teardowns.csv", index));
    }
    if !tests.is_empty() {
        let mut text = String::new();
        csv_row(
            &[
                "tilt_test",
                "serial",
                "face",
                "tip",
                "radius",
                "least_load",
                "most_load",
                "load_u",
                "at_least",
                "at_most",
                "gauge",
                "note",
                "person",
                "at",
                "supersedes",
            ],
            &mut text,
        );
        for test in &tests {
            let told = &test.told;
            for [least, most] in &told.readings {
                csv_row(
                    &[
                        test.id.to_string().as_str(),
                        serial(told.part),
                        told.face.word(),
                        &told.tip.to_string(),
                        told.radius.text(),
                        told.least.text(),
                        told.most.text(),
                        told.load_u.text(),
                        least.text(),
                        most.text(),
                        gauge(Some(told.gauge)),
                        &told.note,
                        names.of(told.person),
                        told.at.as_str(),
                        &number(told.supersedes.map(|id| id.0)),
                    ],
                    &mut text,
                );
            }
        }
        files.push(FolderFile::text("tilt-tests.csv", text));
    }
    Ok(files)
}

/// Who signed what, when and why it was opened again, in words.
fn sign_offs(shop: &Shop, build: &Build, names: &Names) -> Result<String, RecordsError> {
    let (signed, amendments) = (shop.sign_offs(build.id)?, shop.amendments(build.id)?);
    let mut text = format!("{}: build {}\n", build.head.name, build.id);
    for revision in 1..=build.revision {
        let _ = writeln!(text, "\nRevision {revision}");
        for amendment in amendments.iter().filter(|a| a.revision == revision) {
            let (at, by) = (&amendment.at, names.of(amendment.person));
            let _ = writeln!(text, "  {at}  opened by {by}: {}", amendment.reason);
        }
        let of_it: Vec<_> = signed.iter().filter(|s| s.revision == revision).collect();
        if of_it.is_empty() {
            text.push_str("  not signed\n");
        }
        for sign_off in of_it {
            let (at, by) = (&sign_off.at, &sign_off.person_name);
            let _ = writeln!(text, "  {at}  signed by {by}: {}", sign_off.meaning);
            let _ = writeln!(text, "    sign-off {}, {}", sign_off.id, sign_off.hash.to_hex());
            let _ = writeln!(text, "    over the content {}", sign_off.content_hash.to_hex());
        }
    }
    if !signed.is_empty() {
        text.push_str(
            "\nThe hash of a sign-off rests on the build as it was signed, and on every sign-off of \
             the\nshop before it. `lobewright audit` computes them anew and names what does not \
             fit.\n",
        );
    }
    Ok(text)
}

/// Plans, sheets and balance runs as they were kept, each with a line that says what it is.
fn works(shop: &Shop, build: BuildId, names: &Names) -> Result<Vec<FolderFile>, RecordsError> {
    let mut files = Vec::new();
    let mut index = String::new();
    csv_row(
        &["file", "kind", "title", "revision", "program", "inputs_sha256", "person", "at"],
        &mut index,
    );
    for kind in WorkKind::ALL {
        let mut all = shop.works(build, *kind)?;
        all.reverse();
        for work in all {
            let path = format!("works/{}-{}.json", kind.word().replace(' ', "-"), work.id);
            csv_row(
                &[
                    path.as_str(),
                    kind.word(),
                    &work.title,
                    &work.revision.to_string(),
                    &work.program,
                    &work.inputs_hash.to_hex(),
                    names.of(work.person),
                    work.at.as_str(),
                ],
                &mut index,
            );
            files.push(FolderFile::text(path, work.document));
        }
    }
    if !files.is_empty() {
        files.insert(0, FolderFile::text("works.csv", index));
    }
    Ok(files)
}

/// What is attached to the build, to what came in, to its parts and to what was found on them, each
/// with a line that says to what.
fn attachments(shop: &Shop, build: &Build, names: &Names) -> Result<Vec<FolderFile>, RecordsError> {
    let mut of: Vec<(AttachedTo, String)> = vec![(AttachedTo::Build(build.id), "build".to_owned())];
    of.extend(build.intake.map(|id| (AttachedTo::Intake(id), "intake".to_owned())));
    let mut parts = HashSet::new();
    for part in shop.fitted(build.id)? {
        // A part that was taken out and put in again is there twice.
        if parts.insert(part.part) {
            let what = format!("{} {}", part.kind, part.serial);
            of.push((AttachedTo::Part(part.part), what));
        }
    }
    for finding in shop.findings_of(build.id)? {
        of.push((AttachedTo::Finding(finding.id), format!("finding {}", finding.id)));
    }
    let mut index = String::new();
    csv_row(&["file", "of", "name", "kind", "bytes", "sha256", "person", "at"], &mut index);
    let (mut files, mut taken) = (Vec::new(), HashSet::new());
    for (to, what) in of {
        for Attachment { id, .. } in shop.attachments(to)? {
            let (attachment, bytes) = shop.attachment(id)?;
            let name = file_name(&attachment.name, ending(attachment.media_type), &mut taken);
            let path = format!("attachments/{name}");
            csv_row(
                &[
                    path.as_str(),
                    &what,
                    &attachment.name,
                    attachment.media_type.word(),
                    &attachment.size.to_string(),
                    &attachment.sha256.to_hex(),
                    names.of(attachment.person),
                    attachment.at.as_str(),
                ],
                &mut index,
            );
            files.push(FolderFile { path, bytes });
        }
    }
    if !files.is_empty() {
        files.insert(0, FolderFile::text("attachments.csv", index));
    }
    Ok(files)
}

const fn ending(kind: MediaType) -> &'static str {
    match kind {
        MediaType::Png => "png",
        MediaType::Jpeg => "jpg",
        MediaType::WebP => "webp",
        MediaType::Pdf => "pdf",
    }
}

/// A name for a file that every file system takes and that no other one has: its ending is that of
/// what it is, whatever it was called.
fn file_name(called: &str, ending: &str, taken: &mut HashSet<String>) -> String {
    let stem = match called.rsplit_once('.') {
        Some((stem, was)) if !stem.is_empty() && was.chars().all(char::is_alphanumeric) => stem,
        _ => called,
    };
    let stem = match safe_name(stem) {
        empty if empty.is_empty() => "attachment".to_owned(),
        stem => stem,
    };
    let mut name = format!("{stem}.{ending}");
    // Some file systems take `A.png` and `a.png` for one.
    let mut number = 2;
    while !taken.insert(name.to_lowercase()) {
        name = format!("{stem}-{number}.{ending}");
        number += 1;
    }
    name
}

/// What is left of a name where only letters, digits, points and hyphens are taken; empty if
/// nothing is.
#[must_use]
pub fn safe_name(called: &str) -> String {
    // Names that one system keeps for its devices, whatever their ending.
    const DEVICES: [&str; 6] = ["con", "prn", "aux", "nul", "com", "lpt"];
    let mut name = String::new();
    for letter in called.chars() {
        match letter {
            letter if letter.is_alphanumeric() || letter == '_' => name.push(letter),
            // Neither two points nor two hyphens on end: no way up out of the folder.
            '.' if !name.ends_with(['.', '-']) => name.push('.'),
            _ if !name.ends_with(['.', '-']) => name.push('-'),
            _ => {}
        }
    }
    let name: String = name.trim_matches(['.', '-']).chars().take(NAME_MOST).collect::<String>();
    let name = name.trim_end_matches(['.', '-']);
    let lower = name.to_lowercase();
    let bare = lower.split('.').next().unwrap_or("").trim_end_matches(|c: char| c.is_ascii_digit());
    if DEVICES.contains(&bare) { format!("{name}_") } else { name.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_safe_and_say_what_a_file_is() {
        let mut taken = HashSet::new();
        let mut name = |called| file_name(called, "png", &mut taken);
        assert_eq!(name("photo.png"), "photo.png");
        assert_eq!(name("Photo.PNG"), "Photo-2.png");
        assert_eq!(name("photo.png"), "photo-3.png");
        assert_eq!(name("R-101, gear face, tip 2.png"), "R-101-gear-face-tip-2.png");
        assert_eq!(name("../../etc/passwd"), "etc-passwd.png");
        assert_eq!(name("C:\\bench\\a.exe"), "C-bench-a.png");
        assert_eq!(name(""), "attachment.png");
        assert_eq!(name("..."), "attachment-2.png");
        assert_eq!(name(".png"), "png.png");
        assert_eq!(name("CON.png"), "CON_.png");
        assert_eq!(name("nul"), "nul_.png");
        assert_eq!(name("com1.tar"), "com1_.png");
        assert_eq!(name("Läufer 7.jpeg"), "Läufer-7.png");
        assert_eq!(name(&"x".repeat(300)).len(), NAME_MOST + 4);
    }
}
