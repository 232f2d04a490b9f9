//! `follow`.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::advice;
use crate::curve::{Motion, Vec2};
use crate::derive::{Agreement, MadePiece, afresh, agreement, in_order, made_before};
use crate::pattern::{Edge, Field, MadeFrom, Operation, Piece, PieceName, Refusal, RefusalKind};
use crate::recut::{Notice, WhyNothing, Work};
use crate::tolerance::FOLLOWED;

/// Make derived pieces anew, so that copies and facings agree with what they were made from.
///
/// A copy of a piece that was divided since becomes one copy for each part.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Follow {
    /// The derived piece; otherwise all of them.
    #[arg(long, value_name = "PIECE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub piece: Option<PieceName>,
}

impl Follow {
    /// All derived pieces, made anew.
    ///
    /// # Examples
    ///
    /// ```
    /// use retrue::recut::{AddPrincessSeam, CopyPiece, Follow, Step};
    ///
    /// # let sheet = std::fs::read("fixtures/coat.svg")?;
    /// let coat = retrue::sheet::read(&sheet, &Default::default())?.pattern;
    /// let copy = CopyPiece::of("front".parse()?, "front-underlining".parse()?);
    /// let copied = Step::from(copy).apply(&coat)?.pattern;
    /// let princess = AddPrincessSeam::of(
    ///     "front".parse()?,
    ///     "shoulder@50%".parse()?,
    ///     "bust-point".parse()?,
    ///     "hem@45% from centre".parse()?,
    /// );
    /// let cut = Step::from(princess).apply(&copied)?.pattern;
    /// let followed = Step::from(Follow::of()).apply(&cut)?.pattern;
    /// assert_eq!(followed.pieces().len(), coat.pieces().len() + 3);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn of() -> Follow {
        Follow { piece: None }
    }
}

pub(super) fn follow(step: &Follow, work: &mut Work) -> Result<(), Refusal> {
    let names = match &step.piece {
        Some(name) => vec![derived(work, name)?],
        None => in_order(&work.pattern),
    };
    if names.is_empty() {
        work.tell(Notice::NothingToDo { at: "the pattern".to_owned(), why: WhyNothing::NoneDerived });
        return Ok(());
    }
    let (mut followed, mut left) = (0, Vec::new());
    for name in names {
        let piece = work.pattern.piece(&name)?;
        match agreement(&work.pattern, piece) {
            Some(Agreement::Agrees) => continue,
            // The others follow without it.
            Some(Agreement::Refused(why)) if step.piece.is_none() => {
                left.push((name, why));
                continue;
            }
            Some(Agreement::Refused(_)) => refuse_before_another(work, piece)?,
            _ => {}
        }
        let piece = piece.clone();
        make_anew(work, &piece)?;
        followed += 1;
    }
    if followed == 0
        && let Some((_, why)) = left.first()
    {
        return Err(why.clone());
    }
    if followed == 0 {
        let at =
            step.piece.as_ref().map_or_else(|| "the derived pieces".to_owned(), |name| format!("`{name}`"));
        work.tell(Notice::NothingToDo { at, why: WhyNothing::Agrees });
    }
    for (piece, why) in left {
        work.tell(Notice::NotFollowed { piece, why });
    }
    Ok(())
}

/// Refuses what can only be made when another derived piece was made anew.
fn refuse_before_another(work: &Work, piece: &Piece) -> Result<(), Refusal> {
    match made_before(&work.pattern, piece) {
        None => Ok(()),
        Some(first) => Err(Refusal::new(
            RefusalKind::BadField,
            piece.name(),
            format!("it is made anew after `{first}`, which must follow first"),
            advice!("make all anew: ", Operation::Follow),
        )),
    }
}

fn derived(work: &Work, name: &PieceName) -> Result<PieceName, Refusal> {
    let piece = work.pattern.piece(name)?;
    if piece.derived.is_some() {
        return Ok(name.clone());
    }
    Err(Refusal::new(
        RefusalKind::NotOfThatSort,
        name,
        "the piece was made of no other, so that it has nothing to follow",
        advice!("name a copy or a facing, or leave ", Field::Piece, " out: all of them then follow"),
    ))
}

/// Puts what is made now where the piece stood.
fn make_anew(work: &mut Work, old: &Piece) -> Result<(), Refusal> {
    let made =
        work.made_after_dividing(|pattern| Ok(afresh(pattern, pattern.piece(old.name())?)?.to_vec()))?;
    let made = without_repeated(work, old, made);
    let held = work.take_off(old.name())?;
    let names: Vec<PieceName> = made.iter().map(|one| one.piece.name().clone()).collect();
    if names.is_empty() {
        work.tell(Notice::PieceGone { piece: old.name().clone() });
        work.declare_made(old.name(), -old.net_area() * f64::from(old.times()));
    }
    let gone = old.net_area() * f64::from(old.times());
    for (i, one) in made.into_iter().enumerate() {
        let (name, times) = (one.piece.name().clone(), f64::from(one.piece.times()));
        let shift = match names.len() {
            1 => place_of(old) - place_of(&one.piece),
            _ => work.free_shift(&one.piece),
        };
        work.add_made(one, shift)?;
        if i == 0 {
            work.declare_made(&name, -gone / times);
        }
    }
    keep_marks(work, old, &names)?;
    name_sources_anew(work, old.name(), &names);
    work.keep_seams(old, held)
}

/// What is drawn on it that is not understood stays where it is; of several pieces in its place it goes with the one on which
/// it lies, and what lies nowhere, as a comment, with the first.
fn keep_marks(work: &mut Work, old: &Piece, new: &[PieceName]) -> Result<(), Refusal> {
    if let [name] = new {
        work.pattern.piece_mut(name)?.marks.clone_from(&old.marks);
        return Ok(());
    }
    let mut laid = Vec::new();
    for name in new {
        let piece = work.pattern.piece(name)?;
        laid.extend(laid_by_edge(old, piece).map(|motion| (name, piece.outline().clone(), motion)));
    }
    for mark in &old.marks {
        let kept = match mark.anchor {
            None => new.first().map(|name| (name, mark.clone())),
            Some(anchor) => laid.iter().find_map(|(name, outline, motion)| {
                outline.contains(motion.apply(anchor)).then(|| (*name, mark.moved(motion)))
            }),
        };
        match kept {
            Some((name, mark)) => work.pattern.piece_mut(name)?.marks.push(mark),
            None => {
                let mark = mark.id.clone().unwrap_or_else(|| "a mark".to_owned());
                work.tell(Notice::MarkLost { piece: old.name().clone(), mark });
            }
        }
    }
    Ok(())
}

/// The motion that lays a piece on one of those in its place, by the longest edge that both have whole.
fn laid_by_edge(old: &Piece, new: &Piece) -> Option<Motion> {
    let ends = |edge: &Edge| (edge.curve.start(), edge.curve.end());
    let whole = new.edges().iter().filter_map(|edge| {
        let was = old.edge(old.find_edge(&edge.name)?);
        ((was.curve.length() - edge.curve.length()).abs() <= FOLLOWED).then_some((was, edge))
    });
    let (was, is) = whole.max_by(|a, b| a.1.curve.length().total_cmp(&b.1.curve.length()))?;
    Motion::carry(ends(was), ends(is)).ok()
}

fn place_of(piece: &Piece) -> Vec2 {
    piece.bounds().origin().to_vec2()
}

/// What is not in the pattern already: two copies of pieces that were joined since would be one and the same.
fn without_repeated(work: &Work, old: &Piece, made: Vec<MadePiece>) -> Vec<MadePiece> {
    let is_there = |one: &MadePiece| {
        work.pattern.pieces().any(|other| {
            other.name() != old.name()
                && other.derived == one.piece.derived
                && (&other.cloth, other.purpose) == (&one.piece.cloth, one.piece.purpose)
                && work.entry.made.iter().any(|made| made.piece == *other.name())
        })
    };
    made.into_iter().filter(|one| !is_there(one)).collect()
}

/// What was made of a piece is made of those that stand in its place.
fn name_sources_anew(work: &mut Work, old: &PieceName, new: &[PieceName]) {
    for piece in work.pattern.pieces_mut() {
        if let Some(MadeFrom::Pieces(pieces)) = piece.derived.as_mut().map(|derived| &mut derived.from)
            && let Some(at) = pieces.iter().position(|name| name == old)
        {
            pieces.splice(at..=at, new.iter().cloned());
        }
    }
}
