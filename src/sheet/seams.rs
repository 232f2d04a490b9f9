//! From what edges say they are sewn to, to the seams of a pattern.

use rustc_hash::{FxHashMap, FxHashSet};

use crate::drawing::Node;
use crate::pattern::{
    Advice, Copy, EdgeRef, Finish, Joins, Partner, Pattern, Refusal, RefusalKind, Seam, SewnFrom, SewnTo,
    Side, Unsewn, entered_at, orient, orient_at_corners, settle,
};
use crate::sheet::parts::DeclaredEdge;
use crate::sheet::{ReadError, agreed};
use crate::tolerance::{MOST_LAYERS, SAME_LENGTH};
use crate::units::{Length, counted};

/// One layer of what an edge says.
struct SaidLayer<'a> {
    node: &'a Node,
    edge: EdgeRef,
    partner: Partner,
    ease: Option<Length>,
}

/// Ease as one edge gives it.
#[derive(Clone)]
struct GivenEase<'a> {
    node: &'a Node,
    edge: EdgeRef,
    /// As it is written: by how much the side of this edge is longer.
    said: Length,
    side: Side,
}

/// A seam, before it is known which ends meet.
struct Unlaid<'a> {
    node: &'a Node,
    first: Vec<EdgeRef>,
    second: Vec<EdgeRef>,
    /// The end of the second side from which the sewing begins.
    from: Option<SewnFrom>,
    /// The same as the other side says it, of the first side.
    from_first: Option<SewnFrom>,
    /// The ease that its edges give.
    ease: Option<GivenEase<'a>>,
}

/// Gives a pattern the seams its edges declare, and each edge its finish.
pub(super) fn join(pattern: &mut Pattern, declared: &[DeclaredEdge]) -> Result<(), ReadError> {
    let said = layers(pattern, declared)?;
    let mut unlaid = paired(&said)?;
    add_eases(&mut unlaid, declared)?;
    let mut joins = Joins::default();
    for seam in &unlaid {
        joins.add(&seam.first, &seam.second);
    }
    for seam in &unlaid {
        let laid = on_the_half_it_is_sewn_on(pattern, seam.laid(pattern, &joins)?);
        pattern.add_seam(laid).map_err(|refusal| ReadError::at(seam.node, refusal))?;
    }
    finish(pattern, declared)
}

/// A seam on the other half of a piece that was opened out. A sheet declares it on a drawn edge, so that it stands there
/// as its own mirror image: with the mirrored copy of an edge `side/m`, of a piece that has no mirrored copy.
fn on_the_half_it_is_sewn_on(pattern: &Pattern, seam: Seam) -> Seam {
    let is_image = |edge: &EdgeRef| {
        edge.copy == Copy::Mirrored
            && edge.edge.mirror_of().is_some()
            && pattern.find(&edge.piece).is_some_and(|piece| !piece.has_mirrored_copy())
    };
    if seam.is_to_own_mirror() || !seam.edges().any(|run| is_image(&run.edge)) {
        return seam;
    }
    seam.mirrored()
}

/// What every edge says, layer by layer; none is named by more than are sewn to one edge.
fn layers<'a>(pattern: &Pattern, declared: &[DeclaredEdge<'a>]) -> Result<Vec<SaidLayer<'a>>, ReadError> {
    let mut said = Vec::new();
    let mut named: FxHashMap<EdgeRef, usize> = FxHashMap::default();
    for says in declared {
        let Some(sewn_to) = &says.sewn_to else { continue };
        let given = says.eases.len();
        if given > sewn_to.layers().len() {
            let declared = match sewn_to.layers().len() {
                0 => "says that it is sewn to nothing".to_owned(),
                count => format!("declares {count}"),
            };
            let what = format!("ease is given for {}, but the edge {declared}", counted(given, "seam"));
            return Err(bad_seam(says, what, "give one ease for each seam, with ; between them"));
        }
        for (layer, partner) in sewn_to.layers().iter().enumerate() {
            for edge in &partner.edges {
                let count = named.entry(settle(pattern, edge)).or_default();
                *count += 1;
                if *count > MOST_LAYERS {
                    let what = format!("over {MOST_LAYERS} edges say that they are sewn to `{edge}`");
                    return Err(bad_seam(says, what, "take out what is not sewn to it"));
                }
            }
            said.push(SaidLayer {
                node: says.node,
                edge: says.edge.clone(),
                partner: Partner {
                    edges: partners(pattern, says, partner)?,
                    from: partner.from.as_ref().map(|from| from.settled(pattern)),
                },
                ease: says.eases.get(layer).copied(),
            });
        }
    }
    Ok(said)
}

/// The edges of one layer, each of which exists and stands there once.
fn partners(pattern: &Pattern, says: &DeclaredEdge, partner: &Partner) -> Result<Vec<EdgeRef>, ReadError> {
    let mut edges: Vec<EdgeRef> = Vec::new();
    for edge in &partner.edges {
        let edge = settle(pattern, edge);
        pattern.edge(&edge).map_err(|refusal| ReadError::at(says.node, refusal))?;
        edges.push(edge);
    }
    let sides = agreed::refuse_sewn_to_itself(std::slice::from_ref(&says.edge), &edges);
    sides.map_err(|refusal| ReadError::at(says.node, refusal))?;
    Ok(edges)
}

fn bad_seam(says: &DeclaredEdge, what: impl std::fmt::Display, way_out: impl Into<Advice>) -> ReadError {
    ReadError::at(says.node, Refusal::new(RefusalKind::BadSeam, &says.edge, what, way_out))
}

/// What is said, found by the edge that says it.
struct ByEdge<'a, 'b> {
    said: &'b [SaidLayer<'a>],
    by_edge: FxHashMap<(&'b str, &'b str), Vec<usize>>,
}

impl<'a, 'b> ByEdge<'a, 'b> {
    fn of(said: &'b [SaidLayer<'a>]) -> ByEdge<'a, 'b> {
        let mut by_edge: FxHashMap<(&str, &str), Vec<usize>> = FxHashMap::default();
        for (i, says) in said.iter().enumerate() {
            by_edge.entry((says.edge.piece.as_str(), says.edge.edge.as_str())).or_default().push(i);
        }
        ByEdge { said, by_edge }
    }

    fn on(&self, edge: &EdgeRef) -> Vec<usize> {
        self.by_edge.get(&(edge.piece.as_str(), edge.edge.as_str())).cloned().unwrap_or_default()
    }

    /// What an edge is said to be sewn to by one of its layers, on the copy of it that is meant.
    fn partner_of(&self, i: usize, copy: Copy) -> Vec<EdgeRef> {
        let edges = &self.said[i].partner.edges;
        match copy {
            Copy::Drawn => edges.clone(),
            Copy::Mirrored => edges.iter().map(EdgeRef::mirrored).collect(),
        }
    }

    /// What the partners of a seam say of it: who, and the run that they say they are sewn to.
    ///
    /// # Errors
    ///
    /// Refuses a partner that names the other copy of the edge, where the edge does not say so too.
    fn answers(&self, says: &SaidLayer) -> Result<Vec<(usize, Vec<EdgeRef>)>, ReadError> {
        let (mut answers, mut others) = (Vec::new(), Vec::new());
        for partner in says.partner.edges.iter().filter(|partner| !partner.same_edge(&says.edge)) {
            for i in self.on(partner) {
                let run = self.partner_of(i, partner.copy);
                if run.contains(&says.edge) {
                    answers.push((i, run));
                } else if run.contains(&says.edge.mirrored()) {
                    others.push((i, partner.mirrored()));
                }
            }
        }
        let says_too = |partner: &EdgeRef| {
            self.on(&says.edge).into_iter().any(|i| self.said[i].partner.edges.contains(partner))
        };
        match others.iter().find(|(_, partner)| answers.is_empty() && !says_too(partner)) {
            Some((i, _)) => Err(disagree(says, &self.said[*i])),
            None => Ok(answers),
        }
    }
}

/// Puts together what both sides of a seam say. Where an edge is sewn to the same edges in two layers, the first that it
/// says goes with the first that they say.
fn paired<'a>(said: &[SaidLayer<'a>]) -> Result<Vec<Unlaid<'a>>, ReadError> {
    let by_edge = ByEdge::of(said);
    let mut used = vec![false; said.len()];
    let mut seams = Vec::new();
    for (i, says) in said.iter().enumerate() {
        if used[i] {
            continue;
        }
        used[i] = true;
        let mut answers = by_edge.answers(says)?;
        answers.retain(|(j, _)| !used[*j]);
        let first = answers.first().map_or(vec![says.edge.clone()], |(_, run)| run.clone());
        let again = by_edge
            .on(&says.edge)
            .into_iter()
            .any(|j| !used[j] && said[j].partner.edges == says.partner.edges);
        if let Some((other, _)) = answers.iter().find(|(_, run)| *run != first && !again) {
            return Err(disagree(says, &said[*other]));
        }
        answers.retain(|(_, run)| *run == first);
        answers.dedup_by(|one, other| said[one.0].edge == said[other.0].edge);
        let mut seam = Unlaid {
            node: says.node,
            first,
            second: says.partner.edges.clone(),
            from: says.partner.from.clone(),
            from_first: None,
            ease: says.given_ease(Side::First),
        };
        for (j, _) in answers {
            used[j] = true;
            let says_as_drawn = by_edge.partner_of(j, Copy::Drawn) == seam.first;
            let copy = if says_as_drawn { Copy::Drawn } else { Copy::Mirrored };
            agree_on_from(&mut seam.from_first, &said[j], copy)?;
            agree_on_ease(&mut seam.ease, said[j].given_ease(Side::Second))?;
        }
        for edge in seam.first.clone() {
            let same = |j: &usize| !used[*j] && by_edge.partner_of(*j, edge.copy) == seam.second;
            if let Some(j) = by_edge.on(&edge).into_iter().find(same).filter(|_| !edge.same_edge(&says.edge))
            {
                used[j] = true;
                agree_on_from(&mut seam.from, &said[j], edge.copy)?;
                agree_on_ease(&mut seam.ease, said[j].given_ease(Side::First))?;
            }
        }
        seams.push(seam);
    }
    Ok(seams)
}

/// Adds the ease that an edge gives whose seam is declared on its other side.
fn add_eases<'a>(seams: &mut [Unlaid<'a>], declared: &[DeclaredEdge<'a>]) -> Result<(), ReadError> {
    for says in declared.iter().filter(|says| says.sewn_to.is_none()) {
        let Some(said) = says.eases.first() else { continue };
        let holds = |side: &[EdgeRef]| side.iter().any(|edge| edge.same_edge(&says.edge));
        let mut held = seams.iter_mut().filter(|seam| holds(&seam.first) || holds(&seam.second));
        let (Some(seam), None, [_]) = (held.next(), held.next(), says.eases.as_slice()) else {
            let way_out = "say what it is sewn to with data-sewn-to, on this edge";
            return Err(bad_seam(says, "the edge gives ease, but not for which seam", way_out));
        };
        let side = if holds(&seam.first) { Side::First } else { Side::Second };
        let given = GivenEase { node: says.node, edge: says.edge.clone(), said: *said, side };
        agree_on_ease(&mut seam.ease, Some(given))?;
    }
    Ok(())
}

/// Holds the ease that an edge gives against what another of the seam gave before.
///
/// # Errors
///
/// Refuses two that are not the same, and names both edges: either may be the one that is wrong.
fn agree_on_ease<'a>(
    ease: &mut Option<GivenEase<'a>>,
    other: Option<GivenEase<'a>>,
) -> Result<(), ReadError> {
    match (ease.as_ref(), other) {
        (Some(one), Some(other)) if (one.of_first() - other.of_first()).abs() > SAME_LENGTH => {
            let what = format!(
                "the edges of the seam give different ease: {} here, and `{}` makes it {}",
                other.said,
                one.edge,
                one.as_said_on(other.side)
            );
            let way_out = "give it once, on the longer side";
            Err(ReadError::at(other.node, Refusal::new(RefusalKind::BadSeam, &other.edge, what, way_out)))
        }
        (None, other) => {
            *ease = other;
            Ok(())
        }
        _ => Ok(()),
    }
}

impl GivenEase<'_> {
    /// By how much the first side is longer, mm.
    fn of_first(&self) -> f64 {
        self.as_said_on(Side::First).mm()
    }

    /// The same as an edge on a side of the seam would say it.
    fn as_said_on(&self, side: Side) -> Length {
        if side == self.side { self.said } else { Length::from_mm(-self.said.mm()) }
    }
}

impl<'a> SaidLayer<'a> {
    /// The ease that it gives, as an edge of a side of the seam.
    fn given_ease(&self, side: Side) -> Option<GivenEase<'a>> {
        self.ease.map(|said| GivenEase { node: self.node, edge: self.edge.clone(), said, side })
    }
}

/// Holds what an edge says on a copy of it of where the sewing begins against what was said before.
fn agree_on_from(from: &mut Option<SewnFrom>, says: &SaidLayer, copy: Copy) -> Result<(), ReadError> {
    let said = says.partner.from.as_ref().map(|from| match copy {
        Copy::Drawn => from.clone(),
        Copy::Mirrored => from.mirrored(),
    });
    match (from.as_ref(), said) {
        (Some(one), Some(other)) if *one != other => {
            let what = format!("its edges say that it is sewn from `{one}` and from `{other}`");
            let refusal = Refusal::new(RefusalKind::BadSeam, &says.edge, what, "name one of the two");
            Err(ReadError::at(says.node, refusal))
        }
        (None, said) => {
            *from = said;
            Ok(())
        }
        _ => Ok(()),
    }
}

fn disagree(says: &SaidLayer, other: &SaidLayer) -> ReadError {
    ReadError::at(
        says.node,
        Refusal::new(
            RefusalKind::BadSeam,
            &says.edge,
            format!("`{}` and its partner `{}` do not say the same of their seam", says.edge, other.edge),
            "declare the seam on one side only, or make both agree",
        ),
    )
}

impl Unlaid<'_> {
    /// The seam, its two starts meeting.
    fn laid(&self, pattern: &Pattern, joins: &Joins) -> Result<Seam, ReadError> {
        let at = |refusal| ReadError::at(self.node, refusal);
        let ease = Length::from_mm(self.ease.as_ref().map_or(0.0, GivenEase::of_first));
        let as_first = |from| orient(pattern, joins, &self.first, &self.second, from).map_err(at);
        let as_second = |from| orient(pattern, joins, &self.second, &self.first, from).map_err(at);
        let (first, second) = match (&self.from, &self.from_first) {
            (None, Some(from)) => {
                let (second, first) = as_second(Some(from))?;
                (first, second)
            }
            (from, None) => as_first(from.as_ref())?,
            (Some(from @ SewnFrom::Corner { .. }), Some(from_first @ SewnFrom::Corner { .. })) => {
                let edges = (self.first.as_slice(), self.second.as_slice());
                orient_at_corners(pattern, joins, edges, (from_first, from)).map_err(at)?
            }
            (Some(SewnFrom::Corners(ends)), Some(SewnFrom::Corners(ends_of_first))) => {
                let first = entered_at(&self.first, ends_of_first).map_err(at)?;
                (first, entered_at(&self.second, ends).map_err(at)?)
            }
            (Some(from), Some(from_first)) => {
                let (first, second) = as_first(Some(from))?;
                let (other_second, other_first) = as_second(Some(from_first))?;
                let same = (&first, &second) == (&other_first, &other_second)
                    || (first.reversed(), second.reversed()) == (other_first, other_second);
                if !same {
                    let names = format!("{} + {}", first.names(), second.names());
                    let what = format!("`from {from}` and `from {from_first}` lay different ends together");
                    let way_out = "declare the seam on one side only, or make both agree";
                    return Err(at(Refusal::new(RefusalKind::BadSeam, names, what, way_out)));
                }
                (first, second)
            }
        };
        Ok(Seam { first, second, ease })
    }
}

/// Gives each edge its finish: as said, else a seam where it is sewn and free where it is not.
fn finish(pattern: &mut Pattern, declared: &[DeclaredEdge]) -> Result<(), ReadError> {
    let mut sewn: FxHashSet<(String, String)> = FxHashSet::default();
    for seam in pattern.seams() {
        for run in seam.edges() {
            sewn.insert((run.edge.piece.to_string(), run.edge.edge.to_string()));
        }
    }
    for says in declared {
        let is_sewn = sewn.contains(&(says.edge.piece.to_string(), says.edge.edge.to_string()));
        let to_nothing = says.sewn_to == Some(SewnTo::Nothing);
        if to_nothing && is_sewn {
            return Err(bad_seam(
                says,
                "the edge says that it is sewn to nothing, but another is sewn to it",
                "take one of the two back",
            ));
        }
        let finish = says.finish.unwrap_or(if is_sewn || to_nothing { Finish::Seam } else { Finish::Free });
        if finish == Finish::Fold && is_sewn {
            return Err(ReadError::at(
                says.node,
                Refusal::new(
                    RefusalKind::BadSeam,
                    &says.edge,
                    "the edge is a fold, but is sewn to another",
                    "make it a seam (data-finish=\"seam\"), or take the seam off it",
                ),
            ));
        }
        let piece = pattern.piece_mut(&says.edge.piece)?;
        let id = piece.edge_named(&says.edge.edge)?;
        let settings = piece.edge_settings(id);
        *settings.finish = finish;
        *settings.unsewn = if to_nothing { Unsewn::Meant } else { Unsewn::Forgotten };
    }
    Ok(())
}
