//! A piece: one shape to cut, and everything that stands on it.

use crate::curve::{Curve, Motion, Outline, Point, Rect, Vec2};
use crate::pattern::weld::{outline_of, refuse_name_twice, turn_round, weld};
use crate::pattern::{
    ClothName, CornerShape, Cut, Dart, DartName, DartShape, Derived, Edge, EdgeEnd, EdgeName, EdgeRef,
    EdgeSettings, Finish, Grainline, Kept, Level, LevelName, MadeFrom, Making, Mark, NamedPoint, Notch,
    PieceName, PointName, Purpose, Refusal, RefusalKind, ShapedCorner, StyleLine,
};
use crate::tolerance::SAME_CUT;

/// How an edge stands within its piece, counted clockwise from the first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct EdgeId(pub(crate) usize);

/// One shape to cut. Its outline is the seamline, clockwise as seen on the sheet, its edges' ends equal bit
/// for bit.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    name: PieceName,
    edges: Vec<Edge>,
    outline: Outline,
    /// How many copies.
    pub cut: Cut,
    /// Of which cloth.
    pub cloth: ClothName,
    /// What it is for.
    pub purpose: Purpose,
    /// What it was made from, where it follows other pieces.
    pub derived: Option<Derived>,
    /// The darts.
    pub darts: Vec<Dart>,
    /// The notches.
    pub notches: Vec<Notch>,
    /// The levels that cross it.
    pub levels: Vec<Level>,
    /// The named points.
    pub points: Vec<NamedPoint>,
    /// The style lines.
    pub style_lines: Vec<StyleLine>,
    /// The grainline.
    pub grainline: Option<Grainline>,
    /// What is drawn on it but not understood.
    pub marks: Vec<Mark>,
    /// Corners with a shape of their own.
    pub corners: Vec<ShapedCorner>,
    /// What else stood on the drawn group.
    pub kept: Kept,
}

impl Piece {
    /// A piece from its edges in order around the outline, in either direction.
    ///
    /// Ends within the weld distance are made equal bit for bit; an outline drawn anticlockwise is turned
    /// round.
    ///
    /// # Errors
    ///
    /// Refuses an outline that is open (naming both ends and the gap in mm), crosses itself, encloses
    /// nothing, or has two edges of one name.
    pub fn new(name: PieceName, mut edges: Vec<Edge>) -> Result<Piece, Refusal> {
        refuse_name_twice(&name, &edges)?;
        weld(&name, &mut edges)?;
        let mut outline = outline_of(&edges)?;
        if outline.area() < 0.0 {
            turn_round(&mut edges);
            outline = outline_of(&edges)?;
        }
        let piece = Piece {
            name,
            edges,
            outline,
            cut: Cut::ONE,
            cloth: ClothName::main(),
            purpose: Purpose::Plain,
            derived: None,
            darts: Vec::new(),
            notches: Vec::new(),
            levels: Vec::new(),
            points: Vec::new(),
            style_lines: Vec::new(),
            grainline: None,
            marks: Vec::new(),
            corners: Vec::new(),
            kept: Kept::default(),
        };
        piece.refuse_crossing()?;
        Ok(piece)
    }

    fn refuse_crossing(&self) -> Result<(), Refusal> {
        if let Some(crossing) = self.outline.self_crossings().first() {
            let [a, b] = [crossing.first, crossing.second].map(|i| self.edges[i].name.clone());
            return Err(Refusal::new(
                RefusalKind::BadOutline,
                &self.name,
                format!(
                    "the outline crosses itself: edge `{a}` meets edge `{b}` at ({:.1}mm, {:.1}mm)",
                    crossing.point.x, crossing.point.y
                ),
                "redraw one of the two edges so that they meet only at corners",
            ));
        }
        if self.outline.area() <= 0.0 {
            return Err(Refusal::new(
                RefusalKind::BadOutline,
                &self.name,
                "the outline encloses nothing",
                "draw the edges around the piece",
            ));
        }
        Ok(())
    }

    /// Everything it holds.
    #[must_use]
    pub fn fields(&self) -> PieceFields<'_> {
        let Piece {
            name,
            edges,
            outline: _of_the_edges,
            cut,
            cloth,
            darts,
            notches,
            levels,
            points,
            style_lines,
            grainline,
            marks,
            corners,
            purpose,
            derived,
            kept,
        } = self;
        PieceFields {
            name,
            edges,
            cut,
            cloth,
            darts,
            notches,
            levels,
            points,
            style_lines,
            grainline: grainline.as_ref(),
            marks,
            corners,
            purpose,
            derived: derived.as_ref(),
            kept,
        }
    }

    /// The name.
    #[must_use]
    pub fn name(&self) -> &PieceName {
        &self.name
    }

    /// The same piece under another name.
    #[must_use]
    pub fn renamed(self, name: PieceName) -> Piece {
        Piece { name, ..self }
    }

    /// The same piece with other edges, clockwise as before; what stands on it stays as it is.
    ///
    /// # Errors
    ///
    /// As [`Piece::new`].
    pub(crate) fn with_edges(&self, edges: Vec<Edge>) -> Result<Piece, Refusal> {
        let Piece { edges, outline, .. } = Piece::new(self.name.clone(), edges)?;
        Ok(Piece { edges, outline, ..self.clone() })
    }

    /// The edges, clockwise.
    #[must_use]
    pub fn edges(&self) -> &[Edge] {
        &self.edges
    }

    /// The edges with how they stand, clockwise.
    pub fn edge_ids(&self) -> impl Iterator<Item = EdgeId> + use<> {
        (0..self.edges.len()).map(EdgeId)
    }

    /// An edge.
    #[must_use]
    pub fn edge(&self, id: EdgeId) -> &Edge {
        &self.edges[id.0]
    }

    /// Whether it is cut at all.
    #[must_use]
    pub fn is_cut(&self) -> bool {
        self.cloth != ClothName::none()
    }

    /// An edge's name with that of the piece.
    #[must_use]
    pub fn edge_ref(&self, id: EdgeId) -> EdgeRef {
        EdgeRef::new(self.name.clone(), self.edge(id).name.clone())
    }

    /// An edge's data other than its curve, to be changed in place.
    pub fn edge_settings(&mut self, id: EdgeId) -> EdgeSettings<'_> {
        self.edges[id.0].settings()
    }

    /// Gives an edge another name; whatever names it elsewhere is left to the caller.
    pub(super) fn set_edge_name(&mut self, id: EdgeId, name: EdgeName) {
        self.edges[id.0].name = name;
    }

    /// The shape that was set for the corner at which two edges meet.
    #[must_use]
    pub fn set_corner(&self, a: EdgeId, b: EdgeId) -> Option<&CornerShape> {
        let (a, b) = (&self.edge(a).name, &self.edge(b).name);
        self.corners.iter().find(|set| set.is_of(a, b)).map(|set| &set.shape)
    }

    /// The edge of a name.
    #[must_use]
    pub fn find_edge(&self, name: &EdgeName) -> Option<EdgeId> {
        self.edges.iter().position(|edge| edge.name == *name).map(EdgeId)
    }

    /// The edge of a name.
    ///
    /// # Errors
    ///
    /// Answers an unknown name with the nearest that exists.
    pub fn edge_named(&self, name: &EdgeName) -> Result<EdgeId, Refusal> {
        self.find_edge(name).ok_or_else(|| {
            Refusal::unknown("edge", name.as_str(), &self.name, self.edges.iter().map(|e| e.name.as_str()))
        })
    }

    /// The dart of a name.
    ///
    /// # Errors
    ///
    /// Answers an unknown name with the nearest that exists.
    pub fn dart_named(&self, name: &DartName) -> Result<&Dart, Refusal> {
        self.darts.iter().find(|dart| dart.name == *name).ok_or_else(|| {
            Refusal::unknown("dart", name.as_str(), &self.name, self.darts.iter().map(|d| d.name.as_str()))
        })
    }

    /// The point of a name.
    ///
    /// # Errors
    ///
    /// Answers an unknown name with the nearest that exists.
    pub fn point_named(&self, name: &PointName) -> Result<&NamedPoint, Refusal> {
        self.points.iter().find(|point| point.name == *name).ok_or_else(|| {
            let known = self.points.iter().map(|point| point.name.as_str());
            let refusal = Refusal::unknown("point", name.as_str(), &self.name, known);
            let is_edge = self.edges.iter().any(|edge| edge.name.as_str() == name.as_str());
            let way_out = match (is_edge, self.points.is_empty()) {
                (true, _) => format!("`{name}` is an edge: say where on it, as {name}@50% or {name}@75mm"),
                (false, true) => {
                    "it has none: name a place on an edge, as shoulder@40%, or the tip of a dart".to_owned()
                }
                (false, false) => return refusal,
            };
            Refusal { way_out: way_out.into(), ..refusal }
        })
    }

    /// The level of a name.
    ///
    /// # Errors
    ///
    /// Answers an unknown name with the nearest that exists.
    pub fn level_named(&self, name: &LevelName) -> Result<&Level, Refusal> {
        self.levels.iter().find(|level| level.name == *name).ok_or_else(|| {
            Refusal::unknown("level", name.as_str(), &self.name, self.levels.iter().map(|l| l.name.as_str()))
        })
    }

    /// The grainline.
    ///
    /// # Errors
    ///
    /// Refuses a piece without one.
    pub fn grain(&self) -> Result<&Grainline, Refusal> {
        self.grainline.as_ref().ok_or_else(|| {
            Refusal::new(
                RefusalKind::NotOfThatSort,
                &self.name,
                "the piece has no grainline",
                "draw one on it (data-kind=\"grainline\"), parallel to the selvedge",
            )
        })
    }

    /// The edge that comes next, clockwise.
    #[must_use]
    pub fn next(&self, id: EdgeId) -> EdgeId {
        EdgeId((id.0 + 1) % self.edges.len())
    }

    /// The edge that comes before, clockwise.
    #[must_use]
    pub fn previous(&self, id: EdgeId) -> EdgeId {
        EdgeId((id.0 + self.edges.len() - 1) % self.edges.len())
    }

    /// The edge that meets another at one of its ends.
    #[must_use]
    pub fn beside(&self, id: EdgeId, end: EdgeEnd) -> EdgeId {
        match end {
            EdgeEnd::First => self.previous(id),
            EdgeEnd::Last => self.next(id),
        }
    }

    /// The outline: all seamlines, clockwise.
    #[must_use]
    pub fn outline(&self) -> &Outline {
        &self.outline
    }

    /// The box around the outline.
    #[must_use]
    pub fn bounds(&self) -> Rect {
        self.outline().bounds()
    }

    /// The fold, if the piece is half.
    #[must_use]
    pub fn fold(&self) -> Option<EdgeId> {
        self.edges.iter().position(|edge| edge.finish == Finish::Fold).map(EdgeId)
    }

    /// The mirroring at the fold, if the piece is half.
    #[must_use]
    pub fn fold_mirroring(&self) -> Option<Motion> {
        let fold = &self.edge(self.fold()?).curve;
        Motion::mirror_in(fold.start(), fold.end()).ok()
    }

    /// Whether an edge goes on in the next one as one line of the garment: they bear one name but for its number, and are
    /// finished alike.
    #[must_use]
    pub fn goes_on(&self, edge: EdgeId) -> bool {
        let (edge, next) = (self.edge(edge), self.edge(self.next(edge)));
        edge.name != next.name && edge.name.is_numbered_like(&next.name) && edge.finish == next.finish
    }

    /// Whether it was made of others in a way.
    pub(crate) fn is_made(&self, by: Making) -> bool {
        self.derived.as_ref().is_some_and(|derived| derived.by == by)
    }

    /// The pieces with which it is sewn as one cloth: that of which it is a copy, or the parts of it that it lies on in one
    /// piece; none of a lining.
    #[must_use]
    pub fn one_cloth_with(&self) -> &[PieceName] {
        let derived = self.derived.as_ref().filter(|_| self.purpose != Purpose::Lining);
        match derived.map(|derived| (derived.by, &derived.from)) {
            Some((Making::Copy, MadeFrom::Pieces(pieces))) => pieces,
            _ => &[],
        }
    }

    /// Whether its mirror image is in the garment too: its other half beyond a fold, or a copy cut the other way up.
    #[must_use]
    pub fn has_mirrored_copy(&self) -> bool {
        self.fold().is_some() || (self.cut.twins == crate::pattern::Twins::Mirrored && self.cut.copies >= 2)
    }

    /// How many times the drawn shape counts in the garment: its copies, twice where it is half.
    #[must_use]
    pub fn times(&self) -> u32 {
        self.cut.copies * if self.fold().is_some() { 2 } else { 1 }
    }

    /// The area of the piece when its darts are folded out, mm².
    #[must_use]
    pub fn net_area(&self) -> f64 {
        self.outline().area() - self.darts.iter().map(|dart| self.dart_area(dart)).sum::<f64>()
    }

    /// The area that a dart folds away, mm².
    #[must_use]
    pub fn dart_area(&self, dart: &Dart) -> f64 {
        let (first, second) = dart.legs();
        let closing = match &dart.shape {
            DartShape::Double { .. } => None,
            DartShape::Open { mouth, .. } => self
                .find_edge(&mouth.edge)
                .and_then(|id| self.edge(id).curve.stretch(mouth.from, mouth.to).ok()),
        };
        let closing = closing.as_ref().map_or(0.0, Curve::swept_area);
        (closing + second.swept_area() - first.swept_area()).abs()
    }

    /// A point on an edge.
    #[must_use]
    pub fn point_on(&self, id: EdgeId, at: f64) -> Point {
        self.edge(id).curve.point_at(at)
    }

    /// The direction of the grain from start to end; where no grainline is drawn, down the sheet.
    #[must_use]
    pub fn grain_or_down(&self) -> Vec2 {
        self.grainline.as_ref().map_or(Vec2::new(0.0, 1.0), Grainline::direction)
    }

    /// On which edge a mark stands that was found on the outline: one where an opening begins or ends stands on the opening, of
    /// which it is a mark; any other where two edges meet, on the first of them.
    #[must_use]
    pub fn mark_on_outline(&self, mark: Point, near: OnOutline) -> OnOutline {
        let found = self.edge_ids().map(|edge| {
            let found = self.edge(edge).curve.nearest(mark);
            OnOutline { edge, at: found.at, distance: found.distance }
        });
        let mut there: Vec<OnOutline> =
            found.filter(|found| found.distance <= near.distance + SAME_CUT).collect();
        there.sort_by_key(|found| (self.edge(found.edge).open.is_none(), found.edge));
        there.into_iter().next().unwrap_or(near)
    }

    /// The place of an edge nearest to a point, and how far off it is.
    #[must_use]
    pub fn nearest_on_outline(&self, point: Point) -> OnOutline {
        let mut best = OnOutline { edge: EdgeId(0), at: 0.0, distance: f64::INFINITY };
        for id in self.edge_ids() {
            let found = self.edge(id).curve.nearest(point);
            if found.distance < best.distance {
                best = OnOutline { edge: id, at: found.at, distance: found.distance };
            }
        }
        best
    }
}

/// Everything that a piece holds, to be taken apart without `..`: a field that is added later then keeps whoever must look
/// at all of them from compiling until it is looked at.
#[derive(Clone, Copy, Debug)]
pub struct PieceFields<'a> {
    /// The name.
    pub name: &'a PieceName,
    /// The edges, clockwise; the outline is all of them.
    pub edges: &'a [Edge],
    /// How many copies.
    pub cut: &'a Cut,
    /// What it is for.
    pub purpose: &'a Purpose,
    /// What it was made from, where it follows other pieces.
    pub derived: Option<&'a Derived>,
    /// Of which cloth.
    pub cloth: &'a ClothName,
    /// The darts.
    pub darts: &'a [Dart],
    /// The notches.
    pub notches: &'a [Notch],
    /// The levels that cross it.
    pub levels: &'a [Level],
    /// The named points.
    pub points: &'a [NamedPoint],
    /// The style lines.
    pub style_lines: &'a [StyleLine],
    /// The grainline.
    pub grainline: Option<&'a Grainline>,
    /// What is drawn on it but not understood.
    pub marks: &'a [Mark],
    /// Corners with a shape of their own.
    pub corners: &'a [ShapedCorner],
    /// What else stood on the drawn group.
    pub kept: &'a Kept,
}

/// A place on the outline: an edge and the walk distance along its curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct On {
    pub edge: EdgeId,
    pub at: f64,
}

/// A place on the outline, and how far from it the point asked for lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OnOutline {
    /// The edge.
    pub edge: EdgeId,
    /// Walk distance along its curve.
    pub at: f64,
    /// Distance of the point asked for, mm.
    pub distance: f64,
}
