//! What the words on a piece say, in English, German, French, Spanish, Italian and Dutch: how often it is cut, of which cloth,
//! that it lies on the fold, and what it is called.
//!
//! Words are compared in small letters without accents. A phrase is some words in a row.

use crate::pattern::{ClothName, Cut, Twins};

/// What one text says.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Said {
    /// How often the piece is cut.
    pub cut: Option<Cut>,
    /// Whether it, or the edge beside which this stands, lies on the fold.
    pub fold: bool,
    /// Whether an edge is turned up there.
    pub hem: bool,
    /// The cloth.
    pub cloth: Option<ClothName>,
    /// What may be a name: the words before anything else is said.
    pub name: Option<String>,
}

const CUT: &[&str] = &[
    "cut",
    "zuschneiden",
    "schneiden",
    "zuschnitt",
    "couper",
    "coupez",
    "tailler",
    "taillez",
    "cortar",
    "corte",
    "corta",
    "cortad",
    "tagliare",
    "tagliate",
    "knippen",
    "knip",
];

const TIMES: &[&str] = &[
    "x", "mal", "fach", "fois", "veces", "vez", "volte", "volta", "keer", "maal", "times", "stuck", "stk",
    "stuks", "piezas", "pezzi",
];

const PAIRS: &[&str] = &[
    "pair", "pairs", "paar", "paare", "paire", "paires", "par", "pares", "paio", "paia", "coppia", "coppie",
    "paren",
];

const NUMBERS: &[(&str, u32)] = &[
    ("one", 1),
    ("once", 1),
    ("two", 2),
    ("twice", 2),
    ("three", 3),
    ("four", 4),
    ("six", 6),
    ("ein", 1),
    ("eine", 1),
    ("einmal", 1),
    ("zwei", 2),
    ("zweimal", 2),
    ("drei", 3),
    ("dreimal", 3),
    ("vier", 4),
    ("viermal", 4),
    ("un", 1),
    ("une", 1),
    ("deux", 2),
    ("trois", 3),
    ("quatre", 4),
    ("una", 1),
    ("uno", 1),
    ("dos", 2),
    ("tres", 3),
    ("cuatro", 4),
    ("due", 2),
    ("tre", 3),
    ("quattro", 4),
    ("een", 1),
    ("twee", 2),
    ("tweemaal", 2),
    ("drie", 3),
];

/// Nobody cuts a piece of a garment more often; greater numbers are sizes.
const MOST_CUT: u32 = 20;

const FOLD: &[&str] = &[
    "on the fold",
    "on fold",
    "to fold",
    "cut on fold",
    "place on fold",
    "im bruch",
    "am bruch",
    "stoffbruch",
    "i br",
    "im umbruch",
    "bruchkante",
    "au pli",
    "sur le pli",
    "sur la pliure",
    "sur pliure",
    "dans le pli",
    "a la pliure",
    "pliure",
    "al doblez",
    "en el doblez",
    "sobre el doblez",
    "doblez",
    "al doblado",
    "sulla piega",
    "in piega",
    "sul ripiego",
    "ripiegatura",
    "piega del tessuto",
    "stofvouw",
    "aan de vouw",
    "op de vouw",
    "tegen de vouw",
];

/// Words before or behind a fold that say that there is none.
const NOT: &[&str] = &[
    "not", "no", "nicht", "kein", "keinen", "ohne", "sans", "pas", "sin", "senza", "non", "niet", "geen",
    "zonder",
];

const HEM: &[&str] = &["hem", "hemline", "saum", "ourlet", "dobladillo", "orlo", "zoom"];

/// Cloths by what they are called; of several on one piece the first that stands here is the piece's.
const CLOTHS: &[(&str, &[&str])] = &[
    (
        "main",
        &[
            "main",
            "self",
            "oberstoff",
            "hauptstoff",
            "tissu principal",
            "tela principal",
            "tessuto principale",
            "hoofdstof",
            "buitenstof",
        ],
    ),
    (
        "contrast",
        &[
            "contrast",
            "kontraststoff",
            "besatzstoff",
            "contrastant",
            "contraste",
            "contrasto",
            "contraststof",
        ],
    ),
    ("lining", &["lining", "futter", "futterstoff", "doublure", "forro", "fodera", "voering", "voeringstof"]),
    (
        "interfacing",
        &[
            "interfacing",
            "fusible",
            "einlage",
            "vlieseline",
            "entoilage",
            "thermocollant",
            "entretela",
            "teletta",
            "interfodera",
            "tussenvoering",
            "plakvlies",
        ],
    ),
    ("main", &["fabric", "stoff", "tissu", "tela", "tejido", "tessuto", "stoffa", "stof"]),
];

/// Words for cloth behind the name of one: `companion cloth`.
const CLOTH_OF: &[&str] = &["cloth", "fabric"];
const NO_CLOTH: &[&str] =
    &["the", "of", "your", "this", "fashion", "outer", "shell", "in", "from", "on", "to"];

/// Words that begin something other than a name.
const NO_NAME: &[&str] = &[
    "fold",
    "bruch",
    "pli",
    "vouw",
    "size",
    "sizes",
    "grosse",
    "groesse",
    "gr",
    "taille",
    "taglia",
    "talla",
    "maat",
    "on",
    "the",
    "of",
    "in",
    "im",
    "am",
    "au",
    "al",
    "place",
    "grain",
    "grainline",
    "straight",
    "fadenlauf",
    "droit",
    "fil",
    "hilo",
    "drittofilo",
    "draadrichting",
    "line",
    "x",
    "test",
    "testquadrat",
    "kontrollquadrat",
    "square",
    "carre",
    "quadrat",
    "cuadrado",
    "quadrato",
    "vierkant",
    "seam",
    "allowance",
    "nahtzugabe",
    "marge",
    "margen",
    "margine",
    "naadtoeslag",
    "notch",
    "and",
    "und",
    "et",
    "y",
    "e",
    "en",
    "mm",
    "cm",
    "sewn",
    "turn",
    "scale",
    "print",
    "page",
    "cloth",
    "seamlines",
    "cutting",
    "lines",
    "layer",
    "surface",
    "path",
];

/// Words before the number or the name of a piece.
const BEFORE_NAME: &[&str] =
    &["piece", "pattern", "no", "nr", "n", "teil", "schnittteil", "piece", "pieza", "pezzo", "deel"];

/// Words of a name at most, and letters at least.
const MOST_WORDS: usize = 3;
const LEAST_LETTERS: usize = 3;

impl Said {
    /// What a text says.
    pub fn of(text: &str) -> Said {
        let words = words(text);
        let plain: Vec<&str> = words.iter().map(|word| word.plain.as_str()).collect();
        let fold =
            FOLD.iter().any(|phrase| holds(&plain, phrase)) && !plain.iter().any(|word| NOT.contains(word));
        let hem = plain.iter().any(|word| HEM.contains(word));
        let cut = cut(&plain).or((fold && plain.iter().any(|word| CUT.contains(word))).then_some(Cut::ONE));
        Said { cut, fold, hem, cloth: cloth(&plain), name: name(&words) }
    }

    /// Whether it says how a piece is cut rather than how it is called.
    pub fn is_instruction(&self) -> bool {
        self.cut.is_some() || self.fold || self.cloth.is_some()
    }
}

/// A word, and as it is compared.
struct Word {
    own: String,
    plain: String,
}

/// The words of a text; figures are words of their own: `2x` is two.
fn words(text: &str) -> Vec<Word> {
    let mut words: Vec<Word> = Vec::new();
    let mut own = String::new();
    let mut end = |own: &mut String| {
        if !own.is_empty() {
            let plain: String = own.to_lowercase().chars().flat_map(plain).collect();
            words.push(Word { own: std::mem::take(own), plain });
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
            '-' if !own.is_empty() => own.push(sign),
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
    let copies = if words.iter().any(|word| PAIRS.contains(word)) { 2 * many } else { many };
    let twins = if copies % 2 == 0 { Twins::Mirrored } else { Twins::Same };
    Some(Cut { copies, twins })
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
fn name(words: &[Word]) -> Option<String> {
    let is_figure = |word: &&Word| word.plain.chars().all(|sign| sign.is_ascii_digit());
    let begins = |word: &&Word| is_figure(word) || BEFORE_NAME.contains(&word.plain.as_str());
    let ends = |word: &&Word| {
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
        let said = Said::of(text);
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
        says("companion cloth", None, false, Some("companion"));
        says("main cloth", None, false, Some("main"));
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
        let name = |text: &str| Said::of(text).name;
        assert_eq!(name("1 Front").as_deref(), Some("front"));
        assert_eq!(name("Rückenteil 38").as_deref(), Some("rückenteil"));
        assert_eq!(name("Front facing, cut 2").as_deref(), Some("front-facing"));
        assert_eq!(name("under-collar").as_deref(), Some("under-collar"));
        for text in ["cut 2", "grain", "Fadenlauf", "38", "Size 38", "d", "Stoffbruch"] {
            assert_eq!(name(text), None, "{text}");
        }
    }
}
