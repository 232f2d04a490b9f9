//! The cloth set by hand: written to its file, which keeps what a person wrote in it, and judged by its own reader.

use std::path::Path;

use retrue::cloth::file::{NoFiles, read};
use retrue::table::{ClothFile, ClothHome, Folder};
use serde_json::{Value, json};

use crate::bench::Bench;
use crate::door::Door;

/// A cloth file with remarks and an order of its own.
const WRITTEN: &str = "# My wool.\n\n[main]\nlength = [\"6m\", \"5.4m\"]   # two lengths\nwidth = \"37cm\"  # measured twice\n\
                       flaws = [\n    { at = [\"10cm\", \"2.3m\"], size = [\"4cm\", \"2cm\"] },  # moth\n]\n\n\
                       # for facings\n[companion]\nwidth = \"110cm\"\nlength = \"1.5m\"\n";

fn door(home: ClothHome) -> Door {
    let bench = Bench::of_coat();
    if home == ClothHome::Folder {
        bench.write("cloth.toml", WRITTEN);
    }
    door_of(bench, WRITTEN, home, "")
}

/// A table on a cloth of a text, none where it is empty, that was begun of what was named.
fn door_of(bench: Bench, text: &str, home: ClothHome, named: &str) -> Door {
    let stock = (!text.is_empty()).then(|| read(text, &mut NoFiles).expect("a cloth"));
    let reader = |text: &str| {
        read(text, &mut NoFiles)
            .map_err(|fault| format!("{}: {}; {}", fault.label, fault.what, fault.way_out))
    };
    let file = ClothFile::new(text.to_owned(), home, std::sync::Arc::new(reader)).begun_of(named.to_owned());
    let table = bench.table_on(stock).with_cloth_file(file);
    Door::of_table(bench, table)
}

fn told(door: &Door, path: &str, mut wish: Value) -> Value {
    wish["revision"] = door.got("/revision")["revision"].clone();
    door.told(path, &wish)
}

fn hand(door: &Door, hand: &Value) -> Value {
    told(door, "/cloth/hand", json!({ "cloth": "main", "hand": hand }))
}

/// What is set changes its own words, and nothing else of the file.
#[test]
fn what_a_person_wrote_stays() {
    let door = door(ClothHome::Folder);
    let says = |field: &str, value: &str| {
        let told = told(&door, "/cloth/say", json!({ "cloth": "main", "field": field, "value": value }));
        assert!(told["refused"].is_null(), "{field}: {told}");
        door.bench.text("cloth.toml")
    };
    assert_eq!(says("width", "36cm"), WRITTEN.replace("\"37cm\"", "\"36cm\""));
    let text = says("direction", "two-way");
    assert!(
        text.contains("width = \"36cm\"  # measured twice")
            && text.contains("# moth")
            && text.contains("# for facings\n[companion]"),
        "{text}"
    );
    let text = says("stripes", "64mm from 10mm");
    assert!(text.contains("repeat = \"64mm\", first = \"10mm\", along = \"width\""), "{text}");
    let text = says("stripes-along", "48mm");
    assert!(text.contains("along = \"length\"") && read(&text, &mut NoFiles).is_ok(), "{text}");
    let text = says("stripes", "");
    assert!(!text.contains("64mm") && text.contains("48mm"), "{text}");
    says("stripes-along", "");
    says("direction", "");
    let text = says("width", "37cm");
    assert_eq!(text, WRITTEN);
    assert!(says("width", "0m 37.2cm, 4m 36.6cm").contains("[[\"0m\", \"37.2cm\"], [\"4m\", \"36.6cm\"]]"));
}

/// Edges are dragged, flaws drawn, moved and taken away on the strip; the pieces are told anew how they fit.
#[test]
fn a_hand_sets_what_lies_under_it() {
    let door = door(ClothHome::Folder);
    let cloth = door.got("/cloth")["cloths"][0].clone();
    let length = |i: usize| [0, 1, 2, 3].map(|k| cloth["lengths"][i][k].as_f64().expect("a number"));
    let [x, y, width, height] = length(0);
    assert_eq!((width, height), (370.0, 6000.0));
    let before = door.got("/seen")["verdicts"]["fits"].clone();
    let wider = hand(&door, &json!({ "width": { "on": 0, "at": [x + 1500.2, y + 100.0] } }));
    assert!(
        wider["refused"].is_null()
            && door.bench.text("cloth.toml").contains("width = \"1500mm\"  # measured twice"),
        "{wider}"
    );
    assert_ne!(wider["verdicts"]["fits"], before);
    let seen = door.got("/cloth")["cloths"][0]["lengths"][1].clone();
    let second = [0, 1].map(|k| seen[k].as_f64().expect("a number"));
    let shorter = hand(&door, &json!({ "length": { "on": 1, "at": [second[0], second[1] + 4999.7] } }));
    assert!(
        shorter["refused"].is_null()
            && door.bench.text("cloth.toml").contains("[\"6m\", \"5000mm\"]   # two lengths"),
        "{shorter}"
    );
    let from = [second[0] + 300.0, second[1] + 700.0];
    let drawn = hand(&door, &json!({ "new-flaw": { "from": [from[0] + 50.0, from[1] + 20.0], "to": from } }));
    assert!(drawn["refused"].is_null(), "{drawn}");
    let flaws = door.got("/cloth")["cloths"][0]["flaws"].clone();
    assert_eq!(
        flaws[1]["lies"],
        json!([from[0], from[1], 50.0, 20.0]),
        "where it was drawn, on the second length"
    );
    hand(&door, &json!({ "flaw": { "number": 1, "by": [10.0, -100.0] } }));
    assert_eq!(
        door.got("/cloth")["cloths"][0]["flaws"][1]["lies"],
        json!([from[0] + 10.0, from[1] - 100.0, 50.0, 20.0])
    );
    let text = door.bench.text("cloth.toml");
    assert!(text.contains("# moth") && text.contains("on = 2"), "{text}");
    hand(&door, &json!({ "no-flaw": { "number": 1 } }));
    assert_eq!(door.got("/cloth")["cloths"][0]["flaws"].as_array().map(Vec::len), Some(1));
    let back = told(&door, "/cloth/back", json!({}));
    assert!(back["refused"].is_null() && door.bench.text("cloth.toml") == text, "{back}");
}

#[test]
fn what_the_reader_refuses_is_not_written() {
    let door = door(ClothHome::Folder);
    for (field, value) in [
        ("width", "wide"),
        ("length", "-3m"),
        ("selvedges", "top"),
        ("gap", "1 elephant"),
        ("stripes", "0mm"),
        ("nowhere", "1"),
        ("width", ""),
    ] {
        let told = told(&door, "/cloth/say", json!({ "cloth": "main", "field": field, "value": value }));
        assert!(!told["refused"].is_null(), "{field} = {value}: {told}");
        assert_eq!(door.bench.text("cloth.toml"), WRITTEN);
    }
    let off = hand(&door, &json!({ "width": { "on": 0, "at": [-9e9, 0.0] } }));
    assert!(!off["refused"].is_null() && door.bench.text("cloth.toml") == WRITTEN, "{off}");
}

/// A cloth file elsewhere is never written: the folder gets one of its own, and that is said.
#[test]
fn a_file_elsewhere_is_never_written() {
    let door = door(ClothHome::Elsewhere("../wool.toml".to_owned()));
    assert!(door.got("/cloth")["says"].to_string().contains("../wool.toml stays as it is"));
    assert!(!door.bench.path("cloth.toml").exists());
    let told = told(&door, "/cloth/say", json!({ "cloth": "companion", "field": "width", "value": "90cm" }));
    assert!(told["refused"].is_null(), "{told}");
    assert_eq!(door.bench.text("cloth.toml"), WRITTEN.replace("110cm", "90cm"));
}

/// A file that another program wrote is gone on with; one that is nonsense is told, and left alone.
#[test]
fn what_others_write_is_noticed() {
    let door = door(ClothHome::Folder);
    door.bench.write("cloth.toml", &WRITTEN.replace("37cm", "91cm"));
    door.got("/revision");
    let seen = door.got("/seen");
    assert!(
        seen["cloths"][0]["called"].to_string().contains("910 mm wide")
            && seen["news"].to_string().contains("cloth.toml"),
        "{}",
        seen["news"]
    );
    door.bench.write("cloth.toml", "[main\nwidth = nonsense");
    door.got("/revision");
    let seen = door.got("/seen");
    assert!(
        seen["cloths"][0]["called"].to_string().contains("910 mm wide")
            && seen["news"].to_string().contains("cannot be read now"),
        "{}",
        seen["news"]
    );
    let told = told(&door, "/cloth/say", json!({ "cloth": "main", "field": "width", "value": "92cm" }));
    assert!(told["refused"].to_string().contains("cannot be read"), "{told}");
    assert_eq!(door.bench.text("cloth.toml"), "[main\nwidth = nonsense", "nothing of theirs is lost");
}

/// The program lays out the cloth of the folder where that was begun from the file that is named.
#[test]
fn a_table_that_is_begun_again_has_the_cloth_as_it_was_set() {
    let shipped = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/cloth.toml");
    assert!(shipped.exists());
    let text = std::fs::read_to_string(shipped).expect("a text");
    let edited = retrue::cloth::file::with_edit(
        &text,
        &"main".parse().expect("a name"),
        &retrue::cloth::file::ClothEdit::WidthAt(
            retrue::units::Length::ZERO,
            retrue::units::Length::from_mm(401.0),
        ),
    );
    let edited = edited.expect("an edit");
    let remarks = |text: &str| text.lines().filter(|line| line.contains('#')).count();
    assert!(edited.contains("401mm") && remarks(&edited) == remarks(&text), "{edited}");
}

/// A second cloth, uneven stripes and panels are begun at the page, and stand in the file as a hand would write them.
#[test]
fn more_cloth_is_begun_at_the_table() {
    let door = door(ClothHome::Folder);
    let other = told(&door, "/cloth/other", json!({ "cloth": "lining", "size": "140cm x 2m" }));
    assert!(other["refused"].is_null(), "{other}");
    let text = door.bench.text("cloth.toml");
    assert_eq!(text, format!("{WRITTEN}\n[lining]\nwidth = \"1400mm\"\nlength = \"2000mm\"\n"));
    let taken = told(&door, "/cloth/other", json!({ "cloth": "lining", "size": "90cm x 2m" }));
    assert!(taken["refused"].to_string().contains("already"), "{taken}");
    let none = told(&door, "/cloth/other", json!({ "cloth": "none", "size": "90cm x 2m" }));
    assert!(none["refused"].to_string().contains("not cut"), "{none}");
    assert_eq!(door.bench.text("cloth.toml"), text);
    let says = |field: &str, value: &str| {
        let told = told(&door, "/cloth/say", json!({ "cloth": "lining", "field": field, "value": value }));
        assert!(told["refused"].is_null(), "{field}: {told}");
        let cloths = door.got("/cloth")["cloths"].as_array().cloned().expect("cloths");
        let lining = cloths.iter().find(|cloth| cloth["name"] == "lining").expect("a cloth");
        let fields = lining["fields"].as_array().expect("fields");
        let field = fields.iter().find(|found| found["name"] == field).expect("a field");
        assert_eq!(field["value"], value, "it is shown as it was said");
        door.bench.text("cloth.toml")
    };
    let text = says("stripes", "120mm teal, 610mm rust, 1020mm teal");
    assert!(text.contains("marks = [[\"120mm\", \"teal\"], [\"610mm\", \"rust\"]"), "{text}");
    let text = says("stripes", "0mm teal, 30mm white, 80mm teal every 200mm");
    assert!(text.contains("repeat = \"200mm\"") && text.contains("[\"30mm\", \"white\"]"), "{text}");
    let text = says("stripes", "120mm, 610mm");
    assert!(!text.contains("repeat"), "{text}");
    assert!(text.contains("marks = [\"120mm\", \"610mm\"]"), "{text}");
    let text = says("stripes", "64mm from 10mm");
    assert!(!text.contains("marks") && text.contains("repeat = \"64mm\", first = \"10mm\""), "{text}");
}

/// Panels that lie there are otherwise many, or none; what a person wrote around them stays.
#[test]
fn panels_are_changed_by_their_place_in_the_list() {
    let first = "# Gores.\n[[panels]]\ncloth = \"main\"\noutline = \"a.svg#a\"\ncopies = 6 # all of them\n\n";
    let second = "[[panels]]\ncloth = \"main\"\noutline = \"b.svg#b\"\n";
    let text = [first, second].concat();
    let changed =
        |text: &str, number, copies| retrue::cloth::file::with_panel_copies(text, number, copies).ok();
    assert_eq!(changed(&text, 0, 4), Some(text.replace("copies = 6", "copies = 4")));
    assert_eq!(changed(&text, 1, 2), Some(format!("{text}copies = 2\n")));
    let left = changed(&text, 0, 0).expect("they are there");
    assert!(left.contains("b.svg#b") && !left.contains("a.svg#a"), "{left}");
    let none = changed(&left, 0, 0).expect("they are there");
    assert!(!none.contains("panels"), "{none}");
    assert_eq!(changed(&text, 2, 1), None);
}

/// Panels that the reader of the cloth refuses leave no drawing behind.
#[test]
fn panels_that_are_refused_leave_nothing() {
    let door = door(ClothHome::Folder);
    let panels = |top: &str| json!({ "panels": { "cloth": "main", "copies": 6, "top": top, "bottom": "30cm", "length": "60cm" } });
    for top in ["10cm", "-5cm", "90m"] {
        let refused = told(&door, "/cloth/panels", panels(top));
        assert!(!refused["refused"].is_null(), "{top}: {refused}");
        assert!(!door.bench.path("panel-1.svg").exists(), "{top}");
    }
    assert_eq!(door.bench.text("cloth.toml"), WRITTEN);
}

/// What another program wrote stays, whatever is set of the cloth: by number, by hand, taken back, or in its file.
#[test]
fn a_sheet_of_another_program_is_never_written_over() {
    const THEIRS: &str = "<svg>hours of work</svg>";
    let door = door(ClothHome::Folder);
    let say =
        |width: &str| told(&door, "/cloth/say", json!({ "cloth": "main", "field": "width", "value": width }));
    assert!(say("36cm")["refused"].is_null());
    door.bench.write("pattern.svg", THEIRS);
    let drawn = json!({ "new-flaw": { "from": [0.0, 0.0], "to": [9.0, 9.0] } });
    for refused in [say("35cm"), hand(&door, &drawn), told(&door, "/cloth/back", json!({}))] {
        assert!(refused["refused"]["what"].to_string().contains("changed pattern.svg"), "{refused}");
        assert_eq!(door.bench.text("pattern.svg"), THEIRS);
    }
    door.bench.write("cloth.toml", &WRITTEN.replace("37cm", "91cm"));
    door.got("/revision");
    let seen = door.got("/seen");
    assert!(seen["cloths"][0]["called"].to_string().contains("910 mm wide"), "their cloth is gone on with");
    assert_eq!(seen["outside"]["can-be-put-aside"], true, "and their sheet is still told");
    assert_eq!(door.bench.text("pattern.svg"), THEIRS);
    let put = told(&door, "/aside", json!({}));
    assert!(put["outside"].is_null() && put["news"].to_string().contains("pattern-aside-1.svg"), "{put}");
    assert_eq!(door.bench.text("pattern-aside-1.svg"), THEIRS);
}

/// A cloth file of the folder that this table did not read, as of a session with other cloth, is put aside and told of.
#[test]
fn a_cloth_that_another_session_set_is_put_aside() {
    let width = |door: &Door, width: &str| {
        told(door, "/cloth/say", json!({ "cloth": "companion", "field": "width", "value": width }))
    };
    let first = door(ClothHome::Nowhere);
    assert!(width(&first, "90cm")["refused"].is_null());
    let set = first.bench.text("cloth.toml");
    let second = door_of(first.ended(), WRITTEN, ClothHome::Nowhere, "");
    let told = width(&second, "80cm");
    assert!(told["refused"].is_null() && told["news"].to_string().contains("cloth-aside-1.toml"), "{told}");
    assert_eq!(second.bench.text("cloth-aside-1.toml"), set);
    assert!(second.bench.text("cloth.toml").contains("80cm"));
    assert!(width(&second, "70cm")["news"].is_null(), "its own is written anew");
    assert!(!second.bench.path("cloth-aside-2.toml").exists());
}

/// Which cloth a file was begun of is kept beside it, wherever the table is begun from the next time.
#[test]
fn of_what_a_cloth_file_was_begun_is_kept() {
    let door = door_of(Bench::of_coat(), WRITTEN, ClothHome::Elsewhere("wool.toml".to_owned()), "/wool.toml");
    let folder = door.bench.path("");
    assert_eq!(Folder::cloth_begun_of(&folder), None);
    told(&door, "/cloth/say", json!({ "cloth": "main", "field": "width", "value": "41cm" }));
    assert_eq!(Folder::cloth_begun_of(&folder).as_deref(), Some("/wool.toml"));
    let door = door_of(door.ended(), WRITTEN, ClothHome::Nowhere, "");
    told(&door, "/cloth/say", json!({ "cloth": "main", "field": "width", "value": "42cm" }));
    assert_eq!(Folder::cloth_begun_of(&folder), None, "that of another session is another");
}

/// A cloth that is taken back to none leaves no file; one that is gone is written again, which is told.
#[test]
fn no_cloth_is_no_file_and_a_file_that_is_gone_is_written_again() {
    let door = door_of(Bench::of_coat(), "", ClothHome::Nowhere, "");
    let set = told(&door, "/cloth/size", json!({ "size": "150cm x 3m" }));
    assert!(set["refused"].is_null() && door.bench.path("cloth.toml").exists(), "{set}");
    let back = told(&door, "/cloth/back", json!({}));
    assert!(back["refused"].is_null() && !door.bench.path("cloth.toml").exists(), "{back}");
    assert_eq!(back["cloths"], json!([]));
    let revision = door.got("/revision")["revision"].clone();
    assert_eq!(door.got("/revision")["revision"], revision, "nothing more happens by itself");
    told(&door, "/cloth/size", json!({ "size": "140cm x 3m" }));
    let text = door.bench.text("cloth.toml");
    std::fs::remove_file(door.bench.path("cloth.toml")).expect("taken away");
    door.got("/revision");
    assert_eq!(door.bench.text("cloth.toml"), text);
    assert!(door.got("/seen")["news"].to_string().contains("cloth.toml was gone"));
}

/// A length may have a space within it; what is neither yes nor no is refused.
#[test]
fn a_width_is_read_as_lengths_and_a_switch_as_yes_or_no() {
    let door = door(ClothHome::Folder);
    let says = |field: &str, value: &str| {
        told(&door, "/cloth/say", json!({ "cloth": "main", "field": field, "value": value }))
    };
    for (value, written) in [
        ("59 1/2in", "width = \"59 1/2in\""),
        ("37 cm", "width = \"37 cm\""),
        ("0m 59 1/2in, 3m 58 3/4in", "[[\"0m\", \"59 1/2in\"], [\"3m\", \"58 3/4in\"]]"),
    ] {
        let told = says("width", value);
        assert!(told["refused"].is_null(), "{value}: {told}");
        assert!(
            door.bench.text("cloth.toml").contains(written),
            "{value}: {}",
            door.bench.text("cloth.toml")
        );
    }
    assert!(!says("width", "37cm, 36cm")["refused"].is_null());
    for (value, is_read) in [("yes", true), ("no", true), ("Yes", false), ("perhaps", false)] {
        assert_eq!(says("crosswise", value)["refused"].is_null(), is_read, "{value}");
    }
    assert!(door.bench.text("cloth.toml").contains("crosswise = false"));
}

/// Ways, layouts and what a search said are of the cloth that they were found on, and of no other.
#[test]
fn what_was_found_on_other_cloth_is_not_of_this() {
    let cloth = "[main]\nwidth = \"150cm\"\nlength = \"6m\"\n";
    let door = door_of(Bench::of_coat(), cloth, ClothHome::Nowhere, "");
    let ended = |path: &str| {
        while door.got("/revision")["is-busy"] == true {
            std::thread::yield_now();
        }
        door.got(path)
    };
    let says = |width: &str| {
        let told = told(&door, "/cloth/say", json!({ "cloth": "main", "field": "width", "value": width }));
        assert!(told["refused"].is_null(), "{told}");
    };
    let few = json!({ "recuts": "1", "iterations": "20", "alternatives": "1" });
    door.told("/plan/begin", &json!({ "said": few }));
    assert_eq!(ended("/plan")["can-be-taken"], true);
    door.told("/lay/begin", &json!({ "said": { "iterations": "20" } }));
    assert_eq!(ended("/lay")["is-kept"], true);
    says("30cm");
    let plan = door.got("/plan");
    assert!(plan["can-be-taken"] == false && plan["ways"] == json!([]), "{plan}");
    let layout = door.got("/lay");
    assert!(layout["is-kept"] == false && layout["says"].to_string().contains("as they were before"));
    assert!(door.got("/saved").to_string().contains("the cutting layout, on the cloth as it was before"));
    // Why the next search found nothing is told, and not what lies there from before.
    door.told("/lay/begin", &json!({ "said": { "iterations": "20" } }));
    let layout = ended("/lay");
    assert!(layout["says"].to_string().contains("cannot be laid"), "{layout}");
    says("150cm");
    let layout = door.got("/lay");
    assert!(layout["is-kept"] == true && layout["says"].is_null(), "of this cloth again: {layout}");
}
