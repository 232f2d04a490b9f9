//! What of the table a person is shown: drawings, and sentences. The page adds nothing to them.

use serde::Serialize;

use crate::allowance::SewingOrder;
use crate::canvas::{Drawing, Label, Layer, LineKind, Tone, group_in_page, path_data, polygon};
use crate::cloth::fit::{Fit, PieceFit, fit};
use crate::cloth::{Bolt, Cloth, Selvedges, Stock};
use crate::curve::Point;
use crate::pattern::{EdgeRef, Finish, Pattern, Piece, Refusal};
use crate::recipe::{Turn, step_written};
use crate::recut::{Recut, Step, Told, off_grain};
use crate::show::piece::{PieceDrawing, PieceStyle, Shows};
use crate::show::report::{Changes, capital, of_step};
use crate::table::fault::TableFault;
use crate::table::laid::{Laid, Outside};
use crate::table::made::MadeStep;
use crate::tolerance::{CLOTH_SHOWN, REDRAWN};
use crate::truing::{Limits, Verdict, account, girths, walk_seam};
use crate::units::{Angle, Length, Unit, counted};

/// How many times larger than on paper texts and lines are: the table is seen from farther off.
const MAGNIFIED: f64 = 2.4;

/// Between the cloth and the pieces, mm.
const BESIDE: f64 = 120.0;

/// Size of the letters on the cloth, mm.
const LETTERS: f64 = 16.0;

/// Something that is well, or not, in a sentence.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Line {
    /// Whether it is as it should be; none where it is neither.
    pub good: Option<bool>,
    /// The sentence.
    pub sentence: String,
}

impl Line {
    fn new(good: bool, sentence: impl Into<String>) -> Line {
        Line { good: Some(good), sentence: sentence.into() }
    }

    fn plain(sentence: impl Into<String>) -> Line {
        Line { good: None, sentence: sentence.into() }
    }
}

/// Why something is refused, where, and the way out.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Answer {
    /// What is refused.
    pub what: String,
    /// Where.
    pub at: String,
    /// What can be done about it.
    pub way_out: String,
}

impl Answer {
    pub(super) fn of(refusal: &Refusal) -> Answer {
        Answer { what: refusal.what.clone(), at: refusal.at.clone(), way_out: refusal.way_out.to_string() }
    }

    pub(super) fn plain(what: &str, way_out: &str) -> Answer {
        Answer { what: what.to_owned(), at: String::new(), way_out: way_out.to_owned() }
    }

    pub(super) fn into_fault(self) -> TableFault {
        let place = if self.at.is_empty() { String::new() } else { format!("{}: ", self.at) };
        TableFault::refused(format!("{place}{}", self.what), self.way_out)
    }
}

/// The three answers that stand above the table.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Verdicts {
    /// Whether the pieces fit the cloth.
    pub fits: Line,
    /// Whether the seams are true.
    pub is_true: Line,
    /// Whether the garment is still of the same size.
    pub same_size: Line,
}

/// A piece.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct PieceSeen {
    /// Its name.
    pub name: String,
    /// Its drawing, a group of an SVG picture in mm of the sheet.
    pub drawing: String,
    /// What is cut, as the data of an SVG path.
    pub paper: String,
    /// How it fits the cloth.
    pub fit: Option<Line>,
    /// The same in a few words, to stand beside it; empty where no cloth is laid out.
    pub fit_word: String,
    /// The middle of its lower end, mm.
    pub foot: [f64; 2],
    /// How far it is to be moved to lie where it lay before a change, mm.
    pub shift: [f64; 2],
    /// Its edges.
    pub edges: Vec<EdgeSeen>,
}

/// An edge.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct EdgeSeen {
    /// Its name, with its piece.
    pub name: String,
    /// What it is, in words.
    pub called: String,
    /// The seamline, as the data of an SVG path.
    pub line: String,
    /// The edges that it is sewn to; one without any cannot be moved.
    pub sewn_to: Vec<String>,
    /// The middle of it, mm.
    pub middle: [f64; 2],
}

/// A length of cloth.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ClothSeen {
    /// What it is called, and how wide it is.
    pub called: String,
    /// Its drawing.
    pub drawing: String,
}

/// A girth before and now.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GirthSeen {
    /// The level.
    pub level: String,
    /// Around the whole garment now.
    pub now: String,
    /// By how much it changed.
    pub change: Line,
}

/// A step of the recipe.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct StepSeen {
    /// Its number, from 1.
    pub number: usize,
    /// What it does.
    pub sentence: String,
    /// Whether it is left out.
    pub left_out: bool,
    /// Why it cannot be done.
    pub refused: Option<Answer>,
    /// What it told.
    pub told: Vec<Line>,
}

/// All that lies on the table.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct TableSeen {
    /// How often it changed.
    pub revision: u64,
    /// What is cut.
    pub title: String,
    /// The three answers.
    pub verdicts: Verdicts,
    /// The pieces.
    pub pieces: Vec<PieceSeen>,
    /// The cloth.
    pub cloths: Vec<ClothSeen>,
    /// The box around the pieces and the first cloth: left, top, width, height, mm.
    pub bounds: [f64; 4],
    /// The girths.
    pub girths: Vec<GirthSeen>,
    /// What has been done.
    pub steps: Vec<StepSeen>,
    /// Whether something can be taken back.
    pub can_undo: bool,
    /// Whether something taken back can be done again.
    pub can_do_again: bool,
    /// What others did to the files, and whether theirs can be put aside.
    pub outside: Option<OutsideSeen>,
    /// What happened that nobody here did.
    pub news: Option<String>,
}

/// What others did to the files.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct OutsideSeen {
    /// In a sentence.
    pub sentence: String,
    /// Whether it can be put aside.
    pub can_be_put_aside: bool,
}

/// How the table stands beside what lies on it.
pub(super) struct Standing<'a> {
    pub(super) revision: u64,
    pub(super) can_undo: bool,
    pub(super) can_do_again: bool,
    pub(super) outside: &'a Outside,
    pub(super) news: Option<&'a str>,
}

impl TableSeen {
    pub(super) fn of(laid: &Laid, standing: Standing<'_>) -> TableSeen {
        let pattern = &laid.made.pattern;
        let found = fitted(pattern, laid.stock.as_deref());
        let pieces = pieces(pattern, pattern.pieces(), found.as_ref(), laid.unit);
        let (cloths, bounds) = around(pattern, laid.stock.as_deref(), laid.unit);
        let steps = laid.made.steps.iter().enumerate();
        TableSeen {
            revision: standing.revision,
            title: title(laid),
            verdicts: verdicts(pattern, found.as_ref(), laid.unit),
            pieces,
            cloths,
            bounds,
            girths: girths_seen(&laid.made.base.pattern, pattern, laid.unit),
            steps: steps.map(|(i, step)| step_seen(i + 1, step, laid.unit)).collect(),
            can_undo: standing.can_undo,
            can_do_again: standing.can_do_again,
            outside: outside(standing.outside),
            news: standing.news.map(str::to_owned),
        }
    }
}

fn outside(outside: &Outside) -> Option<OutsideSeen> {
    let seen = |sentence: String, can_be_put_aside| Some(OutsideSeen { sentence, can_be_put_aside });
    match outside {
        Outside::Nothing => None,
        Outside::Sheet => seen(
            "Another program changed pattern.svg. Nothing more is kept before you say what becomes of it."
                .to_owned(),
            true,
        ),
        Outside::Recipe(why) => seen(format!("The recipe on disk cannot be gone on with: {why}."), false),
    }
}

fn title(laid: &Laid) -> String {
    let of_file = || laid.made.base.file.file_stem().unwrap_or_default().to_string_lossy().into_owned();
    laid.made.base.pattern.about.title.clone().unwrap_or_else(of_file)
}

fn step_seen(number: usize, made: &MadeStep, unit: Unit) -> StepSeen {
    let fitted = made.fitted.iter().flat_map(|(sentence, warning)| {
        [Some(Line::plain(sentence)), warning.as_ref().map(|warning| Line::new(false, warning))]
    });
    StepSeen {
        number,
        sentence: capital(&of_step(&made.step)),
        left_out: made.turn == Turn::Off,
        refused: made.refused.as_ref().map(Answer::of),
        told: fitted.flatten().chain(made.told.iter().map(|told| told_line(told, unit))).collect(),
    }
}

fn told_line(told: &Told, unit: Unit) -> Line {
    let way_out = told.way_out().map_or_else(String::new, |advice| format!("; {advice}"));
    let sentence = format!("{}{way_out}", told.sentence(unit));
    if told.is_warning() { Line::new(false, sentence) } else { Line::plain(sentence) }
}

fn fitted(pattern: &Pattern, stock: Option<&Stock>) -> Option<Fit> {
    fit(pattern, stock?, Angle::ZERO).ok()
}

fn verdicts(pattern: &Pattern, found: Option<&Fit>, unit: Unit) -> Verdicts {
    let verdict = Verdict::of(pattern);
    let walked = counted(pattern.seams().len(), "seam");
    let is_true = match verdict.sentence(unit) {
        None => Line::new(true, format!("True: {walked} walked.")),
        Some(sentence) => Line::new(false, format!("Not true: {sentence}.")),
    };
    Verdicts { fits: fits(found, unit), is_true, same_size: same_size(pattern, unit) }
}

fn fits(found: Option<&Fit>, unit: Unit) -> Line {
    let Some(found) = found else { return Line::plain("No cloth is laid out.") };
    let missing: Vec<&PieceFit> = found.pieces.iter().filter(|piece| !piece.fits()).collect();
    match missing.as_slice() {
        [] => match found.cloths.iter().find(|cloth| !cloth.fits()) {
            Some(cloth) => Line::new(false, format!("There is too little cloth: {}.", cloth.cloth)),
            None => Line::new(true, "Fits: every piece by itself."),
        },
        [one] => Line::new(false, format!("Does not fit: {} {}.", one.piece, too_much(one, unit))),
        [first, more @ ..] => Line::new(
            false,
            format!("Does not fit: {} {}, and {} more.", first.piece, too_much(first, unit), more.len()),
        ),
    }
}

fn too_much(piece: &PieceFit, unit: Unit) -> String {
    let way = &piece.lengthwise;
    if way.too_long() > 0.0 {
        format!("is too long by {}", Length::from_mm(way.too_long()).show(unit))
    } else {
        format!("is too wide by {}", Length::from_mm(way.too_wide()).show(unit))
    }
}

fn foot(piece: &Piece, drawn: Option<&PieceDrawing>) -> [f64; 2] {
    let bounds = drawn.map_or_else(|| piece.bounds(), |drawn| drawn.bounds);
    [bounds.center().x, bounds.y1]
}

fn fit_word(piece: &PieceFit, unit: Unit) -> String {
    match (piece.lengthwise.fits(), piece.fits()) {
        (true, _) => "fits".to_owned(),
        (false, true) => "fits crosswise".to_owned(),
        (false, false) => too_much(piece, unit).replacen("is ", "", 1),
    }
}

fn fit_line(piece: &PieceFit, unit: Unit) -> Line {
    let show = |mm: f64| Length::from_mm(mm).show(unit);
    let gives =
        piece.lengthwise.gives.map_or_else(String::new, |gives| format!(" of the cloth's {}", show(gives)));
    let cut = format!("{} is cut {} wide{gives}", piece.piece, show(piece.lengthwise.width));
    match (piece.lengthwise.fits(), piece.fits()) {
        (true, _) => Line::new(true, format!("{cut}: it fits.")),
        (false, true) => {
            Line::new(true, format!("{cut}: it fits crosswise, {} wide.", show(piece.crosswise.width)))
        }
        (false, false) => Line::new(false, format!("{cut}: it {}.", too_much(piece, unit))),
    }
}

/// Whether the girths are as before the first step, within what the checks allow.
fn same_size(pattern: &Pattern, unit: Unit) -> Line {
    let Some(account) = account(pattern) else { return Line::new(true, "Same size: nothing was done yet.") };
    let changes =
        account.girths.iter().filter_map(|girth| Some((&girth.level, girth.now?.mm() - girth.then?.mm())));
    let largest = changes.max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()));
    match largest {
        None => Line::plain("No level tells the size."),
        Some((_, by)) if by.abs() <= Limits::default().girth.mm() => {
            Line::new(true, "Same size: every girth is as before.")
        }
        Some((level, by)) => {
            Line::new(false, format!("Another size: {level} {}.", Length::from_mm(by).show_change(unit)))
        }
    }
}

fn girths_seen(before: &Pattern, now: &Pattern, unit: Unit) -> Vec<GirthSeen> {
    let before = girths(before);
    let was = |level: &crate::pattern::LevelName| before.iter().find(|girth| girth.level == *level);
    let limit = Limits::default().girth.mm();
    let seen = girths(now).into_iter().map(|girth| {
        let change = was(&girth.level).map(|was| girth.around.mm() - was.around.mm());
        let change = match change {
            None => Line::plain("new"),
            Some(by) if by.abs() <= limit => Line::new(true, "as before"),
            Some(by) => Line::new(false, Length::from_mm(by).show_change(unit).to_string()),
        };
        GirthSeen { level: girth.level.to_string(), now: girth.around.show(unit).to_string(), change }
    });
    seen.collect()
}

fn pieces<'a>(
    pattern: &Pattern,
    which: impl Iterator<Item = &'a Piece>,
    found: Option<&Fit>,
    unit: Unit,
) -> Vec<PieceSeen> {
    let order = SewingOrder::of(pattern);
    let style = PieceStyle { shows: Shows::Lengths, magnified: MAGNIFIED, ..PieceStyle::for_cutting(unit) };
    let fit = |piece: &Piece| found?.pieces.iter().find(|fit| fit.piece == *piece.name());
    let seen = which.map(|piece| {
        let drawn = PieceDrawing::of(&order, piece, &style);
        let (drawing, paper) = match &drawn {
            Ok(drawn) => (group_in_page(&drawn.drawing, MAGNIFIED), path_data(&drawn.outline)),
            Err(_) => (String::new(), path_data(&piece.outline().to_path())),
        };
        PieceSeen {
            name: piece.name().to_string(),
            drawing,
            paper,
            fit: match &drawn {
                Ok(_) => fit(piece).map(|found| fit_line(found, unit)),
                Err(error) => Some(Line::new(false, format!("{} cannot be cut: {error}.", piece.name()))),
            },
            fit_word: fit(piece).map_or_else(String::new, |found| fit_word(found, unit)),
            foot: foot(piece, drawn.as_ref().ok()),
            shift: [0.0; 2],
            edges: piece.edge_ids().map(|id| edge_seen(pattern, piece, &piece.edge_ref(id))).collect(),
        }
    });
    seen.collect()
}

fn edge_seen(pattern: &Pattern, piece: &Piece, edge: &EdgeRef) -> EdgeSeen {
    let found = pattern.find_edge(edge);
    let curve = found.map(|found| &found.curve);
    let across = pattern.seams_of(edge).map(|id| {
        let seam = pattern.seam(id);
        let on_first = seam.first.edges().iter().any(|run| run.edge == *edge);
        let across = if on_first { &seam.second } else { &seam.first };
        across.names()
    });
    let sewn_to: Vec<String> = match found.map(|found| found.finish) {
        Some(Finish::Fold) => Vec::new(),
        _ => across.collect(),
    };
    let called = match sewn_to.as_slice() {
        [] => format!("{} of {}", edge.edge, piece.name()),
        layers => format!("{} of {}, sewn to {}", edge.edge, piece.name(), layers.join(" and to ")),
    };
    let middle = curve.map(|curve| curve.point_at(curve.length() / 2.0)).unwrap_or_default();
    EdgeSeen {
        name: edge.to_string(),
        called,
        line: curve.map(|curve| path_data(&curve.to_path())).unwrap_or_default(),
        sewn_to,
        middle: [middle.x, middle.y],
    }
}

/// The cloth beside the pieces, the first of it next to them, and the box around that and the pieces.
fn around(pattern: &Pattern, stock: Option<&Stock>, unit: Unit) -> (Vec<ClothSeen>, [f64; 4]) {
    let boxes = pattern.pieces().map(Piece::bounds).reduce(|a, b| a.union(b)).unwrap_or_default();
    let (mut left, mut shown) = (boxes.x0, boxes.x0);
    let mut seen = Vec::new();
    for cloth in stock.iter().flat_map(|stock| stock.cloths()) {
        let Some(bolt) = cloth.bolts().first() else { continue };
        let length = bolt.length().min(boxes.height().max(CLOTH_SHOWN));
        left -= BESIDE + bolt.width().greatest(0.0, length);
        if seen.is_empty() {
            shown = left;
        }
        seen.push(cloth_seen(cloth, bolt, length, Point::new(left, boxes.y0), unit));
    }
    let [x, y, width, height] = [shown, boxes.y0, boxes.x1 - shown, boxes.height()];
    (seen, [x - BESIDE / 2.0, y - BESIDE / 2.0, width + BESIDE, height + BESIDE])
}

fn cloth_seen(cloth: &Cloth, bolt: &Bolt, length: f64, corner: Point, unit: Unit) -> ClothSeen {
    let at = |across: f64, along: f64| Point::new(corner.x + across, corner.y + along);
    let mut places: Vec<f64> =
        bolt.width().places().filter(|place| *place > 0.0 && *place < length).collect();
    places.insert(0, 0.0);
    places.push(length);
    let right: Vec<Point> = places.iter().map(|place| at(bolt.width().at(*place), *place)).collect();
    let mut drawing = Drawing::default();
    let around: Vec<Point> =
        [at(0.0, 0.0)].into_iter().chain(right.iter().copied()).chain([at(0.0, length)]).collect();
    drawing.fill(polygon(&around), Tone::Cloth, Layer::Cutting);
    let finished = |is: bool| if is { LineKind::Selvedge } else { LineKind::RawEdge };
    let (on_left, on_right) = match cloth.selvedges {
        Selvedges::Both => (true, true),
        Selvedges::Left => (true, false),
        Selvedges::Right => (false, true),
        Selvedges::None => (false, false),
    };
    drawing.line(finished(on_left), at(0.0, 0.0), at(0.0, length));
    right.windows(2).for_each(|pair| drawing.line(finished(on_right), pair[0], pair[1]));
    drawing.line(LineKind::RawEdge, at(0.0, 0.0), right[0]);
    for flaw in bolt.flaws().iter().filter(|flaw| flaw.end().1 <= length) {
        let (x, y) = flaw.end();
        let corners = [at(flaw.at.0, flaw.at.1), at(x, flaw.at.1), at(x, y), at(flaw.at.0, y)];
        drawing.stroke(LineKind::Flaw, polygon(&corners));
    }
    let show = |mm: f64| Length::from_mm(mm).show(unit);
    let width = bolt.width().at(0.0);
    let called = format!("{}, {} wide, {} long", cloth.name(), show(width), show(bolt.length()));
    for (text, down) in [(cloth.name().to_string(), 2.0), (format!("{} wide", show(width)), 3.4)] {
        let text_at = at(width / 2.0, down * LETTERS);
        drawing.labels.push(Label::level(text, text_at, LETTERS, Layer::Labels));
    }
    ClothSeen { called, drawing: group_in_page(&drawing, MAGNIFIED) }
}

/// What would come of a wish.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct TrialSeen {
    /// What the step would do.
    pub sentence: Option<String>,
    /// As it would stand in the recipe.
    pub recipe: Option<String>,
    /// What the hand holds at.
    pub holds: Option<String>,
    /// Why it is refused.
    pub refused: Option<Answer>,
    /// The pieces that it changes.
    pub pieces: Vec<PieceSeen>,
    /// The names of those that would be gone.
    pub gone: Vec<String>,
    /// The seams that it moves: how long both sides are, and how they stand to the grain.
    pub seams: Vec<Line>,
    /// What the step tells.
    pub told: Vec<Line>,
    /// The girths.
    pub girths: Vec<GirthSeen>,
    /// The three answers.
    pub verdicts: Option<Verdicts>,
}

impl TrialSeen {
    pub(super) fn nothing() -> TrialSeen {
        TrialSeen::default()
    }

    pub(super) fn refused(answer: Answer) -> TrialSeen {
        TrialSeen { refused: Some(answer), ..TrialSeen::default() }
    }

    pub(super) fn of_step(self, step: &Step, holds: Option<String>) -> TrialSeen {
        let (sentence, recipe) = (Some(capital(&of_step(step))), Some(step_written(step)));
        TrialSeen { sentence, recipe, holds, ..self }
    }

    pub(super) fn of(laid: &Laid, recut: &Recut) -> TrialSeen {
        let (before, after, unit) = (&laid.made.pattern, &recut.pattern, laid.unit);
        let found = fitted(after, laid.stock.as_deref());
        let changes = Changes::between(before, after);
        let pairs = changes.changed.iter().map(|(old, new)| (Some(*old), *new));
        let changed: Vec<_> = pairs.chain(changes.made.iter().map(|new| (None, *new))).collect();
        let mut pieces = pieces(after, changed.iter().map(|(_, new)| *new), found.as_ref(), unit);
        for (seen, (old, new)) in pieces.iter_mut().zip(&changed) {
            seen.shift = old.map_or([0.0; 2], |old| shift_back(old, new));
        }
        TrialSeen {
            pieces,
            gone: changes.gone.iter().map(|piece| piece.name().to_string()).collect(),
            seams: moved_seams(before, after, unit),
            told: recut.told.iter().map(|told| told_line(told, unit)).collect(),
            girths: girths_seen(&laid.made.base.pattern, after, unit),
            verdicts: Some(verdicts(after, found.as_ref(), unit)),
            ..TrialSeen::default()
        }
    }
}

/// From where a changed piece lies on the sheet, clear of others, to where it lay: by an edge that it kept.
fn shift_back(old: &Piece, new: &Piece) -> [f64; 2] {
    let kept = new.edges().iter().find_map(|edge| {
        let was = old.edge(old.find_edge(&edge.name)?);
        let (was, now) = (&was.curve, &edge.curve);
        let turned = (was.end() - was.start() - (now.end() - now.start())).hypot();
        let is_kept = turned <= REDRAWN && (was.length() - now.length()).abs() <= REDRAWN;
        is_kept.then(|| was.start() - now.start())
    });
    kept.map_or([0.0; 2], |shift| [shift.x, shift.y])
}

/// The seams both of whose sides have another line than before.
fn moved_seams(before: &Pattern, after: &Pattern, unit: Unit) -> Vec<Line> {
    let curve = |pattern: &Pattern, edge: &EdgeRef| pattern.find_edge(edge).map(|edge| edge.curve.clone());
    let has_moved = |run: &crate::pattern::Run| {
        run.edges().iter().any(|run| curve(before, &run.edge) != curve(after, &run.edge))
    };
    let mut lines = Vec::new();
    for id in after.seam_ids() {
        let seam = after.seam(id);
        if !has_moved(&seam.first) || !has_moved(&seam.second) {
            continue;
        }
        let Ok(walk) = walk_seam(after, id) else { continue };
        let (first, second) = (walk.lengths.0.show(unit), walk.lengths.1.show(unit));
        let is_true = walk.difference.mm().abs() <= Limits::default().length.mm();
        let ease = if walk.ease == Length::ZERO {
            String::new()
        } else {
            format!(", {} eased in", Length::from_mm(walk.ease.mm().abs()).show(unit))
        };
        lines.push(Line::new(is_true, format!("{}: {first} to {second}{ease}.", walk.name)));
        for edge in seam.edges().map(|run| &run.edge) {
            let found =
                after.find(&edge.piece).and_then(|piece| off_grain(piece, piece.find_edge(&edge.edge)?));
            if let Some(degrees) = found {
                let is_straight = degrees <= Limits::default().off_grain_degrees;
                lines.push(Line::new(is_straight, format!("{edge} stands {degrees:.1}° off the grain.")));
            }
        }
    }
    lines
}
