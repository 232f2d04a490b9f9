//! Sentences as a person reads them at the table: lengths to what the eye and the tape tell apart, places in words, and none of the
//! signs by which a command line sets names off. What is typed is never read so: fields keep what was said.

/// From how many mm on a length is read in whole ones; below it in tenths, where seams are compared.
const WHOLE_FROM: f64 = 10.0;

/// A sentence as it is read at the table.
pub(super) fn read(sentence: &str) -> String {
    let words: Vec<String> = sentence.split(' ').map(|word| word.replace('`', "")).collect();
    let read = words.iter().enumerate().map(|(i, word)| match words.get(i + 1).map(String::as_str) {
        Some(next) if is_mm(next) => number(word).unwrap_or_else(|| word.clone()),
        _ => one_word(word),
    });
    read.collect::<Vec<_>>().join(" ")
}

/// Whether a word is the unit behind a number.
fn is_mm(word: &str) -> bool {
    word.strip_prefix("mm").is_some_and(|rest| !rest.starts_with(char::is_alphanumeric))
}

/// A word that stands for itself: a place, or a length written as it is typed.
fn one_word(word: &str) -> String {
    match word.split_once('@') {
        Some((edge, along)) if !edge.is_empty() && along.starts_with(|sign: char| sign.is_ascii_digit()) => {
            format!("{} along {edge}", typed_length(along))
        }
        _ => typed_length(word),
    }
}

/// `93.7mm,` as `94 mm,`; anything else as it stands: a whole one may be there to be typed.
fn typed_length(word: &str) -> String {
    let end = word.find("mm").filter(|end| is_mm(&word[*end..]) && word[..*end].contains('.'));
    let Some(end) = end else { return word.to_owned() };
    let (digits, unit) = word.split_at(end);
    number(digits).map_or_else(|| word.to_owned(), |number| format!("{number} {unit}"))
}

/// A number of mm as it is read, with the signs before it; none for what is no number.
fn number(word: &str) -> Option<String> {
    let begin = word.find(|sign: char| sign.is_ascii_digit())?;
    let (before, digits) = word.split_at(begin);
    let mm: f64 = digits.parse().ok()?;
    let tenths = format!("{mm:.1}");
    let short = tenths.trim_end_matches(".0");
    Some(if mm >= WHOLE_FROM { format!("{before}{mm:.0}") } else { format!("{before}{short}") })
}

#[cfg(test)]
mod tests {
    use super::read;

    #[test]
    fn lengths_are_read_as_far_as_they_are_told_apart() {
        assert_eq!(read("back is too wide by 201.38 mm."), "back is too wide by 201 mm.");
        assert_eq!(
            read("the seams differ by 0.42 mm (limit 0.5 mm)"),
            "the seams differ by 0.4 mm (limit 0.5 mm)"
        );
        assert_eq!(read("waist: 1008.75 mm, +10.96 mm"), "waist: 1009 mm, +11 mm");
        assert_eq!(read("3 pieces (19.99 mm, 2.04 mm)"), "3 pieces (20 mm, 2 mm)");
    }

    #[test]
    fn places_are_read_in_words() {
        assert_eq!(
            read("cut from `shoulder@93.7mm` to hem@45%"),
            "cut from 94 mm along shoulder to 45% along hem"
        );
        assert_eq!(read("a width of 17.5cm"), "a width of 17.5cm");
        assert_eq!(read("write it as 12mm, 12cm or 12in"), "write it as 12mm, 12cm or 12in");
        assert_eq!(read("set to 7.04mm."), "set to 7 mm.");
    }

    #[test]
    fn what_is_no_length_stays() {
        let plain = "front.side, 2.5 times; step 3 of comma.dot mmm 1.25 mmx";
        assert_eq!(read(plain), plain);
    }
}
