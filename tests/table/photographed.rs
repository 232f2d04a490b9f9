//! A photograph of the cloth that is dropped on the page: kept under a name that is free, named in the cloth file, and judged by
//! its reader.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use axum::http::StatusCode;
use retrue::cloth::file::{FilesBeside, PanelShape, PanelSource, UnreadBeside, read};
use retrue::table::{ClothFile, ClothHome};
use serde_json::{Value, json};

use crate::bench::Bench;
use crate::door::Door;

const CLOTH: &str = "# My silk.\n[main]\nwidth = \"37cm\"\nlength = \"11.4m\"  # a bolt\n";

/// More than is taken in.
const TOO_LARGE: usize = 65 << 20;

/// The files of a folder.
struct Beside(PathBuf);

impl FilesBeside for Beside {
    fn panel(&mut self, source: &PanelSource) -> Result<PanelShape, UnreadBeside> {
        Err(format!("no panel is drawn here: `{}`", source.file).into())
    }

    fn picture(&mut self, file: &str) -> Result<Vec<u8>, UnreadBeside> {
        std::fs::read(self.0.join(file)).map_err(|error| error.to_string().into())
    }
}

fn door(cloth: &str) -> Door {
    let bench = Bench::of_coat();
    bench.write("cloth.toml", cloth);
    let place = bench.path("");
    let reader = move |text: &str| {
        read(text, &mut Beside(place.clone()))
            .map_err(|fault| format!("{}: {}; {}", fault.label, fault.what, fault.way_out))
    };
    let stock = reader(cloth).expect("a cloth");
    let file = ClothFile::new(cloth.to_owned(), ClothHome::Folder, Arc::new(reader));
    let table = bench.table_on(Some(stock)).with_cloth_file(file);
    Door::of_table(bench, table)
}

/// A shipped photograph.
fn shipped(number: usize) -> Vec<u8> {
    let examples = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    std::fs::read(examples.join(format!("gradation-{number}.jpg"))).expect("a photograph")
}

/// What is said of a shipped photograph.
fn said(number: usize) -> Value {
    let (from, to, corners) = match number {
        1 => ("0m", "2.85m", [[30, 238], [34, 39], [1570, 41], [1562, 240]]),
        _ => ("2.85m", "5.7m", [[30, 233], [39, 39], [1570, 46], [1562, 240]]),
    };
    json!({ "cloth": "main", "on": 0, "from": from, "to": to, "corners": corners })
}

fn dropped(door: &Door, mut said: Value, bytes: &[u8]) -> (StatusCode, Value) {
    said["revision"] = door.got("/revision")["revision"].clone();
    let body = [said.to_string().as_bytes(), b"\n", bytes].concat();
    let (status, answer) = door.sent("/cloth/photograph", body);
    (status, serde_json::from_slice(&answer).unwrap_or_default())
}

fn told(door: &Door, path: &str, mut wish: Value) -> Value {
    wish["revision"] = door.got("/revision")["revision"].clone();
    door.told(path, &wish)
}

fn photographs(door: &Door) -> Value {
    door.got("/cloth")["cloths"][0]["pictures"].clone()
}

#[test]
fn photographs_stand_in_the_cloth_file_in_the_order_in_which_they_lie() {
    let door = door(CLOTH);
    door.bench.write("photograph-1.jpg", "of another program");
    for number in [2, 1] {
        let (status, kept) = dropped(&door, said(number), &shipped(number));
        assert!(status == StatusCode::OK && kept["refused"].is_null(), "{kept}");
    }
    assert_eq!(door.bench.text("photograph-1.jpg"), "of another program");
    assert_eq!(door.file("photograph-2.jpg"), shipped(2));
    let text = door.bench.text("cloth.toml");
    assert!(text.starts_with("# My silk.") && text.contains("# a bolt"), "{text}");
    let shown = photographs(&door);
    assert_eq!(
        [&shown[0]["file"], &shown[0]["from"], &shown[1]["file"], &shown[1]["to"]],
        ["photograph-3.jpg", "0mm", "photograph-2.jpg", "5700mm"]
    );
    assert_eq!(door.got_bytes("/cloth/picture/main/0"), shipped(1));
    let back = told(&door, "/cloth/back", json!({}));
    assert!(back["refused"].is_null() && photographs(&door).as_array().map(Vec::len) == Some(1), "{back}");
}

#[test]
fn a_photograph_is_set_by_hand() {
    let door = door(CLOTH);
    dropped(&door, said(1), &shipped(1));
    let hand = |hand: Value| told(&door, "/cloth/hand", json!({ "cloth": "main", "hand": hand }));
    let longer = hand(json!({ "stretch": { "picture": 0, "from": "10cm", "to": "2.95m" } }));
    assert!(longer["refused"].is_null(), "{longer}");
    assert_eq!([&photographs(&door)[0]["from"], &photographs(&door)[0]["to"]], ["100mm", "2950mm"]);
    let corners = json!([[1570, 41], [1562, 240], [30.4, 238], [34, 39]]);
    let turned = hand(json!({ "corners": { "picture": 0, "corners": corners } }));
    assert!(turned["refused"].is_null(), "{turned}");
    assert_eq!(photographs(&door)[0]["corners"][2], json!([30.0, 238.0]));
    for (from, to) in [("0m", "far"), ("3m", "1m"), ("0m", "12m")] {
        let refused = hand(json!({ "stretch": { "picture": 0, "from": from, "to": to } }));
        assert!(!refused["refused"].is_null(), "{from} to {to}: {refused}");
    }
    let gone = hand(json!({ "no-picture": { "picture": 0 } }));
    assert!(gone["refused"].is_null(), "{gone}");
    assert_eq!(door.bench.text("cloth.toml"), CLOTH);
    assert!(door.bench.path("photograph-1.jpg").exists(), "what was taken away can be taken back");
}

#[test]
fn what_is_refused_leaves_nothing_behind() {
    let door = door(CLOTH);
    let photograph = shipped(1);
    let with = |key: &str, value: Value| {
        let mut said = said(1);
        said[key] = value;
        said
    };
    let outside = json!([[30, 238], [34, -39], [1570, 41], [1562, 240]]);
    let wrong: [(Value, &[u8]); 8] = [
        (said(1), &b"<svg onload='alert(1)'/>"[..]),
        (said(1), &b""[..]),
        (said(1), &photograph[..photograph.len() / 2]),
        (with("from", json!("somewhere")), &photograph[..]),
        (with("to", json!("12m")), &photograph[..]),
        (with("on", json!(7)), &photograph[..]),
        (with("cloth", json!("lining")), &photograph[..]),
        (with("corners", outside), &photograph[..]),
    ];
    for (said, bytes) in wrong {
        let (_, refused) = dropped(&door, said.clone(), bytes);
        assert!(!refused["refused"].is_null(), "{said}: {refused}");
        assert!(!door.bench.path("photograph-1.jpg").exists(), "{said}");
        assert_eq!(door.bench.text("cloth.toml"), CLOTH);
    }
    let (status, _) = dropped(&door, with("file", json!("../../elsewhere.jpg")), &photograph);
    assert_eq!(status, StatusCode::BAD_REQUEST, "the page names no file");
    assert_eq!(dropped(&door, said(1), &vec![0; TOO_LARGE]).0, StatusCode::PAYLOAD_TOO_LARGE);
}
