//! Signs that are not seen, and texts of any length, in everything that is looked at.

use crate::run::{Bench, fixture};
use retrue::canvas::is_unseen;

/// A name that reads as another: what follows the sign is written from right to left.
const TURNED: &str = "front\u{202E}kcab\u{2066}x\u{200F}";

/// The coat with a piece, an edge, a cloth, a level, a mark's text and a note of such names.
fn coat() -> String {
    let text = fixture("coat.svg");
    let text =
        text.replace("\"front\"", &format!("\"{TURNED}\"")).replace("\"front.", &format!("\"{TURNED}."));
    text.replace(" front.", &format!(" {TURNED}.")).replace("front.waist", &format!("{TURNED}.waist"))
}

fn assert_none(text: &str, what: &str) {
    let found = text.chars().find(|sign| is_unseen(*sign) && !matches!(sign, '\n' | '\t' | '\u{1b}'));
    assert!(found.is_none(), "{what} holds {found:?}");
    assert!(!text.is_empty(), "{what} is empty");
}

#[test]
fn signs_that_turn_writing_about_are_never_shown() {
    let bench = Bench::new().with_file("turned.svg", coat()).with_file("turned\u{202E}.svg", coat());
    for line in [
        "show turned.svg",
        "show turned.svg --json",
        "show turned\u{202E}.svg",
        "check turned.svg",
        "check turned\u{202E}.svg --json",
        "fit turned.svg --cloth \"20cm x 2m\"",
        "lay turned.svg --cloth \"20cm x 2m\" --iterations 1",
        "show missing\u{202E}.svg",
        "split turned.svg --piece frnt --line \"level waist\"",
        "apply none\u{202E}.toml turned\u{202E}.svg",
        "picture turned.svg",
        "report turned.svg --title a\u{202E}b",
        "set-piece turned.svg --piece back --cut 4 --dry-run",
        "apply broken.toml",
    ] {
        let bench = &bench;
        std::fs::write(bench.path("broken.toml"), "[[step]]\ndo = \"spl\u{202E}it\"\n").unwrap();
        let outcome = bench.retrue(line);
        assert_none(&format!("{}{}", outcome.stdout(), outcome.stderr()), line);
    }
    for (line, file) in [
        ("picture turned.svg -o picture.svg", "picture.svg"),
        ("report turned.svg -o page.html", "page.html"),
        ("lay turned.svg --cloth \"150cm x 8m\" --iterations 3 -o lay.svg", "lay.svg"),
        ("adopt turned.svg --picture found.svg", "found.svg"),
    ] {
        bench.retrue(line).ends_by_itself();
        assert_none(&bench.text_of(file), line);
    }
}

/// The sheet keeps names as they were drawn, for they are data; its labels show them cleaned.
#[test]
fn labels_on_a_sheet_are_cleaned_and_names_are_kept() {
    let bench = Bench::new().with_file("turned.svg", coat());
    bench.retrue("set-piece turned.svg --piece back --cut 4 -o new.svg").ends_by_itself();
    let text = bench.text_of("new.svg");
    let document = roxmltree::Document::parse(&text).unwrap();
    let shown = |node: &roxmltree::Node<'_, '_>| {
        node.attribute("data-shows").is_some_and(|shows| matches!(shows, "label" | "title"))
    };
    let labels: String = document.descendants().filter(shown).filter_map(|node| node.text()).collect();
    assert!(labels.contains("front\u{FFFD}kcab"), "{labels}");
    assert_none(&labels, "a label");
    assert!(document.descendants().any(|node| node.attribute("id") == Some(TURNED)));
}

/// The letters of a print come with what they show: none of them is a sign that is not seen.
#[test]
fn a_print_holds_no_such_letters() {
    let bench = Bench::new().with_file("turned.svg", coat());
    bench.retrue("print turned.svg --title a\u{202E}b -o print.pdf").is_true();
    let pdf = std::fs::read(bench.path("print.pdf")).unwrap();
    let holds = |title: &str| {
        let bytes: Vec<u8> = title.encode_utf16().flat_map(u16::to_be_bytes).collect();
        let hex: String = bytes.iter().map(|byte| format!("{byte:02X}")).collect();
        let is = |wanted: &[u8]| pdf.windows(wanted.len()).any(|window| window.eq_ignore_ascii_case(wanted));
        is(&bytes) || is(hex.as_bytes())
    };
    assert!(holds("a\u{FFFD}b") && !holds("a\u{202E}b"), "the title is not cleaned");
}

/// Words of any length on a piece end in a picture or a print that can be looked at.
#[test]
fn texts_of_any_length_are_shown_in_short() {
    let long = "x".repeat(100_000);
    let mark = format!("<text x=\"400\" y=\"400\">{long}</text></g>");
    let text = fixture("coat.svg");
    let at = text.find("</g>").unwrap();
    let text = format!("{}{mark}{}", &text[..at], &text[at + 4..])
        .replace("data-cloth=\"main\"", &format!("data-cloth=\"main\" data-x=\"{long}\""));
    let bench = Bench::new().with_file("long.svg", text);
    for line in [
        "show long.svg",
        "picture long.svg -o picture.svg",
        "print long.svg -o print.pdf",
        "report long.svg -o page.html",
        "lay long.svg --cloth \"150cm x 8m\" --iterations 1 -o lay.svg",
    ] {
        bench.retrue(line).ends_by_itself();
    }
    for file in ["picture.svg", "lay.svg"] {
        if bench.path(file).exists() {
            assert!(!bench.text_of(file).contains(&"x".repeat(1_000)), "{file}");
        }
    }
    let title = format!("picture long.svg -o {}.svg", "y".repeat(100));
    bench.retrue(&title).is_true();
    bench.retrue(&format!("print long.svg --title {long} -o titled.pdf")).is_true();
}
