//! What the texts say that a drawing brought along without their being understood.

use crate::pattern::Mark;

/// What a mark says: the words of its texts, or else the name that its id gives it on its piece, as `pocket` of
/// `front.pocket`, whatever the piece is called by now; nothing of a mark that is not shown.
pub(in crate::show) fn of(mark: &Mark) -> Option<String> {
    if mark.anchor.is_none() || mark.source.starts_with("<g display=\"none\">") {
        return None;
    }
    let words = words(&mark.source);
    if !words.is_empty() {
        return Some(words);
    }
    let (_, name) = mark.id.as_ref()?.rsplit_once('.')?;
    (!name.is_empty()).then(|| name.to_owned())
}

/// The words of all texts in a source, in their order.
fn words(source: &str) -> String {
    let mut said = String::new();
    let mut rest = source;
    while let Some((_, after)) = next_text(rest) {
        let end = after.find("</text>").unwrap_or(after.len());
        said.push(' ');
        said.push_str(&without_tags(&after[..end]));
        rest = &after[end..];
    }
    said.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The tag of the next text that holds something, and what follows it.
fn next_text(source: &str) -> Option<(&str, &str)> {
    let mut rest = source;
    loop {
        let at = rest.find("<text")?;
        let (tag, after) = rest[at..].split_once('>')?;
        let named = tag["<text".len()..].starts_with(|letter: char| letter.is_whitespace()) || tag == "<text";
        if named && !tag.ends_with('/') {
            return Some((tag, after));
        }
        rest = after;
    }
}

/// A text without the tags in it; one that moves to another place parts words.
fn without_tags(text: &str) -> String {
    let mut plain = String::new();
    let mut rest = text;
    while let Some(at) = rest.find('<') {
        plain.push_str(&unescaped(&rest[..at]));
        let tag = &rest[at..];
        let end = if tag.starts_with("<!--") {
            tag.find("-->").map(|end| end + 3)
        } else {
            tag.find('>').map(|end| end + 1)
        };
        let (tag, after) = tag.split_at(end.unwrap_or(tag.len()));
        if [" x=", " y=", " dx=", " dy="].iter().any(|place| tag.contains(place)) {
            plain.push(' ');
        }
        rest = after;
    }
    plain + &unescaped(rest)
}

/// Text with what its references stand for.
fn unescaped(text: &str) -> String {
    let mut plain = String::new();
    let mut rest = text;
    while let Some(at) = rest.find('&') {
        plain.push_str(&rest[..at]);
        let reference = &rest[at + 1..];
        let Some((name, after)) = reference.split_once(';') else { return plain + &rest[at..] };
        let number = |digits: &str, radix| u32::from_str_radix(digits, radix).ok().and_then(char::from_u32);
        let letter = match name {
            "amp" => Some('&'),
            "lt" => Some('<'),
            "gt" => Some('>'),
            "quot" => Some('"'),
            "apos" => Some('\''),
            _ => match name.strip_prefix("#x") {
                Some(digits) => number(digits, 16),
                None => name.strip_prefix('#').and_then(|digits| number(digits, 10)),
            },
        };
        plain.extend(letter);
        rest = after;
    }
    plain + rest
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_words_of_texts_are_found_between_tags() {
        let said = |source: &str| words(source);
        assert_eq!(said("<text x=\"1\">cut &amp; turn<!-- not this --> up</text>"), "cut & turn up");
        assert_eq!(
            said("<g><text><tspan x=\"1\">one</tspan><tspan x=\"1\" dy=\"2\">two</tspan></text></g>"),
            "one two"
        );
        assert_eq!(
            said("<text>a<tspan font-weight=\"700\">b</tspan>c</text> <text>&#x21;&#33;</text>"),
            "abc !!"
        );
        assert_eq!(said("<textPath/><text x=\"1\"/><path d=\"M0 0\"/>"), "");
        assert_eq!(said("<text>unfinished &amp"), "unfinished &amp");
    }
}
