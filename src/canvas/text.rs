//! Texts as they are shown.

use std::borrow::Cow;

use crate::tolerance::MOST_SHOWN;

/// What stands where a sign was that cannot be shown.
const SHOWN: char = char::REPLACEMENT_CHARACTER;

/// What stands where a text was cut short.
const CUT_SHORT: char = '…';

/// Whether a sign is not seen itself and yet changes how the signs around it are seen, or may stand in no XML.
///
/// Names and texts come from files that somebody else drew. Of their signs these would let one name look like another, or
/// write over what stands beside it:
///
/// - controls (tab, line break, escape and the rest): they break a table or a picture's text into lines, and steer a
///   terminal; those under U+0020 and U+FFFE, U+FFFF may stand in no XML;
/// - line and paragraph separators (U+2028, U+2029);
/// - signs that turn the direction of what is written after them (U+202A to U+202E, U+2066 to U+2069): `front U+202E kcab`
///   is read as `front back`; and the marks of direction (U+061C, U+200E, U+200F), which move the digits beside them.
///
/// Letters that are written from right to left stay, as do the joiners that such writing needs.
#[must_use]
pub fn is_unseen(sign: char) -> bool {
    sign.is_control()
        || matches!(
            sign,
            '\u{061C}'
                | '\u{200E}'
                | '\u{200F}'
                | '\u{2028}'..='\u{202E}'
                | '\u{2066}'..='\u{2069}'
                | '\u{FFFE}'
                | '\u{FFFF}'
        )
}

/// A text as it is shown: a space for a tab or a line break, the sign U+FFFD for every other that is not seen.
#[must_use]
pub fn clean(text: &str) -> Cow<'_, str> {
    if text.contains(is_unseen) { Cow::Owned(text.chars().map(shown).collect()) } else { Cow::Borrowed(text) }
}

/// The sign that is shown for one of a text, see [`clean`].
#[must_use]
pub fn shown(sign: char) -> char {
    match sign {
        '\t' | '\n' | '\r' => ' ',
        sign if is_unseen(sign) => SHOWN,
        sign => sign,
    }
}

/// A clean text of at most [`MOST_SHOWN`] signs: a longer one ends in `…`.
#[must_use]
pub fn shortened(text: &str) -> Cow<'_, str> {
    let text = clean(text);
    match text.char_indices().nth(MOST_SHOWN) {
        None => text,
        Some(_) => {
            let kept = text.chars().take(MOST_SHOWN - 1);
            Cow::Owned(kept.chain([CUT_SHORT]).collect())
        }
    }
}

/// A text as it stands in SVG or HTML, between tags or between the quotes of an attribute: as it is shown, and no part of
/// it markup.
#[must_use]
pub fn escaped(text: &str) -> String {
    with_references(text.chars().map(shown), "&<>\"'")
}

/// A text that is kept and not shown, for between the double quotes of an attribute: markup and quotes escaped, line breaks
/// and tabs as references, since a reader makes spaces of them. Signs that XML does not allow are dropped.
#[must_use]
pub fn attribute_value(text: &str) -> Cow<'_, str> {
    if text.bytes().all(is_plain) {
        return Cow::Borrowed(text);
    }
    Cow::Owned(with_references(text.chars().filter(|sign| is_xml(*sign)), "&<>\"\t\n\r"))
}

/// The same for between tags.
#[must_use]
pub fn character_data(text: &str) -> Cow<'_, str> {
    if text.bytes().all(is_plain) {
        return Cow::Borrowed(text);
    }
    Cow::Owned(with_references(text.chars().filter(|sign| is_xml(*sign)), "&<>\r"))
}

/// Whether a byte stands in any text as it is, as do most: numbers, letters, spaces.
fn is_plain(byte: u8) -> bool {
    matches!(byte, b' '..=b'~') && !matches!(byte, b'&' | b'<' | b'>' | b'"')
}

/// Signs as they are written in markup, some of them as references.
fn with_references(signs: impl Iterator<Item = char>, escaped: &str) -> String {
    let mut text = String::with_capacity(signs.size_hint().0);
    for sign in signs {
        let reference = match sign {
            _ if !escaped.contains(sign) => None,
            '&' => Some("&amp;"),
            '<' => Some("&lt;"),
            '>' => Some("&gt;"),
            '"' => Some("&quot;"),
            '\'' => Some("&#39;"),
            '\t' => Some("&#9;"),
            '\n' => Some("&#10;"),
            '\r' => Some("&#13;"),
            _ => None,
        };
        match reference {
            Some(reference) => text.push_str(reference),
            None => text.push(sign),
        }
    }
    text
}

/// XML 1.0, production 2.
fn is_xml(sign: char) -> bool {
    matches!(sign, '\t' | '\n' | '\r' | '\u{20}'..='\u{D7FF}' | '\u{E000}'..='\u{FFFD}' | '\u{10000}'..)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn signs_that_are_not_seen_are_made_visible_and_writing_from_right_to_left_stays() {
        for bad in
            ["\u{202E}", "\u{2066}", "\u{200F}", "\u{061C}", "\u{2029}", "\u{1b}", "\u{7f}", "\u{FFFE}"]
        {
            assert_eq!(clean(&format!("a{bad}b")), "a\u{FFFD}b", "{bad:?}");
        }
        assert_eq!(clean("cut\t2\nonce"), "cut 2 once");
        for good in ["שמלה", "نیم\u{200C}تنه", "Ärmel 2 × – “a”", "👩\u{200D}🎨"] {
            assert!(matches!(clean(good), Cow::Borrowed(same) if same == good));
        }
    }

    #[test]
    fn what_is_escaped_is_read_back_as_it_is_shown() {
        let text = "<b a='1' b=\"2\"> & \u{202E}\u{1}\n]]>";
        let markup = format!("<t a=\"{0}\">{0}</t>", escaped(text));
        let read = roxmltree::Document::parse(&markup).expect("sound XML");
        assert_eq!(read.root_element().text(), Some(clean(text).as_ref()));
        assert_eq!(read.root_element().attribute("a"), Some(clean(text).as_ref()));
    }

    #[test]
    fn long_texts_are_cut_short_and_say_so() {
        let long = "ä".repeat(MOST_SHOWN + 1);
        let short = shortened(&long);
        assert_eq!((short.chars().count(), short.ends_with('…')), (MOST_SHOWN, true));
        let fits = "ä".repeat(MOST_SHOWN);
        assert_eq!(shortened(&fits), fits);
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        /// What an XML reader makes of a kept text is the text, but for what XML does not allow.
        #[test]
        fn kept_texts_come_back_from_an_xml_reader(text in any::<String>()) {
            let xml = format!("<a b=\"{}\">x{}</a>", attribute_value(&text), character_data(&text));
            let document = roxmltree::Document::parse(&xml).expect("valid");
            let kept: String = text.chars().filter(|character| is_xml(*character)).collect();
            prop_assert_eq!(document.root_element().attribute("b"), Some(kept.as_str()));
            prop_assert_eq!(document.root_element().text().map(str::to_owned), Some(format!("x{kept}")));
        }
    }
}
