//! Seams after pieces were made anew: each run names the edges where its cloth lies now.

use crate::parts::assemble::{Assembled, Mapped};
use crate::pattern::{Copy, EdgeRef, Piece, Run, RunEdge, Seam, Side, Travel};
use crate::units::Length;

/// The seams of a pattern after some pieces were put in place of others. A seam whose edges are gone is left out.
pub(crate) fn seams_after(seams: &[Seam], old: &[&Piece], new: &[Assembled]) -> Vec<Seam> {
    let map: Vec<&Mapped> = new.iter().flat_map(|made| &made.map).collect();
    let redrawn: Vec<&(EdgeRef, EdgeRef)> = new.iter().flat_map(|made| &made.redrawn).collect();
    let follow = Followed { old, map, redrawn };
    let mut carried: Vec<Seam> = Vec::new();
    for seam in seams {
        carried.extend(follow.seam(seam));
        if follow.is_sewn_on_other_half(seam)
            && !seams.iter().any(|other| follow.is_mirror_image(seam, other))
        {
            carried.extend(follow.seam(&seam.mirrored()));
        }
    }
    follow.combine(carried)
}

/// A run of edges after some pieces were put in place of others; none where all its cloth is gone.
pub(crate) fn run_after(run: &Run, old: &[&Piece], new: &[Assembled]) -> Option<Run> {
    let map = new.iter().flat_map(|made| &made.map).collect();
    let redrawn = new.iter().flat_map(|made| &made.redrawn).collect();
    Followed { old, map, redrawn }.run(run)
}

/// Whether a seam stays itself when both its sides are mirrored.
fn is_own_mirror_image(seam: &Seam) -> bool {
    let (first, second) = (seam.first.mirrored(), seam.second.mirrored());
    (has_same_edges(&first, &seam.first) && has_same_edges(&second, &seam.second))
        || (has_same_edges(&first, &seam.second) && has_same_edges(&second, &seam.first))
}

fn has_same_edges(a: &Run, b: &Run) -> bool {
    a.edges().len() == b.edges().len()
        && a.edges().iter().all(|edge| b.edges().iter().any(|other| other.edge == edge.edge))
}

struct Followed<'a> {
    old: &'a [&'a Piece],
    map: Vec<&'a Mapped>,
    redrawn: Vec<&'a (EdgeRef, EdgeRef)>,
}

impl Followed<'_> {
    fn seam(&self, seam: &Seam) -> Option<Seam> {
        seam.on(|run| self.run(run))
    }

    /// Whether a seam is sewn on the other half as well of a piece whose mirrored copy is drawn now: it holds an edge of
    /// it, but not both halves, to which the other side is sewn once.
    fn is_sewn_on_other_half(&self, seam: &Seam) -> bool {
        let opened = |edge: &EdgeRef| self.is_opened(edge);
        let sides = [&seam.first, &seam.second];
        let mut opened =
            sides.into_iter().filter(|run| run.edges().iter().any(|run| opened(&run.edge))).peekable();
        opened.peek().is_some()
            && !opened.any(|run| has_same_edges(&run.mirrored(), run))
            && !is_own_mirror_image(seam)
    }

    /// Whether the mirrored copy of an edge is drawn now.
    fn is_opened(&self, edge: &EdgeRef) -> bool {
        self.map.iter().any(|mapped| mapped.old.same_edge(edge) && mapped.old.copy == Copy::Mirrored)
    }

    /// Whether another seam is the same on the other half of the garment. Where a piece was opened out before, the
    /// mirrored edge is drawn there, under a name of its own; on one that is opened now an edge of that name is another.
    fn is_mirror_image(&self, seam: &Seam, other: &Seam) -> bool {
        let is_image = |edge: &EdgeRef, image: &EdgeRef| {
            let opened_before = || {
                let name = edge.edge.mirror_of().unwrap_or_else(|| edge.edge.on_mirrored_half());
                !self.is_opened(edge) && *image == EdgeRef { edge: name, ..edge.clone() }
            };
            *image == edge.mirrored() || opened_before()
        };
        seam != other
            && seam.edges().count() == other.edges().count()
            && seam.edges().all(|run| other.edges().any(|image| is_image(&run.edge, &image.edge)))
    }

    fn run(&self, run: &Run) -> Option<Run> {
        let mut edges: Vec<RunEdge> = Vec::new();
        for run_edge in run.edges() {
            for next in self.run_edge(run_edge) {
                if edges.last() != Some(&next) {
                    edges.push(next);
                }
            }
        }
        Run::new(edges)
    }

    fn run_edge(&self, run_edge: &RunEdge) -> Vec<RunEdge> {
        if !self.old.iter().any(|piece| *piece.name() == run_edge.edge.piece) {
            return vec![run_edge.clone()];
        }
        let redrawn = self.redrawn.iter().find(|(old, _)| old.same_edge(&run_edge.edge));
        if let Some((_, new)) = redrawn {
            let edge = EdgeRef { copy: run_edge.edge.copy, ..new.clone() };
            return vec![RunEdge { edge, travel: run_edge.travel }];
        }
        let of_copy = |copy: Copy| {
            self.map.iter().filter(move |m| m.old.same_edge(&run_edge.edge) && m.old.copy == copy).copied()
        };
        let opened = run_edge.edge.copy == Copy::Mirrored && of_copy(Copy::Mirrored).next().is_some();
        let (source, copy) = match opened {
            true => (Copy::Mirrored, Copy::Drawn),
            false => (Copy::Drawn, run_edge.edge.copy),
        };
        let mut stretches: Vec<&Mapped> = of_copy(source).collect();
        stretches.sort_by(|a, b| a.from.total_cmp(&b.from));
        if run_edge.travel == Travel::Anticlockwise {
            stretches.reverse();
        }
        stretches
            .into_iter()
            .map(|mapped| RunEdge {
                edge: EdgeRef { copy, ..mapped.new.clone() },
                travel: match mapped.way {
                    Travel::Clockwise => run_edge.travel,
                    Travel::Anticlockwise => run_edge.travel.other(),
                },
            })
            .collect()
    }

    /// Where two edges of different seams became one edge, their seams become one: its other side is walked through
    /// both partners, in the order in which the cloth lies.
    fn combine(&self, seams: Vec<Seam>) -> Vec<Seam> {
        let mut left: Vec<Seam> = Vec::new();
        for seam in seams {
            let joined =
                Side::BOTH.into_iter().filter(|mine| self.lies_in_parts(seam.side(*mine))).find_map(|mine| {
                    let edge = only_edge(seam.side(mine))?;
                    left.iter().enumerate().find_map(|(place, other)| {
                        let holds =
                            |side: &Side| only_edge(other.side(*side)).is_some_and(|e| e.same_edge(edge));
                        let theirs = Side::BOTH.into_iter().find(holds)?;
                        Some((place, self.joined(&seam, mine, other, theirs)?))
                    })
                });
            match joined {
                Some((place, joined)) => left[place] = joined,
                None => left.push(seam),
            }
        }
        left
    }

    /// Whether the edge of a run was made of two or more old edges.
    fn lies_in_parts(&self, run: &Run) -> bool {
        only_edge(run).is_some_and(|edge| {
            let mut sources = self.map.iter().filter(|m| m.new.same_edge(edge)).map(|m| &m.old);
            let first = sources.next();
            sources.any(|other| Some(other) != first)
        })
    }

    /// One seam of two whose sides `mine` and `theirs` are the same edge, made of two old ones.
    fn joined(&self, seam: &Seam, mine: Side, other: &Seam, theirs: Side) -> Option<Seam> {
        let edge = only_edge(seam.side(mine))?;
        let partner = |seam: &Seam, side: Side| -> Option<Run> {
            let clockwise = seam.side(side).edges().first()?.travel == Travel::Clockwise;
            let run = seam.side(side.other());
            Some(if clockwise { run.clone() } else { run.reversed() })
        };
        let (a, b) = (partner(seam, mine)?, partner(other, theirs)?);
        if a == b {
            return None;
        }
        let place = |partner: &Run| self.place_of_partner(edge, partner);
        let (first, second) = if place(&a) <= place(&b) { (a, b) } else { (b, a) };
        let edges: Vec<RunEdge> = first.edges().iter().chain(second.edges()).cloned().collect();
        let ease = |seam: &Seam, side| match side {
            Side::First => seam.ease.mm(),
            Side::Second => -seam.ease.mm(),
        };
        Some(Seam {
            first: Run::new(vec![RunEdge { edge: edge.clone(), travel: Travel::Clockwise }])?,
            second: Run::new(edges)?,
            ease: Length::from_mm(ease(seam, mine) + ease(other, theirs)),
        })
    }

    /// Where on a joined edge lies the old edge that is sewn to a partner: mirrored copies of the partner belong to
    /// the mirrored half.
    fn place_of_partner(&self, edge: &EdgeRef, partner: &Run) -> f64 {
        let mirrored = partner.edges().iter().all(|run| run.edge.copy == Copy::Mirrored);
        let copy = if mirrored { Copy::Mirrored } else { Copy::Drawn };
        let of_edge = self.map.iter().filter(|m| m.new.same_edge(edge) && m.old.copy == copy);
        of_edge.map(|mapped| mapped.new_from).fold(f64::INFINITY, f64::min)
    }
}

fn only_edge(run: &Run) -> Option<&EdgeRef> {
    match run.edges() {
        [only] => Some(&only.edge),
        _ => None,
    }
}
