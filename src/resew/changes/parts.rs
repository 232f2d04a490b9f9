//! What of the things on a piece is other than its recorded steps give.

use crate::curve::{Affine, Curve, Motion, Point, Rect};
use crate::pattern::{
    Dart, DartShape, Edge, Grainline, Kept, Level, Mouth, NamedPoint, Notch, Opening, Origin, Piece, Press,
    StyleLine,
};
use crate::resew::changes::found::{Change, Changes, GivenAndDrawn, apart, paired};
use crate::resew::changes::source;
use crate::tolerance::{REPLAYED, SAME_CUT};

/// A piece that the steps give and the same piece as it is drawn.
pub(super) struct PlacedPiece<'a> {
    pub given: &'a Piece,
    pub drawn: &'a Piece,
    /// Lays the one on the other.
    pub motion: Motion,
    pub changes: &'a mut Changes,
}

/// How far two places of one source text lie apart within a box on the sheet as the first has it; none is seen without
/// one.
pub(super) fn places_apart(given: Affine, drawn: Affine, seen: Option<Rect>) -> f64 {
    let Some(seen) = seen else { return 0.0 };
    if given == drawn {
        return 0.0;
    }
    let corners = [(seen.x0, seen.y0), (seen.x1, seen.y0), (seen.x1, seen.y1), (seen.x0, seen.y1)];
    let back = given.inverse();
    let off = corners.map(|at| Point::from(at).distance(drawn * (back * Point::from(at))));
    off.into_iter().fold(0.0, |most, off| if off.is_nan() { f64::INFINITY } else { most.max(off) })
}

impl PlacedPiece<'_> {
    /// Compares things by their names.
    pub(super) fn each<'b, T: 'b>(
        &mut self,
        given: impl IntoIterator<Item = &'b T>,
        drawn: impl IntoIterator<Item = &'b T>,
        name: impl Fn(&T) -> &str,
        compare: impl Fn(&mut Self, &str, &T, &T),
    ) {
        let piece = self.given.name().clone();
        let at = |one: &T| format!("{piece}.{}", name(one));
        for pair in paired(given, drawn, |a, b| name(a) == name(b)) {
            match pair {
                GivenAndDrawn::Both(given, drawn) => compare(self, &at(given), given, drawn),
                GivenAndDrawn::Given(one) => self.changes.missing(at(one)),
                GivenAndDrawn::Drawn(one) => self.changes.added(at(one)),
            }
        }
    }

    fn points(
        &mut self,
        at: &str,
        given: impl IntoIterator<Item = Point>,
        drawn: impl IntoIterator<Item = Point>,
    ) {
        let given: Vec<Point> = given.into_iter().map(|point| self.motion.apply(point)).collect();
        let drawn: Vec<Point> = drawn.into_iter().collect();
        if given.len() != drawn.len() {
            let count = |points: &[Point]| Some((points.len() / 2).to_string());
            let (given, drawn) = (count(&given), count(&drawn));
            self.changes.tell(at, Change::Written { what: "stretches".to_owned(), given, drawn });
            return;
        }
        let off = given.iter().zip(&drawn).map(|(a, b)| a.distance(*b)).fold(0.0, f64::max);
        self.changes.distance(at, off);
    }

    fn curves(&mut self, at: &str, given: &Curve, drawn: &Curve) {
        self.changes.distance(at, apart(&given.moved(&self.motion), drawn));
    }

    pub(super) fn kept(&mut self, at: &str, given: &Kept, drawn: &Kept) {
        let Kept { attributes, content } = given;
        source::compare_attributes(at, attributes, &drawn.attributes, self.changes);
        source::compare(at, content, &drawn.content, self.changes);
    }

    pub(super) fn edge(&mut self, at: &str, given: &Edge, drawn: &Edge) {
        let Edge { name: _the_same, curve, finish, allowance, selvedge, unsewn, open, lap, origins, kept } =
            given;
        self.curves(at, curve, &drawn.curve);
        self.changes.values(at, "finish", &finish.word(), &drawn.finish.word());
        self.changes.lengths(at, "allowance", *allowance, drawn.allowance);
        self.changes.values(at, "selvedge", &selvedge.word(), &drawn.selvedge.word());
        let [open, drawn_open] = [open, &drawn.open].map(|open| open.map(Opening::word));
        self.changes.texts(at, "left open for", open, drawn_open);
        let [lap, drawn_lap] = [lap, &drawn.lap].map(|lap| lap.map(|lap| lap.to_string()));
        self.changes.texts(at, "lap", lap.as_deref(), drawn_lap.as_deref());
        self.changes.values(at, "sewn to nothing", &unsewn.word(), &drawn.unsewn.word());
        if !is_same_origin(origins, &drawn.origins) {
            self.changes.texts(at, "origin", Some(&origin_text(origins)), Some(&origin_text(&drawn.origins)));
        }
        self.kept(at, kept, &drawn.kept);
    }

    pub(super) fn dart(&mut self, at: &str, given: &Dart, drawn: &Dart) {
        let Dart { name: _the_same, shape, kind, press, kept } = given;
        self.changes.texts(at, "kind", Some(kind.word()), Some(drawn.kind.word()));
        match (shape, &drawn.shape) {
            (
                DartShape::Open { mouth: Mouth { edge, from: _where_legs_start, to: _too }, legs },
                DartShape::Open { mouth, legs: drawn_legs },
            ) => {
                self.changes.values(at, "edge of its mouth", edge, &mouth.edge);
                self.curve_pair(at, legs, drawn_legs);
            }
            (DartShape::Double { sides }, DartShape::Double { sides: drawn_sides }) => {
                self.curve_pair(at, sides, drawn_sides);
            }
            (given, drawn) => {
                let word = |shape: &DartShape| match shape {
                    DartShape::Open { .. } => "with a mouth",
                    DartShape::Double { .. } => "double",
                };
                self.changes.texts(at, "sort of dart", Some(word(given)), Some(word(drawn)));
            }
        }
        let word = |press: &Press| match press {
            Press::Usual => None,
            Press::Toward(edge) => Some(edge.to_string()),
        };
        self.changes.texts(at, "pressed toward", word(press).as_deref(), word(&drawn.press).as_deref());
        self.kept(at, kept, &drawn.kept);
    }

    fn curve_pair(&mut self, at: &str, given: &(Curve, Curve), drawn: &(Curve, Curve)) {
        let moved = [&given.0, &given.1].map(|curve| curve.moved(&self.motion));
        let straight = apart(&moved[0], &drawn.0).max(apart(&moved[1], &drawn.1));
        self.changes.distance(at, straight);
    }

    pub(super) fn notch(&mut self, at: &str, given: &Notch, drawn: &Notch) {
        let Notch { name: _the_same, edge, at: along, count, tick, kept } = given;
        self.changes.values(at, "edge", edge, &drawn.edge);
        let foot = |piece: &Piece, notch: &Notch, along: f64| {
            piece.find_edge(&notch.edge).map(|edge| piece.point_on(edge, along))
        };
        let feet = foot(self.given, given, *along).zip(foot(self.drawn, drawn, drawn.at));
        let off = feet.map_or(0.0, |(given, drawn)| self.motion.apply(given).distance(drawn));
        self.changes.distance(at, off);
        let tick_of =
            |tick: kurbo::Vec2| if tick.hypot() > SAME_CUT { tick } else { (0.0, Notch::TICK).into() };
        let off = (tick_of(*tick) - tick_of(drawn.tick)).hypot();
        if off > REPLAYED {
            self.changes.tell(format!("{at}, its tick"), Change::Moved { distance: off });
        }
        self.changes.values(at, "ticks", &count.ticks(), &drawn.count.ticks());
        self.kept(at, kept, &drawn.kept);
    }

    pub(super) fn level(&mut self, at: &str, given: &Level, drawn: &Level) {
        let Level { name: _the_same, stretches, girth, kept } = given;
        let ends =
            |stretches: &[(Point, Point)]| stretches.iter().flat_map(|(a, b)| [*a, *b]).collect::<Vec<_>>();
        let (should, mut are) = (ends(stretches), ends(&drawn.stretches));
        // It may be drawn from either side.
        let first_off = |are: &[Point]| {
            let ends = should.first().zip(are.first());
            ends.map_or(0.0, |(should, is)| self.motion.apply(*should).distance(*is))
        };
        let turned: Vec<Point> = are.iter().rev().copied().collect();
        if first_off(&turned) < first_off(&are) {
            are = turned;
        }
        self.points(at, should, are);
        self.changes.values(at, "counts in the girth", &girth.word(), &drawn.girth.word());
        self.kept(at, kept, &drawn.kept);
    }

    pub(super) fn point(&mut self, at: &str, given: &NamedPoint, drawn: &NamedPoint) {
        let NamedPoint { name: _the_same, at: place, radius, kept } = given;
        self.points(at, [*place], [drawn.at]);
        let size = |radius: f64| crate::units::Length::from_mm(radius);
        self.changes.lengths(at, "radius", size(*radius), size(drawn.radius));
        self.kept(at, kept, &drawn.kept);
    }

    pub(super) fn style_line(&mut self, at: &str, given: &StyleLine, drawn: &StyleLine) {
        let StyleLine { name: _the_same, curve, kept } = given;
        self.curves(at, curve, &drawn.curve);
        self.kept(at, kept, &drawn.kept);
    }

    pub(super) fn grainline(&mut self, at: &str, given: &Grainline, drawn: &Grainline) {
        let Grainline { start, end, arrows, kept } = given;
        self.points(at, [*start, *end], [drawn.start, drawn.end]);
        self.changes.values(at, "arrows", &arrows.word(), &drawn.arrows.word());
        self.kept(at, kept, &drawn.kept);
    }
}

fn is_same_origin(given: &[Origin], drawn: &[Origin]) -> bool {
    let near = |a: f64, b: f64| (a - b).abs() <= REPLAYED;
    given.len() == drawn.len()
        && given.iter().zip(drawn).all(|(Origin { edge, from, to }, drawn)| {
            *edge == drawn.edge && near(*from, drawn.from) && near(*to, drawn.to)
        })
}

fn origin_text(origins: &[Origin]) -> String {
    let text = |origin: &Origin| format!("{} {:.3} {:.3}", origin.edge, origin.from, origin.to);
    origins.iter().map(text).collect::<Vec<_>>().join("; ")
}
