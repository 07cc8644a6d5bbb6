//! The press: a paper as PDF. Tagged, with its fonts inside, as PDF/A-2a [ISO-19005-2] and
//! PDF/UA-1 [ISO-14289-1] ask; the typesetter refuses what would break either.

use crate::letters::printable;
use crate::model::Paper;
use serde_json::Value;
use std::collections::HashMap;
use std::sync::LazyLock;
use thiserror::Error;
use typst::diag::{FileError, FileResult, SourceDiagnostic};
use typst::foundations::{Bytes, Datetime, Duration, Smart};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards};

/// How papers are set.
const SETTING: &str = include_str!("paper.typ");
/// What stands for paper in the pictures; on paper it is the paper itself.
const SCREEN_PAPER: &str = "#fbfaf6";
const PAPER: &str = "#ffffff";
/// Results that were not asked for by the last papers are forgotten.
const KEPT_PAPERS: usize = 4;

static LIBRARY: LazyLock<LazyHash<Library>> = LazyLock::new(|| LazyHash::new(Library::default()));
static FONTS: LazyLock<Vec<Font>> = LazyLock::new(|| {
    [notosans::REGULAR_TTF, notosans::BOLD_TTF, notosans::ITALIC_TTF, notosans::BOLD_ITALIC_TTF]
        .into_iter()
        .filter_map(|bytes| Font::new(Bytes::new(bytes), 0))
        .collect()
});
static BOOK: LazyLock<LazyHash<FontBook>> =
    LazyLock::new(|| LazyHash::new(FontBook::from_fonts(FONTS.iter())));

/// Why a paper is not set. None of these is the doing of whoever asked for it.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum PaperError {
    /// The model cannot be handed to the typesetter.
    #[error("{title}: {source}")]
    Model {
        /// Of the paper.
        title: String,
        /// Why.
        source: serde_json::Error,
    },
    /// The typesetter refuses it.
    #[error("{title} cannot be set: {why}")]
    Refused {
        /// Of the paper.
        title: String,
        /// In its own words.
        why: String,
    },
}

/// Every text of a model, put through the same.
fn each_text(value: &mut Value, change: &dyn Fn(&str) -> String) {
    match value {
        Value::String(text) => *text = change(text),
        Value::Array(all) => all.iter_mut().for_each(|one| each_text(one, change)),
        Value::Object(all) => all.values_mut().for_each(|one| each_text(one, change)),
        Value::Null | Value::Bool(_) | Value::Number(_) => {}
    }
}

/// A text with the letters that the paper's font has, others by their numbers.
pub(crate) fn legible(text: &str) -> String {
    printable(&FONTS, text)
}

/// A file that the typesetter asks for; none of them is on a disk.
fn file(name: &str) -> Option<FileId> {
    Some(RootedPath::new(VirtualRoot::Project, VirtualPath::new(name).ok()?).intern())
}

/// Everything that the typesetter can see.
struct Desk {
    main: Source,
    files: HashMap<FileId, Bytes>,
}

impl World for Desk {
    fn library(&self) -> &LazyHash<Library> {
        &LIBRARY
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &BOOK
    }

    fn main(&self) -> FileId {
        self.main.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == self.main.id() { Ok(self.main.clone()) } else { Err(FileError::NotSource) }
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        self.files
            .get(&id)
            .cloned()
            .ok_or_else(|| FileError::NotFound(id.get().vpath().get_without_slash().into()))
    }

    fn font(&self, index: usize) -> Option<Font> {
        FONTS.get(index).cloned()
    }

    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        // The day is the paper's own.
        None
    }
}

impl Paper {
    /// The paper as PDF: tagged, fonts embedded, PDF/A-2a and PDF/UA-1.
    ///
    /// # Errors
    /// [`PaperError`] where the typesetter refuses it: a table whose rows are not as wide as its
    /// head, a picture that is no SVG.
    pub fn pdf(&self) -> Result<Vec<u8>, PaperError> {
        let model = serde_json::to_value(self)
            .map_err(|source| PaperError::Model { title: self.title.clone(), source })?;
        let ident = format!("{} {} {}", self.title, self.of, self.mark);
        pressed(SETTING, model, &self.title, ident)
    }
}

/// Sets a model by the rules of a setting.
pub(crate) fn pressed(
    setting: &str,
    mut model: Value,
    title: &str,
    ident: String,
) -> Result<Vec<u8>, PaperError> {
    let refused = |why: String| PaperError::Refused { title: title.to_owned(), why };
    let (Some(main), Some(data)) = (file("paper.typ"), file("paper.json")) else {
        return Err(refused("it has no name".to_owned()));
    };
    each_text(&mut model, &|text| printable(&FONTS, &text.replace(SCREEN_PAPER, PAPER)));
    let desk = Desk {
        main: Source::new(main, setting.to_owned()),
        files: HashMap::from([(data, Bytes::from_string(model.to_string()))]),
    };
    let told = |all: &[SourceDiagnostic]| {
        let words: Vec<&str> = all.iter().map(|one| one.message.as_str()).collect();
        refused(words.join("; "))
    };
    let set = typst::compile::<PagedDocument>(&desk);
    let document = set.output.map_err(|all| told(&all))?;
    let standards = PdfStandards::new(&[PdfStandard::A_2a, PdfStandard::Ua_1])
        .map_err(|error| refused(error.message().to_string()))?;
    let options = PdfOptions {
        ident: Smart::Custom(ident),
        creator: Smart::Custom(Some("Lobewright".to_owned())),
        standards,
        ..PdfOptions::default()
    };
    let pdf = typst_pdf::pdf(&document, &options).map_err(|all| told(&all));
    typst::comemo::evict(KEPT_PAPERS);
    pdf
}
