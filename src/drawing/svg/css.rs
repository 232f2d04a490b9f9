//! Style sheets: which declarations hold for an element.
//!
//! Selectors are read and matched by a library; rules and declarations are cut here, in one pass, since
//! a style sheet is as hostile as any other part of a file.

use std::cell::Cell;
use std::rc::Rc;
use std::str::FromStr;

use roxmltree::Node as XmlNode;
use simplecss::{AttributeOperator, PseudoClass, Selector};

use crate::drawing::limits::{RULES, SELECTOR, STYLE_WORK};

/// The properties that the reader looks at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Property {
    Display,
    Visibility,
    Color,
    Fill,
    Stroke,
    StrokeWidth,
    StrokeDasharray,
    Transform,
    TransformOrigin,
    ClipPath,
    ClipRule,
    Mask,
    Overflow,
    Marker,
    MarkerStart,
    MarkerEnd,
    FontSize,
}

const PROPERTIES: usize = 17;

impl FromStr for Property {
    type Err = ();

    fn from_str(name: &str) -> Result<Self, ()> {
        match name {
            "display" => Ok(Self::Display),
            "visibility" => Ok(Self::Visibility),
            "color" => Ok(Self::Color),
            "fill" => Ok(Self::Fill),
            "stroke" => Ok(Self::Stroke),
            "stroke-width" => Ok(Self::StrokeWidth),
            "stroke-dasharray" => Ok(Self::StrokeDasharray),
            "transform" => Ok(Self::Transform),
            "transform-origin" => Ok(Self::TransformOrigin),
            "clip-path" => Ok(Self::ClipPath),
            "clip-rule" => Ok(Self::ClipRule),
            "mask" => Ok(Self::Mask),
            "overflow" => Ok(Self::Overflow),
            "marker" => Ok(Self::Marker),
            "marker-start" => Ok(Self::MarkerStart),
            "marker-end" => Ok(Self::MarkerEnd),
            "font-size" => Ok(Self::FontSize),
            _ => Err(()),
        }
    }
}

/// What holds for one element by itself, before inheritance.
#[derive(Clone, Debug, Default)]
pub(super) struct CssDeclared<'a> {
    values: [Option<(&'a str, RuleOrigin)>; PROPERTIES],
}

/// In rising order of force.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum RuleOrigin {
    Attribute,
    Sheet,
    Style,
    SheetImportant,
    StyleImportant,
}

impl<'a> CssDeclared<'a> {
    /// The value as written.
    pub(super) fn get(&self, property: Property) -> Option<&'a str> {
        self.values.get(property as usize).copied().flatten().map(|(value, _)| value)
    }

    fn set(&mut self, property: Property, value: &'a str, origin: RuleOrigin) {
        if let Some(slot) = self.values.get_mut(property as usize)
            && slot.is_none_or(|(_, before)| before <= origin)
        {
            *slot = Some((value, origin));
        }
    }
}

/// All style sheets of a drawing.
pub(super) struct StyleSheets<'a> {
    /// In rising order of specificity, then of place.
    rules: Vec<Rule<'a>>,
    /// Comparisons left.
    work: Cell<u64>,
}

struct Rule<'a> {
    /// What an element must have for the selector to be worth matching.
    key: RuleKey<'a>,
    selector: Selector<'a>,
    declarations: Rc<[Declaration<'a>]>,
}

#[derive(Clone, Debug, PartialEq)]
struct Declaration<'a> {
    property: Property,
    value: &'a str,
    important: bool,
}

/// What every element that a selector matches has, as far as that is seen at once.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum RuleKey<'a> {
    Class(&'a str),
    Tag(&'a str),
    Unknown,
}

impl<'a> RuleKey<'a> {
    /// By what the last part of a selector begins with: `.piece > .edge[data-finish="fold"]` asks for the class `edge`.
    fn of(selector: &'a str) -> RuleKey<'a> {
        let mut last = 0;
        let mut brackets = 0_usize;
        let mut quote = None;
        for (at, letter) in selector.char_indices() {
            match (quote, letter) {
                (_, '\\' | '/') => return RuleKey::Unknown,
                (Some(open), _) if letter == open => quote = None,
                (Some(_), _) => {}
                (None, '"' | '\'') => quote = Some(letter),
                (None, '[' | '(') => brackets += 1,
                (None, ']' | ')') => brackets = brackets.saturating_sub(1),
                (None, ' ' | '\t' | '\n' | '\r' | '\x0c' | '>' | '+' | '~') if brackets == 0 => last = at + 1,
                _ => {}
            }
        }
        let part = selector.get(last..).unwrap_or_default();
        let (part, key): (&str, fn(&'a str) -> RuleKey<'a>) = match part.strip_prefix('.') {
            Some(class) => (class, RuleKey::Class),
            None => (part, RuleKey::Tag),
        };
        let is_name = |letter: char| letter.is_ascii_alphanumeric() || matches!(letter, '-' | '_');
        let length = part.find(|letter| !is_name(letter)).unwrap_or(part.len());
        let plain =
            part.get(length..).and_then(|rest| rest.chars().next()).is_none_or(|next| next.is_ascii());
        match part.get(..length) {
            Some(name) if length > 0 && plain => key(name),
            _ => RuleKey::Unknown,
        }
    }

    /// Whether an element may be matched.
    fn fits(self, element: XmlNode<'_, '_>) -> bool {
        match self {
            RuleKey::Class(name) => element.attribute("class").is_some_and(|classes| classes.contains(name)),
            RuleKey::Tag(name) => element.tag_name().name() == name,
            RuleKey::Unknown => true,
        }
    }
}

/// Matching took more comparisons than are allowed.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct WorkSpent;

impl<'a> StyleSheets<'a> {
    /// Reads style sheets; at-rules (`@media`, `@font-face`) and selectors that are not understood are
    /// passed over.
    pub(super) fn new(css: &'a str) -> Self {
        let mut rules = Vec::new();
        for (selectors, block) in blocks(css) {
            let declarations: Rc<[_]> = declarations(block).into();
            if declarations.is_empty() {
                continue;
            }
            let selectors = split_outside(selectors, ',').filter(|selector| selector.len() <= SELECTOR);
            for text in selectors.map(str::trim) {
                let Some(selector) = Selector::parse(text) else { continue };
                if rules.len() == RULES {
                    return Self { rules: Vec::new(), work: Cell::new(0) };
                }
                let key = RuleKey::of(text);
                rules.push(Rule { key, selector, declarations: Rc::clone(&declarations) });
            }
        }
        rules.sort_by_cached_key(|rule| rule.selector.specificity());
        Self { rules, work: Cell::new(STYLE_WORK) }
    }

    /// What holds for `element` by its attributes, the style sheets and its `style`.
    pub(super) fn declared<'e>(&'e self, element: XmlNode<'e, '_>) -> Result<CssDeclared<'e>, WorkSpent> {
        let mut declared = CssDeclared::default();
        for attribute in element.attributes().filter(|attribute| attribute.namespace().is_none()) {
            if let Ok(property) = attribute.name().parse() {
                declared.set(property, attribute.value().trim(), RuleOrigin::Attribute);
            }
        }
        let candidate = MatchedElement { element, work: &self.work };
        let matches =
            |rule: &&Rule| candidate.pay(0) && rule.key.fits(element) && rule.selector.matches(&candidate);
        for rule in self.rules.iter().filter(matches) {
            for declaration in rule.declarations.iter() {
                let origin =
                    if declaration.important { RuleOrigin::SheetImportant } else { RuleOrigin::Sheet };
                declared.set(declaration.property, declaration.value, origin);
            }
        }
        if self.work.get() == 0 {
            return Err(WorkSpent);
        }
        for declaration in element.attribute("style").map(declarations).unwrap_or_default() {
            let origin = if declaration.important { RuleOrigin::StyleImportant } else { RuleOrigin::Style };
            declared.set(declaration.property, declaration.value, origin);
        }
        Ok(declared)
    }
}

/// An element as selectors see it. When the work is spent, everything fails to match, which ends any
/// search at once.
#[derive(Clone, Copy)]
struct MatchedElement<'a, 'input> {
    element: XmlNode<'a, 'input>,
    work: &'a Cell<u64>,
}

impl MatchedElement<'_, '_> {
    /// Pays for looking at `length` bytes; false when there is nothing left.
    fn pay(&self, length: usize) -> bool {
        let left = self.work.get().saturating_sub(1 + length as u64 / 16);
        self.work.set(left);
        left > 0
    }
}

impl simplecss::Element for MatchedElement<'_, '_> {
    fn parent_element(&self) -> Option<Self> {
        let element = self.element.parent_element().filter(|_| self.pay(0))?;
        Some(Self { element, ..*self })
    }

    fn prev_sibling_element(&self) -> Option<Self> {
        let element = self.element.prev_sibling_element().filter(|_| self.pay(0))?;
        Some(Self { element, ..*self })
    }

    fn has_local_name(&self, name: &str) -> bool {
        self.pay(0) && self.element.tag_name().name() == name
    }

    fn attribute_matches(&self, name: &str, operator: AttributeOperator<'_>) -> bool {
        let value = self.element.attribute(name);
        value.is_some_and(|value| self.pay(value.len()) && operator.matches(value))
    }

    fn pseudo_class_matches(&self, class: PseudoClass<'_>) -> bool {
        matches!(class, PseudoClass::FirstChild) && self.prev_sibling_element().is_none()
    }
}

/// Selectors and declarations of each rule; at-rules are passed over.
fn blocks(css: &str) -> impl Iterator<Item = (&str, &str)> {
    let mut rest = css;
    std::iter::from_fn(move || {
        loop {
            rest = skip_comments(rest);
            let head_end = find_outside(rest, &['{', ';'])?;
            let head = rest.get(..head_end)?;
            let opening = rest.get(head_end..)?;
            if opening.starts_with(';') {
                rest = opening.get(1..)?;
                continue;
            }
            let (block, after) = matching_block(opening);
            rest = after;
            if !head.trim_start().starts_with('@') {
                return Some((head, block));
            }
        }
    })
}

/// What stands between the `{` that `text` begins with and its `}`, and what follows.
fn matching_block(text: &str) -> (&str, &str) {
    let mut depth = 0_usize;
    let mut at = 0;
    while let Some(found) = text.get(at..).and_then(|rest| find_outside(rest, &['{', '}'])) {
        at += found;
        if text.as_bytes().get(at) == Some(&b'{') {
            depth += 1;
        } else {
            depth -= 1;
            if depth == 0 {
                return (text.get(1..at).unwrap_or_default(), text.get(at + 1..).unwrap_or_default());
            }
        }
        at += 1;
    }
    (text.get(1..).unwrap_or_default(), "")
}

/// The declarations of a block or a `style` that the reader looks at; of each property the last.
fn declarations(block: &str) -> Vec<Declaration<'_>> {
    let mut found: Vec<Declaration<'_>> = Vec::new();
    for next in split_outside(block, ';').filter_map(declaration) {
        let same = |before: &&mut Declaration<'_>| {
            (before.property, before.important) == (next.property, next.important)
        };
        match found.iter_mut().find(same) {
            Some(before) => *before = next,
            None => found.push(next),
        }
    }
    found
}

fn declaration(text: &str) -> Option<Declaration<'_>> {
    let (name, value) = skip_comments(text).split_once(':')?;
    let property = name.trim().parse().ok()?;
    let (value, important) = match value.rsplit_once('!') {
        Some((value, word)) if word.trim().eq_ignore_ascii_case("important") => (value, true),
        _ => (value, false),
    };
    Some(Declaration { property, value: value.trim(), important })
}

fn skip_comments(text: &str) -> &str {
    let mut rest = text.trim_start();
    while let Some(comment) = rest.strip_prefix("/*") {
        rest = comment.split_once("*/").map_or("", |(_, after)| after).trim_start();
    }
    rest
}

/// Byte of the first of `wanted` outside quotes, comments and parentheses.
fn find_outside(text: &str, wanted: &[char]) -> Option<usize> {
    let mut quote = None;
    let mut parentheses = 0_usize;
    let mut comment_until = 0;
    for (at, character) in text.char_indices() {
        if at < comment_until {
            continue;
        }
        match (quote, character) {
            (Some(open), _) if open == character => quote = None,
            (Some(_), _) => {}
            (None, '"' | '\'') => quote = Some(character),
            (None, '/') if text.get(at + 1..).is_some_and(|rest| rest.starts_with('*')) => {
                let inside = text.get(at + 2..).unwrap_or_default();
                comment_until = inside.find("*/").map_or(text.len(), |end| at + 2 + end + 2);
            }
            (None, '(') => parentheses += 1,
            (None, ')') => parentheses = parentheses.saturating_sub(1),
            (None, _) if parentheses == 0 && wanted.contains(&character) => return Some(at),
            _ => {}
        }
    }
    None
}

fn split_outside(text: &str, separator: char) -> impl Iterator<Item = &str> {
    let mut rest = Some(text);
    std::iter::from_fn(move || {
        let whole = rest.take()?;
        match find_outside(whole, &[separator]) {
            Some(at) => {
                rest = whole.get(at + separator.len_utf8()..);
                whole.get(..at)
            }
            None => Some(whole),
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fill_of(css: &str, element: &str) -> Option<String> {
        let text = format!("<svg><g id='front' class='piece wide'>{element}</g></svg>");
        let document = roxmltree::Document::parse(&text).expect("valid");
        let node = document.descendants().rfind(XmlNode::is_element).expect("one");
        let sheets = StyleSheets::new(css);
        sheets.declared(node).expect("cheap").get(Property::Fill).map(str::to_owned)
    }

    #[test]
    fn a_rule_is_tried_where_its_last_part_fits() {
        for (selector, key) in [
            (".piece > .edge[data-finish=\"a b > c\"]", RuleKey::Class("edge")),
            ("g path:first-child", RuleKey::Tag("path")),
            ("path.edge.side", RuleKey::Tag("path")),
            ("[id='a .b']", RuleKey::Unknown),
            (".piece > *", RuleKey::Unknown),
            ("g/**/.edge", RuleKey::Unknown),
            (".kurvenst\u{fc}ck", RuleKey::Unknown),
        ] {
            assert_eq!(RuleKey::of(selector), key, "{selector}");
        }
        let path = "<path id='side' class='edge' data-finish='a b > c' fill='red'/>";
        assert_eq!(
            fill_of(".piece > .edge[data-finish='a b > c'] { fill: blue }", path).as_deref(),
            Some("blue")
        );
    }

    #[test]
    fn the_more_specific_rule_holds_then_the_later_then_the_style_attribute() {
        let path = "<path id='side' class='edge' fill='red'/>";
        assert_eq!(fill_of("", path).as_deref(), Some("red"));
        assert_eq!(fill_of("path{fill:a}", path).as_deref(), Some("a"));
        assert_eq!(fill_of("#side{fill:c} .edge{fill:b} path{fill:a}", path).as_deref(), Some("c"));
        assert_eq!(fill_of(".edge{fill:a} .edge{fill:b}", path).as_deref(), Some("b"));
        assert_eq!(fill_of("path{fill:a!important} #side{fill:c}", path).as_deref(), Some("a"));
        let styled = "<path id='side' style='stroke:x; fill : s'/>";
        assert_eq!(fill_of("#side{fill:c}", styled).as_deref(), Some("s"));
        assert_eq!(fill_of("#side{fill:c ! important}", styled).as_deref(), Some("c"));
    }

    #[test]
    fn selectors_reach_through_groups_and_lists() {
        let path = "<path/>";
        assert_eq!(fill_of("circle, g.wide > path {fill:a}", path).as_deref(), Some("a"));
        assert_eq!(fill_of("svg .piece path:first-child {fill:a}", path).as_deref(), Some("a"));
        assert_eq!(fill_of("svg > path {fill:a}", path), None);
    }

    #[test]
    fn comments_at_rules_and_junk_are_passed_over() {
        let path = "<path/>";
        let css = "@import 'x;y'; /* { */ @media print { path { fill:m } } <!-- path { fill: /*no*/ a; } }} circle{fill:b";
        assert_eq!(fill_of("@media print { path { fill:m } } path{fill:a}", path).as_deref(), Some("a"));
        assert_eq!(fill_of("path{background:url(a;b{c});fill:a}", path).as_deref(), Some("a"));
        fill_of(css, path);
        for junk in ["{", "}", "}{", "path{", "/*", "@", "\"", "path{fill", ",{fill:a}", "é{fill:a}", "a[b='"]
        {
            assert_eq!(fill_of(junk, path), None, "{junk}");
        }
    }

    /// A descendant selector of twenty steps over hundreds of nested groups has more ways to match than
    /// could ever be tried.
    #[test]
    fn endless_matching_is_stopped() {
        let text = format!("<x>{}<path/>{}</x>", "<g>".repeat(400), "</g>".repeat(400));
        let document = roxmltree::Document::parse(&text).expect("valid");
        let path = document.descendants().find(|node| node.has_tag_name("path")).expect("there");
        let css = format!("circle {}path {{fill:a}}", "g ".repeat(20));
        let sheets = StyleSheets::new(&css);
        assert!(matches!(sheets.declared(path), Err(WorkSpent)));
    }
}
