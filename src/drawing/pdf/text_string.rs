//! Text strings outside of drawings: names of layers, labels of pages (ISO 32000-1, 7.9.2.2).

/// A text string as characters: UTF-16 and UTF-8 where it says so, else the encoding of PDF documents, of which
/// what stands for no sign comes as a question mark.
pub(super) fn text_string(bytes: &[u8]) -> String {
    let text = match bytes {
        [0xFE, 0xFF, rest @ ..] => utf16(rest, u16::from_be_bytes),
        [0xFF, 0xFE, rest @ ..] => utf16(rest, u16::from_le_bytes),
        [0xEF, 0xBB, 0xBF, rest @ ..] => String::from_utf8_lossy(rest).into_owned(),
        _ => bytes.iter().map(|byte| of_documents(*byte)).collect(),
    };
    text.chars().filter(|sign| !sign.is_control()).collect()
}

fn utf16(bytes: &[u8], number: fn([u8; 2]) -> u16) -> String {
    let units: Vec<u16> = bytes.as_chunks::<2>().0.iter().map(|pair| number(*pair)).collect();
    String::from_utf16_lossy(&units)
}

/// Of the encoding of PDF documents (ISO 32000-1, D.3) what is neither ASCII nor Latin 1: accents from 0x18, dashes, quotes,
/// bullets and letters from 0x80.
const ACCENTS: [char; 8] = ['˘', 'ˇ', 'ˆ', '˙', '˝', '˛', '˚', '˜'];
const SIGNS: [char; 31] = [
    '•', '†', '‡', '…', '—', '–', 'ƒ', '⁄', '‹', '›', '−', '‰', '„', '“', '”', '‘', '’', '‚', '™', 'ﬁ', 'ﬂ',
    'Ł', 'Œ', 'Š', 'Ÿ', 'Ž', 'ı', 'ł', 'œ', 'š', 'ž',
];

fn of_documents(byte: u8) -> char {
    let in_table = |table: &[char], first: u8| table.get(usize::from(byte - first)).copied();
    match byte {
        0x18..=0x1F => in_table(&ACCENTS, 0x18),
        0x80..=0x9F => in_table(&SIGNS, 0x80),
        0xA0 => Some('€'),
        _ => Some(char::from(byte)),
    }
    .unwrap_or('?')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_strings_are_read_in_each_encoding() {
        assert_eq!(text_string(b"Gr\xf6\xdfe 38"), "Größe 38");
        assert_eq!(
            text_string(b"Size 38 \x85 \x8dall\x8e \x80 \x96il \xa0 \x18\x9f"),
            "Size 38 – “all” • Œil € ˘?"
        );
        assert_eq!(text_string(&[0xFE, 0xFF, 0, 0x33, 0, 0x38]), "38");
        assert_eq!(text_string("\u{feff}taille".as_bytes()), "taille");
    }
}
