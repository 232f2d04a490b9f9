//! What the pages are called (page labels, ISO 32000-1, 12.4.2).

use hayro_syntax::Pdf;
use hayro_syntax::object::{Array, Dict, Name, Object, String as PdfString};

use super::limits::{OBJECT_DEPTH, PAGES};
use super::text_string::text_string;

/// A label for each page; none for those that the file calls by their number only.
pub(super) fn page_labels(pdf: &Pdf) -> Vec<Option<String>> {
    let catalog = pdf.xref().get::<Dict<'_>>(pdf.xref().root_id());
    let tree = catalog.and_then(|catalog| catalog.get::<Dict<'_>>(b"PageLabels"));
    let mut ranges = Vec::new();
    if let Some(tree) = tree {
        let mut nodes_left = PAGES;
        gather(&tree, &mut ranges, &mut nodes_left, OBJECT_DEPTH);
    }
    ranges.sort_by_key(|(first, _)| *first);
    let pages = pdf.pages().len().min(PAGES);
    (0..pages)
        .map(|page| {
            let (first, range) = ranges.iter().rev().find(|(first, _)| *first <= page)?;
            Some(range.label(page - first)).filter(|label| !label.is_empty())
        })
        .collect()
}

/// How pages from one on are called.
struct LabelRange {
    prefix: String,
    figures: Figures,
    start: usize,
}

/// How pages are counted.
enum Figures {
    None,
    Decimal,
    Roman(Case),
    Letters(Case),
}

#[derive(Clone, Copy)]
enum Case {
    Capitals,
    Small,
}

impl Case {
    fn of(self, text: String) -> String {
        match self {
            Case::Capitals => text.to_uppercase(),
            Case::Small => text,
        }
    }
}

impl LabelRange {
    fn of(dict: &Dict<'_>) -> LabelRange {
        let figures = match dict.get::<Name<'_>>(b"S").as_deref() {
            Some(b"D") => Figures::Decimal,
            Some(b"R") => Figures::Roman(Case::Capitals),
            Some(b"r") => Figures::Roman(Case::Small),
            Some(b"A") => Figures::Letters(Case::Capitals),
            Some(b"a") => Figures::Letters(Case::Small),
            _ => Figures::None,
        };
        let prefix = dict.get::<PdfString<'_>>(b"P").map(|prefix| text_string(prefix.as_bytes()));
        let start = dict.get::<i32>(b"St").and_then(|start| usize::try_from(start).ok());
        LabelRange { prefix: prefix.unwrap_or_default(), figures, start: start.unwrap_or(1) }
    }

    fn label(&self, further: usize) -> String {
        let number = self.start + further;
        let figures = match self.figures {
            Figures::None => String::new(),
            Figures::Decimal => number.to_string(),
            Figures::Roman(case) => case.of(roman(number)),
            Figures::Letters(case) => case.of(letters(number)),
        };
        format!("{}{figures}", self.prefix)
    }
}

fn gather(tree: &Dict<'_>, ranges: &mut Vec<(usize, LabelRange)>, nodes_left: &mut usize, depth: usize) {
    let (Some(depth), Some(left)) = (depth.checked_sub(1), nodes_left.checked_sub(1)) else { return };
    *nodes_left = left;
    if let Some(pairs) = tree.get::<Array<'_>>(b"Nums") {
        let items: Vec<Object<'_>> = pairs.iter::<Object<'_>>().take(2 * PAGES).collect();
        ranges.extend(items.chunks_exact(2).filter_map(|pair| {
            let first = usize::try_from(pair[0].clone().into_i32()?).ok()?;
            Some((first, LabelRange::of(&pair[1].clone().into_dict()?)))
        }));
    }
    for kid in tree.get::<Array<'_>>(b"Kids").iter().flat_map(|kids| kids.iter::<Dict<'_>>()) {
        gather(&kid, ranges, nodes_left, depth);
    }
}

fn roman(number: usize) -> String {
    /// Larger numbers are written in figures.
    const MOST: usize = 3999;
    const SIGNS: [(usize, &str); 13] = [
        (1000, "m"),
        (900, "cm"),
        (500, "d"),
        (400, "cd"),
        (100, "c"),
        (90, "xc"),
        (50, "l"),
        (40, "xl"),
        (10, "x"),
        (9, "ix"),
        (5, "v"),
        (4, "iv"),
        (1, "i"),
    ];
    if number > MOST {
        return number.to_string();
    }
    let mut left = number;
    let mut text = String::new();
    for (value, sign) in SIGNS {
        while left >= value {
            text.push_str(sign);
            left -= value;
        }
    }
    text
}

/// a to z, then aa to zz, and so on.
fn letters(number: usize) -> String {
    /// Longer labels are written in figures.
    const MOST: usize = 26 * 8;
    match number.checked_sub(1) {
        Some(at) if number <= MOST => {
            let letter = char::from(b'a' + u8::try_from(at % 26).unwrap_or(0));
            std::iter::repeat_n(letter, at / 26 + 1).collect()
        }
        _ => number.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pages_are_counted_in_figures_and_letters() {
        assert_eq!([1, 4, 9, 14, 40].map(roman), ["i", "iv", "ix", "xiv", "xl"]);
        assert_eq!([1, 26, 27, 53].map(letters), ["a", "z", "aa", "aaa"]);
    }
}
