//! The group of one piece on a written sheet.

use kurbo::BezPath;
use svg::Node;
use svg::node::Blob;
use svg::node::element::Element;

use crate::allowance::CuttingLine;
use crate::curve::{Point, Vec2};
use crate::pattern::{
    Arrows, Dart, DartShape, Edge, EdgeId, EdgeRef, Finish, GirthUse, Grainline, Kept, Level, NamedPoint,
    Notch, NotchCount, Origin, Piece, Press, Selvedge, StyleLine,
};
use crate::sheet::WriteError;
use crate::sheet::attributes::corners_text;
use crate::sheet::drawing::number::{number, path_data};
use crate::sheet::labels::{Label, labels};
use crate::sheet::write::placed;
use crate::sheet::written_seams::WrittenSeams;

/// Length and half width of a grainline's arrow, mm.
const ARROW: (f64, f64) = (7.0, 2.0);

/// How far apart the two ticks of a double notch stand, mm.
const TICKS_APART: f64 = 4.0;

/// One piece to be written.
pub(super) struct PieceWriter<'a> {
    pub piece: &'a Piece,
    pub seams: &'a WrittenSeams,
    pub line: &'a CuttingLine,
}

impl PieceWriter<'_> {
    pub(super) fn group(&self) -> Result<Element, WriteError> {
        let piece = self.piece;
        let mut group = Element::new("g");
        keep(&mut group, &piece.kept);
        group.assign("id", piece.name().as_str());
        group.assign("data-kind", "piece");
        group.assign("data-cut", piece.cut.to_string());
        group.assign("data-cloth", piece.cloth.as_str());
        if !piece.corners.is_empty() {
            group.assign("data-corners", corners_text(&piece.corners));
        }
        group.append(derived("cutting-line", &self.line.path)?);
        for id in piece.edge_ids() {
            group.append(self.edge(id)?);
        }
        for dart in &piece.darts {
            group.append(self.dart(dart)?);
        }
        for level in &piece.levels {
            group.append(self.level(level)?);
        }
        for style in &piece.style_lines {
            group.append(self.style_line(style)?);
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
            group.append(Blob::new(placed(&mark.source, mark.place)));
        }
        for label in labels(piece) {
            group.append(text(&label)?);
        }
        Ok(group)
    }

    fn element(&self, tag: &str, kind: &str, name: &str, kept: &Kept) -> Element {
        let mut element = Element::new(tag);
        keep(&mut element, kept);
        element.assign("id", format!("{}.{name}", self.piece.name()));
        element.assign("data-kind", kind);
        element
    }

    fn path(&self, kind: &str, name: &str, kept: &Kept, path: &BezPath) -> Result<Element, WriteError> {
        let mut element = self.element("path", kind, name, kept);
        element.assign("d", path_data(path)?);
        if !kept.content.is_empty() {
            element.append(Blob::new(kept.content.clone()));
        }
        Ok(element)
    }

    fn edge(&self, id: EdgeId) -> Result<Element, WriteError> {
        let edge = self.piece.edge(id);
        let mut path = self.path("edge", edge.name.as_str(), &edge.kept, &edge.curve.to_path())?;
        path.assign("data-finish", finish_word(edge.finish));
        if edge.finish != Finish::Fold {
            path.assign("data-allowance", edge.allowance.to_string());
        }
        if edge.selvedge == Selvedge::Yes {
            path.assign("data-selvedge", "yes");
        }
        let name = EdgeRef::new(self.piece.name().clone(), edge.name.clone());
        let (sewn_to, ease) = self.seams.attributes(&name);
        if let Some(sewn_to) = sewn_to {
            path.assign("data-sewn-to", sewn_to);
        }
        if let Some(ease) = ease {
            path.assign("data-ease", ease);
        }
        if !edge.origins.is_empty() {
            path.assign("data-origin", origins_text(edge)?);
        }
        Ok(path)
    }

    fn dart(&self, dart: &Dart) -> Result<Element, WriteError> {
        let (first, second) = dart.legs();
        let mut path = first.to_path();
        for element in second.reversed().to_path().elements().iter().skip(1) {
            path.push(*element);
        }
        if matches!(dart.shape, DartShape::Double { .. }) {
            path.close_path();
        }
        let mut element = self.path("dart", dart.name.as_str(), &dart.kept, &path)?;
        if let Press::Toward(edge) = &dart.press {
            element.assign("data-press", edge.as_str());
        }
        Ok(element)
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
        let mut element = self.path("level", level.name.as_str(), &level.kept, &path)?;
        if level.girth == GirthUse::LeftOut {
            element.assign("data-girth", "no");
        }
        Ok(element)
    }

    fn style_line(&self, style: &StyleLine) -> Result<Element, WriteError> {
        self.path("style-line", style.name.as_str(), &style.kept, &style.curve.to_path())
    }

    fn notch(&self, group: &mut Element, notch: &Notch) -> Result<(), WriteError> {
        let Some(id) = self.piece.find_edge(&notch.edge) else { return Ok(()) };
        let curve = &self.piece.edge(id).curve;
        let on = curve.point_at(notch.at);
        let along = curve.tangent_at(notch.at);
        let out = on + along * notch.tick.x + curve.normal_outward(notch.at) * notch.tick.y;
        let mut element = self.path("notch", notch.name.as_str(), &notch.kept, &stroke(on, out))?;
        element.assign("data-count", if notch.count == NotchCount::Double { "2" } else { "1" });
        group.append(element);
        if notch.count == NotchCount::Double {
            let shift = along * TICKS_APART;
            group.append(derived("second-tick", &stroke(on + shift, out + shift))?);
        }
        Ok(())
    }

    fn point(&self, group: &mut Element, point: &NamedPoint) -> Result<(), WriteError> {
        let mut element = self.element("circle", "point", point.name.as_str(), &point.kept);
        element.assign("cx", number(point.at.x)?);
        element.assign("cy", number(point.at.y)?);
        element.assign("r", number(point.radius)?);
        group.append(element);
        let reach = point.radius * 1.8;
        let mut cross = stroke(point.at - Vec2::new(reach, 0.0), point.at + Vec2::new(reach, 0.0));
        cross.extend(stroke(point.at - Vec2::new(0.0, reach), point.at + Vec2::new(0.0, reach)).iter());
        group.append(derived("crossed-circle", &cross)?);
        Ok(())
    }

    fn grainline(&self, group: &mut Element, grain: &Grainline) -> Result<(), WriteError> {
        let path = stroke(grain.start, grain.end);
        let mut element = self.path("grainline", "grain", &grain.kept, &path)?;
        let word = match grain.arrows {
            Arrows::Both => "both",
            Arrows::Start => "start",
            Arrows::End => "end",
        };
        element.assign("data-arrows", word);
        group.append(element);
        let way = grain.direction();
        if matches!(grain.arrows, Arrows::Both | Arrows::End) {
            group.append(derived("arrow", &arrow(grain.end, way))?);
        }
        if matches!(grain.arrows, Arrows::Both | Arrows::Start) {
            group.append(derived("arrow", &arrow(grain.start, -way))?);
        }
        Ok(())
    }
}

fn finish_word(finish: Finish) -> &'static str {
    match finish {
        Finish::Seam => "seam",
        Finish::Hem => "hem",
        Finish::Fold => "fold",
        Finish::Free => "free",
    }
}

fn keep(element: &mut Element, kept: &Kept) {
    for (name, value) in &kept.attributes {
        element.assign(name.as_str(), value.as_str());
    }
}

fn origins_text(edge: &Edge) -> Result<String, WriteError> {
    let entry = |origin: &Origin| -> Result<String, WriteError> {
        Ok(format!("{} {} {}", origin.edge, number(origin.from)?, number(origin.to)?))
    };
    Ok(edge.origins.iter().map(entry).collect::<Result<Vec<_>, _>>()?.join("; "))
}

fn stroke(from: Point, to: Point) -> BezPath {
    let mut path = BezPath::new();
    path.move_to(from);
    path.line_to(to);
    path
}

fn arrow(tip: Point, way: Vec2) -> BezPath {
    let (length, half) = ARROW;
    let (back, across) = (tip - way * length, Vec2::new(-way.y, way.x) * half);
    let mut path = stroke(tip, back + across);
    path.line_to(back - across);
    path.close_path();
    path
}

/// Something made anew each time a sheet is written.
fn derived(shows: &str, path: &BezPath) -> Result<Element, WriteError> {
    let mut element = Element::new("path");
    element.assign("data-kind", "derived");
    element.assign("data-shows", shows);
    element.assign("d", path_data(path)?);
    Ok(element)
}

fn text(label: &Label) -> Result<Element, WriteError> {
    let mut element = Element::new("text");
    element.assign("data-kind", "derived");
    element.assign("data-shows", "label");
    let (x, y) = (number(label.at.x)?, number(label.at.y)?);
    element.assign("x", x.as_str());
    element.assign("y", y.as_str());
    element.assign("font-size", number(label.size)?);
    if label.turn != 0.0 {
        element.assign("transform", format!("rotate({} {x} {y})", number(label.turn)?));
    }
    element.append(svg::node::Text::new(label.text.clone()));
    Ok(element)
}
