//! What the words on a piece say, in English, German, French, Spanish, Italian and Dutch: how often it is cut, of which cloth,
//! that it lies on the fold, and what it is called.
//!
//! Words are compared in small letters without accents. A phrase is some words in a row.

use crate::adopt::likely::vocabulary::{
    BEFORE_NAME, CLOTH_OF, CLOTHS, CUT, FOLD, HEM, NO_CLOTH, NO_NAME, NOT, NUMBERS, PAIRS, TIMES,
};
use crate::pattern::{ClothName, Cut, Twins};

/// What one text says.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct WordsSaid {
    /// How often the piece is cut.
    pub cut: Option<Cut>,
    /// Whether it, or the edge beside which this stands, lies on the fold.
    pub fold: bool,
    /// Whether an edge is turned up there.
    pub hem: bool,
    /// The cloth.
    pub cloth: Option<ClothName>,
    /// How often it is cut of other cloths besides: `cut 2 self, 2 lining`.
    pub besides: Vec<(Cut, ClothName)>,
    /// What may be a name: the words before anything else is said.
    pub name: Option<String>,
}

/// Nobody cuts a piece of a garment more often; greater numbers are sizes.
const MOST_CUT: u32 = 20;

/// Words of a name at most, and letters at least.
const MOST_WORDS: usize = 3;
const LEAST_LETTERS: usize = 3;

impl WordsSaid {
    /// What a text says.
    pub fn of(text: &str) -> WordsSaid {
        let words = words(text);
        let plain: Vec<&str> = words.iter().map(|word| word.plain.as_str()).collect();
        let fold =
            FOLD.iter().any(|phrase| holds(&plain, phrase)) && !plain.iter().any(|word| NOT.contains(word));
        let hem = plain.iter().any(|word| HEM.contains(word));
        let cut = cut(&plain).or((fold && plain.iter().any(|word| CUT.contains(word))).then_some(Cut::ONE));
        let (cloth, name) = (cloth(&plain), name(&words));
        let mut of_cloths = cut_of_cloths(&plain).into_iter();
        match (of_cloths.next(), of_cloths.len()) {
            (Some((cut, cloth)), 1..) => WordsSaid {
                cut: Some(cut),
                fold,
                hem,
                cloth: Some(cloth),
                besides: of_cloths.collect(),
                name,
            },
            _ => WordsSaid { cut, fold, hem, cloth, besides: Vec::new(), name },
        }
    }

    /// Whether it says how a piece is cut rather than how it is called.
    pub fn is_instruction(&self) -> bool {
        self.cut.is_some() || self.fold || self.cloth.is_some()
    }
}

/// A word, and as it is compared.
struct SpokenWord {
    own: String,
    plain: String,
}

/// The words of a text; figures are words of their own: `2x` is two.
fn words(text: &str) -> Vec<SpokenWord> {
    let mut words: Vec<SpokenWord> = Vec::new();
    let mut own = String::new();
    let mut end = |own: &mut String| {
        if !own.is_empty() {
            let plain: String = own.to_lowercase().chars().flat_map(plain).collect();
            words.push(SpokenWord { own: std::mem::take(own), plain });
        }
    };
    for sign in text.chars() {
        let joins = own.chars().last().is_none_or(|last| last.is_ascii_digit() == sign.is_ascii_digit());
        match sign {
            '\u{d7}' => {
                end(&mut own);
                own.push('x');
                end(&mut own);
            }
            '-' if own.ends_with(char::is_alphabetic) => own.push(sign),
            sign if !sign.is_alphanumeric() => end(&mut own),
            sign => {
                if !joins {
                    end(&mut own);
                }
                own.push(sign);
            }
        }
    }
    end(&mut own);
    words
}

/// A small letter without its accent.
fn plain(letter: char) -> impl Iterator<Item = char> {
    let plain = match letter {
        'à' | 'á' | 'â' | 'ã' | 'ä' | 'å' => "a",
        'ç' => "c",
        'è' | 'é' | 'ê' | 'ë' => "e",
        'ì' | 'í' | 'î' | 'ï' => "i",
        'ñ' => "n",
        'ò' | 'ó' | 'ô' | 'õ' | 'ö' => "o",
        'ù' | 'ú' | 'û' | 'ü' => "u",
        'ß' => "ss",
        'œ' => "oe",
        _ => "",
    };
    plain.chars().chain(plain.is_empty().then_some(letter))
}

/// Whether a text holds one of some phrases.
pub(super) fn holds_any(text: &str, phrases: &[&str]) -> bool {
    let words = words(text);
    let plain: Vec<&str> = words.iter().map(|word| word.plain.as_str()).collect();
    phrases.iter().any(|phrase| holds(&plain, phrase))
}

/// Whether the words of a phrase stand in a row.
fn holds(words: &[&str], phrase: &str) -> bool {
    let phrase: Vec<&str> = phrase.split(' ').collect();
    words.windows(phrase.len()).any(|row| row == phrase)
}

fn number(word: &str) -> Option<u32> {
    let in_words = NUMBERS.iter().find(|(name, _)| *name == word).map(|(_, number)| *number);
    in_words.or_else(|| word.parse().ok()).filter(|number| (1..=MOST_CUT).contains(number))
}

/// How often a piece is cut: `cut 2`, `2 x zuschneiden`, `2 fois`, `1 pair`.
fn cut(words: &[&str]) -> Option<Cut> {
    let is = |at: usize, list: &[&str]| words.get(at).is_some_and(|word| list.contains(word));
    let said = words.iter().position(|word| CUT.contains(word));
    let counted = (0..words.len()).find(|at| {
        let before = at.checked_sub(1).is_some_and(|before| is(before, TIMES));
        number(words[*at]).is_some() && (is(at + 1, TIMES) || is(at + 1, PAIRS) || (before && *at == 1))
    });
    let behind = |from: usize| (from..words.len()).find(|at| number(words[*at]).is_some());
    let at = counted.or_else(|| said.and_then(|said| behind(said).or_else(|| behind(0))))?;
    let many = number(words[at])?;
    Some(copies(if words.iter().any(|word| PAIRS.contains(word)) { 2 * many } else { many }))
}

fn copies(copies: u32) -> Cut {
    let twins = if copies.is_multiple_of(2) { Twins::Mirrored } else { Twins::Same };
    Cut { copies, twins }
}

/// How often a piece is cut of each cloth, where numbers stand before the names of several: `2 self, 2 lining`.
fn cut_of_cloths(words: &[&str]) -> Vec<(Cut, ClothName)> {
    let mut found: Vec<(Cut, ClothName)> = Vec::new();
    let numbers: Vec<usize> = (0..words.len()).filter(|at| number(words[*at]).is_some()).collect();
    for (one, at) in numbers.iter().enumerate() {
        let end = numbers.get(one + 1).copied().unwrap_or(words.len());
        let behind = &words[at + 1..end];
        let (Some(many), Some(cloth)) = (number(words[*at]), cloth(behind)) else { continue };
        if found.iter().all(|(_, known)| *known != cloth) {
            found.push((copies(many), cloth));
        }
    }
    found
}

fn cloth(words: &[&str]) -> Option<ClothName> {
    let listed = |all: &[&str]| all.iter().any(|phrase| holds(words, phrase));
    let named = words.windows(2).find(|pair| {
        let is_name = pair[0].chars().all(char::is_alphabetic) && pair[0].len() >= LEAST_LETTERS;
        let is_other = NO_CLOTH.contains(&pair[0]) || NO_NAME.contains(&pair[0]) || CUT.contains(&pair[0]);
        CLOTH_OF.contains(&pair[1]) && is_name && !is_other && number(pair[0]).is_none()
    });
    let known = CLOTHS.iter().find(|(_, phrases)| listed(phrases)).map(|(name, _)| *name);
    let told = match (named, known) {
        (Some(named), None | Some("main")) if named[0] != "main" && named[0] != "self" => named[0],
        (_, Some(known)) => known,
        (_, None) => return None,
    };
    told.parse().ok()
}

/// What a text begins with, where it may be a name.
fn name(words: &[SpokenWord]) -> Option<String> {
    let is_figure = |word: &&SpokenWord| word.plain.chars().all(|sign| sign.is_ascii_digit());
    let begins = |word: &&SpokenWord| is_figure(word) || BEFORE_NAME.contains(&word.plain.as_str());
    let ends = |word: &&SpokenWord| {
        let plain = word.plain.as_str();
        let cloth = |(_, names): &(&str, &[&str])| names.contains(&plain);
        is_figure(word)
            || [CUT, NO_NAME, PAIRS, FOLD].iter().any(|list| list.contains(&plain))
            || CLOTHS.iter().any(cloth)
    };
    let is_cloth = |at: usize| words.get(at + 1).is_some_and(|next| CLOTH_OF.contains(&next.plain.as_str()));
    let named = words.iter().enumerate().skip_while(|(_, word)| begins(word));
    let named = named.take_while(|(at, word)| !ends(word) && !is_cloth(*at)).take(MOST_WORDS);
    let name: Vec<String> =
        named.map(|(_, word)| word.own.to_lowercase().trim_matches('-').to_owned()).collect();
    let name = name.join("-");
    (name.chars().filter(|sign| sign.is_alphabetic()).count() >= LEAST_LETTERS).then_some(name)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(text: &str) -> (Option<String>, bool, Option<String>) {
        let said = WordsSaid::of(text);
        (said.cut.map(|cut| cut.to_string()), said.fold, said.cloth.map(|cloth| cloth.to_string()))
    }

    fn says(text: &str, cut: Option<&str>, fold: bool, cloth: Option<&str>) {
        assert_eq!(said(text), (cut.map(str::to_owned), fold, cloth.map(str::to_owned)), "{text}");
    }

    #[test]
    fn copies_folds_and_cloths_are_read_in_six_languages() {
        says("Cut 2", Some("2"), false, None);
        says("CUT 1 ON THE FOLD", Some("1"), true, None);
        says("cut 1 pair: R as drawn, L mirrored", Some("2"), false, None);
        says("Cut two in lining", Some("2"), false, Some("lining"));
        says("cut on fold", Some("1"), true, None);
        says("2x Oberstoff", Some("2"), false, Some("main"));
        says("1x im Stoffbruch zuschneiden", Some("1"), true, None);
        says("zweimal zuschneiden, Futterstoff", Some("2"), false, Some("lining"));
        says("Couper 2 fois, doublure", Some("2"), false, Some("lining"));
        says("couper 1 fois au pli du tissu", Some("1"), true, Some("main"));
        says("Cortar 2 veces en tela", Some("2"), false, Some("main"));
        says("cortar 1 al doblez, entretela", Some("1"), true, Some("interfacing"));
        says("tagliare 2 volte, fodera", Some("2"), false, Some("lining"));
        says("1 volta sulla piega del tessuto", Some("1"), true, Some("main"));
        says("2 x knippen, voering", Some("2"), false, Some("lining"));
        says("1x aan de stofvouw knippen", Some("1"), true, None);
        says("doppelt zuschneiden", Some("2"), false, None);
        says("2-mal, Einlage", Some("2"), false, Some("interfacing"));
        says("1 vez al lomo", Some("1"), true, None);
        says("1 pezzo a doppio", Some("1"), true, None);
        says("companion cloth", None, false, Some("companion"));
        says("main cloth", None, false, Some("main"));
    }

    #[test]
    fn each_cloth_that_a_piece_is_cut_of_is_read() {
        let besides = |text: &str| -> Vec<String> {
            WordsSaid::of(text).besides.iter().map(|(cut, cloth)| format!("{cut} {cloth}")).collect()
        };
        for text in ["Cut 2 self, 2 lining", "Cut 4: 2 main, 2 lining"] {
            says(text, Some("2"), false, Some("main"));
            assert_eq!(besides(text), ["2 lining"], "{text}");
        }
        says("2x Oberstoff, 2x Futter, 1x Einlage", Some("2"), false, Some("main"));
        assert_eq!(besides("2x Oberstoff, 2x Futter, 1x Einlage"), ["2 lining", "1 interfacing"]);
        assert!(besides("Cut 2 main").is_empty());
    }

    #[test]
    fn what_says_something_else_is_no_count_and_no_fold() {
        says("Taglia 42", None, false, None);
        says("size 2", None, false, None);
        says("fold line of the facing", None, false, None);
        says("nicht im Bruch", None, false, None);
        says("test square 100 mm", None, false, None);
        says("sleeve, piece 4 of 13", None, false, None);
    }

    #[test]
    fn names_are_what_stands_before_all_else() {
        let name = |text: &str| WordsSaid::of(text).name;
        assert_eq!(name("1 Front").as_deref(), Some("front"));
        assert_eq!(name("Rückenteil 38").as_deref(), Some("rückenteil"));
        assert_eq!(name("Front facing, cut 2").as_deref(), Some("front-facing"));
        assert_eq!(name("under-collar").as_deref(), Some("under-collar"));
        for text in ["cut 2", "grain", "Fadenlauf", "38", "Size 38", "d", "Stoffbruch"] {
            assert_eq!(name(text), None, "{text}");
        }
    }
}
