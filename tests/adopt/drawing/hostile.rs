//! Files made to hang, overflow or exhaust a reader, and files broken at random.

use proptest::prelude::*;
use retrue::drawing::{DrawingError, Known, ReadOptions, UserUnit, read};

use super::{read_text, sheet};

fn answer(text: &str) -> Result<(), DrawingError> {
    read_text(text).map(|_| ())
}

fn bomb(entities: &str, body: &str) -> String {
    format!("<!DOCTYPE svg [{entities}]>{}", sheet(body))
}

#[test]
fn entity_bombs_are_refused_at_once() {
    let mut nested = "<!ENTITY e0 'ha'>".to_owned();
    for level in 1..=15 {
        nested += &format!("<!ENTITY e{level} '{}'>", format!("&e{};", level - 1).repeat(10));
    }
    let refused = [
        bomb(&nested, "<text>&e15;</text>"),
        bomb(&nested.replace("'ha'", "''"), "<text>&e15;</text>"),
        bomb(&nested, "<path d='&e15;'/>"),
        bomb(
            &format!("<!ENTITY e '{}'>", "x".repeat(100_000)),
            &format!("<text>{}</text>", "&e;".repeat(38_000)),
        ),
    ];
    for text in refused {
        assert!(matches!(answer(&text), Err(DrawingError::EntitySize { .. })));
    }
    let chain: String = (1..=40).map(|level| format!("<!ENTITY e{level} '&e{};'>", level - 1)).collect();
    let deep = bomb(&format!("<!ENTITY e0 ''>{chain}"), "<text>&e40;</text>");
    assert!(matches!(answer(&deep), Err(DrawingError::EntityDepth { .. })));
    let endless = bomb("<!ENTITY a '&b;'><!ENTITY b '&a;'>", "<text>&a;</text>");
    assert!(matches!(answer(&endless), Err(DrawingError::EntityDepth { .. })));
}

#[test]
fn deep_nesting_is_refused_and_the_deepest_allowed_is_read() {
    let nested = |depth: usize, tag: &str| {
        sheet(&format!(
            "{}<path d='M0 0H1'/>{}",
            format!("<{tag}>").repeat(depth),
            format!("</{tag}>").repeat(depth)
        ))
    };
    for depth in [1_023, 100_000] {
        assert!(matches!(answer(&nested(depth, "g")), Err(DrawingError::TooDeep { limit: 512, .. })));
    }
    for tag in ["g", "svg", "a", "switch"] {
        assert!(answer(&nested(510, tag)).is_ok(), "{tag}");
    }
    let mut chain = "<g id='u0'/>".to_owned();
    for level in 1..=600 {
        chain += &format!("<g id='u{level}'><use href='#u{}'/></g>", level - 1);
    }
    let deep_use = sheet(&format!("<defs>{chain}</defs><use href='#u600'/>"));
    assert!(matches!(answer(&deep_use), Err(DrawingError::TooDeep { .. })));
}

#[test]
fn use_that_multiplies_is_refused() {
    let tenfold = |leaf: &str| {
        let mut body = format!("<g id='u0'>{leaf}</g>");
        for level in 1..=9 {
            body += &format!("<g id='u{level}'>{}</g>", format!("<use href='#u{}'/>", level - 1).repeat(10));
        }
        sheet(&format!("<defs>{body}</defs><use href='#u9'/>"))
    };
    assert!(matches!(answer(&tenfold("<rect/>")), Err(DrawingError::TooMany { .. })));
    let long_path = format!("<path d='M0 0{}'/>", "h1".repeat(50_000));
    assert!(matches!(answer(&tenfold(&long_path)), Err(DrawingError::TooManySegments { .. })));
    let long_text = format!("<path data-note='{}'/>", "x".repeat(500_000));
    assert!(matches!(answer(&tenfold(&long_text)), Err(DrawingError::TooMuchText { .. })));
}

#[test]
fn wide_elements_and_many_namespaces_are_refused() {
    let attributes: String = (0..50_000).map(|count| format!(" a{count}=''")).collect();
    assert!(matches!(answer(&sheet(&format!("<g{attributes}/>"))), Err(DrawingError::Excessive { .. })));
    let many: String = (0..10_000)
        .map(|count| format!(" a{count}=''"))
        .collect::<Vec<_>>()
        .chunks(200)
        .map(|part| format!("<g{}/>", part.concat()))
        .collect();
    assert!(matches!(answer(&sheet(&many.repeat(200))), Err(DrawingError::Excessive { .. })));
    let declared: String = (0..50_000).map(|count| format!("<g xmlns:a{count}='b{count}'/>")).collect();
    assert!(matches!(answer(&sheet(&declared)), Err(DrawingError::Excessive { .. })));
}

#[test]
fn style_sheets_cannot_hang_the_reader() {
    let groups = |count: usize| format!("{}{}", "<g class='a'>".repeat(count), "</g>".repeat(count));
    let deep = sheet(&format!("<style>x {}g {{fill:red}}</style>{}", ".a ".repeat(20), groups(400)));
    assert!(matches!(answer(&deep), Err(DrawingError::StyleWork { .. })));
    let many_rules: String = (0..19_000).map(|count| format!("*.c{count}{{fill:red}}")).collect();
    let many = sheet(&format!("<style>{many_rules}</style>{}", "<path/>".repeat(5_000)));
    assert!(matches!(answer(&many), Err(DrawingError::StyleWork { .. })));
    let broken =
        sheet(&format!("<style>{}</style><g style='{}'/>", "a{:}".repeat(100_000), ":;".repeat(200_000)));
    assert!(answer(&broken).is_ok());
    let list =
        sheet(&format!("<style>{}a{{{}}}</style><g/>", "a,".repeat(100_000), "fill:red;".repeat(10_000)));
    assert!(matches!(answer(&list), Err(DrawingError::StyleWork { .. })));
}

#[test]
fn long_files_are_read_in_proportion_to_their_length() {
    assert!(answer(&sheet(&format!("<path d='M0 0{}'/>", "l1-1-1 1".repeat(500_000)))).is_ok());
    assert!(answer(&sheet(&format!("<path d='M0 0{}'/>", "z".repeat(1_000_000)))).is_ok());
    assert!(answer(&sheet(&"<path d='M0 0H1'/>".repeat(60_000))).is_ok());
    assert!(answer(&sheet(&format!("<polyline points='{}'/>", "1 2 ".repeat(300_000)))).is_ok());
    assert!(answer(&sheet(&"<!--".repeat(300_000))).is_err());
    assert!(answer(&format!("<!DOCTYPE svg [{}", "<!ENTITY ".repeat(100_000))).is_err());
    assert!(answer(&sheet(&"&".repeat(1_000_000))).is_err());
    assert!(answer(&format!("<svg {}", "'\"".repeat(300_000))).is_err());
    let late = sheet(&format!("<path d='M0 0{} nan'/>", "l1-1-1 1".repeat(500_000)));
    assert!(matches!(answer(&late), Err(DrawingError::BadPath { .. })));
}

/// Every kind of thing that the reader looks at, so that damage to any of it is tried.
const SPECIMEN: &str = r##"<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE svg [<!ENTITY ns "http://www.w3.org/2000/svg"><!ENTITY d "M1 2"><!ATTLIST svg a CDATA #IMPLIED>]>
<!-- head -->
<svg xmlns="&ns;" xmlns:xlink="http://www.w3.org/1999/xlink" width="90mm" height="60mm" viewBox="0 0 90 60" preserveAspectRatio="xMidYMid meet" transform="rotate(5)">
<style>@media x{} g > .a:first-child, #b[c~="d"] { fill: rgb(1,2,3) !important; stroke-dasharray: 1,2 } /* é */</style>
<defs><path id="p" d="&d;c1 2 3 4 5 6s7 8 9 10Q1 2 3 4t5 6A7 8 9 0 1 2 3z"/><symbol id="s" viewBox="0 0 5 5"><circle r="2%"/></symbol></defs>
<metadata data-kind="record">{"a": 1}</metadata>
<g id="b" class="a b" transform="translate(1,2) rotate(30 4 5) scale(.5) skewX(3) matrix(1 0 0 1 2 3)" style="stroke:red;stroke-width:1.5mm">
<rect x="1" y="2mm" width="3" height="4" rx="1"/><ellipse cx="1" rx="2" ry="3"/><line x2="5"/><polyline points="1,2 3,4"/><polygon points="1,2 3,4 5-6"/>
<use xlink:href="#p" x="1in" y="-2e1"/><use href="#s" width="4" height="5"/><text x="1">Rücken &amp; <tspan>x</tspan></text>
<svg x="1" y="2" width="50%" height="20" viewBox="0 0 9 9" preserveAspectRatio="none"><path d="M0,0L1e-3.5-1E2-1h1v2H3V4"/></svg>
<switch><g requiredExtensions="x"/><g systemLanguage="de, en-GB"/></switch><![CDATA[ <g> ]]><?pi x?><!-- c --></g>
</svg>
"##;

fn options() -> impl Strategy<Value = ReadOptions> {
    let unit = prop_oneof![Just(None), Just(Some(UserUnit::Px)), Just(Some(UserUnit::Mm))];
    let known =
        prop_oneof![3 => Just(None), 1 => Just(Some(Known { element: "b".to_owned(), length_mm: 10.0 }))];
    (unit, known).prop_map(|(unit, known)| ReadOptions { unit, known })
}

/// Damage to one place: where, as a share of the length, how many bytes go, and what comes instead.
fn damage() -> impl Strategy<Value = (f64, usize, Vec<u8>)> {
    let words: [&[u8]; 26] = [
        b"",
        b"<",
        b">",
        b"\"",
        b"'",
        b"&",
        b";",
        b"/",
        b"-->",
        b"<!--",
        b"]]>",
        b"1e38",
        b"1e-320",
        b"nan",
        b"-",
        b"\xFF",
        b"\0",
        b"\xC3\xA9",
        b"0",
        b"<g>",
        b"</g>",
        b"#b",
        b"%",
        b"{",
        b"}",
        b"99999999999999999999",
    ];
    let inserted = prop_oneof![
        4 => proptest::sample::select(words.to_vec()).prop_map(<[u8]>::to_vec),
        1 => proptest::collection::vec(any::<u8>(), 0..4),
    ];
    (0.0..1.0, prop_oneof![Just(0_usize), Just(1), 0_usize..40], inserted)
}

fn is_a_sentence(outcome: Result<retrue::drawing::SvgDrawing, DrawingError>) -> Result<(), TestCaseError> {
    if let Err(error) = outcome {
        prop_assert!(!matches!(error, DrawingError::Internal { .. }), "{}", error);
        prop_assert!(error.to_string().len() > 20, "{}", error);
    }
    Ok(())
}

#[test]
fn the_specimen_itself_is_read() {
    let drawing = read_text(SPECIMEN).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(drawing.record.as_deref(), Some("{\"a\": 1}"));
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 1_000,
        failure_persistence: Some(Box::new(proptest::test_runner::FileFailurePersistence::Direct("tests/drawing/hostile-regressions"))),
        ..ProptestConfig::default()
    })]

    #[test]
    fn any_bytes_end_in_a_drawing_or_a_sentence(bytes in proptest::collection::vec(any::<u8>(), 0..300), options in options()) {
        is_a_sentence(read(&bytes, &options))?;
    }

    #[test]
    fn any_text_in_an_element_ends_in_a_drawing_or_a_sentence(text in "\\PC{0,60}", css in "[a-z{};:#.*@,>/!\"'() é\\[\\]=~-]{0,60}", d in "[MmLlHhVvCcSsQqTtAaZz0-9eE.,+ -]{0,60}") {
        let body = format!("<style>{css}</style><path style='{}' d='{d}'/>{text}", css.replace('\'', ""));
        is_a_sentence(read_text(&sheet(&body)))?;
    }

    #[test]
    fn any_damage_to_a_drawing_ends_in_a_drawing_or_a_sentence(damages in proptest::collection::vec(damage(), 1..5), options in options()) {
        let mut bytes = SPECIMEN.as_bytes().to_vec();
        for (share, removed, inserted) in damages {
            let at = (share * bytes.len() as f64) as usize;
            let end = (at + removed).min(bytes.len());
            bytes.splice(at..end, inserted);
        }
        is_a_sentence(read(&bytes, &options))?;
    }
}
