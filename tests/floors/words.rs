//! What the program can say: every template of a sentence in the source, and rules that all of them keep.
//!
//! `RETRUE_TELL=1 cargo test --test floors templates -- --nocapture` prints them all, to be read through.

use std::path::Path;

use proc_macro2::{TokenStream, TokenTree};
use syn::visit::{self, Visit};
use syn::{Attribute, Expr, ExprLit, Item, ItemEnum, ItemStruct, Lit, LitStr, Macro, Meta};

use crate::modules::rust_files;

/// Words that are not said, and what is said in their place.
const UNSAID: &[(&str, &str)] = &[
    // Said once, and understood by nobody.
    ("in the round", "closed seam"),
    ("told by a step", "expected change"),
    ("laid quickly", "tried"),
    ("cloth twice", "overlap"),
    ("lies twice", "overlaps"),
    ("look at so many", "try at most this many"),
    ("of which there is none in the cloth", "the cloth file does not describe it"),
    ("in which order to sew", "sewing order"),
    ("sew it so, or bind it", "sew narrower, or bind"),
    ("telling:", "output:"),
    ("reading:", "input:"),
    ("this is a fault of", "the program failed"),
    ("at the least", "at least"),
    ("at the most", "at most"),
    ("on the mean", "on average"),
    ("over nothing", "over zero"),
    ("than nothing", "than zero"),
    ("nothing or more", "zero or more"),
    ("cannot be so", "is not right"),
    ("turned shut", "closed"),
    ("is other now", "has changed"),
    ("would do", "would be enough"),
    ("readme", "a topic of help"),
    // Of computers, not of cloth.
    ("directory", "folder"),
    ("invalid", "what is wrong"),
    ("illegal", "what is wrong"),
    ("failed to", "what was not done"),
    ("unable to", "cannot"),
    ("exception", "what happened"),
    ("parameter ", "field"),
    ("argument ", "field"),
    ("parse", "read"),
    ("null", "none"),
    ("boolean", "true or false"),
    ("string", "text"),
    ("regex", "a pattern of names"),
    ("polyline", "line"),
    ("bezier", "curve"),
    ("vertex", "corner"),
    ("epsilon", "how far"),
    ("tolerance of", "limit"),
    // Of another spelling or register.
    ("center", "centre"),
    ("please ", "the way out itself"),
    ("sorry", "the way out"),
    ("oops", "what happened"),
    ("e.g.", "as in"),
    ("i.e.", "that is"),
    ("etc.", "all of it"),
    ("!", "a full stop"),
    (" hence", "so that"),
    (" thus", "so"),
    ("whilst", "while"),
    ("utilise", "use"),
    ("in order to", "to"),
];

/// Where a word that is not said to makers belongs: of a drawing's own language, of web pages, of the program's insides.
const APART: &[(&str, &str)] = &[("drawing/svg/", "parameter ")];

/// The most words of one sentence: what comes up to a full stop, a semicolon or a colon is read in one breath.
const MOST_WORDS: usize = 34;

/// A text is a sentence from so many words on.
const LEAST_WORDS: usize = 3;

/// A template: the file it stands in, and the text.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Template {
    file: String,
    text: String,
}

/// Collects what a file can say.
#[derive(Default)]
struct Said {
    texts: Vec<String>,
}

impl Said {
    fn of(source: &str) -> Vec<String> {
        let mut said = Said::default();
        said.visit_file(&syn::parse_file(source).expect("Rust"));
        said.texts
    }

    /// All texts among tokens, as of a macro.
    fn tokens(&mut self, tokens: TokenStream) {
        for token in tokens {
            match token {
                TokenTree::Group(group) => self.tokens(group.stream()),
                TokenTree::Literal(literal) => {
                    if let Ok(text) = syn::parse_str::<LitStr>(&literal.to_string()) {
                        self.texts.push(text.value());
                    }
                }
                TokenTree::Ident(_) | TokenTree::Punct(_) => {}
            }
        }
    }
}

/// Whether an item is a part of the command line, whose comments are its help.
fn is_command_line(attributes: &[Attribute]) -> bool {
    attributes.iter().any(|attribute| match &attribute.meta {
        Meta::List(list) if list.path.is_ident("derive") => {
            let derived = list.tokens.to_string();
            ["Args", "Parser", "Subcommand", "ValueEnum"].iter().any(|name| derived.contains(name))
        }
        _ => false,
    })
}

/// The paragraphs of a comment.
fn comments(attributes: &[Attribute]) -> Vec<String> {
    let lines = attributes.iter().filter_map(|attribute| match &attribute.meta {
        Meta::NameValue(pair) if pair.path.is_ident("doc") => match &pair.value {
            Expr::Lit(ExprLit { lit: Lit::Str(text), .. }) => Some(text.value().trim().to_owned()),
            _ => None,
        },
        _ => None,
    });
    let lines: Vec<String> = lines.collect();
    lines
        .split(String::is_empty)
        .map(|paragraph| paragraph.join(" "))
        .filter(|text| !text.is_empty())
        .collect()
}

fn is_test(attributes: &[Attribute]) -> bool {
    attributes.iter().any(|attribute| {
        attribute.path().is_ident("test")
            || matches!(&attribute.meta, Meta::List(list) if list.path.is_ident("cfg") && list.tokens.to_string() == "test")
    })
}

fn attributes(item: &Item) -> &[Attribute] {
    match item {
        Item::Mod(item) => &item.attrs,
        Item::Fn(item) => &item.attrs,
        Item::Use(item) => &item.attrs,
        Item::Impl(item) => &item.attrs,
        _ => &[],
    }
}

impl<'ast> Visit<'ast> for Said {
    fn visit_item(&mut self, item: &'ast Item) {
        if !is_test(attributes(item)) {
            visit::visit_item(self, item);
        }
    }

    fn visit_item_struct(&mut self, item: &'ast ItemStruct) {
        if is_command_line(&item.attrs) {
            self.texts.extend(comments(&item.attrs));
            self.texts.extend(item.fields.iter().flat_map(|field| comments(&field.attrs)));
        }
        visit::visit_item_struct(self, item);
    }

    fn visit_item_enum(&mut self, item: &'ast ItemEnum) {
        if is_command_line(&item.attrs) {
            self.texts.extend(item.variants.iter().flat_map(|variant| comments(&variant.attrs)));
        }
        visit::visit_item_enum(self, item);
    }

    fn visit_attribute(&mut self, attribute: &'ast Attribute) {
        if let (Meta::List(list), true) = (&attribute.meta, attribute.path().is_ident("error")) {
            self.tokens(list.tokens.clone());
        }
    }

    fn visit_macro(&mut self, call: &'ast Macro) {
        let name = call.path.segments.last().map(|segment| segment.ident.to_string());
        // What an assertion says nobody reads but us.
        let is_inside = ["debug_assert", "debug_assert_eq", "unreachable", "assert"]
            .iter()
            .any(|inside| name.as_deref() == Some(*inside));
        if !is_inside {
            self.tokens(call.tokens.clone());
        }
    }

    fn visit_expr(&mut self, expression: &'ast Expr) {
        match expression {
            Expr::Lit(ExprLit { lit: Lit::Str(text), .. }) => self.texts.push(text.value()),
            Expr::MethodCall(call) if call.method == "expect" => self.visit_expr(&call.receiver),
            _ => visit::visit_expr(self, expression),
        }
    }
}

/// Whether a text is said to a person: words in a row, and no markup, drawing or code.
fn is_said(text: &str) -> bool {
    let is_word = |word: &&str| {
        let word = word.trim_matches(|sign: char| !sign.is_alphanumeric());
        word.len() > 1 && word.chars().all(|sign| sign.is_alphabetic() || "'-".contains(sign))
    };
    let is_code =
        text.contains("</") || text.contains(": none;") || text.contains(" obj\n") || text.contains("-src '");
    text.split_whitespace().filter(is_word).count() >= LEAST_WORDS && !is_code
}

/// Every template of the source that is said to a person.
fn templates() -> Vec<Template> {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut templates = Vec::new();
    for file in rust_files(&source).iter().filter(|file| !file.ends_with("tests.rs")) {
        let text = std::fs::read_to_string(file).expect("a file of the source");
        let name = file.strip_prefix(&source).expect("a file of the source").display().to_string();
        let said = Said::of(&text).into_iter().filter(|text| is_said(text));
        templates.extend(said.map(|text| Template { file: name.clone(), text }));
    }
    templates.sort();
    templates.dedup();
    templates
}

#[test]
fn templates_of_all_sentences_are_found_and_told() {
    let templates = templates();
    if std::env::var_os("RETRUE_TELL").is_some() {
        templates.iter().for_each(|template| println!("{}: {}", template.file, template.text));
    }
    assert!(templates.len() > 1200, "{}", templates.len());
    for (file, text) in [
        ("cli/io.rs", "there is no such file"),
        ("cloth/error.rs", "the cloth has neither a width and length nor panels"),
        ("truing/finding_sentence.rs", "the edge is a seam but is sewn to nothing"),
        ("recut/notice.rs", "make it anew: "),
    ] {
        assert!(templates.iter().any(|one| one.file == file && one.text == text), "{file}: {text}");
    }
}

#[test]
fn a_template_is_found_wherever_it_stands() {
    let source = r#"
        #[derive(thiserror::Error)]
        #[error("one two three {0}")]
        struct A(u8);
        const B: &str = "four five six";
        /// Thirteen fourteen fifteen.
        ///
        /// Sixteen seventeen
        /// eighteen.
        #[derive(Clone, Args)]
        struct D { /// Nineteen twenty.
            e: u8 }
        /// Not said either.
        struct E;
        fn f() { let _ = format!("seven {} eight nine", g("ten eleven \
            twelve")); h().expect("not said at all"); }
        #[cfg(test)]
        mod tests { const C: &str = "nor is this said"; }
    "#;
    let said = [
        "one two three {0}",
        "four five six",
        "Thirteen fourteen fifteen.",
        "Sixteen seventeen eighteen.",
        "Nineteen twenty.",
        "seven {} eight nine",
        "ten eleven twelve",
    ];
    assert_eq!(Said::of(source), said);
}

/// In plain trade English.
#[test]
fn nothing_is_said_in_words_that_are_not_said() {
    let mut wrong = Vec::new();
    for template in templates() {
        let text = template.text.to_lowercase();
        for (word, instead) in UNSAID.iter().filter(|(word, _)| text.contains(word)) {
            let is_apart = APART.iter().any(|(at, apart)| template.file.starts_with(at) && apart == word);
            if !is_apart {
                wrong.push(format!("{}: `{}`: not `{word}`, but {instead}", template.file, template.text));
            }
        }
    }
    assert!(wrong.is_empty(), "{}\n{}", wrong.len(), wrong.join("\n"));
}

/// One fact each: read in one breath.
#[test]
fn no_sentence_is_longer_than_a_breath() {
    let longest = |text: &str| {
        let sentences = text.split([';', ':', '\n']).flat_map(|part| part.split(". "));
        sentences.map(|sentence| sentence.split_whitespace().count()).max().unwrap_or(0)
    };
    let long = templates().into_iter().filter(|template| longest(&template.text) > MOST_WORDS);
    let long: Vec<String> = long
        .map(|template| format!("{}: {}: {}", longest(&template.text), template.file, template.text))
        .collect();
    assert!(long.is_empty(), "{}\n{}", long.len(), long.join("\n"));
}

/// The names of types that stand in the comments of a source as if they were words: out of marks of code, of ways to them, and of
/// examples.
fn types_as_words(source: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut is_example = false;
    for line in source.lines().map(str::trim) {
        let Some(said) = line.strip_prefix("///").or_else(|| line.strip_prefix("//!")) else {
            is_example = false;
            continue;
        };
        if said.trim().starts_with("```") {
            is_example = !is_example;
            continue;
        }
        let out_of_marks = said.split('`').step_by(2).filter(|_| !is_example);
        let words = out_of_marks.flat_map(str::split_whitespace).filter(|word| !word.contains("::"));
        let words = words.flat_map(|word| word.split(|sign: char| !sign.is_alphabetic()));
        found.extend(words.filter(|word| is_type_name(word)).map(str::to_owned));
    }
    found
}

/// Whether a word is two or more run together, each with a capital.
fn is_type_name(word: &str) -> bool {
    let capitals = word.char_indices().filter(|(_, sign)| sign.is_uppercase()).map(|(at, _)| at);
    let starts: Vec<usize> = capitals.collect();
    let ends = starts.iter().skip(1).copied().chain([word.len()]);
    starts.len() > 1 && starts[0] == 0 && starts.iter().zip(ends).all(|(from, to)| to - from > 1)
}

/// Where a type is called otherwise, its name may be changed in a sentence by mistake: much of what stands in comments is help.
#[test]
fn no_type_is_named_as_if_it_were_a_word() {
    let example = "/// HalfMade a circle, as `HalfMade` does, or [`Made`](crate::HalfMade); NaN gives 0.\n\
                   /// ```\n/// use a::HalfMade;\n/// ```\nstruct HalfMade;\n//! Of TwoHalves.\n";
    assert_eq!(types_as_words(example), ["HalfMade", "TwoHalves"]);
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let files = rust_files(&source);
    let wrong = files.iter().flat_map(|file| {
        let text = std::fs::read_to_string(file).expect("a file of the source");
        types_as_words(&text).into_iter().map(|name| format!("{}: {name}", file.display()))
    });
    let wrong: Vec<String> = wrong.collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
