//! Finding what stands in a drawing.

use kurbo::{Affine, Rect};

use crate::adopt::AdoptError;
use crate::adopt::arrange::{Arranged, arrange};
use crate::adopt::found::Found;
use crate::adopt::nothing::{ByClips, NoOutline};
use crate::adopt::ring::CornerAngle;
use crate::adopt::scale::{Scale, ScaleSource, checks};
use crate::adopt::size::SizeChoice;
use crate::adopt::stroke::DrawnThings;
use crate::drawing::{self, Known, Note, ReadOptions, SvgDrawing, UserUnit};
use crate::pattern::{Refusal, RefusalKind};
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

/// Finds the outlines and lines of any SVG drawing.
///
/// # Errors
///
/// What is no SVG; a drawing with far too much in it; a known element or a size that is not there.
pub fn find(bytes: &[u8], asked: &Asked) -> Result<Found, AdoptError> {
    drawing::on_deep_stack(|| find_here(bytes, asked))?
}

fn find_here(bytes: &[u8], asked: &Asked) -> Result<Found, AdoptError> {
    let Read { drawing, mut source, mut page } = read(bytes, asked)?;
    let mut drawn = DrawnThings::of(&drawing, page)?;
    let taken = drawing.unit.mm_per_unit();
    let mut mm_per_unit = [taken; 2];
    let mut arranged = arrange(&drawn, asked.size.as_ref(), asked.corner)?;
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
        mm_per_unit = [taken * across, taken * down];
        page = page.map(|page| Affine::scale_non_uniform(across, down).transform_rect_bbox(page));
        arranged = arrange(&drawn, asked.size.as_ref(), asked.corner)?;
    }
    let checks = if source == ScaleSource::Unknown { Vec::new() } else { checks(&drawn, &arranged, None) };
    let is_cut = |note: &Note| matches!(note, Note::Clipped { cut, .. } if *cut > 0);
    let clipped = if drawn.notes.iter().any(is_cut) { ByClips::Cut } else { ByClips::Whole };
    Ok(Found {
        no_outline: NoOutline::of(&drawn, &arranged, page, clipped),
        scale: Scale { mm_per_unit, source, checks },
        styles: drawn.styles,
        size: asked.size.clone(),
        outlines: arranged.outlines,
        lines: arranged.lines,
        unlisted: arranged.unlisted,
        texts: drawn.texts,
        gaps: arranged.gaps,
        notes: drawing.notes.into_iter().chain(drawn.notes).collect(),
    })
}

/// A drawing as it was read.
struct Read {
    drawing: SvgDrawing,
    source: ScaleSource,
    /// Its page, where it states one, in its own coordinates.
    page: Option<Rect>,
}

/// Reads the drawing, and says where its scale is from. A known element that is not there may be a letter; a drawing
/// without a unit is read as if it were in pixels.
fn read(bytes: &[u8], asked: &Asked) -> Result<Read, AdoptError> {
    let mut options = ReadOptions { unit: asked.unit, known: asked.known.clone() };
    let mut source = match (&asked.known, asked.unit) {
        (Some(_), _) => ScaleSource::Known,
        (None, Some(_)) => ScaleSource::Told,
        (None, None) => ScaleSource::Stated,
    };
    loop {
        match drawing::read(bytes, &options) {
            Ok(drawing) => {
                let corner = drawing.corner.to_point();
                let page = drawing.size.map(|size| Rect::from_origin_size(corner, size));
                return Ok(Read { drawing: drawing.in_own_coordinates(), source, page });
            }
            Err(drawing::DrawingError::KnownMissing { .. }) if options.known.is_some() => {
                options.known = None;
                source = if asked.unit.is_some() { ScaleSource::Told } else { ScaleSource::Stated };
            }
            Err(drawing::DrawingError::NoUnit { .. }) if options.unit.is_none() => {
                options.unit = Some(UserUnit::Px);
                source = ScaleSource::Unknown;
            }
            Err(error) => return Err(error.into()),
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
            "name something of known size: --known \"A=100mm\"",
        )),
    }
}
