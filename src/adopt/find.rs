//! Finding what stands in a drawing.

use std::borrow::Cow;

use kurbo::Affine;

use crate::adopt::AdoptError;
use crate::adopt::arrange::{Arranged, arrange};
use crate::adopt::found::Found;
use crate::adopt::nothing::{ByClips, NoOutline};
use crate::adopt::ring::CornerAngle;
use crate::adopt::scale::{Scale, ScaleSource, checks};
use crate::adopt::size::SizeChoice;
use crate::adopt::stroke::DrawnThings;
use crate::advice;
use crate::drawing::pages::{PageChoice, PutTogetherTold, put_together};
use crate::drawing::{
    self, Clips, Drawn, DrawnFile, DrawnPage, Known, Layers, Note, Password, ReadOptions, Shown, UserUnit,
};
use crate::pattern::{Field, Refusal, RefusalKind};
use crate::tolerance::SCALE_OFF;

/// What is asked of a drawing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Asked {
    /// What a unit of the drawing is.
    pub unit: Option<UserUnit>,
    /// Something of known length: by its id, or by the letter it was found under.
    pub known: Option<Known>,
    /// Whether the scale is corrected by the test square.
    pub correction: Correction,
    /// The size to take.
    pub size: Option<SizeChoice>,
    /// What counts as a corner.
    pub corner: CornerAngle,
    /// How its pages are put together.
    pub pages: PageChoice,
    /// What opens the drawing, where it is encrypted.
    pub password: Option<Password>,
}

/// Whether the scale is corrected by what is of known size in the drawing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Correction {
    /// It is as the file says, and told where it is off.
    #[default]
    Tell,
    /// It is corrected, across and down.
    Correct,
}

/// Finds the outlines and lines of any drawing, SVG or PDF.
///
/// # Errors
///
/// What is neither; several pages that nothing shows to lie together; a drawing with far too much in it; a known element or a size that is not there.
pub fn find(bytes: &[u8], asked: &Asked) -> Result<Found, AdoptError> {
    find_in_several(&[OneFile { name: "", bytes }], asked)
}

/// A file that holds a drawing, or some pages of one.
#[derive(Clone, Copy, Debug)]
pub struct OneFile<'a> {
    /// What it is called.
    pub name: &'a str,
    /// What it holds.
    pub bytes: &'a [u8],
}

/// Finds the outlines and lines of a drawing whose pages are kept in several files.
///
/// # Errors
///
/// As [`find`]; what is wrong with one of several files names it.
pub fn find_in_several(files: &[OneFile<'_>], asked: &Asked) -> Result<Found, AdoptError> {
    drawing::on_deep_stack(|| find_here(files, asked))?
}

fn find_here(files: &[OneFile<'_>], asked: &Asked) -> Result<Found, AdoptError> {
    let Read { drawing, mut source } = read_all(files, asked)?;
    let DrawnOn { page: drawn_on, mut pages, left_out } = drawn_page(&drawing, &asked.pages)?;
    let mut page = drawn_on.seen;
    let is_chosen = |layer: &str| asked.size.as_ref().is_some_and(|size| size.is_of_layer(layer));
    let mut drawn = DrawnThings::of(&drawn_on, &drawing.layers, is_chosen)?;
    let mut left_out = DrawnThings::of(&left_out, &drawing.layers, is_chosen)?;
    let taken = drawing.unit.mm_per_unit();
    let mut mm_per_unit = [taken; 2];
    let mut arranged = arrange(&drawn, page, asked.size.as_ref(), asked.corner)?;
    let factors = match &asked.known {
        Some(known) if source != ScaleSource::Known => {
            source = ScaleSource::Known;
            Some([known.length_mm / measured(&arranged, known)?; 2])
        }
        _ => correction(&drawn, &arranged, &mut source, taken, asked.correction)?,
    };
    if let Some([across, down]) = factors
        && (across != 1.0 || down != 1.0)
    {
        drawn.scale(across, down)?;
        left_out.scale(across, down)?;
        pages.iter_mut().for_each(|pages| pages.scale(across, down));
        mm_per_unit = [taken * across, taken * down];
        page = page.map(|page| Affine::scale_non_uniform(across, down).transform_rect_bbox(page));
        arranged = arrange(&drawn, page, asked.size.as_ref(), asked.corner)?;
    }
    let checks = if source == ScaleSource::Unknown { Vec::new() } else { checks(&drawn, &arranged, None) };
    let is_cut = |note: &Note| matches!(note, Note::Clipped { cut, .. } if *cut > 0);
    let clipped = if drawn.notes.iter().any(is_cut) { ByClips::Cut } else { ByClips::Whole };
    let furniture = left_out.strokes.len() + arranged.left_out.len();
    let hidden_layers = hidden_layers(&drawing.layers, asked.size.as_ref());
    // What is switched off in the file is not seen where the file is shown as it stands.
    let takes_hidden = drawing
        .layers
        .iter()
        .any(|(id, layer)| layer.shown == Shown::No && is_chosen(&drawing.layers.path(Some(id))));
    for (line, style) in &arranged.left_out {
        left_out.beneath.add_shape(line.to_path(), *style);
    }
    Ok(Found {
        no_outline: NoOutline::of(&drawn, &arranged, page, (clipped, furniture)),
        scale: Scale { mm_per_unit, source, checks },
        styles: drawn.styles,
        size: asked.size.clone(),
        outlines: arranged.outlines,
        lines: arranged.lines,
        unlisted: arranged.unlisted,
        texts: drawn.texts,
        pages,
        beneath: drawn.beneath,
        sheet: page.filter(|_| files.len() == 1 && !takes_hidden),
        left_out: left_out.beneath,
        gaps: arranged.gaps,
        notes: drawing.notes.into_iter().chain(hidden_layers).chain(drawn.notes).collect(),
    })
}

/// The page that is drawn on: the only one, the only one with lines, or all that are put together; and how these were.
fn drawn_page<'a>(drawing: &'a DrawnFile, choice: &PageChoice) -> Result<DrawnOn<'a>, AdoptError> {
    let has_lines = |page: &&DrawnPage| {
        page.things.iter().any(|thing| matches!(thing.what, Drawn::Shape { .. } | Drawn::Hidden(_)))
    };
    let with_lines: Vec<&DrawnPage> = drawing.pages.iter().filter(has_lines).collect();
    let has_any = |page: &&DrawnPage| !page.things.is_empty();
    // A scan tells more of a pattern than a page of instructions.
    let has_picture =
        |page: &&DrawnPage| page.things.iter().any(|thing| matches!(thing.what, Drawn::Picture));
    match (with_lines.as_slice(), choice) {
        ([only], PageChoice::Auto) => Ok(DrawnOn::one(only)),
        ([], _) => {
            let pages = || drawing.pages.iter();
            let page = pages().find(has_picture).or(pages().find(has_any)).or(drawing.pages.first());
            let page = page.ok_or(AdoptError::NoPage)?;
            Ok(DrawnOn::one(page))
        }
        (several, _) => {
            let together = put_together(&drawing.pages, choice).map_err(|reason| AdoptError::Pages {
                reason,
                drawn_on: several.iter().map(|page| page.name()).collect(),
            })?;
            let left_out = together.left_out;
            let left_out =
                DrawnPage { label: None, things: left_out, clips: Clips::default(), ..together.page };
            Ok(DrawnOn { page: Cow::Owned(together.page), pages: Some(together.told), left_out })
        }
    }
}

/// What is drawn.
struct DrawnOn<'a> {
    page: Cow<'a, DrawnPage>,
    /// How it was put together, where it is of several pages.
    pages: Option<PutTogetherTold>,
    /// What of these is not the drawing.
    left_out: DrawnPage,
}

impl DrawnOn<'_> {
    fn one(page: &DrawnPage) -> DrawnOn<'_> {
        let left_out = DrawnPage { label: None, things: Vec::new(), clips: Clips::default(), ..*page };
        DrawnOn { page: Cow::Borrowed(page), pages: None, left_out }
    }
}

/// Tells of the layers that are switched off and not chosen.
fn hidden_layers(layers: &Layers, chosen: Option<&SizeChoice>) -> Option<Note> {
    let mut names: Vec<String> = Vec::new();
    for (id, layer) in layers.iter().filter(|(_, layer)| layer.shown == Shown::No) {
        let path = layers.path(Some(id));
        if !chosen.is_some_and(|size| size.is_of_layer(&path)) && !names.contains(&layer.name) {
            names.push(layer.name.clone());
        }
    }
    (!names.is_empty()).then_some(Note::HiddenLayers { names })
}

/// A drawing as it was read.
struct Read {
    drawing: DrawnFile,
    source: ScaleSource,
}

/// Reads the drawing, and says where its scale is from. A known element that is not there, or not in each of several
/// files, may be a letter; a drawing without a unit is read as if it were in pixels.
fn read_all(files: &[OneFile<'_>], asked: &Asked) -> Result<Read, AdoptError> {
    let mut options = ReadOptions { unit: asked.unit, known: asked.known.clone() };
    let mut source = match (&asked.known, asked.unit) {
        (Some(_), _) => ScaleSource::Known,
        (None, Some(_)) => ScaleSource::Told,
        (None, None) => ScaleSource::Stated,
    };
    loop {
        let read = files.iter().map(|file| {
            let drawing = drawing::read_drawn(file.bytes, &options, asked.password.as_ref());
            drawing.map(|drawing| (file.name.to_owned(), drawing)).map_err(|error| (file.name, error))
        });
        match read.collect::<Result<Vec<_>, _>>() {
            Ok(read) => {
                let drawing = DrawnFile::of_several(read).ok_or(AdoptError::NoPage)?;
                return Ok(Read { drawing, source });
            }
            Err((_, drawing::DrawingError::KnownMissing { .. })) if options.known.is_some() => {
                options.known = None;
                source = if asked.unit.is_some() { ScaleSource::Told } else { ScaleSource::Stated };
            }
            Err((_, drawing::DrawingError::NoUnit { .. })) if options.unit.is_none() => {
                options.unit = Some(UserUnit::Px);
                source = ScaleSource::Unknown;
            }
            Err((_, error)) if files.len() == 1 => return Err(error.into()),
            Err((file, error)) => {
                return Err(AdoptError::OneOfSeveral { file: file.to_owned(), error });
            }
        }
    }
}

/// How long something measures that is called by its letter.
fn measured(arranged: &Arranged, known: &Known) -> Result<f64, Refusal> {
    let letter = known.element.as_str();
    let outline = arranged.outlines.iter().find(|outline| outline.letter.as_str() == letter);
    if let Some(outline) = outline {
        let straight = outline.edges.iter().filter(|edge| edge.is_straight(crate::tolerance::ON_OUTLINE));
        let longest = straight.map(crate::curve::Curve::length).reduce(f64::max);
        return longest.ok_or_else(|| {
            let what = "it has no straight side to measure";
            let way_out = "name a line or a square of known size";
            Refusal::new(RefusalKind::NotOfThatSort, format!("outline {letter}"), what, way_out)
        });
    }
    if let Some(line) = arranged.lines.iter().find(|line| line.letter.as_str() == letter) {
        return Ok(line.curve.length());
    }
    let known = arranged.outlines.iter().map(|outline| outline.letter.as_str());
    Err(Refusal::unknown("outline, line or element", letter, "drawing", known.collect::<Vec<_>>()))
}

/// By what the drawing is to be multiplied, where its own scale is unknown or to be corrected.
fn correction(
    drawn: &DrawnThings,
    arranged: &Arranged,
    source: &mut ScaleSource,
    taken: f64,
    correction: Correction,
) -> Result<Option<[f64; 2]>, Refusal> {
    if *source == ScaleSource::Unknown {
        let Some(check) = checks(drawn, arranged, Some(taken)).into_iter().next() else { return Ok(None) };
        *source = ScaleSource::TestShape;
        let [across, down] = check.factors();
        let equal = (across / down - 1.0).abs() <= SCALE_OFF;
        return Ok(Some(match (equal, correction) {
            (true, _) | (_, Correction::Correct) => [across, down],
            (false, Correction::Tell) => [across; 2],
        }));
    }
    if correction == Correction::Tell {
        return Ok(None);
    }
    match checks(drawn, arranged, None).first() {
        Some(check) => Ok(Some(check.factors())),
        None => Err(Refusal::new(
            RefusalKind::UnknownName,
            "drawing",
            "there is no test square or bar by which the scale could be corrected",
            advice!("name something of known size: ", Field::Known.set("A=100mm")),
        )),
    }
}
