//! Whether a derived piece is what would be made now.

use crate::curve::{Motion, Point, angle_between_lines};
use crate::derive::{MadePiece, afresh};
use crate::pattern::{
    Dart, Edge, EdgeName, Level, Making, Notch, Opening, Pattern, Piece, PieceFields, PieceName, Purpose,
    Refusal, ShapedCorner,
};
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

/// What must be made anew before a derived piece that cannot be made now: a derived piece that it is made from, or a facing at which
/// a lining ends. None where that would not help, as in a circle.
#[must_use]
pub fn made_before(pattern: &Pattern, piece: &Piece) -> Option<PieceName> {
    before(pattern, piece, &mut vec![piece.name()])
}

fn before<'a>(pattern: &'a Pattern, piece: &'a Piece, seen: &mut Vec<&'a PieceName>) -> Option<PieceName> {
    let from = piece.derived.as_ref()?.from.pieces();
    let is_facing = |other: &Piece| {
        let derived = other.derived.as_ref().filter(|derived| derived.by == Making::Facing);
        derived.is_some_and(|derived| derived.from.pieces().iter().any(|own| from.contains(own)))
    };
    let is_before = |other: &Piece| {
        from.contains(&other.name()) || (piece.purpose == Purpose::Lining && is_facing(other))
    };
    for other in pattern.pieces().filter(|other| is_before(other)) {
        if seen.contains(&other.name()) {
            continue;
        }
        seen.push(other.name());
        let must_follow = match agreement(pattern, other) {
            None | Some(Agreement::Agrees) => false,
            Some(Agreement::Refused(_)) => before(pattern, other, seen).is_some(),
            Some(_) => true,
        };
        if must_follow {
            return Some(other.name().clone());
        }
    }
    None
}

fn compared(made: &MadePiece, drawn: &Piece) -> Agreement {
    let fresh = &made.piece;
    if let Some(other) = other_things(fresh, drawn).or_else(|| said_otherwise(fresh, drawn)) {
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

/// What the one has that the other has not. The cloth, and what is drawn on it that is not understood, are its own.
fn other_things(fresh: &Piece, drawn: &Piece) -> Option<String> {
    let PieceFields {
        name: _asked_for,
        derived: _what_is_asked,
        cut: _told_below,
        purpose: _too,
        corners: _too_as_well,
        cloth: _its_own,
        marks: _its_own_too,
        kept: _all_the_same,
        edges,
        darts,
        notches,
        levels,
        points,
        style_lines,
        grainline,
    } = fresh.fields();
    let now = drawn.fields();
    unlike("edge", edges, now.edges, |edge| edge.name.as_str())
        .or_else(|| unlike("dart", darts, now.darts, |dart| dart.name.as_str()))
        .or_else(|| unlike("notch", notches, now.notches, |notch| notch.name.as_str()))
        .or_else(|| unlike("level", levels, now.levels, |level| level.name.as_str()))
        .or_else(|| unlike("point", points, now.points, |point| point.name.as_str()))
        .or_else(|| unlike("style line", style_lines, now.style_lines, |line| line.name.as_str()))
        .or_else(|| unlike("line", grainline, now.grainline, |_| "grain"))
}

/// What of a sort the one has that the other has not, by name.
fn unlike<'a, T: 'a>(
    sort: &str,
    should: impl IntoIterator<Item = &'a T>,
    are: impl IntoIterator<Item = &'a T>,
    name: impl Fn(&'a T) -> &'a str,
) -> Option<String> {
    let should: Vec<&str> = should.into_iter().map(&name).collect();
    let are: Vec<&str> = are.into_iter().map(&name).collect();
    let more = are.iter().find(|name| !should.contains(name));
    let less = should.iter().find(|name| !are.contains(name));
    more.map(|name| format!("{sort} `{name}` is too much"))
        .or_else(|| less.map(|name| format!("{sort} `{name}` is missing")))
}

/// What the drawn piece says otherwise than it would be made, where both have the same things.
fn said_otherwise(fresh: &Piece, drawn: &Piece) -> Option<String> {
    let (should, is) = (fresh.cut, drawn.cut);
    if should != is {
        return Some(format!("it is cut {is}, not {should}"));
    }
    let (should, is) = (fresh.purpose, drawn.purpose);
    if should != is {
        return Some(format!("it is {}, not {}", is.with_article(), should.with_article()));
    }
    let by_name = |edge: &Edge| drawn.find_edge(&edge.name).map(|id| drawn.edge(id));
    let mut edges = fresh.edges().iter().filter_map(|edge| Some((edge, by_name(edge)?)));
    edges
        .find_map(|(should, is)| edge_said_otherwise(should, is))
        .or_else(|| {
            let now = |dart: &Dart| drawn.darts.iter().find(|other| other.name == dart.name);
            let mut darts = fresh.darts.iter().filter_map(|dart| Some((dart, now(dart)?)));
            darts.find_map(|(should, is)| dart_said_otherwise(should, is))
        })
        .or_else(|| {
            let now = |notch: &Notch| drawn.notches.iter().find(|other| other.name == notch.name);
            let mut notches = fresh.notches.iter().filter_map(|notch| Some((notch, now(notch)?)));
            let other = notches.find(|(should, is)| should.count != is.count);
            other.map(|(notch, is)| format!("notch `{}` has {} ticks", notch.name, is.count.ticks()))
        })
        .or_else(|| {
            let now = |level: &Level| drawn.levels.iter().find(|other| other.name == level.name);
            let mut levels = fresh.levels.iter().filter_map(|level| Some((level, now(level)?)));
            let other = levels.find(|(should, is)| should.girth != is.girth);
            other
                .map(|(level, is)| format!("level `{}` counts in the girth: {}", level.name, is.girth.word()))
        })
        .or_else(|| corner_otherwise(fresh, drawn))
}

/// Its allowance is held against a length beside; what it is sewn to, opened or lapped by itself is its own.
fn edge_said_otherwise(should: &Edge, is: &Edge) -> Option<String> {
    let Edge {
        name,
        finish,
        selvedge,
        open,
        curve: _laid_below,
        allowance: _held_below,
        unsewn: _its_own,
        lap: _its_own_too,
        origins: _those_of_its_source,
        kept: _as_drawn,
    } = should;
    let unlike = |what: &str, should: &str, is: &str| {
        (should != is).then(|| format!("edge `{name}`: {what} is {is}, not {should}"))
    };
    let open_for = |open: Option<Opening>| open.map_or("nothing", Opening::word);
    unlike("its finish", finish.word(), is.finish.word())
        .or_else(|| unlike("on the selvedge", selvedge.word(), is.selvedge.word()))
        .or_else(|| unlike("what it is left open for", open_for(*open), open_for(is.open)))
}

fn dart_said_otherwise(should: &Dart, is: &Dart) -> Option<String> {
    let Dart { name, kind, press, shape: _laid_below, kept: _as_drawn } = should;
    if *kind != is.kind {
        return Some(format!("`{name}` is a {}, not a {}", is.kind.word(), kind.word()));
    }
    (*press != is.press).then(|| format!("dart `{name}` is pressed to the other side"))
}

/// A corner has the shape that was set for it on what the piece was made from; more may be set for the piece alone.
fn corner_otherwise(fresh: &Piece, drawn: &Piece) -> Option<String> {
    let shape = |corner: &ShapedCorner| {
        let edges = [&corner.edges.0, &corner.edges.1].map(|name| drawn.find_edge(name));
        let [Some(a), Some(b)] = edges else { return None };
        drawn.set_corner(a, b)
    };
    let other = fresh.corners.iter().find(|corner| shape(corner) != Some(&corner.shape));
    other.map(|ShapedCorner { edges: (a, b), shape }| format!("the corner of `{a}` and `{b}` is not {shape}"))
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
    let style_lines = fresh.style_lines.iter().filter_map(|line| {
        let now = drawn.style_lines.iter().find(|other| other.name == line.name)?;
        Some(line.curve.moved(motion).distance_to(&now.curve))
    });
    greatest(edges.chain(darts).chain(style_lines))
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
