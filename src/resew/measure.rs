//! Measuring how the new pieces of a step lie on the old ones.
//!
//! Lines: each place on the outline of a part is carried by the part's motion; there must be a line of the new piece: its
//! outline, the side of a dart, or the other part that it was sewn to. The other way round each place on the new outline,
//! the mouths of darts apart, must be a place of a part's. Areas: the parts of an old piece must neither overlap nor
//! leave anything but its darts; in the new piece no two may lie over one another.

use kurbo::BezPath;
use serde::{Serialize, Serializer};

use crate::curve::{Curve, CurveError, Point, area_where};
use crate::pattern::{Declared, DeclaredKind, DrawnAnew, EdgeName, EdgeRef, Piece, PieceName};
use crate::resew::error::MeasureError;
use crate::resew::group::Group;
use crate::resew::lines::{MeasuredCurves, places};
use crate::resew::part::{CarriedPart, Extent, PieceHalf};
use crate::tolerance::{RESEWN_AREA, SAME_CUT};

/// The greatest distance between lines that should be one.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Deviation {
    /// The distance, mm.
    pub distance: f64,
    /// The old piece on which it was found.
    pub piece: PieceName,
    /// The edge on which it was found; none inside the piece, where it was cut.
    pub edge: Option<EdgeName>,
    /// The place on the sheet of the pattern before the step.
    #[serde(serialize_with = "place")]
    pub at: Point,
}

/// Pieces that exchanged cloth in a step, laid back.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ResewnGroup {
    /// The old pieces.
    pub from: Vec<PieceName>,
    /// The new pieces.
    pub to: Vec<PieceName>,
    /// How far edges lie off that the step does not declare to have drawn anew.
    pub held: Option<Deviation>,
    /// How far edges and cuts lie off that the step declares to have drawn anew.
    pub redrawn: Option<Deviation>,
    /// Area of old cloth that lies twice in the new pieces, mm².
    pub doubled: f64,
    /// Area of old cloth that is in no new piece, darts apart, mm².
    pub missing: f64,
    /// Area of darts taken out that is in the new pieces all the same, as where legs were redrawn to a nearer tip, mm².
    pub regained: f64,
    /// What the step declares of these pieces.
    pub declared: Vec<Declared>,
    /// By how much their area changed, darts folded out, mm².
    pub changed: f64,
    /// By how much the area changed beyond what is declared, mm².
    pub undeclared: f64,
}

fn place<S: Serializer>(at: &Point, serializer: S) -> Result<S::Ok, S::Error> {
    [at.x, at.y].serialize(serializer)
}

impl ResewnGroup {
    /// What is missing that went into darts whose legs were redrawn, mm²; none where none were.
    #[must_use]
    pub fn into_darts(&self) -> Option<f64> {
        self.declares(&[DeclaredKind::LegsRedrawn]).then_some(self.missing)
    }

    /// How far lines lie off that the step declares to have drawn anew; none where it declares nothing.
    #[must_use]
    pub fn redrawn_as_declared(&self) -> Option<&Deviation> {
        self.redrawn.as_ref().filter(|_| !self.declared.is_empty())
    }

    /// Whether something of a kind is declared.
    pub(super) fn declares(&self, kinds: &[DeclaredKind]) -> bool {
        self.declared.iter().any(|declared| kinds.contains(&declared.kind))
    }
}

/// What leaves the lines along which a piece was cut.
const REDRAWS_CUTS: [DeclaredKind; 6] = [
    DeclaredKind::Blend,
    DeclaredKind::LegsRedrawn,
    DeclaredKind::Trued,
    DeclaredKind::VoidFilled,
    DeclaredKind::ShapingCarried,
    DeclaredKind::Extended,
];

/// Measures a group.
///
/// # Errors
///
/// [`MeasureError::Geometry`] where areas cannot be swept.
pub(super) fn measured(
    group: &Group,
    declared: &[Declared],
    redrawn: &DrawnAnew,
) -> Result<ResewnGroup, MeasureError> {
    let of_group = |declared: &&Declared| group.new.iter().any(|piece| *piece.name() == declared.piece);
    let declared: Vec<Declared> = declared.iter().filter(of_group).cloned().collect();
    let mut found =
        GreatestFound { before: on_pieces(&group.old, &redrawn.before), held: None, redrawn: None };
    for new in &group.new {
        let kinds: Vec<DeclaredKind> =
            declared.iter().filter(|one| one.piece == *new.name()).map(|one| one.kind).collect();
        let cuts = HeldOrRedrawn::by(kinds.iter().any(|kind| REDRAWS_CUTS.contains(kind)));
        found.of_new(group, new, cuts, &on_pieces(&[*new], &redrawn.after));
    }
    for old in &group.old {
        found.of_old(group, old);
    }
    let names = |pieces: &[&Piece]| pieces.iter().map(|piece| piece.name().clone()).collect();
    let changed = changed(group);
    Ok(ResewnGroup {
        from: names(&group.old),
        to: names(&group.new),
        held: found.held,
        redrawn: found.redrawn,
        doubled: doubled(group)?,
        missing: missing(group)?,
        regained: regained(group)?,
        changed,
        undeclared: changed - declared.iter().map(|declared| declared.area).sum::<f64>(),
        declared,
    })
}

/// The greatest distances found so far.
struct GreatestFound {
    /// The old edges that the step drew anew.
    before: MeasuredCurves,
    held: Option<Deviation>,
    redrawn: Option<Deviation>,
}

/// Whether a line may have been drawn anew.
#[derive(Clone, Copy)]
enum HeldOrRedrawn {
    Held,
    Redrawn,
}

impl HeldOrRedrawn {
    fn by(is_redrawn: bool) -> HeldOrRedrawn {
        if is_redrawn { HeldOrRedrawn::Redrawn } else { HeldOrRedrawn::Held }
    }

    /// What a place is on that lies on one of the edges drawn anew or on none.
    fn at(place: Point, redrawn: &MeasuredCurves) -> HeldOrRedrawn {
        HeldOrRedrawn::by(redrawn.distance(place) <= SAME_CUT)
    }
}

/// The lines of edges on the pieces that hold them.
fn on_pieces(pieces: &[&Piece], edges: &[EdgeRef]) -> MeasuredCurves {
    let on = |edge: &EdgeRef| {
        let piece = pieces.iter().find(|piece| *piece.name() == edge.piece)?;
        Some(&piece.edge(piece.find_edge(&edge.edge)?).curve)
    };
    MeasuredCurves::of(edges.iter().filter_map(on))
}

impl GreatestFound {
    fn note(&mut self, line: HeldOrRedrawn, distance: f64, piece: &Piece, at: Point) {
        let so_far = match line {
            HeldOrRedrawn::Held => &mut self.held,
            HeldOrRedrawn::Redrawn => &mut self.redrawn,
        };
        if so_far.as_ref().is_none_or(|so_far| so_far.distance < distance) {
            let near = piece.nearest_on_outline(at);
            let edge =
                (near.distance <= SAME_CUT.max(2.0 * distance)).then(|| piece.edge(near.edge).name.clone());
            *so_far = Some(Deviation { distance, piece: piece.name().clone(), edge, at });
        }
    }

    /// Holds a new piece and the parts that it was made of against one another.
    fn of_new(&mut self, group: &Group, new: &Piece, cuts: HeldOrRedrawn, redrawn: &MeasuredCurves) {
        let parts = group.of_new(new.name());
        let carried: Vec<Vec<Curve>> = parts.iter().map(|part| part.carried()).collect();
        let mut outline = MeasuredCurves::of(new.outline().curves());
        outline.add(new.darts.iter().flat_map(|dart| [dart.legs().0.clone(), dart.legs().1.clone()]));
        for (i, part) in parts.iter().enumerate() {
            let old = MeasuredCurves::of(part.old.outline().curves());
            let others = carried.iter().enumerate().filter(|(k, _)| *k != i);
            let sewn_to = MeasuredCurves::of(others.flat_map(|(_, curves)| curves));
            for at in part.region.curves().iter().flat_map(places) {
                let now = part.motion.apply(at);
                let distance = outline.distance(now).min(sewn_to.distance(now));
                let on_edge = part.extent == Extent::Whole || old.distance(at) <= SAME_CUT;
                let line = if on_edge { HeldOrRedrawn::at(at, &self.before) } else { cuts };
                self.note(line, distance, part.old, at);
            }
        }
        let all = MeasuredCurves::of(carried.iter().flatten());
        let back = parts.first().map(|part| (part.motion.inverse(), part.old));
        for at in outside_mouths(new) {
            if let Some((motion, old)) = &back {
                self.note(HeldOrRedrawn::at(at, redrawn), all.distance(at), old, motion.apply(at));
            }
        }
    }

    /// Looks whether every place on an old outline went along with a part.
    fn of_old(&mut self, group: &Group, old: &Piece) {
        for parts in group.of_old(old.name()) {
            if parts.is_empty()
                || parts.iter().any(|part| part.extent == Extent::Whole && part.side == PieceHalf::Drawn)
            {
                continue;
            }
            let regions = MeasuredCurves::of(parts.iter().flat_map(|part| part.region.curves()));
            for at in outside_mouths(old) {
                self.note(HeldOrRedrawn::Held, regions.distance(at), old, at);
            }
        }
    }
}

/// Places on the outline of a piece where no dart opens.
fn outside_mouths(piece: &Piece) -> impl Iterator<Item = Point> + '_ {
    piece.edge_ids().flat_map(move |id| {
        let stretches = piece.sewn_stretches(id).into_iter();
        let curves = stretches.filter_map(move |(from, to)| piece.edge(id).curve.stretch(from, to).ok());
        curves.flat_map(|curve| places(&curve).collect::<Vec<_>>())
    })
}

/// The rings round what of some parts is cloth, on the old piece.
fn cloth(parts: &[&CarriedPart]) -> Result<Vec<BezPath>, MeasureError> {
    let rings: Result<Vec<Vec<BezPath>>, CurveError> = parts.iter().map(|part| part.cloth()).collect();
    Ok(rings?.into_iter().flatten().collect())
}

/// Area that two parts of one old piece share, and area where two parts lie over one another in a new piece.
fn doubled(group: &Group) -> Result<f64, MeasureError> {
    let twice = |rings: &[BezPath]| area_where(rings, &[], |first, _| first > 1);
    let mut sum = 0.0;
    for old in &group.old {
        for parts in group.of_old(old.name()).iter().filter(|parts| parts.len() > 1) {
            sum += twice(&cloth(parts)?)?;
        }
    }
    for new in &group.new {
        let parts = group.of_new(new.name());
        if parts.len() > 1 {
            let rings: Result<Vec<Vec<BezPath>>, CurveError> =
                parts.iter().map(|part| part.cloth_carried()).collect();
            sum += twice(&rings?.concat())?;
        }
    }
    Ok(sum)
}

/// Area of the old pieces that is in no part, their darts apart.
fn missing(group: &Group) -> Result<f64, MeasureError> {
    let mut sum = 0.0;
    for old in &group.old {
        let darts: Vec<BezPath> = old.darts.iter().map(|dart| dart_ring(old, dart)).collect();
        for parts in group.of_old(old.name()).iter().filter(|parts| !parts.is_empty()) {
            let taken = [cloth(parts)?, darts.clone()].concat();
            let ring = [old.outline().to_path()];
            sum += area_where(&ring, &taken, |first, second| first > 0 && second == 0)?;
        }
    }
    Ok(sum)
}

/// Area of darts that went into no new piece as darts, and is in parts all the same. A dart that goes along lies in its
/// part wholly.
fn regained(group: &Group) -> Result<f64, MeasureError> {
    let mut sum = 0.0;
    for old in &group.old {
        for parts in group.of_old(old.name()).iter().filter(|parts| !parts.is_empty()) {
            let taken = cloth(parts)?;
            for dart in &old.darts {
                let ring = [dart_ring(old, dart)];
                let inside = area_where(&ring, &taken, |first, second| first > 0 && second > 0)?;
                if old.dart_area(dart) - inside > RESEWN_AREA {
                    sum += inside;
                }
            }
        }
    }
    Ok(sum)
}

/// The ring round what a dart folds away, up to the edge on which it opens.
fn dart_ring(piece: &Piece, dart: &crate::pattern::Dart) -> BezPath {
    let (first, second) = dart.legs();
    let mouth = dart.mouth().and_then(|mouth| {
        let edge = piece.find_edge(&mouth.edge)?;
        piece.edge(edge).curve.stretch(mouth.from, mouth.to).ok()
    });
    let round = [Some(first.clone()), Some(second.reversed()), mouth.map(|mouth| mouth.reversed())];
    let mut ring = BezPath::new();
    for (i, curve) in round.into_iter().flatten().enumerate() {
        if i == 0 {
            ring.move_to(curve.start());
        }
        ring.extend(curve.segments().iter().map(kurbo::PathSeg::as_path_el));
    }
    ring.close_path();
    ring
}

/// By how much the new pieces are larger than the old, darts folded out; a half that is beyond a new fold counts.
fn changed(group: &Group) -> f64 {
    let halves = group.parts.iter().filter(|part| part.side == PieceHalf::BeyondFold);
    let mut beyond: Vec<&CarriedPart> = Vec::new();
    for half in halves {
        if !beyond.iter().any(|other| other.new.name() == half.new.name()) {
            beyond.push(half);
        }
    }
    let now: f64 = group.new.iter().map(|piece| piece.net_area()).sum::<f64>()
        + beyond.iter().map(|half| half.new.net_area()).sum::<f64>();
    let copies = |piece: &&Piece| group.of_old(piece.name()).iter().filter(|parts| !parts.is_empty()).count();
    let then: f64 = group.old.iter().map(|piece| piece.net_area() * copies(piece) as f64).sum();
    now - then
}
