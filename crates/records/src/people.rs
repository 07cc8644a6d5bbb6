//! People of the shop, who is logged in, and the shop's own settings.

use crate::canonical::Sha;
use crate::error::{Fault, RecordsError, Who};
use crate::ids::PersonId;
use crate::shop::Shop;
use crate::time::Moment;
use rusqlite::{Connection, OptionalExtension, Row, params};

/// A person of the shop.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Person {
    /// Their number.
    pub id: PersonId,
    /// What they are called; no two are called the same.
    pub name: String,
    /// What they do, in the shop's words.
    pub role: String,
    /// Whether they still work here.
    pub active: bool,
}

/// An open session.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Session {
    /// Whose.
    pub person: PersonId,
    /// When it ends.
    pub until: Moment,
}

/// An open session as it is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OpenSession {
    /// Whose, and when it ends at the latest.
    pub session: Session,
    /// When it was opened.
    pub opened: Moment,
    /// When something was asked for the last time, as far as it was noted.
    pub seen: Moment,
}

fn person(row: &Row<'_>) -> rusqlite::Result<Person> {
    Ok(Person { id: row.get(0)?, name: row.get(1)?, role: row.get(2)?, active: row.get(3)? })
}

/// Who did something, by name.
pub(crate) fn who(connection: &Connection, person: PersonId, at: &Moment) -> Result<Who, Fault> {
    let name = connection
        .prepare_cached("SELECT name FROM person WHERE id = ?1")?
        .query_row([person], |row| row.get(0))?;
    Ok(Who { person, name, at: at.clone() })
}

impl Shop {
    /// Adds a person.
    ///
    /// # Errors
    /// Where the name is taken.
    pub fn add_person(&self, name: &str, role: &str) -> Result<PersonId, RecordsError> {
        self.write(|tx| {
            tx.prepare_cached("INSERT INTO person (name, role) VALUES (?1, ?2)")?
                .insert((name, role))
                .map(PersonId)
                .map_err(|error| Fault::taken(error, "person"))
        })
    }

    /// Changes what is known of a person.
    ///
    /// # Errors
    /// Where the name is taken, or there is no such person.
    pub fn change_person(&self, changed: &Person) -> Result<(), RecordsError> {
        let Person { id, name, role, active } = changed;
        self.write(|tx| {
            let count = tx
                .prepare_cached(
                    "UPDATE person SET name = ?2, role = ?3, active = ?4 WHERE id = ?1",
                )?
                .execute((id, name, role, active))
                .map_err(|error| Fault::taken(error, "person"))?;
            if count == 1 { Ok(()) } else { Err(Fault::not_there("person", id)) }
        })
    }

    /// One person.
    ///
    /// # Errors
    /// Where there is none of that number.
    pub fn person(&self, id: PersonId) -> Result<Person, RecordsError> {
        self.read(|connection| {
            connection
                .prepare_cached("SELECT id, name, role, active FROM person WHERE id = ?1")?
                .query_row([id], person)
                .optional()?
                .ok_or_else(|| Fault::not_there("person", id))
        })
    }

    /// Everybody, those who still work here first.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn people(&self) -> Result<Vec<Person>, RecordsError> {
        self.read(|connection| {
            let mut statement = connection.prepare_cached(
                "SELECT id, name, role, active FROM person ORDER BY active DESC, name",
            )?;
            Ok(statement.query_map([], person)?.collect::<Result<_, _>>()?)
        })
    }

    /// Keeps what a password is checked by, or that there is none. It is never kept itself: the
    /// caller hashes it.
    ///
    /// # Errors
    /// Where there is no such person.
    pub fn set_password(&self, id: PersonId, hashed: Option<&str>) -> Result<(), RecordsError> {
        self.write(|tx| {
            let count =
                tx.execute("UPDATE person SET password = ?2 WHERE id = ?1", (id, hashed))?;
            if count == 1 { Ok(()) } else { Err(Fault::not_there("person", id)) }
        })
    }

    /// What a person's password is checked by.
    ///
    /// # Errors
    /// Where there is no such person.
    pub fn password(&self, id: PersonId) -> Result<Option<String>, RecordsError> {
        self.read(|connection| {
            connection
                .query_row("SELECT password FROM person WHERE id = ?1", [id], |row| row.get(0))
                .optional()?
                .ok_or_else(|| Fault::not_there("person", id))
        })
    }

    /// Opens a session. Of its token only the hash is kept.
    ///
    /// # Errors
    /// Where there is no such person, or the token was used.
    pub fn open_session(
        &self,
        token_hash: Sha,
        session: &Session,
        now: &Moment,
    ) -> Result<(), RecordsError> {
        self.write(|tx| {
            tx.execute("DELETE FROM session WHERE until <= ?1", [now])?;
            tx.execute(
                "INSERT INTO session (token_hash, person, opened, until, seen)
                 VALUES (?1, ?2, ?3, ?4, ?3)",
                (token_hash, session.person, now, &session.until),
            )?;
            Ok(())
        })
    }

    /// The session of a token, if it is open now and its person still works here.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn session(
        &self,
        token_hash: Sha,
        now: &Moment,
    ) -> Result<Option<OpenSession>, RecordsError> {
        self.read(|connection| {
            // A session of a file from before version 4 was last seen when it was opened.
            let mut statement = connection.prepare_cached(
                "SELECT s.person, s.until, s.opened, coalesce(s.seen, s.opened)
                 FROM session s JOIN person p ON p.id = s.person
                 WHERE s.token_hash = ?1 AND s.until > ?2 AND p.active = 1",
            )?;
            let found = statement.query_row((token_hash, now), |row| {
                let session = Session { person: row.get(0)?, until: row.get(1)? };
                Ok(OpenSession { session, opened: row.get(2)?, seen: row.get(3)? })
            });
            Ok(found.optional()?)
        })
    }

    /// Notes that something was asked for in a session.
    ///
    /// # Errors
    /// Where the file cannot be written.
    pub fn saw_session(&self, token_hash: Sha, now: &Moment) -> Result<(), RecordsError> {
        self.write(|tx| {
            tx.prepare_cached("UPDATE session SET seen = ?2 WHERE token_hash = ?1")?
                .execute((token_hash, now))?;
            Ok(())
        })
    }

    /// Ends one session, or all of a person.
    ///
    /// # Errors
    /// Where the file cannot be written.
    pub fn end_sessions(
        &self,
        token_hash: Option<Sha>,
        of: Option<PersonId>,
    ) -> Result<(), RecordsError> {
        self.write(|tx| {
            tx.execute(
                "DELETE FROM session WHERE token_hash = ?1 OR person = ?2",
                params![token_hash, of],
            )?;
            Ok(())
        })
    }

    /// Keeps a setting of the shop.
    ///
    /// # Errors
    /// Where the file cannot be written.
    pub fn set_setting(&self, key: &str, value: &str) -> Result<(), RecordsError> {
        self.write(|tx| {
            tx.execute(
                "INSERT INTO setting (key, value) VALUES (?1, ?2)
                 ON CONFLICT (key) DO UPDATE SET value = excluded.value",
                (key, value),
            )?;
            Ok(())
        })
    }

    /// A setting of the shop.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn setting(&self, key: &str) -> Result<Option<String>, RecordsError> {
        self.read(|connection| {
            let mut statement =
                connection.prepare_cached("SELECT value FROM setting WHERE key = ?1")?;
            Ok(statement.query_row([key], |row| row.get(0)).optional()?)
        })
    }
}
