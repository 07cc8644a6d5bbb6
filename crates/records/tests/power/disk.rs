//! A disk: what lies on it while the power is on, and what may lie on it once it went.

use crate::trace::Event;
use std::collections::BTreeMap;
use std::path::Path;

/// A disk writes a sector wholly or not at all.
const SECTOR: usize = 512;

/// Files by their names.
pub(crate) type Files = BTreeMap<String, Vec<u8>>;

/// A change of a file that nobody has waited for.
#[derive(Debug, Clone)]
enum Change {
    Bytes { at: usize, bytes: Vec<u8> },
    Length(usize),
}

#[derive(Debug, Default, Clone)]
struct File {
    /// What was waited for.
    sure: Vec<u8>,
    /// What came after it.
    since: Vec<Change>,
    /// Both.
    now: Vec<u8>,
}

#[derive(Debug, Default)]
pub(crate) struct Disk {
    files: Vec<File>,
    sure: BTreeMap<String, usize>,
    since: Vec<Event>,
    now: BTreeMap<String, usize>,
}

fn put(file: &mut Vec<u8>, at: usize, bytes: &[u8]) {
    if file.len() < at + bytes.len() {
        file.resize(at + bytes.len(), 0);
    }
    file[at..at + bytes.len()].copy_from_slice(bytes);
}

fn change(file: &mut Vec<u8>, change: &Change) {
    match change {
        Change::Bytes { at, bytes } => put(file, *at, bytes),
        Change::Length(length) => file.resize(*length, 0),
    }
}

/// A change of names; one whose file is not there came to nothing.
fn name(names: &mut BTreeMap<String, usize>, event: &Event) {
    match event {
        Event::Made { name, file } => {
            names.insert(name.clone(), *file);
        }
        Event::Renamed { from, to } => {
            if let Some(file) = names.remove(from) {
                names.insert(to.clone(), file);
            }
        }
        Event::Linked { from, to } => {
            if let Some(file) = names.get(from).copied() {
                names.insert(to.clone(), file);
            }
        }
        Event::Gone { name } => {
            names.remove(name);
        }
        _ => {}
    }
}

/// Chance by xorshift: the same on every machine.
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    fn of(&mut self, many: u64) -> u64 {
        (self.next() >> 11) % many
    }
}

impl Disk {
    pub(crate) fn apply(&mut self, event: &Event) {
        let later = |file: &mut File, what: Change| {
            change(&mut file.now, &what);
            file.since.push(what);
        };
        match event {
            Event::Made { file, .. } => {
                assert_eq!(*file, self.files.len());
                self.files.push(File::default());
            }
            Event::Wrote { file, at, bytes } => {
                later(&mut self.files[*file], Change::Bytes { at: *at, bytes: bytes.clone() });
            }
            Event::Length { file, length } => {
                later(&mut self.files[*file], Change::Length(*length));
            }
            Event::Synced { file } => {
                let file = &mut self.files[*file];
                for what in std::mem::take(&mut file.since) {
                    change(&mut file.sure, &what);
                }
            }
            Event::NamesSynced => {
                for event in std::mem::take(&mut self.since) {
                    name(&mut self.sure, &event);
                }
            }
            Event::Said(_) => {}
            Event::Renamed { .. } | Event::Linked { .. } | Event::Gone { .. } => {}
        }
        name(&mut self.now, event);
        if matches!(
            event,
            Event::Made { .. } | Event::Renamed { .. } | Event::Linked { .. } | Event::Gone { .. }
        ) {
            self.since.push(event.clone());
        }
    }

    /// Everything as it is while the power is on.
    pub(crate) fn now(&self) -> Files {
        self.now.iter().map(|(name, file)| (name.clone(), self.files[*file].now.clone())).collect()
    }

    /// What may be there after the power went: what was waited for, and of the rest nothing, or
    /// some by chance.
    pub(crate) fn after_a_cut(&self, seed: u64, some: bool) -> Files {
        let mut chance = Chance(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1);
        for _ in 0..8 {
            chance.next();
        }
        let mut names = self.sure.clone();
        if some {
            // All, the first ones, or any of them.
            let how = chance.of(3);
            let first = chance.of(self.since.len() as u64 + 1) as usize;
            for (n, event) in self.since.iter().enumerate() {
                if how == 0 || (how == 1 && n < first) || (how == 2 && chance.of(2) == 0) {
                    name(&mut names, event);
                }
            }
        }
        let mut lie: BTreeMap<usize, Vec<u8>> = BTreeMap::new();
        for file in names.values() {
            lie.entry(*file).or_insert_with(|| {
                let file = &self.files[*file];
                if some { by_chance(file, &mut chance) } else { file.sure.clone() }
            });
        }
        names.into_iter().map(|(name, file)| (name, lie[&file].clone())).collect()
    }

    /// Holds what lies here now against a folder.
    pub(crate) fn compare(&self, folder: &Path) {
        let there: Files = std::fs::read_dir(folder)
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .filter(|path| !path.to_string_lossy().ends_with("-shm"))
            .map(|path| {
                let name = path.file_name().unwrap().to_str().unwrap().to_owned();
                (name, std::fs::read(&path).unwrap())
            })
            .collect();
        let now = self.now();
        assert_eq!(there.keys().collect::<Vec<_>>(), now.keys().collect::<Vec<_>>());
        assert!(there == now, "the log does not have all that was written");
    }
}

/// A file of which some changes came to the disk: all, the first ones with the next one torn, or
/// any of them, whole or torn.
fn by_chance(file: &File, chance: &mut Chance) -> Vec<u8> {
    let mut lies = file.sure.clone();
    let how = chance.of(4);
    let first = chance.of(file.since.len() as u64 + 1) as usize;
    for (n, what) in file.since.iter().enumerate() {
        let (whole, torn) = match how {
            0 => (true, false),
            1 => (n < first, n == first),
            2 => (chance.of(2) == 0, false),
            _ => (chance.of(3) > 0, chance.of(2) == 0),
        };
        match what {
            Change::Bytes { at, bytes } if torn => {
                // Sector by sector of the disk, not of the write.
                let mut from = 0;
                while from < bytes.len() {
                    let to = (((at + from) / SECTOR + 1) * SECTOR - at).min(bytes.len());
                    if chance.of(2) == 0 {
                        put(&mut lies, at + from, &bytes[from..to]);
                    }
                    from = to;
                }
            }
            _ if whole => change(&mut lies, what),
            _ => {}
        }
    }
    lies
}
