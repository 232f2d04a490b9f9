//! What was found in a drawing, by letters and numbers that people can point with.

use kurbo::Rect;

use crate::adopt::beneath::Beneath;
use crate::adopt::look::Styles;
use crate::adopt::nothing::NoOutline;
use crate::adopt::outlines::{FoundLine, FoundOutline, OutlineGap};
use crate::adopt::scale::Scale;
use crate::adopt::size::SizeChoice;
use crate::adopt::stroke::FoundText;
use crate::drawing::Note;
use crate::drawing::pages::PutTogetherTold;

/// What was found in a drawing, in mm.
#[derive(Clone, Debug)]
pub struct Found {
    /// How large a unit of the drawing is, and what speaks for and against it.
    pub scale: Scale,
    /// The kinds of line.
    pub styles: Styles,
    /// The size that was asked for.
    pub size: Option<SizeChoice>,
    /// Closed lines large enough for a piece, the largest first.
    pub outlines: Vec<FoundOutline>,
    /// Why there is none that may be a piece, where there is none.
    pub no_outline: Option<NoOutline>,
    /// All other lines.
    pub lines: Vec<FoundLine>,
    /// How many lines were left out of [`Found::lines`] because there are too many.
    pub unlisted: usize,
    /// The texts whose characters are known.
    pub texts: Vec<FoundText>,
    /// Ends of long lines that nearly meet.
    pub gaps: Vec<OutlineGap>,
    /// How its pages were put together, where it has several.
    pub pages: Option<PutTogetherTold>,
    /// What the reader tolerated.
    pub notes: Vec<Note>,
    /// The drawing as it is seen.
    pub beneath: Beneath,
    /// Where the sheet lies that the file shows, where it is one sheet.
    pub(super) sheet: Option<Rect>,
    /// What is not the drawing: frames, rulers and keys of its pages, and all by which pages are put together.
    pub left_out: Beneath,
}

/// What is shown where nothing was found, mm.
pub(crate) const NOTHING: Rect = Rect::new(0.0, 0.0, 100.0, 100.0);

impl Found {
    /// The box around the outlines and lines; what lies beneath may reach further.
    pub(crate) fn bounds(&self) -> Option<Rect> {
        let outlines = self.outlines.iter().map(FoundOutline::bounds);
        outlines.chain(self.lines.iter().map(|line| line.curve.bounds())).reduce(|a, b| a.union(b))
    }

    /// The outline of a letter.
    #[must_use]
    pub fn outline(&self, letter: &str) -> Option<&FoundOutline> {
        self.outlines.iter().find(|outline| outline.letter.as_str() == letter)
    }

    /// Whether an outline lies in no other one.
    pub(super) fn is_outermost(&self, at: usize) -> bool {
        self.outlines[at].inside.is_none()
    }

    /// The line of a letter.
    #[must_use]
    pub fn line(&self, letter: &str) -> Option<&FoundLine> {
        self.lines.iter().find(|line| line.letter.as_str() == letter)
    }

    /// The lines within an outline.
    pub fn lines_in(&self, outline: usize) -> impl Iterator<Item = &FoundLine> {
        self.lines.iter().filter(move |line| line.inside == Some(outline))
    }
}
