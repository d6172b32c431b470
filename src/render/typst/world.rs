//! The typesetter inside the program: one source in memory, the fonts embedded in the program, no clock, no files, no
//! packages, no network. The PDF is of the archival profile PDF/A-2b.

use std::sync::LazyLock;

use chrono::Datelike;
use typst::comemo;
use typst::diag::{FileError, FileResult, SourceDiagnostic};
use typst::foundations::{Bytes, Datetime, Duration, Smart};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World, WorldExt};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards, Timestamp};

use crate::dossier::Head;
use crate::render::RenderError;

static FONTS: LazyLock<Vec<Font>> =
    LazyLock::new(|| typst_assets::fonts().flat_map(|data| Font::iter(Bytes::new(data))).collect());

/// The typeface of the package.
const FACE: &str = "Libertinus Serif";

/// Whether every cut of the package's typeface can print a character. Borrowing it from another embedded face would do
/// for a letter, but not for an accent that must stand on one.
pub(super) fn has_glyph(c: char) -> bool {
    let mut cuts = FONTS.iter().map(Font::info).filter(|info| info.family == FACE);
    cuts.all(|info| info.coverage.contains(u32::from(c)))
}

/// Everything the typesetter may see.
struct Desk {
    standard: LazyHash<Library>,
    fonts: LazyHash<FontBook>,
    source: Source,
}

impl World for Desk {
    fn library(&self) -> &LazyHash<Library> {
        &self.standard
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &self.fonts
    }

    fn main(&self) -> FileId {
        self.source.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == self.source.id() { Ok(self.source.clone()) } else { Err(FileError::AccessDenied) }
    }

    fn file(&self, _: FileId) -> FileResult<Bytes> {
        Err(FileError::AccessDenied)
    }

    fn font(&self, index: usize) -> Option<Font> {
        FONTS.get(index).cloned()
    }

    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        None
    }
}

/// The package as PDF/A-2b. The same source and head give the same bytes.
///
/// # Errors
/// Where the typesetter cannot follow the source, with its line.
pub fn pdf(source: &str, head: &Head) -> Result<Vec<u8>, RenderError> {
    let desk = desk(source)?;
    let made = typst::compile::<PagedDocument>(&desk).output;
    let document = made.map_err(|errors| in_words(&desk, &errors))?;
    let bytes = typst_pdf::pdf(&document, &options(head)?).map_err(|errors| in_words(&desk, &errors));
    comemo::evict(0);
    bytes
}

fn desk(source: &str) -> Result<Desk, RenderError> {
    let path = VirtualPath::new("/package.typ")
        .map_err(|_| RenderError::Typeset { line: 0, message: "the source has no name".into() })?;
    Ok(Desk {
        standard: LazyHash::new(Library::default()),
        fonts: LazyHash::new(FontBook::from_fonts(FONTS.iter())),
        source: Source::new(FileId::new(RootedPath::new(VirtualRoot::Project, path)), source.into()),
    })
}

fn options(head: &Head) -> Result<PdfOptions, RenderError> {
    let standards = PdfStandards::new(&[PdfStandard::A_2b])
        .map_err(|why| RenderError::Typeset { line: 0, message: why.message().to_string() })?;
    let (month, day) = (u8::try_from(head.through.month()), u8::try_from(head.through.day()));
    let date = match (month, day) {
        (Ok(month), Ok(day)) => Datetime::from_ymd_hms(head.through.year(), month, day, 0, 0, 0),
        _ => None,
    };
    Ok(PdfOptions {
        ident: Smart::Custom(format!("{} {} {}", head.number, head.period, head.through)),
        creator: Smart::Custom(Some(head.program.clone())),
        timestamp: date.map(Timestamp::new_utc),
        standards,
        // Tags make the file twelve times as large; the archival profile does not ask for them.
        tagged: false,
        ..PdfOptions::default()
    })
}

/// The first of the typesetter's complaints, with its line in the source.
fn in_words(desk: &Desk, errors: &[SourceDiagnostic]) -> RenderError {
    let Some(first) = errors.first() else {
        return RenderError::Typeset { line: 0, message: "the typesetter gave no reason".into() };
    };
    let line = desk.range(first.span).and_then(|range| desk.source.lines().byte_to_line(range.start));
    RenderError::Typeset { line: line.map_or(0, |l| l + 1), message: first.message.to_string() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dossier::{HOSTILE, example};
    use crate::render::typst::escape;
    use crate::render::{Templates, typst_source};
    use proptest::prelude::*;

    fn source() -> (String, Head) {
        let (dossier, book) = example();
        (typst_source(&Templates::new(&[]).unwrap(), &dossier, &book).unwrap(), dossier.head)
    }

    #[test]
    fn the_package_is_typeset_without_a_warning() {
        let made = typst::compile::<PagedDocument>(&desk(&source().0).unwrap());
        assert_eq!(made.warnings.iter().map(|w| w.message.to_string()).collect::<Vec<_>>(), Vec::<String>::new());
        assert!(made.output.unwrap().pages().len() >= 6);
    }

    #[test]
    fn same_source_same_bytes() {
        let (source, head) = source();
        let made = pdf(&source, &head).unwrap();
        assert!(made.starts_with(b"%PDF-1.7"));
        assert!(made == pdf(&source, &head).unwrap());
    }

    #[test]
    fn files_packages_and_the_clock_are_out_of_reach() {
        let head = example().0.head;
        for source in
            ["#read(\"/etc/hostname\")", "#import \"@preview/a:0.1.0\"", "#datetime.today()", "#include \"b.typ\""]
        {
            let error = pdf(&format!("line\n{source}"), &head).unwrap_err();
            assert!(matches!(error, RenderError::Typeset { line: 2, .. }), "{source}: {error}");
        }
    }

    /// The words on the pages of a document.
    fn words(source: &str) -> String {
        let document = typst::compile::<PagedDocument>(&desk(source).unwrap()).output.unwrap();
        let mut out = String::new();
        document.pages().iter().for_each(|page| collect(&page.frame, &mut out));
        out
    }

    fn collect(frame: &typst::layout::Frame, out: &mut String) {
        for (_, item) in frame.items() {
            match item {
                typst::layout::FrameItem::Group(group) => collect(&group.frame, out),
                typst::layout::FrameItem::Text(text) => out.push_str(&text.text),
                _ => {}
            }
        }
    }

    fn letters(text: &str) -> String {
        text.chars().filter(char::is_ascii_graphic).collect()
    }

    #[test]
    fn a_command_in_a_cell_is_printed_not_run() {
        let markup = words(&escape(HOSTILE));
        let quoted = words(&format!("#text(\"{}\")", escape(HOSTILE)));
        assert!(letters(&markup).contains("#panic()$x$=1+1"), "{markup}");
        assert_eq!(letters(&markup), letters(&quoted));
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(200))]
        #[test]
        fn any_text_comes_out_as_itself(text in "[ -~]{1,40}") {
            let page = "#set page(width: auto)\n#set smartquote(enabled: false)\n";
            prop_assert_eq!(letters(&words(&format!("{page}{}", escape(&text)))), letters(&text));
            prop_assert_eq!(letters(&words(&format!("{page}#text(\"{}\")", escape(&text)))), letters(&text));
        }

        #[test]
        fn any_text_can_be_archived(text in any::<String>()) {
            let head = example().0.head;
            let source = format!("{0} #strong[{0}] #emph(\"{0}\") #text(font: \"DejaVu Sans Mono\", \"{0}\")", escape(&text));
            prop_assert_eq!(pdf(&source, &head).err(), None);
        }
    }
}
