//! Pages as PDF: at 1:1, with layers, bookmarks, page labels, and text that can be searched.
//!
//! Viewers are told not to scale (`PrintScaling`, ISO 32000-1, table 150). Layers are optional content groups. The face
//! is embedded as a subset with a table from letters to characters.

use std::collections::BTreeMap;

use kurbo::{Affine, BezPath, PathEl, Rect, Shape};
use pdf_writer::types::{
    CidFontType, FontFlags, LineCapStyle, LineJoinStyle, PageMode, SystemInfo, UnicodeCmap,
};
use pdf_writer::{Content, Dict, Filter, Finish, Name, Pdf, Ref, Str, TextStr};
use rayon::iter::{IntoParallelRefIterator, ParallelIterator};
use subsetter::GlyphRemapper;

use crate::canvas::{Drawing, FILE, Font, Glyph, Label, Layer, Look, Tone, clean};
use crate::curve::Point;
use crate::show::print::options::PrintError;
use crate::show::print::pages::{Page, Print};
use crate::show::print::paper::Throw;
use crate::units::MM_PER_INCH;

/// Points in a millimetre: 72 to the inch.
const POINTS: f64 = 72.0 / MM_PER_INCH;

/// The name of the embedded face: six letters and a plus sign mark a subset (ISO 32000-1, 9.6.4).
const FACE: Name = Name(b"RETRUE+DejaVuSansCondensed");

/// How many times as strong as on paper lines are that a projector throws: they spread on cloth.
const THROWN_STRONGER: f64 = 2.5;

/// How strongly streams are compressed; more gains little.
const COMPRESSION: u8 = 6;

/// The sine of an angle from which readers take a text apart that does not run along the page; it is then said to them as a
/// whole (`ActualText`, ISO 32000-1, 14.9.4).
const TILTED: f64 = 0.01;

const FONT: Name = Name(b"F1");

/// Gives out references.
struct NewRefs(i32);

impl NewRefs {
    fn next(&mut self) -> Ref {
        self.0 += 1;
        Ref::new(self.0)
    }
}

/// The references of the objects that others point to.
struct Refs {
    catalog: Ref,
    tree: Ref,
    info: Ref,
    outline: Ref,
    font: Ref,
    layers: Vec<Ref>,
    pages: Vec<Ref>,
}

impl Refs {
    fn of(print: &Print, new: &mut NewRefs) -> Refs {
        let [catalog, tree, info, outline, font] = [(); 5].map(|()| new.next());
        let layers = Layer::ALL.iter().map(|_| new.next()).collect();
        let pages = print.pages.iter().map(|_| new.next()).collect();
        Refs { catalog, tree, info, outline, font, layers, pages }
    }
}

/// The letters in use, and their numbers in the subset.
struct LettersInUse {
    remapper: GlyphRemapper,
    shown: BTreeMap<u16, Glyph>,
}

impl LettersInUse {
    fn of(print: &Print) -> LettersInUse {
        let mut letters = LettersInUse { remapper: GlyphRemapper::new(), shown: BTreeMap::new() };
        for glyph in print.letters().flat_map(|text| Font::get().glyphs(text)) {
            let number = letters.remapper.remap(glyph.id);
            letters.shown.entry(number).or_insert(glyph);
        }
        letters
    }

    /// A text as numbers in the subset, two bytes each.
    fn written(&self, text: &str) -> Vec<u8> {
        let number = |glyph: Glyph| self.remapper.get(glyph.id).unwrap_or(0);
        Font::get().glyphs(text).flat_map(|glyph| number(glyph).to_be_bytes()).collect()
    }
}

/// The document.
pub(super) fn write(print: &Print) -> Result<Vec<u8>, PrintError> {
    let mut pdf = Pdf::new();
    pdf.set_version(1, 7);
    let mut new = NewRefs(0);
    let refs = Refs::of(print, &mut new);
    let letters = LettersInUse::of(print);
    layers(&mut pdf, &refs);
    font(&mut pdf, &refs, &mut new, &letters)?;
    let contents: Vec<Vec<u8>> =
        print.pages.par_iter().map(|page| page_content(&letters, print, page)).collect();
    for ((page, content), id) in print.pages.iter().zip(&contents).zip(&refs.pages) {
        let content_id = new.next();
        pdf.stream(content_id, content).filter(Filter::FlateDecode);
        write_page(&mut pdf, &refs, print, page, [*id, content_id]);
    }
    pdf.pages(refs.tree).kids(refs.pages.iter().copied()).count(refs.pages.len() as i32);
    bookmarks(&mut pdf, &refs, &mut new, print);
    pdf.document_info(refs.info)
        .title(TextStr(&clean(&print.title)))
        .creator(TextStr("retrue"))
        .producer(TextStr("retrue"));
    catalog(&mut pdf, &refs, &mut new, print);
    Ok(pdf.finish())
}

fn catalog(pdf: &mut Pdf, refs: &Refs, new: &mut NewRefs, print: &Print) {
    let labels: Vec<Ref> = print.pages.iter().map(|_| new.next()).collect();
    for (page, id) in print.pages.iter().zip(&labels) {
        pdf.indirect(*id).dict().pair(Name(b"P"), TextStr(&clean(&page.label)));
    }
    let mut catalog = pdf.catalog(refs.catalog);
    catalog.pages(refs.tree).outlines(refs.outline).page_mode(PageMode::UseOutlines).lang(TextStr("en"));
    let mut preferences = catalog.viewer_preferences();
    preferences.display_doc_title(true).pair(Name(b"PrintScaling"), Name(b"None"));
    preferences.finish();
    let mut tree = catalog.page_labels();
    let mut numbers = tree.nums();
    for (index, id) in labels.iter().enumerate() {
        numbers.insert(index as i32, *id);
    }
    numbers.finish();
    tree.finish();
    let mut properties = catalog.insert(Name(b"OCProperties")).dict();
    properties.insert(Name(b"OCGs")).array().items(refs.layers.iter().copied());
    let mut shown = properties.insert(Name(b"D")).dict();
    shown.pair(Name(b"Name"), TextStr("All lines"));
    shown.insert(Name(b"Order")).array().items(refs.layers.iter().copied());
    shown.insert(Name(b"ON")).array().items(refs.layers.iter().copied());
}

fn layers(pdf: &mut Pdf, refs: &Refs) {
    for (layer, id) in Layer::ALL.iter().zip(&refs.layers) {
        let mut group: Dict = pdf.indirect(*id).dict();
        group.pair(Name(b"Type"), Name(b"OCG")).pair(Name(b"Name"), TextStr(layer.title()));
    }
}

/// The name of a layer in a page's resources.
fn layer_name(layer: Layer) -> Name<'static> {
    match layer {
        Layer::Cutting => Name(b"L1"),
        Layer::Stitching => Name(b"L2"),
        Layer::Marks => Name(b"L3"),
        Layer::Labels => Name(b"L4"),
        Layer::Pages => Name(b"L5"),
    }
}

/// The size of a page's paper, points.
fn paper_of(print: &Print, page: &Page) -> (f64, f64) {
    (page.page.width * print.stretch.x * POINTS, page.page.height * print.stretch.y * POINTS)
}

/// What is drawn on a page, compressed.
fn page_content(letters: &LettersInUse, print: &Print, page: &Page) -> Vec<u8> {
    let paper = paper_of(print, page);
    let to_paper = Affine::translate((0.0, paper.1))
        * Affine::scale_non_uniform(print.stretch.x * POINTS, -print.stretch.y * POINTS);
    let mut writer = Writer { content: Content::new(), letters, to_paper, throw: print.throw };
    writer.content.set_line_cap(LineCapStyle::ButtCap).set_line_join(LineJoinStyle::MiterJoin);
    if print.throw.is_some() {
        writer.content.set_fill_gray(writer.grey(Tone::White));
        writer.path(&Rect::from_origin_size(Point::ORIGIN, page.page).to_path(0.1));
        writer.content.fill_nonzero();
    }
    writer.drawing(&page.furniture, |tone| tone == Tone::Pale);
    writer.content.save_state();
    writer.path(&page.window.to_path(0.1));
    writer.content.clip_nonzero().end_path();
    writer.drawing(&page.content, |_| true);
    writer.content.restore_state();
    writer.drawing(&page.furniture, |tone| tone != Tone::Pale);
    miniz_oxide::deflate::compress_to_vec_zlib(&writer.content.finish(), COMPRESSION)
}

fn write_page(pdf: &mut Pdf, refs: &Refs, print: &Print, page: &Page, [id, content_id]: [Ref; 2]) {
    let paper = paper_of(print, page);
    let mut written = pdf.page(id);
    written.parent(refs.tree).contents(content_id);
    written.media_box(pdf_writer::Rect::new(0.0, 0.0, paper.0 as f32, paper.1 as f32));
    let mut resources = written.resources();
    resources.fonts().pair(FONT, refs.font);
    let mut properties = resources.insert(Name(b"Properties")).dict();
    for (layer, id) in Layer::ALL.into_iter().zip(&refs.layers) {
        properties.pair(layer_name(layer), *id);
    }
}

/// Writes drawings onto a page.
struct Writer<'a> {
    content: Content,
    letters: &'a LettersInUse,
    /// From millimetres of the page, y downward, to points of the paper, y upward.
    to_paper: Affine,
    throw: Option<Throw>,
}

impl Writer<'_> {
    /// How light an ink is, from 0 to 1.
    fn grey(&self, tone: Tone) -> f32 {
        match self.throw {
            Some(Throw::LightOnDark) => 1.0 - tone.grey() as f32,
            Some(Throw::DarkOnLight) | None => tone.grey() as f32,
        }
    }

    /// How many times as strong lines are as on paper.
    fn strength(&self) -> f64 {
        if self.throw.is_some() { THROWN_STRONGER } else { 1.0 }
    }

    /// What of a drawing has one of the tones, layer by layer.
    fn drawing(&mut self, drawing: &Drawing, wanted: impl Fn(Tone) -> bool) {
        for layer in Layer::ALL {
            let fills: Vec<_> =
                drawing.fills.iter().filter(|fill| fill.layer == layer && wanted(fill.tone)).collect();
            let mut strokes: Vec<_> = drawing
                .strokes
                .iter()
                .map(|stroke| (stroke.kind.look(), stroke))
                .filter(|(look, stroke)| stroke.kind.layer() == layer && wanted(look.tone))
                .collect();
            strokes.sort_by_key(|(_, stroke)| stroke.kind);
            let labels: Vec<_> =
                drawing.labels.iter().filter(|label| label.layer == layer && wanted(label.tone)).collect();
            if fills.is_empty() && strokes.is_empty() && labels.is_empty() {
                continue;
            }
            self.content
                .begin_marked_content_with_properties(Name(b"OC"))
                .properties_named(layer_name(layer));
            for fill in fills {
                self.content.set_fill_gray(self.grey(fill.tone));
                self.path(&fill.path);
                self.content.fill_nonzero();
            }
            let mut last: Option<Look> = None;
            for (look, stroke) in strokes {
                if last != Some(look) {
                    self.look(look);
                    last = Some(look);
                }
                self.path(&stroke.path);
                self.content.stroke();
            }
            self.labels(&labels);
            self.content.end_marked_content();
        }
    }

    fn look(&mut self, look: Look) {
        let (strength, grey) = (self.strength(), self.grey(look.tone));
        let dash = look.dash.iter().map(|length| (length * strength * POINTS) as f32);
        self.content.set_line_width((look.width * strength * POINTS) as f32);
        self.content.set_stroke_gray(grey);
        self.content.set_dash_pattern(dash, 0.0);
    }

    fn path(&mut self, path: &BezPath) {
        let to = |point: Point| {
            let point = self.to_paper * point;
            (point.x as f32, point.y as f32)
        };
        let mut last = Point::ORIGIN;
        for element in path.elements() {
            match *element {
                PathEl::MoveTo(a) => {
                    let (x, y) = to(a);
                    self.content.move_to(x, y);
                }
                PathEl::LineTo(a) => {
                    let (x, y) = to(a);
                    self.content.line_to(x, y);
                }
                PathEl::QuadTo(a, b) => {
                    let cubic = kurbo::QuadBez::new(last, a, b).raise();
                    let ((x1, y1), (x2, y2), (x3, y3)) = (to(cubic.p1), to(cubic.p2), to(cubic.p3));
                    self.content.cubic_to(x1, y1, x2, y2, x3, y3);
                }
                PathEl::CurveTo(a, b, c) => {
                    let ((x1, y1), (x2, y2), (x3, y3)) = (to(a), to(b), to(c));
                    self.content.cubic_to(x1, y1, x2, y2, x3, y3);
                }
                PathEl::ClosePath => {
                    self.content.close_path();
                }
            }
            last = element.end_point().unwrap_or(last);
        }
    }

    fn labels(&mut self, labels: &[&Label]) {
        if labels.is_empty() {
            return;
        }
        self.content.begin_text();
        for label in labels {
            let start = self.to_paper * (label.at - label.along * (label.width() / 2.0));
            let size = (label.size * POINTS) as f32;
            let (cos, sin) = (label.along.x as f32, -label.along.y as f32);
            self.content.set_fill_gray(self.grey(label.tone));
            self.content.set_font(FONT, size);
            self.content.set_text_matrix([cos, sin, -sin, cos, start.x as f32, start.y as f32]);
            let tilted = label.along.x.abs().min(label.along.y.abs()) > TILTED;
            if tilted {
                let mut span = self.content.begin_marked_content_with_properties(Name(b"Span"));
                span.properties().pair(Name(b"ActualText"), TextStr(&clean(&label.text)));
            }
            self.content.show(Str(&self.letters.written(&label.text)));
            if tilted {
                self.content.end_marked_content();
            }
        }
        self.content.end_text();
    }
}

fn bookmarks(pdf: &mut Pdf, refs: &Refs, new: &mut NewRefs, print: &Print) {
    let marks: Vec<(&str, Point, &Page, Ref)> = print
        .pages
        .iter()
        .zip(&refs.pages)
        .flat_map(|(page, id)| page.bookmarks.iter().map(move |(title, at)| (title.as_str(), *at, page, *id)))
        .collect();
    let ids: Vec<Ref> = marks.iter().map(|_| new.next()).collect();
    for (i, (title, at, page, id)) in marks.iter().enumerate() {
        let place = Rect::from_origin_size(Point::ORIGIN, page.page);
        let left = at.x.clamp(place.x0, place.x1) * print.stretch.x * POINTS;
        let top = (page.page.height - at.y.clamp(place.y0, place.y1)) * print.stretch.y * POINTS;
        let mut item = pdf.outline_item(ids[i]);
        item.title(TextStr(&clean(title))).parent(refs.outline);
        if i > 0 {
            item.prev(ids[i - 1]);
        }
        if let Some(next) = ids.get(i + 1) {
            item.next(*next);
        }
        item.dest().page(*id).xyz(left as f32, top as f32, None);
    }
    let mut outline = pdf.outline(refs.outline);
    if let (Some(first), Some(last)) = (ids.first(), ids.last()) {
        outline.first(*first).last(*last).count(ids.len() as i32);
    }
}

/// Measures in a face's own units, a thousand to its height.
fn thousandths(share: f64) -> f32 {
    (share * 1000.0) as f32
}

fn font(pdf: &mut Pdf, refs: &Refs, new: &mut NewRefs, letters: &LettersInUse) -> Result<(), PrintError> {
    let [cid, descriptor, file, to_unicode] = [(); 4].map(|()| new.next());
    let system = SystemInfo { registry: Str(b"Adobe"), ordering: Str(b"Identity"), supplement: 0 };
    pdf.type0_font(refs.font)
        .base_font(FACE)
        .encoding_predefined(Name(b"Identity-H"))
        .descendant_font(cid)
        .to_unicode(to_unicode);
    let mut written = pdf.cid_font(cid);
    written
        .subtype(CidFontType::Type2)
        .base_font(FACE)
        .system_info(system)
        .font_descriptor(descriptor)
        .cid_to_gid_map_predefined(Name(b"Identity"));
    let mut widths = written.widths();
    for (number, glyph) in &letters.shown {
        widths.same(*number, *number, thousandths(Font::get().advance(glyph.id)));
    }
    widths.finish();
    written.finish();
    let measures = Font::get().measures();
    let [left, bottom, right, top] = measures.bounds.map(thousandths);
    pdf.font_descriptor(descriptor)
        .name(FACE)
        .flags(FontFlags::NON_SYMBOLIC)
        .bbox(pdf_writer::Rect::new(left, bottom, right, top))
        .italic_angle(0.0)
        .ascent(thousandths(measures.ascent))
        .descent(thousandths(measures.descent))
        .cap_height(thousandths(measures.capitals))
        .stem_v(STEM)
        .font_file2(file);
    let subset =
        subsetter::subset(FILE, 0, &letters.remapper).map_err(|error| PrintError::Face(error.to_string()))?;
    let bytes = miniz_oxide::deflate::compress_to_vec_zlib(&subset, COMPRESSION);
    let mut stream = pdf.stream(file, &bytes);
    stream.filter(Filter::FlateDecode).pair(Name(b"Length1"), subset.len() as i32);
    stream.finish();
    let mut cmap = UnicodeCmap::new(Name(b"Retrue"), system);
    for (number, glyph) in &letters.shown {
        cmap.pair(*number, glyph.shows);
    }
    let bytes = miniz_oxide::deflate::compress_to_vec_zlib(&cmap.finish(), COMPRESSION);
    pdf.stream(to_unicode, &bytes).filter(Filter::FlateDecode);
    Ok(())
}

/// Width of the face's upright stems, in thousandths of its height; readers use it only where the face is missing.
const STEM: f32 = 80.0;
