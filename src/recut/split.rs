//! `split`: cut a piece in two along a line.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::curve::{Curve, LeftOrRight, Motion};
use crate::parts::assemble::{
    Assembly, Bit, EdgeLook, Part, Unplaced, assemble, bits_round, region, way_round,
};
use crate::pattern::{EdgeRef, Line, On, Pattern, Piece, PieceName, Refusal};
use crate::recut::Work;
use crate::recut::fields::PieceNames;
use crate::recut::line::{LineThrough, find_cut};
use crate::recut::outcome::{OnFold, cut_of_part, new_edge_name};
use crate::recut::part_names::{CutPart, PartNames, PartsOfCut};
use crate::recut::set_allowance::refuse_absurd;
use crate::recut::{Notice, StepLine};
use crate::units::Length;

/// Cut a piece in two along a line.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Split {
    /// The piece to cut.
    #[arg(long, value_name = "PIECE")]
    pub piece: PieceName,
    /// The line: a style line's name, "A > B", "A ~ B ~ C", "level waist", "beside centre at 12cm", "across at 9cm
    /// below PLACE", "along at PLACE".
    #[arg(long, value_name = "LINE")]
    pub line: Line,
    /// Names of the two new pieces, "a, b"; the first goes to the part with the fold, else the one nearest the
    /// centre edge, else the upper, toward the grainline's start. Otherwise PIECE-upper and -lower for a cut across the
    /// grain, PIECE-centre and -side for one along it.
    #[arg(long, value_name = "A, B")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub names: Option<PieceNames>,
    /// Allowance of the two new edges; otherwise the one most of the piece's seams have.
    #[arg(long, value_name = "LENGTH")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub allowance: Option<Length>,
}

impl Split {
    /// A piece cut in two along a line, its parts named after where they lie.
    ///
    /// # Examples
    ///
    /// ```
    /// use retrue::recut::{Split, Step};
    ///
    /// # let sheet = std::fs::read("fixtures/dress.svg")?;
    /// let dress = retrue::sheet::read(&sheet, &Default::default())?.pattern;
    /// let split = Split {
    ///     names: Some("back-yoke, back-lower".parse()?),
    ///     ..Split::of("bodice-back".parse()?, "across at 14cm below neck@0%".parse()?)
    /// };
    /// let cut = Step::from(split).apply(&dress)?.pattern;
    /// let area = |pattern: &retrue::pattern::Pattern, piece: &str| {
    ///     Ok::<_, Box<dyn std::error::Error>>(pattern.piece(&piece.parse()?)?.net_area())
    /// };
    /// let parts = area(&cut, "back-yoke")? + area(&cut, "back-lower")?;
    /// assert!((parts - area(&dress, "bodice-back")?).abs() < 0.01);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn of(piece: PieceName, line: Line) -> Split {
        Split { piece, line, names: None, allowance: None }
    }
}

pub(super) fn split(step: &Split, work: &mut Work) -> Result<(), Refusal> {
    step.allowance.map_or(Ok(()), refuse_absurd)?;
    let piece = work.piece(&step.piece)?;
    let cut = find_cut(&piece, &step.line)?;
    let drop_line = match &step.line {
        Line::Style(name) => Some(name.clone()),
        _ => None,
    };
    let mut without = piece.clone();
    without.style_lines.retain(|style| Some(&style.name) != drop_line.as_ref());
    let allowance = step.allowance.unwrap_or_else(|| piece.usual_allowance());
    split_at(work, &without, &cut, step.names.as_ref(), allowance, "seam")?;
    Ok(())
}

/// Cuts a piece in two along a cut that was found on it; gives the two new edges, of the first part and the second.
pub(super) fn split_at(
    work: &mut Work,
    piece: &Piece,
    cut: &LineThrough,
    names: Option<&PieceNames>,
    allowance: Length,
    word: &'static str,
) -> Result<(EdgeRef, EdgeRef), Refusal> {
    let halves = CutHalves::of(piece, cut)?;
    let parts = halves.parts(&work.pattern, piece, cut);
    let PartNames { right, left } = parts.names(&work.pattern, names);
    let named = match parts.first() {
        LeftOrRight::Right => [(&halves.right, right), (&halves.left, left)],
        LeftOrRight::Left => [(&halves.left, left), (&halves.right, right)],
    };
    make_parts(work, piece, cut, named, &CutJoint { allowance, word })
}

/// How the two edges of a cut are to be.
pub(super) struct CutJoint {
    pub allowance: Length,
    /// Their name.
    pub word: &'static str,
}

/// As [`split_at`], with a name for the part on either hand of the cut.
pub(super) fn split_by_hand(
    work: &mut Work,
    piece: &Piece,
    cut: &LineThrough,
    names: PartNames,
    joint: &CutJoint,
) -> Result<(EdgeRef, EdgeRef), Refusal> {
    let halves = CutHalves::of(piece, cut)?;
    let parts = [(&halves.right, names.right), (&halves.left, names.left)];
    make_parts(work, piece, cut, parts, joint)
}

fn make_parts(
    work: &mut Work,
    piece: &Piece,
    cut: &LineThrough,
    [(first, first_name), (second, second_name)]: [(&PartOutline, PieceName); 2],
    joint: &CutJoint,
) -> Result<(EdgeRef, EdgeRef), Refusal> {
    let edge = new_edge_name(joint.word, &[piece]);
    let assembly = |half: &PartOutline, name: &PieceName, unplaced| {
        let mut bits = bits_round(piece, 0, half.from, half.to);
        let look = EdgeLook::seam(edge.clone(), joint.allowance);
        bits.push(Bit::New { look, curve: half.back.clone() });
        let part = Part::of(piece, half.region.clone(), Motion::identity());
        Ok::<_, Refusal>(Assembly {
            cut: cut_of_part(piece, half.on_fold)?,
            unplaced,
            ..Assembly::like(piece, name.clone(), vec![part], bits)
        })
    };
    let made = vec![
        assemble(&assembly(first, &first_name, Unplaced::Keep)?)?,
        assemble(&assembly(second, &second_name, Unplaced::Leave)?)?,
    ];
    tell_crossed_marks(work, piece, StepLine::Seam, &cut.curve);
    work.replace(&[piece], made)?;
    let pair = (EdgeRef::new(first_name, edge.clone()), EdgeRef::new(second_name, edge));
    work.add_new_seam(&pair.0, &pair.1)?;
    work.notch_evenly(&pair.0, &pair.1)?;
    Ok(pair)
}

/// One of the two parts that a cut makes.
struct PartOutline {
    from: On,
    to: On,
    back: Curve,
    region: crate::curve::Outline,
    on_fold: OnFold,
}

/// Both parts of a cut piece, as seen along the cut from its start to its end.
struct CutHalves {
    /// On the right.
    right: PartOutline,
    /// On the left.
    left: PartOutline,
}

impl CutHalves {
    fn of(piece: &Piece, cut: &LineThrough) -> Result<CutHalves, Refusal> {
        let half = |from: On, to: On, back: Curve| -> Result<PartOutline, Refusal> {
            let region = region(piece, from, to, std::slice::from_ref(&back))?;
            let on_fold = OnFold::of_way(piece, &way_round(piece, from, to));
            Ok(PartOutline { from, to, back, region, on_fold })
        };
        Ok(CutHalves {
            right: half(cut.ends, cut.starts, cut.curve.clone())?,
            left: half(cut.starts, cut.ends, cut.curve.reversed())?,
        })
    }

    /// The two parts, as their names go by.
    fn parts<'a>(&'a self, pattern: &Pattern, piece: &'a Piece, cut: &LineThrough) -> PartsOfCut<'a> {
        let part = |half: &'a PartOutline| CutPart::of(piece, half.from, half.to, &half.region);
        PartsOfCut {
            piece,
            centre: pattern.centre_edge(piece),
            chord: cut.curve.end() - cut.curve.start(),
            right: part(&self.right),
            left: part(&self.left),
        }
    }
}

/// Warns of marks that a new line crosses.
pub(super) fn tell_crossed_marks(work: &mut Work, piece: &Piece, by: StepLine, drawn: &Curve) {
    for mark in &piece.marks {
        if mark.lines.iter().any(|line| !line.crossings(drawn).is_empty()) {
            let mark = mark.id.clone().unwrap_or_else(|| "a mark".to_owned());
            work.tell(Notice::MarkCrossed { piece: piece.name().clone(), by, mark });
        }
    }
}
