//! A reader of the PDFs that are written here, which knows nothing of how they are: objects, streams, lines, texts.

use std::collections::{BTreeMap, BTreeSet};

use kurbo::Point;

/// Millimetres in a point.
const MM: f64 = 25.4 / 72.0;

/// A page as a reader sees it, millimetres from its upper left corner.
pub struct Seen {
    pub width: f64,
    pub height: f64,
    /// The straight lines that are stroked.
    pub lines: Vec<(Point, Point)>,
    /// The texts that are shown, one for each line.
    pub texts: Vec<String>,
    /// The layers that something is drawn on.
    pub layers: BTreeSet<String>,
}

impl Seen {
    /// All texts, one after the other.
    pub fn text(&self) -> String {
        self.texts.join(" ")
    }
}

/// What a reader shows beside the pages.
pub struct Document {
    pub pages: Vec<Seen>,
    pub labels: Vec<String>,
    pub bookmarks: Vec<String>,
}

struct Object {
    dictionary: String,
    stream: Vec<u8>,
}

/// Reads a document.
pub fn read(pdf: &[u8]) -> Document {
    let objects = objects(pdf);
    let letters = objects.values().find(|object| object.stream.windows(11).any(|w| w == b"beginbfchar"));
    let letters = characters(&String::from_utf8_lossy(&letters.expect("a table of letters").stream));
    let tree = objects.values().find(|object| object.dictionary.contains("/Type /Pages")).expect("pages");
    let kids = between(&tree.dictionary, "/Kids [", "]").expect("kids");
    let numbers: Vec<u32> = kids.split(" 0 R").filter_map(|number| number.trim().parse().ok()).collect();
    let pages = numbers.iter().map(|number| page(&objects[number], &objects, &letters)).collect();
    let each = |key: &'static str, of: &'static str| {
        let wanted = objects.values().filter(move |object| object.dictionary.contains(of));
        wanted.filter_map(move |object| between(&object.dictionary, key, ")").map(str::to_owned)).collect()
    };
    Document { pages, labels: each("/P (", "/P ("), bookmarks: each("/Title (", "/Dest") }
}

fn between<'a>(text: &'a str, from: &str, to: &str) -> Option<&'a str> {
    let (_, rest) = text.split_once(from)?;
    Some(rest.split_once(to)?.0)
}

fn find(bytes: &[u8], wanted: &[u8], from: usize) -> Option<usize> {
    bytes[from..].windows(wanted.len()).position(|window| window == wanted).map(|at| at + from)
}

fn objects(pdf: &[u8]) -> BTreeMap<u32, Object> {
    let mut objects = BTreeMap::new();
    let mut at = 0;
    while let Some(start) = find(pdf, b" 0 obj", at) {
        let line = pdf[..start].iter().rposition(|byte| *byte == b'\n').map_or(0, |line| line + 1);
        let number: u32 =
            std::str::from_utf8(&pdf[line..start]).expect("a number").parse().expect("a number");
        let end = find(pdf, b"endobj", start).expect("an end");
        let stream = find(pdf, b"stream\n", start).filter(|stream| *stream < end);
        let head = stream.unwrap_or(end);
        let dictionary = String::from_utf8_lossy(&pdf[start + 6..head]).into_owned();
        let mut object = Object { dictionary, stream: Vec::new() };
        at = end;
        if let Some(stream) = stream {
            let length =
                between(&format!("{}\n", object.dictionary), "/Length ", "\n").expect("a length").to_owned();
            let length: usize =
                length.split_whitespace().next().expect("a length").parse().expect("a length");
            let bytes = &pdf[stream + 7..stream + 7 + length];
            object.stream = miniz_oxide::inflate::decompress_to_vec_zlib(bytes).expect("a compressed stream");
            at = find(pdf, b"endobj", stream + 7 + length).expect("an end");
        }
        objects.insert(number, object);
    }
    objects
}

/// From numbers of letters to characters.
fn characters(table: &str) -> BTreeMap<u16, char> {
    let hex = |text: &str| u16::from_str_radix(text.trim_matches(['<', '>']), 16).ok();
    let pairs = table.lines().filter_map(|line| line.split_once(' '));
    pairs
        .filter_map(|(number, letter)| Some((hex(number)?, char::from_u32(u32::from(hex(letter)?))?)))
        .collect()
}

fn page(object: &Object, objects: &BTreeMap<u32, Object>, letters: &BTreeMap<u16, char>) -> Seen {
    let size = between(&object.dictionary, "/MediaBox [", "]").expect("a size");
    let size: Vec<f64> = size.split_whitespace().map(|number| number.parse().expect("a number")).collect();
    let content = between(&object.dictionary, "/Contents ", " 0 R").expect("contents");
    let content = &objects[&content.parse().expect("a number")].stream;
    let mut seen = Seen {
        width: size[2] * MM,
        height: size[3] * MM,
        lines: Vec::new(),
        texts: Vec::new(),
        layers: BTreeSet::new(),
    };
    let mut operands: Vec<String> = Vec::new();
    let mut way: Vec<Point> = Vec::new();
    for word in words(content) {
        let number = |back: usize| operands[operands.len() - back].parse::<f64>().expect("a number");
        match word.as_str() {
            "m" | "l" => {
                if word == "m" {
                    way.clear();
                }
                way.push(Point::new(number(2) * MM, seen.height - number(1) * MM));
            }
            "c" | "h" => way.clear(),
            "S" => seen.lines.extend(way.windows(2).map(|pair| (pair[0], pair[1]))),
            "Tj" => seen.texts.push(shown(&operands[operands.len() - 1], letters)),
            "BDC" if operands.iter().any(|operand| operand == "/OC") => {
                seen.layers.insert(operands[operands.len() - 1].clone());
            }
            _ => {
                operands.push(word);
                continue;
            }
        }
        operands.clear();
    }
    seen
}

/// The words of a content stream; strings in brackets as the hexadecimal ones that they stand for.
fn words(content: &[u8]) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut at = 0;
    while at < content.len() {
        let byte = content[at];
        at += 1;
        if byte == b'(' {
            let (bytes, end) = string(content, at);
            at = end;
            let hex: String = bytes.iter().map(|byte| format!("{byte:02x}")).collect();
            words.extend([format!("<{hex}>"), String::new()]);
        } else if byte.is_ascii_whitespace() {
            words.push(String::new());
        } else {
            words.last_mut().expect("a word").push(char::from(byte));
        }
    }
    words.retain(|word| !word.is_empty());
    words
}

/// The bytes of a string from behind its bracket, and where it ends (ISO 32000-1, 7.3.4.2).
fn string(content: &[u8], mut at: usize) -> (Vec<u8>, usize) {
    let mut bytes = Vec::new();
    let mut depth = 1;
    loop {
        let byte = content[at];
        at += 1;
        match byte {
            b'\\' => {
                let escaped = content[at];
                if escaped.is_ascii_digit() {
                    let digits = std::str::from_utf8(&content[at..at + 3]).expect("three digits");
                    bytes.push(u8::from_str_radix(digits, 8).expect("an octal number"));
                    at += 3;
                } else {
                    let letters = [(b'n', 10), (b'r', 13), (b't', 9), (b'b', 8), (b'f', 12)];
                    let control = letters.iter().find(|(letter, _)| *letter == escaped);
                    bytes.push(control.map_or(escaped, |(_, control)| *control));
                    at += 1;
                }
            }
            b'(' => {
                depth += 1;
                bytes.push(byte);
            }
            b')' if depth == 1 => return (bytes, at),
            b')' => {
                depth -= 1;
                bytes.push(byte);
            }
            other => bytes.push(other),
        }
    }
}

fn shown(hex: &str, letters: &BTreeMap<u16, char>) -> String {
    let digits = hex.trim_matches(['<', '>']).as_bytes();
    let numbers = digits.chunks(4).map(|four| std::str::from_utf8(four).expect("digits"));
    numbers.map(|four| letters[&u16::from_str_radix(four, 16).expect("a number")]).collect()
}
