//! Pattern sheets that were true, each spoiled in one way: text in, text out.

#![allow(dead_code, reason = "each test binary uses a part of it")]

/// How far the first handle of a kinked edge is moved down, mm: a turn of some degrees on an edge of a few hundred.
const KINKED_BY: f64 = 10.0;

/// The sheet with one side of its first seam given 7 mm more allowance than the other: that can be on any sheet.
pub fn uneven_allowance(sheet: &str) -> String {
    let at = sheet.find(" data-sewn-to=").expect("a seam");
    let from = sheet[..at].rfind("<path").expect("an edge");
    let (before, edge) = (&sheet[..from], &sheet[from..]);
    let (first, rest) = edge.split_once("data-allowance=\"").expect("an allowance");
    let (old, rest) = rest.split_once('"').expect("its end");
    let old: f64 = old.trim_end_matches("mm").parse().expect("millimetres");
    format!("{before}{first}data-allowance=\"{}mm\"{rest}", old + 7.0)
}

/// The sheet with an edge that leaves its first corner another way, as a hem that was drawn on one piece alone.
pub fn kinked(sheet: &str, edge: &str) -> String {
    with_path(sheet, edge, |numbers, letters| {
        let mut bent = numbers.to_vec();
        let mut at = 0;
        for letter in letters.chars() {
            match letter {
                'C' => {
                    bent[at + 1] += KINKED_BY;
                    break;
                }
                _ => at += 2,
            }
        }
        bent
    })
}

/// The sheet with the ease of a seam written otherwise, mm.
pub fn eased(sheet: &str, old: f64, new: f64) -> String {
    replaced(sheet, &format!("data-ease=\"{old}mm\""), &format!("data-ease=\"{new}mm\""))
}

/// The coat with its back shoulder sewn to the front's side, which is much longer.
pub fn shoulder_to_side(coat: &str) -> String {
    let (before, after) = coat.split_once("id=\"back.shoulder\"").expect("the shoulder");
    let after = replaced(after, "data-sewn-to=\"front.shoulder\"", "data-sewn-to=\"front.side from hem\"");
    format!("{before}id=\"back.shoulder\"{after}")
}

fn replaced(text: &str, old: &str, new: &str) -> String {
    assert!(text.contains(old), "`{old}` is not there");
    text.replacen(old, new, 1)
}

/// The sheet with the numbers of an edge's path changed; they come with the letters between them.
fn with_path(sheet: &str, edge: &str, change: impl Fn(&[f64], &str) -> Vec<f64>) -> String {
    let (before, rest) = sheet.split_once(&format!("id=\"{edge}\"")).expect("the edge");
    let (attributes, rest) = rest.split_once(" d=\"").expect("its path");
    let (data, after) = rest.split_once('"').expect("its end");
    let words: Vec<&str> = data.split([' ', ',']).flat_map(letter_apart).collect();
    let letters: String =
        words.iter().filter(|word| word.starts_with(char::is_alphabetic)).copied().collect();
    let numbers: Vec<f64> = words.iter().filter_map(|word| word.parse().ok()).collect();
    let mut changed = change(&numbers, &letters).into_iter();
    let mut text = String::new();
    for word in words {
        let number =
            word.parse::<f64>().is_ok().then(|| changed.next().expect("as many numbers").to_string());
        text.push_str(&number.unwrap_or_else(|| word.to_owned()));
        text.push(' ');
    }
    format!("{before}id=\"{edge}\"{attributes} d=\"{}\"{after}", text.trim_end())
}

/// `M70` as `M` and `70`.
fn letter_apart(word: &str) -> Vec<&str> {
    match word.find(|c: char| !c.is_alphabetic()) {
        Some(0) | None => vec![word],
        Some(at) => vec![&word[..at], &word[at..]],
    }
}
