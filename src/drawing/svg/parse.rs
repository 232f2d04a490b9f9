//! One drawing from beginning to end.

use std::collections::HashMap;
use std::sync::Arc;

use kurbo::Affine;
use roxmltree::{Document, Node as XmlNode, ParsingOptions};

use super::css::{Property, StyleSheets};
use super::entities::{self, Expanded, Origins};
use super::known;
use super::markup::{self, Excess};
use super::model::{SourceText, SvgDrawing, Visibility};
use super::paint::Inherited;
use super::pen::Bound;
use super::shape::parse_transform;
use super::source::{self, TextLines};
use super::text::TextInFile;
use super::viewport::{RootFit, RootSize, fit_root, fit_root_at};
use super::walk::{HandedDown, Hidden, Reader, SVG_NAMESPACE, Standing};
use crate::drawing::common::Said;
use crate::drawing::error::{DrawingError, NamedElement};
use crate::drawing::limits::{ALL_ATTRIBUTES, ATTRIBUTES, DEPTH, NAMESPACES, XML_NODES};
use crate::drawing::note::Note;
use crate::drawing::unit::{Known, ReadOptions, UnitSource};

/// See [`crate::drawing::read`].
pub(in crate::drawing) fn parse(
    bytes: &[u8],
    options: &ReadOptions,
    hidden: Hidden,
    made_anew: Option<Said>,
) -> Result<SvgDrawing, DrawingError> {
    let decoded = source::decode(bytes)?;
    let lines = TextLines::new(&decoded);
    let Expanded { text, origins } = entities::expand(&decoded, &lines)?;
    let shared: Arc<str> = Arc::from(text);
    refuse_excess(&shared, &origins, &lines)?;
    let document = parse_xml(&shared, &origins, &lines)?;
    let css = style_text(&document);
    let file = File {
        document: &document,
        text: || TextInFile { shared: Arc::clone(&shared), origins: &origins, lines: &lines },
        css: &css,
        made_anew,
        hidden,
    };
    file.drawing(options)
}

fn refuse_excess(text: &str, origins: &Origins, lines: &TextLines<'_>) -> Result<(), DrawingError> {
    let Some((excess, offset)) = markup::excess(text) else {
        return Ok(());
    };
    let (line, column) = lines.line_and_column(origins.origin(offset));
    let what = match excess {
        Excess::Depth => {
            let rest = text.get(offset + 1..).unwrap_or_default();
            let tag = rest.chars().take_while(|character| character.is_alphanumeric()).take(20).collect();
            let element = NamedElement { tag, id: None, line, column };
            return Err(DrawingError::TooDeep { element, limit: DEPTH });
        }
        Excess::Attributes => format!("an element has over {ATTRIBUTES} attributes"),
        Excess::AllAttributes => format!("the elements have over {ALL_ATTRIBUTES} attributes"),
        Excess::Namespaces => format!("namespaces are declared over {NAMESPACES} times"),
    };
    Err(DrawingError::Excessive { what, line, column })
}

fn parse_xml<'t>(
    text: &'t str,
    origins: &Origins,
    lines: &TextLines<'_>,
) -> Result<Document<'t>, DrawingError> {
    let options = ParsingOptions { allow_dtd: false, nodes_limit: XML_NODES, ..ParsingOptions::default() };
    Document::parse_with_options(text, options).map_err(|error| {
        if matches!(error, roxmltree::Error::NodesLimitReached) {
            let what = format!("the drawing has over {XML_NODES} elements and texts");
            return DrawingError::Excessive { what, line: 1, column: 1 };
        }
        let unfinished =
            matches!(error, roxmltree::Error::UnclosedRootNode | roxmltree::Error::UnexpectedEndOfStream);
        let at = error.pos();
        let offset = if unfinished {
            text.len()
        } else {
            TextLines::new(text).offset(at.row as usize, at.col as usize)
        };
        let (line, column) = lines.line_and_column(origins.origin(offset));
        let reason = error.to_string().replace(&format!(" at {at}"), "");
        DrawingError::NotXml { reason, line, column }
    })
}

/// All style sheets of the document, one after the other.
fn style_text(document: &Document<'_>) -> String {
    let is_css = |node: &XmlNode<'_, '_>| {
        let kind = node.attribute("type").map_or("", str::trim);
        node.is_element() && node.tag_name().name() == "style" && matches!(kind, "" | "text/css")
    };
    let sheets = document.descendants().filter(is_css);
    let texts = sheets.flat_map(|sheet| sheet.children().filter_map(|child| child.text()));
    texts.flat_map(|text| [text, "\n"]).collect()
}

/// A document with what has to be known of its text.
struct File<'a, 'input, T> {
    document: &'a Document<'input>,
    text: T,
    css: &'a str,
    /// See [`crate::drawing::read_without`].
    made_anew: Option<Said>,
    hidden: Hidden,
}

impl<'a, 'input, T: Fn() -> TextInFile<'a>> File<'a, 'input, T> {
    fn drawing(&self, options: &ReadOptions) -> Result<SvgDrawing, DrawingError> {
        let root = self.document.root_element();
        let namespace = self.namespace()?;
        let sheets = StyleSheets::new(self.css);
        let mut reader = Reader::new(self.document, (self.text)(), &sheets, namespace, Bound::Sheet);
        reader.made_anew = self.made_anew;
        reader.hidden = self.hidden;
        if namespace.is_none() {
            reader.notes.push(Note::NoNamespace);
        }
        let fitted = self.fit(options, namespace)?;
        let frame = root_frame(&reader, root, &fitted)?;
        let nodes = reader.children(root, &frame)?;
        reader.notes.extend(reader.masked.take().map(|element| Note::Masked { element }));
        let inner_namespaces = inner_namespaces(&mut reader, root);
        let [prolog, epilog] = around_root(&reader, root);
        let resolved = ["width", "height", "viewBox", "preserveAspectRatio"];
        let mut root_attributes = declarations(root);
        root_attributes.extend(own_id_and_class(root));
        root_attributes.extend(reader.attributes(root, &resolved));
        Ok(SvgDrawing {
            prolog,
            epilog,
            root_attributes,
            inner_namespaces,
            unit: fitted.source,
            size: fitted.size,
            corner: -fitted.to_mm.translation(),
            nodes,
            definitions: reader.definitions,
            record: reader.record,
            notes: reader.notes,
        })
    }

    /// SVG's, or none; anything else is not SVG.
    fn namespace(&self) -> Result<Option<&'static str>, DrawingError> {
        let root = self.document.root_element();
        let name = root.tag_name();
        match (name.name(), name.namespace()) {
            ("svg", Some(SVG_NAMESPACE)) => Ok(Some(SVG_NAMESPACE)),
            ("svg", None) => Ok(None),
            (tag, namespace) => {
                let element = (self.text)().element(root);
                Err(DrawingError::NotSvg {
                    tag: crate::drawing::common::quoted(tag),
                    namespace: namespace.map(crate::drawing::common::quoted),
                    line: element.line,
                    column: element.column,
                })
            }
        }
    }

    fn fit(&self, options: &ReadOptions, namespace: Option<&'static str>) -> Result<RootFit, DrawingError> {
        let root = self.document.root_element();
        let size = RootSize {
            element: (self.text)().element(root),
            width: root.attribute("width"),
            height: root.attribute("height"),
            view_box: root.attribute("viewBox"),
            aspect: root.attribute("preserveAspectRatio"),
        };
        match &options.known {
            Some(known) => self.fit_known(known, &size, namespace),
            None => fit_root(&size, options),
        }
    }

    /// Reads the drawing once in its own units to measure what is known, then fits by that.
    fn fit_known(
        &self,
        known: &Known,
        size: &RootSize<'_>,
        namespace: Option<&'static str>,
    ) -> Result<RootFit, DrawingError> {
        let root = self.document.root_element();
        let sheets = StyleSheets::new(self.css);
        let mut reader = Reader::new(self.document, (self.text)(), &sheets, namespace, Bound::Finite);
        let (in_units, _) = fit_root_at(size, 1.0)?;
        let frame = root_frame(&reader, root, &in_units)?;
        let nodes = reader.children(root, &frame)?;
        let measured = known::measure(&nodes, known)?;
        let mm_per_unit = known.length_mm / measured;
        let (mut fitted, stated) = fit_root_at(size, mm_per_unit)?;
        let (element, length_mm) = (known.element.clone(), known.length_mm);
        fitted.source = UnitSource::Measured { element, measured, length_mm, mm_per_unit, stated };
        Ok(fitted)
    }
}

/// What the root hands down. Its own `transform` turns about the middle of the sheet (CSS Transforms 1,
/// 4: the outermost `svg` has a box, whose transform origin is its centre).
fn root_frame<'a>(
    reader: &Reader<'a, '_>,
    root: XmlNode<'a, '_>,
    fitted: &RootFit,
) -> Result<HandedDown, DrawingError> {
    let declared = reader.declared(root)?;
    let mut to_mm = fitted.to_mm;
    if let Some(text) = declared.get(Property::Transform) {
        let bad = |reason| reader.bad_attribute(root, "transform", text, reason);
        if declared.get(Property::TransformOrigin).is_some() {
            return Err(bad("with a transform-origin it is not supported on the root"));
        }
        let transform = parse_transform(text).map_err(bad)?;
        let middle = fitted.size.map(|size| size.to_vec2() / 2.0);
        let middle = middle.ok_or_else(|| bad("on the root it needs a width and a height to turn about"))?;
        let in_mm = Affine::scale(fitted.mm_per_px) * transform * Affine::scale(1.0 / fitted.mm_per_px);
        to_mm = Affine::translate(middle) * in_mm * Affine::translate(-middle) * to_mm;
    }
    let mut inherited = Inherited::default().with(&declared);
    if declared.get(Property::Display) == Some("none") || to_mm.determinant() == 0.0 {
        inherited.visibility = Visibility::NotDisplayed;
    }
    Ok(HandedDown { to_mm, viewport: fitted.viewport, inherited, depth: 1, standing: Standing::Itself })
}

/// Comments and instructions before and after the root element.
fn around_root(reader: &Reader<'_, '_>, root: XmlNode<'_, '_>) -> [Vec<SourceText>; 2] {
    let mut before: Vec<SourceText> =
        root.prev_siblings().skip(1).map(|node| reader.text.raw(node)).collect();
    before.reverse();
    let after = root.next_siblings().skip(1).map(|node| reader.text.raw(node)).collect();
    [before, after]
}

/// The namespace declarations that stand on the root.
fn declarations(root: XmlNode<'_, '_>) -> Vec<(String, String)> {
    let declared = root.namespaces().filter(|namespace| namespace.name() != Some("xml"));
    declared.map(|namespace| (xmlns(namespace.name()), namespace.uri().to_owned())).collect()
}

fn xmlns(prefix: Option<&str>) -> String {
    prefix.map_or_else(|| "xmlns".to_owned(), |prefix| format!("xmlns:{prefix}"))
}

fn own_id_and_class(root: XmlNode<'_, '_>) -> Vec<(String, String)> {
    let own = ["id", "class"].into_iter().filter_map(|name| Some((name, root.attribute(name)?)));
    own.map(|(name, value)| (name.to_owned(), value.to_owned())).collect()
}

/// What stands before a prefix that is declared.
const PREFIXED: &str = "xmlns:";

/// Prefixes declared below the root; the first declaration of each counts.
fn inner_namespaces(reader: &mut Reader<'_, '_>, root: XmlNode<'_, '_>) -> Vec<(String, String)> {
    let mut known: HashMap<&str, &str> = HashMap::new();
    let mut inner = Vec::new();
    let declaring =
        |node: &XmlNode<'_, '_>| node.is_element() && reader.text.opening_tag(*node).contains(PREFIXED);
    let nodes: Vec<_> = match reader.text.beyond_opening_tag(root).contains(PREFIXED) {
        true => root.descendants().skip(1).filter(declaring).collect(),
        false => Vec::new(),
    };
    for node in std::iter::once(root).chain(nodes) {
        for (prefix, uri) in
            node.namespaces().filter_map(|namespace| Some((namespace.name()?, namespace.uri())))
        {
            match known.get(prefix) {
                None => {
                    known.insert(prefix, uri);
                    if node != root {
                        inner.push((prefix.to_owned(), uri.to_owned()));
                    }
                }
                Some(found) if *found != uri => {
                    let note = Note::PrefixTwice { prefix: crate::drawing::common::quoted(prefix) };
                    if reader.notes.last() != Some(&note) {
                        reader.notes.push(note);
                    }
                }
                Some(_) => {}
            }
        }
    }
    inner
}
