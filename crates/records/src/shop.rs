//! The shop's file, open: one connection that writes, and as many that read as are asked for at
//! a time.

use crate::copy::{Temporary, whole_copy};
use crate::error::{Fault, RecordsError, io, told};
use crate::header::{self, beside};
use crate::schema::{self, APPLICATION_ID, VERSION};
use crate::time::Moment;
use rusqlite::{Connection, MAIN_DB, OpenFlags, Transaction, TransactionBehavior};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// Readers kept for the next question: as many as benches that ask in the same moment.
const IDLE_READERS: usize = 4;

/// The shop's file, open. It may be asked from many threads.
#[derive(Debug)]
pub struct Shop {
    file: PathBuf,
    // Before the writer, so that the writer is closed last: a reader may not clear the log away.
    readers: Mutex<Vec<Connection>>,
    writer: Mutex<Connection>,
}

impl Shop {
    /// Makes a new, empty shop.
    ///
    /// # Errors
    /// Where there is a file of that name, or it cannot be written.
    pub fn create(file: &Path) -> Result<Self, RecordsError> {
        if file.exists() {
            return Err(RecordsError::FileExists { file: file.to_owned() });
        }
        // Whoever finds a file of that name finds all of it.
        let temporary = Temporary::beside(file)?;
        let mut connection = Connection::open(temporary.path()).map_err(|e| told(&e, file))?;
        schema::prepare(&connection)
            .and_then(|()| connection.pragma_update(None, "application_id", APPLICATION_ID))
            .map_err(|e| told(&e, file))?;
        schema::upgrade(&mut connection, file)?;
        connection.close().map_err(|(_, e)| told(&e, file))?;
        temporary.becomes_new(file)?;
        Self::connect(file)
    }

    /// Opens a shop. One of an older version is upgraded, after a copy was made beside it that
    /// has the old version and `now` in its name.
    ///
    /// # Errors
    /// Where it is no shop's file, newer than this program (it is left untouched), damaged, in
    /// use, or cannot be written.
    pub fn open(file: &Path, now: &Moment) -> Result<Self, RecordsError> {
        header::version(file)?;
        let metadata = file.metadata().map_err(|error| io(&error, file))?;
        if metadata.permissions().readonly() {
            return Err(RecordsError::ReadOnly { file: file.to_owned() });
        }
        let shop = Self::connect(file)?;
        shop.upgrade(now)?;
        Ok(shop)
    }

    fn connect(file: &Path) -> Result<Self, RecordsError> {
        let connection = open_existing(file).map_err(|e| told(&e, file))?;
        // The database falls back to reading alone where the file system lets it do no more.
        if connection.is_readonly(MAIN_DB).map_err(|e| told(&e, file))? {
            return Err(RecordsError::ReadOnly { file: file.to_owned() });
        }
        let prepared = schema::prepare(&connection)
            .map_err(Fault::Sql)
            .and_then(|()| schema::write_ahead(&connection))
            .and_then(|()| readable(&connection).map_err(Fault::Sql));
        prepared.map_err(|fault| fault.of(file))?;
        Ok(Self {
            file: file.to_owned(),
            writer: Mutex::new(connection),
            readers: Mutex::new(Vec::new()),
        })
    }

    fn upgrade(&self, now: &Moment) -> Result<(), RecordsError> {
        let mut writer = self.writer();
        let version = schema::version(&writer).map_err(|e| told(&e, &self.file))?;
        if version == VERSION {
            return Ok(());
        }
        if version > VERSION {
            let file = self.file.clone();
            return Err(RecordsError::Newer { file, found: version, known: VERSION });
        }
        let kept = beside(&self.file, &format!(".version-{version}.{}", now.in_file_name()));
        whole_copy(&writer, &kept)?;
        if schema::version(&writer).is_ok_and(|now| now == VERSION) {
            // Another program was faster, and has its own copy; this one may be of either.
            return std::fs::remove_file(&kept).map_err(|error| io(&error, &kept));
        }
        schema::upgrade(&mut writer, &self.file)?;
        // So that the version can be read from the file without its log.
        writer
            .query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(()))
            .map_err(|e| told(&e, &self.file))
    }

    /// Where it is.
    #[must_use]
    pub fn file(&self) -> &Path {
        &self.file
    }

    /// Looks at every page and every reference: whether the disk gave back what was written.
    /// (Whether somebody changed it is asked by [`Shop::audit`].)
    ///
    /// # Errors
    /// Where something is damaged.
    pub fn check(&self) -> Result<(), RecordsError> {
        self.read(|connection| schema::check(connection, &self.file))
    }

    /// Lets the file grow to this many pages and no more, for as long as it is open. At the
    /// limit it does what it does on a full disk.
    ///
    /// # Errors
    /// Where the file cannot be asked.
    pub fn limit_pages(&self, pages: u32) -> Result<(), RecordsError> {
        self.writer()
            .pragma_update_and_check(None, "max_page_count", pages, |_| Ok(()))
            .map_err(|e| told(&e, &self.file))
    }

    /// Somebody who panicked while writing left a transaction that was rolled back.
    fn writer(&self) -> MutexGuard<'_, Connection> {
        self.writer.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn idle(&self) -> MutexGuard<'_, Vec<Connection>> {
        self.readers.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Changes the file: all of it, or nothing.
    pub(crate) fn write<T>(
        &self,
        work: impl FnOnce(&Transaction<'_>) -> Result<T, Fault>,
    ) -> Result<T, RecordsError> {
        let mut writer = self.writer();
        let done = writer
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(Fault::Sql)
            .and_then(|transaction| {
                let done = work(&transaction)?;
                transaction.commit()?;
                Ok(done)
            });
        done.map_err(|fault| fault.of(&self.file))
    }

    /// Asks the file: everything that is asked in one go is of the same moment.
    pub(crate) fn read<T>(
        &self,
        work: impl FnOnce(&Connection) -> Result<T, Fault>,
    ) -> Result<T, RecordsError> {
        let idle = self.idle().pop();
        let read = || -> Result<T, Fault> {
            let mut reader = match idle {
                Some(reader) => reader,
                None => {
                    let reader = open_existing(&self.file)?;
                    schema::prepare(&reader)?;
                    reader.pragma_update(None, "query_only", true)?;
                    reader
                }
            };
            let transaction = reader.transaction()?;
            let read = work(&transaction)?;
            transaction.commit()?;
            let mut idle = self.idle();
            if idle.len() < IDLE_READERS {
                idle.push(reader);
            }
            Ok(read)
        };
        read().map_err(|fault| fault.of(&self.file))
    }
}

/// Opens a file that is there; never makes one.
pub(crate) fn open_existing(file: &Path) -> Result<Connection, rusqlite::Error> {
    // One connection is used by one thread at a time: the mutexes above see to it.
    Connection::open_with_flags(
        file,
        OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX,
    )
}

/// Reads the first page, so that a damaged file is told when it is opened.
fn readable(connection: &Connection) -> Result<(), rusqlite::Error> {
    connection.query_row("SELECT count(*) FROM sqlite_schema", [], |_| Ok(()))
}
