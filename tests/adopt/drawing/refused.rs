//! Every refusal, with its place and its way out.

use retrue::drawing::{DrawingError, ReadOptions, read, read_file};

use super::{read_text, refusal, sheet};

fn refused(text: &str) -> DrawingError {
    match read_text(text) {
        Err(error) => error,
        Ok(_) => panic!("read, not refused: {text}"),
    }
}

#[test]
fn files_that_are_no_svg_are_refused() {
    let bytes = |bytes: &[u8]| read(bytes, &ReadOptions::default()).expect_err("refused");
    assert!(matches!(bytes(b""), DrawingError::Empty));
    assert!(!bytes(b"").to_string().contains("SVG"), "it may have been to be a PDF");
    assert!(matches!(bytes(b" \n\t"), DrawingError::Empty));
    assert!(matches!(bytes(&[0x1F, 0x8B, 8, 0]), DrawingError::Compressed));
    assert!(matches!(bytes(b"%PDF-1.4\n"), DrawingError::Pdf));
    assert!(matches!(bytes(b"\x89PNG\r\n\x1a\n"), DrawingError::Encoding { line: 1, .. }));
    assert!(matches!(bytes(b"<svg>\n\xFF</svg>"), DrawingError::Encoding { line: 2, .. }));
    assert!(matches!(bytes(b"front,1,2"), DrawingError::NotXml { .. }));
    assert!(matches!(refused("<html>\n</html>"), DrawingError::NotSvg { line: 1, column: 1, .. }));
    assert!(matches!(
        refused("\n <svg xmlns='http://example.org/'/>"),
        DrawingError::NotSvg { line: 2, column: 2, .. }
    ));
}

#[test]
fn broken_xml_is_refused_where_it_breaks() {
    assert!(matches!(refused("<svg>\n <g>\n</svg>"), DrawingError::NotXml { line: 3, .. }));
    assert!(matches!(
        refused("<svg>\n <g a='1' a='2'/></svg>"),
        DrawingError::NotXml { line: 2, column: 11, .. }
    ));
    assert!(matches!(refused("<svg>\n<g>\n"), DrawingError::NotXml { line: 3, column: 1, .. }));
    assert!(matches!(
        refused("<!DOCTYPE svg [<!ENTITY a 'b\nc'>]><svg>\n&a;<x:g/></svg>"),
        DrawingError::NotXml { line: 3, column: 5, .. }
    ));
    let sentence = refused("<svg>\n <g a='1' a='2'/></svg>").to_string();
    assert_eq!(sentence.matches("2:").count(), 0, "the place stands once: {sentence}");
}

#[test]
fn files_that_cannot_be_opened_are_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    let error = read_file(folder.path(), &ReadOptions::default()).expect_err("a directory");
    assert!(matches!(error, DrawingError::Directory { .. }));
    let error =
        read_file(&folder.path().join("none.svg"), &ReadOptions::default()).expect_err("nothing there");
    assert!(matches!(error, DrawingError::Unreadable { .. }));
}

/// A path is taken whole or not at all, although a browser draws it up to the fault.
#[test]
fn path_data_are_refused_at_the_character_that_breaks_them() {
    let body = "\n<path id='front.side'\n  d='M 0 0\n L 10 10 L nan 5'/>";
    match refusal(body) {
        DrawingError::BadPath { element, position, near, line, column, .. } => {
            assert_eq!((element.id.as_deref(), element.line), (Some("front.side"), 2));
            assert_eq!((position, line, column), (18, 4, 12));
            assert!(near.contains("nan"), "{near}");
        }
        other => panic!("{other}"),
    }
    for d in ["M 0 0 L 10", "M 0 0 L 1e400 0", "L 1 1", "M 0 0 A 1 1 0 2 0 1 1", "M 0 0 inf 1", "M0 0 L1 1 Ω"]
    {
        assert!(matches!(refusal(&format!("<path d='{d}'/>")), DrawingError::BadPath { .. }), "{d}");
    }
}

#[test]
fn coordinates_beyond_every_sheet_are_refused_with_their_value() {
    match refusal("<path id='a' d='M 0 0 L 1e38 5'/>") {
        DrawingError::TooFar { element, x, y, limit } => {
            assert_eq!((element.id.as_deref(), x, y, limit), (Some("a"), 1e38, 5.0, 1e5))
        }
        other => panic!("{other}"),
    }
    for body in [
        "<circle r='1e30'/>",
        "<g transform='scale(1e9)'><rect width='1' height='1'/></g>",
        "<line x1='100001'/>",
        "<g transform='translate(1e300)'><g transform='scale(1e300)'><path d='M1e300 0H1'/></g></g>",
        "<polygon points='0 0 1e200 1'/>",
        "<path d='M0 0A1e300 1e300 0 1 1 1 1'/>",
    ] {
        assert!(matches!(refusal(body), DrawingError::TooFar { .. }), "{body}: {}", refusal(body));
    }
}

#[test]
fn attributes_that_cannot_be_used_are_refused_by_name() {
    for (body, name) in [
        ("<rect id='a' width='1em' height='2'/>", "width"),
        ("<circle r='-1'/>", "r"),
        ("<polyline points='1 2 3'/>", "points"),
        ("<g transform='rotate(1'/>", "transform"),
        ("<g style='transform: rotate(10deg)'/>", "transform"),
        ("<g transform='scale(2)' transform-origin='center'/>", "transform-origin"),
        ("<svg viewBox='0 0 1'/>", "viewBox"),
        ("<svg viewBox='0 0 1 1' preserveAspectRatio='x'/>", "preserveAspectRatio"),
        ("<g transform='scale(1e400)'/>", "transform"),
    ] {
        match refusal(body) {
            DrawingError::BadAttribute { attribute, .. } => assert_eq!(attribute, name, "{body}"),
            other => panic!("{body}: {other}"),
        }
    }
}

#[test]
fn a_use_that_brings_itself_in_is_refused() {
    for body in [
        "<g id='a'><use href='#a'/></g>",
        "<use id='a' href='#a'/>",
        "<g id='a'><use href='#b'/></g><g id='b'><use href='#a'/></g>",
        "<symbol id='s'><use href='#s'/></symbol><use href='#s'/>",
    ] {
        assert!(matches!(refusal(body), DrawingError::UseLoop { .. }), "{body}");
    }
}

#[test]
fn every_sentence_says_what_where_and_the_way_out_on_one_line() {
    for error in [
        refusal("<path id='a' d='M 0 0 L 10'/>"),
        refusal("<rect id='a' width='1em' height='1'/>"),
        refusal("<use id='a' href='#a'/>"),
        refusal("<path id='a' d='M 0 0 L 1e38 0'/>"),
        refused(&sheet("<g>&nbsp;</g>")),
        refused("<a/>"),
    ] {
        let sentence = error.to_string();
        assert!(sentence.contains("line 1") && !sentence.contains('\n') && sentence.len() > 40, "{sentence}");
    }
}
