//! Text strings outside of drawings: names of layers, labels of pages (ISO 32000-1, 7.9.2.2).

/// A text string as characters: UTF-16 and UTF-8 where it says so, else the encoding of PDF documents, of which what is
/// not ASCII or Latin 1 comes as a question mark.
pub(super) fn text_string(bytes: &[u8]) -> String {
    let text = match bytes {
        [0xFE, 0xFF, rest @ ..] => utf16(rest, u16::from_be_bytes),
        [0xFF, 0xFE, rest @ ..] => utf16(rest, u16::from_le_bytes),
        [0xEF, 0xBB, 0xBF, rest @ ..] => String::from_utf8_lossy(rest).into_owned(),
        _ => bytes.iter().map(|byte| latin(*byte)).collect(),
    };
    text.chars().filter(|sign| !sign.is_control()).collect()
}

fn utf16(bytes: &[u8], number: fn([u8; 2]) -> u16) -> String {
    let units: Vec<u16> = bytes.as_chunks::<2>().0.iter().map(|pair| number(*pair)).collect();
    String::from_utf16_lossy(&units)
}

fn latin(byte: u8) -> char {
    match byte {
        0x80..=0x9F => '?',
        0xA0 => '€',
        _ => char::from(byte),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_strings_are_read_in_each_encoding() {
        assert_eq!(text_string(b"Gr\xf6\xdfe 38"), "Größe 38");
        assert_eq!(text_string(&[0xFE, 0xFF, 0, 0x33, 0, 0x38]), "38");
        assert_eq!(text_string("\u{feff}taille".as_bytes()), "taille");
    }
}
