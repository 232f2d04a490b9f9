//! Pages at true size.
//!
//! Pieces are drawn, laid on paper ([`Paper`]), cut into pages where the paper is small, and written as PDF. Everything
//! is in true millimetres; a printer that is off ([`Measured`]) is made good for at the very end, page and all.
//!
//! # Examples
//!
//! ```
//! use retrue::show::print::{Orientation, Paper, Print, PrintOptions, SheetSize};
//!
//! # let sheet = std::fs::read("fixtures/coat.svg")?;
//! let coat = retrue::sheet::read(&sheet, &Default::default())?.pattern;
//! let options = PrintOptions::usual("coat", Paper::Sheets(SheetSize::A4, Orientation::Portrait));
//! let print = Print::of(&coat, &options)?;
//! assert!(print.pdf()?.starts_with(b"%PDF"));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod choices;
mod cover;
mod frame;
mod job;
mod key;
mod leaders;
mod map;
mod measured;
mod notes;
mod on_cloth;
mod options;
mod pages;
mod paper;
mod pdf;
mod roll;
mod section;
mod summary;
mod tiles;

use std::collections::BTreeSet;

use kurbo::{Affine, Size, Vec2};

use crate::allowance::{Halves, SewingOrder};
use crate::canvas::{Drawing, Font, LineKind, Lying};
use crate::curve::Point;
use crate::pattern::{Copy, Cut, Pattern, Piece, Twins};
use crate::show::piece::{PieceDrawing, PieceStyle};
use crate::truing::Verdict;

pub use crate::show::layout::{Layout, LayoutError};
pub use choices::PrintChoices;
pub use frame::BAR;
pub use measured::{Measured, MeasuredError};
pub use options::{Copies, Grouping, PrintError, PrintOptions};
pub use pages::{Page, Print, PrintedArea, ShownArea};
pub use paper::{Bars, Orientation, Paper, SheetSize, Throw, Use};
pub use tiles::Tile;

use frame::Frame;
use job::LONGEST_PAGE;
use key::{LineKey, PlacedKey};
use notes::UntrueNote;
use section::{DrawnTurned, Section};

impl Print {
    /// Lays out a pattern on pages.
    ///
    /// # Errors
    ///
    /// A cutting line that cannot be worked out; a paper too small for its bars; a piece that does not fit on a sheet; an
    /// unknown piece; a layout to be shown where no pages are put together.
    pub fn of(pattern: &Pattern, options: &PrintOptions) -> Result<Print, PrintError> {
        if !options.layouts.is_empty() && options.on() == Use::Single {
            return Err(PrintError::LayoutWithoutMap);
        }
        let order = SewingOrder::of(pattern);
        let drawn = drawn_pieces(&order, options)?;
        let stretch = options.measured.map_or(Vec2::new(1.0, 1.0), |measured| measured.stretch());
        let mut print = Print {
            title: options.title.clone(),
            pages: Vec::new(),
            areas: Vec::new(),
            verdict: Verdict::of(pattern),
            stretch,
            missing: BTreeSet::new(),
            throw: match options.paper {
                Paper::Light(throw) => Some(throw),
                Paper::Sheets(..) | Paper::Roll { .. } => None,
            },
        };
        let finished = match options.pieces.is_empty() {
            true => notes::finished(pattern, options.unit),
            false => None,
        };
        let untrue = UntrueNote::of(&print.verdict, options.unit);
        for group in grouped(drawn, options.grouping) {
            let section = Section {
                corrected: options.measured.as_ref().map(notes::corrected),
                about: pattern.about.lines(|length| length.show(options.unit)),
                finished: finished.clone(),
                untrue: untrue.clone(),
                ..section(options, &group, print.areas.len())
            };
            match options.on() {
                Use::Together => print.tile((&group, &order), options, &section)?,
                Use::Single => print.sheets(&group, options, &section)?,
            }
        }
        print.missing = print.letters().flat_map(|text| Font::get().missing(text)).collect();
        Ok(print)
    }

    /// The pages as PDF, the same bytes each time.
    ///
    /// # Errors
    ///
    /// The face in which texts are written cannot be embedded.
    pub fn pdf(&self) -> Result<Vec<u8>, PrintError> {
        pdf::write(self)
    }

    /// The piece that is largest in one direction, and its width and height as it is printed.
    #[must_use]
    pub fn largest_piece(&self) -> Option<(&PieceDrawing, Size)> {
        let pieces = self.areas.iter().flat_map(|area| &area.pieces);
        let sized = pieces.map(|piece| (piece, kurbo::Shape::bounding_box(&piece.outline).size()));
        sized.max_by(|a, b| a.1.max_side().total_cmp(&b.1.max_side()))
    }

    fn letters(&self) -> impl Iterator<Item = &str> {
        let labels =
            self.pages.iter().flat_map(|page| page.content.labels.iter().chain(&page.furniture.labels));
        labels.map(|label| label.text.as_str())
    }

    fn frame(&self, options: &PrintOptions, paper: Size) -> Result<Frame, PrintError> {
        let page = Size::new(paper.width / self.stretch.x, paper.height / self.stretch.y);
        let frame = Frame::of(page, options.margin.mm(), options.paper.bars());
        let room = frame.window.size();
        let least = Frame::LEAST.max(2.0 * options.overlap.mm());
        if room.width < least || room.height < least {
            return Err(PrintError::paper_too_small(room));
        }
        Ok(frame)
    }

    fn tile(
        &mut self,
        (pieces, order): (&[DrawnTurned], &SewingOrder),
        options: &PrintOptions,
        section: &Section,
    ) -> Result<(), PrintError> {
        let (width, height) = options.paper.size();
        let frame = self.frame(options, Size::new(width, height.unwrap_or(LONGEST_PAGE)))?;
        let tiled = job::tile(pieces, order, frame.window.size(), options.overlap.mm())?;
        let pages = tiled.pages(&frame, options, section);
        let before = pages.len() - tiled.tiles.len();
        self.pages.extend(pages);
        self.areas.push(PrintedArea {
            size: tiled.extent().size(),
            pages: tiled.tiles.len(),
            before,
            blank: tiled.grid.rows * tiled.grid.columns - tiled.tiles.len(),
            pieces: tiled.pieces,
        });
        Ok(())
    }

    fn sheets(
        &mut self,
        pieces: &[DrawnTurned],
        options: &PrintOptions,
        section: &Section,
    ) -> Result<(), PrintError> {
        let area: f64 = pieces.iter().map(|piece| piece.upright.bounds.area()).sum();
        let (width, height) = options.paper.size_for(area);
        let full = self.frame(options, Size::new(width, height.unwrap_or(LONGEST_PAGE)))?;
        let room = full.window.size();
        let boxes = job::sheets(pieces, room)?;
        let mut sheets = match height {
            Some(_) => roll::fewest(pieces, room, boxes),
            None => roll::shortest(pieces, room, boxes),
        };
        let frame = |down: f64| match height {
            Some(_) => full,
            None => cut_off(&full, down, options),
        };
        let room = |pieces: &[PieceDrawing]| frame(roll::down(pieces)).window.size();
        let (keyed, key) = key_on(&mut sheets, &full, room);
        let head = LineKey::head_alone(&section.title, section.said_on_cover());
        let headed = sheets.iter().enumerate().find_map(|(index, pieces)| {
            let taken = (index == keyed).then_some(key.bounds);
            Some((index, head.in_room_beside(room(pieces), pieces, taken)?))
        });
        let section = &match headed {
            Some(_) => Section { about: Vec::new(), finished: None, ..section.clone() },
            None => section.clone(),
        };
        let total = sheets.len();
        for (index, pieces) in sheets.into_iter().enumerate() {
            let key = (index == keyed).then_some(&key);
            let down = roll::down(&pieces).max(key.map_or(0.0, |key| key.bounds.y1));
            let frame = frame(down);
            let section = Section { area: self.areas.len(), ..section.clone() };
            let mut page = job::single(&frame, &pieces, &section, (index, total));
            let head = headed.as_ref().filter(|(headed, _)| *headed == index).map(|(_, head)| head);
            let to_page = Affine::translate(frame.window.origin().to_vec2());
            for placed in key.into_iter().chain(head) {
                page.furniture.add(placed.drawing.moved(to_page));
            }
            if self.throw.is_some() {
                page.furniture.add(grid(frame.window.size()).moved(to_page));
            }
            self.pages.push(page);
            self.areas.push(PrintedArea { pieces, size: frame.page, pages: 1, before: 0, blank: 0 });
        }
        Ok(())
    }
}

/// How many times as large as on paper letters of a projector are, and the air around them: its lines are wider, and they are
/// read standing.
const THROWN_LARGER: f64 = 1.8;

/// Squares by which a projector is set up, over a window.
fn grid(window: Size) -> Drawing {
    let mut drawing = Drawing::default();
    let lines = |side: f64| (0..=(side / BAR) as usize).map(|line| line as f64 * BAR);
    for x in lines(window.width) {
        drawing.line(LineKind::Grid, Point::new(x, 0.0), Point::new(x, window.height));
    }
    for y in lines(window.height) {
        drawing.line(LineKind::Grid, Point::new(0.0, y), Point::new(window.width, y));
    }
    drawing
}

/// The page of a roll that ends so far down, mm.
fn cut_off(full: &Frame, down: f64, options: &PrintOptions) -> Frame {
    let room = (down + 3.0).max(Frame::LEAST).min(full.window.height());
    let height = room + Frame::taken(options.margin.mm());
    Frame::of(Size::new(full.page.width, height), full.margin, full.bars)
}

/// The key to the lines, and the sheet that it stands on: one with room for it, else below the pieces of the last where
/// the paper is long enough, else one more.
fn key_on(
    sheets: &mut Vec<Vec<PieceDrawing>>,
    full: &Frame,
    room: impl Fn(&[PieceDrawing]) -> Size,
) -> (usize, PlacedKey) {
    let key = LineKey::of(sheets.iter().flatten());
    let mut rooms = sheets.iter().enumerate();
    let found = rooms.find_map(|(index, pieces)| Some((index, key.in_room(room(pieces), pieces)?)));
    if let Some(found) = found {
        return found;
    }
    let window = full.window.size();
    let below = key.below(window.width, sheets.last().map_or(0.0, |last| roll::down(last)));
    if below.bounds.y1 <= window.height {
        return (sheets.len().saturating_sub(1), below);
    }
    sheets.push(Vec::new());
    (sheets.len() - 1, key.below(window.width, 0.0))
}

fn section(options: &PrintOptions, group: &[DrawnTurned], area: usize) -> Section {
    match (options.grouping, group.first()) {
        (Grouping::ByCloth, Some(piece)) => Section {
            title: format!("{}: {} cloth", options.title, piece.upright.cloth),
            prefix: format!("{} ", piece.upright.cloth),
            area,
            about: Vec::new(),
            finished: None,
            untrue: None,
            corrected: None,
        },
        _ => Section {
            title: options.title.clone(),
            prefix: String::new(),
            area,
            about: Vec::new(),
            finished: None,
            untrue: None,
            corrected: None,
        },
    }
}

fn grouped(pieces: Vec<DrawnTurned<'_>>, grouping: Grouping) -> Vec<Vec<DrawnTurned<'_>>> {
    let mut groups: Vec<Vec<DrawnTurned<'_>>> = Vec::new();
    for piece in pieces {
        let same = |group: &&mut Vec<DrawnTurned<'_>>| {
            grouping == Grouping::Together
                || group.first().is_some_and(|first| first.upright.cloth == piece.upright.cloth)
        };
        match groups.iter_mut().find(same) {
            Some(group) => group.push(piece),
            None => groups.push(vec![piece]),
        }
    }
    groups
}

fn drawn_pieces<'a>(
    order: &SewingOrder<'a>,
    options: &PrintOptions,
) -> Result<Vec<DrawnTurned<'a>>, PrintError> {
    let pattern = order.pattern();
    for name in &options.pieces {
        pattern.piece(name).map_err(PrintError::Unknown)?;
    }
    let asked = |piece: &Piece| match options.pieces.as_slice() {
        [] => piece.is_cut(),
        named => named.contains(piece.name()),
    };
    let mut drawn = Vec::new();
    let cut = || pattern.pieces().filter(|piece| piece.is_cut() || asked(piece));
    let count = cut().count();
    for (piece, number) in cut().zip(1..).filter(|(piece, _)| asked(piece)) {
        let garment = format!("{}, piece {number} of {count}", options.title);
        for style in styles(piece.cut, options) {
            let style = PieceStyle { garment: Some(garment.clone()), ..style };
            let lying = |lying| PieceDrawing::of(order, piece, &PieceStyle { lying, ..style.clone() });
            let further = match options.on() {
                Use::Single => Some([lying(Lying::Half)?, lying(Lying::ThreeQuarters)?]),
                Use::Together => None,
            };
            let (upright, quarter) = (lying(Lying::Upright)?, lying(Lying::Quarter)?);
            drawn.push(DrawnTurned { piece, style, upright, quarter, further });
        }
    }
    if drawn.is_empty() { Err(PrintError::Nothing) } else { Ok(drawn) }
}

/// How each of the printed copies of a piece is drawn.
fn styles(cut: Cut, options: &PrintOptions) -> Vec<PieceStyle> {
    let halves = match options.copies {
        Copies::AsDrawn => Halves::OnFold,
        Copies::Opened | Copies::Each => Halves::Opened,
    };
    let magnified = match options.paper {
        Paper::Light(_) => THROWN_LARGER,
        Paper::Sheets(..) | Paper::Roll { .. } => 1.0,
    };
    let style = PieceStyle { halves, magnified, ..PieceStyle::for_cutting(options.unit) };
    if options.copies != Copies::Each {
        return vec![style];
    }
    let hand = |copy: u32| match cut.twins {
        Twins::Mirrored if copy.is_multiple_of(2) => Copy::Mirrored,
        _ => Copy::Drawn,
    };
    (1..=cut.copies).map(|copy| PieceStyle { hand: hand(copy), copy: Some(copy), ..style.clone() }).collect()
}
