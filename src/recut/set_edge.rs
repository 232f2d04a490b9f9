//! `set-edge`.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::advice;
use crate::pattern::{
    Cut, EdgeName, EdgeRef, Field, Finish, Joins, Operation, Pattern, Refusal, RefusalKind, Seam, Selvedge,
    SewnTo, Side, Twins, Unsewn, orient, settle,
};
use crate::recut::fields::LapWish;
use crate::recut::lap_over::lap_over;
use crate::recut::outcome::cut_opened;
use crate::recut::symmetry::fold_line;
use crate::recut::{Notice, Work};
use crate::tolerance::MOST_EASE;
use crate::units::Length;

/// Set the finish, selvedge, seam, ease, lap or name of an edge.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct SetEdge {
    /// The edge: front.side.
    #[arg(long, value_name = "PIECE.EDGE")]
    pub edge: EdgeRef,
    /// How it is finished: seam, hem, fold, or free.
    #[arg(long, value_name = "FINISH")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub finish: Option<Finish>,
    /// Whether it lies on the selvedge: yes or no.
    #[arg(long, value_name = "SELVEDGE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub selvedge: Option<Selvedge>,
    /// What it is sewn to, in place of all it was sewn to: "back.side", "front.armhole back.armhole", "back.side from hem"; a ; begins another layer; none takes it off; nothing says that it is meant to be sewn to no other.
    #[arg(long, value_name = "EDGES")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sewn_to: Option<SewnTo>,
    /// By how much this side of the seam is meant to be longer.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ease: Option<Length>,
    /// It is sewn on top of what it is sewn to, with the stitching so far inside it; 0mm: edge to edge, both without allowance; none takes it back.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lap: Option<LapWish>,
    /// Another name.
    #[arg(long, value_name = "EDGE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<EdgeName>,
}

impl SetEdge {
    /// An edge of which nothing is changed yet.
    ///
    /// # Examples
    ///
    /// ```
    /// use retrue::pattern::Finish;
    /// use retrue::recut::{SetEdge, Step};
    ///
    /// # let sheet = std::fs::read("fixtures/dress.svg")?;
    /// let dress = retrue::sheet::read(&sheet, &Default::default())?.pattern;
    /// let free = SetEdge { finish: Some(Finish::Free), ..SetEdge::of("skirt-front.hem".parse()?) };
    /// let set = Step::from(free).apply(&dress)?.pattern;
    /// let hem = set.find_edge(&"skirt-front.hem".parse()?).map(|edge| edge.finish);
    /// assert_eq!(hem, Some(Finish::Free));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn of(edge: EdgeRef) -> SetEdge {
        SetEdge { edge, finish: None, selvedge: None, sewn_to: None, ease: None, lap: None, name: None }
    }

    /// What the edge itself says as it is now; none where there is no such edge.
    pub(super) fn as_it_is(&self, pattern: &Pattern) -> Option<SetEdge> {
        let edge = pattern.find_edge(&settle(pattern, &self.edge))?;
        Some(SetEdge {
            finish: Some(edge.finish),
            selvedge: Some(edge.selvedge),
            name: Some(edge.name.clone()),
            ..SetEdge::of(self.edge.clone())
        })
    }
}

pub(super) fn set_edge(step: &SetEdge, work: &mut Work) -> Result<(), Refusal> {
    let edge = settle(&work.pattern, &step.edge);
    work.pattern.edge(&edge)?;
    let SetEdge { finish, selvedge, sewn_to, ease, lap, name, edge: _settled } = step;
    let says_nothing = finish.is_none() && selvedge.is_none() && sewn_to.is_none();
    if says_nothing && ease.is_none() && lap.is_none() && name.is_none() {
        return Err(Refusal::new(
            RefusalKind::NothingAsked,
            &edge,
            "nothing is to be set",
            advice!(
                "give ",
                Field::Finish,
                ", ",
                Field::Selvedge,
                ", ",
                Field::SewnTo,
                ", ",
                Field::Ease,
                ", ",
                Field::Lap,
                " or ",
                Field::Name
            ),
        ));
    }
    // What becomes an edge that is not sewn is taken off its seam first.
    let (first, last): (Option<Finish>, Option<Finish>) = match *finish {
        Some(unsewn @ (Finish::Fold | Finish::Hem)) => (None, Some(unsewn)),
        other => (other, None),
    };
    if let Some(finish) = first {
        set_finish(work, &edge, finish)?;
    }
    if let Some(sewn_to) = sewn_to {
        sew(work, &edge, sewn_to)?;
    }
    if let Some(finish) = last {
        set_finish(work, &edge, finish)?;
    }
    if let Some(selvedge) = selvedge {
        let piece = work.pattern.piece_mut(&edge.piece)?;
        let id = piece.edge_named(&edge.edge)?;
        *piece.edge_settings(id).selvedge = *selvedge;
    }
    if let Some(ease) = ease {
        set_ease(work, &edge, *ease)?;
    }
    match lap {
        Some(LapWish::By(lap)) => lap_over(work, &edge, *lap)?,
        Some(LapWish::None) => {
            let piece = work.pattern.piece_mut(&edge.piece)?;
            let id = piece.edge_named(&edge.edge)?;
            *piece.edge_settings(id).lap = None;
        }
        None => {}
    }
    if let Some(name) = name {
        set_name(work, &edge, name)?;
    }
    Ok(())
}

/// Sets the finish. The garment stays the same size where it can: a fold that becomes another finish leaves a left and a
/// right, and a left and a right that are laid on a fold become one piece. Where a piece that is no pair becomes half,
/// its other half is new, and is told.
fn set_finish(work: &mut Work, edge: &EdgeRef, finish: Finish) -> Result<(), Refusal> {
    match finish {
        Finish::Fold => refuse_fold(work, edge)?,
        Finish::Hem => refuse_sewn_hem(work, edge)?,
        Finish::Seam | Finish::Free => {}
    }
    let piece = work.pattern.piece_mut(&edge.piece)?;
    let id = piece.edge_named(&edge.edge)?;
    let was_half = piece.fold().is_some();
    if piece.edge(id).finish == Finish::Fold && finish == Finish::Seam {
        *piece.edge_settings(id).allowance = piece.usual_allowance();
    }
    *piece.edge_settings(id).finish = finish;
    if finish != Finish::Seam {
        *piece.edge_settings(id).unsewn = Unsewn::Forgotten;
    }
    let cut = match (was_half, piece.fold().is_some()) {
        (true, false) => cut_opened(piece)?,
        (false, true) => cut_on_fold(piece.cut),
        _ => return Ok(()),
    };
    if cut == piece.cut {
        work.tell(Notice::OtherHalfAdded { piece: edge.piece.clone() });
        return Ok(());
    }
    piece.cut = cut;
    work.tell(Notice::CutChanged { piece: edge.piece.clone(), cut });
    Ok(())
}

/// How many copies are cut once an edge is laid on a fold: one for each left and right.
fn cut_on_fold(cut: Cut) -> Cut {
    match (cut.twins, cut.copies / 2) {
        (Twins::Mirrored, 1) => Cut::ONE,
        (Twins::Mirrored, copies) => Cut { copies, twins: Twins::Same },
        (Twins::Same, _) => cut,
    }
}

/// Refuses a fold on an edge that is sewn or not straight, or on a piece that has a fold.
fn refuse_fold(work: &Work, edge: &EdgeRef) -> Result<(), Refusal> {
    refuse_sewn(work, edge, Finish::Fold)?;
    let (piece, id) = work.pattern.edge(edge)?;
    if let Some(fold) = piece.fold().filter(|fold| *fold != id) {
        return Err(Refusal::new(
            RefusalKind::NotOfThatSort,
            edge,
            format!("the piece is folded along `{}` already", piece.edge(fold).name),
            advice!("open it out first: ", Operation::Unfold.with(Field::Piece, piece.name())),
        ));
    }
    fold_line(piece, id).map(|_| ())
}

/// Refuses to turn up an edge that is sewn. One that is a hem already may be faced.
fn refuse_sewn_hem(work: &Work, edge: &EdgeRef) -> Result<(), Refusal> {
    let (piece, id) = work.pattern.edge(edge)?;
    if piece.edge(id).finish == Finish::Hem { Ok(()) } else { refuse_sewn(work, edge, Finish::Hem) }
}

fn refuse_sewn(work: &Work, edge: &EdgeRef, becomes: Finish) -> Result<(), Refusal> {
    let Some(seam) = work.pattern.seams_of(edge).next() else { return Ok(()) };
    Err(Refusal::new(
        RefusalKind::BadSeam,
        edge,
        format!(
            "the edge is sewn ({}), so that it cannot be a {}",
            work.pattern.seam(seam).name(),
            becomes.word()
        ),
        advice!("take it off the seam at the same time: ", Field::SewnTo.set("none")),
    ))
}

/// Sews an edge to what is named, in place of all it was sewn to.
fn sew(work: &mut Work, edge: &EdgeRef, sewn_to: &SewnTo) -> Result<(), Refusal> {
    for seam in work.pattern.take_seams_of(edge) {
        work.tell(Notice::SeamTakenOff { seam: seam.name() });
    }
    let mut joins = Joins::of(work.pattern.seams());
    let mut layers = Vec::new();
    for layer in sewn_to.layers() {
        let partners: Vec<EdgeRef> = layer.edges.iter().map(|edge| settle(&work.pattern, edge)).collect();
        for partner in &partners {
            refuse_partner(work, edge, partner)?;
        }
        joins.add(std::slice::from_ref(edge), &partners);
        layers.push((partners, layer.from.as_ref().map(|from| from.settled(&work.pattern))));
    }
    let (piece, id) = work.pattern.edge(edge)?;
    if !layers.is_empty() && piece.edge(id).finish == Finish::Fold {
        return Err(sewn_fold(edge));
    }
    let unsewn = if *sewn_to == SewnTo::Nothing { Unsewn::Meant } else { Unsewn::Forgotten };
    if unsewn == Unsewn::Meant && piece.edge(id).finish != Finish::Seam {
        return Err(no_seam(edge));
    }
    *work.pattern.piece_mut(&edge.piece)?.edge_settings(id).unsewn = unsewn;
    for (partners, from) in layers {
        let (first, second) =
            orient(&work.pattern, &joins, std::slice::from_ref(edge), &partners, from.as_ref())?;
        work.pattern.add_seam(Seam { first, second, ease: Length::ZERO })?;
    }
    Ok(())
}

fn refuse_partner(work: &Work, edge: &EdgeRef, partner: &EdgeRef) -> Result<(), Refusal> {
    let (piece, id) = work.pattern.edge(partner)?;
    if partner == edge {
        return Err(Refusal::new(
            RefusalKind::BadSeam,
            edge,
            "the edge cannot be sewn to itself",
            format!("name another edge, or its mirrored copy: {edge}/m"),
        ));
    }
    if piece.edge(id).finish == Finish::Fold { Err(sewn_fold(partner)) } else { Ok(()) }
}

fn sewn_fold(edge: &EdgeRef) -> Refusal {
    Refusal::new(
        RefusalKind::BadSeam,
        edge,
        "the edge is a fold, so that it cannot be sewn",
        advice!(
            "open it first: ",
            Operation::OpenCentre.with(Field::Piece, &edge.piece).with(Field::Edge, &edge.edge)
        ),
    )
}

fn no_seam(edge: &EdgeRef) -> Refusal {
    Refusal::new(
        RefusalKind::NotOfThatSort,
        edge,
        "the edge is no seam, so that it is sewn to nothing anyway",
        advice!("leave it as it is, or make it a seam at the same time: ", Field::Finish.set("seam")),
    )
}

fn set_ease(work: &mut Work, edge: &EdgeRef, ease: Length) -> Result<(), Refusal> {
    let id = work.pattern.seam_named(edge, None)?;
    let seam = work.pattern.seam(id);
    if seam.is_to_own_mirror() && ease != Length::ZERO {
        return Err(Refusal::new(
            RefusalKind::BadSeam,
            edge,
            "an edge sewn to its own mirrored copy has no ease",
            "leave the ease out",
        ));
    }
    let on_second = seam.side_of(edge) == Some(Side::Second);
    if ease.mm() < 0.0 {
        let longer = if on_second { &seam.first } else { &seam.second };
        let longer = longer.first_and_last().0.edge.clone();
        let other_way = Length::from_mm(-ease.mm());
        return Err(Refusal::new(
            RefusalKind::BadField,
            edge,
            format!("the ease is {ease}: it is given on the longer side of the seam, and is over zero"),
            advice!(
                "say ",
                Operation::SetEdge.with(Field::Edge, longer).with(Field::Ease, other_way),
                " where that is the longer side"
            ),
        )
        .about(ease));
    }
    if ease.mm() > MOST_EASE {
        return Err(Refusal::new(
            RefusalKind::BadField,
            edge,
            format!("an ease of {ease} is more than anything can be eased"),
            format!("give one of at most {MOST_EASE}mm"),
        )
        .about(ease));
    }
    work.pattern.set_ease(id, if on_second { Length::from_mm(-ease.mm()) } else { ease });
    Ok(())
}

fn set_name(work: &mut Work, edge: &EdgeRef, name: &EdgeName) -> Result<(), Refusal> {
    let piece = work.pattern.piece(&edge.piece)?;
    if let Some(drawn) = name.mirror_of().filter(|drawn| piece.find_edge(drawn).is_none()) {
        return Err(Refusal::new(
            RefusalKind::BadField,
            edge,
            format!(
                "`{name}` would name the mirror image of an edge `{drawn}`, which the piece does not have"
            ),
            "give a name without /m",
        )
        .about(name));
    }
    work.pattern.rename_edge(&edge.piece, &edge.edge, name)
}
