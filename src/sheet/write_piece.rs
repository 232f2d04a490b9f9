//! The group of one piece on a written sheet.

use kurbo::BezPath;

use crate::allowance::CuttingLine;
use crate::canvas::straight;
use crate::curve::{Affine, Curve, Point};
use crate::drawing::number::{WriteFault, number, path_data};
use crate::pattern::{
    Dart, DartKind, DartShape, Edge, EdgeId, EdgeRef, Finish, GirthUse, Grainline, Kept, Level, NamedPoint,
    Notch, Origin, Piece, Press, Purpose, Selvedge, SewnTo, StyleLine, Unsewn,
};
use crate::sheet::WriteError;
use crate::sheet::attributes::corners_text;
use crate::sheet::derived;
use crate::sheet::edge_place::EdgePlace;
use crate::sheet::element::Element;
use crate::sheet::kinds::{ElementKind, PIECE, PLACED};
use crate::sheet::labels::labels;
use crate::sheet::written_seams::WrittenSeams;
use crate::tolerance::SAME_CUT;
use crate::units::Length;

/// Radius of a point that has none, mm.
const POINT_RADIUS: f64 = 2.0;

/// One piece to be written.
pub(super) struct PieceWriter<'a> {
    pub piece: &'a Piece,
    pub seams: &'a WrittenSeams,
    pub line: &'a CuttingLine,
}

/// The name of a grainline, which has none of its own.
const GRAIN: &str = "grain";

impl PieceWriter<'_> {
    pub(super) fn group(&self) -> Result<Element, WriteError> {
        let piece = self.piece;
        let mut group = element("g", piece.name().as_str(), PIECE, &piece.kept);
        group.set("data-cut", piece.cut.to_string());
        group.set("data-cloth", piece.cloth.as_str());
        if let Some(word) = purpose_word(piece.purpose) {
            group.set("data-for", word);
        }
        if let Some(derived) = &piece.derived {
            group.set("data-from", derived.from.to_string());
            group.set("data-made-by", derived.by.word());
        }
        if !piece.corners.is_empty() {
            group.set("data-corners", corners_text(&piece.corners));
        }
        keep(&mut group, &piece.kept);
        group.add(derived::path(derived::CUTTING_LINE, &self.line.path)?);
        for id in piece.edge_ids() {
            group.add(self.edge(id)?);
        }
        for dart in &piece.darts {
            group.add(self.dart(dart)?);
        }
        for level in &piece.levels {
            group.add(self.level(level)?);
        }
        for style in &piece.style_lines {
            group.add(self.style_line(style)?);
        }
        for notch in &piece.notches {
            self.notch(&mut group, notch)?;
        }
        for point in &piece.points {
            self.point(&mut group, point)?;
        }
        if let Some(grain) = &piece.grainline {
            self.grainline(&mut group, grain)?;
        }
        for mark in &piece.marks {
            group.add_source(placed(&mark.source, mark.place)?);
        }
        for label in labels(piece) {
            group.add(derived::label(&label)?);
        }
        Ok(group)
    }

    /// The id of an element: `piece.name`, and its kind behind that where another of the piece has the same name, since
    /// an id stands once on a sheet.
    fn id(&self, kind: ElementKind, name: &str) -> String {
        let piece = self.piece;
        let is = |other: &str| other == name;
        let bears = |other: ElementKind| match other {
            ElementKind::Edge => piece.edges().iter().any(|edge| is(edge.name.as_str())),
            ElementKind::Dart | ElementKind::Pleat => {
                piece.darts.iter().any(|dart| is(dart.name.as_str()) && of_dart(dart) == other)
            }
            ElementKind::Level => piece.levels.iter().any(|level| is(level.name.as_str())),
            ElementKind::StyleLine => piece.style_lines.iter().any(|line| is(line.name.as_str())),
            ElementKind::Notch => piece.notches.iter().any(|notch| is(notch.name.as_str())),
            ElementKind::Point => piece.points.iter().any(|point| is(point.name.as_str())),
            ElementKind::Grainline => piece.grainline.is_some() && is(GRAIN),
            ElementKind::Mark | ElementKind::Inner => false,
        };
        match kind != ElementKind::Edge && ElementKind::all().any(|other| other != kind && bears(other)) {
            true => format!("{}.{name}.{}", piece.name(), kind.word()),
            false => format!("{}.{name}", piece.name()),
        }
    }

    /// A path with what it says of itself; what is kept comes last.
    fn path(
        &self,
        kind: ElementKind,
        name: &str,
        kept: &Kept,
        path: &BezPath,
        says: &[(&str, String)],
    ) -> Result<Element, WriteError> {
        let mut element = element("path", &self.id(kind, name), kind.word(), kept);
        for (attribute, value) in says {
            element.set(attribute, value.as_str());
        }
        element.set("d", path_data(path)?);
        keep(&mut element, kept);
        Ok(element)
    }

    fn edge(&self, id: EdgeId) -> Result<Element, WriteError> {
        let edge = self.piece.edge(id);
        let mut says = vec![("data-finish", edge.finish.word().to_owned())];
        if edge.finish != Finish::Fold || edge.allowance != Length::ZERO {
            says.push(("data-allowance", edge.allowance.to_string()));
        }
        if edge.selvedge == Selvedge::Yes {
            says.push(("data-selvedge", edge.selvedge.word().to_owned()));
        }
        says.extend(edge.open.map(|open| ("data-open", open.word().to_owned())));
        says.extend(edge.lap.map(|lap| ("data-lap", lap.to_string())));
        let name = EdgeRef::new(self.piece.name().clone(), edge.name.clone());
        let (sewn_to, ease) = self.seams.attributes(&name);
        let unsewn = (edge.unsewn == Unsewn::Meant).then(|| SewnTo::Nothing.to_string());
        says.extend(sewn_to.or(unsewn).map(|sewn_to| ("data-sewn-to", sewn_to)));
        says.extend(ease.map(|ease| ("data-ease", ease)));
        if !edge.origins.is_empty() {
            says.push(("data-origin", origins_text(edge)?));
        }
        self.path(ElementKind::Edge, edge.name.as_str(), &edge.kept, &edge.curve.to_path(), &says)
    }

    fn dart(&self, dart: &Dart) -> Result<Element, WriteError> {
        let (first, second) = dart.legs();
        let (mut first, mut second) = (first.clone(), second.clone());
        if let Some(mouth) = dart.mouth()
            && let Some(edge) = self.piece.find_edge(&mouth.edge)
        {
            let curve = &self.piece.edge(edge).curve;
            first = starting_at(first, EdgePlace::on(curve, mouth.from)?.point);
            second = starting_at(second, EdgePlace::on(curve, mouth.to)?.point);
        }
        let mut path = first.to_path();
        path.extend(second.reversed().to_path().iter().skip(1));
        if matches!(dart.shape, DartShape::Double { .. }) {
            path.close_path();
        }
        let says: Vec<_> = match &dart.press {
            Press::Toward(edge) => vec![("data-press", edge.to_string())],
            Press::Usual => Vec::new(),
        };
        self.path(of_dart(dart), dart.name.as_str(), &dart.kept, &path, &says)
    }

    fn level(&self, level: &Level) -> Result<Element, WriteError> {
        let mut path = BezPath::new();
        let mut last: Option<Point> = None;
        for (from, to) in &level.stretches {
            if last != Some(*from) {
                path.move_to(*from);
            }
            path.line_to(*to);
            last = Some(*to);
        }
        let says: Vec<_> = match level.girth {
            GirthUse::LeftOut => vec![("data-girth", level.girth.word().to_owned())],
            GirthUse::Counts => Vec::new(),
        };
        self.path(ElementKind::Level, level.name.as_str(), &level.kept, &path, &says)
    }

    fn style_line(&self, style: &StyleLine) -> Result<Element, WriteError> {
        self.path(ElementKind::StyleLine, style.name.as_str(), &style.kept, &style.curve.to_path(), &[])
    }

    fn notch(&self, group: &mut Element, notch: &Notch) -> Result<(), WriteError> {
        let Some(id) = self.piece.find_edge(&notch.edge) else { return Ok(()) };
        let foot = EdgePlace::on(&self.piece.edge(id).curve, notch.at)?;
        let tick = if notch.tick.hypot() > SAME_CUT { notch.tick } else { (0.0, Notch::TICK).into() };
        let out = foot.point + foot.along * tick.x + foot.outward() * tick.y;
        let says = [("data-count", notch.count.ticks().to_string())];
        group.add(self.path(
            ElementKind::Notch,
            notch.name.as_str(),
            &notch.kept,
            &straight(foot.point, out),
            &says,
        )?);
        for tick in derived::notch(&foot, out, notch.count, self.line) {
            group.add(derived::path("notch", &tick)?);
        }
        Ok(())
    }

    fn point(&self, group: &mut Element, point: &NamedPoint) -> Result<(), WriteError> {
        let radius = if point.radius > SAME_CUT { point.radius } else { POINT_RADIUS };
        let mut element = element(
            "circle",
            &self.id(ElementKind::Point, point.name.as_str()),
            ElementKind::Point.word(),
            &point.kept,
        );
        element.set("cx", number(point.at.x)?);
        element.set("cy", number(point.at.y)?);
        element.set("r", number(radius)?);
        keep(&mut element, &point.kept);
        group.add(element);
        group.add(derived::path("crossed-circle", &derived::cross(point.at, radius))?);
        Ok(())
    }

    fn grainline(&self, group: &mut Element, grain: &Grainline) -> Result<(), WriteError> {
        let says = [("data-arrows", grain.arrows.word().to_owned())];
        group.add(self.path(
            ElementKind::Grainline,
            GRAIN,
            &grain.kept,
            &straight(grain.start, grain.end),
            &says,
        )?);
        for arrow in derived::arrows(grain) {
            group.add(derived::path("arrow", &arrow)?);
        }
        Ok(())
    }
}

/// An element that is understood: its id, and its kind also as a class, since some drawing programs lose one of the two.
fn of_dart(dart: &Dart) -> ElementKind {
    match dart.kind {
        DartKind::Dart => ElementKind::Dart,
        DartKind::Pleat => ElementKind::Pleat,
    }
}

fn element(tag: &'static str, id: &str, kind: &str, kept: &Kept) -> Element {
    let mut element = Element::new(tag);
    element.set("id", id);
    let classes = kept.attributes.iter().find(|(name, _)| name == "class");
    element.set("class", classes.map_or(kind.to_owned(), |(_, classes)| format!("{kind} {classes}")));
    element.set("data-kind", kind);
    element
}

/// What else stood on an element, behind what is understood.
fn keep(element: &mut Element, kept: &Kept) {
    for (name, value) in &kept.attributes {
        element.set(name, value.as_str());
    }
    if !kept.content.is_empty() {
        element.add_source(kept.content.as_str());
    }
}

/// A dart's leg from where its mouth is written; one too short to be moved is left.
fn starting_at(leg: Curve, mouth: Point) -> Curve {
    leg.with_ends(mouth, leg.end()).unwrap_or(leg)
}

fn purpose_word(purpose: Purpose) -> Option<&'static str> {
    (purpose != Purpose::Plain).then(|| purpose.word())
}

fn origins_text(edge: &Edge) -> Result<String, WriteError> {
    let entry = |origin: &Origin| -> Result<String, WriteError> {
        Ok(format!("{} {} {}", origin.edge, number(origin.from)?, number(origin.to)?))
    };
    Ok(edge.origins.iter().map(entry).collect::<Result<Vec<_>, _>>()?.join("; "))
}

/// Source text, put where it belongs.
pub(super) fn placed(source: &str, place: Affine) -> Result<String, WriteFault> {
    let seen = !(source.starts_with("<!--") || source.starts_with("<?"));
    if place == Affine::IDENTITY || !seen {
        return Ok(source.to_owned());
    }
    if !place.is_finite() {
        return Err(WriteFault::NotFinite(place.determinant()));
    }
    let entries: Vec<String> = place.as_coeffs().iter().map(f64::to_string).collect();
    let matrix = entries.join(" ");
    Ok(format!("<g class=\"{PLACED}\" data-kind=\"{PLACED}\" transform=\"matrix({matrix})\">{source}</g>"))
}
