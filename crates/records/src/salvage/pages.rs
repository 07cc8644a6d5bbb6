//! Pages of a file that may be damaged, read without the database: by their number, the newest
//! committed ones out of the log beside the file. Nothing is written. The layout is that of the
//! SQLite file format [SQLITE-FORMAT], sections 1.3 (head), 1.5 (list of free pages) and 4 (log).

use crate::error::{RecordsError, io};
use crate::header::beside;
use crate::schema::{APPLICATION_ID, VERSION};
use std::collections::{HashMap, HashSet};
use std::fs::File;
use std::io::{Read, Seek, SeekFrom};
use std::path::Path;
use std::time::SystemTime;

const MAGIC: &[u8; 16] = b"SQLite format 3\0";
/// Bytes of the head of the file.
const HEAD: usize = 100;
/// The size of a page where the head does not say it: what this program makes.
const USUAL_PAGE: usize = 4096;
const LOG_HEAD: usize = 32;
const FRAME_HEAD: usize = 24;
/// Of the log: its first word, but for the last bit, which says the order of bytes in its sums.
const LOG_MAGIC: u32 = 0x377f_0682;

/// Four bytes, the most significant first.
pub(super) fn four(bytes: &[u8], at: usize) -> Option<u32> {
    let four: [u8; 4] = bytes.get(at..at.checked_add(4)?)?.try_into().ok()?;
    Some(u32::from_be_bytes(four))
}

/// Two bytes, likewise.
pub(super) fn two(bytes: &[u8], at: usize) -> Option<usize> {
    let two: [u8; 2] = bytes.get(at..at.checked_add(2)?)?.try_into().ok()?;
    Some(usize::from(u16::from_be_bytes(two)))
}

/// How long files are and when they were changed: whether somebody writes to them meanwhile.
type Stamp = Vec<(u64, Option<SystemTime>)>;

#[derive(Debug)]
pub(super) struct Pages<'f> {
    path: &'f Path,
    file: File,
    log: Option<File>,
    /// Where the newest committed page of a number is in the log.
    in_log: HashMap<u32, u64>,
    stamp: Stamp,
    /// Bytes of a page.
    pub(super) size: usize,
    /// Bytes of a page that are used.
    pub(super) usable: usize,
    /// How many there are, or were.
    pub(super) count: u32,
    /// The version, where the head says one that there is.
    pub(super) version: Option<u32>,
    /// What is wrong with the head and with the log.
    pub(super) wrong: Vec<String>,
}

impl<'f> Pages<'f> {
    pub(super) fn open(path: &'f Path) -> Result<Self, RecordsError> {
        let tell = |error: std::io::Error| io(&error, path);
        if path.is_dir() {
            return Err(RecordsError::NotAShop { file: path.to_owned() });
        }
        let stamp = stamp(path);
        let mut file = File::open(path).map_err(tell)?;
        let length = file.metadata().map_err(tell)?.len();
        let mut head = Vec::with_capacity(HEAD);
        // A disk that does not give the first bytes back has pages further on.
        let read = (&mut file).take(HEAD as u64).read_to_end(&mut head);
        let mut pages = Self {
            path,
            file,
            log: None,
            in_log: HashMap::new(),
            stamp,
            size: USUAL_PAGE,
            usable: USUAL_PAGE,
            count: 0,
            version: None,
            wrong: Vec::new(),
        };
        if read.is_err() || !pages.head(&head) {
            pages.wrong.push("the head of the file is destroyed".to_owned());
            (pages.size, pages.usable) = (USUAL_PAGE, USUAL_PAGE);
        }
        pages.count = u32::try_from(length.div_ceil(pages.size as u64)).unwrap_or(u32::MAX);
        pages.open_log();
        let said = four(&head, 28).filter(|said| *said > pages.count && pages.version.is_some());
        // A page takes a place in the list of what is lost: not more of them than a file may have.
        if let Some(said) = said.filter(|said| said / 64 <= pages.count) {
            pages
                .wrong
                .push(format!("the file was cut off: {} of {said} pages are there", pages.count));
            pages.count = said;
        }
        Ok(pages)
    }

    /// Takes in what the head says; false if it says nothing that can be.
    fn head(&mut self, head: &[u8]) -> bool {
        let (Some(size), Some(reserved)) = (two(head, 16), head.get(20)) else { return false };
        let size = if size == 1 { 65536 } else { size };
        let whole = head.starts_with(MAGIC)
            && four(head, 68) == Some(APPLICATION_ID)
            && size.is_power_of_two()
            && size >= 512;
        if whole {
            (self.size, self.usable) = (size, size - usize::from(*reserved));
            self.version = four(head, 60).filter(|version| (1..=VERSION).contains(version));
        }
        whole && self.usable >= 480
    }

    /// Finds the pages that were committed to the log and not brought into the file.
    fn open_log(&mut self) {
        let Ok(mut log) = File::open(beside(self.path, "-wal")) else { return };
        let mut head = [0; LOG_HEAD];
        if log.metadata().map_or(0, |log| log.len()) == 0 {
            return;
        }
        let size = u32::try_from(self.size).unwrap_or(0);
        let sound = log.read_exact(&mut head).is_ok()
            && four(&head, 0).is_some_and(|word| word & !1 == LOG_MAGIC)
            && four(&head, 8) == Some(size);
        let most_first = head[3] & 1 == 1;
        let mut sum = Sum { most_first, words: (0, 0) };
        sum.over(&head[..24]);
        if !sound || !sum.is(&head, 24) {
            self.wrong.push("the log beside the file is destroyed".to_owned());
            return;
        }
        let mut frame = vec![0; FRAME_HEAD + self.size];
        let (mut at, mut since) = (LOG_HEAD as u64, Vec::new());
        while log.read_exact(&mut frame).is_ok() {
            // One of an earlier round: the log ends before it.
            if frame[8..16] != head[16..24] {
                break;
            }
            sum.over(&frame[..8]);
            sum.over(&frame[FRAME_HEAD..]);
            if !sum.is(&frame, 16) {
                self.wrong.push(
                    "the log beside the file breaks off; what was written after that is lost"
                        .to_owned(),
                );
                break;
            }
            if let (Some(page), Some(pages)) = (four(&frame, 0), four(&frame, 4)) {
                since.push((page, at + FRAME_HEAD as u64));
                if pages > 0 {
                    self.in_log.extend(since.drain(..));
                    self.count = pages;
                }
            }
            at += frame.len() as u64;
        }
        self.log = Some(log);
        // The head may be in the log alone.
        if let Some(first) = self.in_log.contains_key(&1).then(|| self.page(1)).and_then(Result::ok)
            && self.version.is_none()
            && self.head(&first)
        {
            self.wrong.retain(|wrong| !wrong.starts_with("the head"));
        }
    }

    /// All bytes of a page, counted from 1.
    ///
    /// # Errors
    /// Why it cannot be read.
    pub(super) fn page(&mut self, number: u32) -> Result<Vec<u8>, String> {
        if number == 0 || number > self.count {
            return Err("there is no such page".to_owned());
        }
        let mut page = vec![0; self.size];
        let (file, at) = match (self.in_log.get(&number), &mut self.log) {
            (Some(at), Some(log)) => (log, *at),
            _ => (&mut self.file, u64::from(number - 1) * self.size as u64),
        };
        let read = file.seek(SeekFrom::Start(at)).and_then(|_| file.read_exact(&mut page));
        read.map_err(|error| match error.kind() {
            std::io::ErrorKind::UnexpectedEof => "it lies behind the end of the file".to_owned(),
            _ => format!("the disk does not give it back ({error})"),
        })?;
        Ok(page)
    }

    /// Pages that hold nothing that counts; as far as their list can be read.
    pub(super) fn free(&mut self) -> HashSet<u32> {
        let mut free = HashSet::new();
        if self.version.is_none() {
            return free;
        }
        let mut trunk = self.page(1).ok().and_then(|head| four(&head, 32)).unwrap_or(0);
        // Each page of the list is there once: it ends.
        while trunk != 0 && trunk <= self.count && free.insert(trunk) {
            let Ok(page) = self.page(trunk) else { break };
            let many = four(&page, 4).unwrap_or(0) as usize;
            if many > self.usable / 4 {
                break;
            }
            free.extend((0..many).filter_map(|n| four(&page, 8 + 4 * n)));
            trunk = four(&page, 0).unwrap_or(0);
        }
        free
    }

    /// # Errors
    /// Where somebody wrote to the file since it was opened.
    pub(super) fn stood_still(&self) -> Result<(), RecordsError> {
        if stamp(self.path) == self.stamp {
            Ok(())
        } else {
            Err(RecordsError::Refused {
                why: format!(
                    "{} was written to while it was read; stop the program that has it open, then \
                     try again",
                    self.path.display()
                ),
            })
        }
    }
}

fn stamp(path: &Path) -> Stamp {
    ["", "-wal"]
        .iter()
        .map(|after| match beside(path, after).metadata() {
            Ok(there) => (there.len(), there.modified().ok()),
            Err(_) => (0, None),
        })
        .collect()
}

/// The sum that the log is checked by.
struct Sum {
    most_first: bool,
    words: (u32, u32),
}

impl Sum {
    fn over(&mut self, bytes: &[u8]) {
        let word = |four: &[u8]| {
            let four = [four[0], four[1], four[2], four[3]];
            if self.most_first { u32::from_be_bytes(four) } else { u32::from_le_bytes(four) }
        };
        let (mut a, mut b) = self.words;
        for eight in bytes.chunks_exact(8) {
            a = a.wrapping_add(word(&eight[..4])).wrapping_add(b);
            b = b.wrapping_add(word(&eight[4..])).wrapping_add(a);
        }
        self.words = (a, b);
    }

    fn is(&self, bytes: &[u8], at: usize) -> bool {
        four(bytes, at) == Some(self.words.0) && four(bytes, at + 4) == Some(self.words.1)
    }
}
