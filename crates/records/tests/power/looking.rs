//! What a state holds: each file that has a name of its own is opened through the product, with the
//! log or journal that lies beside it.

use crate::disk::Files;
use crate::sample::{now, raw};
use records::Shop;
use std::collections::{BTreeMap, HashMap};
use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, SyncSender, sync_channel};
use std::sync::{Arc, Mutex};
use std::thread::JoinHandle;
use tempfile::TempDir;

/// Threads that look.
const THREADS: usize = 2;
/// Files that wait to be looked at.
const WAITING: usize = 8;

/// A file with what lies beside it, by its content.
pub(crate) type Question = u64;

/// What was found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Looked {
    /// There is no such file.
    Absent,
    /// It opens, every page and record fits.
    Whole {
        /// The version that it had before.
        version: u32,
        /// Readings, values, sign-offs.
        counts: [i64; 3],
        /// Of every row of every table.
        digest: u64,
    },
    /// It does not.
    Wrong(String),
}

/// In memory where that is offered: thousands of files are written there.
pub(crate) fn scratch() -> TempDir {
    let memory = Path::new("/dev/shm");
    if memory.is_dir() { TempDir::new_in(memory) } else { TempDir::new() }.unwrap()
}

struct Asked {
    question: Question,
    files: Vec<(String, Vec<u8>)>,
}

pub(crate) struct Looking {
    questions: SyncSender<Asked>,
    known: Mutex<HashMap<Question, ()>>,
    threads: Vec<JoinHandle<Vec<(Question, Looked)>>>,
}

impl Looking {
    pub(crate) fn begin() -> Self {
        let (questions, asked) = sync_channel(WAITING);
        let asked = Arc::new(Mutex::new(asked));
        let threads = (0..THREADS)
            .map(|_| {
                let asked = Arc::clone(&asked);
                std::thread::spawn(move || answer(&asked))
            })
            .collect();
        Self { questions, known: Mutex::default(), threads }
    }

    /// Has every file of a state looked at that was not looked at before.
    pub(crate) fn ask(&self, files: Files) -> BTreeMap<String, Question> {
        let beside = |name: &str| ["-wal", "-journal"].iter().any(|after| name.ends_with(after));
        let mut asked = BTreeMap::new();
        for name in files.keys().filter(|name| !beside(name) && !name.contains(".part-")) {
            let with: Vec<(String, Vec<u8>)> = ["", "-wal", "-journal"]
                .iter()
                .filter_map(|after| {
                    let bytes = files.get(&format!("{name}{after}"))?;
                    Some(((*after).to_owned(), bytes.clone()))
                })
                .collect();
            let mut hasher = DefaultHasher::new();
            with.hash(&mut hasher);
            let question = hasher.finish();
            if self.known.lock().unwrap().insert(question, ()).is_none() {
                self.questions.send(Asked { question, files: with }).unwrap();
            }
            asked.insert(name.clone(), question);
        }
        asked
    }

    /// Waits for all answers; gives them, and how many there are.
    pub(crate) fn end(self) -> (HashMap<Question, Looked>, usize) {
        drop(self.questions);
        let answers: HashMap<_, _> =
            self.threads.into_iter().flat_map(|thread| thread.join().unwrap()).collect();
        let count = answers.len();
        (answers, count)
    }
}

fn answer(asked: &Mutex<Receiver<Asked>>) -> Vec<(Question, Looked)> {
    let folder = scratch();
    let mut answers = Vec::new();
    loop {
        let Ok(Asked { question, files }) = asked.lock().unwrap().recv() else { return answers };
        let file = folder.path().join("looked-at.db");
        for (after, bytes) in files {
            std::fs::write(beside(&file, &after), bytes).unwrap();
        }
        answers.push((question, look(&file)));
        for entry in std::fs::read_dir(folder.path()).unwrap() {
            std::fs::remove_file(entry.unwrap().path()).unwrap();
        }
    }
}

fn beside(file: &Path, after: &str) -> PathBuf {
    let mut name = file.as_os_str().to_owned();
    name.push(after);
    name.into()
}

fn look(file: &Path) -> Looked {
    let before = raw(file).query_row("PRAGMA user_version", [], |row| row.get(0));
    let opened = (|| {
        let shop = Shop::open(file, &now())?;
        shop.check()?;
        shop.audit()
    })();
    match (before, opened) {
        (Ok(version), Ok(audited)) => Looked::Whole {
            version,
            counts: [audited.readings, audited.values, audited.sign_offs],
            digest: digest(file),
        },
        (Err(error), _) => Looked::Wrong(error.to_string()),
        (_, Err(error)) => Looked::Wrong(error.to_string()),
    }
}

/// Every row of every table.
fn digest(file: &Path) -> u64 {
    let connection = raw(file);
    let tables: Vec<String> = connection
        .prepare("SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name")
        .unwrap()
        .query_map([], |row| row.get(0))
        .unwrap()
        .collect::<Result<_, _>>()
        .unwrap();
    let mut hasher = DefaultHasher::new();
    for table in tables {
        table.hash(&mut hasher);
        let mut statement = connection
            .prepare(&format!("SELECT * FROM {table} ORDER BY 1, 2"))
            .or_else(|_| connection.prepare(&format!("SELECT * FROM {table} ORDER BY 1")))
            .unwrap();
        let columns = statement.column_count();
        let mut rows = statement.query([]).unwrap();
        while let Some(row) = rows.next().unwrap() {
            for column in 0..columns {
                let value: rusqlite::types::Value = row.get(column).unwrap();
                format!("{value:?}").hash(&mut hasher);
            }
        }
    }
    hasher.finish()
}
