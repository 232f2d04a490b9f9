//! What is not as it should be in a drawing, whatever a map says of it: each with the way out.

use std::fmt;

use crate::adopt::found::Found;
use crate::adopt::nothing::NoOutline;
use crate::adopt::scale::{ScaleCheck, ScaleSource};
use crate::advice;
use crate::drawing::pages::PutTogetherTold;
use crate::pattern::{Advice, Field};
use crate::tolerance::GAP_LOOKED_FOR;
use crate::units::{Length, Unit, counted};

/// Something that is not as it should be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Untrue {
    /// What.
    pub what: String,
    /// What can be done about it.
    pub way_out: Advice,
}

impl Untrue {
    fn new(what: impl fmt::Display, way_out: impl Into<Advice>) -> Untrue {
        Untrue { what: what.to_string(), way_out: way_out.into() }
    }
}

impl Found {
    /// What is not true of the drawing.
    #[must_use]
    pub fn untrue(&self, unit: Unit) -> Vec<Untrue> {
        let mut untrue = Vec::new();
        if self.scale.source == ScaleSource::Unknown {
            untrue.push(Untrue::new(
                "the drawing does not say how large it is; lengths are told as if a unit were a pixel of 96 to the inch",
                advice!(
                    "say ",
                    Field::Unit.set("mm"),
                    " (or cm, in, px, pt), or how long something is: ",
                    Field::Known,
                    " \"A=100mm\""
                ),
            ));
        }
        let missing = self.pages.iter().flat_map(|pages| pages.missing());
        untrue.extend(
            missing
                .map(|page| Untrue::new(format!("a page is missing {page}"), "bring it in with the others")),
        );
        untrue.extend(self.pages.as_ref().and_then(open_at_edges));
        untrue.extend(self.scale.check().filter(|check| check.is_off()).map(ScaleCheck::untrue));
        let is_told = |why: &NoOutline| {
            let open = self.pages.as_ref().is_some_and(|pages| pages.open().next().is_some());
            open && matches!(why, NoOutline::CutAtPages { .. } | NoOutline::Open { .. })
        };
        untrue.extend(self.no_outline.filter(|why| !is_told(why)).map(|why| no_outline(why, unit)));
        untrue.extend(self.gaps.iter().map(|gap| {
            let show = |mm: f64| Length::from_mm(mm).show(unit);
            let what = format!(
                "an outline is open: a gap of {} between ({:.1}mm, {:.1}mm) and ({:.1}mm, {:.1}mm)",
                show(gap.width()),
                gap.from.x,
                gap.from.y,
                gap.to.x,
                gap.to.y
            );
            let is_side = gap.width() > GAP_LOOKED_FOR;
            Untrue::new(
                what,
                if is_side { "draw the side that is missing" } else { "draw the two ends together" },
            )
        }));
        untrue
    }
}

/// What is told where outlines stay open at the edges of pages that were put together.
fn open_at_edges(pages: &PutTogetherTold) -> Option<Untrue> {
    /// Edges that are named.
    const NAMED: usize = 6;
    let open: Vec<String> = pages.open().map(ToString::to_string).collect();
    if open.is_empty() {
        return None;
    }
    let more = match open.len().saturating_sub(NAMED) {
        0 => String::new(),
        more => format!(" and at {more} edges more"),
    };
    let named = open[..open.len().min(NAMED)].join(", ");
    let parts = match pages.drawings.len() {
        1 => String::new(),
        parts => format!(", and the pages make {parts} sets that no line joins to one another"),
    };
    let what = format!("outlines stay open at the edges of pages{parts}: {named}{more}");
    let way_out = advice!(
        "say how many pages lie beside and under one another: ",
        Field::Pages.set("5 x 6"),
        ", with \"by columns\" or \"blank 7,12\" where it is so"
    );
    Some(Untrue::new(what, way_out))
}

/// Why there is no outline of a piece, and what can be done.
fn no_outline(why: NoOutline, unit: Unit) -> Untrue {
    const LARGE_SHEETS: &str = "or use the file for large sheets (A0, copy shop), where there is one";
    match why {
        NoOutline::CutAtPages { lines, pages } => Untrue::new(
            format!(
                "no outline of a piece is whole: {lines} lines are cut off at the edges of {}, where the drawing continues \
                 on the next",
                counted(pages, "page")
            ),
            format!(
                "put the pages together first: lay them side by side by their joining marks in a vector editor, take their \
                 frames out, and save all as one SVG; {LARGE_SHEETS}"
            ),
        ),
        NoOutline::CutByClips => Untrue::new(
            "no outline of a piece is whole: clip paths cut its lines off, as where a large drawing is spread over pages",
            format!("take the clip paths off in a vector editor, {LARGE_SHEETS}"),
        ),
        NoOutline::Open { lines } => Untrue::new(
            format!("no outline of a piece was found: of {} none closes", counted(lines, "line")),
            "draw the ends of an outline together in a vector editor, to within 0.5 mm",
        ),
        NoOutline::TooSmall { largest } => {
            let [width, height] = largest.map(|mm| Length::from_mm(mm).show(unit));
            Untrue::new(
                format!("no outline of a piece was found: the largest closed line is {width} × {height}"),
                advice!("look at the scale: ", Field::Unit, ", or ", Field::Known, " \"A=100mm\""),
            )
        }
        NoOutline::OnlyFurniture { lines } => Untrue::new(
            format!(
                "no outline of a piece was found: {} that stand at the same place of several pages were taken for their frames \
                 and marks, and there is no other",
                counted(lines, "line")
            ),
            "use the pages on which the pieces are drawn; where one page is a drawing of its own, save it as a file of its own",
        ),
        NoOutline::Picture => Untrue::new(
            "there is no line in the drawing, only a picture of one (a scan)",
            "trace its lines in a vector editor, and save it as SVG",
        ),
        NoOutline::Writing => Untrue::new(
            "there is no line in the drawing, only writing",
            "it may be a page of instructions: use that on which the pieces are drawn",
        ),
        NoOutline::Empty => Untrue::new(
            "nothing is seen in the drawing",
            "show its layers, and give white lines another colour, in a vector editor",
        ),
    }
}

impl ScaleCheck {
    /// What a thing of known size says of a scale that is off.
    #[must_use]
    pub fn untrue(&self) -> Untrue {
        let name = format!("{} ({})", self.nominal, self.letter);
        let [across, down] = self.factors().map(|factor| (1.0 / factor - 1.0) * 100.0);
        let what = match (self.across, self.down) {
            (Some(w), Some(h)) if self.is_stretched() => format!(
                "{name} measured {w:.2} across and {h:.2} down: scale off by {across:.2} % and {down:.2} %, the drawing is \
                 stretched"
            ),
            (measured, other) => {
                let measured = measured.or(other).unwrap_or_default();
                format!("{name} measured {measured:.2}: scale off by {:.2} %", across.abs())
            }
        };
        Untrue::new(what, advice!("say ", Field::CorrectScale, " to correct it"))
    }
}
