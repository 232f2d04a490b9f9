//! Clip paths, and the frames of drawings within the drawing: what hides all that lies outside it.
//!
//! A clip path is read once, in its own space, and shared by all that refer to it. It is not applied here: who reads a
//! drawing as a user sees it has to cut by it.

use std::sync::Arc;

use kurbo::{Affine, BezPath, Rect, Shape, Size};
use roxmltree::Node as XmlNode;

use super::css::{CssDeclared, Property};
use super::error::DrawingError;
use super::model::{Node, Note, Tag, Visibility};
use super::paint::Inherited;
use super::pen::Bound;
use super::walk::{HandedDown, Reader, Standing};

/// A region outside which a node does not show.
#[derive(Clone, Debug)]
pub struct Clip {
    shapes: Arc<[ClipShape]>,
    units: ClipUnits,
    to_mm: Affine,
}

/// A shape of a clip path.
#[derive(Clone, Debug, PartialEq)]
pub struct ClipShape {
    /// Its line.
    pub path: BezPath,
    /// What of it is inside.
    pub winding: Winding,
}

/// Which places are inside a line that goes round them several times.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Winding {
    /// All that it goes round.
    NonZero,
    /// Those that it goes round an odd number of times.
    EvenOdd,
}

/// What a clip path is drawn in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ClipUnits {
    /// The user space of what it clips.
    UserSpace,
    /// Shares of the box around what it clips.
    BoundingBox,
}

impl Clip {
    /// The frame of a nested drawing whose upper left corner is the origin of its space.
    pub(super) fn frame(size: Size, to_mm: Affine) -> Clip {
        let path = Rect::from_origin_size((0.0, 0.0), size).to_path(f64::INFINITY);
        let shapes = Arc::from([ClipShape { path, winding: Winding::NonZero }]);
        Clip { shapes, units: ClipUnits::UserSpace, to_mm }
    }

    pub(super) fn shift(&mut self, shift: Affine) {
        self.to_mm = shift * self.to_mm;
    }

    /// How many segments it has.
    #[must_use]
    pub fn segments(&self) -> usize {
        self.shapes.iter().map(|shape| shape.path.elements().len()).sum()
    }

    /// Its shapes in mm. What lies within any of them shows. `clipped` is the node that it clips: of that, the box counts
    /// where the clip path is drawn in shares of it.
    #[must_use]
    pub fn in_mm(&self, clipped: &Node) -> Vec<ClipShape> {
        let to_mm = match self.units {
            ClipUnits::UserSpace => self.to_mm,
            ClipUnits::BoundingBox => {
                let bounds = box_of(clipped, self.to_mm.inverse());
                self.to_mm
                    * Affine::translate(bounds.origin().to_vec2())
                    * Affine::scale_non_uniform(bounds.width(), bounds.height())
            }
        };
        let placed = |shape: &ClipShape| ClipShape { path: to_mm * shape.path.clone(), ..*shape };
        self.shapes.iter().map(placed).collect()
    }
}

/// The box around all that a node draws, in a space that mm are carried into.
fn box_of(node: &Node, from_mm: Affine) -> Rect {
    let mut bounds: Option<Rect> = None;
    node.walk(&mut |part: &Node| {
        if let Some(path) = &part.geometry {
            let own = (from_mm * path.clone()).bounding_box();
            bounds = Some(bounds.map_or(own, |all| all.union(own)));
        }
    });
    bounds.unwrap_or(Rect::ZERO)
}

/// A clip path as it stands in the file: shapes, and those of the clip path that it is itself clipped by.
#[derive(Clone, Debug)]
pub(super) struct Definition(Vec<(Arc<[ClipShape]>, ClipUnits)>);

impl<'a, 'input> Reader<'a, 'input> {
    /// What an element declares itself to be clipped by. One that cannot be read is told and hides nothing.
    pub(super) fn clips(
        &mut self,
        xml: XmlNode<'a, 'input>,
        declared: &CssDeclared<'_>,
        node: &Node,
        frame: &HandedDown,
    ) -> Vec<Clip> {
        let Some(value) = declared.get(Property::ClipPath).map(str::trim) else { return Vec::new() };
        if matches!(value, "" | "none" | "inherit") {
            return Vec::new();
        }
        match self.definition(value, frame) {
            Ok(Some(Definition(parts))) => {
                parts.into_iter().map(|(shapes, units)| Clip { shapes, units, to_mm: node.to_mm }).collect()
            }
            Ok(None) => Vec::new(),
            Err(reason) => {
                let element = self.text.element(xml);
                self.notes.push(Note::ClipUnread { element, reference: super::quoted(value), reason });
                Vec::new()
            }
        }
    }

    /// The clip path that a value refers to; nothing where it was found unreadable before.
    fn definition(&mut self, value: &str, frame: &HandedDown) -> Result<Option<Definition>, String> {
        let id = value.strip_prefix("url(").and_then(|rest| rest.split(')').next());
        let id = id.map(|id| id.trim().trim_matches(['"', '\'']).trim()).and_then(|id| id.strip_prefix('#'));
        let Some(id) = id else { return Err("only url(#…) is read".to_owned()) };
        let target = self.ids.get(id).copied();
        let target = target.filter(|target| self.is_svg(*target) && target.tag_name().name() == "clipPath");
        let Some(target) = target else { return Err("there is no such clipPath".to_owned()) };
        if let Some(known) = self.clip_paths.get(&target.id()) {
            return Ok(known.clone());
        }
        if self.open.contains(&target.id()) {
            return Err("it is clipped by itself".to_owned());
        }
        self.open.push(target.id());
        let bound = std::mem::replace(&mut self.bound, Bound::Finite);
        let read = self.read_clip_path(target, frame);
        self.bound = bound;
        self.open.pop();
        self.clip_paths.insert(target.id(), read.as_ref().ok().cloned());
        read.map(Some)
    }

    fn read_clip_path(&mut self, xml: XmlNode<'a, 'input>, frame: &HandedDown) -> Result<Definition, String> {
        let said = |error: DrawingError| error.to_string();
        let declared = self.declared(xml).map_err(said)?;
        let to_mm = self.own_transform(xml, &declared, frame.viewport).map_err(said)?;
        let inner = HandedDown {
            to_mm,
            inherited: Inherited::default(),
            depth: frame.depth + 1,
            standing: Standing::BroughtIn,
            ..frame.clone()
        };
        let rule = declared.get(Property::ClipRule);
        let mut shapes = Vec::new();
        for child in xml.children().filter(XmlNode::is_element) {
            let own = self.declared(child).map_err(said)?;
            let winding = match own.get(Property::ClipRule).or(rule) {
                Some("evenodd") => Winding::EvenOdd,
                _ => Winding::NonZero,
            };
            let Some(node) = self.element(child, &inner).map_err(said)? else { continue };
            let mut writing = false;
            node.walk(&mut |part: &Node| {
                writing |= part.tag == Tag::Text && part.visible == Visibility::Shown;
                let shown = part.geometry.as_ref().filter(|_| part.visible == Visibility::Shown);
                shapes.extend(shown.map(|path| ClipShape { path: path.clone(), winding }));
            });
            if writing {
                return Err("it clips by the shapes of letters".to_owned());
            }
        }
        let units = match xml.attribute("clipPathUnits") {
            Some("objectBoundingBox") => ClipUnits::BoundingBox,
            _ => ClipUnits::UserSpace,
        };
        let mut parts = vec![(Arc::from(shapes), units)];
        if let Some(value) = declared.get(Property::ClipPath).map(str::trim).filter(|value| *value != "none")
        {
            parts.extend(self.definition(value, frame)?.into_iter().flat_map(|Definition(parts)| parts));
        }
        Ok(Definition(parts))
    }

    /// Whether what reaches beyond the frame of a nested drawing is hidden; it is unless it says otherwise (SVG 2, 3.5).
    pub(super) fn hides_overflow(&self, xml: XmlNode<'a, 'input>) -> Result<bool, DrawingError> {
        Ok(!matches!(self.declared(xml)?.get(Property::Overflow), Some("visible" | "auto")))
    }
}
