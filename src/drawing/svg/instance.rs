//! `use`, `symbol` and `svg` inside `svg`.

use kurbo::{Affine, Size};
use roxmltree::Node as XmlNode;

use super::length::ViewportSide;
use super::model::SvgClip;
use super::model::{Node, Visibility};
use super::shape::LengthAttributes;
use super::viewport::{ViewBoxFit, parse_aspect, parse_view_box};
use super::walk::{HandedDown, Reader, Standing, XLINK_NAMESPACE, text_of};
use crate::drawing::error::DrawingError;
use crate::drawing::note::Note;

/// Puts into a node what its element holds, in the size that a `use` may give it.
type FillReader<'a, 'input> = fn(
    &mut Reader<'a, 'input>,
    &mut Node,
    XmlNode<'a, 'input>,
    Option<XmlNode<'a, 'input>>,
    &HandedDown,
) -> Result<(), DrawingError>;

impl<'a, 'input> Reader<'a, 'input> {
    /// Puts what a `use` refers to into its node. A shape makes a shape of it, a container a container;
    /// its own id and attributes go before those of what it refers to. Where that is missing or in
    /// another file, the node stays as it is and a note tells so.
    pub(super) fn fill_use(
        &mut self,
        node: &mut Node,
        xml: XmlNode<'a, 'input>,
        frame: &HandedDown,
    ) -> Result<(), DrawingError> {
        let Some(reference) = xml.attribute("href").or_else(|| xml.attribute((XLINK_NAMESPACE, "href")))
        else {
            return Ok(());
        };
        let target = reference.trim().strip_prefix('#').and_then(|id| self.ids.get(id).copied());
        let Some(target) = target.filter(|target| self.is_svg(*target)) else {
            let element = self.text.element(xml);
            self.notes.push(Note::MissingReference {
                element,
                reference: crate::drawing::common::quoted(reference),
            });
            return Ok(());
        };
        if self.open.contains(&target.id()) {
            return Err(DrawingError::UseLoop {
                element: self.text.element(xml),
                reference: crate::drawing::common::quoted(reference),
            });
        }
        let corner =
            self.attributes_of(xml, frame).point("x", "y").map_err(|fault| self.shape_error(xml, fault))?;
        let inner = HandedDown {
            to_mm: frame.to_mm * Affine::translate(corner.to_vec2()),
            standing: Standing::BroughtIn,
            ..frame.clone()
        };
        self.open.push(target.id());
        let brought = match target.tag_name().name() {
            "symbol" => Some(self.sized(target, xml, &inner, Self::fill_viewport)?),
            "svg" => Some(self.sized(target, xml, &inner, Self::fill_svg)?),
            _ => self.element(target, &inner)?,
        };
        self.open.pop();
        if let Some(brought) = brought {
            self.spend_text(xml, text_of(&brought.attributes))?;
            overlay(node, brought, target.attribute("id"));
        }
        Ok(())
    }

    /// A `symbol` or `svg` brought in by the `use` `by`, in the size that this gives it.
    fn sized(
        &mut self,
        xml: XmlNode<'a, 'input>,
        by: XmlNode<'a, 'input>,
        frame: &HandedDown,
        fill: FillReader<'a, 'input>,
    ) -> Result<Node, DrawingError> {
        let (mut node, inner) = self.begin(xml, frame)?;
        if let Some(inner) = inner {
            fill(self, &mut node, xml, Some(by), &inner)?;
        }
        Ok(node)
    }

    /// An `svg` inside another: `x` and `y` move it, `viewBox` scales it.
    pub(super) fn fill_svg(
        &mut self,
        node: &mut Node,
        xml: XmlNode<'a, 'input>,
        by: Option<XmlNode<'a, 'input>>,
        frame: &HandedDown,
    ) -> Result<(), DrawingError> {
        let corner =
            self.attributes_of(xml, frame).point("x", "y").map_err(|fault| self.shape_error(xml, fault))?;
        let moved = HandedDown { to_mm: frame.to_mm * Affine::translate(corner.to_vec2()), ..frame.clone() };
        self.fill_viewport(node, xml, by, &moved)
    }

    /// Reads what stands in `xml`, fitted by its `viewBox` into its size, which `by` may override.
    fn fill_viewport(
        &mut self,
        node: &mut Node,
        xml: XmlNode<'a, 'input>,
        by: Option<XmlNode<'a, 'input>>,
        frame: &HandedDown,
    ) -> Result<(), DrawingError> {
        let size = self.viewport_size(xml, by, frame)?;
        let mut inner = frame.clone();
        match xml.attribute("viewBox") {
            Some(text) => {
                let bad = |name, text: &str, reason| self.bad_attribute(xml, name, text, reason);
                let view_box = parse_view_box(text).map_err(|reason| bad("viewBox", text, reason))?;
                let aspect = xml.attribute("preserveAspectRatio").unwrap_or("xMidYMid");
                let aspect =
                    parse_aspect(aspect).map_err(|reason| bad("preserveAspectRatio", aspect, reason))?;
                let size =
                    size.ok_or_else(|| bad("viewBox", text, "it needs a width and a height to fill"))?;
                inner.to_mm = frame.to_mm * ViewBoxFit::new(view_box, size, aspect).affine();
                inner.viewport = Some(view_box.size());
            }
            None => inner.viewport = size.or(frame.viewport),
        }
        if let Some(size) = size
            && self.hides_overflow(xml)?
        {
            node.clips.push(SvgClip::frame(size, frame.to_mm));
        }
        node.to_mm = inner.to_mm;
        if inner.to_mm.determinant() == 0.0 {
            node.visible = Visibility::NotDisplayed;
            return Ok(());
        }
        node.children = self.children(xml, &inner)?;
        Ok(())
    }

    /// Width and height, each from `by`, else from `xml` (a `symbol` has none), else all of the
    /// viewport around.
    fn viewport_size(
        &self,
        xml: XmlNode<'_, '_>,
        by: Option<XmlNode<'_, '_>>,
        frame: &HandedDown,
    ) -> Result<Option<Size>, DrawingError> {
        let own = Some(xml).filter(|xml| xml.tag_name().name() == "svg");
        let mut sides = [frame.viewport.map(|size| size.width), frame.viewport.map(|size| size.height)];
        for source in [own, by].into_iter().flatten() {
            let read = self.attributes_of(source, frame);
            let error = |fault| self.shape_error(source, fault);
            let [width, height] = sides;
            sides = [
                read.size("width", ViewportSide::Across).map_err(error)?.or(width),
                read.size("height", ViewportSide::Down).map_err(error)?.or(height),
            ];
        }
        let [width, height] = sides;
        Ok(width.zip(height).map(|(width, height)| Size::new(width, height)))
    }

    fn attributes_of<'x, 'y>(
        &self,
        element: XmlNode<'x, 'y>,
        frame: &HandedDown,
    ) -> LengthAttributes<'x, 'y> {
        LengthAttributes { element, viewport: frame.viewport }
    }
}

/// Gives `node`, which is a `use`, what `brought` holds; its own attributes stay and go first.
fn overlay(node: &mut Node, brought: Node, source_id: Option<&str>) {
    node.source_id = source_id.map(str::to_owned);
    for class in brought.classes {
        if !node.classes.contains(&class) {
            node.classes.push(class);
        }
    }
    let own = node.attributes.len();
    for (name, value) in brought.attributes {
        let stated = node.attributes.get(..own).unwrap_or_default().iter().any(|(stated, _)| *stated == name);
        if !stated {
            node.attributes.push((name, value));
        }
    }
    node.to_mm = brought.to_mm;
    node.children = brought.children;
    node.geometry = brought.geometry;
    node.text = brought.text;
    node.visible = brought.visible;
    node.paint = brought.paint;
    node.clips.extend(brought.clips);
}
