//! The log of `strace` as events of the driver's folder, in their order.

use std::collections::HashMap;
use std::path::Path;

/// Everything that changes a file or a name, or that waits for the disk. A call among them that the
/// reader below does not know, on a file of the folder, fails the test.
pub(crate) const CALLS: [&str; 33] = [
    "open",
    "openat",
    "creat",
    "close",
    "dup",
    "dup2",
    "dup3",
    "lseek",
    "write",
    "writev",
    "pwrite64",
    "pwritev",
    "pwritev2",
    "truncate",
    "ftruncate",
    "fallocate",
    "copy_file_range",
    "sendfile",
    "splice",
    "fsync",
    "fdatasync",
    "sync_file_range",
    "rename",
    "renameat",
    "renameat2",
    "unlink",
    "unlinkat",
    "link",
    "linkat",
    "mkdir",
    "mkdirat",
    "rmdir",
    "symlink",
];

/// What happened in the folder. Files are numbered as they are made, names are within the folder.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Event {
    /// A file gets its first name.
    Made { name: String, file: usize },
    /// Bytes are written.
    Wrote { file: usize, at: usize, bytes: Vec<u8> },
    /// It is cut, or made longer.
    Length { file: usize, length: usize },
    /// Its bytes and its length are on the disk from here on.
    Synced { file: usize },
    /// The folder's names are on the disk from here on.
    NamesSynced,
    /// A file gets another name, in place of what had it.
    Renamed { from: String, to: String },
    /// A file gets a second name.
    Linked { from: String, to: String },
    /// A name is taken away.
    Gone { name: String },
    /// The driver acknowledged something.
    Said(String),
}

/// The calls of a log, each whole: one that another thread came between is put together.
fn calls(log: &str) -> Vec<String> {
    let mut begun: HashMap<&str, String> = HashMap::new();
    let mut calls = Vec::new();
    for line in log.lines() {
        let (process, rest) = line.split_once(char::is_whitespace).unwrap();
        let rest = rest.trim_start();
        if let Some(start) = rest.strip_suffix("<unfinished ...>") {
            begun.insert(process, start.trim_end().to_owned());
        } else if let Some(end) = rest.strip_prefix("<... ") {
            let (_, end) = end.split_once("resumed>").unwrap();
            calls.push(format!("{}{end}", begun.remove(process).unwrap()));
        } else if !rest.starts_with("---") && !rest.starts_with("+++") {
            calls.push(rest.to_owned());
        }
    }
    calls
}

/// A call in its parts: name, arguments, result.
fn parts(call: &str) -> (&str, Vec<&str>, i64) {
    let (name, rest) = call.split_once('(').unwrap();
    let (arguments, result) = rest.rsplit_once(" = ").unwrap();
    let result = result.split_whitespace().next().unwrap();
    let arguments = arguments.trim_end().strip_suffix(')').unwrap();
    // Strings are in hexadecimal digits: no comma is in one.
    (name, arguments.split(", ").collect(), result.parse().unwrap_or(-1))
}

fn bytes(quoted: &str) -> Vec<u8> {
    let inside = quoted.strip_prefix('"').and_then(|q| q.strip_suffix('"'));
    let digits = inside.unwrap_or_else(|| panic!("not a whole string: {quoted:.80}"));
    digits.split("\\x").skip(1).map(|two| u8::from_str_radix(two, 16).unwrap()).collect()
}

fn path(quoted: &str) -> String {
    String::from_utf8(bytes(quoted)).unwrap()
}

/// The lines that were written to standard output, in their order.
pub(crate) fn said(log: &str) -> Vec<String> {
    let calls = calls(log);
    calls.iter().filter_map(|call| said_by(call)).flatten().collect()
}

fn said_by(call: &str) -> Option<Vec<String>> {
    let (name, arguments, result) = parts(call);
    (name == "write" && arguments[0] == "1" && result > 0).then(|| {
        let text = path(arguments[1]);
        text.lines().map(str::to_owned).collect()
    })
}

/// What a number of the process stands for.
enum Open {
    File { file: usize, at: usize },
    Folder,
}

/// Reads the log: what it says of this folder.
pub(crate) fn events(log: &str, folder: &Path) -> Vec<Event> {
    let mut events = Vec::new();
    let mut open: HashMap<String, Open> = HashMap::new();
    let mut names: HashMap<String, usize> = HashMap::new();
    let mut files = 0;
    let within = |path: &str| -> Option<String> {
        let name = Path::new(path).strip_prefix(folder).ok()?.to_str().unwrap();
        assert!(!name.contains('/'), "a folder within the folder: {name}");
        // The index of the log is in memory and is thrown away by whoever opens first.
        (!name.ends_with("-shm")).then(|| name.to_owned())
    };
    for call in calls(log) {
        if let Some(lines) = said_by(&call) {
            events.extend(lines.into_iter().map(Event::Said));
            continue;
        }
        let (name, arguments, result) = parts(&call);
        if result < 0 {
            continue;
        }
        match name {
            "openat" | "open" => {
                let first = usize::from(name == "openat");
                let Some(name) = within(&path(arguments[first])) else { continue };
                let descriptor = result.to_string();
                if name.is_empty() {
                    open.insert(descriptor, Open::Folder);
                    continue;
                }
                let flags = arguments[first + 1];
                let file = names.get(&name).copied().unwrap_or_else(|| {
                    assert!(flags.contains("O_CREAT"), "{name} was never made");
                    names.insert(name.clone(), files);
                    events.push(Event::Made { name: name.clone(), file: files });
                    files += 1;
                    files - 1
                });
                if flags.contains("O_TRUNC") {
                    events.push(Event::Length { file, length: 0 });
                }
                assert!(!flags.contains("O_APPEND"), "{name} is written at its end");
                open.insert(descriptor, Open::File { file, at: 0 });
            }
            "close" => {
                open.remove(arguments[0]);
            }
            "lseek" => {
                if let Some(Open::File { at, .. }) = open.get_mut(arguments[0]) {
                    *at = result as usize;
                }
            }
            "write" => match open.get_mut(arguments[0]) {
                Some(Open::File { file, at }) => {
                    let mut bytes = bytes(arguments[1]);
                    bytes.truncate(result as usize);
                    events.push(Event::Wrote { file: *file, at: *at, bytes });
                    *at += result as usize;
                }
                Some(Open::Folder) => panic!("{call:.200}"),
                None => {}
            },
            "pwrite64" => match open.get(arguments[0]) {
                Some(Open::File { file, .. }) => {
                    let mut bytes = bytes(arguments[1]);
                    bytes.truncate(result as usize);
                    events.push(Event::Wrote {
                        file: *file,
                        at: arguments[3].parse().unwrap(),
                        bytes,
                    });
                }
                Some(Open::Folder) => panic!("{call:.200}"),
                None => {}
            },
            "ftruncate" => {
                if let Some(Open::File { file, .. }) = open.get(arguments[0]) {
                    let length = arguments[1].parse().unwrap();
                    events.push(Event::Length { file: *file, length });
                }
            }
            "fsync" | "fdatasync" => match open.get(arguments[0]) {
                Some(Open::File { file, .. }) => events.push(Event::Synced { file: *file }),
                Some(Open::Folder) => events.push(Event::NamesSynced),
                None => {}
            },
            "rename" | "renameat" | "renameat2" | "link" | "linkat" => {
                let paths: Vec<String> =
                    arguments.iter().filter(|a| a.starts_with('"')).map(|a| path(a)).collect();
                let (Some(from), Some(to)) = (within(&paths[0]), within(&paths[1])) else {
                    assert!(within(&paths[0]).is_none() && within(&paths[1]).is_none(), "{call}");
                    continue;
                };
                if name.starts_with("link") {
                    names.insert(to.clone(), names[&from]);
                    events.push(Event::Linked { from, to });
                } else {
                    let file = names.remove(&from).unwrap();
                    names.insert(to.clone(), file);
                    events.push(Event::Renamed { from, to });
                }
            }
            "unlink" | "unlinkat" => {
                let quoted = arguments.iter().find(|a| a.starts_with('"')).unwrap();
                if let Some(name) = within(&path(quoted)) {
                    names.remove(&name).unwrap();
                    events.push(Event::Gone { name });
                }
            }
            // The folder itself, which is there before anything is acknowledged.
            "mkdir" | "mkdirat" => {}
            // Whatever else there is must not be of the folder.
            _ => {
                let file = open.contains_key(arguments[0]);
                let named =
                    arguments.iter().any(|a| a.starts_with('"') && within(&path(a)).is_some());
                assert!(!file && !named, "a call that this test does not know: {call:.200}");
            }
        }
    }
    events
}
