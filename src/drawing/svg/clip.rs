//! Clip paths, and the frames of drawings within the drawing: what hides all that lies outside it.
//!
//! A clip path is read once, in its own space, and shared by all that refer to it. It is not applied here: who reads a
//! drawing as a user sees it has to cut by it.

use crate::curve::WindingRule;
use std::sync::Arc;

use roxmltree::Node as XmlNode;

use super::css::{CssDeclared, Property};
use super::model::{ClipDefinition, ClipUnits, Node, SvgClip, Tag, Visibility};
use super::paint::Inherited;
use super::pen::Bound;
use super::walk::{HandedDown, Reader, Standing};
use crate::drawing::drawn::ClipShape;
use crate::drawing::error::DrawingError;
use crate::drawing::note::Note;

impl<'a, 'input> Reader<'a, 'input> {
    /// What an element declares itself to be clipped by. One that cannot be read is told and hides nothing.
    pub(super) fn clips(
        &mut self,
        xml: XmlNode<'a, 'input>,
        declared: &CssDeclared<'_>,
        node: &Node,
        frame: &HandedDown,
    ) -> Vec<SvgClip> {
        let Some(value) = declared.get(Property::ClipPath).map(str::trim) else { return Vec::new() };
        if matches!(value, "" | "none" | "inherit") {
            return Vec::new();
        }
        match self.definition(value, frame) {
            Ok(Some(ClipDefinition(parts))) => {
                parts.into_iter().map(|(shapes, units)| SvgClip::new(shapes, units, node.to_mm)).collect()
            }
            Ok(None) => Vec::new(),
            Err(reason) => {
                let element = self.text.element(xml);
                self.notes.push(Note::ClipUnread {
                    element,
                    reference: crate::drawing::common::quoted(value),
                    reason,
                });
                Vec::new()
            }
        }
    }

    /// The clip path that a value refers to; nothing where it was found unreadable before.
    fn definition(&mut self, value: &str, frame: &HandedDown) -> Result<Option<ClipDefinition>, String> {
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

    fn read_clip_path(
        &mut self,
        xml: XmlNode<'a, 'input>,
        frame: &HandedDown,
    ) -> Result<ClipDefinition, String> {
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
                Some("evenodd") => WindingRule::EvenOdd,
                _ => WindingRule::NonZero,
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
            parts.extend(self.definition(value, frame)?.into_iter().flat_map(|ClipDefinition(parts)| parts));
        }
        Ok(ClipDefinition(parts))
    }

    /// Whether what reaches beyond the frame of a nested drawing is hidden; it is unless it says otherwise (SVG 2, 3.5).
    pub(super) fn hides_overflow(&self, xml: XmlNode<'a, 'input>) -> Result<bool, DrawingError> {
        Ok(!matches!(self.declared(xml)?.get(Property::Overflow), Some("visible" | "auto")))
    }
}
