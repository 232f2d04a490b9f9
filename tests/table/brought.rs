//! Bringing a drawing in at the table: what is made, what is kept, what is never lost.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::Arc;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{Request, StatusCode, header};
use retrue::table::{Bring, BringFiles, Bringing, DrawingReader, Folder, Key, Table};
use retrue::units::Unit;
use serde_json::{Value, json};
use tempfile::TempDir;
use tower::ServiceExt;

const PORT: u16 = 4712;
const LARGEST: usize = 1 << 20;
const SKIRT: &str = "fixtures/adopt/pdf/skirt-shaped-back-cutting-lines.pdf";
const COAT: &str = "fixtures/adopt/pdf/coat-cutting-lines.pdf";

/// A drawing that is being brought in, in a folder of its own.
struct Brought {
    router: Router,
    key: String,
    place: TempDir,
}

impl Brought {
    fn of(drawing: Option<&str>) -> Brought {
        Brought::within(tempfile::tempdir().expect("a folder"), drawing)
    }

    fn within(place: TempDir, drawing: Option<&str>) -> Brought {
        let folder = Folder::take(place.path()).expect("taken");
        let read: DrawingReader = Arc::new(|path: &Path| {
            std::fs::read(path).map_err(|error| format!("the file cannot be read: {error}"))
        });
        let named = drawing.map(|name| {
            let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(name);
            (path.clone(), path.display().to_string())
        });
        let drawings: Vec<(PathBuf, String)> = named.into_iter().collect();
        let bring = Bring::open(BringFiles::within(place.path()), &drawings, None, read, Unit::Millimetre);
        let lay = |folder| Table::open(folder, None, Box::new(|_| Err(String::new())), Unit::Millimetre);
        let bringing = Bringing::begin(bring.expect("begun"), folder, LARGEST, lay);
        let key = Key::random().expect("randomness");
        let text = key.text().to_owned();
        Brought { router: bringing.router(key, PORT), key: text, place }
    }

    fn ask(&self, method: &str, path: &str, body: Vec<u8>) -> (StatusCode, Vec<u8>) {
        let host = format!("127.0.0.1:{PORT}");
        let request = Request::builder()
            .method(method)
            .uri(path)
            .header(header::HOST, &host)
            .header(header::ORIGIN, format!("http://{host}"))
            .header(header::COOKIE, format!("retrue-{PORT}={}", self.key))
            .body(Body::from(body))
            .expect("a request");
        let runtime = tokio::runtime::Builder::new_current_thread().build().expect("a runtime");
        runtime.block_on(async {
            let answer = self.router.clone().oneshot(request).await.expect("an answer");
            let status = answer.status();
            (status, to_bytes(answer.into_body(), usize::MAX).await.expect("a body").to_vec())
        })
    }

    fn get(&self, path: &str) -> Value {
        serde_json::from_slice(&self.ask("GET", path, Vec::new()).1).expect("an answer")
    }

    fn wish(&self, path: &str, wish: &Value) -> Value {
        let (_, body) = self.ask("POST", path, wish.to_string().into_bytes());
        serde_json::from_slice(&body).expect("an answer")
    }

    /// What is seen once the drawing is read.
    fn read(&self) -> Value {
        loop {
            let seen = self.get("/bring/seen");
            if seen["stage"] != "reading" {
                return seen;
            }
            std::thread::yield_now();
        }
    }

    fn keep(&self, edit: &Value) -> Value {
        let revision = self.get("/bring/revision")["revision"].clone();
        self.wish("/bring/keep", &json!({ "revision": revision, "edit": edit }))
    }

    /// With the middle size chosen.
    fn sized(&self) -> Value {
        let seen = self.read();
        let size = &seen["sizes"][2]["choice"];
        self.wish("/bring/size", &json!({ "revision": seen["revision"], "size": size }))
    }

    fn path(&self, name: &str) -> PathBuf {
        self.place.path().join(name)
    }

    fn text(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(name)).expect("a text")
    }
}

fn sentences(seen: &Value) -> Vec<String> {
    let missing = seen["missing"].as_array().expect("a list").iter();
    missing.map(|missing| missing["sentence"].as_str().expect("a sentence").to_owned()).collect()
}

fn adopt(drawing: &str, wishes: &[&str]) -> Vec<u8> {
    let mut command = Command::new(env!("CARGO_BIN_EXE_retrue"));
    command.current_dir(env!("CARGO_MANIFEST_DIR")).args(["--quiet", "adopt", drawing]).args(wishes);
    command.output().expect("the program").stdout
}

#[test]
fn a_map_is_begun_by_the_template_that_the_command_writes() {
    let brought = Brought::of(Some(SKIRT));
    assert_eq!(brought.read()["sizes"].as_array().map(Vec::len), Some(5));
    assert!(!brought.path("map.toml").exists(), "not before a size is chosen");
    brought.sized();
    let written = adopt(SKIRT, &["--size", "style 3", "--map-template", "-"]);
    assert_eq!(brought.text("map.toml"), String::from_utf8(written).expect("a text"));
}

#[test]
fn what_is_made_is_what_adopt_makes_by_that_map_and_the_table_goes_on_with_it() {
    let brought = Brought::of(Some(SKIRT));
    let seen = brought.sized();
    let made = brought.wish("/bring/make", &json!({ "revision": seen["revision"] }));
    assert_eq!(made, json!({ "made": true }));
    let map = brought.path("map.toml").display().to_string();
    assert_eq!(brought.text("bought.svg").into_bytes(), adopt(SKIRT, &["--map", &map, "-o", "-"]));
    let table = brought.get("/seen");
    assert_eq!(table["pieces"].as_array().map(Vec::len), Some(2));
    // It can be gone back to; what is made anew the table takes up, its steps with it.
    let edit = json!({ "say": [{ "outline": "A" }, { "name": "back" }] });
    let seen = brought.keep(&edit);
    brought.wish("/bring/make", &json!({ "revision": seen["revision"] }));
    brought.get("/revision");
    let names: Vec<Value> = brought.get("/seen")["pieces"]
        .as_array()
        .expect("pieces")
        .iter()
        .map(|piece| piece["name"].clone())
        .collect();
    assert_eq!(names, ["back", "piece-b"]);
    assert!(!brought.path("bought-aside-1.svg").exists());
}

#[test]
fn the_list_of_what_is_missing_shortens_to_nothing() {
    let brought = Brought::of(Some(SKIRT));
    let mut seen = brought.sized();
    let mut left = usize::MAX;
    loop {
        let missing = seen["missing"].as_array().expect("a list").clone();
        assert!(missing.len() < left, "{:?}", sentences(&seen));
        left = missing.len();
        let Some(first) = missing
            .into_iter()
            .find(|missing| missing["answers"].as_array().is_some_and(|all| !all.is_empty()))
        else {
            break;
        };
        let answers = first["answers"].as_array().expect("a list");
        // Ease is taken as it is; a seam that is guessed is right.
        seen = brought.keep(&answers[0]["edit"]);
        assert!(seen["stage"] == "map", "{first}: {seen}");
    }
    assert_eq!((left, &seen["can-make"]), (0, &json!(true)), "{:?}", sentences(&seen));
}

/// The item of the list whose sentence says something.
fn saying(seen: &Value, what: &str) -> Option<Value> {
    let missing = seen["missing"].as_array().expect("a list").iter();
    missing
        .into_iter()
        .find(|item| item["sentence"].as_str().is_some_and(|said| said.contains(what)))
        .cloned()
}

fn answers(item: &Value) -> Vec<&str> {
    item["answers"].as_array().expect("a list").iter().filter_map(|answer| answer["says"].as_str()).collect()
}

/// Of the coat only four outlines are pieces: what told the ends of a seam is gone with the others, and is asked in words of
/// the trade, beside all else that is missing.
#[test]
fn which_ends_of_a_seam_meet_is_asked_beside_all_else() {
    let brought = Brought::of(Some(COAT));
    brought.sized();
    let no_pieces: Vec<Value> = ["E", "F", "G", "H", "I", "J", "L", "M", "N"]
        .iter()
        .map(|letter| json!({ "outline": letter }))
        .collect();
    let seen = brought.keep(&json!({ "ignore": no_pieces }));
    let asked = saying(&seen, "which ends meet").unwrap_or_else(|| panic!("{:?}", sentences(&seen)));
    let sentence = asked["sentence"].as_str().expect("a sentence");
    assert!(!sentence.contains('=') && !sentence.contains("from"), "no syntax of a map: {sentence}");
    assert!(asked["wrong"] == true && seen["can-make"] == false, "{asked}");
    let ways = answers(&asked);
    assert_eq!(ways.len(), 3, "{ways:?}");
    for way in &ways[..2] {
        assert!(way.starts_with("piece-a.edge-1 at ") && way.contains(" meets piece-b.edge-2 at "), "{way}");
    }
    assert!(ways[0] != ways[1] && ways[2] == "They are not sewn", "{ways:?}");
    for beside in
        ["is not sewn, and nothing says how it is finished", "how often piece-a is cut", "cut or sewn"]
    {
        assert!(saying(&seen, beside).is_some(), "{beside}: {:?}", sentences(&seen));
    }
    let edge = "piece-a.edge-1 is not sewn";
    assert_eq!(saying(&seen, edge), None, "whichever ends meet, it is sewn");
    for way in 0..3 {
        let before = brought.text("map.toml");
        let after = brought.keep(&asked["answers"][way]["edit"]);
        assert_eq!((saying(&after, "which ends meet"), &after["can-make"]), (None, &json!(true)), "{after}");
        assert_ne!(brought.text("map.toml"), before);
        brought.wish("/bring/undo", &json!({ "revision": after["revision"] }));
        assert_eq!(brought.text("map.toml"), before);
    }
}

/// An edge that is said to be a hem is asked how deep it is, until that is said; what is said stands in the map, and is told.
#[test]
fn how_deep_a_hem_is_is_asked_and_told() {
    let brought = Brought::of(Some(SKIRT));
    brought.sized();
    let edge = json!({ "edge": ["A", 3] });
    let seen = brought.keep(&json!({ "say": [edge.clone(), { "finish": "hem" }] }));
    let asked = saying(&seen, "how deep the hem is at piece-a.edge-3").unwrap_or_else(|| panic!("{seen}"));
    assert_eq!(answers(&asked)[..3], ["40 mm deep", "30 mm deep", "20 mm deep"]);
    let map = brought.path("map.toml").display().to_string();
    let told = || {
        let mut command = Command::new(env!("CARGO_BIN_EXE_retrue"));
        command.current_dir(env!("CARGO_MANIFEST_DIR")).args(["adopt", SKIRT, "--map", &map, "-o", "-"]);
        String::from_utf8(command.output().expect("the program").stderr).expect("a text")
    };
    assert!(told().contains("nothing says how deep the hem at piece-a.edge-3 is"), "{}", told());
    let seen = brought.keep(&asked["answers"][0]["edit"]);
    assert_eq!(saying(&seen, "how deep the hem"), None, "{:?}", sentences(&seen));
    assert!(brought.text("map.toml").contains("allowance = \"40mm\""));
    let thing = brought.wish("/bring/thing", &json!({ "thing": edge, "after": null }));
    assert!(thing["tells"].to_string().contains("It is a hem, 40 mm deep."), "{thing}");
    assert!(!told().contains("how deep the hem"), "{}", told());
    // Said in one press, the depth that is usual is said with it.
    let open = saying(&seen, "nothing says how it is finished").unwrap_or_else(|| panic!("{seen}"));
    assert_eq!(answers(&open)[..2], ["It is a hem, 40 mm deep", "It is a hem"]);
}

#[test]
fn a_map_that_others_change_is_gone_on_with_and_never_written_over() {
    let brought = Brought::of(Some(SKIRT));
    let seen = brought.sized();
    let theirs = brought.text("map.toml").replace("piece-a", "hind");
    std::fs::write(brought.path("map.toml"), &theirs).expect("written");
    let edit = json!({ "say": [{ "outline": "B" }, { "name": "front" }] });
    let refused = brought.wish("/bring/keep", &json!({ "revision": seen["revision"], "edit": edit }));
    assert!(refused["refused"]["what"].as_str().unwrap_or_default().contains("meanwhile"), "{refused}");
    assert_eq!(brought.text("map.toml"), theirs);
    let seen = brought.get("/bring/seen");
    assert!(seen["news"].as_str().unwrap_or_default().contains("changed map.toml"), "{seen}");
    let nonsense = "piece = 3\n[[[";
    std::fs::write(brought.path("map.toml"), nonsense).expect("written");
    let refused = brought.keep(&edit);
    assert!(
        refused["refused"]["what"].as_str().unwrap_or_default().contains("cannot be gone on with"),
        "{refused}"
    );
    assert_eq!(brought.text("map.toml"), nonsense);
    std::fs::write(brought.path("map.toml"), &theirs).expect("written");
    brought.get("/bring/revision");
    assert!(brought.keep(&edit)["stage"] == "map" && brought.text("map.toml").contains("name = \"front\""));
}

#[test]
fn what_was_changed_is_taken_back_and_done_again_after_a_restart_too() {
    let brought = Brought::of(Some(SKIRT));
    brought.sized();
    let begun = brought.text("map.toml");
    brought.keep(&json!({ "say": [{ "outline": "A" }, { "name": "back" }] }));
    let changed = brought.text("map.toml");
    let Brought { place, router, .. } = brought;
    drop(router);
    let brought = Brought::within(place, None);
    let seen = brought.read();
    assert_eq!(seen["stage"], "map");
    let seen = brought.wish("/bring/undo", &json!({ "revision": seen["revision"] }));
    assert_eq!(brought.text("map.toml"), begun);
    brought.wish("/bring/again", &json!({ "revision": seen["revision"] }));
    assert_eq!(brought.text("map.toml"), changed);
}

#[test]
fn another_size_begins_the_map_anew_and_can_be_taken_back() {
    let brought = Brought::of(Some(SKIRT));
    let seen = brought.sized();
    let first = brought.text("map.toml");
    let seen = brought.wish("/bring/sizes", &json!({ "revision": seen["revision"] }));
    assert_eq!((&seen["stage"], seen["sizes"].as_array().map(Vec::len)), (&json!("size"), Some(5)));
    let seen = brought.wish("/bring/size-stays", &json!({ "revision": seen["revision"] }));
    assert_eq!((&seen["stage"], brought.text("map.toml")), (&json!("map"), first.clone()));
    let seen = brought.wish("/bring/sizes", &json!({ "revision": seen["revision"] }));
    let size = &seen["sizes"][0]["choice"];
    let seen = brought.wish("/bring/size", &json!({ "revision": seen["revision"], "size": size }));
    assert!(brought.text("map.toml").contains(&format!("size = {size}")), "{}", brought.text("map.toml"));
    brought.wish("/bring/undo", &json!({ "revision": seen["revision"] }));
    assert_eq!(brought.text("map.toml"), first);
}

#[test]
fn a_broken_file_is_a_sentence_and_another_can_be_dropped() {
    let brought = Brought::of(None);
    assert_eq!(brought.read()["stage"], "nothing");
    for broken in [b"%PDF-1.7 and nothing else".to_vec(), b"<svg".to_vec(), vec![0; 64], Vec::new()] {
        assert_eq!(brought.ask("POST", "/bring/drop", broken).0, StatusCode::OK);
        brought.wish("/bring/dropped", &json!({}));
        let seen = brought.read();
        assert_eq!(seen["stage"], "broken");
        assert!(!seen["refused"]["what"].as_str().unwrap_or_default().is_empty(), "{seen}");
    }
    let whole = std::fs::read(SKIRT).expect("a drawing");
    brought.ask("POST", "/bring/drop", whole);
    brought.wish("/bring/dropped", &json!({}));
    assert_eq!(brought.read()["stage"], "size");
    let large = vec![b' '; LARGEST + 1];
    assert_eq!(brought.ask("POST", "/bring/drop", large).0, StatusCode::PAYLOAD_TOO_LARGE);
}

#[test]
fn a_pattern_sheet_that_is_dropped_lies_on_the_table_at_once() {
    let brought = Brought::of(None);
    brought.ask("POST", "/bring/drop", std::fs::read("fixtures/coat.svg").expect("a sheet"));
    assert_eq!(brought.wish("/bring/dropped", &json!({})), json!({ "made": true }));
    assert_eq!(brought.get("/seen")["pieces"].as_array().map(Vec::len), Some(13));
}

/// Names and words of a drawing are told as text; no wish reads or writes what was not named.
#[test]
fn no_wish_names_a_file_and_no_markup_of_a_drawing_is_markup_of_the_page() {
    let brought = Brought::of(Some(SKIRT));
    brought.sized();
    for path in ["/map.toml", "/bring/../map.toml", "/bring/map.toml", "/bring//etc/passwd", "/seen"] {
        assert_eq!(brought.ask("GET", path, Vec::new()).0, StatusCode::NOT_FOUND, "{path}");
    }
    for wish in [json!({}), json!({ "revision": 1, "edit": { "read": "/etc/passwd" } }), json!([])] {
        assert_eq!(
            brought.ask("POST", "/bring/keep", wish.to_string().into_bytes()).0,
            StatusCode::BAD_REQUEST
        );
    }
    let markup = "<script>alert(1)</script>";
    let refused = brought.keep(&json!({ "say": [{ "outline": "A" }, { "name": markup }] }));
    assert!(refused["refused"].is_object(), "{refused}");
    let cloth = brought.keep(&json!({ "say": [{ "outline": "A" }, { "corners": markup }] }));
    assert!(!cloth["labels"].as_str().unwrap_or_default().contains("<script"), "{cloth}");
}

/// A map that `adopt` refuses is not gone on with, and no pattern is made of the one before in its place.
#[test]
fn nothing_is_made_of_a_map_whose_unit_is_none() {
    let brought = Brought::of(Some(SKIRT));
    brought.sized();
    let map = brought.text("map.toml");
    std::fs::write(brought.path("map.toml"), format!("unit = \"parsec\"\n{map}")).expect("written");
    for _ in 0..2 {
        let revision = brought.get("/bring/revision")["revision"].clone();
        assert!(brought.get("/bring/seen")["outside"].to_string().contains("parsec"));
        let made = brought.wish("/bring/make", &json!({ "revision": revision }));
        assert!(made["refused"]["what"].to_string().contains("cannot be gone on with"), "{made}");
    }
    assert!(!brought.path("bought.svg").exists());
    std::fs::write(brought.path("map.toml"), &map).expect("written");
    let revision = brought.get("/bring/revision")["revision"].clone();
    assert_eq!(brought.wish("/bring/make", &json!({ "revision": revision })), json!({ "made": true }));
}

/// Where no table can be laid all that was brought in stays, and it can be tried again.
#[test]
fn a_table_that_cannot_be_laid_leaves_the_drawing_as_it_was() {
    let brought = Brought::of(Some(SKIRT));
    brought.sized();
    brought.keep(&json!({ "say": [{ "outline": "A" }, { "name": "back" }] }));
    std::fs::create_dir(brought.path("pattern.svg")).expect("a folder in its place");
    let own = || -> Vec<String> {
        let entries = std::fs::read_dir(brought.path(".retrue")).expect("a folder");
        let mut names: Vec<String> = entries
            .map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    };
    let make = || {
        let revision = brought.get("/bring/revision")["revision"].clone();
        brought.wish("/bring/make", &json!({ "revision": revision }))
    };
    assert!(!make()["refused"].is_null());
    let kept = own();
    for name in ["drawings", "map-undo", "lock", "bought.svg"] {
        assert!(kept.iter().any(|kept| kept == name), "{name}: {kept:?}");
    }
    assert!(!kept.contains(&"undo".to_owned()) && !brought.path("recipe.toml").exists(), "{kept:?}");
    assert!(!make()["refused"].is_null(), "and no second try says that a table lies");
    assert!(brought.get("/bring/seen")["can-undo"] == true && Folder::take(brought.place.path()).is_err());
    std::fs::remove_dir(brought.path("pattern.svg")).expect("taken away");
    assert_eq!(make(), json!({ "made": true }));
    assert_eq!(brought.get("/seen")["pieces"].as_array().map(Vec::len), Some(2));
}

/// Once a table lies no other drawing is dropped behind it.
#[test]
fn nothing_is_dropped_where_a_table_lies() {
    let brought = Brought::of(None);
    brought.ask("POST", "/bring/drop", std::fs::read("fixtures/coat.svg").expect("a sheet"));
    assert_eq!(brought.wish("/bring/dropped", &json!({})), json!({ "made": true }));
    let drop = |bytes: Vec<u8>| -> Value {
        serde_json::from_slice(&brought.ask("POST", "/bring/drop", bytes).1).expect("an answer")
    };
    let refused = drop(std::fs::read(SKIRT).expect("a drawing"));
    assert!(refused["refused"]["what"].to_string().contains("a table lies here already"), "{refused}");
    assert!(!brought.wish("/bring/dropped", &json!({}))["refused"].is_null());
    assert!(!brought.path("drawing.pdf").exists());
}

/// A dropped file keeps its name as far as a file of the folder may bear it: no way out of the folder, nor the name of what the
/// table writes. What is a PDF is told by its mark, wherever in its first kilobyte that stands.
#[test]
fn a_dropped_file_keeps_its_own_name_and_is_named_for_what_it_is() {
    let brought = Brought::of(None);
    let junk = [b"\r\n junk \n".to_vec(), std::fs::read(SKIRT).expect("a drawing")].concat();
    let names = [
        ("/jacket.pdf", "jacket.pdf"),
        ("/jacket.svg", "jacket-1.pdf"),
        ("/..%2F..%2Fetc%2FMy%20coat%20(2).pdf", "My-coat-2.pdf"),
        ("/PATTERN.pdf", "PATTERN-1.pdf"),
        ("/%3Cscript%3E.pdf", "script.pdf"),
        ("/..", "drawing.pdf"),
        ("", "drawing-1.pdf"),
    ];
    for (asked, kept) in names {
        let (status, _) = brought.ask("POST", &format!("/bring/drop{asked}"), junk.clone());
        assert_eq!(status, StatusCode::OK);
        assert!(brought.path(kept).exists(), "{asked}: {kept}");
    }
    let brought = Brought::of(None);
    brought.ask("POST", "/bring/drop/jacket.pdf", junk);
    assert!(brought.path("jacket.pdf").exists());
    brought.wish("/bring/dropped", &json!({}));
    assert_eq!(brought.read()["stage"], "size");
}
