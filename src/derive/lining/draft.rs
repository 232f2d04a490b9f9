//! A copy while its lines are drawn otherwise: what stands on an edge goes along, and each edge knows what of it still lies on
//! the original's.

use crate::curve::{Curve, Outline, Point};
use crate::pattern::{
    Copy, Dart, DartShape, Edge, EdgeName, LaidOn, LaidPart, LaidStretch, Level, LiesTo, Notch, Piece,
    Refusal, RefusalKind,
};
use crate::tolerance::{ON_OUTLINE, SAME_CUT, WELD};

/// An edge of a draft.
#[derive(Clone, Debug)]
pub(super) struct LiningEdge {
    pub edge: Edge,
    /// The stretch of it that lies on the original's edge of its name, and where on that; walk distances.
    lies: Option<LiesAlong>,
}

#[derive(Clone, Copy, Debug)]
struct LiesAlong {
    own: (f64, f64),
    along: (f64, f64),
}

impl LiesAlong {
    /// What is left where the edge goes from one of its old walk distances to another.
    fn within(self, from: f64, to: f64) -> Option<LiesAlong> {
        let (start, end) = (self.own.0.max(from), self.own.1.min(to));
        let along = |at: f64| self.along.0 + at - self.own.0;
        (end - start > SAME_CUT)
            .then(|| LiesAlong { own: (start - from, end - from), along: (along(start), along(end)) })
    }

    fn shifted(self, by: f64) -> LiesAlong {
        LiesAlong { own: (self.own.0 + by, self.own.1 + by), along: self.along }
    }
}

/// A copy in the making.
#[derive(Clone, Debug)]
pub(super) struct LiningDraft {
    /// Everything but the edges, darts and notches.
    base: Piece,
    /// Clockwise.
    pub edges: Vec<LiningEdge>,
    pub darts: Vec<Dart>,
    pub notches: Vec<Notch>,
}

impl LiningDraft {
    pub(super) fn of(copy: Piece) -> LiningDraft {
        let edges = copy.edges().iter().map(|edge| {
            let whole = (0.0, edge.curve.length());
            LiningEdge { edge: edge.clone(), lies: Some(LiesAlong { own: whole, along: whole }) }
        });
        LiningDraft {
            edges: edges.collect(),
            darts: copy.darts.clone(),
            notches: copy.notches.clone(),
            base: copy,
        }
    }

    pub(super) fn base(&self) -> &Piece {
        &self.base
    }

    pub(super) fn base_mut(&mut self) -> &mut Piece {
        &mut self.base
    }

    pub(super) fn find(&self, name: &EdgeName) -> Option<usize> {
        self.edges.iter().position(|edge| edge.edge.name == *name)
    }

    pub(super) fn next(&self, at: usize) -> usize {
        (at + 1) % self.edges.len()
    }

    pub(super) fn previous(&self, at: usize) -> usize {
        (at + self.edges.len() - 1) % self.edges.len()
    }

    pub(super) fn curve(&self, at: usize) -> &Curve {
        &self.edges[at].edge.curve
    }

    /// The outline as it is drawn now.
    pub(super) fn outline(&self) -> Result<Outline, Refusal> {
        Ok(Outline::welded_within(self.edges.iter().map(|edge| edge.edge.curve.clone()), WELD)?)
    }

    /// An edge that goes on straight beyond its ends.
    pub(super) fn extend(&mut self, at: usize, before: f64, after: f64) -> Result<(), Refusal> {
        let curve = self.curve(at).run_on(before, after);
        let lies = self.edges[at].lies.map(|lies| lies.shifted(before));
        self.redraw(at, curve, |place| Some(place + before))?;
        self.edges[at].lies = lies;
        Ok(())
    }

    /// What is left of an edge between two walk distances.
    pub(super) fn trim(&mut self, at: usize, from: f64, to: f64) -> Result<(), Refusal> {
        let curve = self.curve(at).stretch(from, to)?;
        let lies = self.edges[at].lies.and_then(|lies| lies.within(from, to));
        self.redraw(at, curve, |place| {
            (place >= from - SAME_CUT && place <= to + SAME_CUT).then(|| (place - from).clamp(0.0, to - from))
        })?;
        self.edges[at].lies = lies;
        Ok(())
    }

    /// An edge drawn anew but between two of its walk distances, if it keeps any; what is kept begins so far along the new one.
    pub(super) fn redraw_between(
        &mut self,
        at: usize,
        curve: Curve,
        kept: Option<(f64, f64)>,
        begins: f64,
        map: impl Fn(f64) -> Option<f64>,
    ) -> Result<(), Refusal> {
        let lies = kept.and_then(|(from, to)| self.edges[at].lies?.within(from, to));
        self.redraw(at, curve, map)?;
        self.edges[at].lies = lies.map(|lies| lies.shifted(begins));
        Ok(())
    }

    /// An edge drawn as another line; what stands on it goes to the new walk distances. A notch that has none is gone.
    fn redraw(&mut self, at: usize, curve: Curve, map: impl Fn(f64) -> Option<f64>) -> Result<(), Refusal> {
        let name = self.edges[at].edge.name.clone();
        let length = curve.length();
        self.notches.retain_mut(|notch| {
            if notch.edge != name {
                return true;
            }
            let to = map(notch.at);
            notch.at = to.unwrap_or(notch.at).clamp(0.0, length);
            to.is_some()
        });
        for dart in &mut self.darts {
            let lost = dart.carry_mouth(&name, |place, _| map(place)).err();
            if let Some(lost) = lost {
                return Err(Refusal::new(
                    RefusalKind::BadDart,
                    format!("{}.{lost}", self.base.name()),
                    format!("the dart opens where the lining ends on `{name}`"),
                    "pivot the dart away first, or turn it into a seam",
                ));
            }
        }
        self.edges[at].edge.curve = curve;
        self.edges[at].lies = None;
        Ok(())
    }

    /// Puts a line in place of the edges from one up to another, clockwise.
    pub(super) fn replace(&mut self, first: usize, last: usize, by: Edge) {
        let count = self.edges.len();
        let gone = (last + count - first) % count + 1;
        let names: Vec<EdgeName> =
            (0..gone).map(|i| self.edges[(first + i) % count].edge.name.clone()).collect();
        self.notches.retain(|notch| !names.contains(&notch.edge));
        self.darts.retain(|dart| dart.mouth().is_none_or(|mouth| !names.contains(&mouth.edge)));
        let kept = (1..=count - gone).map(|i| self.edges[(last + i) % count].clone()).collect::<Vec<_>>();
        self.edges = kept;
        self.edges.push(LiningEdge { edge: by, lies: None });
    }

    /// The piece, and how it lies on its original.
    pub(super) fn finish(self, source: &Piece) -> Result<(Piece, LaidPart), Refusal> {
        let names: Vec<EdgeName> = self.edges.iter().map(|edge| edge.edge.name.clone()).collect();
        let lies: Vec<Option<LiesAlong>> = self.edges.iter().map(|edge| edge.lies).collect();
        let mut piece =
            Piece::new(self.base.name().clone(), self.edges.into_iter().map(|edge| edge.edge).collect())?;
        let old = self.base;
        piece.cut = old.cut;
        piece.cloth = old.cloth.clone();
        piece.purpose = old.purpose;
        piece.derived = old.derived.clone();
        let outline = piece.outline().clone();
        let is_on =
            |point: Point| outline.contains(point) || piece.nearest_on_outline(point).distance <= ON_OUTLINE;
        let tips_on = |dart: &Dart| match &dart.shape {
            DartShape::Open { .. } => true,
            DartShape::Double { .. } => dart.tips().into_iter().all(is_on),
        };
        // Lines that were joined may be shorter than their parts by what was welded.
        let length_of = |edge: &EdgeName| Some(piece.edge(piece.find_edge(edge)?).curve.length());
        let darts = self.darts.into_iter().filter(tips_on).map(|dart| dart.within(length_of)).collect();
        let points = old.points.iter().filter(|point| is_on(point.at)).cloned().collect();
        let inside = |curve: &Curve| is_on(curve.start()) && is_on(curve.end());
        let styles = old.style_lines.iter().filter(|style| inside(&style.curve)).cloned().collect();
        let levels = old.levels.iter().filter_map(|level| clipped(level, &outline, &is_on)).collect();
        let grain = old.grainline.as_ref().map(|grain| {
            let mut grain = grain.clone();
            if !(is_on(grain.start) && is_on(grain.end)) {
                // Where it stood there is nothing left: it goes to the middle, at half its length.
                let half = (grain.end - grain.start) / 4.0;
                let centre = piece.bounds().center();
                (grain.start, grain.end) = (centre - half, centre + half);
            }
            grain
        });
        let corners = old
            .corners
            .iter()
            .filter(|set| names.contains(&set.edges.0) && names.contains(&set.edges.1))
            .cloned()
            .collect();
        (piece.darts, piece.points, piece.style_lines, piece.levels) = (darts, points, styles, levels);
        (piece.notches, piece.grainline, piece.corners) = (self.notches, grain, corners);
        let stretches = names.into_iter().zip(lies).filter_map(|(name, lies)| {
            let lies = lies?;
            let length = piece.find_edge(&name).map_or(0.0, |id| piece.edge(id).curve.length());
            let over = (lies.own.1 - length).max(0.0);
            let lies = LiesAlong {
                own: (lies.own.0, lies.own.1 - over),
                along: (lies.along.0, lies.along.1 - over),
            };
            Some(LaidStretch {
                edge: name.clone(),
                stretch: lies.own,
                on: LaidOn::Edge(name),
                along: lies.along,
                inside: 0.0,
                further: 0.0,
                lies: LiesTo::Right,
            })
        });
        let laid = LaidPart { on: source.name().clone(), copy: Copy::Drawn, stretches: stretches.collect() };
        Ok((piece, laid))
    }
}

/// What of a level lies on the piece: its stretches cut at the outline.
fn clipped(level: &Level, outline: &Outline, is_on: &dyn Fn(Point) -> bool) -> Option<Level> {
    let mut stretches = Vec::new();
    for (start, end) in &level.stretches {
        let Ok(line) = Curve::line(*start, *end) else { continue };
        let mut cuts = vec![0.0, line.length()];
        cuts.extend(outline.curves().iter().flat_map(|curve| line.crossings(curve)).map(|met| met.at));
        cuts.sort_by(f64::total_cmp);
        let parts = cuts.windows(2).filter(|part| part[1] - part[0] > SAME_CUT);
        let parts = parts.filter(|part| is_on(line.point_at(f64::midpoint(part[0], part[1]))));
        stretches.extend(parts.map(|part| (line.point_at(part[0]), line.point_at(part[1]))));
    }
    (!stretches.is_empty()).then(|| Level { stretches, ..level.clone() })
}

/// A piece with an edge in parts of given names and lengths, clockwise.
pub(in crate::derive) fn divided(
    piece: &Piece,
    name: &EdgeName,
    parts: &[(EdgeName, f64)],
) -> Result<Piece, Refusal> {
    let Some(id) = piece.find_edge(name) else { return Ok(piece.clone()) };
    let edge = piece.edge(id);
    let mut at = 0.0;
    let mut stretches = Vec::new();
    for (i, (name, length)) in parts.iter().enumerate() {
        let to = if i + 1 == parts.len() { edge.curve.length() } else { at + length };
        stretches.push(Edge { name: name.clone(), curve: edge.curve.stretch(at, to)?, ..edge.clone() });
        at = to;
    }
    let edges = piece
        .edges()
        .iter()
        .flat_map(|own| if own.name == *name { stretches.clone() } else { vec![own.clone()] });
    let mut new = Piece::new(piece.name().clone(), edges.collect())?;
    new.cut = piece.cut;
    new.cloth.clone_from(&piece.cloth);
    new.purpose = piece.purpose;
    new.derived.clone_from(&piece.derived);
    new.darts.clone_from(&piece.darts);
    new.notches.clone_from(&piece.notches);
    new.levels.clone_from(&piece.levels);
    new.points.clone_from(&piece.points);
    new.style_lines.clone_from(&piece.style_lines);
    new.grainline.clone_from(&piece.grainline);
    new.corners.clone_from(&piece.corners);
    Ok(new)
}
