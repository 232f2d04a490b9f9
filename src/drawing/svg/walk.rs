//! From the XML tree to nodes: what each element is, where it lies and how it shows.

use std::collections::HashMap;

use kurbo::{Affine, Size};
use roxmltree::{Document, Node as XmlNode, NodeId};

use super::css::{CssDeclared, Property, StyleSheets};
use super::length::{ViewportSide, WrittenLength};
use super::model::{ClipDefinition, Node, SourceText, Tag, Visibility};
use super::paint::Inherited;
use super::pen::Bound;
use super::shape::{self, Canvas, geometry_attributes, parse_transform};
use super::text::TextInFile;
use crate::drawing::common::Said;
use crate::drawing::error::{DrawingError, NamedElement};
use crate::drawing::limits::{ATTRIBUTE_OVERHEAD, DEPTH, NODES, SEGMENTS, STYLE_WORK, TEXT_MEGABYTES};
use crate::drawing::note::Note;

pub(super) const SVG_NAMESPACE: &str = "http://www.w3.org/2000/svg";
pub(super) const XLINK_NAMESPACE: &str = "http://www.w3.org/1999/xlink";

/// Elements that are referred to and not drawn where they stand.
const DEFINITIONS: [&str; 14] = [
    "clipPath",
    "cursor",
    "defs",
    "filter",
    "font",
    "hatch",
    "linearGradient",
    "marker",
    "mask",
    "meshgradient",
    "pattern",
    "radialGradient",
    "style",
    "symbol",
];

/// Whether an element stands in the drawing itself or is brought in by a `use`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Standing {
    Itself,
    BroughtIn,
}

/// What is read of groups that are not displayed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::drawing) enum Hidden {
    /// Only that they stand there.
    Unread,
    /// All that they hold.
    Read,
}

/// What an element hands down to those inside it.
#[derive(Clone)]
pub(super) struct HandedDown {
    pub(super) to_mm: Affine,
    /// What percentages are of, in user units.
    pub(super) viewport: Option<Size>,
    pub(super) inherited: Inherited,
    pub(super) depth: usize,
    pub(super) standing: Standing,
}

/// Reads one tree.
pub(super) struct Reader<'a, 'input> {
    pub(super) text: TextInFile<'a>,
    pub(super) sheets: &'a StyleSheets<'a>,
    pub(super) ids: HashMap<&'a str, XmlNode<'a, 'input>>,
    /// Namespace of the drawing's elements: SVG's, or none where the root has none.
    pub(super) namespace: Option<&'static str>,
    pub(super) bound: Bound,
    pub(super) hidden: Hidden,
    /// Elements that are being brought in.
    pub(super) open: Vec<NodeId>,
    /// Clip paths that were read; none for one that cannot be.
    pub(super) clip_paths: HashMap<NodeId, Option<ClipDefinition>>,
    /// The first element that has a mask.
    pub(super) masked: Option<NamedElement>,
    pub(super) definitions: Vec<SourceText>,
    pub(super) record: Option<String>,
    pub(super) notes: Vec<Note>,
    /// What elements say of which nothing but their place is read.
    pub(super) made_anew: Option<Said>,
    nodes_left: usize,
    segments_left: usize,
    text_left: usize,
}

impl<'a, 'input> Reader<'a, 'input> {
    pub(super) fn new(
        document: &'a Document<'input>,
        text: TextInFile<'a>,
        sheets: &'a StyleSheets<'a>,
        namespace: Option<&'static str>,
        bound: Bound,
    ) -> Self {
        let mut ids = HashMap::new();
        for node in document.descendants().filter(XmlNode::is_element) {
            if let Some(id) = node.attribute("id") {
                ids.entry(id).or_insert(node);
            }
        }
        Self {
            text,
            sheets,
            ids,
            namespace,
            bound,
            hidden: Hidden::Unread,
            open: Vec::new(),
            clip_paths: HashMap::new(),
            masked: None,
            definitions: Vec::new(),
            record: None,
            notes: Vec::new(),
            made_anew: None,
            nodes_left: NODES,
            segments_left: SEGMENTS,
            text_left: TEXT_MEGABYTES << 20,
        }
    }

    /// What stands inside `parent`, in order.
    pub(super) fn children(
        &mut self,
        parent: XmlNode<'a, 'input>,
        frame: &HandedDown,
    ) -> Result<Vec<Node>, DrawingError> {
        let mut nodes = Vec::new();
        for child in parent.children() {
            nodes.extend(self.node(child, frame)?);
        }
        Ok(nodes)
    }

    /// One node; `None` for white space, definitions and the record, which are not drawn.
    fn node(&mut self, xml: XmlNode<'a, 'input>, frame: &HandedDown) -> Result<Option<Node>, DrawingError> {
        if xml.is_element() {
            return self.element(xml, frame);
        }
        let blank = xml.text().is_none_or(|text| text.trim().is_empty());
        if frame.standing == Standing::BroughtIn || (xml.is_text() && blank) {
            return Ok(None);
        }
        let tag = if xml.is_comment() {
            Tag::Comment
        } else if xml.is_pi() {
            Tag::Instruction
        } else {
            Tag::Characters
        };
        let mut node = self.plain(tag, xml, frame)?;
        node.text = self.characters(xml, xml.text().filter(|_| xml.is_text()))?;
        Ok(Some(node))
    }

    pub(super) fn element(
        &mut self,
        xml: XmlNode<'a, 'input>,
        frame: &HandedDown,
    ) -> Result<Option<Node>, DrawingError> {
        if frame.depth > DEPTH {
            return Err(DrawingError::TooDeep { element: self.text.element(xml), limit: DEPTH });
        }
        let name = xml.tag_name().name();
        if self.is_svg(xml) {
            if DEFINITIONS.contains(&name) {
                if frame.standing == Standing::Itself {
                    self.definitions.push(self.text.raw(xml));
                }
                return Ok(None);
            }
            if name == "metadata" && xml.attribute("data-kind") == Some("record") {
                self.keep_record(xml);
                return Ok(None);
            }
        }
        if let Some((name, value)) =
            self.made_anew.filter(|(name, value)| xml.attribute(*name) == Some(*value))
        {
            let attributes = vec![(name.to_owned(), value.to_owned())];
            let visible = Visibility::NotDisplayed;
            return Ok(Some(Node { attributes, visible, ..self.unread(self.tag(xml), xml, frame)? }));
        }
        let (mut node, inner) = self.begin(xml, frame)?;
        if let Some(inner) = inner {
            self.fill(&mut node, xml, &inner)?;
        }
        Ok(Some(node))
    }

    /// An element's node with its transform and style, and what it hands down; nothing where it is not
    /// displayed.
    pub(super) fn begin(
        &mut self,
        xml: XmlNode<'a, 'input>,
        frame: &HandedDown,
    ) -> Result<(Node, Option<HandedDown>), DrawingError> {
        let declared = self.declared(xml)?;
        let mut node = self.plain(self.tag(xml), xml, frame)?;
        let hidden_around = frame.inherited.visibility == Visibility::NotDisplayed;
        let is_hidden = declared.get(Property::Display) == Some("none");
        if hidden_around || (is_hidden && !(self.hidden == Hidden::Read && node.tag == Tag::Group)) {
            node.visible = Visibility::NotDisplayed;
            return Ok((node, None));
        }
        let inherited = frame.inherited.with(&declared);
        node.to_mm = frame.to_mm * self.own_transform(xml, &declared, frame.viewport)?;
        node.paint = inherited.paint(node.to_mm);
        node.font_size = inherited.font_size(node.to_mm);
        node.visible = if is_hidden { Visibility::NotDisplayed } else { inherited.visibility };
        if node.to_mm.determinant() == 0.0 {
            node.visible = Visibility::NotDisplayed;
            return Ok((node, None));
        }
        node.clips = self.clips(xml, &declared, &node, frame);
        if declared.get(Property::Mask).is_some_and(|mask| mask.trim().starts_with("url(")) {
            self.masked.get_or_insert_with(|| self.text.element(xml));
        }
        let inner = HandedDown { to_mm: node.to_mm, inherited, depth: frame.depth + 1, ..frame.clone() };
        Ok((node, Some(inner)))
    }

    /// Puts in what a node holds, by what it is.
    fn fill(
        &mut self,
        node: &mut Node,
        xml: XmlNode<'a, 'input>,
        frame: &HandedDown,
    ) -> Result<(), DrawingError> {
        match &node.tag {
            Tag::Group | Tag::Link => node.children = self.children(xml, frame)?,
            Tag::Switch => node.children = self.alternatives(xml, frame)?,
            Tag::Svg => self.fill_svg(node, xml, None, frame)?,
            Tag::Use => self.fill_use(node, xml, frame)?,
            Tag::Text => {
                let text: String =
                    xml.descendants().filter(XmlNode::is_text).filter_map(|part| part.text()).collect();
                node.text = self.characters(xml, Some(&text))?;
            }
            Tag::Other(name) if matches!(name.as_str(), "title" | "desc") => {
                node.text = self.characters(xml, xml.text())?;
            }
            _ => node.geometry = self.geometry(&node.tag, xml, frame)?,
        }
        Ok(())
    }

    /// The alternatives of a `switch`: the first that asks for no extension and no other language is
    /// taken.
    fn alternatives(
        &mut self,
        xml: XmlNode<'a, 'input>,
        frame: &HandedDown,
    ) -> Result<Vec<Node>, DrawingError> {
        let empty = |node: &XmlNode<'_, '_>, name: &str| {
            node.attribute(name).is_none_or(|value| value.trim().is_empty())
        };
        let speaks = |node: &XmlNode<'_, '_>| {
            let english = |language: &str| language.trim() == "en" || language.trim().starts_with("en-");
            node.attribute("systemLanguage").is_none_or(|languages| languages.split(',').any(english))
        };
        let taken = xml
            .children()
            .filter(XmlNode::is_element)
            .find(|child| self.is_svg(*child) && empty(child, "requiredExtensions") && speaks(child));
        let mut nodes = Vec::new();
        for child in xml.children() {
            if child.is_element() && Some(child) != taken {
                let tag = self.tag(child);
                let mut node = self.plain(tag, child, frame)?;
                node.visible = Visibility::Unused;
                nodes.push(node);
            } else {
                nodes.extend(self.node(child, frame)?);
            }
        }
        Ok(nodes)
    }

    /// A node with what every kind has, and nothing resolved.
    fn plain(
        &mut self,
        tag: Tag,
        xml: XmlNode<'a, 'input>,
        frame: &HandedDown,
    ) -> Result<Node, DrawingError> {
        let itself = frame.standing == Standing::Itself;
        let id = xml.attribute("id").map(str::to_owned);
        let attributes = self.attributes(xml, geometry_attributes(&tag));
        let classes = words(xml.attribute("class").unwrap_or_default());
        let copied = text_of(&attributes);
        self.spend_text(xml, copied + xml.attribute("class").map_or(0, str::len))?;
        Ok(Node {
            id: id.clone().filter(|_| itself),
            source_id: id.filter(|_| !itself),
            classes,
            attributes,
            ..self.unread(tag, xml, frame)?
        })
    }

    /// A node of which only the place is known.
    fn unread(
        &mut self,
        tag: Tag,
        xml: XmlNode<'a, 'input>,
        frame: &HandedDown,
    ) -> Result<Node, DrawingError> {
        self.nodes_left = self
            .nodes_left
            .checked_sub(1)
            .ok_or_else(|| DrawingError::TooMany { element: self.text.element(xml), limit: NODES })?;
        Ok(Node {
            tag,
            id: None,
            source_id: None,
            classes: Vec::new(),
            attributes: Vec::new(),
            place: self.text.place(xml),
            raw: self.text.raw(xml),
            context_to_mm: frame.to_mm,
            to_mm: frame.to_mm,
            children: Vec::new(),
            geometry: None,
            text: None,
            visible: frame.inherited.visibility,
            paint: frame.inherited.paint(frame.to_mm),
            font_size: frame.inherited.font_size(frame.to_mm),
            clips: Vec::new(),
        })
    }

    /// Attributes as written, without those that are resolved.
    pub(super) fn attributes(&self, xml: XmlNode<'_, '_>, geometry: &[&str]) -> Vec<(String, String)> {
        let mut attributes = Vec::new();
        for attribute in xml.attributes() {
            let resolved = match (attribute.namespace(), attribute.name()) {
                (None, "id" | "class" | "transform") => true,
                (None, name) => geometry.contains(&name),
                (Some(XLINK_NAMESPACE), "href") => geometry.contains(&"href"),
                (Some(_), _) => false,
            };
            if !resolved {
                let name = self.text.written(attribute.range_qname());
                attributes.push((name.to_owned(), attribute.value().to_owned()));
            }
        }
        attributes
    }

    fn characters(
        &mut self,
        xml: XmlNode<'_, '_>,
        text: Option<&str>,
    ) -> Result<Option<String>, DrawingError> {
        self.spend_text(xml, text.map_or(0, str::len))?;
        Ok(text.map(str::to_owned))
    }

    pub(super) fn spend_text(&mut self, xml: XmlNode<'_, '_>, length: usize) -> Result<(), DrawingError> {
        let left = self.text_left.checked_sub(length);
        let refusal = || DrawingError::TooMuchText { element: self.text.element(xml), limit: TEXT_MEGABYTES };
        self.text_left = left.ok_or_else(refusal)?;
        Ok(())
    }

    fn tag(&self, xml: XmlNode<'_, '_>) -> Tag {
        let other = || Tag::Other(self.qualified_name(xml).to_owned());
        if !self.is_svg(xml) {
            return other();
        }
        match xml.tag_name().name() {
            "g" => Tag::Group,
            "a" => Tag::Link,
            "svg" => Tag::Svg,
            "switch" => Tag::Switch,
            "use" => Tag::Use,
            "path" => Tag::Path,
            "rect" => Tag::Rect,
            "circle" => Tag::Circle,
            "ellipse" => Tag::Ellipse,
            "line" => Tag::Line,
            "polyline" => Tag::Polyline,
            "polygon" => Tag::Polygon,
            "text" => Tag::Text,
            _ => other(),
        }
    }

    /// An element's name with its prefix, as written.
    fn qualified_name(&self, xml: XmlNode<'_, '_>) -> &str {
        let rest = self.text.written(xml.range()).get(1..).unwrap_or_default();
        let length = rest.find(|character: char| character.is_whitespace() || matches!(character, '/' | '>'));
        rest.get(..length.unwrap_or(rest.len())).unwrap_or_default()
    }

    pub(super) fn is_svg(&self, xml: XmlNode<'_, '_>) -> bool {
        let namespace = xml.tag_name().namespace();
        namespace == Some(SVG_NAMESPACE) || namespace == self.namespace
    }

    fn keep_record(&mut self, xml: XmlNode<'_, '_>) {
        if self.record.is_some() {
            self.notes.push(Note::SecondRecord { element: self.text.element(xml) });
            return;
        }
        self.record =
            Some(xml.descendants().filter(XmlNode::is_text).filter_map(|part| part.text()).collect());
    }

    pub(super) fn declared(&self, xml: XmlNode<'a, '_>) -> Result<CssDeclared<'a>, DrawingError> {
        let refusal = |_| DrawingError::StyleWork { element: self.text.element(xml), limit: STYLE_WORK };
        self.sheets.declared(xml).map_err(refusal)
    }

    pub(super) fn own_transform(
        &self,
        xml: XmlNode<'_, '_>,
        declared: &CssDeclared<'_>,
        viewport: Option<Size>,
    ) -> Result<Affine, DrawingError> {
        let Some(text) = declared.get(Property::Transform) else {
            return Ok(Affine::IDENTITY);
        };
        let transform =
            parse_transform(text).map_err(|reason| self.bad_attribute(xml, "transform", text, reason))?;
        let Some(origin) = declared.get(Property::TransformOrigin) else {
            return Ok(transform);
        };
        let words = words(origin);
        let lengths = |side, word: &String| {
            WrittenLength::parse(word).and_then(|length| length.user_units(side, viewport))
        };
        match words.as_slice() {
            [x, y] if !origin.contains('%') => {
                let bad = |reason| self.bad_attribute(xml, "transform-origin", origin, reason);
                let about = (
                    lengths(ViewportSide::Across, x).map_err(bad)?,
                    lengths(ViewportSide::Down, y).map_err(bad)?,
                );
                Ok(Affine::translate(about) * transform * Affine::translate((-about.0, -about.1)))
            }
            _ => Err(self.bad_attribute(xml, "transform-origin", origin, "two lengths were expected")),
        }
    }

    fn geometry(
        &mut self,
        tag: &Tag,
        xml: XmlNode<'_, '_>,
        frame: &HandedDown,
    ) -> Result<Option<kurbo::BezPath>, DrawingError> {
        let canvas = Canvas {
            to_mm: frame.to_mm,
            viewport: frame.viewport,
            bound: self.bound,
            segments_left: self.segments_left,
        };
        let drawn = shape::draw(tag, xml, &canvas).map_err(|fault| self.shape_error(xml, fault))?;
        let segments = drawn.as_ref().map_or(0, |path| path.elements().len());
        self.segments_left = self.segments_left.saturating_sub(segments);
        Ok(drawn)
    }
}

/// Bytes that attributes take.
pub(super) fn text_of(attributes: &[(String, String)]) -> usize {
    let each = |(name, value): &(String, String)| name.len() + value.len() + ATTRIBUTE_OVERHEAD;
    attributes.iter().map(each).sum()
}

fn words(text: &str) -> Vec<String> {
    text.split_whitespace().map(str::to_owned).collect()
}
