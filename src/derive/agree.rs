//! Whether a derived piece is what would be made now.

use crate::curve::{Motion, Point, angle_between_lines};
use crate::derive::{MadePiece, afresh};
use crate::pattern::{Edge, EdgeName, Notch, Pattern, Piece, Refusal};
use crate::tolerance::{FOLLOWED, GRAIN_FOLLOWED};

/// Whether a derived piece is what would be made now from what it was made from.
#[derive(Clone, Debug, PartialEq)]
pub enum Agreement {
    /// It is.
    Agrees,
    /// A line of it, or an allowance, is off by so much, mm.
    Off(f64),
    /// What it was made from was cut in so many parts.
    Divided(usize),
    /// It has other things on it; what.
    Other(String),
    /// It cannot be made any more.
    Refused(Refusal),
}

impl Agreement {
    /// Whether two are the same, as near as can be told.
    #[must_use]
    pub fn is_like(&self, other: &Agreement) -> bool {
        match (self, other) {
            (Agreement::Off(one), Agreement::Off(other)) => (one - other).abs() <= FOLLOWED,
            _ => self == other,
        }
    }
}

/// Whether a piece is what would be made now; none of a piece that was made of no other.
#[must_use]
pub fn agreement(pattern: &Pattern, piece: &Piece) -> Option<Agreement> {
    piece.derived.as_ref()?;
    Some(match afresh(pattern, piece) {
        Err(refusal) => Agreement::Refused(refusal),
        Ok(made) => match &*made {
            [one] => compared(one, piece),
            parts => Agreement::Divided(parts.len()),
        },
    })
}

fn compared(made: &MadePiece, drawn: &Piece) -> Agreement {
    let fresh = &made.piece;
    if let Some(other) = other_things(fresh, drawn) {
        return Agreement::Other(other);
    }
    let Some(motion) = laid_on(fresh, drawn) else {
        return Agreement::Other("it is not drawn as it was made".to_owned());
    };
    if let Some(degrees) = grain_turned(fresh, drawn, &motion) {
        return Agreement::Other(format!("its grain is turned by {degrees:.1}°"));
    }
    let off = lines_off(fresh, drawn, &motion)
        .max(marks_off(fresh, drawn, &motion))
        .max(allowances_off(made, drawn));
    if off <= FOLLOWED { Agreement::Agrees } else { Agreement::Off(off) }
}

/// What the one has that the other has not.
fn other_things(fresh: &Piece, drawn: &Piece) -> Option<String> {
    let told = |what: &str, should: Vec<&str>, are: Vec<&str>| {
        let more =
            are.iter().find(|name| !should.contains(name)).map(|name| format!("{what} `{name}` is too much"));
        let less =
            should.iter().find(|name| !are.contains(name)).map(|name| format!("{what} `{name}` is missing"));
        more.or(less)
    };
    let edges =
        |piece: &Piece| -> Vec<String> { piece.edges().iter().map(|edge| edge.name.to_string()).collect() };
    fn names<'a, T>(list: &'a [T], name: impl Fn(&'a T) -> &'a str) -> Vec<&'a str> {
        list.iter().map(name).collect()
    }
    let (should, are) = (edges(fresh), edges(drawn));
    let texts = |list: &'_ [String]| -> Vec<String> { list.to_vec() };
    let (should, are) = (texts(&should), texts(&are));
    told("edge", should.iter().map(String::as_str).collect(), are.iter().map(String::as_str).collect())
        .or_else(|| {
            told(
                "dart",
                names(&fresh.darts, |dart| dart.name.as_str()),
                names(&drawn.darts, |dart| dart.name.as_str()),
            )
        })
        .or_else(|| {
            told(
                "notch",
                names(&fresh.notches, |notch| notch.name.as_str()),
                names(&drawn.notches, |notch| notch.name.as_str()),
            )
        })
}

/// The motion that lays what would be made on what is drawn, by the edge whose ends lie furthest apart.
fn laid_on(fresh: &Piece, drawn: &Piece) -> Option<Motion> {
    let ends = |edge: &Edge| (edge.curve.start(), edge.curve.end());
    let apart = |(start, end): (Point, Point)| start.distance(end);
    let longest = fresh.edges().iter().max_by(|a, b| apart(ends(a)).total_cmp(&apart(ends(b))))?;
    Motion::carry(ends(longest), ends(drawn.edge(drawn.find_edge(&longest.name)?))).ok()
}

fn greatest(list: impl Iterator<Item = f64>) -> f64 {
    list.fold(0.0, f64::max)
}

fn lines_off(fresh: &Piece, drawn: &Piece, motion: &Motion) -> f64 {
    let on_drawn = |name: &EdgeName| drawn.find_edge(name).map(|id| &drawn.edge(id).curve);
    let edges = fresh.edges().iter().filter_map(|edge| {
        let (carried, now) = (edge.curve.moved(motion), on_drawn(&edge.name)?);
        let ends = carried.start().distance(now.start()).max(carried.end().distance(now.end()));
        Some(ends.max(carried.distance_to(now)))
    });
    let darts = fresh.darts.iter().filter_map(|dart| {
        let (carried, now) = (dart.moved(motion), drawn.darts.iter().find(|other| other.name == dart.name)?);
        let ((a, b), (c, d)) = (carried.legs(), now.legs());
        Some(a.distance_to(c).max(b.distance_to(d)))
    });
    greatest(edges.chain(darts))
}

/// By how many degrees the grain is turned from where it should run; none where it is not.
fn grain_turned(fresh: &Piece, drawn: &Piece, motion: &Motion) -> Option<f64> {
    let (should, is) = (fresh.grainline.as_ref()?, drawn.grainline.as_ref()?);
    let run = motion.apply_vec(should.end - should.start);
    let turned = angle_between_lines(run, is.end - is.start).degrees();
    (turned > GRAIN_FOLLOWED).then_some(turned)
}

/// How far notches, points and levels lie from where they should.
fn marks_off(fresh: &Piece, drawn: &Piece, motion: &Motion) -> f64 {
    let notches = fresh.notches.iter().filter_map(|notch| {
        let now = drawn.notches.iter().find(|other| other.name == notch.name)?;
        // At a corner it may stand on either edge.
        let place =
            |piece: &Piece, notch: &Notch| Some(piece.point_on(piece.find_edge(&notch.edge)?, notch.at));
        Some(motion.apply(place(fresh, notch)?).distance(place(drawn, now)?))
    });
    let points = fresh.points.iter().filter_map(|point| {
        let now = drawn.points.iter().find(|other| other.name == point.name)?;
        Some(motion.apply(point.at).distance(now.at))
    });
    let levels = fresh.levels.iter().filter_map(|level| {
        let now = drawn.levels.iter().find(|other| other.name == level.name)?;
        let ends = |stretches: &[(Point, Point)]| Some((stretches.first()?.0, stretches.last()?.1));
        let ((a, b), (c, d)) = (ends(&level.stretches)?, ends(&now.stretches)?);
        let (a, b) = (motion.apply(a), motion.apply(b));
        // It may be drawn from either side.
        Some(a.distance(c).max(b.distance(d)).min(a.distance(d).max(b.distance(c))))
    });
    greatest(notches.chain(points).chain(levels))
}

/// By how much allowances differ on edges that lie on those of what it was made from; others are set for it alone.
fn allowances_off(made: &MadePiece, drawn: &Piece) -> f64 {
    let laid: Vec<&EdgeName> =
        made.laid.iter().flat_map(|part| &part.stretches).map(|lies| &lies.edge).collect();
    let edges = made.piece.edges().iter().filter(|edge| laid.contains(&&edge.name));
    greatest(edges.filter_map(|edge| {
        let now = drawn.edge(drawn.find_edge(&edge.name)?);
        Some((now.cut_allowance().mm() - edge.cut_allowance().mm()).abs())
    }))
}
