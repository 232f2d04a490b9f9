//! What is kept of a drawing besides its curves.

use kurbo::{Affine, ParamCurve, Size};
use retrue::drawing::number::path_data;
use retrue::drawing::{Ink, Note, Tag, Visibility, read_file};

use super::{all, curve, read_body, read_text, sheet};

#[test]
fn a_sheet_in_millimetres_comes_through_bit_for_bit() {
    let drawing = read_body(
        r#"<g id="front" data-kind="piece"><path id="front.side" d="M0.1 0.30000000000000004C1e-7 2 3.3333333333333335 4 1 123.45678901234567"/></g>"#,
    );
    let side = &drawing.nodes[0].children[0];
    assert_eq!(
        curve(side),
        "M0.1,0.30000000000000004 C0.0000001,2 3.3333333333333335,4 1,123.45678901234567"
    );
    assert_eq!(side.to_mm, Affine::IDENTITY);
    assert_eq!(drawing.size, Some(Size::new(900.0, 600.0)));
}

/// Writing rounds to a millionth once; nothing moves after that.
#[test]
fn a_hundred_readings_and_writings_move_no_point_by_a_thousandth_of_a_millimetre() {
    let first = read_body(
        "<g transform='rotate(33.3) scale(.7)'><path d='M1 2 C300.1 5 7.7 800 400 333.3 A60 40 12 0 1 500 300 Q1 2 3 4 Z'/></g>",
    );
    let original = first.nodes[0].children[0].geometry.clone().expect("a curve");
    let mut path = original.clone();
    for _ in 0..100 {
        let d = path_data(&path).expect("finite");
        path = read_body(&format!("<path d='{d}'/>")).nodes[0].geometry.clone().expect("a curve");
    }
    assert_eq!(original.elements().len(), path.elements().len());
    for (before, after) in original.segments().zip(path.segments()) {
        for share in [0.0, 0.3, 1.0] {
            let moved = before.eval(share).distance(after.eval(share));
            assert!(moved < 1e-6, "{moved}");
        }
    }
}

#[test]
fn attributes_are_kept_as_written_but_for_those_resolved() {
    let text = r#"<svg xmlns="http://www.w3.org/2000/svg" xmlns:ink="http://example.org/ink" id="top" width="9mm" viewBox="0 0 9 9" ink:version="1">
  <path id="a" class="edge  wide" ink:label="A &amp; B" data-kind="edge" style="fill:none" transform="scale(2)" d="M0 0H1"/>
</svg>"#;
    let drawing = read_text(text).expect("reads");
    let path = &drawing.nodes[0];
    let written: Vec<(&str, &str)> =
        path.attributes.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    assert_eq!(written, [("ink:label", "A & B"), ("data-kind", "edge"), ("style", "fill:none")]);
    assert_eq!(path.classes, ["edge", "wide"]);
    assert_eq!(path.id.as_deref(), Some("a"));
    assert!(path.raw.starts_with("<path id=\"a\"") && path.raw.ends_with("/>"), "{}", path.raw.as_str());
    assert_eq!((path.place.line, path.place.column), (2, 3));
    assert_eq!(&text[path.place.range.clone()], path.raw.as_str());
    assert_eq!((path.context_to_mm, path.to_mm), (Affine::IDENTITY, Affine::scale(2.0)));
    let root: Vec<&str> = drawing.root_attributes.iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(root, ["xmlns", "xmlns:ink", "id", "ink:version"]);
}

#[test]
fn comments_text_foreign_elements_and_instructions_keep_their_place() {
    let body = "<!-- one --><?two three?><text x='1'>fo<tspan>ur</tspan></text>five<image href='six.png'/><x:seven xmlns:x='http://example.org/x'><path d='junk'/></x:seven><title>eight</title>";
    let drawing = read_body(body);
    let kept: Vec<(Tag, &str)> =
        drawing.nodes.iter().map(|node| (node.tag.clone(), node.raw.as_str())).collect();
    let other = |name: &str| Tag::Other(name.to_owned());
    let joined: String = kept.iter().map(|(_, raw)| *raw).collect();
    assert_eq!(joined, body);
    let tags: Vec<Tag> = kept.into_iter().map(|(tag, _)| tag).collect();
    assert_eq!(
        tags,
        [
            Tag::Comment,
            Tag::Instruction,
            Tag::Text,
            Tag::Characters,
            other("image"),
            other("x:seven"),
            other("title")
        ]
    );
    assert_eq!(drawing.nodes[2].text.as_deref(), Some("four"));
    assert_eq!(drawing.nodes[6].text.as_deref(), Some("eight"));
    assert_eq!(drawing.inner_namespaces, [("x".to_owned(), "http://example.org/x".to_owned())]);
}

#[test]
fn what_surrounds_the_root_is_kept() {
    let text = format!(
        "<?xml version='1.0'?>\n<!-- measures: back 17.5 cm -->\n<?look here?>\n{}\n<!-- end -->",
        sheet("")
    );
    let drawing = read_text(&text).expect("reads");
    let raw = |parts: &[retrue::drawing::SourceText]| {
        parts.iter().map(|part| part.as_str().to_owned()).collect::<Vec<_>>()
    };
    assert_eq!(raw(&drawing.prolog), ["<!-- measures: back 17.5 cm -->", "<?look here?>"]);
    assert_eq!(raw(&drawing.epilog), ["<!-- end -->"]);
}

#[test]
fn definitions_are_kept_apart_and_told_from_those_within_raw_text() {
    let drawing = read_body(
        "<defs><path id='p' d='junk'/></defs><style>g{}</style><g><marker id='m'/></g><symbol id='s'/>",
    );
    let raw: Vec<&str> = drawing.definitions.iter().map(|part| part.as_str()).collect();
    assert_eq!(
        raw,
        [
            "<defs><path id='p' d='junk'/></defs>",
            "<style>g{}</style>",
            "<marker id='m'/>",
            "<symbol id='s'/>"
        ]
    );
    let group = &drawing.nodes[0];
    let inside: Vec<bool> = drawing.definitions.iter().map(|part| group.raw.contains(part)).collect();
    assert_eq!(inside, [false, false, true, false]);
}

#[test]
fn the_record_is_read_and_other_metadata_kept() {
    let drawing = read_body(
        "<metadata>theirs</metadata><metadata data-kind='record'>{\"a\":1 &lt; 2}</metadata><metadata data-kind='record'>second</metadata>",
    );
    assert_eq!(drawing.record.as_deref(), Some("{\"a\":1 < 2}"));
    assert_eq!(drawing.nodes.len(), 1);
    assert!(matches!(drawing.notes.as_slice(), [Note::SecondRecord { .. }]));
}

#[test]
fn a_use_takes_its_own_id_and_attributes_first() {
    let drawing = read_body(
        r##"<defs>
          <g id="half" class="piece" data-kind="piece" data-cut="2" transform="translate(10 0)"><path id="half.side" data-kind="edge" d="M0 0V5"/></g>
          <path id="line" class="edge" data-finish="seam" d="M0 0H7"/>
        </defs>
        <use id="front" class="mine" data-cut="1" href="#half" x="100" width="5"/>
        <use id="front.hem" data-finish="hem" href="#line"/>"##,
    );
    let [front, hem] = drawing.nodes.as_slice() else { panic!("two nodes") };
    assert_eq!((front.id.as_deref(), front.source_id.as_deref()), (Some("front"), Some("half")));
    assert_eq!(front.tag, Tag::Use);
    assert_eq!(front.classes, ["mine", "piece"]);
    let attributes: Vec<(&str, &str)> =
        front.attributes.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    assert_eq!(attributes, [("data-cut", "1"), ("data-kind", "piece")]);
    let side = &front.children[0];
    assert_eq!((side.id.as_deref(), side.source_id.as_deref()), (None, Some("half.side")));
    assert_eq!(curve(side), "M110,0 L110,5");
    assert!(front.raw.starts_with("<use id=\"front\""));
    assert_eq!((hem.id.as_deref(), hem.attribute("data-finish")), (Some("front.hem"), Some("hem")));
    assert_eq!(hem.classes, ["edge"]);
    assert_eq!(curve(hem), "M0,0 L7,0");
}

#[test]
fn a_use_of_nothing_stays_and_is_told() {
    let drawing = read_body(r##"<use id="a" href="#none"/><use id="b" href="other.svg#x"/><use id="c"/>"##);
    assert_eq!(drawing.nodes.len(), 3);
    assert_eq!(drawing.notes.len(), 2);
    assert!(drawing.notes[1].to_string().contains("other.svg#x"), "{}", drawing.notes[1]);
}

#[test]
fn what_is_not_displayed_is_kept_unread() {
    let drawing = read_body(
        "<g display='none'><path d='junk'/></g><path style='visibility:hidden' d='M0 0H1'/><switch><g/><path d='junk'/></switch>",
    );
    let [gone, hidden, switch] = drawing.nodes.as_slice() else { panic!("three nodes") };
    assert_eq!((gone.visible, gone.children.len()), (Visibility::NotDisplayed, 0));
    assert_eq!(gone.raw.as_str(), "<g display='none'><path d='junk'/></g>");
    assert_eq!((hidden.visible, curve(hidden).as_str()), (Visibility::Hidden, "M0,0 L1,0"));
    let visible: Vec<Visibility> = switch.children.iter().map(|child| child.visible).collect();
    assert_eq!(visible, [Visibility::Shown, Visibility::Unused]);
}

#[test]
fn paint_is_resolved_in_millimetres() {
    let drawing = read_body(
        "<style>.cut { stroke: #f00; stroke-dasharray: 4 2 } .thin { stroke-width: .5 !important }</style>
        <g transform='scale(2)' fill='none' class='cut'><path class='thin' style='stroke-width:3' d='M0 0H1'/><text>a</text></g>",
    );
    let paint = &drawing.nodes[0].children[0].paint;
    assert_eq!((&paint.fill, &paint.stroke), (&Ink::None, &Ink::Colour([255, 0, 0])));
    assert_eq!((paint.stroke_width, paint.dashes.as_slice()), (1.0, [8.0, 4.0].as_slice()));
}

#[test]
fn entities_of_an_older_editor_are_written_out() {
    let text = r#"<?xml version="1.0" encoding="utf-8"?>
<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd" [
  <!ENTITY ns_svg "http://www.w3.org/2000/svg">
  <!ENTITY side "M0 0V5">
]>
<svg xmlns="&ns_svg;" width="9mm" viewBox="0 0 9 9">
  <path id="a" d="&side;"/>
</svg>"#;
    let drawing = read_text(text).expect("reads");
    let path = &drawing.nodes[0];
    assert_eq!(curve(path), "M0,0 L0,5");
    assert_eq!(path.raw.as_str(), r#"<path id="a" d="M0 0V5"/>"#);
    assert_eq!((path.place.line, path.place.column), (7, 3));
    assert_eq!(&text[path.place.range.clone()], r#"<path id="a" d="&side;"/>"#);
}

#[test]
fn a_missing_namespace_is_tolerated_and_told_and_a_prefixed_one_is_read() {
    let bare = read_text("<svg width='9mm' viewBox='0 0 9 9'><path d='M0 0H1'/></svg>").expect("reads");
    assert_eq!(bare.notes, [Note::NoNamespace]);
    assert_eq!(curve(&bare.nodes[0]), "M0,0 L1,0");
    let prefixed = "<s:svg xmlns:s='http://www.w3.org/2000/svg' width='9mm' viewBox='0 0 9 9'><s:path d='M0 0H1'/><path d='junk'/></s:svg>";
    let prefixed = read_text(prefixed).expect("reads");
    let tags: Vec<&Tag> = all(&prefixed).into_iter().map(|node| &node.tag).collect();
    assert_eq!(tags, [&Tag::Path, &Tag::Other("path".to_owned())]);
}

#[test]
fn other_encodings_are_read() {
    let text = sheet("<text id='ärmel'>Rücken</text>");
    let utf16: Vec<u8> =
        std::iter::once(0xFEFF).chain(text.encode_utf16()).flat_map(u16::to_le_bytes).collect();
    let drawing = retrue::drawing::read(&utf16, &Default::default()).expect("reads");
    assert_eq!(drawing.nodes[0].id.as_deref(), Some("ärmel"));
    let marked = format!("\u{FEFF}{text}");
    assert_eq!(read_text(&marked).expect("reads").nodes[0].text.as_deref(), Some("Rücken"));
}

#[test]
fn a_file_is_read_from_its_path() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("a.svg");
    std::fs::write(&path, sheet("<path d='M0 0H1'/>")).expect("written");
    assert_eq!(read_file(&path, &Default::default()).expect("reads").nodes.len(), 1);
}
