//! The page can be read by anyone, anywhere: by its structure, by a screen reader, in light and dark, without a network.

use std::collections::{BTreeMap, BTreeSet};

use roxmltree::{Document, Node};

use crate::page::{named, narrow_coat, parsed, text, untouched};

fn pages() -> Vec<String> {
    let sheets =
        ["fixtures/coat.svg", "fixtures/dress.svg", "fixtures/awkward.svg", "fixtures/skirt-shaped-back.svg"];
    let mut pages: Vec<String> = sheets.into_iter().map(untouched).collect();
    pages.push(narrow_coat());
    pages
}

fn on_every_page(look: impl Fn(&Document<'_>)) {
    for page in pages() {
        look(&parsed(&page));
    }
}

#[test]
fn it_tells_its_language_title_and_width() {
    on_every_page(|page| {
        assert_eq!(page.root_element().attribute("lang"), Some("en"));
        assert_eq!(named(page, "title").filter(|title| !text(*title).is_empty()).count(), 1);
        let metas: Vec<Option<&str>> = named(page, "meta").map(|meta| meta.attribute("name")).collect();
        assert!(metas.contains(&Some("viewport")) && metas.contains(&Some("color-scheme")));
        assert_eq!(named(page, "main").count(), 1);
    });
}

/// One first heading; none leaves out a level; none is empty.
#[test]
fn headings_are_in_order() {
    on_every_page(|page| {
        let levels: Vec<u32> = page
            .descendants()
            .filter_map(|node| {
                let level = node.tag_name().name().strip_prefix('h')?.parse().ok()?;
                assert!(!text(node).trim().is_empty());
                Some(level)
            })
            .collect();
        assert_eq!(levels[0], 1);
        assert_eq!(levels.iter().filter(|level| **level == 1).count(), 1);
        for pair in levels.windows(2) {
            assert!(pair[1] <= pair[0] + 1, "{levels:?}");
        }
    });
}

#[test]
fn every_picture_has_a_name() {
    on_every_page(|page| {
        for svg in named(page, "svg") {
            assert_eq!(svg.attribute("role"), Some("img"));
            assert!(svg.attribute("aria-label").is_some_and(|name| name.len() > 3));
            assert!(svg.attribute("viewBox").is_some() && svg.attribute("width").is_none());
        }
        for picture in named(page, "img") {
            assert!(picture.attribute("alt").is_some_and(|name| name.len() > 3));
        }
        assert!(named(page, "svg").count() > 2);
    });
}

#[test]
fn ids_are_unique_and_all_that_is_named_is_there() {
    on_every_page(|page| {
        let ids: Vec<&str> = page.descendants().filter_map(|node| node.attribute("id")).collect();
        let unique: BTreeSet<&str> = ids.iter().copied().collect();
        assert_eq!(ids.len(), unique.len());
        for node in page.descendants() {
            let named = [
                node.attribute("href").and_then(|to| to.strip_prefix('#')),
                node.attribute("aria-labelledby"),
            ];
            for id in named.into_iter().flatten() {
                assert!(unique.contains(id), "{id}");
            }
        }
        for section in named(page, "section") {
            assert!(section.attribute("aria-labelledby").is_some());
        }
    });
}

#[test]
fn tables_lists_and_boxes_are_told_by_a_screen_reader() {
    on_every_page(|page| {
        for table in named(page, "table") {
            assert_eq!(table.first_element_child().map(|first| first.tag_name().name()), Some("caption"));
        }
        for heading in named(page, "th") {
            assert!(matches!(heading.attribute("scope"), Some("col" | "row")));
        }
        for row in named(page, "tr") {
            let columns = |table: Node<'_, '_>| {
                let head = table.descendants().find(|node| node.tag_name().name() == "tr");
                head.map_or(0, |head| head.children().filter(Node::is_element).count())
            };
            let table = row.ancestors().find(|node| node.tag_name().name() == "table").expect("its table");
            assert_eq!(row.children().filter(Node::is_element).count(), columns(table));
        }
        for list in page.descendants().filter(|node| matches!(node.tag_name().name(), "ul" | "ol")) {
            assert!(list.children().filter(Node::is_element).all(|item| item.tag_name().name() == "li"));
        }
        let boxes: Vec<Node<'_, '_>> = named(page, "input").collect();
        assert!(boxes.len() > 10);
        for one in boxes {
            let label = one.ancestors().find(|node| node.tag_name().name() == "label").expect("a label");
            assert!(text(label).trim().len() > 5);
        }
        for node in page.descendants().filter(|node| node.attribute("tabindex").is_some()) {
            assert_eq!((node.attribute("tabindex"), node.attribute("role")), (Some("0"), Some("group")));
            assert!(node.attribute("aria-label").is_some());
        }
    });
}

/// No script, nothing fetched, nothing to submit.
#[test]
fn it_stands_by_itself() {
    on_every_page(|page| {
        for node in page.descendants().filter(Node::is_element) {
            let tag = node.tag_name().name();
            let runs = matches!(
                tag,
                "script" | "iframe" | "object" | "embed" | "link" | "base" | "form" | "foreignObject"
            );
            assert!(!runs, "{tag}");
            for attribute in node.attributes() {
                assert!(!attribute.name().starts_with("on"), "{}", attribute.name());
                if matches!(attribute.name(), "src" | "href" | "data" | "action" | "poster" | "srcset") {
                    let inside = attribute.value().starts_with('#')
                        || attribute.value().starts_with("data:image/svg+xml");
                    assert!(inside, "{}", attribute.value());
                }
            }
        }
        let style = text(named(page, "style").next().expect("a style"));
        assert!(!style.contains("url(") && !style.contains("@import"));
    });
}

/// Texts stand out from all that they can lie on by 4.5 to 1, lines by 3 to 1 (WCAG 2.2, 1.4.3 and 1.4.11), on screens
/// light and dark and on paper.
#[test]
fn colours_stand_out() {
    let page = narrow_coat();
    let document = parsed(&page);
    let style = text(named(&document, "style").next().expect("a style"));
    let schemes = schemes(&style);
    assert_eq!(schemes.len(), 3);
    for colors in schemes {
        let contrast = |one: &str, other: &str| contrast(luminance(&colors[one]), luminance(&colors[other]));
        for ground in ["paper", "ground", "cloth"] {
            for ink in ["ink", "quiet", "mark", "wrong", "link"] {
                assert!(contrast(ink, ground) >= 4.5, "{ink} on {ground}: {}", contrast(ink, ground));
            }
            let lines = contrast("line-dark", ground);
            assert!(lines >= 3.0, "line-dark on {ground}: {lines}");
        }
        assert!(contrast("rule", "paper") >= 3.0);
    }
    for declared in style.split(['{', ';', '}']).map(str::trim) {
        let color = declared.strip_prefix("color: ").or_else(|| declared.strip_prefix("fill: "));
        let color = color.or_else(|| declared.strip_prefix("stroke: "));
        if let Some(color) = color {
            assert!(color.starts_with("var(--") || color == "none", "{declared} is of no scheme");
        }
    }
}

/// The colours that each `:root` declares: light, dark, and on paper.
fn schemes(style: &str) -> Vec<BTreeMap<String, String>> {
    style
        .split(":root {")
        .skip(1)
        .map(|rest| {
            let block = rest.split('}').next().unwrap_or_default();
            let declared =
                block.split(';').filter_map(|line| line.trim().strip_prefix("--")?.split_once(": "));
            declared.map(|(name, value)| (name.to_owned(), value.trim().to_owned())).collect()
        })
        .collect()
}

/// Relative luminance of `#rrggbb` (WCAG 2.2).
fn luminance(color: &str) -> f64 {
    let channel = |at: usize| {
        let value = f64::from(u8::from_str_radix(&color[at..at + 2], 16).expect("a colour")) / 255.0;
        if value <= 0.04045 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) }
    };
    0.2126 * channel(1) + 0.7152 * channel(3) + 0.0722 * channel(5)
}

fn contrast(one: f64, other: f64) -> f64 {
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}

/// By the definition: black on white is 21 to 1, a colour on itself 1 to 1.
#[test]
fn contrast_is_measured_as_defined() {
    assert!((contrast(luminance("#000000"), luminance("#ffffff")) - 21.0).abs() < 1e-9);
    assert!((contrast(luminance("#7a3e00"), luminance("#7a3e00")) - 1.0).abs() < 1e-9);
    assert!((luminance("#808080") - 0.2159).abs() < 1e-3);
}
