//! What is not understood is carried along, where it was and as it looked.

use retrue::curve::Point;

use crate::{after_trips, pocket, pocket_with, read};

/// Each passage stands in the text once, and no more often after any number of trips.
fn survive(text: &str, passages: &[&str]) {
    let mut written = text.to_owned();
    for trip in 1..=3 {
        written = after_trips(&written, 1);
        for passage in passages {
            let count = written.matches(passage).count();
            assert_eq!(count, 1, "after {trip} trips `{passage}` stands {count} times in:\n{written}");
        }
    }
    assert_eq!(written, after_trips(&written, 1));
}

#[test]
fn comments_titles_and_unknown_elements() {
    let on_it = r#"<!-- on the pocket --><title>Pocket &amp; flap</title>
        <text id="note" x="60" y="60">Turn <tspan>under</tspan></text><rect id="label" class="a b" x="70" y="70" width="9" height="9"/>"#;
    let beside = "<!-- beside --><title>All</title><image id=\"photo\" width=\"9\" height=\"9\"/>";
    let text = format!("<!-- before --><?keep this?>{}<!-- after -->", pocket_with(on_it, beside, ""));
    survive(
        &text,
        &[
            "<!-- before -->",
            "<?keep this?>",
            "<!-- after -->",
            "<!-- on the pocket -->",
            "<title>Pocket &amp; flap</title>",
            "<tspan>under</tspan>",
            r#"class="a b""#,
            "<!-- beside -->",
            "<title>All</title>",
            r#"id="photo""#,
        ],
    );
}

#[test]
fn attributes_and_content_of_what_is_understood() {
    let own = r#"class="edge mine" data-own="1" style='font-family:"Serif"' onclick="a(&quot;b&quot;)""#;
    let text = pocket_with("", "", r#"id="root" class="sheet" data-project="x" xmlns:tool="urn:tool" tool:version="2""#)
        .replace(r#"right" data-kind="edge" d="M 150 50 V 150"/>"#, &format!(
            r#"right" data-kind="edge" {own} tool:label="r" d="M 150 50 V 150"><title>Right</title><desc>d</desc></path>"#
        ))
        .replace(r#"data-kind="piece""#, r#"data-kind="piece" data-mine="yes" class="left""#);
    survive(
        &text,
        &[
            r#"class="edge mine""#,
            r#"data-own="1""#,
            "font-family:&quot;Serif&quot;",
            "a(&quot;b&quot;)",
            r#"tool:label="r""#,
            "<title>Right</title><desc>d</desc>",
            r#"class="piece left""#,
            r#"data-mine="yes""#,
            r#"id="root""#,
            r#"data-project="x""#,
            r#"xmlns:tool="urn:tool""#,
            r#"tool:version="2""#,
        ],
    );
}

/// A definition inside what is kept is not written a second time, nor is one more with each trip.
#[test]
fn definitions_wherever_they_stand() {
    let on_it = r##"<g id="shade"><defs><linearGradient id="one"/></defs><path d="M70 70H80V80Z" fill="url(#one)"/></g>
        <linearGradient id="two"/>"##;
    let beside = r#"<g><pattern id="three" width="2" height="2"/><path d="M0 0H9"/></g><style>.own { fill: red }</style>"#;
    survive(
        &pocket_with(on_it, beside, ""),
        &[
            r#"id="one""#,
            r#"id="two""#,
            r#"id="three""#,
            ".own { fill: red }",
            r#"<style data-kind="derived">"#,
        ],
    );
}

/// Layers are taken apart around pieces, but what they bear is not lost, nor how they make things look.
#[test]
fn layers_around_pieces() {
    let text = pocket_with("", "", "")
        .replace("<g id=\"pocket\"", "<g id=\"layer\" class=\"l\" stroke=\"red\" transform=\"translate(5 0)\"><path id=\"frame\" d=\"M0 0H9\"/><g id=\"inner\"><g id=\"pocket\"")
        .replace("</g>", "</g></g></g>");
    survive(&text, &["id=\"layer\"", "id=\"inner\"", "class=\"l\"", "stroke=\"red\"", "id=\"frame\""]);
    let pattern = read(&text);
    let source = &pattern.background.foreign[0].source;
    assert_eq!(source, r#"<g id="layer" class="l" stroke="red"><path id="frame" d="M0 0H9"/></g>"#);
    assert_eq!(pattern.background.foreign[0].place.as_coeffs(), [1.0, 0.0, 0.0, 1.0, 5.0, 0.0]);
}

#[test]
fn groups_inside_pieces() {
    let on_it = r#"<g id="marks" class="m" stroke="blue"><path id="pocket.n" data-kind="notch" d="M 100 50 V 44"/>
        <path id="fly" d="M 60 60 H 70"/></g>"#;
    survive(&pocket(on_it), &[r#"id="marks""#, r#"id="pocket.n""#, r#"id="fly""#]);
    let pattern = read(after_trips(&pocket(on_it), 2));
    assert_eq!(pattern.pieces().next().unwrap().notches.len(), 1);
}

/// The whole sheet is given in inches and turned; everything lands where it lay, and stays there.
#[test]
fn places_under_transforms_and_other_units() {
    let text = r#"<svg xmlns="http://www.w3.org/2000/svg" width="10in" height="10in" viewBox="0 0 10 10">
<g transform="translate(1 1) scale(2)">
<path id="frame" d="M0 0H1"/>
<g id="tab" data-kind="piece" transform="rotate(90)">
<path id="tab.round" data-kind="edge" stroke-width="0.5" style="stroke-dasharray:1px 2px;fill:none" d="M 0 0 H 1 V 1 H 0 Z"/>
<text id="note" x="0.5" y="0.5">here</text>
</g></g></svg>"#;
    let (first, last) = (read(text), read(after_trips(text, 5)));
    for pattern in [&first, &last] {
        let piece = pattern.pieces().next().unwrap();
        assert!((piece.outline().area() - 50.8 * 50.8).abs() < 1e-6);
        let anchor = piece.marks[0].anchor.unwrap();
        assert!(anchor.distance(Point::new(0.0, 50.8)) < 1e-6, "{anchor:?}");
        let extent = pattern.background.foreign[0].extent.unwrap();
        assert!((extent.x0 - 25.4).abs() < 1e-6 && (extent.x1 - 76.2).abs() < 1e-6, "{extent:?}");
    }
    survive(text, &[r#"stroke-width="25.4""#, "stroke-dasharray:50.8px 101.6px;fill:none", ">here</text>"]);
}

/// A style that moves an element has done so once it is read; written again it must not.
#[test]
fn transforms_in_styles_act_once() {
    let style = "<style>.moved { transform: translate(7px, 0) }</style>";
    for moved in [
        pocket_with("", style, "").replace("data-kind=\"piece\"", "data-kind=\"piece\" class=\"moved\""),
        pocket_with("", "", "").replace(
            "data-kind=\"piece\"",
            "data-kind=\"piece\" style=\"fill:none;transform:translate(7,0)\"",
        ),
    ] {
        let moved = moved.replace("7px", "7");
        for trips in [0, 1, 4] {
            let bounds = read(after_trips(&moved, trips)).pieces().next().unwrap().bounds();
            assert_eq!((bounds.x0, bounds.x1), (57.0, 157.0), "{trips}");
        }
    }
}

/// The view takes in the background too.
#[test]
fn the_view_covers_everything() {
    let text =
        pocket_with("", r#"<rect x="-40" y="10" width="20" height="20"/><text x="500" y="20">x</text>"#, "");
    let written = after_trips(&text, 1);
    assert!(written.contains(r#"viewBox="-55 -5 570 "#), "{}", &written[..200]);
}

/// Elements are written without a prefix: the namespace without one must be SVG's, whatever it was.
#[test]
fn a_drawing_with_a_prefix_for_svg() {
    let text = pocket("")
        .replace("<svg xmlns=", "<s:svg xmlns=\"urn:other\" xmlns:s=")
        .replace("</svg>", "</s:svg>")
        .replace("<path", "<s:path")
        .replace("<g ", "<s:g ")
        .replace("</g>", "</s:g>");
    assert_eq!(read(after_trips(&text, 3)).pieces().next().unwrap().edges().len(), 4);
}
