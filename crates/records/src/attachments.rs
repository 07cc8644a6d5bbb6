//! Photos and documents. What one is, is told by its first bytes, whatever its name says: it
//! will be shown in a browser.

use crate::canonical::{Form, Sha};
use crate::error::{Fault, RecordsError};
use crate::ids::{AttachmentId, BuildId, FindingId, IntakeId, PartId, PersonId};
use crate::shop::Shop;
use crate::time::Moment;
use crate::words::MediaType;
use rusqlite::{Connection, OptionalExtension, Row, params};

/// The most bytes of one: a photo from a telephone, uncut. Backups carry each of them.
pub const ATTACHMENT_MOST: usize = 16 * 1024 * 1024;

/// What something is attached to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AttachedTo {
    /// A build.
    Build(BuildId),
    /// A part.
    Part(PartId),
    /// What came in.
    Intake(IntakeId),
    /// A finding of a teardown.
    Finding(FindingId),
    /// A part as it is in a build.
    PartIn(BuildId, PartId),
}

/// Something to be attached.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NewAttachment<'a> {
    /// To what.
    pub to: AttachedTo,
    /// Of a part in a build, which station it shows.
    pub station: Option<&'a str>,
    /// What its file was called.
    pub name: &'a str,
    /// All of it.
    pub bytes: &'a [u8],
    /// By whom.
    pub person: PersonId,
    /// When.
    pub at: &'a Moment,
}

/// An attachment without its bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Attachment {
    /// Its number.
    pub id: AttachmentId,
    /// What its file was called.
    pub name: String,
    /// Of a part in a build, which station it shows.
    pub station: Option<String>,
    /// What it is.
    pub media_type: MediaType,
    /// How many bytes.
    pub size: i64,
    /// Of its bytes.
    pub sha256: Sha,
    /// By whom.
    pub person: PersonId,
    /// When.
    pub at: Moment,
}

/// The columns that say to what something is attached.
fn columns(to: AttachedTo) -> [Option<i64>; 4] {
    match to {
        AttachedTo::Build(id) => [Some(id.0), None, None, None],
        AttachedTo::Part(id) => [None, Some(id.0), None, None],
        AttachedTo::Intake(id) => [None, None, Some(id.0), None],
        AttachedTo::Finding(id) => [None, None, None, Some(id.0)],
        AttachedTo::PartIn(build, part) => [Some(build.0), Some(part.0), None, None],
    }
}

impl Attachment {
    /// The hash of itself, to what it is attached, and the hash of its bytes.
    fn seal(&self, to: [Option<i64>; 4]) -> Sha {
        let name = match self.station {
            None => "lobewright attachment 1",
            Some(_) => "lobewright attachment 2",
        };
        let form = to.iter().fold(Form::new(name).whole(self.id.0), |form, id| form.whole_if(*id));
        let form = match &self.station {
            None => form,
            Some(station) => form.text(station),
        };
        form.text(&self.name)
            .text(self.media_type.word())
            .sha(self.sha256)
            .whole(self.person.0)
            .text(self.at.as_str())
            .end()
    }
}

/// Each attachment, and whether it and its bytes are what they were, by its number.
pub(crate) fn each(
    connection: &Connection,
    mut look: impl FnMut(&Attachment, bool) -> Result<(), Fault>,
) -> Result<(), Fault> {
    let mut statement = connection.prepare(&format!(
        "SELECT {COLUMNS}, build, part, intake, finding, seal, bytes FROM attachment ORDER BY id"
    ))?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        let attachment = attachment(row)?;
        let to = [row.get(8)?, row.get(9)?, row.get(10)?, row.get(11)?];
        let seal: Sha = row.get(12)?;
        let bytes = row.get_ref(13)?.as_blob().map_err(rusqlite::Error::from)?;
        let same = attachment.seal(to) == seal && Sha::of(bytes) == attachment.sha256;
        look(&attachment, same)?;
    }
    Ok(())
}

/// What some bytes are, by the marks that these formats begin with (PNG: ISO/IEC 15948; JPEG:
/// its start of image and the next marker; WebP: a RIFF container of that kind; PDF: its header).
#[must_use]
pub fn media_type(bytes: &[u8]) -> Option<MediaType> {
    if bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
        Some(MediaType::Png)
    } else if bytes.starts_with(&[0xFF, 0xD8, 0xFF]) {
        Some(MediaType::Jpeg)
    } else if bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"WEBP") {
        Some(MediaType::WebP)
    } else if bytes.starts_with(b"%PDF-") {
        Some(MediaType::Pdf)
    } else {
        None
    }
}

const COLUMNS: &str = "id, name, media_type, length(bytes), sha256, person, at, station";

fn attachment(row: &Row<'_>) -> rusqlite::Result<Attachment> {
    Ok(Attachment {
        id: row.get(0)?,
        name: row.get(1)?,
        media_type: row.get(2)?,
        size: row.get(3)?,
        sha256: row.get(4)?,
        person: row.get(5)?,
        at: row.get(6)?,
        station: row.get(7)?,
    })
}

impl Shop {
    /// Attaches something.
    ///
    /// # Errors
    /// Where it is too large, or none of the kinds that are taken, or what it is attached to is
    /// not there.
    pub fn attach(&self, new: &NewAttachment<'_>) -> Result<AttachmentId, RecordsError> {
        let (name, size) = (new.name.to_owned(), new.bytes.len());
        if size > ATTACHMENT_MOST {
            return Err(RecordsError::TooLarge { name, size, most: ATTACHMENT_MOST });
        }
        let Some(media_type) = media_type(new.bytes) else {
            return Err(RecordsError::MediaType { name });
        };
        let to = columns(new.to);
        self.write(|tx| {
            let last: i64 =
                tx.query_row("SELECT coalesce(max(id), 0) FROM attachment", [], |row| row.get(0))?;
            let kept = Attachment {
                id: AttachmentId(last + 1),
                name: new.name.to_owned(),
                station: new.station.map(str::to_owned),
                media_type,
                size: size as i64,
                sha256: Sha::of(new.bytes),
                person: new.person,
                at: new.at.clone(),
            };
            tx.prepare_cached(
                "INSERT INTO attachment (id, build, part, intake, finding, name, media_type,
                                         sha256, person, at, seal, bytes, station)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13)",
            )?
            .execute(params![
                kept.id,
                to[0],
                to[1],
                to[2],
                to[3],
                kept.name,
                kept.media_type,
                kept.sha256,
                kept.person,
                kept.at,
                kept.seal(to),
                new.bytes,
                kept.station,
            ])?;
            Ok(kept.id)
        })
    }

    /// What is attached to something, the first first, without the bytes.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn attachments(&self, to: AttachedTo) -> Result<Vec<Attachment>, RecordsError> {
        // What a photo of a part in a build shows is told there, and among all of the part.
        let (of, id, part) = match to {
            AttachedTo::Build(id) => ("build = ?1 AND part IS ?2", id.0, None),
            AttachedTo::Part(id) => ("part = ?1 AND ?2 IS NULL", id.0, None),
            AttachedTo::Intake(id) => ("intake = ?1 AND ?2 IS NULL", id.0, None),
            AttachedTo::Finding(id) => ("finding = ?1 AND ?2 IS NULL", id.0, None),
            AttachedTo::PartIn(build, part) => ("build = ?1 AND part = ?2", build.0, Some(part)),
        };
        self.read(|connection| {
            let mut statement = connection.prepare_cached(&format!(
                "SELECT {COLUMNS} FROM attachment WHERE {of} ORDER BY id"
            ))?;
            Ok(statement.query_map((id, part), attachment)?.collect::<Result<_, _>>()?)
        })
    }

    /// An attachment with its bytes.
    ///
    /// # Errors
    /// Where there is none of that number.
    pub fn attachment(&self, id: AttachmentId) -> Result<(Attachment, Vec<u8>), RecordsError> {
        self.read(|connection| {
            connection
                .prepare_cached(&format!("SELECT {COLUMNS}, bytes FROM attachment WHERE id = ?1"))?
                .query_row([id], |row| Ok((attachment(row)?, row.get(8)?)))
                .optional()?
                .ok_or_else(|| Fault::not_there("attachment", id))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kinds_by_their_first_bytes() {
        assert_eq!(media_type(b"\x89PNG\r\n\x1a\n...."), Some(MediaType::Png));
        assert_eq!(media_type(b"\xFF\xD8\xFF\xE0"), Some(MediaType::Jpeg));
        assert_eq!(media_type(b"RIFF\x10\0\0\0WEBPVP8 "), Some(MediaType::WebP));
        assert_eq!(media_type(b"%PDF-1.7\n"), Some(MediaType::Pdf));
        for other in [
            &b""[..],
            b"RIFF\x10\0\0\0WAVE",
            b"<svg xmlns='http://www.w3.org/2000/svg'>",
            b"<html>",
            b" %PDF-1.7",
            b"GIF89a",
            b"\x89PN",
        ] {
            assert_eq!(media_type(other), None);
        }
    }
}
